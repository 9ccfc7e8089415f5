//! A unit that is read and printed.

use std::fmt;

use uom::{ConstantOp, Conversion};

use super::Kind;

/// A unit that is read and printed.
///
/// ```
/// use gutta::measure::Unit;
///
/// assert_eq!(Unit::OUNCE.symbol(), "oz");
/// assert!((Unit::CELSIUS.to_base(20.0) - 293.15).abs() < 1e-9);
/// ```
pub struct Unit {
    pub(super) kind: Kind,
    pub(super) symbol: &'static str,
    pub(super) plural: &'static str,
    pub(super) factor: Factor,
    /// Read whatever the case of the letters.
    pub(super) spellings: &'static [&'static str],
    /// Read in this case only.
    pub(super) cased: &'static [&'static str],
}

/// Two units are the same when they are printed alike.
impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.symbol == other.symbol
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({})", self.symbol)
    }
}

impl Unit {
    /// What a quantity in this unit is.
    pub const fn kind(&self) -> Kind {
        self.kind
    }

    /// The unit as it is printed after the number one.
    pub const fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// The unit as it is printed after any other number: `drops`, `cups`.
    pub const fn plural(&self) -> &'static str {
        self.plural
    }

    /// The size of the unit in SI base units; of a temperature, that of one
    /// degree in kelvin.
    pub fn size(&self) -> f64 {
        (self.factor.coefficient)()
    }

    /// From a number in this unit to the number in SI base units.
    pub fn to_base(&self, number: f64) -> f64 {
        (number + (self.factor.constant)()) * self.size()
    }

    /// From a number in SI base units to the number in this unit.
    pub fn from_base(&self, base: f64) -> f64 {
        base / self.size() - (self.factor.constant)()
    }

    /// A printed number with this unit behind it and no space that could
    /// break: one drop, half a cup, two drops.
    pub(super) fn behind(&self, number: &str) -> String {
        let digits = number.contains(|c: char| c.is_ascii_digit());
        let is_part = !digits || number.contains('/') && !number.contains(' ');
        let name = if is_part || number == "1" {
            self.symbol
        } else {
            self.plural
        };
        format!("{number} {name}").replace(' ', "\u{a0}")
    }

    /// Every spelling that is read.
    pub(super) fn spellings(&self) -> impl Iterator<Item = &'static str> {
        self.cased.iter().chain(self.spellings).copied()
    }

    /// Whether this spelling, tidied, is read as this unit.
    pub(super) fn is_spelled(&self, text: &str) -> bool {
        self.cased.contains(&text) || self.spellings.iter().any(|s| s.eq_ignore_ascii_case(text))
    }
}

/// How a unit is turned into the SI base unit.
pub(super) struct Factor {
    coefficient: fn() -> f64,
    constant: fn() -> f64,
}

/// As the quantities have it.
pub(super) const fn of<N: Conversion<f64, T = f64>>() -> Factor {
    Factor {
        coefficient: N::coefficient,
        constant: || N::constant(ConstantOp::Add),
    }
}

/// One unit for each of another.
pub(super) const fn per<N, D>() -> Factor
where
    N: Conversion<f64, T = f64>,
    D: Conversion<f64, T = f64>,
{
    Factor {
        coefficient: || N::coefficient() / D::coefficient(),
        constant: || 0.0,
    }
}
