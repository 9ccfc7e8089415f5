//! The worked situations, through the library.
//!
//! They are invented and worked by hand; `reference-data/situations/README.md`
//! says how. Four significant digits are asked for. Each trap is a mistake that
//! people make: it must not come out, and its own wrong sum must give it.

use gutta::bench::{
    Added, Asked, Batch, BatchValue, Brought, Calibrating, Dosing, Drop, Dropped, Finding,
    FirstRule, KnownAddition, LeafBasis, LeafWeighed, Readings, Weighing,
};
use gutta::matter::Part;
use gutta::measure::{
    Density, DropMass, Drops, Kind, Mass, Measured, Ratio, Scalar, Unit, median, median_deviation,
    read,
};
use gutta::{Composition, DryBasis, Moisture, Watering};
use gutta_tests::assert_close;
use gutta_tests::plans::{add, dry};
use gutta_tests::situations::{Situation, situation};

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

#[test]
fn s01_water_for_a_bench_trial_in_whole_drops() {
    let s = situation("S01");
    let mut trial = watering("10.0 g", "11.2 %", "14.5 %");
    trial.drop = Some(drop("47.8 mg"));
    let plan = add(&trial);
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    let drops = plan.drops.unwrap();
    s.assert_answer("drops_exact", drops.exact.best().count());
    assert_eq!(drops.whole, Drops::new(8.0));
    s.assert_answer("water_whole_drops", grams(drops.mass.best()));
    s.assert_answer("moisture_reached", percent(drops.moisture.best()));
}

#[test]
fn s02_water_with_the_doubt_of_the_moisture() {
    let s = situation("S02");
    let plan = add(&watering("340 g", "10.8 % ± 1.0 %", "15.0 %"));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    s.assert_answer("final_weight", grams(plan.final_mass.best()));
    let half = plan.water.measured().half_width_95();
    s.assert_answer("water_uncertainty", Unit::GRAM.from_base(half));
    // u = 4.000 g/1.959964, by hand.
    assert_close("u", Unit::GRAM.from_base(plan.water.u()), 2.0409, 5e-5);

    // Points times mass lands short.
    let naive = 340.0 * (0.150 - 0.108);
    s.assert_trap_is("water_naive", grams(plan.water.best()), naive);
    let wetted = KnownAddition::new(
        mass("340 g"),
        moisture("10.8 %"),
        Added::Mass(mass("14.28 g")),
    );
    let short = percent(wetted.after().unwrap().moisture.best());
    s.assert_trap_is("moisture_if_naive", 15.0, short);
}

#[test]
fn s02_three_quarters_first_without_a_doubt() {
    let s = situation("S02");
    let plan = add(&watering("340 g", "10.8 %", "15.0 %"));
    assert_eq!(plan.first.rule, FirstRule::ThreeQuarters);
    s.assert_answer("first_three_quarters", grams(plan.first.water));
    assert_eq!(plan.water.u(), 0.0);
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
    let plan = add(&watering("1 lb 6 oz", "10.5 %", "16.0 %"));
    s.assert_answer("leaf_metric", grams(mass("1 lb 6 oz").value()));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    s.assert_answer(
        "teaspoons",
        Unit::TEASPOON.from_base(plan.volume.best().base()),
    );
}

fn brought(name: &str, amount: &str, parts: &[(Part, &str)]) -> Brought {
    let parts: Vec<_> = parts
        .iter()
        .map(|(part, share)| {
            let share = read(share, &[Kind::Share]).unwrap().share().unwrap();
            (*part, share)
        })
        .collect();
    Brought {
        name: name.to_owned(),
        mass: mass(amount),
        composition: Composition::new(&parts).unwrap(),
    }
}

#[test]
fn s04_casing_and_flavouring_bring_water_and_the_carrier_goes() {
    let s = situation("S04");
    let mut batch = watering("1200 g", "11.5 %", "16.0 %");
    batch.brought = vec![
        brought("casing", "60.0 g", &[(Part::Water, "35 %")]),
        brought(
            "flavouring",
            "9.6 g",
            &[(Part::Water, "25 %"), (Part::Alcohol, "40 %")],
        ),
    ];
    let plan = add(&batch);
    s.assert_answer("water_already_there", grams(plan.pile.water()));
    s.assert_answer("nonwater_solids", grams(plan.pile.dry_matter()));
    s.assert_answer("water", grams(plan.water.best()));
    s.assert_answer("water_volume", millilitres(plan.volume.best()));
    let at_once = plan.mass_at_once.as_ref().unwrap().best();
    s.assert_answer("weight_straight_after_mixing", grams(at_once));
    s.assert_answer("weight_when_alcohol_gone", grams(plan.final_mass.best()));

    let naive = add(&watering("1200 g", "11.5 %", "16.0 %")).water.best();
    s.assert_trap_is("water_naive", grams(plan.water.best()), grams(naive));
    let too_wet = plan.pile.with_water(naive).aired().moisture();
    s.assert_trap_is("moisture_if_naive", 16.0, percent(too_wet));
}

#[test]
fn s05_dry_down_by_weight() {
    let s = situation("S05");
    let mut tray = watering("815 g", "21.4 %", "14.0 %");
    tray.tray = Some(mass("612 g"));
    let plan = dry(&tray);
    s.assert_answer("dry_matter", grams(plan.pile.dry_matter()));
    s.assert_answer("stop_net", grams(plan.final_mass.best()));
    s.assert_answer("stop_gross", grams(plan.final_gross.unwrap().best()));
    s.assert_answer("water_to_lose", grams(plan.water.best()));
}

#[test]
fn s07_a_dropper_with_a_miscounted_weighing() {
    let s = situation("S07");
    let weighings = [0.612, 0.606, 0.615, 0.581, 0.609, 0.614];
    let readings = weighings
        .map(|g| Weighing {
            drops: 20,
            amount: Measured::exact(Mass::of_base(Unit::GRAM.to_base(g))),
            last_place: Mass::of_base(1e-6),
        })
        .to_vec();
    let density = density("0.871 g/mL");
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
    let gap = median(&weighings) - 0.581;
    s.assert_answer("modified_z_of_0.581", 0.6745 * gap / deviation);
    s.assert_answer("drops_short", gap / (median(&weighings) / 20.0));

    let kept = one(got.drop_mass_all.unwrap());
    s.assert_trap_is("drop_mass_if_kept", one(got.drop_mass.best()), kept);
    s.assert_trap_is(
        "bias_if_kept",
        0.0,
        (kept / one(got.drop_mass.best()) - 1.0) * 100.0,
    );
}

fn s09() -> Dosing {
    Dosing {
        leaf: Some(mass("10.0 g")),
        at: Some(moisture("12.0 %")),
        drop: Some(drop("21.4 mg")),
        density: Some(density("0.846 g/mL")),
        batch: Some(Batch {
            leaf: mass("6500 g"),
            at: BatchValue::Own(moisture("14.2 %")),
            density: BatchValue::Own(density("0.902 g/mL")),
            drop: BatchValue::Own(drop("33.1 mg")),
        }),
        ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::Dry)
    }
}

#[test]
fn s09_bench_drops_to_a_batch_with_another_bottle() {
    let s = situation("S09");
    let got = s09().answer().unwrap();
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
        ..s09()
    };
    let as_weighed = grams(wrong.answer().unwrap().batch.unwrap().mass.best());
    s.assert_trap_is("scaled_as_weighed", flavour, as_weighed);
    let per_gram = millilitres(got.volume.unwrap().best()) / (10.0 * 0.88);
    let by_volume = per_gram * 6500.0 * (1.0 - 0.142);
    s.assert_trap_is("scaled_by_volume", volume, by_volume);
    s.assert_trap_is("mass_if_scaled_by_volume", flavour, by_volume * 0.902);
}

#[test]
fn s25_wet_basis_and_dry_basis() {
    let s = situation("S25");
    s.assert_answer("wet_from_dry", percent(moisture("17.6 % db").value()));
    let dry: DryBasis = moisture("15.0 %").value().on_dry_basis();
    s.assert_answer("dry_from_wet", dry.ratio().value * 100.0);
}

#[test]
fn s26_the_bottle_does_not_miscount() {
    let s = situation("S26");
    let dosing = Dosing {
        leaf: Some(mass("24.0 g")),
        drop: Some(drop("25.48 mg")),
        bottle_loss: Some(mass("0.331 g")),
        ..Dosing::new(Asked::Drops(Drops::new(12.0)), LeafBasis::AsWeighed)
    };
    let got = dosing.answer().unwrap();
    let given = got.given.unwrap();
    s.assert_answer(
        "drops_really",
        given.drops_exact.as_ref().unwrap().best().count(),
    );
    assert_eq!(given.drops(), Some(Drops::new(13.0)));
    let per_kilogram = |ratio: Ratio| ratio.value * 1000.0;
    s.assert_answer(
        "dose_real",
        per_kilogram(given.dose.unwrap().best().ratio()),
    );
    s.assert_answer(
        "dose_planned",
        per_kilogram(got.dose.unwrap().best().ratio()),
    );
}

#[test]
fn s29_moisture_before_a_known_addition() {
    let s = situation("S29");
    let wetted = |leaf: &str| {
        KnownAddition::new(mass(leaf), moisture("15.2 %"), Added::Mass(mass("14.0 g")))
    };
    let before =
        |leaf: &str, weighed| percent(wetted(leaf).before(weighed).unwrap().moisture.best());
    let got = before("300 g", LeafWeighed::Before);
    s.assert_answer("moisture_before", got);
    // Said to weigh 300 g with the water on it: the mistake of the weigher.
    assert_close("trap", before("300 g", LeafWeighed::After), 11.05, 0.005);
    // Weighed with the water on it, and said so: the same leaf.
    assert_close("314 g", before("314 g", LeafWeighed::After), got, 1e-9);
}

#[test]
fn every_situation_here_has_its_rows() {
    let all: Vec<Situation> = [
        "S01", "S02", "S03", "S04", "S05", "S07", "S09", "S25", "S26", "S29",
    ]
    .map(situation)
    .into();
    assert_eq!(all.len(), 10);
}
