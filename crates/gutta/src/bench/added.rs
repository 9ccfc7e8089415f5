//! Water that goes on, or went on: weighed, measured or counted.

use uom::si::{SI, Units};

use super::drop::{Drop, DropSlots};
use crate::error::Result;
use crate::measure::{
    DROP_COUNT, Density, Drops, Formula, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Slot,
    VOLUME, Volume,
};

/// The water that was added, as it was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Added {
    /// Weighed.
    Mass(Measured<Mass>),
    /// By a spoon, a syringe or a graduated vessel.
    Volume(Measured<Volume>),
    /// Drops counted out, of a size.
    Drops(Drops, Drop),
}

/// The name of the water in a budget.
const WATER: &str = "water added";

impl Added {
    /// What it weighs, of a liquid of a density, with all its doubts: V ρ of a
    /// volume, n d of drops. Of a mass, and of drops known by their mass, the
    /// density counts for nothing.
    pub fn mass(&self, density: &Measured<Density>) -> Measured<Mass> {
        let mut inputs = Inputs::new();
        let weighed = Weighed {
            added: self.add_to(&mut inputs),
            density: inputs.add("density", density),
        };
        inputs.propagate(&weighed).estimate(|mass| *mass).measured()
    }

    /// Checks that it is above nothing.
    ///
    /// # Errors
    /// When it is not, or beyond all measure.
    pub(super) fn check(&self) -> Result<()> {
        match self {
            Self::Mass(mass) => MASS.check_base(mass.value().base()),
            Self::Volume(volume) => VOLUME.check_base(volume.value().base()),
            Self::Drops(drops, _) => DROP_COUNT.check_base(drops.count()),
        }
    }

    /// Hands the water over as an input of a formula.
    pub(super) fn add_to(&self, inputs: &mut Inputs) -> AddedSlot {
        match self {
            Self::Mass(mass) => AddedSlot::Mass(inputs.add(WATER, mass)),
            Self::Volume(volume) => AddedSlot::Volume(inputs.add(WATER, volume)),
            Self::Drops(n, drop) => AddedSlot::Drops(*n, drop.add_to(inputs, "drop")),
        }
    }
}

/// Water among the inputs of a formula.
#[derive(Clone, Copy, Debug)]
pub(super) enum AddedSlot {
    Mass(Slot<Mass>),
    Volume(Slot<Volume>),
    Drops(Drops, DropSlots),
}

impl AddedSlot {
    /// What it weighs, of a liquid of a density.
    pub fn mass<V: Real>(&self, point: &Point<'_, V>, density: Density<V>) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        match *self {
            Self::Mass(slot) => point.get(slot),
            Self::Volume(slot) => point.get(slot) * density,
            Self::Drops(n, slots) => slots.counted(point, density, n),
        }
    }
}

/// An amount of a liquid with its density, as a formula.
struct Weighed {
    added: AddedSlot,
    density: Slot<Density>,
}

impl Formula for Weighed {
    type Figures<V: Real>
        = Mass<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        self.added.mass(point, point.get(self.density))
    }
}
