//! The air of the room: its density, and what it carries of a weight.

use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::specific_volume::SpecificVolume;
use uom::si::{SI, Units};

use crate::error::Result;
use crate::measure::{
    AIR_PRESSURE, Density, Measured, Pressure, RELATIVE_HUMIDITY, ROOM_TEMPERATURE, Ratio, Real,
    Scalar, Temperature, WATER_TEMPERATURE, celsius,
};

/// The state of the air in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    temperature: Measured<Temperature>,
    pressure: Measured<Pressure>,
    humidity: Measured<Ratio>,
}

impl Air {
    /// 20 °C, 1013.25 hPa, 50 % relative humidity.
    pub const ROOM: Self = Self {
        temperature: Measured::exact(ROOM_TEMPERATURE),
        pressure: Measured::exact(crate::measure::STANDARD_PRESSURE),
        humidity: Measured::exact(crate::measure::HALF),
    };

    /// Air at a temperature (0 to 40 °C), a pressure of the room itself (500
    /// to 1 100 hPa) and a relative humidity (0 to 100 %).
    ///
    /// # Errors
    /// When one of them is outside its range.
    pub fn new(
        temperature: Measured<Temperature>,
        pressure: Measured<Pressure>,
        humidity: Measured<Ratio>,
    ) -> Result<Self> {
        WATER_TEMPERATURE.check_base(temperature.value().base())?;
        AIR_PRESSURE.check_base(pressure.value().base())?;
        RELATIVE_HUMIDITY.check_base(humidity.value().base())?;
        Ok(Self {
            temperature,
            pressure,
            humidity,
        })
    }

    /// The temperature of the air, and of what is weighed in it.
    pub const fn temperature(&self) -> &Measured<Temperature> {
        &self.temperature
    }

    /// The pressure of the room itself.
    pub const fn pressure(&self) -> &Measured<Pressure> {
        &self.pressure
    }

    /// The relative humidity.
    pub const fn humidity(&self) -> &Measured<Ratio> {
        &self.humidity
    }
}

/// The density of air in kg/m³: ρ = (0.34848 p − 0.009 h e^(0.061 t)) /
/// (273.15 + t), p in hPa, h in %, t in °C.
///
/// Source: the simplified exponential form of the CIPM equation (OIML R 111-1,
/// E.3); within 2·10⁻⁴ relative for 900 to 1100 hPa, 10 to 30 °C and below
/// 80 % relative humidity.
pub fn density<V: Real>(
    temperature: Temperature<V>,
    pressure: Pressure<V>,
    humidity: Ratio<V>,
) -> Density<V>
where
    SI<V>: Units<V>,
{
    let t = celsius(temperature);
    let p = pressure.value / V::exact(100.0);
    let h = humidity.value * V::exact(100.0);
    let dry = V::exact(0.348_48) * p;
    let vapour = V::exact(0.009) * h * (V::exact(0.061) * t).exp();
    Density::<f64>::from_base((dry - vapour) / temperature.value)
}

/// The density of the weights that a balance is adjusted with, by convention:
/// 8000 kg/m³ (OIML R 111-1).
pub const WEIGHTS_DENSITY: f64 = 8000.0;

/// The volume of a liquid for each unit of mass that a balance shows in air:
/// (1 − ρ_air/ρ_weights) / (ρ_liquid − ρ_air). For water this is the Z factor
/// of ISO 8655-6, in mL/g when multiplied by 1000.
pub fn volume_per_reading<V: Real>(liquid: Density<V>, air: Density<V>) -> SpecificVolume<SI<V>, V>
where
    SI<V>: Units<V>,
{
    let weights = Density::<f64>::new::<kilogram_per_cubic_meter>(WEIGHTS_DENSITY).lift::<V>();
    (Ratio::from(V::one()) - air / weights) / (liquid - air)
}
