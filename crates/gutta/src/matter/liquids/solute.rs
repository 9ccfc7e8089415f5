//! What is dissolved in water alone: the density of the solution.

use uom::si::{SI, Units};

use super::{Part, alcohol};
use crate::matter::water;
use crate::measure::{
    ALCOHOL_TEMPERATURE, BRIX, Density, GLYCERINE_TEMPERATURE, GLYCOL_TEMPERATURE, Inputs,
    Measured, Range, Ratio, Real, SHARE_BY_MASS, SYRUP_TEMPERATURE, Scalar, Slot, Temperature,
    celsius,
};

/// What is dissolved in water, and nothing else with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Solute {
    /// Alcohol.
    Alcohol,
    /// Propylene glycol.
    Glycol,
    /// Glycerine.
    Glycerine,
    /// Sugar: sucrose.
    Sugar,
}

/// The apparent specific volume of a solute in water, in cm³/g: for each power
/// of its share by mass the figure at 20 °C, and what 10 °C more add to it, once
/// and squared.
type Apparent = &'static [[f64; 3]];

/// Our fit to Nakanishi 1967 (25 °C) and MacBeth and Thompson 1951 (35 °C).
const GLYCOL: Apparent = &[
    [0.943_126, 0.002_246, 0.0],
    [-0.176_295, 0.041_665, 0.0],
    [0.406_935, -0.085_16, 0.0],
    [-0.290_967, 0.070_12, 0.0],
    [0.082_311, -0.021_942, 0.0],
];

/// Our fit to Bosart and Snoddy 1927 (20, 25, 30 °C) and to the specific
/// gravities 15/15 in Lange, taken as weighed in air.
const GLYCERINE: Apparent = &[
    [0.767_408, 0.006_26, 0.0],
    [0.000_168, -0.000_513, 0.0],
    [0.025_476, -0.001_916, 0.0],
];

/// Our fit to NBS Circular 457, table 2 (10, 20, 30 °C), 5 to 85 Brix.
const SUGAR: Apparent = &[
    [0.614_673, 0.003_889, -0.000_77],
    [0.019_707, 0.005_027, -0.000_402],
    [-0.007_747, -0.013_945, 0.004_337],
    [0.018_63, 0.007_84, -0.003_435],
];

impl Solute {
    /// Each of them.
    pub const ALL: [Self; 4] = [Self::Alcohol, Self::Glycol, Self::Glycerine, Self::Sugar];

    /// The solute that a part of a liquid is, where it is one.
    pub const fn of(part: Part) -> Option<Self> {
        match part {
            Part::Alcohol => Some(Self::Alcohol),
            Part::Glycol => Some(Self::Glycol),
            Part::Glycerine => Some(Self::Glycerine),
            Part::Sugar => Some(Self::Sugar),
            Part::Water | Part::Solids => None,
        }
    }

    /// The part of a liquid that it is.
    pub const fn part(self) -> Part {
        match self {
            Self::Alcohol => Part::Alcohol,
            Self::Glycol => Part::Glycol,
            Self::Glycerine => Part::Glycerine,
            Self::Sugar => Part::Sugar,
        }
    }

    /// The density of it in water, from its share by mass `w`.
    ///
    /// Alcohol: OIML R 22. The others: 1/ρ = (1 − w)/ρ_water + w φ, with the
    /// apparent specific volume φ = Σ (aᵢ + bᵢ s + cᵢ s²) wⁱ of the solute, s =
    /// (t − 20)/10, as we fitted it to the tables named at the coefficients. Check
    /// [`temperatures`](Self::temperatures) and [`shares`](Self::shares) before.
    pub fn density<V: Real>(self, share: Ratio<V>, temperature: Temperature<V>) -> Density<V>
    where
        SI<V>: Units<V>,
    {
        let apparent = match self {
            Self::Alcohol => return alcohol::density(share, temperature),
            Self::Glycol => GLYCOL,
            Self::Glycerine => GLYCERINE,
            Self::Sugar => SUGAR,
        };
        let w = share.value;
        let warmer = (celsius(temperature) - V::exact(20.0)) / V::exact(10.0);
        let apparent = apparent.iter().rev().fold(V::zero(), |sum, &[a, b, c]| {
            sum * w + V::exact(a) + (V::exact(b) + V::exact(c) * warmer) * warmer
        });
        // From cm³/g to m³/kg.
        let apparent = apparent * V::exact(1e-3);
        let water = water::density(temperature).value;
        Density::<f64>::from_base(V::one() / ((V::one() - w) / water + w * apparent))
    }

    /// The temperatures that its density is known at.
    pub const fn temperatures(self) -> &'static Range {
        match self {
            Self::Alcohol => &ALCOHOL_TEMPERATURE,
            Self::Glycol => &GLYCOL_TEMPERATURE,
            Self::Glycerine => &GLYCERINE_TEMPERATURE,
            Self::Sugar => &SYRUP_TEMPERATURE,
        }
    }

    /// The shares by mass that its density is known for.
    pub const fn shares(self) -> &'static Range {
        match self {
            Self::Sugar => &BRIX,
            Self::Alcohol | Self::Glycol | Self::Glycerine => &SHARE_BY_MASS,
        }
    }

    /// What the table of its density may be off by, as an input of a formula: a
    /// factor about one, the same for every solution of it. None for alcohol,
    /// where the formula is that of the standard.
    pub fn table(self, inputs: &mut Inputs) -> Option<Slot<Ratio>> {
        let u = self.density_u();
        if u == 0.0 {
            return None;
        }
        let one = Measured::new(Ratio::of_base(1.0), u, f64::INFINITY);
        let name = format!("table of the density of {}", self.part().name());
        Some(inputs.add_once(name, &one))
    }

    /// The relative standard uncertainty of its density, as far as the tables
    /// disagree with each other and with the fit; none for alcohol, where the
    /// formula is that of the standard.
    pub const fn density_u(self) -> f64 {
        match self {
            Self::Alcohol => 0.0,
            Self::Glycol => 1e-3,
            Self::Glycerine => 3e-4,
            Self::Sugar => 1e-4,
        }
    }
}
