//! A liquid that goes onto the leaf besides the water.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, CompositionSlots, Pile, alcohol, check_density};
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
    /// Its density, where a volume or drops in a volume need one.
    pub density: DensityOf,
}

/// What the density of a liquid is known from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DensityOf {
    /// It is that of water at its temperature.
    Water,
    /// It is that of alcohol and water at 20 °C, by the share of alcohol.
    Spirit,
    /// It was measured.
    Measured(Measured<Density>),
    /// It is not known.
    Unknown,
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
            density: DensityOf::Unknown,
        }
    }

    /// Checks amount and density.
    ///
    /// # Errors
    /// When the amount is not above 0, the density is outside 0.6 to 1.5 g/mL,
    /// or it is missing where the amount needs it.
    pub(super) fn check(&self) -> Result<()> {
        self.amount.check()?;
        if let DensityOf::Measured(density) = &self.density {
            return check_density(density);
        }
        if self.amount.needs_density() && self.density == DensityOf::Unknown {
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
            density: match &self.density {
                DensityOf::Measured(density) if self.amount.needs_density() => {
                    let name = format!("density of {}", self.name);
                    DensitySlot::Measured(inputs.add_once(name, density))
                }
                DensityOf::Spirit => DensitySlot::Spirit,
                _ => DensitySlot::Water,
            },
        }
    }
}

/// A liquid among the inputs of a formula.
#[derive(Clone, Debug)]
pub(super) struct BroughtSlots {
    amount: AddedSlot,
    parts: CompositionSlots,
    density: DensitySlot,
}

#[derive(Clone, Copy, Debug)]
enum DensitySlot {
    Water,
    Spirit,
    Measured(Slot<Density>),
}

impl BroughtSlots {
    /// A pile with this liquid on it; `water` is the density of water at its
    /// temperature.
    pub fn onto<V: Real>(&self, pile: Pile<V>, point: &Point<'_, V>, water: Density<V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let fractions = self.parts.at(point);
        let density = match self.density {
            DensitySlot::Water => water,
            DensitySlot::Spirit => alcohol::density_at_20(fractions.carrier),
            DensitySlot::Measured(slot) => point.get(slot),
        };
        pile.with_liquid(self.amount.mass(point, density), fractions)
    }
}
