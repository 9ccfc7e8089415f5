//! Numbers for people: in the unit typed, rounded to what supports them.

use super::Unit;

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
    /// Rounded as with [`Doubt`](Self::Doubt), the half-width not printed, and
    /// to so many significant figures at most: a small doubt may be that of a
    /// small part of what stands behind the value.
    Within(f64, u32),
}

/// How many significant figures stand in where a doubt is none.
const WITHOUT_DOUBT: u32 = 4;

impl Digits {
    /// The decimals for a value in a unit of the given size.
    pub(super) fn decimals(self, value: f64, size: f64) -> i32 {
        match self {
            Self::Significant(figures) => significant(value, figures),
            Self::AtMost(figures) => without_zeros(value, significant(value, figures)),
            Self::Place(step) => place(step / size),
            Self::Doubt(half) => by_doubt(value, half / size),
            Self::Within(half, figures) => {
                by_doubt(value, half / size).min(significant(value, figures))
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

/// The decimals of a value with a half-width behind it.
fn by_doubt(value: f64, half: f64) -> i32 {
    if half > 0.0 && half.is_finite() {
        significant(half, 2)
    } else {
        significant(value, WITHOUT_DOUBT)
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

pub(super) fn with_doubt(value: String, unit: &Unit, digits: Digits, decimals: i32) -> String {
    match digits.half_width(unit.size()) {
        Some(half) => format!("{value} ± {}", unit.behind(&number(half, decimals))),
        None => value,
    }
}
