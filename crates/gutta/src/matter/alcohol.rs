//! Alcohol and water: from the strength on the bottle to a share by mass.
//!
//! # Why not take the one percentage for the other?
//!
//! Spirit of 40 % by volume holds 33.3 % of alcohol by mass. Alcohol is the
//! lighter, and mixing contracts.

use uom::si::{SI, Units};

use crate::error::Result;
use crate::measure::{Density, Measured, Ratio, Real, STRENGTH, Scalar};

/// The coefficients A₁ … A₁₂ of the density at 20 °C, in kg/m³.
const AT_20: [f64; 12] = [
    9.982_012_300e2,
    -1.929_769_495e2,
    3.891_238_958e2,
    -1.668_103_923e3,
    1.352_215_441e4,
    -8.829_278_388e4,
    3.062_874_042e5,
    -6.138_381_234e5,
    7.470_172_998e5,
    -5.478_461_354e5,
    2.234_460_334e5,
    -3.903_285_426e4,
];

/// The density of alcohol and water at 20 °C, from the alcohol's share by mass
/// `p` (0 to 1): ρ = Σ Aₖ pᵏ⁻¹ in kg/m³.
///
/// Source: OIML R 22:1975, International alcoholometric tables, the general
/// formula at 20 °C.
pub fn density_at_20<V: Real>(p: Ratio<V>) -> Density<V>
where
    SI<V>: Units<V>,
{
    let sum = AT_20
        .iter()
        .rev()
        .fold(V::zero(), |sum, &a| sum * p.value + V::exact(a));
    Density::<f64>::from_base(sum)
}

/// The strength by volume at 20 °C of a share by mass: q = p ρ(p)/ρ(1).
///
/// Source: OIML R 22:1975, definition of the alcoholic strength by volume.
pub fn share_by_volume<V: Real>(p: Ratio<V>) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    p * (density_at_20(p) / density_at_20(Ratio::from(V::one())))
}

/// Halvings of 0…1 until nothing changes.
const HALVINGS: u32 = 60;

/// The share by mass of a strength by volume at 20 °C, with its doubt.
///
/// ```
/// use gutta::matter::alcohol;
/// use gutta::measure::{Measured, Ratio};
/// use uom::si::ratio::percent;
/// let spirit = Measured::exact(Ratio::new::<percent>(40.0));
/// let by_mass = alcohol::share_by_mass(&spirit).unwrap();
/// assert!((by_mass.value().get::<percent>() - 33.30).abs() < 5e-3);
/// ```
///
/// # Errors
/// When the strength is not from 0 to 100 %.
pub fn share_by_mass(strength: &Measured<Ratio>) -> Result<Measured<Ratio>> {
    STRENGTH.check_base(strength.value().base())?;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if share_by_volume(Ratio::of_base(middle)) < strength.value() {
            low = middle;
        } else {
            high = middle;
        }
    }
    // An end that never moved is the answer itself: no spirit, or nothing else.
    let p = Ratio::of_base(match (low, high) {
        (0.0, _) => 0.0,
        (_, 1.0) => 1.0,
        _ => 0.5 * (low + high),
    });
    let slope = Measured::new(p, 1.0, f64::INFINITY)
        .through::<Ratio>(share_by_volume)
        .u();
    Ok(Measured::new(p, strength.u() / slope, strength.dof()))
}
