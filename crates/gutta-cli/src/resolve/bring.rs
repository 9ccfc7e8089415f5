//! What else goes onto the leaf: `AMOUNT NAME[, PERCENT PART]…`.

use gutta::bench::{Brought, Drop};
use gutta::matter::{Part, alcohol, water};
use gutta::measure::{
    Density, Kind, Mass, Measured, Ratio, Reading, Scalar, Scale, Temperature, read,
};
use gutta::{Composition, Error};

use super::drop::for_liquid;
use super::shelf::Shelf;
use super::{Assumed, Flag};
use crate::failure::{Failure, Outcome};

/// What a text of `--bring` is read with.
#[derive(Debug)]
pub struct Around<'a> {
    /// The bench book.
    pub shelf: &'a Shelf,
    /// The scale that the amount was weighed on.
    pub scale: Option<Scale>,
    /// The temperature of water that is brought.
    pub temperature: Measured<Temperature>,
    /// The drop of water, when one is known.
    pub drop: Option<Drop>,
}

/// Reads one `--bring`.
pub fn bring(flag: Flag<'_>, around: &Around<'_>, assumed: &mut Assumed) -> Outcome<Brought> {
    let mut segments = Segments::new(flag.text);
    let (at, head) = segments.next().unwrap_or((0, ""));
    let (amount, name) = amount_and_name(flag, at, head)?;
    if name.is_empty() {
        return Err(flag
            .wrong("missing", "the liquid has no name")
            .hint("type amount and name, and what is in it: \"60g casing, 35% water\""));
    }
    let parts: Vec<(usize, &str)> = segments.collect();
    let composition = if parts.is_empty() {
        known_composition(flag, name, around.shelf)?
    } else {
        typed_composition(flag, name, &parts, assumed)?
    };
    let mass = mass(flag, &amount, name, around, assumed)?;
    assumed.exact_if(mass.is_exact(), format!("{} {name}", amount.unbroken()));
    Ok(Brought {
        name: name.to_owned(),
        mass,
        composition,
    })
}

/// The parts of a text between commas that are followed by a blank, each with
/// its byte offset, trimmed.
struct Segments<'a> {
    text: &'a str,
    at: Option<usize>,
}

impl<'a> Segments<'a> {
    const fn new(text: &'a str) -> Self {
        Self { text, at: Some(0) }
    }
}

impl<'a> Iterator for Segments<'a> {
    type Item = (usize, &'a str);

    fn next(&mut self) -> Option<(usize, &'a str)> {
        let start = self.at?;
        let rest = &self.text[start..];
        let end = rest
            .match_indices(',')
            .map(|(i, _)| i)
            .find(|i| rest[i + 1..].is_empty() || rest[i + 1..].starts_with(char::is_whitespace));
        let segment = &rest[..end.unwrap_or(rest.len())];
        self.at = end.map(|end| start + end + 1);
        let lead = segment.len() - segment.trim_start().len();
        let trimmed = segment.trim();
        if trimmed.is_empty() && self.at.is_none() && start > 0 {
            return None;
        }
        Some((start + lead, trimmed))
    }
}

const AMOUNTS: &[Kind] = &[Kind::Mass, Kind::Volume, Kind::Drops];

/// The longest beginning that is a quantity, and the name behind it.
fn amount_and_name<'a>(flag: Flag<'a>, at: usize, head: &'a str) -> Outcome<(Reading, &'a str)> {
    let ends = || {
        head.char_indices()
            .filter(|(_, c)| c.is_whitespace())
            .map(|(i, _)| i)
            .chain([head.len()])
    };
    let longest = ends()
        .filter_map(|end| Some((read(&head[..end], AMOUNTS).ok()?, end)))
        .last();
    if let Some((amount, end)) = longest {
        return Ok((amount, head[end..].trim()));
    }
    // The complaint is about the number and the one word behind it.
    let number_only = |text: &str| !text.chars().any(char::is_alphabetic);
    let end = ends().find(|&end| !number_only(&head[..end]));
    let amount = &head[..end.unwrap_or(head.len())];
    let error = match read(amount, AMOUNTS) {
        Err(error) => error,
        Ok(_) => Error::new(gutta::ErrorKind::Stray, "the amount cannot be read"),
    };
    Err(moved(flag, error, at))
}

/// A complaint about a piece of the flag's text, pointing into the whole.
fn moved(flag: Flag<'_>, error: Error, by: usize) -> Failure {
    let place = error.place().map(|place| (place.at, place.len));
    let failure = flag.fail(error);
    match place {
        Some((at, len)) => failure.pointing(flag.text, by + at, len),
        None => failure,
    }
}

fn known_composition(flag: Flag<'_>, name: &str, shelf: &Shelf) -> Outcome<Composition> {
    if name.eq_ignore_ascii_case("water") {
        return Ok(Composition::water());
    }
    let known = shelf
        .liquid_if(name)?
        .and_then(|liquid| liquid.composition.clone());
    known.ok_or_else(|| {
        flag.wrong("unknown-name", format!("say what is in it: `{name}`"))
            .hint(format!(
                "type its shares by mass, such as \"{}, 35% water\"; the rest is solids",
                flag.text.trim()
            ))
    })
}

fn typed_composition(
    flag: Flag<'_>,
    name: &str,
    parts: &[(usize, &str)],
    assumed: &mut Assumed,
) -> Outcome<Composition> {
    let mut shares = Vec::with_capacity(parts.len());
    for &(at, text) in parts {
        let (share, word) = match text.rsplit_once(char::is_whitespace) {
            Some((share, word)) => (share.trim(), word),
            None => text.split_at(text.find('%').map_or(text.len(), |i| i + 1)),
        };
        let part = Part::named(word).ok_or_else(|| unknown_part(flag, at, text, word))?;
        if let Some(strength) = strip_word(share, &["vol", "vol.", "v/v", "abv"]) {
            return by_volume(flag, at, strength, part, parts.len(), name, assumed);
        }
        let by_mass = strip_word(share, &["w/w", "m/m"]).unwrap_or(share);
        let reading = read(by_mass, &[Kind::Share]).map_err(|e| moved(flag, e, at))?;
        if reading.basis().is_some() {
            return Err(flag
                .wrong("wrong-kind", "a share in a liquid has no moisture basis")
                .hint("type the share by mass alone, such as 35% water"));
        }
        let share = reading
            .share()
            .unwrap_or(Measured::exact(Ratio::of_base(0.0)));
        if part == Part::Alcohol {
            assumed.line(format!("{} alcohol in {name} is by mass", reading.unbroken()));
        }
        shares.push((part, share));
    }
    Composition::new(&shares).map_err(|error| flag.fail(error))
}

fn unknown_part(flag: Flag<'_>, at: usize, text: &str, word: &str) -> Failure {
    let known = Part::ALL.map(Part::name);
    let near = known
        .iter()
        .copied()
        .find(|part| strsim::damerau_levenshtein(part, &word.to_lowercase()) <= 2);
    let hint = match near {
        Some(near) => format!("did you mean {near}?"),
        None => format!("the parts are {}", known.join(", ")),
    };
    flag.wrong("unknown-name", format!("`{word}` is no part of a liquid"))
        .pointing(flag.text, at + text.len() - word.len(), word.len())
        .hint(hint)
}

/// The text before a last word that is one of these.
fn strip_word<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let lower = text.to_lowercase();
    words
        .iter()
        .find(|word| lower.len() == text.len() && lower.ends_with(**word))
        .map(|word| text[..text.len() - word.len()].trim_end())
}

/// The strength on a bottle: % by volume at 20 °C, the rest water.
fn by_volume(
    flag: Flag<'_>,
    at: usize,
    strength: &str,
    part: Part,
    parts: usize,
    name: &str,
    assumed: &mut Assumed,
) -> Outcome<Composition> {
    if part != Part::Alcohol || parts > 1 {
        return Err(flag
            .wrong("wrong-kind", "% vol is for alcohol with water alone")
            .hint("where anything else is in it, type every share by mass"));
    }
    let reading = read(strength, &[Kind::Share]).map_err(|e| moved(flag, e, at))?;
    let strength = reading
        .share()
        .unwrap_or(Measured::exact(Ratio::of_base(0.0)));
    let by_mass = alcohol::share_by_mass(&strength).map_err(|error| flag.fail(error))?;
    assumed.line(format!(
        "{} vol alcohol in {name} is {:.2} % by mass (by volume at 20 °C), the rest water",
        reading.unbroken(),
        by_mass.value().base() * 100.0
    ));
    Composition::spirit(by_mass).map_err(|error| flag.fail(error))
}

/// The mass of an amount of a liquid, where it can be known.
fn mass(
    flag: Flag<'_>,
    amount: &Reading,
    name: &str,
    around: &Around<'_>,
    assumed: &mut Assumed,
) -> Outcome<Measured<Mass>> {
    let is_water = name.eq_ignore_ascii_case("water");
    let density = || -> Outcome<Measured<Density>> {
        if is_water {
            return Ok(around
                .temperature
                .through::<Density>(|temperature| water::density(temperature)));
        }
        around
            .shelf
            .liquid_if(name)?
            .and_then(|liquid| liquid.density)
            .ok_or_else(|| {
                flag.wrong("missing", format!("the density of {name} is not known"))
                    .hint(format!("weigh it, and type its mass: \"… g {name}\""))
            })
    };
    match amount.kind() {
        Kind::Volume => {
            let volume = amount.volume().unwrap_or(Measured::exact(Scalar::of_base(0.0)));
            let density = density()?;
            // The doubts of volume and density are independent.
            let best = volume.value() * density.value();
            let relative = (volume.u() / volume.value().base())
                .hypot(density.u() / density.value().base());
            let mass = Measured::new(best, relative * best.base(), density.dof());
            flag.within(&gutta::measure::MASS, best.base())?;
            Ok(mass)
        }
        Kind::Drops => {
            let drop = if is_water {
                around.drop
            } else {
                for_liquid(flag, name, around.shelf, assumed)?
            };
            let Some(drop) = drop else {
                return Err(flag
                    .wrong("missing", format!("the drop of {name} is not known"))
                    .hint(format!(
                        "weigh it, and type its mass: \"… g {name}\"; or calibrate a dropper with it in the book"
                    )));
            };
            let count = gutta::measure::Drops::new(amount.base());
            flag.within(&gutta::measure::DROP_COUNT, count.count())?;
            let density = if drop.weighed_mass().is_some() {
                Measured::exact(Density::of_base(0.0))
            } else {
                density()?
            };
            Ok(drop.counted_mass(&density, count))
        }
        _ => Ok(flag.weight(amount.clone(), around.scale)?.mass),
    }
}
