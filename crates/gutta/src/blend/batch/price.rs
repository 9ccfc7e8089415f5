//! Money, and money for a mass.

use std::ops::{Add, Div, Mul};
use std::str::FromStr;

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{Kind, Mass, Real, leading_number, read, scalar_newtype};

/// A sum of money, of no unit.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Money<V = f64>(V);

/// Money for a mass; money for a kilogram inside.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::batch::{Money, Price};
/// use gutta::measure::{Mass, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let price: Price = "38 /kg".parse()?;
/// assert_eq!(price * Mass::new::<gram>(250.0), Money::new(9.5));
/// // What is bought with water in it is dearer dry.
/// let at = Moisture::new(Ratio::new::<percent>(20.0))?;
/// assert!((price.of_dry(at).per_kilogram() - 47.5).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Price<V = f64>(V);

scalar_newtype!(Money);
scalar_newtype!(Price);

/// What to write for a price.
pub const PRICE_FORM: &str =
    "write a number, / and the mass that it buys, such as 38 /kg; money has no unit here";

/// More for a kilogram is no price of leaf.
const DEAREST: f64 = 1e9;

impl Money {
    /// A sum of money.
    pub const fn new(sum: f64) -> Self {
        Self(sum)
    }

    /// The sum.
    pub const fn sum(self) -> f64 {
        self.0
    }
}

impl Price {
    /// Money for a kilogram, from 0 to a thousand million.
    ///
    /// # Errors
    /// When it is below 0, or beyond that.
    pub fn new(per_kilogram: f64) -> Result<Self> {
        if (0.0..=DEAREST).contains(&per_kilogram) {
            return Ok(Self(per_kilogram));
        }
        Err(Error::new(
            ErrorKind::OutOfRange,
            "a price must be at least 0 /kg and at most 1000000000 /kg",
        )
        .with_hint(PRICE_FORM))
    }

    /// Money for a kilogram.
    pub const fn per_kilogram(self) -> f64 {
        self.0
    }
}

impl<V: Real> Price<V>
where
    SI<V>: Units<V>,
{
    /// The price of the dry matter of leaf that is bought at a moisture: p/(1 − m).
    /// Two offers at two moistures compare by it.
    #[must_use]
    pub fn of_dry(self, at: Moisture<V>) -> Self {
        Self(self.0 / at.dry_share().value)
    }
}

impl<V: Real> Mul<Mass<V>> for Price<V>
where
    SI<V>: Units<V>,
{
    type Output = Money<V>;

    fn mul(self, mass: Mass<V>) -> Money<V> {
        Money(self.0 * mass.value)
    }
}

impl<V: Real> Div<Mass<V>> for Money<V>
where
    SI<V>: Units<V>,
{
    type Output = Price<V>;

    fn div(self, mass: Mass<V>) -> Price<V> {
        Price(self.0 / mass.value)
    }
}

impl<V: Real> Add for Money<V> {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl FromStr for Price {
    type Err = Error;

    /// # Errors
    /// When there is no number, no mass behind a `/` or `per`, a doubt, or the
    /// price is below 0.
    fn from_str(text: &str) -> Result<Self> {
        let lead = text.len() - text.trim_start().len();
        let whole = |error: Error| error.with_place(text, lead, text.trim().len());
        let stray =
            |message: &str| whole(Error::new(ErrorKind::Stray, message)).with_hint(PRICE_FORM);
        if text.trim_start().starts_with(['-', '−']) {
            return Err(
                whole(Error::new(ErrorKind::OutOfRange, "a price is not below 0"))
                    .with_hint(PRICE_FORM),
            );
        }
        let Some((number, end)) = leading_number(&text[lead..])? else {
            return Err(stray("the price has no number"));
        };
        let behind = text[lead + end..].trim();
        let unit = behind
            .strip_prefix('/')
            .or_else(|| behind.strip_prefix("per "))
            .map(str::trim);
        let Some(unit) = unit.filter(|unit| !unit.is_empty()) else {
            return Err(stray("it is not said which mass the price buys"));
        };
        let of = if unit.starts_with(|c: char| c.is_numeric()) {
            read(unit, &[Kind::Mass])
        } else {
            read(&format!("1 {unit}"), &[Kind::Mass])
        };
        let of = of.map_err(|_| stray(&format!("`{unit}` is no mass")))?;
        if !(of.is_exact() && of.base() > 0.0) {
            return Err(stray(
                "the mass that a price buys is a plain figure above 0",
            ));
        }
        Self::new(number / of.base()).map_err(whole)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 lb = 0.45359237 kg and 1 oz = 1/16 lb, exactly (agreement of 1959).
    #[test]
    fn a_price_is_read_by_its_mass() {
        for (text, per_kilogram) in [
            ("38 /kg", 38.0),
            ("38/kg", 38.0),
            (" 44,5 per kg ", 44.5),
            ("0.038 /g", 38.0),
            ("9.5 /250 g", 38.0),
            ("17.2 /lb", 17.2 / 0.453_592_37),
            ("1 /oz", 16.0 / 0.453_592_37),
            ("0 /kg", 0.0),
        ] {
            let price: Price = text.parse().unwrap();
            assert!((price.per_kilogram() - per_kilogram).abs() <= 1e-12 * per_kilogram);
        }
    }

    #[test]
    fn what_is_no_price_is_refused() {
        for (text, said) in [
            ("", "the price has no number"),
            ("dear", "the price has no number"),
            ("38", "it is not said which mass the price buys"),
            ("38 €", "it is not said which mass the price buys"),
            ("38 /", "it is not said which mass the price buys"),
            ("38 /mL", "`mL` is no mass"),
            (
                "38 /0 kg",
                "the mass that a price buys is a plain figure above 0",
            ),
            ("-38 /kg", "a price is not below 0"),
            (
                "1e12 /kg",
                "a price must be at least 0 /kg and at most 1000000000 /kg",
            ),
            ("1,250 /kg", "`1,250` can be read in two ways"),
        ] {
            let error = text.parse::<Price>().unwrap_err();
            assert_eq!(error.to_string(), said, "{text}");
            assert!(error.hint().is_some(), "{text}");
        }
    }
}
