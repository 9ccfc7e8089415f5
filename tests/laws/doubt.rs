//! Doubt: its terms, its shares, and what it allows.

use gutta::bench::{Added, Asked, FirstRule, LeafBasis};
use gutta::measure::{Linear, Mass, Measured, Ratio, Real, Scalar, combine, student_quantile};
use gutta::{Dosing, Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{brought, doubtful, drop, mass, moisture};

/// Leaf with casing on it and a drop in hand, all of it doubtful.
fn watering() -> impl Strategy<Value = Watering> {
    (
        doubtful(mass()),
        doubtful(moisture()),
        (0.45..0.6).prop_map(Moisture::of_base),
        brought(),
        drop(),
    )
        .prop_map(|(leaf, at, to, mut casing, drop)| {
            // Never so much casing that it alone is too wet.
            casing.amount = Added::Mass(Measured::new(
                leaf.value() * Ratio::of_base(0.05),
                0.01 * leaf.value().base(),
                f64::INFINITY,
            ));
            let mut watering = Watering::new(leaf, at, to);
            watering.brought.push(casing);
            watering.drop = Some(drop);
            watering
        })
}

fn terms(watering: &Watering) -> Vec<(String, f64)> {
    match watering.plan().unwrap() {
        WateringPlan::Add(plan) => plan
            .water
            .terms()
            .iter()
            .map(|t| (t.input.to_string(), t.contribution))
            .collect(),
        other => panic!("{other:?}"),
    }
}

/// What comes back as it was typed is as sure as it was typed: what rounding
/// leaves of two terms that cancel is no doubt.
#[test]
fn a_dose_back_from_its_grams_has_no_doubt() {
    for (grams, dose) in [(10.0, 0.015), (24.0, 0.0123), (3.3, 0.007), (0.7, 0.0999)] {
        let leaf = Measured::new(Mass::of_base(grams * 1e-3), 5e-6, f64::INFINITY);
        let at = Measured::new(Moisture::of_base(0.12), 0.005, f64::INFINITY);
        for basis in [LeafBasis::AsWeighed, LeafBasis::Dry] {
            let dosing = Dosing {
                leaf: Some(leaf),
                at: Some(at),
                ..Dosing::new(Asked::Dose(Measured::exact(Ratio::of_base(dose))), basis)
            };
            let got = dosing.answer().expect("a dose");
            let (u, other) = match basis {
                LeafBasis::AsWeighed => (got.dose.unwrap().u(), got.dose_dry.unwrap().u()),
                LeafBasis::Dry => (got.dose_dry.unwrap().u(), got.dose.unwrap().u()),
            };
            assert_eq!(u, 0.0, "{grams} {dose} {basis:?}");
            assert!(other > 0.0 && got.mass.u() > 0.0);
        }
    }
}

proptest! {
    #[test]
    fn what_is_taken_from_itself_has_no_doubt(best in -1e3..1e3, u in 0.0..1e2) {
        let m = Linear::<3>::input(best, u, 1);
        prop_assert_eq!((m - m).variance(), 0.0);
        prop_assert_eq!((m - m).best(), 0.0);
    }

    #[test]
    fn the_shares_of_a_budget_make_one(watering in watering()) {
        let WateringPlan::Add(plan) = watering.plan().unwrap() else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let drops = plan.drops.unwrap();
        for budget in [plan.water.budget(), drops.exact.budget(), drops.moisture.budget()] {
            let sum: f64 = budget.iter().map(|(_, share)| share).sum();
            prop_assert!((sum - 1.0).abs() < 1e-12, "{sum}");
            prop_assert!(budget.windows(2).all(|pair| pair[0].1 >= pair[1].1));
        }
    }

    #[test]
    fn doubling_a_doubt_takes_its_term_by_four_and_leaves_the_others(watering in watering()) {
        let before = terms(&watering);
        let mut doubled = watering;
        doubled.at = Measured::new(doubled.at.value(), 2.0 * doubled.at.u(), f64::INFINITY);
        for ((name, was), (_, is)) in before.iter().zip(terms(&doubled)) {
            let factor = if name == "moisture now" { 4.0 } else { 1.0 };
            let (was, is) = (was * was, is * is);
            prop_assert!((is - factor * was).abs() <= 1e-12 * is.max(was), "{name}");
        }
    }

    #[test]
    fn the_first_addition_keeps_to_the_band_and_grows_with_it(
        leaf in mass(), at in doubtful(moisture()), band in 0.002..0.05, more in 0.0..0.05,
    ) {
        let to = Moisture::of_base(at.value().base() + 0.04);
        let first = |band: f64| {
            let mut watering = Watering::new(Measured::exact(leaf), at, to);
            watering.band = Ratio::of_base(band);
            match watering.plan().unwrap() {
                WateringPlan::Add(plan) => (plan.first, plan.water.best().base()),
                other => panic!("{other:?}"),
            }
        };
        let (narrow, water) = first(band);
        let (wide, _) = first(band + more);
        prop_assert!(wide.water >= narrow.water);
        prop_assert!(narrow.water.base() <= water);
        // The moisture once it is taken up, at the risk of 5 %, by hand: only
        // the moisture is in doubt.
        let w = narrow.water.base() / leaf.base();
        let m = at.value().base();
        let y = (m + w) / (1.0 + w);
        let top = y + student_quantile(0.95, f64::INFINITY) * at.u() / (1.0 + w);
        let limit = to.base() + band;
        match narrow.rule {
            FirstRule::TooLoose => prop_assert!(top > limit && w == 0.0),
            // The largest: the bisection ends within rounding of the limit.
            FirstRule::WithinBand => prop_assert!((top - limit).abs() < 1e-9, "{top} {limit}"),
            FirstRule::AllAtOnce => prop_assert!(top <= limit + 1e-12),
            FirstRule::ThreeQuarters => prop_assert!(at.is_exact()),
            FirstRule::TooCoarse => prop_assert!(false, "no scale is in the way"),
        }
    }

    #[test]
    fn a_typed_doubt_is_a_95_percent_interval(value in mass(), half in 1e-6..1.0) {
        let measured = Measured::with_half_width(value, half);
        prop_assert!((measured.half_width_95() - half).abs() <= 1e-14 * half);
    }

    #[test]
    fn together_is_between_and_surer(a in doubtful(moisture()), b in doubtful(moisture())) {
        let both = combine(&[("a", a), ("b", b)]).unwrap();
        let mean = both.estimate.best().base();
        let (low, high) = (
            a.value().base().min(b.value().base()),
            a.value().base().max(b.value().base()),
        );
        prop_assert!((low - 1e-15..=high + 1e-15).contains(&mean));
        prop_assert!(both.as_if_agreed.u() <= a.u().min(b.u()) * (1.0 + 1e-12));
        prop_assert!(both.estimate.u() >= both.as_if_agreed.u());
        // 1/u² = Σ 1/u².
        let expected = (a.u().powi(-2) + b.u().powi(-2)).powf(-0.5);
        prop_assert!((both.as_if_agreed.u() / expected - 1.0).abs() < 1e-12);
    }
}
