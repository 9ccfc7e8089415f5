//! Numbers for people: in the unit typed, rounded to what supports them.

use super::{Reading, Unit};
use crate::measure::{Mass, Temperature, Volume};

/// How finely a quantity is printed. Sizes are in SI base units, a
/// temperature's in kelvin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Digits {
    /// So many significant figures.
    Significant(u32),
    /// At most so many significant figures: zeros at the end of the decimals
    /// are left out.
    AtMost(u32),
    /// To the decimal that does not lose a step of this size, such as a
    /// scale's division.
    Place(f64),
    /// With this half-width of the 95 % interval behind it in two significant
    /// figures, and the value to the same place.
    Doubt(f64),
    /// Rounded as with [`Doubt`](Self::Doubt), the half-width not printed.
    Within(f64),
}

/// How many significant figures stand in where a doubt is none.
const WITHOUT_DOUBT: u32 = 4;

impl Digits {
    /// The decimals for a value in a unit of the given size.
    fn decimals(self, value: f64, size: f64) -> i32 {
        match self {
            Self::Significant(figures) => significant(value, figures),
            Self::AtMost(figures) => without_zeros(value, significant(value, figures)),
            Self::Place(step) => place(step / size),
            Self::Doubt(half) | Self::Within(half) => {
                let half = half / size;
                if half > 0.0 && half.is_finite() {
                    significant(half, 2)
                } else {
                    significant(value, WITHOUT_DOUBT)
                }
            }
        }
    }

    /// The half-width to be printed in a unit of the given size.
    fn half_width(self, size: f64) -> Option<f64> {
        match self {
            Self::Doubt(half) if half > 0.0 && half.is_finite() => Some(half / size),
            _ => None,
        }
    }
}

/// The power of ten of the first figure, once rounded to so many figures.
fn leading_power(value: f64, figures: u32) -> i32 {
    let after_first = figures.saturating_sub(1) as usize;
    let text = format!("{:.after_first$e}", value.abs());
    text.split_once('e')
        .and_then(|(_, power)| power.parse().ok())
        .unwrap_or(0)
}

/// The decimals that show so many significant figures, at least one.
fn significant(value: f64, figures: u32) -> i32 {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    let figures = figures.clamp(1, 17);
    figures.cast_signed() - 1 - leading_power(value, figures)
}

/// The decimals that are left once the zeros at their end are cut.
fn without_zeros(value: f64, decimals: i32) -> i32 {
    let text = number(value, decimals);
    let zeros = match text.split_once('.') {
        Some((_, behind)) => behind.len() - behind.trim_end_matches('0').len(),
        None => 0,
    };
    // No text is longer than an exponent of two is wide.
    decimals - i32::try_from(zeros).unwrap_or(0)
}

/// The decimals that do not lose a step: of 0.5 one, of 2 none.
fn place(step: f64) -> i32 {
    if !(step > 0.0 && step.is_finite()) {
        return 0;
    }
    // A step of 0.01 is a hair more or less once converted: nine figures do.
    -leading_power(step, 9)
}

/// A number with so many decimals, rounded half to even on its exact binary
/// value; negative decimals round to tens, hundreds and so on. Never `-0`.
///
/// ```
/// use gutta::measure::number;
///
/// assert_eq!(number(16.804, 2), "16.80");
/// assert_eq!(number(1234.0, -1), "1230");
/// assert_eq!(number(-0.04, 1), "0.0");
/// ```
pub fn number(value: f64, decimals: i32) -> String {
    let text = match usize::try_from(decimals) {
        Ok(decimals) => format!("{value:.decimals$}"),
        Err(_) => format!("{:.0}", to_tens(value, decimals.unsigned_abs())),
    };
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

/// Rounded to a multiple of ten to a power of one or more.
fn to_tens(value: f64, power: u32) -> f64 {
    let power = power.min(400).cast_signed();
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    // Rounding the decimal digits, not a quotient, rounds once only.
    let after_first = leading_power(value, 17) - power;
    if let Ok(after_first) = usize::try_from(after_first) {
        return format!("{value:.after_first$e}").parse().unwrap_or(value);
    }
    let ten: f64 = format!("1e{power}").parse().unwrap_or(f64::INFINITY);
    if value.abs() > ten / 2.0 {
        ten.copysign(value)
    } else {
        0.0
    }
}

/// A quantity from its number in SI base units, in a fixed unit.
///
/// Between number and unit stands a no-break space. With
/// [`Digits::Doubt`] the half-width follows in the same unit.
///
/// ```
/// use gutta::measure::{Digits, Unit, quantity};
///
/// assert_eq!(quantity(47.8e-6, Unit::MILLIGRAM, Digits::Significant(3)), "47.8\u{a0}mg");
/// assert_eq!(
///     quantity(0.0168, Unit::GRAM, Digits::Doubt(0.004)),
///     "16.8\u{a0}g ± 4.0\u{a0}g",
/// );
/// ```
pub fn quantity(base: f64, unit: &Unit, digits: Digits) -> String {
    let value = unit.from_base(base);
    let decimals = digits.decimals(value, unit.size());
    with_doubt(
        unit.behind(&number(value, decimals)),
        unit,
        digits,
        decimals,
    )
}

fn with_doubt(value: String, unit: &Unit, digits: Digits, decimals: i32) -> String {
    match digits.half_width(unit.size()) {
        Some(half) => format!("{value} ± {}", unit.behind(&number(half, decimals))),
        None => value,
    }
}

/// The units a person uses, so that the answer can be given in them.
///
/// ```
/// use gutta::measure::{Digits, Kind, Manner, Mass, read};
/// use uom::si::mass::gram;
///
/// let mass = Mass::new::<gram>(664.5);
/// let said = |typed: &str| {
///     let typed = read(typed, &[Kind::Mass])?;
///     Ok::<_, gutta::Error>(Manner::of(&typed).mass(mass, Digits::Place(0.1e-3)))
/// };
/// assert_eq!(said("300 g")?, "664.5\u{a0}g");
/// assert_eq!(said("1 kg")?, "0.6645\u{a0}kg");
/// assert_eq!(said("1 lb 6 oz")?, "1\u{a0}lb\u{a0}7.440\u{a0}oz");
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Manner {
    mass: &'static Unit,
    volume: &'static Unit,
    temperature: &'static Unit,
}

impl Default for Manner {
    /// Grams, millilitres and degrees Celsius.
    fn default() -> Self {
        Self {
            mass: Unit::GRAM,
            volume: Unit::MILLILITRE,
            temperature: Unit::CELSIUS,
        }
    }
}

impl Manner {
    /// The units of somebody who typed this, metric in all other kinds.
    pub fn of(reading: &Reading) -> Self {
        Self::default().and(reading)
    }

    /// The same person, who typed this too.
    #[must_use]
    pub fn and(mut self, reading: &Reading) -> Self {
        use super::Kind;
        let unit = reading.unit();
        match unit.kind() {
            Kind::Mass => self.mass = unit,
            Kind::Volume => self.volume = unit,
            Kind::Temperature => self.temperature = unit,
            _ => {}
        }
        self
    }

    /// A mass: in kilograms from 0.1 kg up when kilograms were typed, in
    /// milligrams below 10 g when those were, in pounds and ounces from one
    /// pound up when pounds were; otherwise in the unit typed.
    pub fn mass(&self, mass: Mass, digits: Digits) -> String {
        let base = mass.value;
        if self.mass == Unit::POUND {
            return pounds(base, digits);
        }
        quantity(base, scaled(self.mass, base), digits)
    }

    /// A volume: in litres from 0.1 L up when litres were typed, in
    /// microlitres below 1 mL when those were; otherwise in the unit typed.
    pub fn volume(&self, volume: Volume, digits: Digits) -> String {
        let base = volume.value;
        quantity(base, scaled(self.volume, base), digits)
    }

    /// A temperature in the degrees typed.
    pub fn temperature(&self, temperature: Temperature, digits: Digits) -> String {
        quantity(temperature.value, self.temperature, digits)
    }
}

/// The unit of the same family that suits the size of a value.
fn scaled(unit: &'static Unit, base: f64) -> &'static Unit {
    let base = base.abs();
    let small = base < unit.size() / 10.0;
    if unit == Unit::MEGAGRAM && small {
        scaled(Unit::KILOGRAM, base)
    } else if unit == Unit::KILOGRAM && small || unit == Unit::MILLIGRAM && base >= 0.01 {
        Unit::GRAM
    } else if unit == Unit::LITRE && small || unit == Unit::MICROLITRE && base >= 1e-6 {
        Unit::MILLILITRE
    } else {
        unit
    }
}

const OUNCES_IN_A_POUND: f64 = 16.0;

/// Pounds and ounces, below a pound ounces alone.
fn pounds(base: f64, digits: Digits) -> String {
    let unit = Unit::OUNCE;
    let ounces = unit.from_base(base);
    let decimals = digits.decimals(ounces, unit.size());
    let rounded = number(ounces.abs(), decimals);
    // Sixteen rounded ounces are a pound: round first, then split.
    let whole: f64 = rounded.parse().unwrap_or(0.0);
    let pounds = (whole / OUNCES_IN_A_POUND).floor();
    let value = if pounds < 1.0 {
        unit.behind(&number(ounces, decimals))
    } else {
        let sign = if ounces < 0.0 { "-" } else { "" };
        let rest = number(whole - OUNCES_IN_A_POUND * pounds, decimals.max(0));
        format!(
            "{sign}{}\u{a0}{}",
            Unit::POUND.behind(&number(pounds, 0)),
            unit.behind(&rest)
        )
    };
    with_doubt(value, unit, digits, decimals)
}
