//! Many batches, one a row: the same water and the same flavouring as one
//! answer has, without its words.
//!
//! # Why not a plan for each row?
//!
//! A plan carries names, a budget and a first addition along. A row asks for
//! figures only: the pile, the decision and the drops are the same, run on plain
//! numbers, and the doubt is carried in three lanes, one for each of leaf,
//! moisture and drop. A test holds both together bit for bit.

use super::dose::{DoseAsWeighed, LeafAsWeighed};
use super::watering::Course;
use crate::matter::{Moisture, Pile};
use crate::measure::{Density, DropMass, Drops, Linear, Mass, Ratio, Real, Scalar, Scale, Volume};

/// What all rows of a table have in common.
///
/// ```
/// use gutta::Moisture;
/// use gutta::bench::{RowWater, Rows};
/// use gutta::measure::{DropMass, Mass, Ratio, Scale};
/// use uom::si::{mass::{gram, milligram}, ratio::percent};
///
/// let rows = Rows::new(Some(Scale::new(Mass::new::<gram>(0.01))?));
/// let watered = rows.water(&RowWater {
///     leaf: Mass::new::<gram>(250.0),
///     at: Moisture::new(Ratio::new::<percent>(11.2))?,
///     u_at: Ratio::new::<percent>(0.5),
///     to: Moisture::target(Ratio::new::<percent>(14.5))?,
///     drop: DropMass::new(Mass::new::<milligram>(47.8)),
///     u_drop: DropMass::new(Mass::new::<milligram>(0.3)),
/// });
/// assert!((watered.water.get::<gram>() - 9.649).abs() < 5e-4);
/// assert_eq!(watered.drops.count(), 201.0);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rows {
    density: Density,
    u_leaf: Mass,
}

/// A batch that is watered by the drop, with water at 20 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowWater {
    /// Leaf as weighed.
    pub leaf: Mass,
    /// Its moisture now.
    pub at: Moisture,
    /// The standard uncertainty (k = 1) of that moisture, in points as a ratio.
    pub u_at: Ratio,
    /// The moisture that is wanted.
    pub to: Moisture,
    /// One drop of water.
    pub drop: DropMass,
    /// Its standard uncertainty (k = 1).
    pub u_drop: DropMass,
}

/// The water of a row, and what its whole drops give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowWatered {
    /// Whether the leaf is drier than is wanted; what is at its target or above
    /// gets no water.
    pub is_dry: bool,
    /// The water in full.
    pub water: Mass,
    /// The same as a volume at 20 °C.
    pub volume: Volume,
    /// The whole drops that do not overshoot.
    pub drops: Drops,
    /// The moisture that the whole drops give.
    pub moisture: Moisture,
    /// Its standard uncertainty (k = 1), in points as a ratio.
    pub u_moisture: Ratio,
}

/// A flavouring by a count of drops that was tried on a little leaf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowFlavour {
    /// The leaf of the batch, as weighed.
    pub leaf: Mass,
    /// How many drops went onto the leaf of the trial; none is an answer.
    pub drops: Drops,
    /// The leaf of the trial, as weighed.
    pub on: Mass,
    /// One drop of the flavouring.
    pub drop: DropMass,
    /// Its density.
    pub density: Density,
}

/// The flavouring of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowFlavoured {
    /// To weigh.
    pub mass: Mass,
    /// To measure out.
    pub volume: Volume,
    /// The dose, on leaf as weighed.
    pub dose: DoseAsWeighed,
}

/// A lane for each of leaf, moisture and drop.
const LANES: usize = 3;

/// Water at 20 °C in kg/m³: Tanaka's density to six figures, so that a table
/// can be checked with a pocket calculator.
const WATER_DENSITY: f64 = 998.207;

impl Rows {
    /// Rows of leaf that was weighed on a scale; without one the masses are
    /// exact.
    pub fn new(scale: Option<Scale>) -> Self {
        Self {
            density: Density::of_base(WATER_DENSITY),
            u_leaf: scale.map_or(Mass::of_base(0.0), |scale| scale.u_net()),
        }
    }

    /// The water of a row: as [`Watering`](super::Watering) has it, a first
    /// addition left out. Total: numbers are held against their ranges before.
    #[inline(always)]
    pub fn water(&self, row: &RowWater) -> RowWatered {
        let pile = Pile::leaf(row.leaf, row.at);
        let water = pile.water_to(row.to);
        if Course::of(&pile, row.to, water) != Course::Add {
            return RowWatered {
                is_dry: false,
                water: Mass::of_base(0.0),
                volume: Volume::of_base(0.0),
                drops: Drops::new(0.0),
                moisture: row.at,
                u_moisture: row.u_at,
            };
        }
        let drops = (water / row.drop).whole_below();
        let leaf = Linear::<LANES>::input(row.leaf.base(), self.u_leaf.base(), 0);
        let at = Linear::input(row.at.base(), row.u_at.base(), 1);
        let one = Linear::input(row.drop.base(), row.u_drop.base(), 2);
        let counted = DropMass::from_base(one) * drops.lift::<Linear<LANES>>();
        let pile = Pile::leaf(Mass::from_base(leaf), Moisture::from_base(at));
        let reached = Moisture::to_base(pile.with_water(counted).aired().moisture());
        RowWatered {
            is_dry: true,
            water,
            volume: water / self.density,
            drops,
            moisture: Moisture::of_base(reached.best()),
            u_moisture: Ratio::of_base(reached.variance().sqrt()),
        }
    }
}

impl RowFlavour {
    /// The flavouring of the batch: the dose of the trial on its leaf, as
    /// [`Dosing`](super::Dosing) carries it over.
    #[inline(always)]
    pub fn flavouring(&self) -> RowFlavoured {
        let tried = self.drop * self.drops;
        let dose = tried / LeafAsWeighed::new(self.on);
        let mass = dose * LeafAsWeighed::new(self.leaf);
        RowFlavoured {
            mass,
            volume: mass / self.density,
            dose,
        }
    }
}
