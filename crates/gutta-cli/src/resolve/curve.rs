//! Which curve of leaf in air is gone by: that of a type, or one's own.

use gutta::Moisture;
use gutta::matter::sorption::{LEAF_REFERENCE, OwnPoint, OwnReading};
use gutta::matter::{Fit, Isotherm, Leaf};
use gutta::measure::{
    Kind, LEAF_HUMIDITY, LEAF_TEMPERATURE, Measured, Ratio, Scalar, Temperature, Unit, read,
    read_leading,
};

use super::{Assumed, Flag, behind, moved, share_of};
use crate::failure::Outcome;
use crate::say;

/// The curve that is gone by.
pub struct Curve {
    /// The curve.
    pub isotherm: Isotherm,
    /// The temperature.
    pub temperature: Measured<Temperature>,
    /// What to call the leaf.
    pub leaf: Leaf,
    /// Whether it is a curve by default, of no reading of one's own.
    pub is_default: bool,
}

impl Curve {
    /// `burley leaf`, or `leaf` where its type is not known.
    pub fn of_leaf(&self) -> String {
        match self.leaf {
            Leaf::Generic => "leaf".to_owned(),
            leaf => format!("{} leaf", leaf.name()),
        }
    }
}

/// The curve of a type of leaf, or of own readings, at a temperature.
pub fn curve(
    leaf: Option<&String>,
    own: &[String],
    temp: Option<&String>,
    assumed: &mut Assumed,
) -> Outcome<Curve> {
    let leaf = type_of(leaf, assumed)?;
    let temperature = match Flag::of("--temp", temp) {
        Some(flag) => {
            let reading = flag.read(&[Kind::Temperature])?;
            flag.within(&LEAF_TEMPERATURE, &reading)?;
            reading
                .temperature()
                .unwrap_or(Measured::exact(LEAF_REFERENCE))
        }
        None => {
            assumed.line("leaf and air at 22\u{a0}°C");
            Measured::exact(LEAF_REFERENCE)
        }
    };
    let flags: Vec<Flag<'_>> = own.iter().map(|text| Flag::new("--own", text)).collect();
    let isotherm = match flags.as_slice() {
        [] => {
            assumed.line(match leaf {
                Leaf::Dark => {
                    "the curve of dark leaf by default: judgement alone, no reading of it was found"
                        .to_owned()
                }
                Leaf::Generic => {
                    "the curve by default: the mean of three, each through one published point, their slopes judged"
                        .to_owned()
                }
                _ => format!(
                    "the curve of {} leaf by default: one published point, its slope judged",
                    leaf.name()
                ),
            });
            Isotherm::of(leaf)
        }
        [one] => {
            let (humidity, moisture) = reading(*one, assumed)?;
            assumed.line("the own reading was taken at the same temperature");
            let reading = OwnReading {
                humidity,
                moisture,
                temperature,
            };
            Isotherm::anchored(leaf, reading).map_err(|error| one.fail(error))?
        }
        [_, second] => {
            return Err(second
                .wrong("missing", "two own readings make no curve")
                .hint("keep one --own, the surer one, or type a third"));
        }
        [first, ..] => {
            let points = flags
                .iter()
                .map(|flag| {
                    let (humidity, moisture) = reading(*flag, assumed)?;
                    if !humidity.is_exact() || !moisture.is_exact() {
                        return Err(flag
                            .wrong(
                                "doubt",
                                "own readings that make a curve are taken as they are",
                            )
                            .hint("type them without ±: how they scatter about the curve is its doubt"));
                    }
                    Ok(OwnPoint {
                        humidity: humidity.value(),
                        moisture: moisture.value(),
                    })
                })
                .collect::<Outcome<Vec<_>>>()?;
            let fit =
                Fit::to(leaf, &points, temperature.value()).map_err(|error| first.fail(error))?;
            assumed.line(format!(
                "a curve through {} own readings from {} to {}, all at one temperature: its doubt is their scatter about it, and not an error that they share",
                points.len(),
                say::base(fit.span().0.base(), Unit::PERCENT),
                say::base(fit.span().1.base(), Unit::PERCENT)
            ));
            Isotherm::fitted(fit)
        }
    };
    Ok(Curve {
        isotherm,
        temperature,
        leaf,
        is_default: flags.is_empty(),
    })
}

fn type_of(text: Option<&String>, assumed: &mut Assumed) -> Outcome<Leaf> {
    let Some(flag) = Flag::of("--type", text) else {
        assumed.line("leaf of no known type: say --type, such as --type burley");
        return Ok(Leaf::Generic);
    };
    let names = Leaf::ALL.map(Leaf::name);
    flag.one_of(
        Leaf::named(flag.text),
        names,
        "unknown-value",
        format!("there is no `{}` leaf here", flag.text),
        || format!("it is {}", names.join(", ")),
    )
}

/// A relative humidity and the moisture that leaf came to in it.
fn reading(
    flag: Flag<'_>,
    assumed: &mut Assumed,
) -> Outcome<(Measured<Ratio>, Measured<Moisture>)> {
    let (humidity, len) =
        read_leading(flag.text, &[Kind::Share]).map_err(|error| flag.fail(error))?;
    flag.within(&LEAF_HUMIDITY, &humidity)?;
    let rest = behind(&flag.text[len..]);
    if rest.is_empty() {
        return Err(flag
            .wrong("missing", "the moisture is missing")
            .hint("type humidity and moisture in quotes: \"60% 13.2%\""));
    }
    let at = flag.text.len() - rest.len();
    let typed = read(rest, &[Kind::Share]).map_err(|error| moved(flag, error, at))?;
    let moisture = Moisture::read(&typed).map_err(|error| moved(flag, error, at))?;
    assumed.exact_if(
        humidity.is_exact(),
        format!("own humidity {}", humidity.unbroken()),
    );
    assumed.exact_if(
        moisture.is_exact(),
        format!("own moisture {}", typed.unbroken()),
    );
    if moisture.value().base() >= humidity.base() {
        return Err(flag
            .wrong(
                "out-of-range",
                "no leaf is at a moisture as high as the humidity of its air",
            )
            .hint("the humidity comes first, then the moisture: \"60% 13.2%\""));
    }
    Ok((share_of(&humidity), moisture))
}
