//! What lies on the table before the water: leaf and all that is brought, as it
//! was weighed, or as an earlier addition left it.
//!
//! # Why is an earlier addition not simply a new mass and moisture?
//!
//! Both follow from the same leaf, moisture and drops, and so hang together;
//! and drops counted then are of the same dropper as those counted now. Kept as
//! it was done, each of these stays one input.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot, WATER};
use super::brought::{Brought, BroughtSlots};
use super::drop::Drop;
use crate::matter::{Moisture, Pile, water};
use crate::measure::{
    Combined, Density, Estimate, Formula, Inputs, Mass, Measured, Point, Ratio, Real, Scalar, Slot,
    Temperature,
};

/// What lies there, before any water.
#[derive(Clone, Copy, Debug)]
pub(super) struct BeforeWater<'a> {
    pub leaf: &'a Measured<Mass>,
    pub at: &'a Measured<Moisture>,
    pub brought: &'a [Brought],
    pub temperature: &'a Measured<Temperature>,
    pub earlier: Option<&'a Earlier>,
}

/// An earlier addition, as it was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    leaf: Measured<Mass>,
    at: Measured<Moisture>,
    brought: Vec<Brought>,
    temperature: Measured<Temperature>,
    before: Option<Box<Earlier>>,
    added: Added,
    read: Option<Read>,
}

/// A reading after an addition, weighed against what was expected.
#[derive(Clone, Debug, PartialEq)]
struct Read {
    reading: Measured<Moisture>,
    /// The expectation at the best estimates.
    expected: Moisture,
    /// How much the expectation counts, 0 to 1.
    weight: f64,
    /// Both together, at the best estimates.
    together: Moisture,
    /// What the doubt is enlarged by where they disagree.
    widened: f64,
}

/// The leaf, as a budget shows it.
pub(super) const LEAF: &str = "leaf";
/// Its moisture before the water that is asked for.
pub(super) const MOISTURE_NOW: &str = "moisture now";
/// Its moisture before an addition that was made.
pub(super) const MOISTURE_BEFORE: &str = "moisture before";
/// A reading after an addition, as a budget shows it.
pub(super) const READING: &str = "reading";

impl BeforeWater<'_> {
    /// Hands all of it over as inputs of a formula.
    pub fn add_to(&self, inputs: &mut Inputs) -> BeforeWaterSlots {
        self.named(inputs, MOISTURE_NOW)
    }

    fn named(&self, inputs: &mut Inputs, moisture: &'static str) -> BeforeWaterSlots {
        let start = match self.earlier {
            Some(earlier) => Start::After(Box::new(earlier.add_to(inputs))),
            None => Start::Leaf(inputs.add(LEAF, self.leaf), inputs.add(moisture, self.at)),
        };
        BeforeWaterSlots {
            start,
            brought: self.brought.iter().map(|b| b.add_to(inputs)).collect(),
            temperature: inputs.add_once("temperature", self.temperature),
        }
    }

    /// All of it, with an addition of water taken up and the carrier gone.
    pub fn with(&self, added: &Added) -> (Inputs, After) {
        let mut inputs = Inputs::new();
        let after = After {
            before: self.add_to(&mut inputs),
            added: added.add_to(&mut inputs, WATER, None),
        };
        (inputs, after)
    }

    /// What an addition makes an earlier one of, once it is taken up; a reading
    /// comes with the estimate of both together, or counts alone.
    pub fn then(
        &self,
        added: &Added,
        reading: Option<&Measured<Moisture>>,
        expected: &Estimate<Moisture>,
        together: Option<&Combined<Moisture>>,
    ) -> Earlier {
        let read = reading.map(|reading| match together {
            Some(both) => Read {
                reading: *reading,
                expected: expected.best(),
                weight: (both.as_if_agreed.u() / expected.u()).powi(2),
                together: both.estimate.best(),
                widened: both.estimate.u() / both.as_if_agreed.u(),
            },
            None => Read {
                reading: *reading,
                expected: expected.best(),
                weight: 0.0,
                together: reading.value(),
                widened: 1.0,
            },
        });
        Earlier {
            leaf: *self.leaf,
            at: *self.at,
            brought: self.brought.to_vec(),
            temperature: *self.temperature,
            before: self.earlier.cloned().map(Box::new),
            added: *added,
            read,
        }
    }
}

impl Earlier {
    /// The same addition with a dropper calibrated anew.
    pub(super) fn recounted(&self, old: &Drop, new: Drop) -> Self {
        let mut again = self.clone();
        again.added = again.added.recounted(old, new);
        for liquid in &mut again.brought {
            liquid.amount = liquid.amount.recounted(old, new);
        }
        again.before = self
            .before
            .as_ref()
            .map(|before| Box::new(before.recounted(old, new)));
        again
    }

    fn add_to(&self, inputs: &mut Inputs) -> EarlierSlots {
        let before = BeforeWater {
            leaf: &self.leaf,
            at: &self.at,
            brought: &self.brought,
            temperature: &self.temperature,
            earlier: self.before.as_deref(),
        };
        EarlierSlots {
            after: After {
                before: before.named(inputs, MOISTURE_BEFORE),
                added: self.added.add_to(inputs, WATER, None),
            },
            read: self
                .read
                .clone()
                .map(|read| (inputs.add(READING, &read.reading), read)),
        }
    }
}

/// What lies there among the inputs of a formula.
#[derive(Clone, Debug)]
pub(super) struct BeforeWaterSlots {
    start: Start,
    brought: Vec<BroughtSlots>,
    temperature: Slot<Temperature>,
}

#[derive(Clone, Debug)]
enum Start {
    Leaf(Slot<Mass>, Slot<Moisture>),
    After(Box<EarlierSlots>),
}

#[derive(Clone, Debug)]
struct EarlierSlots {
    after: After,
    read: Option<(Slot<Moisture>, Read)>,
}

impl BeforeWaterSlots {
    /// The density of the water at its temperature.
    pub fn water<V: Real>(&self, point: &Point<'_, V>) -> Density<V>
    where
        SI<V>: Units<V>,
    {
        water::density(point.get(self.temperature))
    }

    /// Leaf with all that is brought.
    pub fn pile<V: Real>(&self, point: &Point<'_, V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let start = match &self.start {
            Start::Leaf(leaf, at) => Pile::leaf(point.get(*leaf), point.get(*at)),
            Start::After(earlier) => earlier.pile(point),
        };
        let temperature = point.get(self.temperature);
        self.brought.iter().fold(start, |pile, brought| {
            brought.onto(pile, point, temperature)
        })
    }
}

impl EarlierSlots {
    /// What the addition left, at the moisture that is gone by: the expected
    /// one, or that and the reading by their weights.
    fn pile<V: Real>(&self, point: &Point<'_, V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let pile = self.after.at(point);
        let Some((reading, read)) = &self.read else {
            return pile;
        };
        let off = |moisture: Moisture<V>, best: Moisture, weight: f64| {
            let by = moisture.ratio() - best.lift::<V>().ratio();
            by * Ratio::from(V::exact(weight * read.widened))
        };
        let moisture = read.together.lift::<V>().ratio()
            + off(pile.moisture(), read.expected, read.weight)
            + off(point.get(*reading), read.reading.value(), 1.0 - read.weight);
        Pile::leaf(pile.total(), Moisture::from_base(moisture.value))
    }
}

/// What lies there once an addition is taken up and the carrier gone.
#[derive(Clone, Debug)]
pub(super) struct After {
    before: BeforeWaterSlots,
    added: AddedSlot,
}

impl Formula for After {
    type Figures<V: Real>
        = Pile<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let water = self.added.mass(point, self.before.water(point));
        self.before.pile(point).with_water(water).aired()
    }
}
