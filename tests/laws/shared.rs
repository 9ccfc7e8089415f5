//! What is used twice is one input: a dropper, a density, a set of weighings,
//! the leaf of two steps.

use gutta::bench::{
    Added, Asked, Brought, Calibrating, Dosing, Drop, Dropped, LeafBasis, Readings, Scatter,
    Weighing,
};
use gutta::matter::DensityOf;
use gutta::measure::{
    Density, DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale, Spread, Volume,
};
use gutta::{Composition, Estimate, Moisture, Part, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{doubtful, moisture};

/// A handful of roundings of numbers of one size.
const ROUNDING: f64 = 1e-12;

fn grams(g: f64) -> Measured<Mass> {
    Measured::exact(Mass::of_base(g * 1e-3))
}

/// A drop with ±5 mg on 47.8 mg.
fn drop() -> Drop {
    let mass = Measured::with_half_width(DropMass::of_base(47.8e-6), 5e-6);
    Drop::of_mass(mass).expect("a usual size")
}

fn jar(brought: Vec<Brought>, drop: Drop) -> Watering {
    Watering {
        brought,
        drop: Some(drop),
        ..Watering::new(
            grams(10.0),
            Measured::exact(Moisture::of_base(0.11)),
            Moisture::of_base(0.14),
        )
    }
}

fn counted(n: f64, drop: Drop, composition: Composition, name: &str) -> Brought {
    Brought {
        name: name.to_owned(),
        amount: Added::Drops(Drops::new(n), drop),
        composition,
        density: DensityOf::Water,
    }
}

fn reached(watering: &Watering) -> Estimate<Moisture> {
    match watering.plan().expect("a plan") {
        WateringPlan::Add(plan) => plan.drops.expect("a drop").moisture,
        other => panic!("{other:?}"),
    }
}

fn water(watering: &Watering) -> Estimate<Mass> {
    match watering.plan().expect("a plan") {
        WateringPlan::Add(plan) => plan.water,
        other => panic!("{other:?}"),
    }
}

/// Three drops brought and four planned are seven of one size: by hand
/// u = 7 u(d) (1 − m)/(M + 7 d).
#[test]
fn drops_brought_and_drops_planned_are_of_one_size() {
    let brought = vec![counted(3.0, drop(), Composition::water(), "water")];
    let got = reached(&jar(brought, drop()));
    let (m, d, u) = (got.best().base(), 47.8e-6, 5e-6 / 1.959_964);
    assert!((m - (1.1e-3 + 7.0 * d) / (0.01 + 7.0 * d)).abs() < ROUNDING);
    let expected = 7.0 * u * (1.0 - m) / (0.01 + 7.0 * d);
    // The coverage factor is written to seven figures.
    assert!(
        (got.u() - expected).abs() <= 1e-6 * expected,
        "{} {expected}",
        got.u()
    );
    assert_eq!(got.budget(), [("drop", 1.0)]);
}

/// Ten drops twice are twenty once, for the size and for the scatter; so are
/// two volumes of one liquid, of one density and one strength.
#[test]
fn an_amount_in_two_parts_is_the_amount() {
    let calibrated = Drop::calibrated(
        Measured::new(DropMass::of_base(21e-6), 0.5e-6, 2.0),
        Some(Scatter {
            one: DropMass::of_base(1e-6),
            dof: 2.0,
        }),
    );
    let strength = Measured::new(Ratio::of_base(0.4), 0.02, f64::INFINITY);
    let tincture = Composition::new(&[(Part::Alcohol, strength)]).expect("a share");
    let poured = |ml: f64| Brought {
        name: "fig tincture".to_owned(),
        amount: Added::Volume(Measured::exact(Volume::of_base(ml * 1e-6))),
        composition: tincture.clone(),
        density: DensityOf::Measured(Measured::new(Density::of_base(900.0), 20.0, f64::INFINITY)),
    };
    let dropped = |n| counted(n, calibrated, tincture.clone(), "fig tincture");
    for (twice, once) in [
        (vec![dropped(10.0), dropped(10.0)], dropped(20.0)),
        (vec![poured(0.2), poured(0.2)], poured(0.4)),
    ] {
        let twice = water(&jar(twice, drop()));
        let once = water(&jar(vec![once], drop()));
        assert!((twice.best().base() - once.best().base()).abs() < ROUNDING * 0.01);
        assert!(
            (twice.u() - once.u()).abs() <= ROUNDING * once.u(),
            "{} {}",
            twice.u(),
            once.u()
        );
        assert!(
            twice.dof() == once.dof() || (twice.dof() - once.dof()).abs() < ROUNDING * once.dof()
        );
        let names = |e: &Estimate<Mass>| -> Vec<String> {
            e.budget()
                .iter()
                .map(|(name, _)| (*name).to_owned())
                .collect()
        };
        assert_eq!(names(&twice), names(&once));
    }
}

/// The weighings that give a drop and its scatter are one source, whichever of
/// scale and scatter decides the drop: sixty drops have the ν of the weighings.
#[test]
fn drop_and_scatter_share_their_degrees_of_freedom() {
    let weighing = |g: f64| Weighing {
        drops: 20,
        amount: grams(g),
        last_place: Mass::of_base(1e-6),
    };
    let readings = Readings::Singly([0.974, 0.981, 0.969].map(weighing).to_vec());
    let dosed = |scale: Option<Scale>| {
        let calibrating = Calibrating {
            scale,
            ..Calibrating::new(readings.clone(), Dropped::Water)
        };
        let drop = calibrating.calibrate().expect("a calibration").drop();
        let dosing = Dosing {
            drop: Some(drop),
            ..Dosing::new(Asked::Drops(Drops::new(60.0)), LeafBasis::AsWeighed)
        };
        (dosing.answer().expect("a dose").mass, drop)
    };
    let (sixty, drop) = dosed(None);
    assert!((sixty.dof() - 2.0).abs() < ROUNDING, "{}", sixty.dof());
    // By hand: n² s₁²/ΣN + n s₁² with n = ΣN = 60 is 2 · 60 s₁².
    let scatter = drop.scatter().expect("three weighings").one.base();
    let expected = (120.0_f64).sqrt() * scatter;
    assert!((sixty.u() - expected).abs() <= ROUNDING * expected);

    let cart = Scale::new(Mass::of_base(1e-4)).expect("a coarse scale");
    let (sixty, drop) = dosed(Some(cart));
    assert_eq!(drop.scatter().expect("three weighings").dof, 2.0);
    // Welch–Satterthwaite by hand: the scale's part has no limit.
    let by_scatter = 60.0_f64.sqrt() * scatter;
    let nu = sixty.u().powi(4) * 2.0 / by_scatter.powi(4);
    assert!(
        (sixty.dof() - nu).abs() <= 1e-9 * nu,
        "{} {nu}",
        sixty.dof()
    );
}

/// Draws of drop and scatter, both from three weighings, are widened together:
/// their sum is Student's t with two degrees of freedom, as in a budget. With
/// ν = 2 the 97.5 % point is 4.3027 (any table).
#[test]
fn draws_of_one_set_of_weighings_are_widened_together() {
    let drop = Drop::calibrated(
        Measured::new(DropMass::of_base(40e-6), 0.2e-6, 2.0),
        Some(Scatter {
            one: DropMass::of_base(1e-6),
            dof: 2.0,
        }),
    );
    let dosing = Dosing {
        drop: Some(drop),
        ..Dosing::new(Asked::Drops(Drops::new(25.0)), LeafBasis::AsWeighed)
    };
    let simulation = dosing.simulate().expect("a dose");
    let (mut columns, _) = simulation.columns(200_000, 7);
    let (low, high) = Spread::of(&mut columns[0]).shortest_95;
    // By hand: √((25 · 0.2)² + 25) mg = √50 mg.
    let half = 4.3027 * 50.0_f64.sqrt() * 1e-6;
    // Two hundred thousand draws show the far tails of ν = 2 to about 1 %:
    // p = 0.025, density there 0.0106/u, so 0.00035/0.0106 of u, over 4.3.
    let got = (high - low) / 2.0;
    assert!((got / half - 1.0).abs() < 0.03, "{got} {half}");
}

proptest! {
    /// An exact first addition leaves the doubt of the water as it was: the
    /// leaf and the moisture of the second step are those of the first.
    #[test]
    fn what_is_left_to_add_is_as_doubtful_as_all_of_it(
        leaf in doubtful((0.01..0.5).prop_map(Mass::of_base)), at in doubtful(moisture()),
        points in 0.05..0.2, part in 0.05..0.95,
    ) {
        let to = Moisture::of_base(at.value().base() + points);
        let jar = Watering::new(leaf, at, to);
        let all = water(&jar);
        let taken = Added::Mass(Measured::exact(all.best() * Ratio::of_base(part)));
        let rest = water(&jar.second_step(&taken, None).expect("a step").rest);
        prop_assert!((rest.u() - all.u()).abs() <= 1e-9 * all.u(), "{} {}", rest.u(), all.u());
        let short = all.best() * Ratio::of_base(1.0 - part);
        prop_assert!((rest.best() - short).base().abs() <= ROUNDING * leaf.value().base());
    }
}

/// Drops counted in a first addition and drops counted now are of one size.
#[test]
fn two_steps_of_drops_are_of_one_size() {
    let to = Moisture::of_base(0.15);
    let whole = Watering {
        to,
        ..jar(Vec::new(), drop())
    };
    let all = reached(&whole);
    let first = Added::Drops(Drops::new(4.0), drop());
    let step = whole.second_step(&first, None).expect("a step");
    let rest = reached(&step.rest);
    assert!((rest.best().base() - all.best().base()).abs() < ROUNDING);
    assert!(
        (rest.u() - all.u()).abs() <= 1e-9 * all.u(),
        "{} {}",
        rest.u(),
        all.u()
    );
}

/// A reading that is weighed against the expectation moves the water by its
/// share: by hand, with an exact leaf, u(W) = M/(1 − t) · u of both together.
#[test]
fn a_reading_counts_by_its_weight_in_the_water_left() {
    let at = Measured::new(Moisture::of_base(0.108), 0.015, f64::INFINITY);
    let jar = Watering::new(grams(340.0), at, Moisture::of_base(0.15));
    let taken = Added::Mass(grams(10.0));
    let reading = Measured::new(Moisture::of_base(0.131), 0.003, f64::INFINITY);
    let step = jar.second_step(&taken, Some(&reading)).expect("a step");
    let both = step.together.expect("both are in doubt").estimate;
    let rest = water(&step.rest);
    let expected = 0.35 / 0.85 * both.u();
    assert!(
        (rest.u() - expected).abs() <= 1e-9 * expected,
        "{} {expected}",
        rest.u()
    );
    let best = 0.35 * (0.15 - both.best().base()) / 0.85;
    assert!((rest.best().base() - best).abs() < ROUNDING);
    let names: Vec<&str> = rest.budget().iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["reading", "moisture before"]);
}
