//! The figures of one answer agree with each other.

use gutta::bench::{Asked, Batch, BatchValue, Brought, Dosing, Drop, LeafBasis};
use gutta::matter::Part;
use gutta::measure::{COVERAGE_95, DropMass, Drops, Mass, Measured, Ratio, Scalar, combine};
use gutta::{Composition, Estimate, Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{drop_mass, moisture};

/// A handful of roundings.
const ROUNDING: f64 = 1e-13;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= ROUNDING * a.abs().max(b.abs())
}

fn exact<S: Scalar>(base: f64) -> Measured<S> {
    Measured::exact(S::of_base(base))
}

fn best<S: Scalar>(estimate: Option<Estimate<S>>) -> f64 {
    estimate.expect("a figure").best().base()
}

/// So much rum, of this share of alcohol by mass; the rest is solids.
fn rum(mass: Mass, alcohol: f64) -> Brought {
    Brought::weighed(
        "rum",
        Measured::exact(mass),
        Composition::new(&[(Part::Alcohol, exact(alcohol))]).expect("a share"),
    )
}

proptest! {
    #[test]
    fn of_a_dose(
        leaf in 0.005..0.05, at in moisture(), one in drop_mass(), density in 700.0..1400.0,
        n in 1_u32..60, loss in 1e-4..1e-3, batch_leaf in 1.0..50.0, batch_at in moisture(),
        on_dry in any::<bool>(),
    ) {
        let basis = if on_dry { LeafBasis::Dry } else { LeafBasis::AsWeighed };
        // A number between whole drops, asked for by mass.
        let asked = one.base() * (f64::from(n) + 0.3);
        let dosing = Dosing {
            leaf: Some(exact(leaf)),
            at: Some(Measured::exact(at)),
            drop: Some(Drop::of_mass(Measured::exact(one)).expect("a usual size")),
            density: Some(exact(density)),
            bottle_loss: Some(exact(loss)),
            batch: Some(Batch {
                leaf: exact(batch_leaf),
                at: BatchValue::Own(Measured::exact(batch_at)),
                density: BatchValue::AsInTrial,
                drop: BatchValue::AsInTrial,
            }),
            ..Dosing::new(Asked::Mass(exact(asked)), basis)
        };
        let got = dosing.answer().expect("a dose");
        let dry = leaf * (1.0 - at.base());
        let volume = best(got.volume);
        prop_assert!(near(volume * density, asked));
        prop_assert!(near(best(got.dose) * leaf, asked));
        prop_assert!(near(best(got.dose_dry) * dry, asked));
        prop_assert!(near(best(got.volume_per_leaf) * leaf, volume));
        prop_assert!(near(best(got.drops_exact), f64::from(n) + 0.3));

        let counted = got.counted.expect("more than a drop");
        let mass = f64::from(n) * one.base();
        prop_assert_eq!(counted.drops, Drops::new(f64::from(n)));
        prop_assert!(near(counted.mass.best().base(), mass));
        prop_assert!(near(best(counted.dose) * leaf, mass));
        prop_assert!(near(best(counted.dose_dry) * dry, mass));

        let given = got.given.expect("a loss");
        let drops = loss / one.base();
        prop_assert_eq!(given.drops(), Some(Drops::new((drops + 0.5).floor())));
        prop_assert!(near(best(given.drops_exact), drops));
        prop_assert!(near(best(given.dose) * leaf, loss));
        prop_assert!(near(best(given.dose_dry) * dry, loss));

        // On its basis a batch takes what the trial took.
        let batch = got.batch.expect("a batch");
        let ratio = if on_dry {
            batch_leaf * (1.0 - batch_at.base()) / dry
        } else {
            batch_leaf / leaf
        };
        let mass = asked * ratio;
        prop_assert!(near(batch.mass.best().base(), mass));
        prop_assert!(near(best(batch.volume) * density, mass));
        prop_assert!(near(best(batch.drops) * one.base(), mass));
    }

    #[test]
    fn of_water_counted_in_drops(
        leaf in (0.05..5.0).prop_map(Mass::of_base), at in moisture(), points in 0.005..0.1, tray in 0.1..1.0,
        one in drop_mass(), alcohol in 0.0..0.5, share in 0.001..0.01,
    ) {
        let to = Moisture::of_base(at.base() + points);
        let watering = Watering {
            brought: vec![rum(leaf * Ratio::of_base(share), alcohol)],
            tray: Some(exact(tray)),
            drop: Some(Drop::of_mass(Measured::exact(one)).expect("a usual size")),
            ..Watering::new(Measured::exact(leaf), Measured::exact(at), to)
        };
        let WateringPlan::Add(plan) = watering.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let pile = plan.pile;
        let stays = pile.total() - pile.carrier();
        let is = |mass: Mass, expected: Mass| near(mass.base(), expected.base());
        let tray = Mass::of_base(tray);
        prop_assert!(is(plan.final_mass.best(), stays + plan.water.best()));
        prop_assert!(is(plan.final_gross.expect("a tray").best(), plan.final_mass.best() + tray));
        let at_once = plan.mass_at_once.map(|mass| mass.best());
        prop_assert_eq!(at_once.is_some(), alcohol > 0.0);
        prop_assert!(at_once.is_none_or(|mass| is(mass, pile.total() + plan.water.best())));

        let drops = plan.drops.expect("a drop");
        prop_assert!(is(drops.mass.best(), one * drops.whole));
        prop_assert!(is(drops.final_mass.best(), stays + drops.mass.best()));
        prop_assert!(is(drops.final_gross.expect("a tray").best(), drops.final_mass.best() + tray));
        let water = drops.moisture.best().base() * drops.final_mass.best().base();
        prop_assert!(near(water, (pile.water() + drops.mass.best()).base()));
    }

    /// Before drying everything lies on the scale, the carrier too; at the end
    /// neither the carrier nor the water that must go.
    #[test]
    fn of_water_to_lose(
        leaf in (0.05..5.0).prop_map(Mass::of_base), to in moisture(), points in 0.01..0.2, tray in 0.1..1.0,
        alcohol in 0.01..0.5, share in 0.001..0.01,
    ) {
        let at = Moisture::of_base(to.base() + points);
        let watering = Watering {
            brought: vec![rum(leaf * Ratio::of_base(share), alcohol)],
            tray: Some(exact(tray)),
            ..Watering::new(Measured::exact(leaf), Measured::exact(at), to)
        };
        let WateringPlan::Dry(plan) = watering.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water must go"));
        };
        let at_once = leaf.base() * (1.0 + share);
        let carrier = leaf.base() * share * alcohol;
        prop_assert!(near(plan.pile.total().base(), at_once));
        prop_assert!(near(best(plan.mass_at_once), at_once));
        let end = plan.final_mass.best().base();
        prop_assert!(near(end + plan.water.best().base() + carrier, at_once));
        prop_assert!(near(best(plan.final_gross), end + tray));
    }

    /// The moisture that n drops lead to asks for those n drops, though the
    /// sums leave it a hair below.
    #[test]
    fn of_drops_worked_out_from_drops(
        leaf in 0.005..0.5, at in moisture(), one in drop_mass(), n in 1_u32..200,
    ) {
        let water = one.base() * f64::from(n);
        let to = (leaf * at.base() + water) / (leaf + water);
        let watering = Watering {
            drop: Some(Drop::of_mass(Measured::exact(one)).expect("a usual size")),
            ..Watering::new(exact(leaf), Measured::exact(at), Moisture::of_base(to))
        };
        let WateringPlan::Add(plan) = watering.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        prop_assert_eq!(plan.drops.expect("a drop").whole, Drops::new(f64::from(n)));
    }

    #[test]
    fn of_the_standard_drop(density in 990.0..1000.0) {
        // 20 drops to the millilitre, ±15 % at 95 %.
        let drop = Drop::standard();
        let twenty = Dosing {
            drop: Some(drop),
            density: Some(exact(density)),
            ..Dosing::new(Asked::Drops(Drops::new(20.0)), LeafBasis::AsWeighed)
        };
        let twenty = twenty.answer().expect("a dose").mass.measured();
        prop_assert!(near(twenty.value().base(), density * 1e-6));
        prop_assert!(near(twenty.half_width_95(), 0.15 * density * 1e-6));
        let one: DropMass = drop.best_mass(Scalar::of_base(density));
        prop_assert!(near(one.base() * 20.0, density * 1e-6));
    }

    /// Where several estimates disagree, their doubt grows until χ² is what it
    /// may be expected to be: by √(χ²/(k − 1)).
    #[test]
    fn of_estimates_that_disagree(each in prop::collection::vec((0.0..1.0, 0.01..0.5), 2..6)) {
        let mass = |&(x, u): &(f64, f64)| ("x", Measured::new(Mass::of_base(x), u, f64::INFINITY));
        let named: Vec<_> = each.iter().map(mass).collect();
        let got = combine(&named).expect("all are in doubt");
        prop_assert_eq!(got.agree, got.chi_squared <= got.limit);
        // The 95 % point of χ² where it has a closed form: z² for one degree of
        // freedom, −2 ln 0.05 for two.
        match each.len() {
            2 => prop_assert!((got.limit - COVERAGE_95.powi(2)).abs() < 1e-9),
            3 => prop_assert!((got.limit + 2.0 * 0.05_f64.ln()).abs() < 1e-9),
            _ => {}
        }
        let mean = got.estimate.best().base();
        let by_hand: f64 = each.iter().map(|(x, u)| ((x - mean) / u).powi(2)).sum();
        prop_assert!((got.chi_squared - by_hand).abs() <= 1e-12 * by_hand.max(1.0));
        let degrees = (each.len() - 1) as f64;
        let grown = if got.agree { 1.0 } else { (by_hand / degrees).sqrt() };
        prop_assert!((got.estimate.u() / got.as_if_agreed.u() - grown).abs() <= 1e-12 * grown);
    }
}
