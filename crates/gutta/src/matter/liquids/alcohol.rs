//! Alcohol and water: density, strength on the bottle, surface tension, flash
//! point.
//!
//! # Why not take the one percentage for the other?
//!
//! Spirit of 40 % by volume holds 33.3 % of alcohol by mass. Alcohol is the
//! lighter, and mixing contracts.

use uom::si::{SI, Units};

use crate::error::Result;
use crate::matter::water;
use crate::measure::{
    Density, Measured, ROOM_TEMPERATURE, Ratio, Real, STRENGTH, Scalar, SurfaceTension,
    Temperature, celsius,
};

/// The coefficients A₁ … A₁₂ of the density at 20 °C, in kg/m³.
const AT_20: [f64; 12] = [
    9.982_012_3e2,
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

/// The coefficients B₁ … B₆ of the temperature alone.
const BY_TEMPERATURE: [f64; 6] = [
    -2.061_851_3e-1,
    -5.268_254_2e-3,
    3.613_001_3e-5,
    -3.895_770_2e-7,
    7.169_354e-9,
    -9.973_923_1e-11,
];

/// The coefficients Cᵢₖ of share and temperature, those of i = 1 first.
const BY_BOTH: [&[f64]; 5] = [
    &[
        1.693_443_461_530_087e-1,
        -1.046_914_743_455_169e1,
        7.196_353_469_546_523e1,
        -7.047_478_054_272_792e2,
        3.924_090_430_035_045e3,
        -1.210_164_659_068_747e4,
        2.248_646_550_400_788e4,
        -2.605_562_982_188_164e4,
        1.852_373_922_069_467e4,
        -7.420_201_433_430_137e3,
        1.285_617_841_998_974e3,
    ],
    &[
        -1.193_013_005_057_01e-2,
        2.517_399_633_803_461e-1,
        -2.170_575_700_536_993e0,
        1.353_034_988_843_029e1,
        -5.029_988_758_547_014e1,
        1.096_355_666_577_57e2,
        -1.422_753_946_421_155e2,
        1.080_435_942_856_23e2,
        -4.414_153_236_817_392e1,
        7.442_971_530_188_783e0,
    ],
    &[
        -6.802_995_733_503_803e-4,
        1.876_837_790_289_664e-2,
        -2.002_561_813_734_156e-1,
        1.022_992_966_719_22e0,
        -2.895_696_483_903_638e0,
        4.810_060_584_300_675e0,
        -4.672_147_440_794_683e0,
        2.458_043_105_903_461e0,
        -5.411_227_621_436_812e-1,
    ],
    &[
        4.075_376_675_622_027e-6,
        -8.763_058_573_471_11e-6,
        6.515_031_360_099_368e-6,
        -1.515_784_836_987_21e-6,
    ],
    &[-2.788_074_354_782_409e-8, 1.345_612_883_493_354e-8],
];

/// The density of alcohol and water from the alcohol's share by mass `p` (0 to
/// 1), at −20 to 40 °C:
/// ρ = Σ Aₖ pᵏ⁻¹ + Σ Bₖ (t − 20)ᵏ + Σ Cᵢₖ pᵏ (t − 20)ⁱ in kg/m³.
///
/// Source: OIML R 22:1975, International alcoholometric tables, the general
/// formula with all its 54 coefficients. Outside the range the polynomial still
/// yields a number; check with
/// [`ALCOHOL_TEMPERATURE`](crate::measure::ALCOHOL_TEMPERATURE) before.
///
/// ```
/// use gutta::matter::alcohol;
/// use gutta::measure::{ROOM_TEMPERATURE, Ratio};
/// use uom::si::ratio::percent;
/// // 40 % by volume, as printed: 948.05 kg/m³.
/// let rum = alcohol::density(Ratio::new::<percent>(33.300), ROOM_TEMPERATURE);
/// assert!((rum.value - 948.05).abs() < 0.006);
/// ```
pub fn density<V: Real>(p: Ratio<V>, temperature: Temperature<V>) -> Density<V>
where
    SI<V>: Units<V>,
{
    let warmer = celsius(temperature) - V::exact(20.0);
    let powers = |coefficients: &[f64]| {
        let sum = coefficients.iter().rev();
        sum.fold(V::zero(), |sum, &a| sum * p.value + V::exact(a))
    };
    let by_temperature = (0..BY_TEMPERATURE.len()).rev().fold(V::zero(), |sum, i| {
        let both = BY_BOTH.get(i).map_or_else(V::zero, |c| powers(c) * p.value);
        (sum + V::exact(BY_TEMPERATURE[i]) + both) * warmer
    });
    Density::<f64>::from_base(powers(&AT_20) + by_temperature)
}

/// The strength by volume at 20 °C of a share by mass: q = p ρ(p)/ρ(1).
///
/// Source: OIML R 22:1975, definition of the alcoholic strength by volume.
pub fn share_by_volume<V: Real>(p: Ratio<V>) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    let room = ROOM_TEMPERATURE.lift::<V>();
    p * (density(p, room) / density(Ratio::from(V::one()), room))
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

/// The surface tension of alcohol and water from the alcohol's share by mass
/// `p` (0 to 1): γ = γₑ + (γ_w − γₑ)(1 − p)/(1 + 8.090 p − 3.800 p²), γ_w that of
/// water and γₑ = 22.297 − 0.098 (t − 20) mN/m that of alcohol, at 15 to 30 °C.
///
/// Source: the form and its three numbers are our fit to thirteen shares of
/// Vázquez, Alvarez and Navaza 1995 (J. Chem. Eng. Data 40, 611) at 20 °C as
/// they are remembered, within 0.7 %; the slope of γₑ is that of the same table
/// from 20 to 25 °C.
pub fn surface_tension<V: Real>(p: Ratio<V>, temperature: Temperature<V>) -> SurfaceTension<V>
where
    SI<V>: Units<V>,
{
    let warmer = celsius(temperature) - V::exact(20.0);
    let p = p.value;
    let alone = V::exact(22.297e-3) - V::exact(0.098e-3) * warmer;
    let crowding = V::one() + p * (V::exact(8.090) - V::exact(3.800) * p);
    let above = water::surface_tension(temperature).value - alone;
    SurfaceTension::<f64>::from_base(alone + above * (V::one() - p) / crowding)
}

/// The relative standard uncertainty of the surface tension of alcohol and
/// water: the fit is within 0.7 % of the table as remembered, and sources
/// disagree by 2 % about alcohol itself.
pub const TENSION_U: f64 = 0.01;

/// Flash points by strength: % by volume, and °C.
const FLASH_POINTS: [(f64, f64); 10] = [
    (10.0, 49.0),
    (20.0, 36.0),
    (30.0, 29.0),
    (40.0, 26.0),
    (50.0, 24.0),
    (60.0, 22.0),
    (70.0, 21.0),
    (80.0, 20.0),
    (90.0, 17.0),
    (96.0, 17.0),
];

/// About where alcohol of a strength by volume flashes: it can be set alight
/// from this temperature up. None below 10 % by volume, where none is listed;
/// above 96 % that of 96 %.
///
/// Source: a public list of flash points of spirits (tertiary), a straight line
/// between its rows.
///
/// ```
/// use gutta::matter::alcohol;
/// use gutta::measure::{Ratio, celsius};
/// use uom::si::ratio::percent;
/// let flash = |q| alcohol::flash_point(Ratio::new::<percent>(q)).map(celsius);
/// assert!((flash(40.0).unwrap() - 26.0).abs() < 1e-6);
/// assert_eq!(flash(5.0), None);
/// ```
pub fn flash_point(strength: Ratio) -> Option<Temperature> {
    // A strength worked out from a share by mass may fall short by rounding.
    let strength = 100.0 * strength.base() + 1e-9;
    let above = FLASH_POINTS.iter().position(|&(q, _)| q > strength);
    let celsius = match above {
        Some(0) => return None,
        Some(i) => {
            let ((q0, t0), (q1, t1)) = (FLASH_POINTS[i - 1], FLASH_POINTS[i]);
            t0 + (t1 - t0) * (strength - q0) / (q1 - q0)
        }
        None => FLASH_POINTS[FLASH_POINTS.len() - 1].1,
    };
    Some(Temperature::of_base(
        celsius + ROOM_TEMPERATURE.base() - 20.0,
    ))
}
