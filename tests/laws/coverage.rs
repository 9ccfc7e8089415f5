//! Stated 95 % intervals hold the truth as often as they say.
//!
//! A few thousand benches are made up, each with a truth that only the test
//! knows and readings with errors of the stated kind. The share of intervals
//! that hold the truth must not fall below 95 % by more than three standard
//! deviations of a count, and not rise above 97 % where normal or t inputs make
//! nearly all of the variance.

use gutta::bench::{
    Asked, Calibrating, Dosing, Drop, Dropped, LeafBasis, Rate, RateOf, Readings, Weighing,
    known_by_solids,
};
use gutta::matter::{Jar, OvenDish, OvenTest};
use gutta::measure::{DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale};
use gutta::{Casing, Estimate, Moisture, Watering, WateringPlan};
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

const BENCHES: u32 = 4000;

struct Luck(Xoshiro256PlusPlus);

impl Luck {
    fn new(seed: u64) -> Self {
        Self(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.0);
        mean + sd * z
    }
}

impl Luck {
    /// A number from −1 to 1, each as likely as another.
    fn even(&mut self) -> f64 {
        let bits = self.0.next_u64() >> 11;
        2.0 * (bits as f64 / (1_u64 << 53) as f64) - 1.0
    }
}

fn holds<S: Scalar>(estimate: &Estimate<S>, truth: f64) -> bool {
    let half = estimate.measured().half_width_95();
    (estimate.best().base() - truth).abs() <= half
}

/// Holds the share of intervals that hold the truth against its limits.
fn assert_covers(what: &str, bench: impl FnMut(&mut Luck) -> bool) {
    let share = share_held(what, bench);
    assert!(share <= 0.97, "{what}: {share}");
}

/// The share of intervals that hold the truth, not too low.
fn share_held(what: &str, mut bench: impl FnMut(&mut Luck) -> bool) -> f64 {
    let mut luck = Luck::new(95);
    let held = (0..BENCHES).filter(|_| bench(&mut luck)).count();
    let share = held as f64 / f64::from(BENCHES);
    let sd = (0.95 * 0.05 / f64::from(BENCHES)).sqrt();
    assert!(share >= 0.95 - 3.0 * sd, "{what}: {share}");
    share
}

#[test]
fn water_to_a_target() {
    let to = Moisture::of_base(0.15);
    assert_covers("water", |luck| {
        let (leaf, at) = (0.34, luck.normal(0.108, 0.01));
        let truth = leaf * (to.base() - at) / (1.0 - to.base());
        let (u_leaf, u_at) = (0.5e-3, 0.006);
        let watering = Watering::new(
            Measured::new(
                Mass::of_base(luck.normal(leaf, u_leaf)),
                u_leaf,
                f64::INFINITY,
            ),
            Measured::new(
                Moisture::of_base(luck.normal(at, u_at).max(0.0)),
                u_at,
                f64::INFINITY,
            ),
            to,
        );
        match watering.plan().unwrap() {
            WateringPlan::Add(plan) => holds(&plan.water, truth),
            // The same figure with the other sign.
            WateringPlan::Dry(plan) => holds(&plan.water, -truth),
            WateringPlan::Nothing(_) => truth.abs() < 1e-6,
        }
    });
}

/// One drop of a dropper: its mean and the scatter from drop to drop.
const DROP: f64 = 47.8e-6;
const SCATTER: f64 = 1.5e-6;

/// `n` drops as they fall.
fn fallen(luck: &mut Luck, n: u32) -> f64 {
    (0..n).map(|_| luck.normal(DROP, SCATTER)).sum()
}

/// A calibration by three weighings of 20 drops: too few for a miscount to be
/// suspected, so that nothing is left out.
fn calibrate(luck: &mut Luck) -> gutta::bench::Calibration {
    let weighings = (0..3)
        .map(|_| Weighing {
            drops: 20,
            amount: Measured::exact(Mass::of_base(fallen(luck, 20))),
            last_place: Mass::of_base(1e-7),
        })
        .collect();
    Calibrating::new(Readings::Singly(weighings), Dropped::Water)
        .calibrate()
        .unwrap()
}

#[test]
fn a_calibrated_drop() {
    assert_covers("drop", |luck| holds(&calibrate(luck).drop_mass, DROP));
}

#[test]
fn a_dose_by_typed_drop() {
    let u = 0.4e-6;
    assert_covers("dose", |luck| {
        let drop = Measured::new(DropMass::of_base(luck.normal(DROP, u)), u, f64::INFINITY);
        let dosing = Dosing {
            drop: Some(Drop::of_mass(drop).unwrap()),
            leaf: Some(Measured::new(
                Mass::of_base(luck.normal(0.01, 4e-6)),
                4e-6,
                f64::INFINITY,
            )),
            ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::AsWeighed)
        };
        let dose = dosing.answer().unwrap().dose.unwrap();
        holds(&dose, 7.0 * DROP / 0.01)
    });
}

/// Seven drops that really fall, by a drop calibrated from three weighings: the
/// calibration's doubt is common to them, their own scatter is not.
#[test]
fn a_dose_by_calibrated_drop() {
    assert_covers("dose", |luck| {
        let drop = calibrate(luck).drop();
        let truth = fallen(luck, 7);
        let dosing = Dosing {
            drop: Some(drop),
            ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::AsWeighed)
        };
        holds(&dosing.answer().unwrap().mass, truth)
    });
}

/// Two to four dishes with their own scatter, weighed to 1 mg.
#[test]
fn a_moisture_by_oven_dishes() {
    let (truth, scatter) = (0.1366, 0.002);
    let scale = Scale::new(Mass::of_base(1e-6)).expect("a scale");
    for count in 2..=4 {
        assert_covers("oven", |luck| {
            let dishes = (0..count)
                .map(|_| {
                    let m = luck.normal(truth, scatter);
                    let step = |kg: f64| Mass::of_base((kg * 1e6).round() / 1e6);
                    OvenDish {
                        tare: step(0.021),
                        wet: step(0.026),
                        dry: step(0.026 - 0.005 * m),
                    }
                })
                .collect();
            let test = OvenTest {
                dishes,
                scale: Some(scale),
            };
            holds(&test.volatiles().expect("a test").moisture, truth)
        });
    }
}

/// A jar whose moisture was known to half a point, weighed again on a scale
/// that steps by 0.1 g: three readings, the tare used twice.
#[test]
fn a_moisture_by_a_jar_weighed_again() {
    let scale = Scale::new(Mass::of_base(1e-4)).expect("a scale");
    let u = 0.0025;
    assert_covers("jar", |luck| {
        let step = |kg: f64| scale.read(Mass::of_base((kg * 1e4).round() / 1e4));
        let tare = 0.4 + 1e-4 * luck.even();
        let (net, at) = (0.45 + 1e-3 * luck.even(), 0.152);
        let lost = 0.015 + 1e-3 * luck.even();
        let known = Measured::new(Moisture::of_base(luck.normal(at, u)), u, f64::INFINITY);
        let jar = Jar {
            tare: Some(step(tare)),
            ..Jar::new(step(tare + net), known, step(tare + net - lost))
        };
        let truth = 1.0 - (1.0 - at) * net / (net - lost);
        holds(&jar.weighed().expect("a jar").moisture, truth)
    });
}

/// A feel grade is a range: the truth is anywhere in it. The interval is as safe
/// as it says, and wider than it need be.
#[test]
fn water_from_a_range() {
    let to = Moisture::of_base(0.16);
    let share = share_held("range", |luck| {
        let middle = 0.12;
        let at = middle + 0.02 * luck.even();
        let truth = 0.34 * (to.base() - at) / (1.0 - to.base());
        let watering = Watering::new(
            Measured::exact(Mass::of_base(0.34)),
            Measured::rectangular(Moisture::of_base(middle), 0.02),
            to,
        );
        match watering.plan().unwrap() {
            WateringPlan::Add(plan) => holds(&plan.water, truth),
            other => panic!("{other:?}"),
        }
    });
    assert!(share >= 0.95, "{share}");
}

/// Casing that is weighed out by what the leaf was thought to be, and water by
/// that too: the moisture then, the weight to stop at and the water to lose are
/// those of the leaf as it was.
#[test]
fn casing_put_on_and_dried_back() {
    let rate = Rate {
        share: Ratio::of_base(0.08),
        of: RateOf::Solids,
        basis: LeafBasis::Dry,
    };
    let (bulk, to) = (Moisture::of_base(0.20), Moisture::of_base(0.14));
    let (u_leaf, u_at, u_solids) = (0.5e-3, 0.006, 0.01);
    let solids = 0.6;
    let stage = |which: usize| {
        move |luck: &mut Luck| {
            let (leaf, at) = (2.5, luck.normal(0.125, 0.005));
            let measured = |value: f64, u: f64| (value, u, f64::INFINITY);
            let (mass, u, dof) = measured(luck.normal(leaf, u_leaf), u_leaf);
            let mass = Measured::new(Mass::of_base(mass), u, dof);
            let known = Moisture::of_base(luck.normal(at, u_at));
            let share = Ratio::of_base(luck.normal(solids, u_solids));
            let recipe = known_by_solids(&Measured::new(share, u_solids, dof)).expect("a share");
            let casing = Casing {
                bulk: Some(bulk),
                to: Some(to),
                ..Casing::new(mass, Measured::new(known, u_at, dof), vec![recipe], rate)
            };
            let cased = casing.cased().expect("a casing");
            let in_bulk = cased.bulk.expect("a bulking moisture");
            // What was weighed out went on leaf that was as it was.
            let on = cased.casing.best().base();
            let poured = in_bulk.water.map_or(0.0, |water| water.best().base());
            let dry = leaf * (1.0 - at) + on * solids;
            let water = leaf * at + on * (1.0 - solids);
            let dried = cased.dried.expect("a moisture to dry back to");
            let end = dry / (1.0 - to.base());
            match which {
                0 => holds(&cased.moisture, water / (dry + water)),
                1 => holds(&dried.mass.net, end),
                _ => holds(&dried.water, dry + water + poured - end),
            }
        }
    };
    for (which, what) in ["moisture", "weight to stop at", "water to lose"]
        .into_iter()
        .enumerate()
    {
        assert_covers(what, stage(which));
    }
}
