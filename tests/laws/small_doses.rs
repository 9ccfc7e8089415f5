//! Less than a drop, and series of doses: what must hold for any of them.

use gutta::bench::{Dilution, Drop, LeafBasis, MOST_STOCK, Series, Strong, USUAL_DROPS};
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

    /// What the scale weighs of both is the least that it weighs well or more, and
    /// less by two steps of the scale is not.
    #[test]
    fn both_are_weighed_well(
        grams in 5.0..50.0_f64,
        one in drop_mass(),
        share in 0.01..0.95_f64,
        step in prop::sample::select(vec![1e-6, 1e-5, 1e-4]),
    ) {
        let scale = Scale::new(Mass::of_base(step)).unwrap();
        let plan = Dilution {
            scale: Some(scale),
            strong: Strong::LeastToMake { drops: Drops::new(4.0) },
            ..dilution(Mass::of_base(1e-3 * grams), one, 4.0, share)
        }
        .plan()
        .expect("a plan");
        let least = scale.least_weighing(Ratio::of_base(0.02)).base();
        let (neat, carrier) = (plan.neat.unwrap().base(), plan.carrier.unwrap().base());
        let slack = 1e-9 * step;
        prop_assert!(neat >= least - slack && carrier >= least - slack, "{neat} {carrier}");
        prop_assert_eq!(plan.too_fine, None);
        prop_assert_eq!(plan.for_the_carrier, share > 0.5);
        let less = neat - 2.0 * step;
        prop_assert!(less < least || less * (1.0 / share - 1.0) < least);
    }

    /// The two steps make the strength that one would, and neither takes more
    /// carrier than is made; a dose that is asked for so many times over is made of
    /// the first by the same drops.
    #[test]
    fn two_steps_are_one(one in drop_mass(), power in 2.4..4.5_f64) {
        let share = 10_f64.powf(-power);
        let leaf = Mass::of_base(10e-3);
        let weak = Dilution {
            strong: Strong::ToMake { drops: Drops::new(4.0), neat: Mass::of_base(0.5e-3) },
            ..dilution(leaf, one, 4.0, share)
        };
        let steps = weak.plan().expect("a plan").two_steps.expect("two steps");
        let of = |carrier: Mass| (steps.neat / (steps.neat + carrier)).base();
        let both = of(steps.carrier) * of(steps.then_carrier);
        prop_assert!((both / share - 1.0).abs() < 1e-9, "{both} {share}");
        prop_assert!(steps.carrier.base().max(steps.then_carrier.base()) <= MOST_STOCK);
        let second = Dilution {
            dose: Measured::exact(weak.dose.value() * steps.parts),
            ..weak
        };
        let carrier = second.plan().expect("a plan").carrier.unwrap();
        prop_assert!((carrier / steps.then_carrier - Ratio::of_base(1.0)).base().abs() < 1e-9);
    }

    /// A dilution that is too strong, weakened as it is said, is the dose by the
    /// usual drops.
    #[test]
    fn weakened_it_is_counted(one in drop_mass(), share in 0.05..0.99_f64, part in 0.01..0.99_f64) {
        let leaf = Mass::of_base(10e-3);
        let mut question = dilution(leaf, one, 1.0, share * part);
        question.strong = Strong::Ready(Measured::exact(Ratio::of_base(share)));
        let weaker = question.plan().expect("a plan").weaker.expect("less than a drop");
        let mixed = share * (weaker.bottle / (weaker.bottle + weaker.carrier)).base();
        prop_assert!((mixed / weaker.strength.base() - 1.0).abs() < 1e-9);
        question.strong = Strong::Ready(Measured::exact(weaker.strength));
        let plan = question.plan().expect("a plan");
        prop_assert!((plan.drops_exact.best().count() / USUAL_DROPS - 1.0).abs() < 1e-9);
        prop_assert!(plan.weaker.is_none());
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

/// A drop by its volume has the mass that the carrier's density gives it, and the
/// doubt of both: 5 % and 1 % are √26 %.
#[test]
fn a_drop_by_volume_goes_by_the_carrier() {
    let spirit = gutta::measure::Density::of_base(900.0);
    let rate = Measured::new(
        gutta::measure::DropsPerVolume::of_base(20e6),
        1e6,
        f64::INFINITY,
    );
    let mut question = dilution(Mass::of_base(10e-3), DropMass::of_base(45e-6), 4.0, 0.2);
    question.drop = Drop::of_rate(rate, spirit).unwrap();
    assert!(question.plan().is_err());
    question.density = Some(Measured::new(spirit, 9.0, f64::INFINITY));
    let plan = question.plan().unwrap();
    assert!((plan.one.best().base() / 45e-6 - 1.0).abs() < ROUNDING);
    let relative = plan.one.u() / plan.one.best().base();
    assert!((relative - 0.0026_f64.sqrt()).abs() < 1e-12, "{relative}");
    let simulation = question.simulate().unwrap();
    let (mut columns, outside) = simulation.columns(200_000, 5);
    assert_eq!(outside, 0);
    let at = simulation.names().iter().position(|n| *n == "dose_reached");
    let dose = Spread::of(&mut columns[at.unwrap()]);
    let counted = plan.counted.unwrap();
    // The spread as 200 000 draws show it; 5 % of a reciprocal is 1 % wider.
    assert!((dose.u / counted.dose.u() - 1.0).abs() < 0.03, "{}", dose.u);
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
