//! Casing conserves what goes on, and its rates are one rate on other bases.

use gutta::bench::{Brought, LeafBasis, Rate, RateOf, known_by_solids};
use gutta::matter::Part;
use gutta::measure::{Mass, Measured, Ratio, Scalar, Scale};
use gutta::{Casing, Composition, Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::strategies::{brought, mass, moisture};
use super::terms::{Answer, Input, between, hold, numbers};

/// A few roundings of numbers of the same size.
const ROUNDING: f64 = 1e-12;

fn near(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= ROUNDING * scale.abs().max(f64::MIN_POSITIVE)
}

fn exact<S: Scalar>(value: S) -> Measured<S> {
    Measured::exact(value)
}

fn rate() -> impl Strategy<Value = Rate> {
    let of = prop_oneof![Just(RateOf::Liquid), Just(RateOf::Solids)];
    let basis = prop_oneof![Just(LeafBasis::AsWeighed), Just(LeafBasis::Dry)];
    (0.005..0.3, of, basis).prop_map(|(share, of, basis)| Rate {
        share: Ratio::of_base(share),
        of,
        basis,
    })
}

/// One to three ingredients, each with something that stays.
fn recipe() -> impl Strategy<Value = Vec<Brought>> {
    prop::collection::vec(brought(), 1..4).prop_map(|mut parts| {
        for (i, part) in parts.iter_mut().enumerate() {
            part.name = format!("part {i}");
        }
        parts
    })
}

/// A casing question about leaf that is known exactly.
fn question(leaf: Mass, at: Moisture, recipe: Vec<Brought>, rate: Rate) -> Casing {
    Casing::new(exact(leaf), exact(at), recipe, rate)
}

fn base(mass: &gutta::Estimate<Mass>) -> f64 {
    mass.best().base()
}

/// The liquid of a rate for a recipe.
fn liquid(casing: &Casing, rate: Rate) -> f64 {
    let again = Casing {
        rate,
        ..casing.clone()
    };
    base(&again.cased().expect("solids are there").casing)
}

proptest! {
    /// Leaf, casing and water are what lies in bulk once the carrier is gone,
    /// and that less the water to lose is what is left.
    #[test]
    fn mass_is_conserved(
        leaf in mass(), at in moisture(), recipe in recipe(), rate in rate(),
        wetter in 0.01..0.3, drier in 0.0..1.0, tray in mass(),
    ) {
        let casing = question(leaf, at, recipe, rate);
        let cased = casing.cased().expect("a casing");
        let m = cased.moisture.best().base();
        let bulk = m + (0.95 - m) * wetter;
        let to = Moisture::of_base(bulk * (0.02 + 0.97 * drier));
        let bulk = Moisture::of_base(bulk);
        let casing = Casing {
            bulk: Some(bulk),
            to: Some(to),
            tray: Some(exact(tray)),
            ..casing
        };
        let cased = casing.cased().expect("wet enough");
        let all = leaf.base() + base(&cased.casing);
        let carrier = cased.made.carrier().base();
        let parts: f64 = cased.parts.iter().map(base).sum();
        prop_assert!(near(parts, base(&cased.casing), all));
        prop_assert!(near(base(&cased.solids) + base(&cased.water) + carrier, base(&cased.casing), all));
        prop_assert!(near(base(&cased.mass.net) + carrier, all, all));
        if let Some(at_once) = &cased.at_once {
            prop_assert!(near(base(&at_once.net), all, all));
        }
        let in_bulk = cased.bulk.as_ref().expect("a bulking moisture");
        let water = base(in_bulk.water.as_ref().expect("it was too dry"));
        prop_assert!(near(base(&in_bulk.mass.net), all - carrier + water, all + water));
        prop_assert!(near(in_bulk.moisture.best().base(), bulk.base(), 1.0));
        let dried = cased.dried.as_ref().expect("a moisture to dry back to");
        let end = base(&dried.mass.net);
        prop_assert!(near(end + base(&dried.water), base(&in_bulk.mass.net), all + water));
        // What stays is the dry matter of both.
        let stays = (cased.leaf.dry_matter() + cased.made.dry_matter()).base();
        prop_assert!(near(end * (1.0 - to.base()), stays, all));
        for on_scale in [&cased.mass, &in_bulk.mass, &dried.mass] {
            let gross = base(on_scale.gross.as_ref().expect("a tray"));
            prop_assert!(near(gross, base(&on_scale.net) + tray.base(), gross));
        }
    }

    /// A rate said of the other part of the casing, or on the other leaf, and
    /// back again, is the same casing.
    #[test]
    fn a_rate_on_another_basis_is_the_same_casing(
        leaf in mass(), at in moisture(), recipe in recipe(), rate in rate(),
    ) {
        let casing = question(leaf, at, recipe, rate);
        let cased = casing.cased().expect("a casing");
        let wanted = base(&cased.casing);
        for of in [RateOf::Liquid, RateOf::Solids] {
            for basis in [LeafBasis::AsWeighed, LeafBasis::Dry] {
                let counted = match of {
                    RateOf::Liquid => cased.casing.best(),
                    RateOf::Solids => cased.solids.best(),
                };
                let on = match basis {
                    LeafBasis::AsWeighed => leaf,
                    LeafBasis::Dry => cased.leaf.dry_leaf(),
                };
                let share: Ratio = counted / on;
                prop_assume!(share.base() <= 1.0);
                let said = Rate { share, of, basis };
                prop_assert!(near(liquid(&casing, said), wanted, wanted), "{said:?}");
            }
        }
    }

    /// With nothing in it but solids, liquid and solids are the same.
    #[test]
    fn a_casing_of_solids_alone_has_one_reading(leaf in mass(), at in moisture(), rate in rate()) {
        let solids = known_by_solids(&exact(Ratio::of_base(1.0))).expect("a share");
        let casing = question(leaf, at, vec![solids], rate);
        let [a, b] = [RateOf::Liquid, RateOf::Solids].map(|of| liquid(&casing, Rate { of, ..rate }));
        prop_assert!(near(a, b, a));
    }

    /// The four readings are to each other as the solids and the dry leaf are to
    /// the whole.
    #[test]
    fn the_readings_differ_by_solids_and_dry_leaf(
        leaf in mass(), at in moisture(), solids in 0.05..0.95, share in 0.005..0.05,
    ) {
        let recipe = vec![known_by_solids(&exact(Ratio::of_base(solids))).expect("a share")];
        let readings = Rate::readings(Ratio::of_base(share), None, None);
        prop_assert_eq!(readings.len(), 4);
        let casing = question(leaf, at, recipe, readings[0]);
        let as_weighed = share * leaf.base();
        let dry = as_weighed * (1.0 - at.base());
        let expected = [as_weighed, dry, as_weighed / solids, dry / solids];
        for (rate, expected) in readings.into_iter().zip(expected) {
            prop_assert!(near(liquid(&casing, rate), expected, expected), "{rate:?}");
        }
    }

    #[test]
    fn more_leaf_takes_more_casing(
        leaf in mass(), at in moisture(), recipe in recipe(), rate in rate(), factor in 0.01..100.0,
    ) {
        prop_assume!(leaf.base() * factor < 1e5);
        let of = |leaf: Mass| question(leaf, at, recipe.clone(), rate).cased().expect("a casing");
        let (small, large) = (of(leaf), of(leaf * Ratio::of_base(factor)));
        let (a, b) = (base(&small.casing) * factor, base(&large.casing));
        prop_assert!(near(a, b, b));
        for (a, b) in small.parts.iter().zip(&large.parts) {
            prop_assert!(near(base(a) * factor, base(b), base(b)));
        }
        prop_assert!(near(small.moisture.best().base(), large.moisture.best().base(), 1.0));
    }

    /// A recipe is a recipe at any size.
    #[test]
    fn the_size_of_a_recipe_is_none_of_the_question(
        leaf in mass(), at in moisture(), rate in rate(), factor in 0.01..100.0,
        each in prop::collection::vec((0.001..1.0, 0.0..0.8), 1..4),
    ) {
        let recipe = |factor: f64| -> Vec<Brought> {
            let parts = each.iter().enumerate();
            parts.map(|(i, (mass, water))| {
                let water = (Part::Water, exact(Ratio::of_base(*water)));
                let what = Composition::new(&[water]).expect("less than the whole");
                Brought::weighed(format!("part {i}"), exact(Mass::of_base(mass * factor)), what)
            }).collect()
        };
        let of = |factor| question(leaf, at, recipe(factor), rate).cased().expect("a casing");
        let (a, b) = (of(1.0), of(factor));
        for (a, b) in a.parts.iter().zip(&b.parts) {
            prop_assert!(near(base(a), base(b), base(b)));
        }
        prop_assert!(near(base(&a.casing), base(&b.casing), base(&b.casing)));
    }

    /// Casing that was weighed out is casing that goes on: the water to bulk,
    /// its doubt and what that is from are those of `gutta water` with the same
    /// casing brought.
    #[test]
    fn water_to_bulk_is_water_to_a_target(
        leaf in mass(), at in moisture(), solids in 0.2..0.9, rate in rate(),
        points in 0.01..0.2, u in 0.001..0.01, step in 1e-6..1.0_f64,
    ) {
        let recipe = known_by_solids(&Measured::new(Ratio::of_base(solids), u, f64::INFINITY))
            .expect("a share");
        // A scale of a step that casing and water can be weighed in.
        let bare = question(leaf, at, vec![recipe.clone()], rate).cased().expect("a casing");
        let water = leaf.base() * points;
        let division: f64 = (step * base(&bare.casing).min(water) * 0.5).min(1.0);
        let scale = Scale::new(Mass::of_base(division)).expect("a scale");
        let (leaf, at) = (scale.weighed(leaf), Measured::new(at, u, f64::INFINITY));
        let mut casing = Casing {
            scale: Some(scale),
            ..Casing::new(leaf, at, vec![recipe.clone()], rate)
        };
        let cased = casing.cased().expect("a casing");
        let bulk = Moisture::of_base(cased.moisture.best().base() + points);
        casing.bulk = Some(bulk);
        let in_bulk = casing.cased().expect("a casing").bulk.expect("a bulking moisture");
        let water = in_bulk.water.expect("it was too dry");

        let mut watering = Watering::new(leaf, at, bulk);
        let weighed = scale.weighed(cased.casing.best());
        watering.brought = vec![Brought::weighed("casing", weighed, recipe.composition)];
        let WateringPlan::Add(plan) = watering.plan().expect("a plan") else {
            return Err(TestCaseError::fail("water is to be added"));
        };
        let size = leaf.value().base();
        prop_assert!(near(base(&water), base(&plan.water), size));
        prop_assert!(near(water.u(), plan.water.u(), size));
    }

    /// What the rate asks for, term by term.
    #[test]
    fn each_term_of_what_is_asked_for(x in numbers::<6>(), rate in rate()) {
        let inputs = [
            Input::new("leaf", between(x[0], 0.1, 5.0), 0.001),
            Input::new("moisture now", between(x[1], 0.05, 0.3), 0.04),
            Input::new("syrup", between(x[2], 0.05, 0.5), 0.02),
            Input::new("water in syrup", between(x[3], 0.1, 0.5), 0.03),
            Input::new("alcohol in syrup", between(x[4], 0.05, 0.3), 0.03),
            Input::new("glycerine", between(x[5], 0.05, 0.5), 0.02),
        ];
        hold(&inputs, |inputs| {
            let [leaf, at, syrup, water, alcohol, glycerine] = inputs else {
                unreachable!("six inputs")
            };
            let of = |parts: &[(Part, Measured<Ratio>)]| Composition::new(parts).expect("a whole");
            let wet = of(&[(Part::Water, water.measured()), (Part::Alcohol, alcohol.measured())]);
            let dry = of(&[(Part::Glycerine, exact(Ratio::of_base(1.0)))]);
            let recipe = vec![
                Brought::weighed("syrup", syrup.measured(), wet),
                Brought::weighed("glycerine", glycerine.measured(), dry),
            ];
            let casing = Casing::new(leaf.measured(), at.measured(), recipe, rate);
            let cased = casing.cased().expect("a casing");
            let mut answer = Answer::default();
            answer.figure("casing", &cased.casing);
            answer.figure("syrup", &cased.parts[0]);
            answer.figure("glycerine", &cased.parts[1]);
            answer
        })?;
    }
}

/// What the casing brings is that of what was weighed out: of 200 g, 60 % solids
/// with u = 1 %, 2 g of solids and of water, and nothing of the leaf's doubt.
#[test]
fn what_the_casing_brings_is_of_what_was_weighed_out() {
    let share = Measured::new(Ratio::of_base(0.6), 0.01, f64::INFINITY);
    let recipe = vec![known_by_solids(&share).expect("a share")];
    let leaf = Measured::new(Mass::of_base(2.5), 0.05, f64::INFINITY);
    let at = Measured::new(Moisture::of_base(0.125), 0.01, f64::INFINITY);
    let rate = Rate {
        share: Ratio::of_base(0.08),
        of: RateOf::Liquid,
        basis: LeafBasis::AsWeighed,
    };
    let cased = Casing::new(leaf, at, recipe, rate)
        .cased()
        .expect("a casing");
    assert!((cased.solids.u() - 2e-3).abs() < 1e-12);
    assert!((cased.water.u() - 2e-3).abs() < 1e-12);
    // The casing that is asked for goes with the leaf: 8 % of 50 g.
    assert!((cased.casing.u() - 4e-3).abs() < 1e-12);
}

/// By hand: 2700 g of leaf with 392.5 g of water, of which the leaf's own 312.5
/// moves by 25 g a point: 25/2700 of a point, whatever the casing was to be.
#[test]
fn the_doubt_after_casing_is_that_of_the_leaf_alone() {
    let share = Ratio::of_base(0.08);
    for rate in Rate::readings(share, None, None) {
        let solids = known_by_solids(&exact(Ratio::of_base(0.6))).expect("a share");
        let at = Measured::new(Moisture::of_base(0.125), 0.01, f64::INFINITY);
        let casing = Casing::new(exact(Mass::of_base(2.5)), at, vec![solids], rate);
        let cased = casing.cased().expect("a casing");
        let expected = 2.5 * 0.01 / base(&cased.mass.net);
        // A handful of roundings.
        assert!((cased.moisture.u() - expected).abs() < 1e-14, "{rate:?}");
        // The scale shows what was put on it, whatever its moisture.
        assert_eq!(cased.mass.net.u(), 0.0);
    }
}

#[test]
fn what_cannot_be_cased_is_refused() {
    let rate = |of| Rate {
        share: Ratio::of_base(0.08),
        of,
        basis: LeafBasis::AsWeighed,
    };
    let (leaf, at) = (Mass::of_base(2.5), Moisture::of_base(0.125));
    let water = Brought::weighed("water", exact(Mass::of_base(1.0)), Composition::water());
    let wet = question(leaf, at, vec![water], rate(RateOf::Solids));
    assert_eq!(wet.has_solids(), Ok(false));
    let error = wet.cased().unwrap_err();
    assert!(error.is_refusal());
    assert_eq!(
        error.to_string(),
        "nothing in this casing stays: no amount of it makes a rate of solids"
    );
    let solids = || vec![known_by_solids(&exact(Ratio::of_base(0.6))).expect("a share")];
    for (bulk, said) in [
        (
            None,
            "the cased leaf is at 14.54 %, drier than 18 %: it cannot be dried back to that",
        ),
        (
            Some(0.17),
            "leaf in bulk is at 17 %, drier than 18 %: it cannot be dried back to that",
        ),
    ] {
        let casing = Casing {
            bulk: bulk.map(Moisture::of_base),
            to: Some(Moisture::of_base(0.18)),
            ..question(leaf, at, solids(), rate(RateOf::Liquid))
        };
        let error = casing.cased().unwrap_err();
        assert!(error.is_refusal());
        assert_eq!(error.to_string(), said);
        assert_eq!(casing.simulate().err(), Some(error));
    }
    let bare = question(leaf, at, Vec::new(), rate(RateOf::Liquid));
    assert_eq!(
        bare.cased().unwrap_err().to_string(),
        "what the casing is made of is missing"
    );
    for solids in [0.0, 1.01, f64::NAN] {
        let error = known_by_solids(&exact(Ratio::of_base(solids))).unwrap_err();
        assert!(!error.is_refusal(), "{solids}");
    }
}

/// Leaf that the casing has made wet enough takes no water, and is dried back
/// from where it is; at its target there is nothing to lose.
#[test]
fn leaf_that_is_wet_enough_takes_no_water() {
    let rate = Rate {
        share: Ratio::of_base(0.08),
        of: RateOf::Liquid,
        basis: LeafBasis::AsWeighed,
    };
    let (leaf, at) = (Mass::of_base(2.5), Moisture::of_base(0.125));
    let solids = vec![known_by_solids(&exact(Ratio::of_base(0.6))).expect("a share")];
    let mut casing = question(leaf, at, solids, rate);
    casing.bulk = Some(Moisture::of_base(0.14));
    casing.to = Some(Moisture::of_base(0.13));
    let cased = casing.cased().expect("a casing");
    let bulk = cased.bulk.expect("a bulking moisture");
    assert!(bulk.water.is_none());
    assert_eq!(bulk.mass.net.best(), cased.mass.net.best());
    assert_eq!(bulk.moisture.best(), cased.moisture.best());
    // By hand: 2700 g at 392.5 g of water, to 2307.5/0.87.
    let end = base(&cased.dried.expect("a moisture to dry back to").mass.net);
    assert!((end - 2.3075 / 0.87).abs() < 1e-12);

    casing.to = Some(cased.moisture.best());
    casing.at = Measured::new(at, 0.01, f64::INFINITY);
    let dried = casing.cased().expect("a casing").dried;
    let dried = dried.expect("a moisture to dry back to");
    assert_eq!((dried.water.best().base(), dried.water.u()), (0.0, 0.0));
}
