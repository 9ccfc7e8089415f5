//! The first addition of water: as much as the risk allows, and no more.

use gutta::bench::{Added, Brought, Drop, First, FirstRule, KnownAddition};
use gutta::matter::Part;
use gutta::measure::{DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale, student_quantile};
use gutta::{Composition, Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{doubtful, moisture};

/// The plan and the check work the same sum in another order.
const ROUNDING: f64 = 1e-12;

/// Leaf in doubt, of a doubtful moisture, to a target some points up.
fn jar() -> impl Strategy<Value = Watering> {
    let leaf = doubtful((0.05..0.5).prop_map(Mass::of_base));
    let dof = prop_oneof![Just(f64::INFINITY), 2.0..12.0];
    (
        leaf,
        doubtful(moisture()),
        dof,
        0.01..0.06,
        0.003..0.02,
        0.01..0.2,
    )
        .prop_map(|(leaf, at, dof, points, band, risk)| {
            // An oven's moisture, of few dishes, or a typed one.
            let at = Measured::new(at.value(), at.u(), dof);
            let to = Moisture::of_base(at.value().base() + points);
            Watering {
                band: Ratio::of_base(band),
                risk: Ratio::of_base(risk),
                ..Watering::new(leaf, at, to)
            }
        })
}

/// A scale of 1 mg to 1 g, if one is at hand.
fn scale() -> impl Strategy<Value = Option<Scale>> {
    let scale = (1e-6..1e-3).prop_map(|division| Scale::new(Mass::of_base(division)));
    prop_oneof![Just(None), scale.prop_map(Result::ok)]
}

fn drop() -> impl Strategy<Value = Drop> {
    (30e-6..60e-6, 0.002..0.05).prop_map(|(one, relative): (f64, f64)| {
        let mass = Measured::new(DropMass::of_base(one), one * relative, f64::INFINITY);
        Drop::of_mass(mass).expect("a usual size")
    })
}

fn first(watering: &Watering) -> (First, Mass, Option<Drops>) {
    match watering.plan().expect("a plan") {
        WateringPlan::Add(plan) => (
            plan.first,
            plan.water.best(),
            plan.drops.map(|drops| drops.whole),
        ),
        other => panic!("{other:?}"),
    }
}

/// How far the moisture that an addition leads to stays below the top of the
/// band at the risk: T − y − t(1 − r, ν) u(y), worked by the known addition.
fn room(watering: &Watering, added: Option<Added>) -> f64 {
    let after = match added {
        None => watering.at,
        Some(added) => KnownAddition::new(watering.leaf, watering.at, added)
            .after()
            .expect("an addition")
            .moisture
            .measured(),
    };
    let factor = student_quantile(1.0 - watering.risk.base(), after.dof().floor().max(1.0));
    let top = watering.to.base() + watering.band.base();
    top - after.value().base() - factor * after.u()
}

proptest! {
    #[test]
    fn what_is_weighed_keeps_to_the_band_and_a_little_more_does_not(
        jar in jar(), scale in scale(),
    ) {
        let jar = Watering { scale, ..jar };
        let (first, water, _) = first(&jar);
        let weighed = |mass: Mass| {
            let weighed = scale.map_or(Measured::exact(mass), |scale| scale.weighed(mass));
            Some(Added::Mass(weighed))
        };
        match first.rule {
            FirstRule::TooLoose => {
                prop_assert_eq!(first.water.base(), 0.0);
                // As it lies there, without any water.
                prop_assert!(room(&jar, None) < ROUNDING);
            }
            FirstRule::TooCoarse => {
                prop_assert_eq!(first.water.base(), 0.0);
                prop_assert!(room(&jar, None) > -ROUNDING);
                // The scale that would weigh next to nothing adds its doubt.
                let almost_none = weighed(Mass::of_base(1e-9));
                prop_assert!(room(&jar, almost_none) < ROUNDING);
            }
            FirstRule::WithinBand => {
                prop_assert!(room(&jar, weighed(first.water)) > -ROUNDING);
                let more = first.water + water * Ratio::of_base(1e-6);
                prop_assert!(room(&jar, weighed(more)) < 0.0);
            }
            FirstRule::AllAtOnce => {
                prop_assert_eq!(first.water, water);
                prop_assert!(room(&jar, weighed(water)) > -ROUNDING);
            }
            FirstRule::ThreeQuarters => prop_assert!(jar.at.is_exact()),
        }
    }

    #[test]
    fn what_is_counted_keeps_to_the_band_and_one_drop_more_does_not(jar in jar(), drop in drop()) {
        let jar = Watering { drop: Some(drop), ..jar };
        let (first, _, whole) = first(&jar);
        let (n, whole) = (first.drops.expect("a count"), whole.expect("a count"));
        prop_assert!(n <= whole && n.count().fract() == 0.0);
        // A count of none is no addition.
        let counted = |n: f64| (n > 0.0).then(|| Added::Drops(Drops::new(n), drop));
        if n.count() > 0.0 {
            prop_assert!(room(&jar, counted(n.count())) > -ROUNDING);
        }
        if n < whole {
            prop_assert!(room(&jar, counted(n.count() + 1.0)) < ROUNDING);
        }
    }

    #[test]
    fn a_wider_band_and_a_greater_risk_never_ask_for_less(
        jar in jar(), drop in drop(), band in 0.0..0.05, risk in 0.0..0.2,
    ) {
        let jar = Watering { drop: Some(drop), ..jar };
        let wider = Watering { band: jar.band + Ratio::of_base(band), ..jar.clone() };
        let bolder = Watering { risk: jar.risk + Ratio::of_base(risk), ..jar.clone() };
        let (least, _, _) = first(&jar);
        for more in [wider, bolder] {
            let (first, water, _) = first(&more);
            // The halving ends within a 2⁻⁵² of the water.
            prop_assert!(first.water.base() >= least.water.base() - 1e-15 * water.base());
            prop_assert!(first.drops >= least.drops);
        }
    }

    #[test]
    fn without_a_doubt_of_the_moisture_it_is_three_quarters(jar in jar(), drop in drop()) {
        let at = Measured::exact(jar.at.value());
        let jar = Watering { at, drop: Some(drop), ..jar };
        let (first, water, _) = first(&jar);
        prop_assert_eq!(first.rule, FirstRule::ThreeQuarters);
        prop_assert_eq!(first.water.base(), 0.75 * water.base());
        let one = drop.weighed_mass().expect("typed as a mass");
        let n = first.drops.expect("a count").count();
        // Whole drops that do not pass it, with the grace of a count.
        let exact = first.water.base() / one.base();
        prop_assert!(n <= exact + 1e-9 && n + 1.0 > exact, "{n} of {exact}");
    }

    /// What is expected after a first addition is what the known addition says,
    /// and what is left to do from there ends at the target.
    #[test]
    fn two_steps_end_where_one_would(jar in jar(), part in 0.05..0.95) {
        let exact = Watering {
            leaf: Measured::exact(jar.leaf.value()),
            at: Measured::exact(jar.at.value()),
            ..jar.clone()
        };
        let (_, water, _) = first(&exact);
        let taken = water * Ratio::of_base(part);
        let added = Added::Mass(Measured::exact(taken));
        let step = exact.second_step(&added, None).expect("a step");
        let after = KnownAddition::new(exact.leaf, exact.at, added).after().expect("an addition");
        prop_assert!((step.expected.best().base() - after.moisture.best().base()).abs() < ROUNDING);
        let (_, rest, _) = first(&step.rest);
        let size = jar.leaf.value().base();
        prop_assert!((taken + rest - water).base().abs() < ROUNDING * size);
        // In doubt, it is in as much doubt as the known addition says.
        let step = jar.second_step(&added, None).expect("a step");
        let after = KnownAddition::new(jar.leaf, jar.at, added).after().expect("an addition");
        prop_assert!((step.expected.u() / after.moisture.u() - 1.0).abs() < ROUNDING);
        prop_assert!(step.together.is_none());
    }

    /// The same with casing and a carrier on the leaf: both lie on the table
    /// once, and the carrier is gone when the rest is asked for.
    #[test]
    fn two_steps_end_where_one_would_with_all_that_is_brought(
        leaf in 0.05..0.5, at in moisture(), points in 0.05..0.1, part in 0.05..0.95,
        casing in 0.01..0.1, (water, alcohol) in (0.0..0.3, 0.1..0.5),
    ) {
        let share = |x| Measured::exact(Ratio::of_base(x));
        let parts = [(Part::Water, share(water)), (Part::Alcohol, share(alcohol))];
        let leaf = Mass::of_base(leaf);
        let to = Moisture::of_base(at.base() + points);
        let jar = Watering {
            brought: vec![Brought::weighed("casing", Measured::exact(leaf * Ratio::of_base(casing)), Composition::new(&parts).expect("less than the whole"))],
            ..Watering::new(Measured::exact(leaf), Measured::exact(at), to)
        };
        let WateringPlan::Add(plan) = jar.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let taken = plan.water.best() * Ratio::of_base(part);
        let step = jar.second_step(&Added::Mass(Measured::exact(taken)), None).expect("a step");
        let there = plan.pile.with_water(taken).aired();
        let size = there.total().base();
        prop_assert!((step.expected.best().base() - there.moisture().base()).abs() < ROUNDING);
        prop_assert!((step.rest.leaf.value().base() - size).abs() < ROUNDING * size);
        let (_, rest, _) = first(&step.rest);
        prop_assert!((taken + rest - plan.water.best()).base().abs() < ROUNDING * size);
    }

    /// A scale too coarse for the water says nothing against counting it: then
    /// the rule is about the drops.
    #[test]
    fn where_the_scale_is_too_coarse_the_rule_is_of_the_drops(jar in jar(), drop in drop()) {
        let scale = Scale::new(Mass::of_base(1.0)).expect("a cart's scale");
        let jar = Watering { drop: Some(drop), scale: Some(scale), ..jar };
        let (first, water, whole) = first(&jar);
        let (n, whole) = (first.drops.expect("a count"), whole.expect("a count"));
        prop_assert_eq!(first.water.base(), 0.0);
        // Up to 2 mL is counted; more asks for the scale, whatever its step.
        let is_counted = water.base() <= 2e-6 * 998.207;
        let rule = match n.count() {
            n if n == 0.0 || !is_counted => None,
            _ if first.drops == Some(whole) => Some(FirstRule::AllAtOnce),
            _ => Some(FirstRule::WithinBand),
        };
        let otherwise = if room(&jar, None) > 0.0 {
            FirstRule::TooCoarse
        } else {
            FirstRule::TooLoose
        };
        prop_assert_eq!(first.rule, rule.unwrap_or(otherwise));
    }

    /// A reading after the first addition goes together with what was expected,
    /// by inverse variance; an expectation without doubt gives way to it.
    #[test]
    fn a_reading_goes_together_with_what_was_expected(
        jar in jar(), part in 0.05..0.95, off in -0.02..0.02, u in 0.001..0.01,
    ) {
        // Normal doubts all: no degrees of freedom in the weights.
        let at = Measured::new(jar.at.value(), jar.at.u(), f64::INFINITY);
        let jar = Watering { at, ..jar };
        let (_, water, _) = first(&jar);
        let added = Added::Mass(Measured::exact(water * Ratio::of_base(part)));
        let expected = jar.second_step(&added, None).expect("a step").expected.measured();
        let read = Moisture::of_base(expected.value().base() + off);
        let reading = Measured::new(read, u, f64::INFINITY);
        let step = jar.second_step(&added, Some(&reading)).expect("a step");
        let both = step.together.expect("both are in doubt");
        let (a, b) = (expected.u().powi(-2), u.powi(-2));
        let mean = (expected.value().base() * a + read.base() * b) / (a + b);
        prop_assert!((both.estimate.best().base() - mean).abs() < ROUNDING);
        prop_assert!((both.as_if_agreed.u() * (a + b).sqrt() - 1.0).abs() < ROUNDING);
        prop_assert_eq!(step.rest.at, both.estimate.measured());

        let sure = Watering {
            leaf: Measured::exact(jar.leaf.value()),
            at: Measured::exact(jar.at.value()),
            ..jar
        };
        let step = sure.second_step(&added, Some(&reading)).expect("a step");
        prop_assert!(step.together.is_none());
        prop_assert_eq!(step.rest.at, reading);
    }

    /// What is counted goes by the drops, what is weighed by the water: the rule
    /// is that of the amount that is named.
    #[test]
    fn the_rule_is_of_what_is_counted(
        leaf in 0.002..0.02, at in 0.08..0.12, points in 0.03..0.12, half in 0.002..0.01,
        u in 0.001..0.15,
    ) {
        let drop = Measured::new(DropMass::of_base(48e-6), u * 48e-6, f64::INFINITY);
        let jar = Watering {
            drop: Some(Drop::of_mass(drop).expect("a usual size")),
            ..Watering::new(
                Measured::exact(Mass::of_base(leaf)),
                Measured::with_half_width(Moisture::of_base(at), half),
                Moisture::of_base(at + points),
            )
        };
        let WateringPlan::Add(plan) = jar.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        if let Some(counted) = plan.counted() {
            let n = plan.first.drops.expect("a count");
            let expected = if n == counted.whole {
                FirstRule::AllAtOnce
            } else {
                FirstRule::WithinBand
            };
            prop_assert_eq!(plan.first.rule, expected);
        }
    }
}
