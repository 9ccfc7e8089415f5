//! A liquid that goes onto the leaf besides the water.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, CompositionSlots, Pile, check_density};
use crate::measure::{Density, Inputs, Mass, Measured, Point, Real, Slot};

/// A liquid that goes onto the leaf besides the water, such as a casing.
///
/// # Why is it not simply a mass?
///
/// Two amounts counted with one dropper share the doubt of its drop, and two
/// volumes of one liquid that of its density. Handed over as they were
/// measured, each of these is one input, however often it is used.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// What it is called, as a budget shows it.
    pub name: String,
    /// How much of it, as it was measured.
    pub amount: Added,
    /// What is in it.
    pub composition: Composition,
    /// Its density, where a volume or drops in a volume need one; that of water
    /// follows from its temperature.
    pub density: Option<Measured<Density>>,
}

impl Brought {
    /// A liquid that was weighed.
    pub fn weighed(
        name: impl Into<String>,
        mass: Measured<Mass>,
        composition: Composition,
    ) -> Self {
        Self {
            name: name.into(),
            amount: Added::Mass(mass),
            composition,
            density: None,
        }
    }

    /// Checks amount and density.
    ///
    /// # Errors
    /// When the amount is not above 0, the density is outside 0.6 to 1.5 g/mL,
    /// or it is missing where the amount needs it.
    pub(super) fn check(&self) -> Result<()> {
        self.amount.check()?;
        if let Some(density) = &self.density {
            return check_density(density);
        }
        if self.amount.needs_density() && !self.composition.is_water() {
            return Err(Error::new(
                ErrorKind::Missing,
                format!("the density of {} is missing", self.name),
            )
            .with_hint("weigh 10 mL of it: its density is that mass over 10 mL"));
        }
        Ok(())
    }

    /// Hands the liquid over as inputs of a formula.
    pub(super) fn add_to(&self, inputs: &mut Inputs) -> BroughtSlots {
        // Water is counted with the drop of the water that is added.
        let of = (!self.composition.is_water()).then_some(self.name.as_str());
        BroughtSlots {
            amount: self.amount.add_to(inputs, &self.name, of),
            parts: self.composition.add_to(inputs, &self.name),
            density: self
                .density
                .filter(|_| self.amount.needs_density())
                .map(|density| inputs.add_once(format!("density of {}", self.name), &density)),
        }
    }
}

/// A liquid among the inputs of a formula.
#[derive(Clone, Debug)]
pub(super) struct BroughtSlots {
    amount: AddedSlot,
    parts: CompositionSlots,
    density: Option<Slot<Density>>,
}

impl BroughtSlots {
    /// A pile with this liquid on it; without a density of its own it has that
    /// of the water.
    pub fn onto<V: Real>(&self, pile: Pile<V>, point: &Point<'_, V>, water: Density<V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let density = self.density.map_or(water, |slot| point.get(slot));
        pile.with_liquid(self.amount.mass(point, density), self.parts.at(point))
    }
}
