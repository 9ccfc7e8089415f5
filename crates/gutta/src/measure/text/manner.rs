//! Quantities in the units that a person uses.

use super::print::{Digits, number, quantity, with_doubt};
use super::{Kind, Reading, Unit};
use crate::measure::{Mass, Temperature, Volume};

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
        let unit = reading.unit();
        match unit.kind() {
            Kind::Mass => self.mass = unit,
            Kind::Volume => self.volume = unit,
            Kind::Temperature => self.temperature = unit,
            _ => {}
        }
        self
    }

    /// The unit that the decimals of a mass are of: ounces where pounds were typed.
    pub fn mass_unit(&self) -> &'static Unit {
        if self.mass == Unit::POUND {
            Unit::OUNCE
        } else {
            self.mass
        }
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
    if (unit == Unit::MEGAGRAM || unit == Unit::TONNE) && small {
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
