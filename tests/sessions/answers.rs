//! The worked situations through JSON, wherever there is a key for them.
//!
//! Figures and traps are from `reference-data/situations/worked.csv`: invented
//! situations worked by hand. Four significant digits are asked for:
//! |got − value_full| ≤ 5e-5 |value_full|; whole numbers are exact.

use gutta_tests::situations::{Situation, situation};
use serde_json::Value as Json;

use super::program::{json, value};

/// Holds an answer of the program against a row of the situation.
fn answers(situation: &Situation, json: &Json, key: &str, unit: &str, quantity: &str) {
    situation.assert_answer(quantity, value(json, key, unit));
}

#[test]
fn s01_water_for_a_bench_trial_in_whole_drops() {
    let s = situation("S01");
    let a = json("gutta water --leaf 10.00g --at 11.2% --to 14.5% --drop 47.8mg");
    assert_eq!(a["answer"]["plan"], "add");
    answers(&s, &a, "water", "g", "water");
    answers(&s, &a, "water_volume", "mL", "water_volume");
    answers(&s, &a, "drops_exact", "drop", "drops_exact");
    answers(&s, &a, "drops_mass", "g", "water_whole_drops");
    answers(&s, &a, "moisture_reached", "%", "moisture_reached");
    assert_eq!(a["answer"]["drops"]["value"], 8);
}

#[test]
fn s02_water_with_the_doubt_of_the_moisture() {
    let s = situation("S02");
    let a = json("gutta water --leaf 340g --at \"10.8% ± 1.0%\" --to 15%");
    answers(&s, &a, "water", "g", "water");
    answers(&s, &a, "water_volume", "mL", "water_volume");
    answers(&s, &a, "final_mass", "g", "final_weight");
    let interval = &a["answer"]["water"]["interval95"];
    let (low, high) = (interval[0].as_f64().unwrap(), interval[1].as_f64().unwrap());
    s.assert_answer("water_uncertainty", (high - low) / 2.0);
    // u = ±4.000 g / 1.959964.
    let u = a["answer"]["water"]["u"].as_f64().unwrap();
    assert!((u - 4.0 / 1.959_964).abs() < 5e-5 * u, "{u}");
    assert!(
        a["answer"]["water"].get("dof").is_none(),
        "a typed ± has no degrees of freedom"
    );
    assert_eq!(a["budget"][0]["input"], "moisture now");
    s.assert_trap("water_naive", value(&a, "water", "g"));

    let without = json("gutta water --leaf 340g --at 10.8% --to 15%");
    answers(&s, &without, "first_addition", "g", "first_three_quarters");
    assert!(without["answer"]["water"].get("u").is_none());
    // What is left in doubt is the standard dropper.
    assert_eq!(
        without["budget"],
        serde_json::json!([{"input": "drop", "share": 1.0}])
    );
}

/// The four first additions that the definition is checked with: half-width of
/// the moisture, band, grams. Worked by w = M (T − m − 1.645 u)/(1 − T).
#[test]
fn the_first_addition_keeps_to_the_band() {
    for (half, band, grams) in [
        (1.0, 0.5, 15.53),
        (1.0, 1.0, 16.8),
        (3.0, 1.0, 10.86),
        (8.0, 1.0, 0.0),
    ] {
        let line =
            format!("gutta water --leaf 340g --at \"10.8% ± {half}%\" --to 15% --band {band}%");
        let first = value(&json(&line), "first_addition", "g");
        // The figures are given to a hundredth of a gram.
        assert!((first - grams).abs() <= 0.005, "{line}: {first}");
    }
}

#[test]
fn s03_pounds_ounces_and_teaspoons() {
    let s = situation("S03");
    let a = json("gutta water --leaf \"1 lb 6 oz\" --at 10.5% --to 16%");
    answers(&s, &a, "water", "g", "water");
    answers(&s, &a, "water_volume", "mL", "water_volume");
    answers(&s, &a, "spoons", "tsp", "teaspoons");
}

#[test]
fn s04_casing_and_flavouring_bring_water() {
    let s = situation("S04");
    let a = json(
        "gutta water --leaf 1200g --at 11.5% --to 16% --bring \"60g casing, 35% water\" --bring \"9.6g flavouring, 25% water, 40% alcohol\"",
    );
    answers(&s, &a, "water", "g", "water");
    answers(&s, &a, "water_volume", "mL", "water_volume");
    answers(&s, &a, "mass_at_once", "g", "weight_straight_after_mixing");
    answers(&s, &a, "final_mass", "g", "weight_when_alcohol_gone");
    s.assert_trap("water_naive", value(&a, "water", "g"));
}

#[test]
fn s05_dry_down_by_weight() {
    let s = situation("S05");
    let a = json("gutta water --leaf 815g --at 21.4% --to 14% --tray 612g");
    assert_eq!(a["answer"]["plan"], "dry");
    answers(&s, &a, "water_to_lose", "g", "water_to_lose");
    answers(&s, &a, "final_mass", "g", "stop_net");
    answers(&s, &a, "final_gross", "g", "stop_gross");
}

#[test]
fn s07_a_dropper_with_a_miscounted_weighing() {
    let s = situation("S07");
    let a = json(
        "gutta dropper 20=0.612g 20=0.606g 20=0.615g 20=0.581g 20=0.609g 20=0.614g --density 0.871g/mL",
    );
    s.assert_answer("drop_mass", value(&a, "drop_mass", "mg") / 1000.0);
    answers(&s, &a, "drop_volume", "mL", "drop_volume");
    answers(&s, &a, "drops_per_ml", "drop/mL", "drops_per_ml");
    answers(&s, &a, "spread", "%", "spread_cv");
    s.assert_answer(
        "drop_mass_recounted_as_19",
        value(&a, "drop_mass_recounted", "mg") / 1000.0,
    );
    let suspects = a["answer"]["suspects"].as_array().unwrap();
    assert_eq!(suspects.len(), 1);
    assert_eq!(suspects[0]["weighing"], 4);
    assert_eq!(suspects[0]["reads_as"], 19);
    s.assert_trap("drop_mass_if_kept", value(&a, "drop_mass", "mg") / 1000.0);
}

#[test]
fn s09_bench_drops_to_a_batch() {
    let s = situation("S09");
    let a = json(
        "gutta dose 7drops --drop 21.4mg --density 0.846g/mL --leaf 10.00g --at 12% --for 6.5kg --for-at 14.2% --for-density 0.902g/mL --for-drop 33.1mg",
    );
    answers(&s, &a, "mass", "g", "bench_dose_mass");
    answers(&s, &a, "dose", "g/kg", "bench_dose_as_weighed");
    answers(&s, &a, "dose_dry", "g/kg", "bench_dose_dry");
    answers(&s, &a, "for_mass", "g", "batch_flavour");
    answers(&s, &a, "for_volume", "mL", "batch_flavour_volume");
    answers(&s, &a, "for_drops", "drop", "batch_drops");
    s.assert_trap("scaled_as_weighed", value(&a, "for_mass", "g"));
    s.assert_trap("scaled_by_volume", value(&a, "for_volume", "mL"));
    s.assert_trap("mass_if_scaled_by_volume", value(&a, "for_mass", "g"));
}

#[test]
fn s25_wet_and_dry_basis() {
    let s = situation("S25");
    answers(
        &s,
        &json("gutta moisture basis \"17.6% db\""),
        "wet",
        "%",
        "wet_from_dry",
    );
    answers(
        &s,
        &json("gutta moisture basis 15%"),
        "dry",
        "%",
        "dry_from_wet",
    );
}

#[test]
fn s29_moisture_before_a_known_addition() {
    let s = situation("S29");
    let a = json("gutta moisture before --leaf 300g --at 15.2% --added 14.0g");
    answers(&s, &a, "moisture", "%", "moisture_before");
    // The trap of weighing after: the same leaf said to weigh 300 g now.
    let trap = json("gutta moisture before --leaf-now 300g --at 15.2% --added 14.0g");
    assert!((value(&trap, "moisture", "%") - 11.05).abs() < 0.005);
}

#[test]
fn s26_the_bottle_does_not_miscount() {
    let s = situation("S26");
    let a = json("gutta dose 12drops --drop 25.48mg --leaf 24.0g --bottle-loss 0.331g");
    answers(&s, &a, "drops_given_exact", "drop", "drops_really");
    assert_eq!(a["answer"]["drops_given"]["value"], 13);
    answers(&s, &a, "dose_given", "g/kg", "dose_real");
    answers(&s, &a, "dose", "g/kg", "dose_planned");
}

#[test]
fn the_budget_is_of_the_first_figure_that_has_a_doubt() {
    // Nothing typed is in doubt: what is, is the standard dropper.
    let a = json("gutta water --leaf 10g --at 11.2% --to 14.5%");
    assert!(a["answer"]["water"].get("u").is_none());
    assert_eq!(a["budget"][0]["input"], "drop");
    assert_eq!(a["budget"][0]["share"], 1.0);
}

/// 1 000 t of leaf, and its drops, which no 32-bit count holds.
#[test]
fn the_largest_mass_is_answered() {
    let a = json("gutta water --leaf 1000Mg --at 11% --to 90% --drop 5mg");
    let water = value(&a, "water", "g");
    assert!((water - 7.9e9).abs() < 1.0, "{water}");
    assert_eq!(a["answer"]["drops"]["value"], 1_580_000_000_000_u64);
}

/// A drop in drops per volume is as much water as it takes at its temperature.
#[test]
fn a_drop_by_volume_follows_the_temperature() {
    let mass = |temp: &str| {
        let a = json(&format!(
            "gutta water --leaf 10g --at 11% --to 14% --drop 20/mL {temp}"
        ));
        value(&a, "drops_mass", "g") / a["answer"]["drops"]["value"].as_f64().unwrap()
    };
    // 0.05 mL at 0.998207 and at 0.995649 g/mL (Tanaka 2001).
    assert!((mass("") - 0.049_910_3).abs() < 5e-7);
    assert!((mass("--temp 30°C") - 0.049_782_4).abs() < 5e-7);
}

/// The draws repeat with their seed, agree with first order where the formula
/// is a sum, and say where they do not.
#[test]
fn draws_repeat_and_judge_first_order() {
    let line = "gutta water --leaf 10g --at \"11.2% ± 0.5%\" --to 14.5% --draws 20000";
    let (a, b) = (json(line), json(&format!("{line} --seed 1")));
    assert_eq!(a["draws"], b["draws"]);
    assert_ne!(a["draws"], json(&format!("{line} --seed 2"))["draws"]);
    let water = &a["draws"]["figures"]["water"];
    assert_eq!(water["first_order_holds"], true);
    let u = water["u"].as_f64().unwrap();
    let first_order = a["answer"]["water"]["u"].as_f64().unwrap();
    // The standard deviation of u from n normal draws is u/√(2n): 3 of them.
    assert!(
        (u - first_order).abs() < 3.0 * first_order / 40_000_f64.sqrt(),
        "{u}"
    );

    let wide =
        json("gutta water --leaf 10g --at 2% --to 14.5% --drop \"47.8mg ± 20mg\" --draws 20000");
    assert_eq!(
        wide["draws"]["figures"]["drops_exact"]["first_order_holds"],
        false
    );
}

/// Prior and reading together by inverse variance, and what is left to add,
/// by hand: y = (0.108·340 + 10.8)/350.8, u(y) = u·340/350.8.
#[test]
fn after_a_first_addition_prior_and_reading_go_together() {
    let a = json(
        "gutta water --leaf 340g --at \"10.8% ± 3%\" --to 15% --added 10.8g --reading \"13.1% ± 0.5%\"",
    );
    let (y, u) = (
        (0.108 * 340.0 + 10.8) / 350.8,
        0.03 / 1.959_964 * 340.0 / 350.8,
    );
    let (r, v) = (0.131, 0.005 / 1.959_964);
    let weights: (f64, f64) = (1.0 / (u * u), 1.0 / (v * v));
    let together = (y * weights.0 + r * weights.1) / (weights.0 + weights.1);
    assert!((value(&a, "moisture_expected", "%") - 100.0 * y).abs() < 1e-9);
    assert!((value(&a, "moisture_now", "%") - 100.0 * together).abs() < 1e-9);
    assert_eq!(a["answer"]["agree"], "yes");
    let rest = 350.8 * (0.15 - together) / 0.85;
    assert!((value(&a, "water", "g") - rest).abs() < 1e-9);

    // The expectation of 13.5 % ± 1.0 % against 17.1 % ± 0.5 %.
    let b = json(
        "gutta water --leaf 340g --at \"10.8% ± 1%\" --to 15% --added 10.8g --reading \"17.1% ± 0.5%\"",
    );
    assert_eq!(b["answer"]["agree"], "no");
    let cautions = b["cautions"].to_string();
    assert!(
        cautions.contains("reading and expectation disagree"),
        "{cautions}"
    );
}

/// Three drops brought and four planned are of one dropper, and so are drops of
/// two lines of `--bring`. By hand: u = 7 u(d) (1 − m)/(M + 7 d).
#[test]
fn drops_of_one_dropper_share_their_doubt() {
    let line = "gutta water --leaf 10g --at 11% --to 14% --drop \"47.8mg ± 5mg\"";
    let a = json(&format!("{line} --bring \"3 drops water\""));
    let (m, d, u) = (
        value(&a, "moisture_reached", "%") / 100.0,
        0.0478,
        0.005 / 1.959_964,
    );
    let expected = 100.0 * 7.0 * u * (1.0 - m) / (10.0 + 7.0 * d);
    let got = a["answer"]["moisture_reached"]["u"].as_f64().unwrap();
    assert!((got - expected).abs() < 1e-6, "{got} {expected}");
    let b = json(&format!(
        "{line} --bring \"1 drops water\" --bring \"2 drops water\""
    ));
    let again = b["answer"]["moisture_reached"]["u"].as_f64().unwrap();
    assert!((again - got).abs() < 1e-9, "{again} {got}");
}

/// Where nothing goes on, an exact leaf weighs exactly what it weighs; what is
/// in doubt is its moisture.
#[test]
fn leaf_at_its_target_weighs_what_it_weighs() {
    let a = json("gutta water --leaf 340g --at \"15% ± 3%\" --to 15%");
    assert_eq!(a["answer"]["plan"], "nothing");
    assert!(a["answer"]["final_mass"].get("u").is_none(), "{a}");
    let u = a["answer"]["moisture_reached"]["u"].as_f64().unwrap();
    assert!((u - 3.0 / 1.959_964).abs() < 1e-6, "{u}");
    assert_eq!(a["budget"][0]["input"], "moisture now");
}

/// Weighings that are all alike show no scatter: without a scale nothing says
/// how many drops would do.
#[test]
fn weighings_all_alike_ask_for_the_scale() {
    let a = json("gutta dropper 20=0.97g 20=0.97g");
    assert!(a["answer"].get("drops_for_1_percent").is_none(), "{a}");
    let b = json("gutta dropper 20=0.97g 20=0.97g --scale 0.01g");
    // By hand: √2 · 0.01/√12/N ≤ 0.01 · 0.0485 from N = 9 on.
    assert_eq!(b["answer"]["drops_for_1_percent"]["value"], 9);
}

/// `alcohol 70%` is by volume, the rest water: 62.39 % by mass (OIML R 22).
/// By hand: W = 8.8 · 0.15/0.85 − 1.2 − 5 · 0.3761 = −1.528 g.
#[test]
fn a_spirit_is_known_by_its_name() {
    let line = "gutta water --leaf 10g --at 12% --to 15% --bring";
    let by_volume = json(&format!("{line} \"5g alcohol 70%\""));
    assert!((value(&by_volume, "water_to_lose", "g") - 1.528).abs() < 1e-3);
    assert!(
        by_volume["cautions"].to_string().contains("alcohol burns"),
        "{by_volume}"
    );
    let said = json(&format!("{line} \"5g alcohol 70% vol\""));
    assert_eq!(by_volume["answer"], said["answer"]);
    // 70 % by mass leaves 1.5 g of water in 5 g.
    let by_mass = json(&format!("{line} \"5g alcohol 70% w/w\""));
    assert!((value(&by_mass, "water_to_lose", "g") - (1.2 + 1.5 - 8.8 * 0.15 / 0.85)).abs() < 1e-9);
    // 5 mL at 0.8856 g/mL (OIML R 22, 62.39 % by mass): 4.428 g.
    let poured = json(&format!("{line} \"5mL alcohol 70% vol\""));
    let lost = 1.2 + 4.428 * 0.3761 - 8.8 * 0.15 / 0.85;
    assert!((value(&poured, "water_to_lose", "g") - lost).abs() < 2e-3);
}
