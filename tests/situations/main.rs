//! The worked situations, through the library.
//!
//! They are invented and worked by hand; `reference-data/situations/README.md`
//! says how. What is given is read from the table; four significant digits are
//! asked for, and whole numbers of drops exactly. Each trap is a mistake that
//! people make: it must not come out, and its own wrong sum must give it.

mod batches;
mod casing;
mod formulas;
mod record;
mod repairs;
mod small_doses;

use gutta::bench::{
    Added, Asked, Batch, BatchValue, Brought, Calibrating, Dosing, Drop, Dropped, Finding,
    FirstRule, KnownAddition, LeafBasis, LeafWeighed, Readings, Weighing,
};
use gutta::matter::{Jar, LotOfLeaf, Mixing, OvenDish, OvenTest, Part};
use gutta::measure::{
    Density, DropMass, Drops, Kind, MAD_FACTOR, Mass, Measured, Ratio, Scalar, Scale, Unit, median,
    median_deviation, read,
};
use gutta::{Composition, DryBasis, Moisture, Watering};
use gutta_tests::assert_close;
use gutta_tests::plans::{add, dry};
use gutta_tests::situations::{Situation, ids, situation};

fn mass(text: &str) -> Measured<Mass> {
    read(text, &[Kind::Mass]).unwrap().mass().unwrap()
}

fn moisture(text: &str) -> Measured<Moisture> {
    Moisture::read(&read(text, &[Kind::Share]).unwrap()).unwrap()
}

fn target(text: &str) -> Moisture {
    Moisture::read_target(&read(text, &[Kind::Share]).unwrap()).unwrap()
}

fn density(text: &str) -> Measured<Density> {
    read(text, &[Kind::Density]).unwrap().density().unwrap()
}

fn drop(text: &str) -> Drop {
    Drop::of_mass(mass(text).through::<DropMass>(DropMass::new)).unwrap()
}

fn grams(mass: Mass) -> f64 {
    Unit::GRAM.from_base(mass.base())
}

fn percent(moisture: Moisture) -> f64 {
    moisture.ratio().value * 100.0
}

fn millilitres<S: Scalar>(volume: S) -> f64 {
    Unit::MILLILITRE.from_base(volume.base())
}

fn watering(leaf: &str, at: &str, to: &str) -> Watering {
    Watering::new(mass(leaf), moisture(at), target(to))
}

/// The leaf, moisture and target that a situation gives.
fn given(s: &Situation) -> Watering {
    watering(&s.typed("leaf"), &s.typed("moisture"), &s.typed("target"))
}

#[test]
fn s01_water_for_a_bench_trial_in_whole_drops() {
    let s = situation("S01");
    let mut trial = given(&s);
    trial.drop = Some(drop(&s.typed("water_drop")));
    let plan = add(&trial);
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    let drops = plan.drops.unwrap();
    s.assert_answer("drops_exact", drops.exact.best().count());
    s.assert_answer("drops_whole", drops.whole.count());
    s.assert_answer("water_whole_drops", grams(drops.mass.best()));
    s.assert_answer("moisture_reached", percent(drops.moisture.best()));
    s.assert_all_held();
}

#[test]
fn s02_water_with_and_without_the_doubt_of_the_moisture() {
    let s = situation("S02");
    let doubtful = format!(
        "{} ± {} %",
        s.typed("moisture"),
        s.given("moisture_uncertainty")
    );
    let (leaf, target) = (s.typed("leaf"), s.typed("target"));
    let plan = add(&watering(&leaf, &doubtful, &target));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    s.assert_answer("final_weight", grams(plan.final_mass.best()));
    let half = plan.water.measured().half_width_95();
    s.assert_answer("water_uncertainty", Unit::GRAM.from_base(half));
    // u = M u_m/(1 − t) = 340 g · 0.01/1.959964/0.85, by hand: half of the last
    // digit.
    assert_close("u", Unit::GRAM.from_base(plan.water.u()), 2.0409, 5e-5);

    // Without the doubt: the same water, three quarters of it first.
    let sure = add(&given(&s));
    assert_eq!(sure.first.rule, FirstRule::ThreeQuarters);
    s.assert_answer("water", grams(sure.water.best()));
    s.assert_answer("first_three_quarters", grams(sure.first.water));
    assert_eq!(sure.water.u(), 0.0);

    // Points times mass lands short.
    let points = (s.given("target") - s.given("moisture")) / 100.0;
    let naive = s.given("leaf") * points;
    s.assert_trap_is("water_naive", grams(sure.water.best()), naive);
    let wetted_by = |water: f64| {
        let water = Added::Mass(Measured::exact(Mass::of_base(Unit::GRAM.to_base(water))));
        let wetted = KnownAddition::new(mass(&leaf), moisture(&s.typed("moisture")), water);
        percent(wetted.after().unwrap().moisture.best())
    };
    let reached = wetted_by(grams(sure.water.best()));
    s.assert_trap_is("moisture_if_naive", reached, wetted_by(naive));
    s.assert_all_held();
}

/// w = M (T − m − 1.645 u)/(1 − T), worked by hand to a hundredth of a gram.
#[test]
fn the_first_addition_by_the_doubt_of_the_moisture() {
    for (at, band, expected, rule) in [
        ("10.8 % ± 1.0 %", 0.005, 15.53, FirstRule::WithinBand),
        ("10.8 % ± 1.0 %", 0.01, 16.80, FirstRule::AllAtOnce),
        ("10.8 % ± 3.0 %", 0.01, 10.86, FirstRule::WithinBand),
        ("10.8 % ± 8 %", 0.01, 0.0, FirstRule::TooLoose),
    ] {
        let mut jar = watering("340 g", at, "15 %");
        jar.band = Ratio::of_base(band);
        let first = add(&jar).first;
        assert_close(at, grams(first.water), expected, 0.005);
        assert_eq!(first.rule, rule, "{at}");
    }
}

#[test]
fn s03_pounds_ounces_and_teaspoons() {
    let s = situation("S03");
    let plan = add(&given(&s));
    s.assert_answer("leaf_metric", grams(mass(&s.typed("leaf")).value()));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    s.assert_answer(
        "teaspoons",
        Unit::TEASPOON.from_base(plan.volume.best().base()),
    );
    s.assert_all_held();
}

fn brought(name: &str, amount: &str, parts: &[(Part, &str)]) -> Brought {
    let parts: Vec<_> = parts
        .iter()
        .map(|(part, share)| {
            let share = read(share, &[Kind::Share]).unwrap().share().unwrap();
            (*part, share)
        })
        .collect();
    Brought::weighed(name, mass(amount), Composition::new(&parts).unwrap())
}

#[test]
fn s04_casing_and_flavouring_bring_water_and_the_carrier_goes() {
    let s = situation("S04");
    let mut batch = given(&s);
    let casing_water = s.typed("casing_water");
    let (water, alcohol) = (s.typed("flavouring_water"), s.typed("flavouring_alcohol"));
    batch.brought = vec![
        brought(
            "casing",
            &s.typed("casing"),
            &[(Part::Water, casing_water.as_str())],
        ),
        brought(
            "flavouring",
            &s.typed("flavouring"),
            &[
                (Part::Water, water.as_str()),
                (Part::Alcohol, alcohol.as_str()),
            ],
        ),
    ];
    // What the parts leave is what is given to stay.
    let stays = batch.brought[1].composition.solids().value * 100.0;
    assert_close("stays", stays, s.given("flavouring_nonvolatile"), 1e-12);
    let plan = add(&batch);
    s.assert_answer("water_already_there", grams(plan.pile.water()));
    s.assert_answer("nonwater_solids", grams(plan.pile.dry_matter()));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    let at_once = plan.mass_at_once.as_ref().unwrap().best();
    s.assert_answer("weight_straight_after_mixing", grams(at_once));
    s.assert_answer("weight_when_alcohol_gone", grams(plan.final_mass.best()));

    // The water of the leaf alone.
    let naive = add(&given(&s)).water.best();
    s.assert_trap_is("water_naive", grams(plan.water.best()), grams(naive));
    let reached = |water| percent(plan.pile.with_water(water).aired().moisture());
    s.assert_trap_is(
        "moisture_if_naive",
        reached(plan.water.best()),
        reached(naive),
    );
    s.assert_all_held();
}

#[test]
fn s05_dry_down_by_weight() {
    let s = situation("S05");
    let mut tray = given(&s);
    tray.tray = Some(mass(&s.typed("tray_tare")));
    let plan = dry(&tray);
    s.assert_answer("dry_matter", grams(plan.pile.dry_matter()));
    s.assert_answer("stop_net", grams(plan.final_mass.best()));
    s.assert_answer("stop_gross", grams(plan.final_gross.unwrap().best()));
    s.assert_answer("water_to_lose", grams(plan.water.best()));
    s.assert_all_held();
}

#[test]
fn s07_a_dropper_with_a_miscounted_weighing() {
    let s = situation("S07");
    let weighings = [1, 2, 3, 4, 5, 6].map(|i| s.given(&format!("weighing_{i}")));
    let count = u32::try_from(Drops::new(s.given("drops_per_weighing")).whole()).unwrap();
    let readings = weighings
        .map(|g| Weighing {
            drops: count,
            amount: Measured::exact(Mass::of_base(Unit::GRAM.to_base(g))),
            last_place: Mass::of_base(1e-6),
        })
        .to_vec();
    let density = density(&s.typed("density"));
    let got = Calibrating::new(Readings::Singly(readings), Dropped::Other(density))
        .calibrate()
        .unwrap();
    let one = |mass: DropMass| grams(mass.mass());
    s.assert_answer("drop_mass", one(got.drop_mass.best()));
    s.assert_answer("drop_volume", millilitres(got.drop_volume.best()));
    s.assert_answer("drops_per_ml", got.drops_per_volume.best().base() / 1e6);
    s.assert_answer("spread_cv", got.spread.unwrap().value * 100.0);
    s.assert_answer(
        "drop_mass_recounted_as_19",
        one(got.drop_mass_recounted.unwrap()),
    );
    assert_eq!(
        got.findings,
        [Finding::Miscount {
            weighing: 4,
            reads_as: 19
        }]
    );
    // The steps that lead to it.
    s.assert_answer("median", median(&weighings));
    let deviation = median_deviation(&weighings);
    s.assert_answer("mad", deviation);
    let gap = median(&weighings) - weighings[3];
    s.assert_answer("modified_z_of_0.581", MAD_FACTOR * gap / deviation);
    s.assert_answer("drops_short", gap / (median(&weighings) / f64::from(count)));

    // With the miscounted weighing kept, against the count that it reads as.
    let kept = one(got.drop_mass_all.unwrap());
    s.assert_trap_is("drop_mass_if_kept", one(got.drop_mass.best()), kept);
    let bias = |of: f64| (of / one(got.drop_mass.best()) - 1.0) * 100.0;
    let recounted = one(got.drop_mass_recounted.unwrap());
    s.assert_trap_is("bias_if_kept", bias(recounted), bias(kept));
    s.assert_all_held();
}

fn s09(s: &Situation) -> Dosing {
    let drops = Drops::new(s.given("bench_drops"));
    Dosing {
        leaf: Some(mass(&s.typed("bench_leaf"))),
        at: Some(moisture(&s.typed("bench_moisture"))),
        drop: Some(drop(&s.typed("bench_drop"))),
        density: Some(density(&s.typed("bench_density"))),
        batch: Some(Batch {
            leaf: mass(&s.typed("batch_leaf")),
            at: BatchValue::Own(moisture(&s.typed("batch_moisture"))),
            density: BatchValue::Own(density(&s.typed("new_density"))),
            drop: BatchValue::Own(drop(&s.typed("workshop_drop"))),
        }),
        ..Dosing::new(Asked::Drops(drops), LeafBasis::Dry)
    }
}

#[test]
fn s09_bench_drops_to_a_batch_with_another_bottle() {
    let s = situation("S09");
    let got = s09(&s).answer().unwrap();
    s.assert_answer("bench_dose_mass", grams(got.mass.best()));
    let as_weighed = got.dose.as_ref().unwrap().best().ratio().value * 1000.0;
    s.assert_answer("bench_dose_as_weighed", as_weighed);
    let dry = got.dose_dry.as_ref().unwrap().best().ratio().value * 1000.0;
    s.assert_answer("bench_dose_dry", dry);
    let batch = got.batch.as_ref().unwrap();
    let flavour = grams(batch.mass.best());
    s.assert_answer("batch_flavour", flavour);
    let volume = millilitres(batch.volume.as_ref().unwrap().best());
    s.assert_answer("batch_flavour_volume", volume);
    s.assert_answer("batch_drops", batch.drops.as_ref().unwrap().best().count());
    s.assert_answer("batch_dry_leaf", flavour / dry * 1000.0);

    // As weighed, though the lots differ; and by volume, though the bottles do.
    let wrong = Dosing {
        basis: LeafBasis::AsWeighed,
        ..s09(&s)
    };
    let as_weighed = grams(wrong.answer().unwrap().batch.unwrap().mass.best());
    s.assert_trap_is("scaled_as_weighed", flavour, as_weighed);
    let dry_leaf = |leaf: &str, at: &str| s.given(leaf) * (1.0 - s.given(at) / 100.0);
    let per_gram =
        millilitres(got.volume.unwrap().best()) / dry_leaf("bench_leaf", "bench_moisture");
    let by_volume = per_gram * dry_leaf("batch_leaf", "batch_moisture");
    s.assert_trap_is("scaled_by_volume", volume, by_volume);
    let heavier = by_volume * s.given("new_density");
    s.assert_trap_is("mass_if_scaled_by_volume", flavour, heavier);
    s.assert_all_held();
}

#[test]
fn s25_wet_basis_and_dry_basis() {
    let s = situation("S25");
    let dry = moisture(&s.typed("moisture_dry_basis")).value();
    s.assert_answer("wet_from_dry", percent(dry));
    let wet = moisture(&s.typed("moisture_wet_basis")).value();
    let dry: DryBasis = wet.on_dry_basis();
    s.assert_answer("dry_from_wet", dry.ratio().value * 100.0);
    s.assert_all_held();
}

#[test]
fn s26_the_bottle_does_not_miscount() {
    let s = situation("S26");
    let dosing = Dosing {
        leaf: Some(mass(&s.typed("trial"))),
        drop: Some(drop(&s.typed("drop"))),
        bottle_loss: Some(mass(&s.typed("bottle_loss"))),
        ..Dosing::new(
            Asked::Drops(Drops::new(s.given("planned_drops"))),
            LeafBasis::AsWeighed,
        )
    };
    let got = dosing.answer().unwrap();
    let given = got.given.unwrap();
    s.assert_answer(
        "drops_really",
        given.drops_exact.as_ref().unwrap().best().count(),
    );
    s.assert_answer("drops_rounded", given.drops().unwrap().count());
    let per_kilogram = |ratio: Ratio| ratio.value * 1000.0;
    s.assert_answer(
        "dose_real",
        per_kilogram(given.dose.unwrap().best().ratio()),
    );
    s.assert_answer(
        "dose_planned",
        per_kilogram(got.dose.unwrap().best().ratio()),
    );
    s.assert_all_held();
}

#[test]
fn s29_moisture_before_a_known_addition() {
    let s = situation("S29");
    let leaf = s.typed("leaf_before_water");
    let wetted = |leaf: &str| {
        let added = Added::Mass(mass(&s.typed("water_added")));
        KnownAddition::new(mass(leaf), moisture(&s.typed("moisture_now")), added)
    };
    let before =
        |leaf: &str, weighed| percent(wetted(leaf).before(weighed).unwrap().moisture.best());
    let got = before(&leaf, LeafWeighed::Before);
    s.assert_answer("moisture_before", got);
    s.assert_all_held();
    // The mistake of the weigher: 300 g, water and all. By hand, M₀ = 286 g:
    // (300 · 0.152 − 14)/286 = 11.0490 %, printed to two decimals.
    let trap = before(&leaf, LeafWeighed::After);
    assert_close("trap", trap, 11.05, 0.005);
    assert!((got - trap).abs() > 0.1, "{got} is the trap");
    // Weighed with the water on it, and said so: the same leaf.
    let with_water = format!(
        "{} g",
        s.given("leaf_before_water") + s.given("water_added")
    );
    assert_close(
        "with water",
        before(&with_water, LeafWeighed::After),
        got,
        1e-9,
    );
}

fn lot(s: &Situation, name: &str) -> LotOfLeaf {
    LotOfLeaf {
        mass: mass(&s.typed(name)),
        at: moisture(&s.typed(&format!("{name}_moisture"))),
    }
}

#[test]
fn s06_two_lots_of_the_same_leaf() {
    let s = situation("S06");
    let mixed = |target_name: &str| {
        let lots = vec![lot(&s, "lot_a"), lot(&s, "lot_b")];
        let to = Some(target(&s.typed(target_name)));
        Mixing { lots, to }.mixed().unwrap()
    };
    let watered = mixed("target_1");
    s.assert_answer("combined_moisture", percent(watered.moisture.best()));
    s.assert_answer("water_to_target_1", grams(watered.water.unwrap().best()));
    let dry = mixed("target_2");
    let parts: Vec<f64> = dry.parts.unwrap().iter().map(|p| grams(p.best())).collect();
    s.assert_answer("a_to_use_with_all_b", parts[0]);
    assert_close("all of b", parts[1], s.given("lot_b"), 1e-9);
    s.assert_answer("mix_weight", parts.iter().sum());
    let (scarcer, more) = dry.short_of.unwrap();
    assert_eq!(scarcer, 1);
    s.assert_answer("b_needed_for_all_a", parts[1] + grams(more.best()));
    s.assert_all_held();
}

#[test]
fn s19_a_jar_weighed_again() {
    let s = situation("S19");
    let jar = Jar {
        tare: Some(mass(&s.typed("jar_tare"))),
        to: Some(target(&s.typed("target"))),
        ..Jar::new(
            mass(&s.typed("gross_then")),
            moisture(&s.typed("moisture_then")),
            mass(&s.typed("gross_now")),
        )
    };
    let weighed = jar.weighed().unwrap();
    s.assert_answer("dry_matter", grams(weighed.dry_matter.best()));
    s.assert_answer("net_now", grams(weighed.net.best()));
    s.assert_answer("lost", grams(weighed.lost.best()));
    s.assert_answer("moisture_now", percent(weighed.moisture.best()));
    s.assert_answer("water_to_restore", grams(weighed.water.unwrap().best()));
    s.assert_all_held();
}

#[test]
fn s20_an_oven_test_of_three_dishes() {
    let s = situation("S20");
    let dishes: Vec<OvenDish> = (1..=3)
        .map(|i| {
            let typed = s.typed(&format!("dish_{i}"));
            let mut each = typed
                .split_whitespace()
                .filter_map(|w| w.parse::<f64>().ok());
            let mut next = || Mass::of_base(each.next().unwrap() * 1e-3);
            OvenDish {
                tare: next(),
                wet: next(),
                dry: next(),
            }
        })
        .collect();
    let test = OvenTest {
        dishes: dishes.clone(),
        scale: Some(Scale::new(Mass::of_base(1e-6)).unwrap()),
    };
    let found = test.volatiles().unwrap();
    for (i, each) in found.each.iter().enumerate() {
        s.assert_answer(&format!("moisture_{}", i + 1), percent(*each));
    }
    s.assert_answer("mean", percent(found.moisture.best()));
    s.assert_answer("sd", found.scatter.unwrap() * 100.0);
    s.assert_answer(
        "ci95_half_width",
        found.moisture.measured().half_width_95() * 100.0,
    );
    assert_close("degrees of freedom", found.moisture.dof(), 2.0, 1e-12);
    // All dishes as one, by hand.
    let sum = |of: fn(&OvenDish) -> Mass| dishes.iter().map(of).map(grams).sum::<f64>();
    let pooled = (sum(|d| d.wet) - sum(|d| d.dry)) / (sum(|d| d.wet) - sum(|d| d.tare));
    s.assert_answer("pooled", pooled * 100.0);
    s.assert_all_held();
}

/// Every situation of the table has its test here, and the test holds a figure
/// against each of its answers and traps.
#[test]
fn no_situation_is_passed_over() {
    let here = [
        "S01", "S02", "S03", "S04", "S05", "S06", "S07", "S08", "S09", "S10", "S11", "S12", "S13",
        "S14", "S15", "S16", "S17", "S18", "S19", "S20", "S21", "S22", "S24", "S25", "S26", "S27",
        "S28", "S29", "S30", "S31",
    ];
    assert_eq!(ids(), here.map(str::to_owned).into());
}
