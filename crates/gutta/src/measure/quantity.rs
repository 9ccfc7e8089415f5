//! The quantities of the bench, checked by the compiler.
//!
//! They are [`uom`] quantities in SI base units. The number stored is generic:
//! `f64` for an answer, [`Linear`](super::Linear) where the doubt of every
//! input is carried along.

use std::marker::PhantomData;
use uom::si::{Dimension, Quantity, Units};

pub use uom::si::SI;

use super::Real;

/// A mass, stored in kilograms.
pub type Mass<V = f64> = uom::si::mass::Mass<SI<V>, V>;
/// A volume, stored in cubic metres.
pub type Volume<V = f64> = uom::si::volume::Volume<SI<V>, V>;
/// A density, stored in kilograms per cubic metre.
pub type Density<V = f64> = uom::si::mass_density::MassDensity<SI<V>, V>;
/// A number of dimension one.
pub type Ratio<V = f64> = uom::si::ratio::Ratio<SI<V>, V>;
/// A temperature, stored in kelvin.
pub type Temperature<V = f64> =
    uom::si::thermodynamic_temperature::ThermodynamicTemperature<SI<V>, V>;
/// A pressure, stored in pascals.
pub type Pressure<V = f64> = uom::si::pressure::Pressure<SI<V>, V>;
/// An energy for each amount of substance, stored in joules per mole.
pub type MolarEnergy<V = f64> = uom::si::molar_energy::MolarEnergy<SI<V>, V>;
/// A length, stored in metres.
pub type Length<V = f64> = uom::si::length::Length<SI<V>, V>;
/// A stretch of time, stored in seconds.
pub type Time<V = f64> = uom::si::time::Time<SI<V>, V>;
/// A mass that goes in a time, stored in kilograms per second.
pub type MassRate<V = f64> = uom::si::mass_rate::MassRate<SI<V>, V>;
/// A surface tension, stored in newtons per metre.
pub type SurfaceTension<V = f64> = uom::si::surface_tension::SurfaceTension<SI<V>, V>;
/// A quantity from its number in SI base units.
pub(crate) fn from_base<D, V>(value: V) -> Quantity<D, SI<V>, V>
where
    D: Dimension + ?Sized,
    V: Real,
    SI<V>: Units<V>,
{
    Quantity {
        dimension: PhantomData,
        units: PhantomData,
        value,
    }
}

/// 20 °C: the temperature of everything for which none is given.
pub const ROOM_TEMPERATURE: Temperature = Temperature {
    dimension: PhantomData,
    units: PhantomData,
    value: ICE_POINT + 20.0,
};

/// 1013.25 hPa.
pub const STANDARD_PRESSURE: Pressure = Pressure {
    dimension: PhantomData,
    units: PhantomData,
    value: 101_325.0,
};

/// A half, as a ratio.
pub const HALF: Ratio = Ratio {
    dimension: PhantomData,
    units: PhantomData,
    value: 0.5,
};

/// 0 °C in kelvin.
const ICE_POINT: f64 = 273.15;

/// The number of degrees Celsius of a temperature.
pub fn celsius<V: Real>(temperature: Temperature<V>) -> V
where
    SI<V>: Units<V>,
{
    temperature.value - V::exact(ICE_POINT)
}
