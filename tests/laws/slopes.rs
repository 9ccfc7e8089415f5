//! The slopes of every formula against central differences.
//!
//! Each term of an estimate is slope times u. Moving the input by ±h and
//! working the answer out again gives the slope another way. With h = 10⁻⁵ of
//! the input the curvature leaves an error of about h² and rounding one of
//! about 10⁻¹⁶/h, together below 10⁻⁸ of the answer's own size.

use gutta::bench::{
    Added, Asked, Batch, BatchValue, Calibrating, Dosed, Dosing, Drop, Dropped, KnownAddition,
    LeafBasis, LeafWeighed, Readings, Weighing,
};
use gutta::matter::Part;
use gutta::matter::{Air, air, alcohol, water};
use gutta::measure::{
    Density, DropMass, DropVolume, Drops, DropsPerVolume, Linear, Mass, Measured, Pressure, Ratio,
    Real, Scalar, Temperature, Volume,
};
use gutta::{Composition, DryBasis, Estimate, Moisture, Watering, WateringPlan};

const STEP: f64 = 1e-5;
const TOLERANCE: f64 = 1e-7;

/// A doubtful input of a question: its best value can be moved.
struct Knob<Q> {
    name: &'static str,
    best: f64,
    u: f64,
    set: fn(&mut Q, f64),
}

/// Holds each term of a figure against the central difference of its input.
fn assert_slopes<Q: Clone, S: Scalar>(
    what: &str,
    question: &Q,
    knobs: &[Knob<Q>],
    figure: impl Fn(&Q) -> Option<Estimate<S>>,
) {
    let estimate = figure(question).unwrap_or_else(|| panic!("{what} has no answer"));
    let size = estimate.best().base().abs();
    for knob in knobs {
        let h = STEP * knob.best.abs();
        let at = |x: f64| {
            let mut moved = question.clone();
            (knob.set)(&mut moved, x);
            figure(&moved).expect("an answer nearby").best().base()
        };
        let slope = (at(knob.best + h) - at(knob.best - h)) / (2.0 * h);
        let term: f64 = estimate
            .terms()
            .iter()
            .filter(|t| t.input == knob.name)
            .map(|t| t.contribution)
            .sum();
        let expected = slope * knob.u;
        let scale = expected.abs().max(size * knob.u / knob.best.abs());
        assert!(
            (term - expected).abs() <= TOLERANCE * scale,
            "{what}, {}: term {term}, difference {expected}",
            knob.name
        );
    }
    // No term without a knob: every doubtful input has been moved.
    for term in estimate.terms().iter().filter(|t| t.contribution != 0.0) {
        assert!(
            knobs.iter().any(|knob| knob.name == term.input),
            "{what}: {} was not moved",
            term.input
        );
    }
}

fn doubtful<S: Scalar>(best: f64, u: f64) -> Measured<S> {
    Measured::new(S::of_base(best), u, f64::INFINITY)
}

macro_rules! knob {
    ($name:literal, $best:expr, $u:expr, $set:expr) => {
        Knob {
            name: $name,
            best: $best,
            u: $u,
            set: $set,
        }
    };
}

fn drop(best: f64, u: f64) -> Drop {
    Drop::of_mass(doubtful::<DropMass>(best, u)).unwrap()
}

fn watering() -> (Watering, Vec<Knob<Watering>>) {
    let mut question = Watering::new(
        doubtful(0.34, 1e-4),
        doubtful(0.108, 0.005),
        Moisture::of_base(0.16),
    );
    question.temperature = doubtful(294.65, 0.5);
    question.tray = Some(doubtful(0.612, 2e-4));
    question.drop = Some(drop(47.8e-6, 0.5e-6));
    let share = |part, x: f64| (part, doubtful::<Ratio>(x, 0.01));
    question.brought.push(gutta::bench::Brought {
        name: "casing".to_owned(),
        mass: doubtful(0.02, 1e-4),
        composition: Composition::new(&[
            share(Part::Water, 0.35),
            share(Part::Alcohol, 0.2),
            share(Part::Glycerine, 0.1),
        ])
        .unwrap(),
    });
    let knobs: Vec<Knob<Watering>> = vec![
        knob!("leaf", 0.34, 1e-4, |q, x| q.leaf = doubtful(x, 1e-4)),
        knob!("moisture now", 0.108, 0.005, |q, x| q.at =
            doubtful(x, 0.005)),
        knob!("temperature", 294.65, 0.5, |q, x| q.temperature =
            doubtful(x, 0.5)),
        knob!("tray", 0.612, 2e-4, |q, x| q.tray = Some(doubtful(x, 2e-4))),
        knob!("casing", 0.02, 1e-4, |q, x| q.brought[0].mass =
            doubtful(x, 1e-4)),
        knob!("water in casing", 0.35, 0.01, |q, x| set_share(q, 0, x)),
        knob!("alcohol in casing", 0.2, 0.01, |q, x| set_share(q, 1, x)),
        knob!("glycerine in casing", 0.1, 0.01, |q, x| set_share(q, 2, x)),
        knob!("drop", 47.8e-6, 0.5e-6, |q, x| q.drop =
            Some(drop(x, 0.5e-6))),
    ];
    (question, knobs)
}

fn set_share(question: &mut Watering, i: usize, x: f64) {
    let mut parts = question.brought[0].composition.parts().to_vec();
    parts[i].1 = doubtful(x, 0.01);
    question.brought[0].composition = Composition::new(&parts).unwrap();
}

fn adding(q: &Watering) -> gutta::bench::Adding {
    match q.plan().unwrap() {
        WateringPlan::Add(plan) => *plan,
        other => panic!("{other:?}"),
    }
}

#[test]
fn water_to_add() {
    let (q, knobs) = watering();
    assert_slopes("water", &q, &knobs, |q| Some(adding(q).water));
    assert_slopes("volume", &q, &knobs, |q| Some(adding(q).volume));
    assert_slopes("final mass", &q, &knobs, |q| Some(adding(q).final_mass));
    assert_slopes("final gross", &q, &knobs, |q| adding(q).final_gross);
    assert_slopes("mass at once", &q, &knobs, |q| adding(q).mass_at_once);
    assert_slopes("drops", &q, &knobs, |q| Some(adding(q).drops?.exact));
    // The whole drops must not change under the step: they are held as planned.
    let whole = adding(&q).drops.unwrap().exact.best().count().fract();
    assert!((0.05..0.95).contains(&whole), "{whole}");
    assert_slopes("drops' mass", &q, &knobs, |q| Some(adding(q).drops?.mass));
    assert_slopes("moisture reached", &q, &knobs, |q| {
        Some(adding(q).drops?.moisture)
    });
}

#[test]
fn water_to_lose() {
    let (mut q, mut knobs) = watering();
    q.to = Moisture::of_base(0.08);
    knobs.retain(|knob| knob.name != "drop");
    let drying = |q: &Watering| match q.plan().unwrap() {
        WateringPlan::Dry(plan) => *plan,
        other => panic!("{other:?}"),
    };
    assert_slopes("water to lose", &q, &knobs, |q| Some(drying(q).water));
    assert_slopes("stop mass", &q, &knobs, |q| Some(drying(q).final_mass));
    assert_slopes("mass at once", &q, &knobs, |q| drying(q).mass_at_once);
}

#[test]
fn water_by_a_drop_known_by_its_volume() {
    let (mut q, mut knobs) = watering();
    let rate = |x: f64| {
        Drop::of_rate(
            doubtful::<DropsPerVolume>(x, 1e6),
            water::density(Temperature::of_base(294.65)),
        )
        .unwrap()
    };
    q.drop = Some(rate(20.3e6));
    // The drop's volume is the input: u(V) = u(n)/n².
    knobs.retain(|knob| knob.name != "drop");
    let volume = 1.0 / 20.3e6;
    let u = 1e6 / 20.3e6_f64.powi(2);
    let estimate = adding(&q).drops.unwrap().exact;
    let moved = |v: f64| {
        let mut q = q.clone();
        q.drop = Some(rate(1.0 / v));
        adding(&q).drops.unwrap().exact.best().count()
    };
    let h = STEP * volume;
    let slope = (moved(volume + h) - moved(volume - h)) / (2.0 * h);
    let term = estimate.terms().iter().find(|t| t.input == "drop").unwrap();
    assert!((term.contribution - slope * u).abs() <= TOLERANCE * (slope * u).abs());
}

fn dosing(asked: Asked, basis: LeafBasis) -> Dosing {
    Dosing {
        leaf: Some(doubtful(0.01, 5e-6)),
        at: Some(doubtful(0.12, 0.004)),
        drop: Some(drop(21.4e-6, 0.4e-6)),
        density: Some(doubtful(846.0, 3.0)),
        bottle_loss: Some(doubtful(0.16e-3, 4e-6)),
        batch: Some(Batch {
            leaf: doubtful(6.5, 0.001),
            at: BatchValue::Own(doubtful(0.142, 0.005)),
            density: BatchValue::Own(doubtful(902.0, 4.0)),
            drop: BatchValue::Own(drop(33.1e-6, 0.6e-6)),
        }),
        ..Dosing::new(asked, basis)
    }
}

fn dosing_knobs() -> Vec<Knob<Dosing>> {
    vec![
        knob!("leaf", 0.01, 5e-6, |q, x| q.leaf = Some(doubtful(x, 5e-6))),
        knob!("moisture", 0.12, 0.004, |q, x| q.at =
            Some(doubtful(x, 0.004))),
        knob!("drop", 21.4e-6, 0.4e-6, |q, x| q.drop =
            Some(drop(x, 0.4e-6))),
        knob!("density", 846.0, 3.0, |q, x| q.density =
            Some(doubtful(x, 3.0))),
        knob!("bottle's loss", 0.16e-3, 4e-6, |q, x| {
            q.bottle_loss = Some(doubtful(x, 4e-6));
        }),
        knob!("leaf of the batch", 6.5, 0.001, |q, x| {
            q.batch.as_mut().unwrap().leaf = doubtful(x, 0.001);
        }),
        knob!("moisture of the batch", 0.142, 0.005, |q, x| {
            q.batch.as_mut().unwrap().at = BatchValue::Own(doubtful(x, 0.005));
        }),
        knob!("density of the batch's bottle", 902.0, 4.0, |q, x| {
            q.batch.as_mut().unwrap().density = BatchValue::Own(doubtful(x, 4.0));
        }),
        knob!("batch drop", 33.1e-6, 0.6e-6, |q, x| {
            q.batch.as_mut().unwrap().drop = BatchValue::Own(drop(x, 0.6e-6));
        }),
    ]
}

#[test]
fn doses_of_every_kind() {
    let mut flavouring = dosing_knobs();
    flavouring.push(knob!("flavouring", 0.15e-3, 2e-6, |q, x| {
        q.asked = match q.asked {
            Asked::Mass(_) => Asked::Mass(doubtful(x, 2e-6)),
            other => other,
        };
    }));
    let mut by_volume = dosing_knobs();
    by_volume.push(knob!("flavouring", 0.18e-6, 2e-9, |q, x| {
        q.asked = Asked::Volume(doubtful::<Volume>(x, 2e-9));
    }));
    let mut by_dose = dosing_knobs();
    by_dose.push(knob!("dose", 0.0153, 1e-4, |q, x| {
        q.asked = Asked::Dose(doubtful(x, 1e-4));
    }));
    let cases = [
        (Asked::Drops(Drops::new(7.0)), dosing_knobs()),
        (Asked::Mass(doubtful::<Mass>(0.15e-3, 2e-6)), flavouring),
        (Asked::Volume(doubtful(0.18e-6, 2e-9)), by_volume),
        (Asked::Dose(doubtful(0.0153, 1e-4)), by_dose),
    ];
    for (asked, knobs) in cases {
        for basis in [LeafBasis::AsWeighed, LeafBasis::Dry] {
            let q = dosing(asked, basis);
            let what = format!("{asked:?} {basis:?}");
            let of = |q: &Dosing| q.answer().unwrap();
            assert_slopes(&what, &q, &knobs, |q| Some(of(q).mass));
            assert_slopes(&what, &q, &knobs, |q| of(q).volume);
            assert_slopes(&what, &q, &knobs, |q| of(q).dose);
            assert_slopes(&what, &q, &knobs, |q| of(q).dose_dry);
            assert_slopes(&what, &q, &knobs, |q| of(q).volume_per_leaf);
            assert_slopes(&what, &q, &knobs, |q| of(q).counted?.dose_dry);
            assert_slopes(&what, &q, &knobs, |q| of(q).given?.drops_exact);
            assert_slopes(&what, &q, &knobs, |q| of(q).given?.dose_dry);
            let batch = |q: &Dosing| -> Dosed { of(q) };
            assert_slopes(&what, &q, &knobs, |q| Some(batch(q).batch?.mass));
            assert_slopes(&what, &q, &knobs, |q| batch(q).batch?.volume);
            assert_slopes(&what, &q, &knobs, |q| batch(q).batch?.drops);
        }
    }
}

#[test]
fn the_moisture_of_the_same_leaf_is_one_input() {
    // A dry dose on the same leaf: its moisture cancels out of the batch.
    let mut q = dosing(Asked::Drops(Drops::new(7.0)), LeafBasis::Dry);
    let batch = q.batch.as_mut().unwrap();
    batch.at = BatchValue::AsInTrial;
    let mass = q.answer().unwrap().batch.unwrap().mass;
    let moisture = mass.terms().iter().find(|t| t.input == "moisture").unwrap();
    assert!(moisture.contribution.abs() < 1e-15 * mass.best().base());
}

fn calibrating() -> Calibrating {
    let weighings = [0.95, 0.96, 0.94]
        .map(|g| Weighing {
            drops: 20,
            amount: Measured::exact(Mass::of_base(g * 1e-3)),
            last_place: Mass::of_base(1e-5),
        })
        .to_vec();
    Calibrating {
        air: Some(
            Air::new(
                doubtful(294.65, 0.3),
                doubtful(100_300.0, 300.0),
                doubtful(0.5, 0.1),
            )
            .unwrap(),
        ),
        ..Calibrating::new(
            Readings::Singly(weighings),
            Dropped::Other(doubtful(912.0, 2.0)),
        )
    }
}

fn set_air(q: &mut Calibrating, which: usize, x: f64) {
    let air = q.air.unwrap();
    let mut values = [
        air.temperature().value().base(),
        air.pressure().value().base(),
        air.humidity().value().base(),
    ];
    values[which] = x;
    let [t, p, h] = values;
    q.air = Some(Air::new(doubtful(t, 0.3), doubtful(p, 300.0), doubtful(h, 0.1)).unwrap());
}

/// All weighings scaled: their common drop is the input.
fn scale_weighings(q: &mut Calibrating, one: f64) {
    let factor = one / 47.5e-6;
    if let Readings::Singly(weighings) = &mut q.readings {
        for weighing in weighings {
            weighing.amount =
                Measured::exact(Mass::of_base(weighing.amount.value().base() * factor));
        }
    }
}

#[test]
fn sizes_of_a_drop() {
    for with_air in [true, false] {
        let mut q = calibrating();
        let drawn_u = {
            let mass = q.calibrate().unwrap().drop_mass;
            mass.u()
        };
        let mut knobs: Vec<Knob<Calibrating>> = vec![
            knob!("density", 912.0, 2.0, |q, x| {
                q.liquid = Dropped::Other(doubtful(x, 2.0));
            }),
            Knob {
                name: "scatter of the weighings",
                best: 47.5e-6,
                u: drawn_u,
                set: scale_weighings,
            },
        ];
        if with_air {
            knobs.push(knob!("temperature", 294.65, 0.3, |q, x| set_air(q, 0, x)));
            knobs.push(knob!("air pressure", 100_300.0, 300.0, |q, x| set_air(
                q, 1, x
            )));
            knobs.push(knob!("humidity", 0.5, 0.1, |q, x| set_air(q, 2, x)));
        } else {
            q.air = None;
        }
        let of = |q: &Calibrating| q.calibrate().unwrap();
        assert_slopes("drop mass", &q, &knobs, |q| Some(of(q).drop_mass));
        assert_slopes("drop volume", &q, &knobs, |q| Some(of(q).drop_volume));
        assert_slopes("drops per volume", &q, &knobs, |q| {
            Some(of(q).drops_per_volume)
        });
    }
}

#[test]
fn before_and_after_a_known_addition() {
    let question = KnownAddition {
        temperature: doubtful(294.65, 0.5),
        ..KnownAddition::new(
            doubtful(0.3, 1e-4),
            doubtful(0.152, 0.004),
            Added::Volume(doubtful(14e-6, 0.2e-6)),
        )
    };
    let knobs = |moisture: &'static str| {
        vec![
            knob!("leaf", 0.3, 1e-4, |q: &mut KnownAddition, x| q.leaf =
                doubtful(x, 1e-4)),
            Knob {
                name: moisture,
                best: 0.152,
                u: 0.004,
                set: |q, x| q.moisture = doubtful(x, 0.004),
            },
            knob!("temperature", 294.65, 0.5, |q, x| q.temperature =
                doubtful(x, 0.5)),
            knob!("water added", 14e-6, 0.2e-6, |q, x| {
                q.added = Added::Volume(doubtful(x, 0.2e-6));
            }),
        ]
    };
    assert_slopes("after", &question, &knobs("moisture before"), |q| {
        Some(q.after().unwrap().moisture)
    });
    for weighed in [LeafWeighed::Before, LeafWeighed::After] {
        assert_slopes("before", &question, &knobs("moisture now"), |q| {
            Some(q.before(weighed).unwrap().moisture)
        });
        assert_slopes("mass before", &question, &knobs("moisture now"), |q| {
            Some(q.before(weighed).unwrap().mass)
        });
    }
}

/// The slope of a formula of one number, by `Linear` and by differences.
fn assert_slope_of_one(
    what: &str,
    at: f64,
    linear: impl Fn(Linear<1>) -> Linear<1>,
    plain: impl Fn(f64) -> f64,
) {
    let got = linear(Linear::input(at, 1.0, 0));
    let h = STEP * at.abs();
    let slope = (plain(at + h) - plain(at - h)) / (2.0 * h);
    let scale = slope.abs().max(plain(at).abs() / at.abs());
    assert!(
        (got.terms()[0] - slope).abs() <= TOLERANCE * scale,
        "{what} at {at}: {} against {slope}",
        got.terms()[0]
    );
    assert!(
        (got.best() - plain(at)).abs() <= 1e-15 * plain(at).abs(),
        "{what}"
    );
}

/// A formula of quantities as one of plain numbers.
fn of<S: Scalar, T: Scalar, V: Real>(x: V, f: impl Fn(S::In<V>) -> T::In<V>) -> V
where
    uom::si::SI<V>: uom::si::Units<V>,
{
    T::to_base(f(S::from_base(x)))
}

/// The density of air as a formula of plain numbers.
fn air_at<V: Real>(t: V, p: V, h: V) -> V
where
    uom::si::SI<V>: uom::si::Units<V>,
{
    let air = air::density(
        <Temperature as Scalar>::from_base(t),
        <Pressure as Scalar>::from_base(p),
        <Ratio as Scalar>::from_base(h),
    );
    air.value
}

#[test]
fn formulas_of_one_number() {
    for t in [275.0, 294.65, 312.0] {
        assert_slope_of_one(
            "density of water",
            t,
            |x| of::<Temperature, Density, _>(x, water::density),
            |x| of::<Temperature, Density, _>(x, water::density),
        );
    }
    for m in [0.05, 0.15, 0.5] {
        assert_slope_of_one(
            "wet to dry",
            m,
            |x| of::<Moisture, DryBasis, _>(x, Moisture::on_dry_basis),
            |x| of::<Moisture, DryBasis, _>(x, Moisture::on_dry_basis),
        );
        assert_slope_of_one(
            "dry to wet",
            m,
            |x| of::<DryBasis, Moisture, _>(x, DryBasis::on_wet_basis),
            |x| of::<DryBasis, Moisture, _>(x, DryBasis::on_wet_basis),
        );
        assert_slope_of_one(
            "density of spirit",
            m,
            |x| of::<Ratio, Density, _>(x, alcohol::density_at_20),
            |x| of::<Ratio, Density, _>(x, alcohol::density_at_20),
        );
        assert_slope_of_one(
            "strength of spirit",
            m,
            |x| of::<Ratio, Ratio, _>(x, alcohol::share_by_volume),
            |x| of::<Ratio, Ratio, _>(x, alcohol::share_by_volume),
        );
    }
    assert_slope_of_one(
        "rate to drop",
        2e7,
        |x| of::<DropsPerVolume, DropVolume, _>(x, DropsPerVolume::drop_volume),
        |x| of::<DropsPerVolume, DropVolume, _>(x, DropsPerVolume::drop_volume),
    );
    let l = |x: f64| Linear::<1>::exact(x);
    assert_slope_of_one(
        "air by temperature",
        294.65,
        |x| air_at(x, l(1e5), l(0.5)),
        |x| air_at(x, 1e5, 0.5),
    );
    assert_slope_of_one(
        "air by pressure",
        1e5,
        |x| air_at(l(294.65), x, l(0.5)),
        |x| air_at(294.65, x, 0.5),
    );
    assert_slope_of_one(
        "air by humidity",
        0.5,
        |x| air_at(l(294.65), l(1e5), x),
        |x| air_at(294.65, 1e5, x),
    );
}
