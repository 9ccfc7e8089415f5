//! Liquids with names: poured together, made weaker, dropped from one tip.

use gutta::Composition;
use gutta::bench::{
    Added, Brought, Calibrating, Dropped, Falling, Make, Mixture, Readings, ToStrength, Weighing,
};
use gutta::matter::{DensityOf, Liquid, Part, Solute, alcohol, water};
use gutta::measure::{Mass, Measured, Ratio, Scalar, Spread, Temperature, Volume};
use proptest::prelude::*;

use super::strategies::mass;

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-12;

fn solute() -> impl Strategy<Value = Solute> {
    prop::sample::select(Solute::ALL.to_vec())
}

/// A temperature that every density is known at, 15 to 30 °C.
fn temperature() -> impl Strategy<Value = Temperature> {
    (288.15..303.15).prop_map(Temperature::of_base)
}

/// One thing in water, of a share with a doubt.
fn solution() -> impl Strategy<Value = (Solute, f64)> {
    (solute(), 0.02..0.84)
}

fn liquid((solute, share): (Solute, f64)) -> Liquid {
    let share = Measured::new(Ratio::of_base(share), 0.01 * share, f64::INFINITY);
    let composition = Composition::solution(solute, share).expect("a share");
    Liquid::own("mine", Some(composition), None)
}

fn weighed(liquid: &Liquid, mass: Mass) -> Brought {
    Brought::of(liquid, Measured::exact(mass)).expect("it is known what is in it")
}

/// A name that is read, and how strong it says it is.
fn name() -> impl Strategy<Value = String> {
    let percent = 1_u32..=100;
    prop_oneof![
        percent.clone().prop_map(|p| format!("alcohol {p}% vol")),
        percent.clone().prop_map(|p| format!("Ethanol {p} % w/w")),
        percent
            .clone()
            .prop_map(|p| format!("propylene glycol {p}%")),
        percent
            .clone()
            .prop_map(|p| format!("glycerin {p}% by mass")),
        (1_u32..=85).prop_map(|p| format!("syrup {p} °Bx")),
        (1_u32..=40).prop_map(|p| format!("honey {p}% water")),
        (1_u32..=99).prop_map(|p| format!("alcohol {p}% ± 0.5% vol")),
        Just("molasses".to_owned()),
        Just("water".to_owned()),
        Just("glycol".to_owned()),
    ]
}

proptest! {
    #[test]
    fn a_name_is_read_as_it_is_said(name in name()) {
        let liquid = Liquid::named(&name).expect("a strength").expect("a known name");
        let again = Liquid::named(&liquid.name).expect("a strength").expect("a known name");
        prop_assert_eq!(liquid, again);
    }

    #[test]
    fn pouring_together_conserves_each_part(
        parts in prop::collection::vec((solution(), mass()), 1..5),
    ) {
        let liquids: Vec<Brought> =
            parts.iter().map(|(one, mass)| weighed(&liquid(*one), *mass)).collect();
        let mixed = Mixture::new(liquids).mixed().expect("known liquids");
        let total: f64 = parts.iter().map(|(_, mass)| mass.base()).sum();
        prop_assert!((mixed.mass.best().base() / total - 1.0).abs() < ROUNDING);
        for part in Part::ALL {
            let poured: f64 = parts
                .iter()
                .map(|((solute, share), mass)| {
                    let own = if solute.part() == part { *share } else { 0.0 };
                    let water = if part == Part::Water { 1.0 - share } else { 0.0 };
                    mass.base() * (own + water)
                })
                .sum();
            let found = mixed.shares.iter().find(|(p, _)| *p == part);
            let there = found.map_or(0.0, |(_, share)| share.best().base() * total);
            prop_assert!((there - poured).abs() <= ROUNDING * total, "{part:?}");
        }
    }

    /// What is made weaker and poured together is the same liquid; with the
    /// water taken away again it is as strong as it was.
    #[test]
    fn weaker_and_stronger_again(
        solute in solute(),
        strong in 0.30..0.84_f64,
        part in 0.05..0.95_f64,
        mass in mass(),
        at in temperature(),
    ) {
        let weak = strong * part;
        let exact = |share| Composition::solution(solute, Measured::exact(Ratio::of_base(share)));
        let own = |share| Liquid::own("mine", Some(exact(share).expect("a share")), None);
        let temperature = Measured::exact(at);
        let plan = ToStrength {
            temperature,
            ..ToStrength::new(own(strong), own(weak), Make::Weaker(Added::Mass(Measured::exact(mass))))
        }
        .plan()
        .expect("weaker");
        let (stock, water) = (plan.stronger.best(), plan.water.best());
        let total = plan.weaker.best();
        prop_assert!(((stock + water) / total - Ratio::of_base(1.0)).base().abs() < ROUNDING);
        // The dissolved is that of the stock; without the water it is as strong.
        prop_assert!((total.base() * weak / (stock.base() * strong) - 1.0).abs() < ROUNDING);
        prop_assert!((total.base() * weak / (total - water).base() - strong).abs() < ROUNDING);
        // The other way round, from the stock.
        let from = ToStrength {
            temperature,
            ..ToStrength::new(own(strong), own(weak), Make::OfStronger(Added::Mass(Measured::exact(stock))))
        }
        .plan()
        .expect("weaker");
        prop_assert!((from.weaker.best().base() / total.base() - 1.0).abs() < ROUNDING);
        // Poured together they measure what the plan says.
        let mixture = Mixture {
            liquids: vec![weighed(&own(strong), stock), weighed(&Liquid::water(), water)],
            temperature,
        };
        let mixed = mixture.mixed().expect("known liquids");
        let volume: Volume = mixed.volume.expect("one thing in water").best();
        prop_assert!((volume / plan.weaker_volume.best()).base() - 1.0 < 1e-9);
        let contraction = mixed.contraction.expect("one thing in water").best();
        let planned = plan.contraction.best();
        prop_assert!((contraction - planned).base().abs() < 1e-9 * volume.base());
    }

    /// The doubt of a density is the slope to the share times its u, by central
    /// differences.
    #[test]
    fn a_density_carries_the_doubt_of_the_share(one in solution(), at in temperature()) {
        let (solute, share) = one;
        let density = |share: f64| solute.density(Ratio::of_base(share), at).value;
        let h = 1e-6;
        let slope = (density(share + h) - density(share - h)) / (2.0 * h);
        let table = solute.density_u() * density(share);
        let found = liquid(one).density(&Measured::exact(at)).expect("known");
        let expected = (slope * 0.01 * share).hypot(table);
        prop_assert!((found.u() / expected - 1.0).abs() < 1e-5, "{} {expected}", found.u());
        prop_assert_eq!(found.best().value, density(share));
    }

    /// What holds nothing is water. OIML R 22 has its own water, 0.0055 kg/m³
    /// from Tanaka's at most between 15 and 30 °C.
    #[test]
    fn nothing_in_water_is_water(solute in solute(), at in temperature()) {
        let none = solute.density(Ratio::of_base(0.0), at).value;
        prop_assert!((none - water::density(at).value).abs() < 0.02, "{none}");
    }

    /// A drop from the tip is the lighter, the stronger the spirit; and the
    /// doubt of a strength goes into it, by central differences.
    #[test]
    fn stronger_spirit_drops_lighter(share in 0.2..0.9_f64, grams in 0.75..1.2_f64) {
        let falling = |share: f64, u: f64| {
            let share = Measured::new(Ratio::of_base(share), u, f64::INFINITY);
            let composition = Composition::spirit(share).expect("a share");
            let weighing = Weighing {
                drops: 20,
                amount: Measured::exact(Mass::of_base(1e-3 * grams)),
                last_place: Mass::of_base(1e-6),
            };
            let from = Calibrating::new(Readings::Singly(vec![weighing]), Dropped::Water);
            let to = Liquid::own("spirit", Some(composition), None);
            Falling { from, to }.predict().expect("a usual tip")
        };
        let drop = |share: f64| falling(share, 0.0).drop_mass.best().base();
        prop_assert!(drop(share + 0.01) < drop(share));
        let h = 1e-6;
        let slope = (drop(share + h) - drop(share - h)) / (2.0 * h);
        let u = 0.01;
        let with = falling(share, u).drop_mass;
        let of_share: f64 = with
            .terms()
            .iter()
            .filter(|term| term.input.contains("alcohol"))
            .map(|term| term.contribution)
            .sum();
        prop_assert!((of_share / (slope * u) - 1.0).abs() < 1e-5, "{of_share} {}", slope * u);
        // The formula itself is known to 5 %.
        prop_assert!(with.u() >= 0.05 * with.best().base());
    }

    /// By volume and by mass are one strength, both ways, to the last bits of
    /// the halving.
    #[test]
    fn strength_by_volume_and_by_mass(percent in 0.1..100.0_f64) {
        let strength = Measured::exact(Ratio::of_base(percent / 100.0));
        let by_mass = alcohol::share_by_mass(&strength).expect("a strength").value();
        let back = alcohol::share_by_volume(by_mass);
        prop_assert!((back.base() - percent / 100.0).abs() < 1e-12);
    }
}

/// Of liquids whose mixture is not known the volumes are added, and the doubt
/// says so; where a density is not known there is no volume.
#[test]
fn an_unknown_mixture_says_so() {
    let grams = |g: f64| Mass::of_base(1e-3 * g);
    let named = |name: &str| Liquid::named(name).unwrap().unwrap();
    let mixed = |names: [&str; 2]| {
        let liquids = names.map(|name| weighed(&named(name), grams(50.0)));
        Mixture::new(liquids.to_vec()).mixed().unwrap()
    };
    let added = mixed(["glycol 50%", "alcohol 40% vol"]);
    assert!(added.is_added_up && added.contraction.is_none() && added.strength.is_none());
    let volume = added.volume.unwrap();
    assert!(volume.u() > 0.019 * volume.best().base());
    let unknown = mixed(["molasses", "alcohol 40% vol"]);
    assert!(unknown.volume.is_none() && unknown.density.is_none() && !unknown.is_added_up);
    // Honey is sugar and water, and does not become syrup by water alone.
    let honey = mixed(["honey 17% water", "water"]);
    assert!(honey.is_added_up);
    assert_eq!(named("molasses").density, DensityOf::Unknown);
}

/// Draws of the drop agree with the estimate: its middle within three standard
/// errors, its spread within 3 %.
#[test]
fn draws_of_the_other_drop_agree() {
    let weighing = Weighing {
        drops: 20,
        amount: Measured::new(Mass::of_base(0.95e-3), 0.004e-3, f64::INFINITY),
        last_place: Mass::of_base(1e-5),
    };
    let falling = Falling {
        from: Calibrating::new(Readings::Singly(vec![weighing]), Dropped::Water),
        to: Liquid::named("alcohol 60% ± 2% vol").unwrap().unwrap(),
    };
    let predicted = falling.predict().unwrap();
    let simulation = falling.simulate().unwrap();
    let (mut columns, outside) = simulation.columns(200_000, 7);
    assert_eq!(outside, 0);
    let at = simulation
        .names()
        .iter()
        .position(|name| *name == "then_drop_mass")
        .unwrap();
    let spread = Spread::of(&mut columns[at]);
    let best = predicted.drop_mass.best().base();
    let u = predicted.drop_mass.u();
    assert!((spread.mean - best).abs() < 3.0 * u / 200_000_f64.sqrt() + 0.002 * best);
    assert!((spread.u / u - 1.0).abs() < 0.03, "{} {u}", spread.u);
}
