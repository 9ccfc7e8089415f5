//! What would make an answer surer, worked out and not guessed.
//!
//! # Why not simply "measure better"?
//!
//! A bench has a few cheap actions: dry a dish, count more drops onto the
//! scale, take the finer scale. Each is put into the same formula in place of
//! the worst input, and the smallest that brings the answer inside the band is
//! named.

use super::added::Added;
use super::dosing::{Dosed, Dosing};
use super::drop::Drop;
use super::moistening::{KnownAddition, LeafWeighed};
use super::watering::{Watering, WateringPlan};
use crate::error::Result;
use crate::matter::{Moisture, dish, water};
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

/// The first action that brings the half-width to the aim, or the one that
/// brings it lowest. Each action comes with the half-width it leads to.
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
        if then < best {
            advice.action = Some((action, then));
        }
        if then <= aim {
            advice.is_enough = true;
            break;
        }
    }
    advice
}

/// Oven dishes of leaf about this moisture, the smallest effort first.
fn dishes(at: Moisture, division: Mass) -> Vec<(Action, Measured<Moisture>)> {
    let finer = division * Ratio::of_base(FINER);
    [(1, division), (2, division), (1, finer), (2, finer)]
        .into_iter()
        .map(|(dishes, division)| {
            let leaf = Mass::of_base(DISH);
            let one = dish(at, leaf, division);
            let u = one.u() / f64::from(dishes).sqrt();
            let action = Action::OvenDishes {
                dishes,
                leaf,
                division,
            };
            (action, Measured::new(one.value(), u, one.dof()))
        })
        .collect()
}

/// The same drop, weighed anew with more and more drops at once.
fn weighed_again(drop: &Drop, density: Density, division: Mass) -> Vec<(Action, Drop)> {
    let one = drop.best_mass(density);
    let scatter = drop.scatter();
    let scale = Scale::new(division).map_or(0.0, |scale| scale.u_net().base());
    [20.0, 40.0, 60.0, 100.0, 200.0, 400.0]
        .into_iter()
        .map(|n: f64| {
            let by_scatter = scatter.map_or(0.0, |s| s.base() / n.sqrt());
            let u = by_scatter.hypot(scale / n);
            let action = Action::WeighDrops {
                drops: Drops::new(n),
                division,
            };
            let mass = Measured::new(one, u, f64::INFINITY);
            (action, Drop::calibrated(mass, scatter))
        })
        .collect()
}

/// The same mass on a scale ten times as fine.
fn finer(mass: Mass, division: Mass) -> Vec<(Action, Measured<Mass>)> {
    let division = division * Ratio::of_base(FINER);
    Scale::new(division)
        .map(|scale| (Action::FinerScale { division }, scale.weighed(mass)))
        .into_iter()
        .collect()
}

/// Each action with the half-width that `figure` has in the question changed
/// by it.
fn tried<T, S: Scalar>(
    changes: Vec<(Action, T)>,
    figure: impl Fn(T) -> Option<Estimate<S>>,
) -> Vec<(Action, f64)> {
    changes
        .into_iter()
        .filter_map(|(action, change)| {
            let then = figure(change)?;
            Some((action, then.measured().half_width_95()))
        })
        .collect()
}

impl Watering {
    /// What would bring the moisture that is reached inside the target band;
    /// none when nothing is in doubt or nothing is to be done.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let Some(planned) = self.planned()? else {
            return Ok(None);
        };
        let Some(now) = judge(&self.after(&planned)) else {
            return Ok(None);
        };
        let division = division(self.scale);
        let with = |q: Self| Some(q.after(&planned));
        let actions = match now.input.as_str() {
            "moisture now" => tried(dishes(self.at.value(), division), |at| {
                with(Self { at, ..self.clone() })
            }),
            "drop" | "scatter of the drops" => match planned {
                Added::Drops(whole, drop) => {
                    let density = water::density(self.temperature.value());
                    tried(weighed_again(&drop, density, division), |drop| {
                        Some(self.after(&Added::Drops(whole, drop)))
                    })
                }
                _ => Vec::new(),
            },
            "leaf" => tried(finer(self.leaf.value(), division), |leaf| {
                with(Self {
                    leaf,
                    ..self.clone()
                })
            }),
            "water added" => match planned {
                Added::Mass(mass) => tried(finer(mass.value(), division), |mass| {
                    Some(self.after(&Added::Mass(mass)))
                }),
                _ => Vec::new(),
            },
            _ => Vec::new(),
        };
        Ok(Some(advise(now, self.band.base(), actions)))
    }

    /// The water as it would be added, or taken away.
    fn planned(&self) -> Result<Option<Added>> {
        Ok(match self.plan()? {
            WateringPlan::Nothing(_) => None,
            WateringPlan::Dry(plan) => Some(Added::Mass(Measured::exact(-plan.water.best()))),
            WateringPlan::Add(plan) => Some(match plan.counted().zip(self.drop) {
                Some((drops, drop)) => Added::Drops(drops.whole, drop),
                None => self.weighed(plan.water.best()),
            }),
        })
    }
}

impl Dosing {
    /// What would halve the doubt of the flavouring, for the batch where there
    /// is one; none when nothing is in doubt.
    ///
    /// # Errors
    /// As [`answer`](Self::answer).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let picked = |dosed: Dosed| dosed.batch.map_or(dosed.mass, |batch| batch.mass);
        let mass = |q: &Self| q.answer().ok().map(picked);
        let Some(now) = judge(&picked(self.answer()?)) else {
            return Ok(None);
        };
        let division = Mass::of_base(USUAL_DIVISION);
        let actions = match (now.input.as_str(), self.at, self.drop, self.leaf) {
            ("moisture", Some(at), _, _) => tried(dishes(at.value(), division), |at| {
                mass(&Self {
                    at: Some(at),
                    ..self.clone()
                })
            }),
            ("drop" | "scatter of the drops", _, Some(drop), _) => {
                // A drop that is known by its mass needs no density.
                let density = self.density.map_or(Density::of_base(0.0), |d| d.value());
                tried(weighed_again(&drop, density, division), |drop| {
                    mass(&Self {
                        drop: Some(drop),
                        ..self.clone()
                    })
                })
            }
            ("leaf", _, _, Some(leaf)) => tried(finer(leaf.value(), division), |leaf| {
                mass(&Self {
                    leaf: Some(leaf),
                    ..self.clone()
                })
            }),
            _ => Vec::new(),
        };
        let aim = now.half / 2.0;
        Ok(Some(advise(now, aim, actions)))
    }
}

impl KnownAddition {
    /// What would halve the doubt of the moisture after; none when nothing is
    /// in doubt.
    ///
    /// # Errors
    /// As [`after`](Self::after).
    pub fn advice_after(&self) -> Result<Option<Advice>> {
        let now = self.after()?.moisture;
        Ok(self.advice(&now, |q| q.after().ok().map(|answer| answer.moisture)))
    }

    /// What would halve the doubt of the moisture before; none when nothing is
    /// in doubt.
    ///
    /// # Errors
    /// As [`before`](Self::before).
    pub fn advice_before(&self, weighed: LeafWeighed) -> Result<Option<Advice>> {
        let now = self.before(weighed)?.moisture;
        Ok(self.advice(&now, |q| {
            q.before(weighed).ok().map(|answer| answer.moisture)
        }))
    }

    fn advice(
        &self,
        now: &Estimate<Moisture>,
        moisture: impl Fn(&Self) -> Option<Estimate<Moisture>>,
    ) -> Option<Advice> {
        let now = judge(now)?;
        let division = Mass::of_base(USUAL_DIVISION);
        let with_water = |added| moisture(&Self { added, ..*self });
        let actions = match (now.input.as_str(), self.added) {
            ("moisture now" | "moisture before", _) => {
                tried(dishes(self.moisture.value(), division), |at| {
                    moisture(&Self {
                        moisture: at,
                        ..*self
                    })
                })
            }
            ("drop" | "scatter of the drops", Added::Drops(n, drop)) => {
                let density = water::density(self.temperature.value());
                tried(weighed_again(&drop, density, division), |drop| {
                    with_water(Added::Drops(n, drop))
                })
            }
            ("water added", Added::Mass(mass)) => tried(finer(mass.value(), division), |mass| {
                with_water(Added::Mass(mass))
            }),
            ("leaf", _) => tried(finer(self.leaf.value(), division), |leaf| {
                moisture(&Self { leaf, ..*self })
            }),
            _ => Vec::new(),
        };
        let aim = now.half / 2.0;
        Some(advise(now, aim, actions))
    }
}

fn division(scale: Option<Scale>) -> Mass {
    scale.map_or(Mass::of_base(USUAL_DIVISION), |scale| scale.division())
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

    #[test]
    fn more_drops_on_the_scale_mend_a_loose_drop() {
        use crate::bench::{Asked, LeafBasis};
        use crate::measure::DropMass;
        let drop = Measured::with_half_width(DropMass::of_base(21.4e-6), 4e-6);
        let dosing = Dosing {
            drop: Some(Drop::of_mass(drop).unwrap()),
            ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::AsWeighed)
        };
        let advice = dosing.advice().unwrap().unwrap();
        assert_eq!(advice.input, "drop");
        let Some((Action::WeighDrops { drops, .. }, then)) = advice.action else {
            panic!("{advice:?}");
        };
        // By hand: √2 · 0.01 g/√12 over 20 drops, 7 of them, at 1.96.
        assert_eq!(drops, Drops::new(20.0));
        let expected = 1.959_964 * 7.0 * 2.0_f64.sqrt() * 1e-5 / 12.0_f64.sqrt() / 20.0;
        assert!((then - expected).abs() < 1e-6 * expected);
        assert!(advice.is_enough);
    }
}
