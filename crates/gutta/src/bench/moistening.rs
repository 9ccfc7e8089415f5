//! A known amount of water: the moisture after it, or before it.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot, WATER};
use super::before_water::{LEAF, MOISTURE_BEFORE, MOISTURE_NOW};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Moisture, Pile, water};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, ROOM_TEMPERATURE, Real, Scalar,
    Simulation, Slot, Temperature, WATER_TEMPERATURE,
};

/// When the leaf was weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeafWeighed {
    /// Before the water.
    Before,
    /// With the water on it.
    After,
}

/// Leaf, its moisture on one side of a known addition, and the addition.
///
/// ```
/// use gutta::Moisture;
/// use gutta::bench::{Added, KnownAddition, LeafWeighed};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let now = Moisture::new(Ratio::new::<percent>(15.2))?;
/// let wetted = KnownAddition::new(grams(300.0), Measured::exact(now), Added::Mass(grams(14.0)));
/// let before = wetted.before(LeafWeighed::Before)?;
/// assert!((before.moisture.best().ratio().get::<percent>() - 11.2427).abs() < 1e-4);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct KnownAddition {
    /// The leaf that was weighed.
    pub leaf: Measured<Mass>,
    /// The moisture that is known.
    pub moisture: Measured<Moisture>,
    /// The water.
    pub added: Added,
    /// Its temperature.
    pub temperature: Measured<Temperature>,
}

/// The moisture on the other side of a known addition.
#[derive(Clone, Debug)]
pub struct Moistened {
    /// The moisture.
    pub moisture: Estimate<Moisture>,
    /// The mass of the leaf at that moisture.
    pub mass: Estimate<Mass>,
    /// The water, as a mass.
    pub water: Estimate<Mass>,
}

impl KnownAddition {
    /// An addition of water at 20 °C.
    pub const fn new(leaf: Measured<Mass>, moisture: Measured<Moisture>, added: Added) -> Self {
        Self {
            leaf,
            moisture,
            added,
            temperature: Measured::exact(ROOM_TEMPERATURE),
        }
    }

    /// The moisture after the addition, from the one before it: the leaf was
    /// weighed before.
    ///
    /// # Errors
    /// When a number is outside its range.
    pub fn after(&self) -> Result<Moistened> {
        self.run(Direction::After)
    }

    /// The moisture before the addition, from the one now:
    /// m₀ = ((M₀ + W) m₁ − W)/M₀, M₀ the leaf before the water.
    ///
    /// # Errors
    /// When a number is outside its range; a refusal when the leaf cannot have
    /// held so little: more water was added than it has now.
    pub fn before(&self, weighed: LeafWeighed) -> Result<Moistened> {
        let direction = Direction::Before(weighed);
        let answer = self.run(direction)?;
        let water = answer.water.best();
        let now = match weighed {
            LeafWeighed::Before => self.leaf.value() + water,
            LeafWeighed::After => self.leaf.value(),
        };
        if answer.mass.best().base() <= 0.0 || answer.moisture.best().base() < 0.0 {
            let grams = |m: Mass| (m.base() * 1e6).round() / 1e3;
            let held = now * self.moisture.value().ratio();
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "{} g of water were added, and the leaf holds {} g in all now",
                    grams(water),
                    grams(held)
                ),
            )
            .with_hint(
                "one of leaf, moisture now and water added is not right: check the moisture first",
            ));
        }
        Ok(answer)
    }

    /// The moisture after ready to be run on draws. A draw is outside when the
    /// leaf has water below none or no dry matter.
    ///
    /// # Errors
    /// As [`after`](Self::after).
    pub fn simulate_after(&self) -> Result<Simulation> {
        self.simulate(Direction::After)
    }

    /// The moisture before ready to be run on draws. A draw is outside when the
    /// leaf has water below none or no dry matter.
    ///
    /// # Errors
    /// As [`after`](Self::after).
    pub fn simulate_before(&self, weighed: LeafWeighed) -> Result<Simulation> {
        self.simulate(Direction::Before(weighed))
    }

    fn simulate(&self, direction: Direction) -> Result<Simulation> {
        let (inputs, formula) = self.lay(direction)?;
        let pick = |(pile, _): &(Pile, Mass), row: &mut [f64]| {
            row.copy_from_slice(&[pile.moisture().base(), pile.total().base()]);
            pile.water().base() >= 0.0 && pile.dry_matter().base() > 0.0
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    fn run(&self, direction: Direction) -> Result<Moistened> {
        let (inputs, formula) = self.lay(direction)?;
        let run = inputs.propagate(&formula);
        Ok(Moistened {
            moisture: run.estimate(|f| f.0.moisture()),
            mass: run.estimate(|f| f.0.total()),
            water: run.estimate(|f| f.1),
        })
    }

    fn lay(&self, direction: Direction) -> Result<(Inputs, Table)> {
        MASS.check_base(self.leaf.value().base())?;
        WATER_TEMPERATURE.check_base(self.temperature.value().base())?;
        self.added.check()?;
        let mut inputs = Inputs::new();
        let moisture = match direction {
            Direction::After => MOISTURE_BEFORE,
            Direction::Before(_) => MOISTURE_NOW,
        };
        let formula = Table {
            leaf: inputs.add(LEAF, &self.leaf),
            moisture: inputs.add(moisture, &self.moisture),
            temperature: inputs.add("temperature", &self.temperature),
            added: self.added.add_to(&mut inputs, WATER, None),
            direction,
        };
        Ok((inputs, formula))
    }
}

/// The figures of a simulated addition, in the order of its rows.
const FIGURES: &[&str] = &["moisture", "final_mass"];

#[derive(Clone, Copy)]
enum Direction {
    After,
    Before(LeafWeighed),
}

struct Table {
    leaf: Slot<Mass>,
    moisture: Slot<Moisture>,
    temperature: Slot<Temperature>,
    added: AddedSlot,
    direction: Direction,
}

impl Formula for Table {
    /// The pile on the other side, and the water.
    type Figures<V: Real>
        = (Pile<V>, Mass<V>)
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> (Pile<V>, Mass<V>)
    where
        SI<V>: Units<V>,
    {
        let density = water::density(point.get(self.temperature));
        let water = self.added.mass(point, density);
        let (leaf, moisture) = (point.get(self.leaf), point.get(self.moisture));
        let pile = match self.direction {
            Direction::After => Pile::leaf(leaf, moisture).with_water(water),
            Direction::Before(weighed) => {
                let now = match weighed {
                    LeafWeighed::Before => leaf + water,
                    LeafWeighed::After => leaf,
                };
                Pile::leaf(now, moisture).with_water(-water)
            }
        };
        (pile, water)
    }
}
