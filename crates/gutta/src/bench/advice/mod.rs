//! What would make an answer surer, worked out and not guessed.
//!
//! # Why not simply "measure better"?
//!
//! A bench has a few cheap actions: dry a dish, count more drops onto the
//! scale, take the finer scale. Each is put into the same formula in place of
//! the worst input, and the smallest that brings the answer inside the band is
//! named.

mod questions;

use super::added::WATER;
use super::before_water::{LEAF, MOISTURE_BEFORE, MOISTURE_NOW, READING};
use super::dosing::{BATCH_LEAF, BATCH_MOISTURE, FLAVOURING, MOISTURE};
use super::drop::{DROP, Drop, SCATTER};
use crate::matter::{Moisture, dish};
use crate::measure::{Density, Drops, Estimate, Mass, Measured, Ratio, Scalar, Scale};

/// What a bench can do about a doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// Dry dishes of leaf in the oven, weighed on a scale of this division.
    OvenDishes {
        /// How many.
        dishes: u32,
        /// Leaf in each, as weighed.
        leaf: Mass,
        /// The scale's division.
        division: Mass,
    },
    /// Weigh this many drops at once, on a scale of this division.
    WeighDrops {
        /// How many.
        drops: Drops,
        /// Whether the scatter from drop to drop is known, and counted.
        with_scatter: bool,
        /// The scale's division.
        division: Mass,
    },
    /// Weigh so many drops again, as often.
    WeighAgain {
        /// How often.
        times: u32,
        /// How many drops each time.
        drops: Drops,
    },
    /// Fill to a mark with so many drops again, as often.
    FillAgain {
        /// How often.
        times: u32,
        /// How many drops each time.
        drops: Drops,
    },
    /// Weigh what was to be counted in drops, on a scale of this division.
    WeighInstead {
        /// The scale's division.
        division: Mass,
    },
    /// Weigh on a scale of this division.
    FinerScale {
        /// The scale's division.
        division: Mass,
    },
}

/// The worst input of an answer, and what would help.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The input that brings the largest share of the doubt.
    pub input: String,
    /// Its share of the variance.
    pub share: f64,
    /// The half-width (95 %) of the answer as things stand, SI base units.
    pub now: f64,
    /// What would help, and the half-width then; none when nothing of a bench
    /// would, or the answer is sure enough already.
    pub action: Option<(Action, f64)>,
    /// Whether the answer is as sure as is aimed at, with the action where there
    /// is one.
    pub is_enough: bool,
}

/// A scale where none is known: what a bench most often has.
const USUAL_DIVISION: f64 = 1e-5;

/// Leaf in an oven dish: 5 g, as in the usual oven methods.
const DISH: f64 = 5e-3;

/// How much finer the finer scale is.
const FINER: f64 = 0.1;

/// What is judged: the worst input with its share, and the half-width at 95 %.
struct Judged {
    input: String,
    share: f64,
    half: f64,
}

/// Judges an estimate; none when nothing is in doubt.
fn judge<S: Scalar>(estimate: &Estimate<S>) -> Option<Judged> {
    let (input, share) = estimate
        .budget()
        .first()
        .map(|(input, share)| ((*input).to_owned(), *share))?;
    Some(Judged {
        input,
        share,
        half: estimate.measured().half_width_95(),
    })
}

/// How much lower a dearer action must bring the half-width to be worth it.
const WORTH_IT: f64 = 0.9;

/// The first action that brings the half-width to the aim, or the least that
/// brings it about as low as any. Each action comes with the half-width it leads
/// to.
fn advise(now: Judged, aim: f64, actions: impl IntoIterator<Item = (Action, f64)>) -> Advice {
    let mut advice = Advice {
        is_enough: now.half <= aim,
        input: now.input,
        share: now.share,
        now: now.half,
        action: None,
    };
    if advice.is_enough {
        return advice;
    }
    for (action, then) in actions {
        let best = advice.action.map_or(now.half, |(_, best)| best);
        if then <= aim || then < WORTH_IT * best {
            advice.action = Some((action, then));
        }
        if then <= aim {
            advice.is_enough = true;
            break;
        }
    }
    advice
}

/// What is known of a question's inputs, for what can be done about them.
#[derive(Default)]
struct Bench {
    scale: Option<Scale>,
    moisture: Option<Moisture>,
    batch_moisture: Option<Moisture>,
    leaf: Option<Mass>,
    batch_leaf: Option<Mass>,
    /// The drop that is counted with, and the density of its liquid.
    drop: Option<(Drop, Density)>,
    /// What goes on, weighed or counted.
    added: Option<Mass>,
}

/// An input, measured anew.
#[derive(Clone, Copy)]
enum Anew {
    Moisture(Measured<Moisture>),
    BatchMoisture(Measured<Moisture>),
    Leaf(Measured<Mass>),
    BatchLeaf(Measured<Mass>),
    Drop(Drop),
    Added(Measured<Mass>),
}

impl Bench {
    /// What can be done about an input, the smallest effort first, each with
    /// what it makes of it.
    fn about(&self, input: &str) -> Vec<(Action, Anew)> {
        let dishes = |at: Option<Moisture>, anew: fn(Measured<Moisture>) -> Anew| {
            at.map_or_else(Vec::new, |at| self.dishes(at, anew))
        };
        let finer = |mass: Option<Mass>, anew: fn(Measured<Mass>) -> Anew| {
            let action = |division| Action::FinerScale { division };
            mass.map_or_else(Vec::new, |mass| self.weighed(mass, action, anew))
        };
        match input {
            MOISTURE | MOISTURE_NOW | MOISTURE_BEFORE | READING => {
                dishes(self.moisture, Anew::Moisture)
            }
            BATCH_MOISTURE => dishes(self.batch_moisture, Anew::BatchMoisture),
            LEAF => finer(self.leaf, Anew::Leaf),
            BATCH_LEAF => finer(self.batch_leaf, Anew::BatchLeaf),
            WATER | FLAVOURING => finer(self.added, Anew::Added),
            DROP => self.drops(),
            // No calibration makes drops more even: only the scale does not
            // care.
            SCATTER => {
                let action = |division| Action::WeighInstead { division };
                let added = self.added.filter(|_| self.drop.is_some());
                added.map_or_else(Vec::new, |mass| self.weighed(mass, action, Anew::Added))
            }
            _ => Vec::new(),
        }
    }

    /// The scale at hand, or the usual one, and a finer one.
    fn divisions(&self) -> [Mass; 2] {
        let division = self
            .scale
            .map_or(Mass::of_base(USUAL_DIVISION), |scale| scale.division());
        [division, division * Ratio::of_base(FINER)]
    }

    fn dishes(&self, at: Moisture, anew: fn(Measured<Moisture>) -> Anew) -> Vec<(Action, Anew)> {
        let dried = |(division, dishes): (Mass, u32)| {
            let leaf = Mass::of_base(DISH);
            let one = dish(at, leaf, division);
            let u = one.u() / f64::from(dishes).sqrt();
            let action = Action::OvenDishes {
                dishes,
                leaf,
                division,
            };
            (action, anew(Measured::new(one.value(), u, one.dof())))
        };
        let ways = self.divisions().into_iter();
        ways.flat_map(|division| [(division, 1), (division, 2)])
            .map(dried)
            .collect()
    }

    fn weighed(
        &self,
        mass: Mass,
        action: fn(Mass) -> Action,
        anew: fn(Measured<Mass>) -> Anew,
    ) -> Vec<(Action, Anew)> {
        let on = |division: Mass| {
            let scale = Scale::new(division).ok()?;
            Some((action(division), anew(scale.weighed(mass))))
        };
        self.divisions().into_iter().filter_map(on).collect()
    }

    /// The same drop, weighed anew with more and more drops at once.
    fn drops(&self) -> Vec<(Action, Anew)> {
        let Some((drop, density)) = self.drop else {
            return Vec::new();
        };
        let one = drop.best_mass(density);
        let scatter = drop.scatter();
        let [division, _] = self.divisions();
        let scale = Scale::new(division).map_or(0.0, |scale| scale.u_net().base());
        [20.0, 40.0, 60.0, 100.0, 200.0, 400.0]
            .into_iter()
            .map(|n: f64| {
                let by_scatter = scatter.map_or(0.0, |s| s.one.base() / n.sqrt());
                let u = by_scatter.hypot(scale / n);
                let action = Action::WeighDrops {
                    drops: Drops::new(n),
                    with_scatter: scatter.is_some(),
                    division,
                };
                let mass = Measured::new(one, u, f64::INFINITY);
                (action, Anew::Drop(Drop::calibrated(mass, scatter)))
            })
            .collect()
    }
}

/// Each action with the half-width that `figure` has in the question changed
/// by it.
fn tried<S: Scalar>(
    changes: Vec<(Action, Anew)>,
    figure: impl Fn(Anew) -> Option<Estimate<S>>,
) -> Vec<(Action, f64)> {
    changes
        .into_iter()
        .filter_map(|(action, change)| {
            let then = figure(change)?;
            Some((action, then.measured().half_width_95()))
        })
        .collect()
}
