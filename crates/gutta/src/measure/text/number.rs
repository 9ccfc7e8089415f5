//! A number as it was typed.

use super::complaint;
use super::cursor::{Cursor, Spot};
use super::naming::known_at;
use crate::error::Result;

/// An unsigned number with its digits as typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Number {
    value: f64,
    /// With a point for the decimal mark, otherwise as typed.
    text: String,
    decimals: u32,
    step: f64,
}

impl Number {
    pub(super) const fn value(&self) -> f64 {
        self.value
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// How many digits stand behind the decimal mark.
    pub(super) const fn decimals(&self) -> u32 {
        self.decimals
    }

    /// One unit of the last digit; of a fraction, one part.
    pub(super) const fn step(&self) -> f64 {
        self.step
    }
}

/// The fractions that are one character.
const FRACTIONS: [(char, f64, f64); 9] = [
    ('½', 1.0, 2.0),
    ('¼', 1.0, 4.0),
    ('¾', 3.0, 4.0),
    ('⅓', 1.0, 3.0),
    ('⅔', 2.0, 3.0),
    ('⅛', 1.0, 8.0),
    ('⅜', 3.0, 8.0),
    ('⅝', 5.0, 8.0),
    ('⅞', 7.0, 8.0),
];

const FRACTION_BARS: [char; 3] = ['/', '⁄', '∕'];

const GROUPING: [char; 4] = ['_', '\'', '’', '`'];

/// The number that a text begins with, and how many bytes it takes; none when
/// it begins with no number. For what is counted in words, as parts are.
///
/// ```
/// use gutta::measure::leading_number;
/// assert_eq!(leading_number("2,5 parts")?, Some((2.5, 3)));
/// assert_eq!(leading_number("parts")?, None);
/// # Ok::<(), gutta::Error>(())
/// ```
///
/// # Errors
/// When the number can be read in two ways, or is beyond what one can hold.
pub fn leading_number(text: &str) -> Result<Option<(f64, usize)>> {
    let mut cursor = Cursor::new(text);
    let number = number_at(&mut cursor)?;
    Ok(number.map(|number| (number.value(), cursor.at())))
}

/// Reads a number at the cursor and moves behind it; none when no number
/// begins here.
pub(super) fn number_at(cursor: &mut Cursor<'_>) -> Result<Option<Number>> {
    let start = *cursor;
    if let Some(fraction) = fraction_at(cursor) {
        return fraction.number("", cursor.since(start)).map(Some);
    }
    let typed = digits_and_marks(cursor);
    if typed.is_empty() {
        return Ok(None);
    }
    refuse_grouping(*cursor, start)?;
    let mut next = cursor.behind_blanks();
    if let Some(fraction) = fraction_at(&mut next) {
        *cursor = next;
        return fraction.number(typed, cursor.since(start)).map(Some);
    }
    let mut next = *cursor;
    if next.eat(&FRACTION_BARS).is_some() && !digits(&mut next).is_empty() {
        return Err(complaint::not_a_fraction(next.since(start)));
    }
    let mantissa = one_mark(typed, *cursor, start)?;
    let exponent = exponent(cursor);
    decimal(&mantissa, &exponent, cursor.since(start)).map(Some)
}

fn digits<'a>(cursor: &mut Cursor<'a>) -> &'a str {
    cursor.take_while(|c| c.is_ascii_digit())
}

/// A run of digits and decimal marks. A comma belongs to it before a digit
/// only: otherwise it separates.
fn digits_and_marks<'a>(cursor: &mut Cursor<'a>) -> &'a str {
    let rest = cursor.rest();
    let bytes = rest.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut len = 0;
    loop {
        let belongs = match bytes.get(len) {
            Some(b'0'..=b'9') => true,
            Some(b'.') => digit(len + 1) || len > 0 && digit(len - 1),
            Some(b',') => digit(len + 1),
            _ => false,
        };
        if !belongs {
            break;
        }
        len += 1;
    }
    cursor.skip(len);
    &rest[..len]
}

/// Refuses digits in groups: not every reader groups by three.
fn refuse_grouping<'a>(cursor: Cursor<'a>, start: Cursor<'a>) -> Result<()> {
    let mut end = cursor;
    if end.eat(&GROUPING).is_none() || digits(&mut end).is_empty() {
        return Ok(());
    }
    end.take_while(|c| c.is_ascii_digit() || GROUPING.contains(&c));
    Err(complaint::grouped(end.since(start), &GROUPING))
}

/// A fraction as it was typed.
struct Fraction<'a> {
    numerator: f64,
    denominator: f64,
    text: &'a str,
}

/// A fraction at the cursor: one character, or two whole numbers.
fn fraction_at<'a>(cursor: &mut Cursor<'a>) -> Option<Fraction<'a>> {
    let start = *cursor;
    let mut end = start;
    let parts = FRACTIONS
        .iter()
        .find(|(c, ..)| end.eat(&[*c]).is_some())
        .map(|(_, numerator, denominator)| (*numerator, *denominator))
        .or_else(|| {
            let numerator = digits(&mut end).parse().ok()?;
            end.eat(&FRACTION_BARS)?;
            Some((numerator, digits(&mut end).parse().ok()?))
        });
    let (numerator, denominator) = parts?;
    *cursor = end;
    Some(Fraction {
        numerator,
        denominator,
        text: end.since(start).words(),
    })
}

impl Fraction<'_> {
    /// The number behind a whole number, which may be missing.
    fn number(&self, whole: &str, spot: Spot<'_>) -> Result<Number> {
        let part = self.numerator / self.denominator;
        let is_part = part < 1.0 && whole.bytes().all(|b| b.is_ascii_digit());
        let is_whole = whole.is_empty() && part.is_finite();
        if !is_part && !is_whole {
            return Err(complaint::not_a_fraction(spot));
        }
        let slashed = self.text.replace(&FRACTION_BARS[1..], "/");
        let blank = if whole.is_empty() || !slashed.contains('/') {
            ""
        } else {
            " "
        };
        let before = if whole.is_empty() { "0" } else { whole };
        let value = part + before.parse().unwrap_or(f64::INFINITY);
        finite(
            Number {
                value,
                text: format!("{whole}{blank}{slashed}"),
                decimals: 0,
                step: 1.0 / self.denominator,
            },
            spot,
        )
    }
}

/// The digits with a point for their one decimal mark.
fn one_mark<'a>(typed: &str, cursor: Cursor<'a>, start: Cursor<'a>) -> Result<String> {
    let commas = typed.matches(',').count();
    let points = typed.matches('.').count();
    let spot = cursor.since(start);
    let unit = known_at(cursor);
    match (commas, points) {
        (0, 0 | 1) => Ok(typed.to_owned()),
        (1, 0) => {
            let point = typed.replace(',', ".");
            let (before, after) = typed.split_once(',').unwrap_or((typed, ""));
            // A zero in front begins no group of thousands.
            let groups = after.len() == 3 && !before.is_empty() && !before.starts_with('0');
            if groups {
                let readings = [point, typed.replace(',', "")];
                return Err(complaint::two_readings(spot, &readings, unit));
            }
            Ok(point)
        }
        (1, 1) => {
            let one = |mark: &str| typed.replacen(mark, "", 1).replace(',', ".");
            let (first, last) = if typed.find(',') < typed.find('.') {
                (",", ".")
            } else {
                (".", ",")
            };
            let readings = [one(first), one(last)];
            Err(complaint::comma_and_point(spot, &readings, unit))
        }
        _ => Err(complaint::many_marks(spot, unit)),
    }
}

/// The exponent with its sign, when one stands here whole.
fn exponent(cursor: &mut Cursor<'_>) -> String {
    let mut next = *cursor;
    if next.eat(&['e', 'E']).is_none() {
        return String::new();
    }
    let sign = match next.eat(&['+', '-', '−']) {
        Some('-' | '−') => "-",
        _ => "",
    };
    let digits = digits(&mut next);
    if digits.is_empty() {
        return String::new();
    }
    *cursor = next;
    format!("{sign}{digits}")
}

/// The number from its digits with a point and its exponent.
fn decimal(mantissa: &str, exponent: &str, spot: Spot<'_>) -> Result<Number> {
    let mantissa = mantissa.trim_end_matches('.');
    let zero = if mantissa.starts_with('.') { "0" } else { "" };
    let decimals = mantissa.split_once('.').map_or(0, |(_, after)| after.len());
    let text = if exponent.is_empty() {
        format!("{zero}{mantissa}")
    } else {
        format!("{zero}{mantissa}e{exponent}")
    };
    let value: f64 = text.parse().unwrap_or(f64::INFINITY);
    if value == 0.0 && mantissa.bytes().any(|b| matches!(b, b'1'..=b'9')) {
        return Err(complaint::too_small(spot));
    }
    let decimals = u32::try_from(decimals).unwrap_or(u32::MAX);
    let power = exponent.parse::<f64>().unwrap_or(0.0) - f64::from(decimals);
    let step = format!("1e{power}").parse().unwrap_or(f64::INFINITY);
    finite(
        Number {
            value,
            text,
            decimals,
            step,
        },
        spot,
    )
}

fn finite(number: Number, spot: Spot<'_>) -> Result<Number> {
    if number.value.is_finite() && number.step.is_finite() {
        Ok(number)
    } else {
        Err(complaint::too_large(spot))
    }
}
