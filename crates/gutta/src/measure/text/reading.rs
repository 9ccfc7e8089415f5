//! A quantity as somebody typed it.

use std::fmt;

use super::amount::{Amount, Part};
use super::{Kind, Unit};
use crate::measure::{
    Density, Drops, DropsPerVolume, Length, Mass, Measured, Pressure, Ratio, Scalar,
    SurfaceTension, Temperature, Time, Volume,
};

/// A quantity as somebody typed it: its digits, its unit and its doubt.
///
/// It prints as it was entered, in tidy spelling; what is printed is read back
/// as the same reading.
///
/// ```
/// use gutta::measure::{Kind, read};
///
/// let leaf = read("1lb 6,0oz +- 5%", &[Kind::Mass])?;
/// assert_eq!(leaf.to_string(), "1 lb 6.0 oz ± 5 %");
/// assert!((leaf.base() - 22.0 / 16.0 * 0.45359237).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
///
/// # Why keep what was typed?
///
/// The answer is given in the unit of the question, a file must hold `3 g` and
/// not 0.003 of something, and the last decimal typed says how finely a scale
/// was read. A quantity alone has forgotten all three.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    pub(super) amount: Amount,
    pub(super) basis: Option<Basis>,
    pub(super) spread: Spread,
}

/// What a percentage of moisture is a percentage of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Water in the whole: `wb`.
    Wet,
    /// Water to the dry matter: `db`.
    Dry,
}

impl Basis {
    /// The basis as it is typed behind a percentage.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Wet => "wb",
            Self::Dry => "db",
        }
    }
}

/// The doubt that was typed with a quantity, in SI base units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// No doubt was typed.
    None,
    /// `±`: the half-width of a 95 % normal interval, not negative.
    HalfWidth(f64),
    /// A range: any value within is as likely as another.
    Range {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
}

/// The doubt as typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Spread {
    None,
    Around { half: Part, relative: bool },
    UpTo(Amount),
}

impl Reading {
    /// What the quantity is.
    pub const fn kind(&self) -> Kind {
        self.amount.first.unit.kind()
    }

    /// The unit typed; of `1 lb 6 oz` the first.
    pub const fn unit(&self) -> &'static Unit {
        self.amount.first.unit
    }

    /// The basis typed behind a percentage, if one was.
    pub const fn basis(&self) -> Option<Basis> {
        self.basis
    }

    /// The best value in SI base units: of a range, the middle.
    pub fn base(&self) -> f64 {
        let low = self.amount.base();
        match &self.spread {
            Spread::UpTo(high) => low.midpoint(high.base()),
            _ => low,
        }
    }

    /// The doubt typed, in SI base units (a temperature's in kelvin).
    pub fn doubt(&self) -> Doubt {
        match &self.spread {
            Spread::None => Doubt::None,
            Spread::Around { half, relative } => Doubt::HalfWidth(if *relative {
                half.size() * self.amount.base().abs()
            } else {
                half.size()
            }),
            Spread::UpTo(high) => Doubt::Range {
                low: self.amount.base(),
                high: high.base(),
            },
        }
    }

    /// Whether no doubt was typed.
    pub const fn is_exact(&self) -> bool {
        matches!(self.spread, Spread::None)
    }

    /// How many digits stand behind the decimal mark of the value; of a range
    /// the lower end's, of `1 lb 6.5 oz` the last part's.
    pub fn decimals(&self) -> u32 {
        self.amount.last().number.decimals()
    }

    /// One unit of the last digit typed of the value, in SI base units: of
    /// `10.00 g` a hundredth of a gram, of `½ oz` half an ounce.
    pub fn last_place(&self) -> f64 {
        let last = self.amount.last();
        last.number.step() * last.unit.size()
    }

    /// The mass with its doubt, when it is one.
    pub fn mass(&self) -> Option<Measured<Mass>> {
        self.measured(Kind::Mass)
    }

    /// The volume with its doubt, when it is one.
    pub fn volume(&self) -> Option<Measured<Volume>> {
        self.measured(Kind::Volume)
    }

    /// The density with its doubt, when it is one.
    pub fn density(&self) -> Option<Measured<Density>> {
        self.measured(Kind::Density)
    }

    /// The number of dimension one with its doubt, when it is one, on the
    /// [basis](Self::basis) typed.
    pub fn share(&self) -> Option<Measured<Ratio>> {
        self.measured(Kind::Share)
    }

    /// The temperature with its doubt, when it is one.
    pub fn temperature(&self) -> Option<Measured<Temperature>> {
        self.measured(Kind::Temperature)
    }

    /// The pressure with its doubt, when it is one.
    pub fn pressure(&self) -> Option<Measured<Pressure>> {
        self.measured(Kind::Pressure)
    }

    /// The count of drops with its doubt, when it is one.
    pub fn drops(&self) -> Option<Measured<Drops>> {
        self.measured(Kind::Drops)
    }

    /// The number of drops per volume with its doubt, when it is one.
    pub fn drops_per_volume(&self) -> Option<Measured<DropsPerVolume>> {
        self.measured(Kind::DropsPerVolume)
    }

    /// The length with its doubt, when it is one.
    pub fn length(&self) -> Option<Measured<Length>> {
        self.measured(Kind::Length)
    }

    /// The stretch of time, where it is one.
    pub fn time(&self) -> Option<Measured<Time>> {
        self.measured(Kind::Time)
    }

    /// The surface tension with its doubt, when it is one.
    pub fn surface_tension(&self) -> Option<Measured<SurfaceTension>> {
        self.measured(Kind::SurfaceTension)
    }

    /// A half-width is that of a 95 % normal interval; a range is rectangular,
    /// u = width / √12 (JCGM 100:2008, 4.3.7).
    fn measured<S: Scalar>(&self, kind: Kind) -> Option<Measured<S>> {
        if self.kind() != kind {
            return None;
        }
        let value = S::of_base(self.base());
        Some(match self.doubt() {
            Doubt::None => Measured::exact(value),
            Doubt::HalfWidth(half) => Measured::with_half_width(value, half),
            Doubt::Range { low, high } => Measured::rectangular(value, (high - low) / 2.0),
        })
    }

    /// The value as it prints, in the parts that were typed and without the
    /// doubt behind `±`; a range as it stands. With no-break spaces.
    ///
    /// ```
    /// use gutta::measure::{Kind, read};
    ///
    /// let leaf = read("1 lb 6 oz ± 1 oz", &[Kind::Mass])?;
    /// assert_eq!(leaf.unbroken_value(), "1\u{a0}lb\u{a0}6\u{a0}oz");
    /// # Ok::<(), gutta::Error>(())
    /// ```
    pub fn unbroken_value(&self) -> String {
        match self.spread {
            Spread::UpTo(_) => self.unbroken(),
            Spread::None | Spread::Around { .. } => self.amount.print() + &self.printed_basis(),
        }
    }

    fn printed_basis(&self) -> String {
        self.basis
            .map_or_else(String::new, |basis| format!("\u{a0}{}", basis.symbol()))
    }

    /// The reading as it prints, with no-break spaces inside each number and
    /// before its unit.
    pub fn unbroken(&self) -> String {
        let value = self.amount.print();
        let basis = self.printed_basis();
        match &self.spread {
            Spread::None => value + &basis,
            Spread::Around { half, relative } => {
                let half = half.print();
                match relative {
                    // Behind a percentage, a percentage would be points.
                    true if self.unit() == Unit::PERCENT => {
                        format!("{value}{basis} ± {half}\u{a0}rel")
                    }
                    _ => format!("{value} ± {half}{basis}"),
                }
            }
            Spread::UpTo(high) if self.amount.shares_unit(high) => {
                let low = self.amount.first.number.text().replace(' ', "\u{a0}");
                let high = high.print();
                format!("{}{low}–{high}{basis}", self.amount.sign())
            }
            Spread::UpTo(high) => format!("{value} – {}{basis}", high.print()),
        }
    }
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.unbroken().replace('\u{a0}', " "))
    }
}
