//! Less than a drop, and series of doses: what must hold for any of them.

use gutta::bench::{Dilution, Drop, LeafBasis, Series, Strong};
use gutta::matter::Liquid;
use gutta::measure::{DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale, Spread};
use proptest::prelude::*;

use super::strategies::{drop, drop_mass, mass, moisture};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-12;

fn exact_drop(one: DropMass) -> Drop {
    Drop::of_mass(Measured::exact(one)).expect("a usual size")
}

/// A dose of less than so many drops on leaf: what it is of their mass.
fn dilution(leaf: Mass, one: DropMass, drops: f64, share: f64) -> Dilution {
    let flavour = one.base() * drops * share;
    Dilution::new(
        Measured::exact(Ratio::of_base(flavour / leaf.base())),
        LeafBasis::AsWeighed,
        Measured::exact(leaf),
        exact_drop(one),
        Strong::ToMake {
            drops: Drops::new(drops),
            neat: Mass::of_base(1e-3),
        },
    )
}

proptest! {
    /// What the drops hold is the dose; flavouring and carrier make the stock.
    #[test]
    fn the_drops_hold_the_dose(
        grams in 5.0..50.0_f64,
        one in drop_mass(),
        drops in 1_u32..12,
        share in 0.01..0.9_f64,
    ) {
        let leaf = Mass::of_base(1e-3 * grams);
        let plan = dilution(leaf, one, f64::from(drops), share).plan().expect("a plan");
        let strength = plan.strength.best().base();
        prop_assert!((strength / share - 1.0).abs() < ROUNDING);
        let (neat, carrier) = (plan.neat.unwrap().base(), plan.carrier.unwrap().base());
        prop_assert!(((neat + carrier) / plan.stock.unwrap().base() - 1.0).abs() < ROUNDING);
        prop_assert!((neat / (neat + carrier) / strength - 1.0).abs() < ROUNDING);
        let counted = plan.counted.expect("whole drops");
        prop_assert_eq!(counted.drops.count(), f64::from(drops));
        let given = counted.mass.best().base() * strength;
        prop_assert!((given / plan.flavour.best().base() - 1.0).abs() < ROUNDING);
        let reached = counted.dose.best().ratio().base() * leaf.base();
        prop_assert!((reached / plan.flavour.best().base() - 1.0).abs() < ROUNDING);
        prop_assert!((counted.carrier.best().base() + given - counted.mass.best().base()).abs()
            < ROUNDING * given.max(counted.mass.best().base()));
    }

    /// More drops for the same dose are a weaker dilution and bring more carrier.
    #[test]
    fn more_drops_are_weaker(grams in 5.0..50.0_f64, one in drop_mass(), drops in 1_u32..12) {
        let leaf = Mass::of_base(1e-3 * grams);
        let of = |drops: u32| {
            let mut question = dilution(leaf, one, 1.0, 0.5);
            question.strong = Strong::ToMake {
                drops: Drops::new(f64::from(drops)),
                neat: Mass::of_base(1e-3),
            };
            question.plan().expect("a plan")
        };
        let (few, more) = (of(drops), of(drops + 1));
        prop_assert!(more.strength.best() < few.strength.best());
        let carrier = |plan: &gutta::bench::Diluted| {
            plan.counted.as_ref().unwrap().carrier.best().base()
        };
        prop_assert!(carrier(&more) > carrier(&few));
    }

    /// A dose on dry leaf is that on leaf as weighed over the dry share.
    #[test]
    fn one_dose_on_both_bases(leaf in 5.0..50.0_f64, at in moisture(), one in drop_mass()) {
        let leaf = Mass::of_base(1e-3 * leaf);
        let as_weighed = Dilution {
            at: Some(Measured::exact(at)),
            ..dilution(leaf, one, 4.0, 0.2)
        };
        let dry = Dilution {
            dose: Measured::exact(as_weighed.dose.value() / at.dry_share()),
            basis: LeafBasis::Dry,
            ..as_weighed.clone()
        };
        let (a, b) = (as_weighed.plan().unwrap(), dry.plan().unwrap());
        prop_assert!((a.flavour.best().base() / b.flavour.best().base() - 1.0).abs() < ROUNDING);
        let reached = b.counted.unwrap().dose_dry.unwrap().best().ratio().base();
        prop_assert!((reached / dry.dose.value().base() - 1.0).abs() < ROUNDING);
    }

    /// What comes to one drop exactly is one drop, on whichever side of 1 the
    /// rounding puts it; a millionth less is less than one.
    #[test]
    fn one_drop_is_not_less_than_one(
        grams in 1_u32..500,
        milligrams in 5_u32..=120,
        share in 1_u32..100,
    ) {
        let leaf = Mass::of_base(1e-3 * f64::from(grams));
        let one = 1e-6 * f64::from(milligrams);
        let strength = Ratio::of_base(0.01 * f64::from(share));
        let dose = Ratio::of_base(one * strength.base() / leaf.base());
        let counted = |dose: Ratio| {
            let ready = Dilution::new(
                Measured::exact(dose),
                LeafBasis::AsWeighed,
                Measured::exact(leaf),
                exact_drop(DropMass::of_base(one)),
                Strong::Ready(Measured::exact(strength)),
            );
            ready.plan().expect("a plan").counted.map(|counted| counted.drops.count())
        };
        prop_assert_eq!(counted(dose), Some(1.0));
        prop_assert_eq!(counted(dose * Ratio::of_base(1.0 - 1e-6)), None);
    }

    /// Flavouring weighed for so many doses makes that many.
    #[test]
    fn a_stock_makes_the_doses_it_is_weighed_for(
        tenths in 1_u32..20,
        drops in 2_u32..9,
        doses in 1_u32..200,
    ) {
        let flavour = 1e-6 * f64::from(tenths);
        let mut question = dilution(Mass::of_base(10e-3), DropMass::of_base(29e-6), 1.0, 0.5);
        question.dose = Measured::exact(Ratio::of_base(flavour / 10e-3));
        question.strong = Strong::ToMake {
            drops: Drops::new(f64::from(drops)),
            neat: Mass::of_base(flavour * f64::from(doses)),
        };
        let plan = question.plan().expect("a plan");
        prop_assert_eq!(plan.whole_doses(), Some(f64::from(doses)));
    }

    /// Portions make the base, and each reaches its dose within half a drop.
    #[test]
    fn portions_make_the_base(
        base in mass(),
        one in drop(),
        doses in prop::collection::vec(0.0..0.03_f64, 2..8),
    ) {
        let series = Series {
            base: Measured::exact(base),
            at: None,
            doses: doses.iter().map(|d| Measured::exact(Ratio::of_base(*d))).collect(),
            basis: LeafBasis::AsWeighed,
            drop: one,
            density: None,
            scale: None,
        };
        let portions = series.portions().expect("two doses or more");
        let sum = portions.portion.best().base() * doses.len() as f64;
        prop_assert!((sum / base.base() - 1.0).abs() < ROUNDING);
        for (dose, step) in doses.iter().zip(&portions.steps) {
            let Some(dosed) = step else {
                prop_assert_eq!(*dose, 0.0);
                continue;
            };
            let exact = dosed.drops_exact.as_ref().unwrap().best().count();
            match &dosed.counted {
                None => prop_assert!(exact < 1.0 - 1e-9),
                Some(counted) => {
                    prop_assert!((counted.drops.count() - exact).abs() <= 0.5);
                    prop_assert!(counted.drops.count() >= 1.0);
                }
            }
        }
    }
}

/// Draws agree with the estimate of the dose reached: the middle within 0.2 %,
/// the spread within 3 %, as 200 000 draws show it.
#[test]
fn draws_of_a_dilution_agree() {
    let drop = DropMass::of_base(29e-6);
    let question = Dilution {
        scale: Some(Scale::new(Mass::of_base(1e-5)).unwrap()),
        at: Some(Measured::new(
            gutta::Moisture::of_base(0.12),
            0.004,
            f64::INFINITY,
        )),
        carrier: Liquid::named("alcohol 40% ± 1% vol")
            .unwrap()
            .unwrap()
            .composition,
        ..Dilution::new(
            Measured::exact(Ratio::of_base(0.9e-3)),
            LeafBasis::Dry,
            Measured::new(Mass::of_base(10e-3), 5e-6, f64::INFINITY),
            Drop::of_mass(Measured::new(drop, 0.5e-6, f64::INFINITY)).unwrap(),
            Strong::ToMake {
                drops: Drops::new(4.0),
                neat: Mass::of_base(0.3e-3),
            },
        )
    };
    let plan = question.plan().unwrap();
    let counted = plan.counted.unwrap();
    let simulation = question.simulate().unwrap();
    let (mut columns, outside) = simulation.columns(200_000, 3);
    assert_eq!(outside, 0);
    let mut drawn = |name: &str| {
        let at = simulation.names().iter().position(|n| *n == name).unwrap();
        Spread::of(&mut columns[at])
    };
    let dose = drawn("dose_reached");
    let (best, u) = (counted.dose.best().ratio().base(), counted.dose.u());
    assert!(
        (dose.mean / best - 1.0).abs() < 2e-3,
        "{} {best}",
        dose.mean
    );
    assert!((dose.u / u - 1.0).abs() < 0.03, "{} {u}", dose.u);
    let moisture = drawn("moisture_after");
    let after = counted.moisture.unwrap();
    assert!((moisture.mean - after.best().base()).abs() < 1e-4);
    assert!((moisture.u / after.u() - 1.0).abs() < 0.03);
}

/// The least weighing is max(D, 1.96 u_net)/tolerance: at 0.1 g and 2 % it is 5 g
/// (common practice); a repeatability above the division counts.
#[test]
fn the_least_weighing() {
    let grams = |g: f64| Mass::of_base(1e-3 * g);
    let tolerance = Ratio::of_base(0.02);
    for (division, least) in [(0.1, 5.0), (0.01, 0.5), (1.0, 50.0)] {
        let scale = Scale::new(grams(division)).unwrap();
        let got = scale.least_weighing(tolerance).base() * 1e3;
        assert!((got / least - 1.0).abs() < ROUNDING, "{got}");
    }
    let worn = Scale::new(grams(0.01))
        .unwrap()
        .with_repeatability(grams(0.02))
        .unwrap();
    let expected = 1.959_964 * 2.0_f64.sqrt() * (0.01_f64.powi(2) / 12.0 + 4e-4).sqrt() / 0.02;
    let got = worn.least_weighing(tolerance).base() * 1e3;
    assert!((got / expected - 1.0).abs() < 1e-6, "{got} {expected}");
}
