//! A liquid that goes onto the leaf besides the water.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot};
use crate::error::Result;
use crate::matter::{
    Composition, CompositionSlots, DensityOf, DensitySlot, Part, Pile, check_density,
};
use crate::measure::{Density, Inputs, Mass, Measured, Point, Ratio, Real, Temperature};

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
            density: DensityOf::composition(&composition),
            composition,
        }
    }

    /// Checks amount and density.
    ///
    /// # Errors
    /// When the amount is not above 0, a density that was measured is outside
    /// 0.6 to 1.5 g/mL, or where the amount needs one, it is not known at this
    /// temperature.
    pub(crate) fn check(&self, temperature: Temperature) -> Result<()> {
        self.amount.check()?;
        if self.amount.needs_density() {
            return self
                .density
                .check(&self.name, &self.composition, temperature);
        }
        match &self.density {
            DensityOf::Measured(density) => check_density(density),
            _ => Ok(()),
        }
    }

    /// Hands the liquid over as inputs of a formula that asks for its mass.
    pub(crate) fn add_to(&self, inputs: &mut Inputs) -> BroughtSlots {
        self.lay(inputs, self.amount.needs_density())
    }

    /// Hands the liquid over as inputs of a formula that asks for its volume
    /// too.
    pub(super) fn add_measured_to(&self, inputs: &mut Inputs) -> BroughtSlots {
        self.lay(inputs, true)
    }

    fn lay(&self, inputs: &mut Inputs, by_density: bool) -> BroughtSlots {
        // Water is counted with the drop of the water that is added.
        let of = (!self.composition.is_water()).then_some(self.name.as_str());
        BroughtSlots {
            amount: self.amount.add_to(inputs, &self.name, of),
            parts: self.composition.add_to(inputs, &self.name),
            density: if by_density {
                self.density.add_to(inputs, &self.name)
            } else {
                DensitySlot::Water
            },
        }
    }
}

/// A liquid among the inputs of a formula.
#[derive(Clone, Debug)]
pub(crate) struct BroughtSlots {
    amount: AddedSlot,
    parts: CompositionSlots,
    density: DensitySlot,
}

impl BroughtSlots {
    /// Its density at a temperature.
    pub fn density<V: Real>(&self, point: &Point<'_, V>, temperature: Temperature<V>) -> Density<V>
    where
        SI<V>: Units<V>,
    {
        self.density.at(point, &self.parts, temperature)
    }

    /// What it weighs, measured at a temperature.
    pub fn mass<V: Real>(&self, point: &Point<'_, V>, temperature: Temperature<V>) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        self.amount.mass(point, self.density(point, temperature))
    }

    /// The share of a part in it, by mass.
    pub fn share<V: Real>(&self, part: Part, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        self.parts.share(part, point)
    }

    /// A pile with this liquid on it, which was measured at a temperature.
    pub fn onto<V: Real>(
        &self,
        pile: Pile<V>,
        point: &Point<'_, V>,
        temperature: Temperature<V>,
    ) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        pile.with_liquid(self.mass(point, temperature), self.parts.at(point))
    }
}
