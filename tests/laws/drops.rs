//! Drops: never too many, and never lost on the way.

use gutta::bench::{Asked, Batch, BatchValue, Dosing, Drop, LeafBasis};
use gutta::measure::{Drops, Mass, Measured, Ratio, Scalar};
use gutta::{Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{drop_mass, mass, moisture};

proptest! {
    #[test]
    fn whole_drops_never_overshoot_and_one_more_would(
        leaf in mass(), at in moisture(), points in 1e-4..0.3, one in drop_mass(),
    ) {
        let to = Moisture::of_base(at.base() + points);
        let mut watering = Watering::new(Measured::exact(leaf), Measured::exact(at), to);
        watering.drop = Some(Drop::of_mass(Measured::exact(one)).unwrap());
        let WateringPlan::Add(plan) = watering.plan().unwrap() else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let drops = plan.drops.unwrap();
        // The grace that takes eight drops typed as water for eight.
        let grace = 2e-9 * one.base() / leaf.base();
        prop_assert!(drops.moisture.best().base() <= to.base() + grace + 1e-12);
        let more = (one * Drops::new(drops.whole.count() + 1.0)).base();
        prop_assert!(more > plan.water.best().base());
    }

    #[test]
    fn a_dry_dose_does_not_see_the_moisture_of_the_batch(
        leaf in mass(), dry in mass(), one in moisture(), other in moisture(),
    ) {
        let batch = |at: Moisture| {
            let as_weighed = dry / at.dry_share();
            let dosing = Dosing {
                leaf: Some(Measured::exact(leaf)),
                at: Some(Measured::exact(at)),
                batch: Some(Batch {
                    leaf: Measured::exact(as_weighed),
                    at: BatchValue::Own(Measured::exact(at)),
                    density: BatchValue::Unknown,
                    drop: BatchValue::Unknown,
                }),
                ..Dosing::new(Asked::Dose(Measured::exact(Ratio::of_base(0.015))), LeafBasis::Dry)
            };
            dosing.answer().unwrap().batch.unwrap().mass.best().base()
        };
        let (a, b) = (batch(one), batch(other));
        prop_assert!((a - b).abs() <= 1e-12 * a, "{a} {b}");
        prop_assert!((a - 0.015 * dry.base()).abs() <= 1e-12 * a);
    }

    #[test]
    fn twice_the_leaf_at_a_dose_takes_twice_the_flavouring(leaf in mass(), dose in 1e-4..0.05) {
        let mass = |leaf: Mass| {
            let dosing = Dosing {
                leaf: Some(Measured::exact(leaf)),
                ..Dosing::new(
                    Asked::Dose(Measured::exact(Ratio::of_base(dose))),
                    LeafBasis::AsWeighed,
                )
            };
            dosing.answer().unwrap().mass.best().base()
        };
        let twice = mass(leaf * Ratio::of_base(2.0));
        prop_assert!((twice - 2.0 * mass(leaf)).abs() <= 1e-14 * twice);
    }

    #[test]
    fn under_one_drop_no_drops_are_counted(one in drop_mass(), share in 0.01..3.0_f64) {
        let asked = Mass::of_base(one.base() * share);
        let dosing = Dosing {
            drop: Some(Drop::of_mass(Measured::exact(one)).unwrap()),
            ..Dosing::new(Asked::Mass(Measured::exact(asked)), LeafBasis::AsWeighed)
        };
        let counted = dosing.answer().unwrap().counted;
        // One drop itself may fall on either side of the rounding.
        let off: f64 = share - 1.0;
        prop_assume!(off.abs() > 1e-9);
        prop_assert_eq!(counted.is_some(), share > 1.0);
        if let Some(counted) = counted {
            prop_assert!((counted.drops.count() - share).abs() <= 0.5 + 1e-9);
        }
    }
}
