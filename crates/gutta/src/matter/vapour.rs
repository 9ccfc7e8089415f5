//! Water vapour: its pressure at saturation, and how much of it is in air.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Density, Measured, Pressure, RELATIVE_HUMIDITY, Ratio, Real, Scalar, Temperature,
    WATER_TEMPERATURE,
};

/// The critical point of water: K and Pa.
const CRITICAL: (f64, f64) = (647.096, 22.064e6);

/// The coefficients of ln(p/p_c), each with its power of τ.
const POWERS: [(f64, f64); 6] = [
    (-7.859_517_83, 1.0),
    (1.844_082_59, 1.5),
    (-11.786_649_7, 3.0),
    (22.680_741_1, 3.5),
    (-15.961_871_9, 4.0),
    (1.801_225_02, 7.5),
];

/// The pressure of water vapour over liquid water in Pa:
/// ln(p/p_c) = (T_c/T)(a₁τ + a₂τ^1.5 + a₃τ³ + a₄τ^3.5 + a₅τ⁴ + a₆τ^7.5),
/// τ = 1 − T/T_c, T_c = 647.096 K, p_c = 22.064 MPa.
///
/// Source: Wagner W. and Pruss A., International equations for the saturation
/// properties of ordinary water substance, J. Phys. Chem. Ref. Data 22 (1993)
/// 783–787 (IAPWS SR1-86); 0.01 to 374 °C. The coefficients are from memory; they
/// yield its check values, and from 5 to 40 °C it is within 7.5·10⁻⁵ of IAPWS-95.
/// Air at the pressure of a room holds about 0.4 % more, which is left out.
///
/// ```
/// use gutta::matter::vapour;
/// use gutta::measure::ROOM_TEMPERATURE;
/// let pressure = vapour::saturation_pressure(ROOM_TEMPERATURE);
/// assert!((pressure.value - 2339.2).abs() < 0.2);
/// ```
pub fn saturation_pressure<V: Real>(temperature: Temperature<V>) -> Pressure<V>
where
    SI<V>: Units<V>,
{
    let (critical_temperature, critical_pressure) = CRITICAL;
    let reduced = temperature.value / V::exact(critical_temperature);
    let tau = V::one() - reduced;
    let sum: V = POWERS
        .iter()
        .map(|&(a, power)| V::exact(a) * tau.powf(power))
        .sum();
    Pressure::<f64>::from_base(V::exact(critical_pressure) * (sum / reduced).exp())
}

/// The specific gas constant of water vapour in J/(kg K).
const VAPOUR_CONSTANT: f64 = 461.523;

/// The water in air, mass per volume (kg/m³; a thousand times as many g/m³):
/// ρ = h p_s(T)/(R_v T), h the relative humidity (0 to 1), R_v = 461.523 J/(kg K).
///
/// Source: the ideal gas; vapour at saturation is denser than that by 0.1 % at
/// 5 °C and 0.3 % at 40 °C. From 0 to 40 °C.
///
/// ```
/// use gutta::matter::vapour;
/// use gutta::measure::{HALF, ROOM_TEMPERATURE};
/// use uom::si::mass_density::gram_per_cubic_meter;
/// let water = vapour::absolute_humidity(HALF, ROOM_TEMPERATURE);
/// assert!((water.get::<gram_per_cubic_meter>() - 8.645).abs() < 1e-3);
/// ```
pub fn absolute_humidity<V: Real>(humidity: Ratio<V>, temperature: Temperature<V>) -> Density<V>
where
    SI<V>: Units<V>,
{
    let pressure = humidity * saturation_pressure(temperature);
    Density::<f64>::from_base(pressure.value / (V::exact(VAPOUR_CONSTANT) * temperature.value))
}

/// The relative humidity of the same air at another temperature, such as that
/// of a sensor that is warmer than the air about it: h₂ = h₁ p_s(T₁)/p_s(T₂). At
/// 20 °C one degree is a sixteenth of it.
///
/// Source: the pressure of the vapour is the same at both places; 0 to 40 °C.
pub fn humidity_at<V: Real>(
    humidity: Ratio<V>,
    from: Temperature<V>,
    to: Temperature<V>,
) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    humidity * (saturation_pressure(from) / saturation_pressure(to))
}

/// Halvings of a span of 40 K until nothing changes.
const HALVINGS: u32 = 60;

/// The dew point of air of a relative humidity (0 to 100 %) at a temperature (0
/// to 40 °C): where [`saturation_pressure`] is the pressure of its vapour.
///
/// ```
/// use gutta::matter::vapour;
/// use gutta::measure::{HALF, ROOM_TEMPERATURE, celsius};
/// let dew = vapour::dew_point(HALF, ROOM_TEMPERATURE)?;
/// assert!((celsius(dew) - 9.27).abs() < 0.01);
/// # Ok::<(), gutta::Error>(())
/// ```
///
/// # Errors
/// When the humidity is outside 0 to 100 %; a refusal when the temperature is
/// outside 0 to 40 °C, or when the dew point would be below 0 °C, where it is
/// frost.
pub fn dew_point(humidity: Ratio, temperature: Temperature) -> Result<Temperature> {
    RELATIVE_HUMIDITY.check_base(humidity.base())?;
    WATER_TEMPERATURE.check_base(temperature.base())?;
    let vapour = humidity * saturation_pressure(temperature);
    let freezing = Temperature::of_base(273.15);
    if vapour < saturation_pressure(freezing) {
        return Err(Error::new(
            ErrorKind::Refused,
            "the dew point of this air is below 0 °C, where frost forms instead",
        )
        .with_hint("ask for air that holds more water, such as 40 % at 20 °C"));
    }
    let (mut low, mut high) = (freezing.base(), temperature.base());
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if saturation_pressure(Temperature::of_base(middle)) < vapour {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(Temperature::of_base(high))
}

/// The standard uncertainty (k = 1) of a dew point in kelvin, from that of the
/// relative humidity: half of what lies between u to either side, since a
/// [`dew_point`] is found by halving and has no formula to follow. None where
/// one of the two has no dew point.
pub fn dew_point_u(humidity: &Measured<Ratio>, temperature: Temperature) -> f64 {
    let at = |by: f64| {
        let near = Ratio::of_base((humidity.value().base() + by).clamp(0.0, 1.0));
        dew_point(near, temperature).map(Scalar::base)
    };
    match (at(humidity.u()), at(-humidity.u())) {
        (Ok(above), Ok(below)) => 0.5 * (above - below),
        _ => 0.0,
    }
}
