//! Distilled water: its density and surface tension.

use uom::si::{SI, Units};

use crate::measure::{Density, Real, Scalar, SurfaceTension, Temperature, celsius};

/// The density of air-free water in kg/m³ at a temperature of 0 to 40 °C:
/// ρ = a₅ [1 − (t + a₁)² (t + a₂) / (a₃ (t + a₄))], t in °C, at 101.325 kPa.
///
/// Source: Tanaka M. et al., Recommended table for the density of water
/// between 0 °C and 40 °C, Metrologia 38 (2001) 301–309. Its own standard
/// uncertainty is below 0.001 kg/m³. Outside the range the polynomial still
/// yields a number; check with
/// [`WATER_TEMPERATURE`](crate::measure::WATER_TEMPERATURE) before.
///
/// ```
/// use gutta::matter::water;
/// use gutta::measure::ROOM_TEMPERATURE;
/// assert!((water::density(ROOM_TEMPERATURE).value - 998.2067).abs() < 5e-5);
/// ```
pub fn density<V: Real>(temperature: Temperature<V>) -> Density<V>
where
    SI<V>: Units<V>,
{
    let t = celsius(temperature);
    let [a1, a2, a3, a4, a5] =
        [-3.983_035, 301.797, 522_528.9, 69.348_81, 999.974_950].map(V::exact);
    let from_densest = t + a1;
    let fall = from_densest * from_densest * (t + a2) / (a3 * (t + a4));
    Density::<f64>::from_base(a5 * (V::one() - fall))
}

/// The surface tension of water at a temperature of 0 to 40 °C here:
/// γ = 235.8 τ¹·²⁵⁶ (1 − 0.625 τ) mN/m, τ = 1 − T/647.096 K.
///
/// Source: IAPWS R1-76(2014), Release on surface tension of ordinary water
/// substance; its range is wider, to the critical point.
///
/// ```
/// use gutta::matter::water;
/// use gutta::measure::ROOM_TEMPERATURE;
/// let tension = water::surface_tension(ROOM_TEMPERATURE);
/// assert!((tension.value - 72.7361e-3).abs() < 1e-7);
/// ```
pub fn surface_tension<V: Real>(temperature: Temperature<V>) -> SurfaceTension<V>
where
    SI<V>: Units<V>,
{
    let tau = V::one() - temperature.value / V::exact(647.096);
    let tension = V::exact(235.8e-3) * tau.powf(1.256) * (V::one() - V::exact(0.625) * tau);
    SurfaceTension::<f64>::from_base(tension)
}
