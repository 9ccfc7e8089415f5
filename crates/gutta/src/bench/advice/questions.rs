//! The questions of a bench, each with what would make its answer surer.

use super::{Action, Advice, Anew, Bench, advise, judge, tried};
use crate::bench::added::Added;
use crate::bench::dosing::{Asked, Batch, BatchValue, Dosed, Dosing};
use crate::bench::dropper::Calibrating;
use crate::bench::moistening::{KnownAddition, LeafWeighed};
use crate::bench::watering::{Watering, WateringPlan};
use crate::bench::weighings::Readings;
use crate::error::Result;
use crate::matter::{Moisture, water};
use crate::measure::{Density, DropMass, Drops, Estimate, Mass, Measured, Scalar};

/// How well a drop and a flavouring are to be known: ±2 % at 95 %. For a drop
/// that is u(d) of 1 %.
const AIM: f64 = 0.02;

/// How often drops are weighed again at most.
const AGAIN: u32 = 20;

impl Watering {
    /// What would bring the moisture that is reached inside the target band;
    /// none when nothing is in doubt.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let planned = self.planned()?;
        let Some(now) = judge(&self.after(&planned)) else {
            return Ok(None);
        };
        let density = water::density(self.temperature.value());
        let added = match &planned {
            Added::Mass(mass) => mass.value(),
            Added::Volume(volume) => volume.value() * density,
            Added::Drops(n, drop) => drop.best_mass(density) * *n,
        };
        let bench = Bench {
            scale: self.scale,
            moisture: Some(self.at.value()),
            leaf: Some(self.leaf.value()),
            drop: self.drop.map(|drop| (drop, density)),
            added: (added.base() > 0.0).then_some(added),
            ..Bench::default()
        };
        let changes = bench.about(&now.input);
        let actions = tried(changes, |anew| self.with(anew, &planned));
        Ok(Some(advise(now, self.band.base(), actions)))
    }

    /// The moisture that is reached with an input measured anew.
    fn with(&self, anew: Anew, planned: &Added) -> Option<Estimate<Moisture>> {
        // What is measured now leaves what was done earlier behind.
        let now = |question: Self| Self {
            earlier: None,
            ..question
        };
        Some(match anew {
            Anew::Moisture(at) => now(Self { at, ..self.clone() }).after(planned),
            Anew::Leaf(leaf) => now(Self {
                leaf,
                ..self.clone()
            })
            .after(planned),
            Anew::Drop(drop) => {
                let old = self.drop?;
                let again = |added: &Added| added.recounted(&old, drop);
                let mut brought = self.brought.clone();
                for liquid in &mut brought {
                    liquid.amount = again(&liquid.amount);
                }
                let earlier = self.earlier.as_ref().map(|e| e.recounted(&old, drop));
                Self {
                    drop: Some(drop),
                    brought,
                    earlier,
                    ..self.clone()
                }
                .after(&again(planned))
            }
            Anew::Added(mass) => self.after(&Added::Mass(mass)),
            Anew::BatchMoisture(_) | Anew::BatchLeaf(_) => return None,
        })
    }

    /// The water as it would be added, or taken away, or none.
    fn planned(&self) -> Result<Added> {
        Ok(match self.plan()? {
            WateringPlan::Nothing(_) => Added::Mass(Measured::exact(Mass::of_base(0.0))),
            WateringPlan::Dry(plan) => Added::Mass(Measured::exact(-plan.water.best())),
            WateringPlan::Add(plan) => match plan.counted().zip(self.drop) {
                Some((drops, drop)) => Added::Drops(drops.whole, drop),
                None => self.weighed(plan.water.best()),
            },
        })
    }
}

impl Dosing {
    /// What would bring the flavouring, for the batch where there is one, to
    /// ±2 % at 95 %, which is what weighing is held to by common practice; none
    /// when nothing is in doubt.
    ///
    /// # Errors
    /// As [`answer`](Self::answer).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let picked = |dosed: Dosed| dosed.batch.map_or(dosed.mass, |batch| batch.mass);
        let answer = self.answer()?;
        let asked = answer.mass.best();
        let picked_now = picked(answer);
        let Some(now) = judge(&picked_now) else {
            return Ok(None);
        };
        let own = self.batch.map(|batch| batch.at);
        let bench = Bench {
            moisture: self.at.map(|at| at.value()),
            batch_moisture: match own {
                Some(BatchValue::Own(at)) => Some(at.value()),
                _ => None,
            },
            leaf: self.leaf.map(|leaf| leaf.value()),
            batch_leaf: self.batch.map(|batch| batch.leaf.value()),
            // A drop that is known by its mass needs no density.
            drop: self.drop.map(|drop| {
                let density = self.density.map_or(Density::of_base(0.0), |d| d.value());
                (drop, density)
            }),
            added: Some(asked),
            ..Bench::default()
        };
        let actions = tried(bench.about(&now.input), |anew| {
            let dosing = self.with(anew)?;
            dosing.answer().ok().map(picked)
        });
        let aim = AIM * picked_now.best().base();
        Ok(Some(advise(now, aim, actions)))
    }

    /// The same question with an input measured anew.
    fn with(&self, anew: Anew) -> Option<Self> {
        let mut dosing = self.clone();
        match anew {
            Anew::Moisture(at) => dosing.at = Some(at),
            Anew::Leaf(leaf) => dosing.leaf = Some(leaf),
            Anew::Drop(drop) => dosing.drop = Some(drop),
            Anew::Added(mass) => dosing.asked = Asked::Mass(mass),
            Anew::BatchMoisture(at) => {
                let at = BatchValue::Own(at);
                dosing.batch = Some(Batch { at, ..self.batch? });
            }
            Anew::BatchLeaf(leaf) => {
                dosing.batch = Some(Batch {
                    leaf,
                    ..self.batch?
                });
            }
        }
        Some(dosing)
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
        let (drop, added) = match self.added {
            Added::Mass(mass) => (None, Some(mass.value())),
            Added::Volume(_) => (None, None),
            // What was counted has gone on: it can no longer be weighed.
            Added::Drops(_, drop) => {
                let density = water::density(self.temperature.value());
                (Some((drop, density)), None)
            }
        };
        let bench = Bench {
            moisture: Some(self.moisture.value()),
            leaf: Some(self.leaf.value()),
            drop,
            added,
            ..Bench::default()
        };
        let actions = tried(bench.about(&now.input), |anew| {
            let mut known = *self;
            match (anew, self.added) {
                (Anew::Moisture(at), _) => known.moisture = at,
                (Anew::Leaf(leaf), _) => known.leaf = leaf,
                (Anew::Drop(drop), Added::Drops(n, _)) => known.added = Added::Drops(n, drop),
                (Anew::Added(mass), _) => known.added = Added::Mass(mass),
                _ => return None,
            }
            moisture(&known)
        });
        let aim = now.half / 2.0;
        Some(advise(now, aim, actions))
    }
}

impl Calibrating {
    /// What would bring the drop's mass to ±2 % at 95 %, with more readings as
    /// scattered as those that are there; none when nothing is in doubt.
    ///
    /// # Errors
    /// As [`calibrate`](Self::calibrate).
    pub fn advice(&self) -> Result<Option<Advice>> {
        let calibration = self.calibrate()?;
        let Some(now) = judge(&calibration.drop_mass) else {
            return Ok(None);
        };
        let aim = AIM * calibration.drop_mass.best().base();
        let (counted, drawn) = self.drawn()?;
        let count = drawn.mean_count.round();
        let again = |times: u32, drops: f64| {
            let drops = Drops::new(drops);
            match self.readings {
                Readings::ToMark(_) => Action::FillAgain { times, drops },
                Readings::Singly(_) | Readings::Running(_) => Action::WeighAgain { times, drops },
            }
        };
        // As often as needed with the same count, or once with a larger one
        // where the scale is in the way.
        let ways: Vec<(u32, f64)> = if drawn.by_scatter() {
            (1..=AGAIN).map(|times| (times, count)).collect()
        } else {
            [1.0, 2.0, 3.0, 5.0, 10.0]
                .map(|by| (1, by * count))
                .to_vec()
        };
        let known = calibration.drop_mass.best().base() / drawn.one;
        let actions = ways.into_iter().map(|(times, drops)| {
            let then: Measured<DropMass> = counted.weighed_on(&drawn, drops, f64::from(times));
            (again(times, drops), known * then.half_width_95())
        });
        Ok(Some(advise(now, aim, actions)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{DISH, USUAL_DIVISION};
    use super::*;
    use crate::bench::Drop;
    use crate::matter::dish;
    use crate::measure::Ratio;

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
