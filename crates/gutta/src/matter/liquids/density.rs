//! What the density of a liquid is known from.

use uom::si::{SI, Units};

use super::honey::{HONEY_DENSITY_U, honey_density};
use super::{Composition, CompositionSlots, Part, Solute, check_density};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::water;
use crate::measure::{
    Density, HONEY_TEMPERATURE, HONEY_WATER, Inputs, Measured, Point, Ratio, Real, Scalar, Slot,
    Temperature, WATER_TEMPERATURE,
};

/// What the density of a liquid is known from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DensityOf {
    /// It is that of water at its temperature.
    Water,
    /// It is that of one thing in water at its temperature, by its share.
    Solution(Solute),
    /// It is that of honey, by its water.
    Honey,
    /// It was measured.
    Measured(Measured<Density>),
    /// It is not known.
    Unknown,
}

impl DensityOf {
    /// What the density is known from where it was not measured: what is in
    /// the liquid.
    pub fn composition(composition: &Composition) -> Self {
        match composition.dissolved() {
            _ if composition.is_water() => Self::Water,
            Some((solute, _)) => Self::Solution(solute),
            None => Self::Unknown,
        }
    }

    /// Checks that there is one, for a liquid of a name at a temperature.
    ///
    /// # Errors
    /// When it is not known, outside 0.6 to 1.5 g/mL, or the liquid is outside
    /// the temperatures or shares that it is known for.
    pub fn check(
        &self,
        name: &str,
        composition: &Composition,
        temperature: Temperature,
    ) -> Result<()> {
        match self {
            Self::Water => WATER_TEMPERATURE.check_base(temperature.base()),
            Self::Solution(solute) => {
                solute.temperatures().check_base(temperature.base())?;
                let share = composition.share(solute.part());
                solute.shares().check_base(share.base())
            }
            Self::Honey => {
                HONEY_TEMPERATURE.check_base(temperature.base())?;
                HONEY_WATER.check_base(composition.share(Part::Water).base())
            }
            Self::Measured(density) => check_density(density),
            Self::Unknown => Err(Error::new(
                ErrorKind::Missing,
                format!("the density of {name} is missing"),
            )
            .with_hint("weigh 10 mL of it: its density is that mass over 10 mL")),
        }
    }

    /// Hands the density over as an input of a formula.
    pub fn add_to(&self, inputs: &mut Inputs, of: &str) -> DensitySlot {
        match self {
            Self::Measured(density) => {
                DensitySlot::Measured(inputs.add_once(format!("density of {of}"), density))
            }
            Self::Solution(solute) => DensitySlot::Solution(*solute, solute.table(inputs)),
            Self::Honey => {
                let one = Ratio::of_base(1.0);
                let table = Measured::new(one, HONEY_DENSITY_U, f64::INFINITY);
                DensitySlot::Honey(inputs.add_once("table of the density of honey", &table))
            }
            Self::Water | Self::Unknown => DensitySlot::Water,
        }
    }
}

/// The density of a liquid among the inputs of a formula.
#[derive(Clone, Copy, Debug)]
pub enum DensitySlot {
    /// That of water.
    Water,
    /// That of one thing in water, and what its table may be off by.
    Solution(Solute, Option<Slot<Ratio>>),
    /// That of honey, and what its table may be off by.
    Honey(Slot<Ratio>),
    /// One that was measured.
    Measured(Slot<Density>),
}

impl DensitySlot {
    /// The density at a point, of a liquid of these parts at a temperature.
    pub fn at<V: Real>(
        &self,
        point: &Point<'_, V>,
        parts: &CompositionSlots,
        temperature: Temperature<V>,
    ) -> Density<V>
    where
        SI<V>: Units<V>,
    {
        match self {
            Self::Water => water::density(temperature),
            Self::Honey(table) => {
                honey_density(parts.share(Part::Water, point)) * point.get(*table)
            }
            Self::Measured(slot) => point.get(*slot),
            Self::Solution(solute, table) => {
                let density = solute.density(parts.share(solute.part(), point), temperature);
                match table {
                    Some(slot) => density * point.get(*slot),
                    None => density,
                }
            }
        }
    }
}
