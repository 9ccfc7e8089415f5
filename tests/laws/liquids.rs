//! Liquids on leaf: nothing is lost, in whatever order and portions.

use gutta::bench::{Added, Brought, KnownAddition};
use gutta::matter::{Fractions, Part};
use gutta::measure::{Mass, Measured, Ratio, Scalar};
use gutta::{Composition, Moisture, Pile, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{mass, moisture, pile};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-13;

/// Shares by mass that leave room for solids: water, carrier, humectant.
fn shares() -> impl Strategy<Value = [f64; 3]> {
    prop::array::uniform(0.0..0.33)
}

fn fractions([water, carrier, humectant]: [f64; 3]) -> Fractions {
    Fractions {
        water: Ratio::of_base(water),
        carrier: Ratio::of_base(carrier),
        humectant: Ratio::of_base(humectant),
    }
}

/// Dry leaf, solids, humectant, water, carrier.
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

fn same(a: &Pile, b: &Pile) -> bool {
    let total = a.total().base();
    let pairs = masses(a).into_iter().zip(masses(b));
    pairs
        .into_iter()
        .all(|(a, b)| (a - b).abs() <= ROUNDING * total)
}

proptest! {
    #[test]
    fn a_liquid_comes_whole(pile in pile(), liquid in mass(), shares in shares()) {
        let with = pile.with_liquid(liquid, fractions(shares));
        let [water, carrier, humectant] = shares;
        let solids = 1.0 - water - carrier - humectant;
        let came = [0.0, solids, humectant, water, carrier].map(|share| share * liquid.base());
        let total = with.total().base();
        for ((before, came), after) in masses(&pile).iter().zip(came).zip(masses(&with)) {
            prop_assert!((before + came - after).abs() <= ROUNDING * total);
        }
        prop_assert!((pile.total().base() + liquid.base() - total).abs() <= ROUNDING * total);
    }

    #[test]
    fn portions_and_order_are_nothing(
        pile in pile(), one in mass(), other in mass(), part in 0.0..1.0,
        shares in (shares(), shares()),
    ) {
        let (a, b) = (fractions(shares.0), fractions(shares.1));
        let at_once = pile.with_liquid(one, a).with_liquid(other, b);
        let first = one * Ratio::of_base(part);
        let apart = pile
            .with_liquid(first, a)
            .with_liquid(other, b)
            .with_liquid(one - first, a);
        prop_assert!(same(&at_once, &apart));
        // Taking a share before or after comes to the same.
        let share = Ratio::of_base(part);
        let before = pile.share(share).with_liquid(one * share, a);
        prop_assert!(same(&before, &pile.with_liquid(one, a).share(share)));
    }

    #[test]
    fn only_water_is_moved_to_reach_a_moisture(pile in pile(), to in moisture()) {
        let there = pile.at_moisture(to);
        let (before, after) = (masses(&pile), masses(&there));
        for i in [0, 1, 2, 4] {
            prop_assert_eq!(before[i], after[i]);
        }
        let moved = pile.water_to(to).base();
        prop_assert!((before[3] + moved - after[3]).abs() <= ROUNDING * there.total().base());
        prop_assert!((there.moisture().base() - to.base()).abs() <= ROUNDING);
    }

    #[test]
    fn a_plan_does_not_see_the_order_of_what_is_brought(
        leaf in mass(), at in moisture(), to in moisture(), part in (0.01..0.2, 0.01..0.2),
        shares in (shares(), shares()),
    ) {
        let liquid = |name: &str, part: f64, [water, alcohol, glycol]: [f64; 3]| {
            let share = |x| Measured::exact(Ratio::of_base(x));
            let composition = Composition::new(&[
                (Part::Water, share(water)),
                (Part::Alcohol, share(alcohol)),
                (Part::Glycol, share(glycol)),
            ]);
            Brought::weighed(name, Measured::exact(leaf * Ratio::of_base(part)), composition.expect("less than the whole"))
        };
        let brought = vec![liquid("casing", part.0, shares.0), liquid("top", part.1, shares.1)];
        let water = |brought: Vec<Brought>| {
            let watering = Watering::new(Measured::exact(leaf), Measured::exact(at), to);
            match (Watering { brought, ..watering }).plan().expect("a plan") {
                WateringPlan::Add(plan) => (plan.water.best().base(), plan.final_mass.best()),
                WateringPlan::Dry(plan) => (-plan.water.best().base(), plan.final_mass.best()),
                WateringPlan::Nothing(plan) => (0.0, plan.final_mass.best()),
            }
        };
        let reversed = brought.iter().rev().cloned().collect();
        let ((a, a_mass), (b, b_mass)) = (water(brought), water(reversed));
        let size = a_mass.base();
        prop_assert!((a - b).abs() <= ROUNDING * size);
        prop_assert!((size - b_mass.base()).abs() <= ROUNDING * size);
    }

    #[test]
    fn what_is_added_and_dried_again_is_the_leaf_it_was(
        leaf in mass(), at in moisture(), points in 0.005..0.2,
    ) {
        let to = Moisture::of_base(at.base() + points);
        let plan = Watering::new(Measured::exact(leaf), Measured::exact(at), to).plan();
        let WateringPlan::Add(add) = plan.expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let wetted = Measured::exact(add.final_mass.best());
        let plan = Watering::new(wetted, Measured::exact(to), at).plan();
        let WateringPlan::Dry(dry) = plan.expect("a plan") else {
            return Err(TestCaseError::fail("water is to be lost"));
        };
        let size = wetted.value().base();
        prop_assert!((dry.final_mass.best().base() - leaf.base()).abs() <= ROUNDING * size);
        prop_assert!((dry.water.best() - add.water.best()).base().abs() <= ROUNDING * size);
    }

    #[test]
    fn an_addition_in_two_steps_is_one_addition(
        leaf in mass(), at in moisture(), share in 0.001..0.3, part in 0.01..0.99,
    ) {
        let added = |leaf: Mass, at: Moisture, water: Mass| {
            let added = Added::Mass(Measured::exact(water));
            let after = KnownAddition::new(Measured::exact(leaf), Measured::exact(at), added).after();
            let after = after.expect("an addition");
            (after.mass.best(), after.moisture.best())
        };
        let water = leaf * Ratio::of_base(share);
        let first = water * Ratio::of_base(part);
        let (mass, moisture) = added(leaf, at, first);
        let in_two = added(mass, moisture, water - first);
        let at_once = added(leaf, at, water);
        prop_assert!((in_two.0 - at_once.0).base().abs() <= ROUNDING * at_once.0.base());
        prop_assert!((in_two.1.base() - at_once.1.base()).abs() <= ROUNDING);
    }

    /// Each part of a liquid goes where it belongs, and what is not named is
    /// solids.
    #[test]
    fn each_part_has_its_place(
        leaf in mass(), part in 0.01..0.2, shares in prop::array::uniform::<_, 6>(0.0..0.16),
    ) {
        let parts: Vec<_> = Part::ALL
            .into_iter()
            .zip(shares)
            .map(|(part, share)| (part, Measured::exact(Ratio::of_base(share))))
            .collect();
        let liquid = Brought::weighed("casing", Measured::exact(leaf * Ratio::of_base(part)), Composition::new(&parts).expect("less than the whole"));
        let at = Moisture::of_base(0.1);
        let watering = Watering {
            brought: vec![liquid],
            ..Watering::new(Measured::exact(leaf), Measured::exact(at), Moisture::of_base(0.5))
        };
        let WateringPlan::Add(plan) = watering.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let [water, alcohol, glycol, glycerine, ..] = shares;
        let humectant = glycol + glycerine;
        let solids = 1.0 - water - alcohol - humectant;
        let leaf = leaf.base();
        let expected = [
            leaf * 0.9,
            leaf * part * solids,
            leaf * part * humectant,
            leaf * 0.1 + leaf * part * water,
            leaf * part * alcohol,
        ];
        for (got, expected) in masses(&plan.pile).into_iter().zip(expected) {
            prop_assert!((got - expected).abs() <= ROUNDING * leaf, "{got} {expected}");
        }
    }
}
