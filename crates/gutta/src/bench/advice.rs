//! What would make an answer surer, worked out and not guessed.
//!
//! # Why not simply "measure better"?
//!
//! A bench has a few cheap actions: dry a dish, count more drops onto the
//! scale, take the finer scale. Each is put into the same formula in place of
//! the worst input, and the smallest that brings the answer inside the band is
//! named.

use super::added::Added;
use super::drop::Drop;
use super::watering::{Watering, WateringPlan};
use crate::error::Result;
use crate::matter::{Moisture, dish, water};
use crate::measure::{DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale};

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
        /// The scale's division.
        division: Mass,
    },
    /// Weigh on a scale of this division.
    FinerScale {
        /// The scale's division.
        division: Mass,
    },
}

/// The worst input of a watering, and what would help.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The input that brings the largest share of the doubt.
    pub input: String,
    /// Its share of the variance.
    pub share: f64,
    /// The half-width (95 %) of the moisture reached, as things stand.
    pub now: f64,
    /// What would help, and the half-width then; none when nothing of a bench
    /// would, or the answer is inside the band already.
    pub action: Option<(Action, f64)>,
    /// Whether the answer is inside the band, with the action where there is
    /// one.
    pub is_enough: bool,
}

/// A scale where none is known: what a bench most often has.
const USUAL_DIVISION: f64 = 1e-5;

/// Leaf in an oven dish: 5 g, as in the usual oven methods.
const DISH: f64 = 5e-3;

/// Above this volume of water it is weighed, not counted.
const COUNTED_UP_TO: f64 = 2e-6;

impl Watering {
    /// What would make the moisture that is reached surer; none when nothing
    /// is in doubt or nothing is to be done.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let Some(planned) = self.planned()? else {
            return Ok(None);
        };
        let now = self.after(&planned);
        let Some((input, share)) = now
            .budget()
            .first()
            .map(|(input, share)| ((*input).to_owned(), *share))
        else {
            return Ok(None);
        };
        let half = now.measured().half_width_95();
        let band = self.band.base();
        let mut advice = Advice {
            is_enough: half <= band,
            input,
            share,
            now: half,
            action: None,
        };
        if advice.is_enough {
            return Ok(Some(advice));
        }
        for (action, changed, added) in self.actions(&advice.input, &planned) {
            let then = changed.after(&added).measured().half_width_95();
            let is_better = advice.action.is_none_or(|(_, best)| then < best);
            if then < half && is_better {
                advice.action = Some((action, then));
            }
            if then <= band {
                advice.is_enough = true;
                break;
            }
        }
        Ok(Some(advice))
    }

    /// The water as it would be added, or taken away.
    fn planned(&self) -> Result<Option<Added>> {
        Ok(match self.plan()? {
            WateringPlan::Nothing(_) => None,
            WateringPlan::Dry(plan) => Some(Added::Mass(Measured::exact(-plan.water.best()))),
            WateringPlan::Add(plan) => Some(match (&plan.drops, self.drop) {
                (Some(drops), Some(drop))
                    if plan.volume.best().base() <= COUNTED_UP_TO && drops.whole.count() > 0.0 =>
                {
                    Added::Drops(drops.whole, drop)
                }
                _ => self.weighed(plan.water.best()),
            }),
        })
    }

    /// What could be done about an input, the smallest first: the action, and
    /// the question as it would stand then.
    fn actions(&self, input: &str, planned: &Added) -> Vec<(Action, Self, Added)> {
        let division = self
            .scale
            .map_or(Mass::of_base(USUAL_DIVISION), |scale| scale.division());
        let finer = division * Ratio::of_base(0.1);
        match input {
            "moisture now" => [(1, division), (2, division), (1, finer), (2, finer)]
                .into_iter()
                .map(|(dishes, division)| {
                    let leaf = Mass::of_base(DISH);
                    let one: Measured<Moisture> = dish(self.at.value(), leaf, division);
                    let u = one.u() / f64::from(dishes).sqrt();
                    let changed = Self {
                        at: Measured::new(one.value(), u, one.dof()),
                        ..self.clone()
                    };
                    let action = Action::OvenDishes {
                        dishes,
                        leaf,
                        division,
                    };
                    (action, changed, *planned)
                })
                .collect(),
            "drop" | "scatter of the drops" => {
                let Added::Drops(whole, drop) = *planned else {
                    return Vec::new();
                };
                [20.0, 40.0, 60.0, 100.0, 200.0, 400.0]
                    .into_iter()
                    .map(|n| {
                        let drop = self.weighed_again(&drop, n, division);
                        let action = Action::WeighDrops {
                            drops: Drops::new(n),
                            division,
                        };
                        (action, self.clone(), Added::Drops(whole, drop))
                    })
                    .collect()
            }
            "leaf" | "water added" => Scale::new(finer)
                .map(|scale| {
                    let mut changed = self.clone();
                    let mut added = *planned;
                    changed.leaf = scale.weighed(self.leaf.value());
                    if let Added::Mass(mass) = added {
                        added = Added::Mass(scale.weighed(mass.value()));
                    }
                    (Action::FinerScale { division: finer }, changed, added)
                })
                .into_iter()
                .collect(),
            _ => Vec::new(),
        }
    }

    /// The same drop, weighed anew with `n` drops at once.
    fn weighed_again(&self, drop: &Drop, n: f64, division: Mass) -> Drop {
        let one = drop.best_mass(water::density(self.temperature.value()));
        let scale = Scale::new(division).map_or(0.0, |scale| scale.u_net().base());
        let scatter = drop.scatter();
        let by_scatter = scatter.map_or(0.0, |s| s.base() / n.sqrt());
        let u = by_scatter.hypot(scale / n);
        Drop::calibrated(
            Measured::new(DropMass::of_base(one.base()), u, f64::INFINITY),
            scatter,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jar(half: f64) -> Watering {
        Watering::new(
            Measured::exact(Mass::of_base(0.34)),
            Measured::with_half_width(Moisture::of_base(0.108), half),
            Moisture::of_base(0.15),
        )
    }

    #[test]
    fn a_loose_moisture_is_mended_by_one_dish() {
        let advice = jar(0.03).advice().unwrap().unwrap();
        assert_eq!((advice.input.as_str(), advice.share), ("moisture now", 1.0));
        // By hand: the moisture reached is in doubt by M/(M + W) of it.
        assert!((advice.now - 0.03 * 340.0 / 356.8).abs() < 1e-9);
        let Some((
            Action::OvenDishes {
                dishes: 1,
                leaf,
                division,
            },
            then,
        )) = advice.action
        else {
            panic!("{advice:?}");
        };
        assert_eq!((leaf.base(), division.base()), (DISH, USUAL_DIVISION));
        let one = dish(Moisture::of_base(0.108), leaf, division).half_width_95();
        assert!((then - one * 340.0 / 356.8).abs() < 1e-9);
        assert!(advice.is_enough);
    }

    #[test]
    fn inside_the_band_nothing_needs_doing() {
        let advice = jar(0.005).advice().unwrap().unwrap();
        assert!(advice.is_enough && advice.action.is_none());
    }

    #[test]
    fn without_doubt_there_is_no_advice() {
        let mut jar = jar(0.005);
        jar.at = Measured::exact(jar.at.value());
        assert_eq!(jar.advice().unwrap(), None);
    }

    #[test]
    fn when_nothing_is_enough_the_best_is_named() {
        let mut jar = jar(0.03);
        // A band far narrower than any dish can tell.
        jar.band = Ratio::of_base(1e-6);
        let advice = jar.advice().unwrap().unwrap();
        assert!(!advice.is_enough);
        let Some((
            Action::OvenDishes {
                dishes: 2,
                division,
                ..
            },
            _,
        )) = advice.action
        else {
            panic!("{advice:?}");
        };
        assert!((division.base() - 0.1 * USUAL_DIVISION).abs() < 1e-18);
    }
}
