//! What goes on, or went on: weighed, measured or counted.

use std::borrow::Cow;

use uom::si::{SI, Units};

use super::drop::{Drop, DropSlots};
use crate::error::Result;
use crate::measure::{
    DROP_COUNT, Density, Drops, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Slot, VOLUME,
    Volume,
};

/// An amount of water, or of another liquid, as it was measured.
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
pub(super) const WATER: &str = "water added";

impl Added {
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

    /// The same amount, counted with a dropper calibrated anew where it was
    /// counted with the old one.
    pub(super) fn recounted(&self, old: &Drop, new: Drop) -> Self {
        match self {
            Self::Drops(n, drop) if drop == old => Self::Drops(*n, new),
            other => *other,
        }
    }

    /// Whether a density is needed to make a mass of it.
    pub(super) fn needs_density(&self) -> bool {
        match self {
            Self::Mass(_) => false,
            Self::Volume(_) => true,
            Self::Drops(_, drop) => drop.weighed_mass().is_none(),
        }
    }

    /// Hands the amount over as an input of a formula, under its name in a
    /// budget; `of` is the liquid that the drops are of, where it is not the
    /// water.
    pub(super) fn add_to(
        &self,
        inputs: &mut Inputs,
        name: impl Into<Cow<'static, str>>,
        of: Option<&str>,
    ) -> AddedSlot {
        match self {
            Self::Mass(mass) => AddedSlot::Mass(inputs.add(name, mass)),
            Self::Volume(volume) => AddedSlot::Volume(inputs.add(name, volume)),
            Self::Drops(n, drop) => AddedSlot::Drops(*n, drop.add_to(inputs, of)),
        }
    }
}

/// An amount among the inputs of a formula.
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
