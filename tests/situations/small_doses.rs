//! Less than a drop, and a series of doses.

use gutta::bench::{Dilution, LeafBasis, Series, Strong};
use gutta::measure::{Drops, Measured, Ratio, Scalar, Scale};
use gutta_tests::assert_close;
use gutta_tests::situations::{Situation, situation};

use super::{drop, grams, mass};

/// A dose in g/kg, as a ratio.
fn per_kilogram(dose: f64) -> Measured<Ratio> {
    Measured::exact(Ratio::of_base(dose * 1e-3))
}

fn s08(s: &Situation, strong: Strong) -> Dilution {
    Dilution {
        neat_drop: Some(drop(&s.typed("neat_drop"))),
        scale: Some(Scale::new(mass(&s.typed("scale_division")).value()).unwrap()),
        ..Dilution::new(
            per_kilogram(s.given("dose")),
            LeafBasis::AsWeighed,
            mass(&s.typed("trial")),
            drop(&s.typed("dilution_drop")),
            strong,
        )
    }
}

#[test]
fn s08_a_dose_below_one_drop() {
    let s = situation("S08");
    let to_make = s08(
        &s,
        Strong::ToMake {
            drops: Drops::new(s.given("drops_wanted")),
            neat: mass(&s.typed("neat_to_weigh")).value(),
        },
    );
    let plan = to_make.plan().unwrap();
    s.assert_answer("flavour_needed", grams(plan.flavour.best()));
    s.assert_answer("neat_drops", plan.neat_drops.unwrap().best().count());
    s.assert_answer("dilution_strength", plan.strength.best().value * 100.0);
    s.assert_answer("neat_to_weigh", grams(plan.neat.unwrap()));
    s.assert_answer("carrier_to_weigh", grams(plan.carrier.unwrap()));
    s.assert_answer("stock_made", grams(plan.stock.unwrap()));
    let counted = plan.counted.unwrap();
    s.assert_answer("carrier_in_trial", grams(counted.carrier.best()));
    s.assert_answer(
        "carrier_in_trial_share",
        counted.carrier_share.best().value * 100.0,
    );
    // The plan gives the dose that was asked for.
    assert_close(
        "dose reached",
        counted.dose.best().ratio().value * 1e3,
        s.given("dose"),
        1e-12,
    );
    // The 0.80 g is more than the least weighing of the scale, 0.5 g.
    assert_eq!(plan.too_fine, None);

    let ready = s08(&s, Strong::Ready(Measured::exact(Ratio::of_base(0.10))));
    let plan = ready.plan().unwrap();
    s.assert_answer("drops_of_10_percent", plan.drops_exact.best().count());
    let counted = plan.counted.unwrap();
    assert_eq!(counted.drops.count(), 3.0);
    s.assert_answer(
        "dose_with_3_drops_of_10_percent",
        counted.dose.best().ratio().value * 1e3,
    );
    s.assert_all_held();
}

#[test]
fn s17_a_series_from_one_base() {
    let s = situation("S17");
    let typed = s.typed("steps");
    let doses: Vec<f64> = typed
        .split_whitespace()
        .filter_map(|word| word.parse().ok())
        .collect();
    assert_eq!(doses.len() as f64, s.given("portions"));
    let series = Series {
        base: mass(&s.typed("base")),
        at: None,
        doses: doses.iter().map(|dose| per_kilogram(*dose)).collect(),
        basis: LeafBasis::AsWeighed,
        drop: drop(&s.typed("drop")),
        density: None,
        scale: None,
    };
    let portions = series.portions().unwrap();
    let portion = grams(portions.portion.best());
    assert_close("portion", portion, s.given("base") / 4.0, 1e-12);
    assert!(portions.steps[0].is_none(), "the blank has no flavouring");
    for (dose, step) in doses.iter().zip(&portions.steps).skip(1) {
        let dosed = step.as_ref().unwrap();
        let counted = dosed.counted.as_ref().unwrap();
        let named = |what: &str| format!("{what}_{dose}");
        s.assert_answer(&named("flavour"), grams(dosed.mass.best()));
        s.assert_answer(
            &named("drops_exact"),
            dosed.drops_exact.as_ref().unwrap().best().count(),
        );
        s.assert_answer(&named("drops"), counted.drops.count());
        s.assert_answer(
            &named("dose_reached"),
            counted.dose.as_ref().unwrap().best().ratio().value * 1e3,
        );
    }
    s.assert_all_held();
}
