//! The density of honey, by the water in it.

use uom::si::{SI, Units};

use crate::measure::{Density, Ratio, Real, Scalar};

/// The density of honey from its water, 13 to 20 % by mass, at 15 to 25 °C.
///
/// A straight line through the specific gravities 20/20 of White's table (15 to
/// 18 % of water, as remembered): 1.4350 at 15 %, 0.00597 less for each point,
/// with water at 998.207 kg/m³. See [`HONEY_DENSITY_U`] for its doubt.
pub fn honey_density<V: Real>(water: Ratio<V>) -> Density<V>
where
    SI<V>: Units<V>,
{
    let above_15 = water.value - V::exact(0.15);
    let gravity = V::exact(1.4350) - V::exact(0.597) * above_15;
    Density::<f64>::from_base(gravity * V::exact(998.207))
}

/// The relative standard uncertainty of the density of honey: published figures
/// disagree by up to 0.016 g/mL either way, and honey takes 0.003 more or less
/// 5 °C off.
pub const HONEY_DENSITY_U: f64 = 8.0 / 1420.0;
