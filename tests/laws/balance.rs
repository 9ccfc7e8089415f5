//! The pile conserves what it is made of.

use gutta::bench::{Added, KnownAddition, LeafWeighed};
use gutta::measure::{Mass, Measured, Ratio, Scalar};
use gutta::{Moisture, Pile, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{mass, moisture, pile};

/// A few roundings of numbers of the same size.
const ROUNDING: f64 = 1e-12;

fn near(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= ROUNDING * scale.abs().max(f64::MIN_POSITIVE)
}

/// Each mass of a pile, in one order.
fn masses(pile: &Pile) -> [f64; 5] {
    [
        pile.dry_leaf(),
        pile.solids(),
        pile.humectant(),
        pile.water(),
        pile.carrier(),
    ]
    .map(Scalar::base)
}

proptest! {
    #[test]
    fn adding_then_drying_returns(pile in pile(), to in moisture()) {
        let was = pile.aired().moisture();
        let back = pile.at_moisture(to).at_moisture(was);
        for (a, b) in masses(&pile).iter().zip(masses(&back)) {
            prop_assert!(near(*a, b, pile.total().base()));
        }
    }

    #[test]
    fn mixing_conserves_each_mass(one in pile(), other in pile()) {
        let both = one.mix(other);
        for ((a, b), c) in masses(&one).iter().zip(masses(&other)).zip(masses(&both)) {
            prop_assert!(near(a + b, c, c));
        }
        prop_assert!(near(both.total().base(), one.total().base() + other.total().base(), both.total().base()));
    }

    #[test]
    fn the_parts_of_a_pile_make_the_whole(pile in pile(), share in 0.0..1.0) {
        let rest = pile.share(Ratio::of_base(1.0 - share));
        let whole = pile.share(Ratio::of_base(share)).mix(rest);
        for (a, b) in masses(&pile).iter().zip(masses(&whole)) {
            prop_assert!(near(*a, b, *a));
        }
        // A share has the moisture of the whole.
        prop_assert!(near(rest.moisture().base(), pile.moisture().base(), 1.0));
    }

    #[test]
    fn airing_takes_the_carrier_and_nothing_else(pile in pile()) {
        let aired = pile.aired();
        prop_assert_eq!(masses(&aired)[..4].to_vec(), masses(&pile)[..4].to_vec());
        prop_assert_eq!(aired.carrier().base(), 0.0);
        prop_assert_eq!(aired.moisture(), pile.moisture());
    }

    #[test]
    fn splitting_an_addition_changes_nothing(pile in pile(), water in mass(), part in 0.0..1.0) {
        let first = water * Ratio::of_base(part);
        let at_once = pile.with_water(water);
        let in_two = pile.with_water(first).with_water(water - first);
        prop_assert!(near(at_once.moisture().base(), in_two.moisture().base(), 1.0));
    }

    #[test]
    fn the_target_is_met(leaf in mass(), at in moisture(), to in moisture()) {
        let pile = Pile::leaf(leaf, at).at_moisture(to);
        prop_assert!(near(pile.moisture().base(), to.base(), 1.0));
        // M (t − m)/(1 − t), for leaf alone.
        let water = leaf.base() * (to.base() - at.base()) / (1.0 - to.base());
        prop_assert!(near(Pile::leaf(leaf, at).water_to(to).base(), water, leaf.base()));
    }

    #[test]
    fn wet_and_dry_basis_are_one_moisture(at in moisture()) {
        prop_assert!(near(at.on_dry_basis().on_wet_basis().base(), at.base(), 1.0));
    }

    #[test]
    fn before_and_after_are_each_other_backwards(
        leaf in mass(), at in moisture(), water in 0.001..0.3,
    ) {
        let added = Added::Mass(Measured::exact(leaf * Ratio::of_base(water)));
        let known = |leaf, at| KnownAddition::new(Measured::exact(leaf), Measured::exact(at), added);
        let after = known(leaf, at).after().unwrap();
        let now = after.moisture.best();
        for (weighed, mass) in [
            (LeafWeighed::Before, leaf),
            (LeafWeighed::After, after.mass.best()),
        ] {
            let before = known(mass, now).before(weighed).unwrap();
            prop_assert!(near(before.moisture.best().base(), at.base(), 1.0));
            prop_assert!(near(before.mass.best().base(), leaf.base(), leaf.base()));
        }
    }

    #[test]
    fn scaling_a_batch_scales_its_answer(
        leaf in mass(), at in moisture(), to in moisture(), factor in 0.01..100.0,
    ) {
        prop_assume!((to.base() - at.base()).abs() > 1e-6);
        let water = |leaf: Mass| {
            let watering = Watering::new(Measured::exact(leaf), Measured::exact(at), to);
            match watering.plan().unwrap() {
                WateringPlan::Add(plan) => plan.water.best().base(),
                WateringPlan::Dry(plan) => -plan.water.best().base(),
                WateringPlan::Nothing(_) => 0.0,
            }
        };
        let small = water(leaf);
        prop_assume!(leaf.base() * factor < 1e6);
        let large = water(leaf * Ratio::of_base(factor));
        prop_assert!(near(large, small * factor, leaf.base() * factor));
    }
}

#[test]
fn a_target_that_is_met_asks_for_nothing() {
    let at = Moisture::of_base(0.145);
    let leaf = Measured::exact(Mass::of_base(0.01));
    let plan = Watering::new(leaf, Measured::exact(at), at).plan().unwrap();
    assert!(matches!(plan, WateringPlan::Nothing(_)));
}
