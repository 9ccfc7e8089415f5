//! The Oswin form, both ways, and the way from one temperature to another.

use uom::si::{SI, Units};

use crate::matter::DryBasis;
use crate::measure::{MolarEnergy, Ratio, Real, Scalar, Temperature};

/// What leaf holds at an activity of water `activity` (above 0, below 1):
/// X = A (a/(1 − a))^B, X water over dry matter, A the `level` in g/g, B the
/// `exponent`.
///
/// Source: Oswin C. R., The kinetics of package life III. The isotherm, J. Soc.
/// Chem. Ind. 65 (1946) 419–421 (the form; from memory). It holds as far as A
/// and B do: here from 35 to 75 % relative humidity.
pub fn held<V: Real>(level: Ratio<V>, exponent: Ratio<V>, activity: Ratio<V>) -> DryBasis<V>
where
    SI<V>: Units<V>,
{
    let odds = activity.value / (V::one() - activity.value);
    DryBasis::from_base(level.value * (exponent.value * odds.ln()).exp())
}

/// The activity of water that keeps leaf at `held` (above 0):
/// y = (X/A)^(1/B), a = y/(1 + y), with the symbols of [`held`].
pub fn activity<V: Real>(level: Ratio<V>, exponent: Ratio<V>, held: DryBasis<V>) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    let odds = ((held.ratio() / level).value.ln() / exponent.value).exp();
    Ratio::from(odds / (V::one() + odds))
}

/// The molar gas constant in J/(mol K): CODATA 2018, exact to the digits here.
const GAS_CONSTANT: f64 = 8.314_462_618;

/// The activity of water over leaf of one moisture at another temperature:
/// a(T₂) = a(T₁) exp[(q/R)(1/T₁ − 1/T₂)], T in kelvin, q the net heat of sorption
/// `heat`, R the gas constant. Warmer leaf keeps damper air.
///
/// Source: Clausius–Clapeyron with a heat that does not change. The heats here
/// are from readings at 5 to 40 °C.
pub fn at_temperature<V: Real>(
    activity: Ratio<V>,
    heat: MolarEnergy,
    from: Temperature<V>,
    to: Temperature<V>,
) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    let over_gas_constant = V::exact(heat.base() / GAS_CONSTANT);
    let rise = V::one() / from.value - V::one() / to.value;
    activity * Ratio::from((over_gas_constant * rise).exp())
}
