//! Leaf in air, and the hygrometer that it is read with, through the program.

use super::program::{complaint, joined, json, text, value};

fn refused(line: &str, code: i32) -> String {
    joined(&complaint(line, code))
}

/// By hand from the defaults: X = 0.119 (0.6/0.4)^0.55, m = X/(1 + X).
#[test]
fn leaf_comes_to_the_moisture_of_its_curve() {
    let x: f64 = 0.119 * 1.5_f64.powf(0.55);
    let air = json("gutta moisture air --humidity 60%");
    assert!((value(&air, "moisture", "%") - 100.0 * x / (1.0 + x)).abs() < 1e-9);
    // 1.5 points (k = 1) from 35 to 65 % relative humidity.
    let u = air["answer"]["moisture"]["u"].as_f64().unwrap();
    assert!((u - 1.5).abs() < 1e-9, "{u}");
    assert_eq!(air["budget"][0]["input"], "isotherm");
    // 11.66 g/m³ is 60 % of 19.43 at 22 °C (IAPWS, ideal vapour).
    assert!((value(&air, "water_in_air", "g/m³") - 0.6 * 19.43).abs() < 0.01);
}

/// What the air makes of leaf, the same air keeps; and 0.60 at 22 °C is 0.624 at
/// 35 °C for leaf of no known type.
#[test]
fn the_air_that_makes_it_keeps_it() {
    let keep = json("gutta moisture keep --at 12.946% --type generic");
    assert!((value(&keep, "humidity", "%") - 60.0).abs() < 0.02);
    assert_eq!(keep["answer"]["figure"], "within");
    let x: f64 = 0.119 * 1.5_f64.powf(0.55);
    let exact = 100.0 * x / (1.0 + x);
    let warm = json(&format!("gutta moisture keep --at {exact}% --temp 35°C"));
    assert!((value(&warm, "humidity", "%") - 62.4).abs() < 0.05);
}

/// At the anchor the curve is the reading, with its doubt.
#[test]
fn an_own_reading_anchors_the_curve() {
    let air = json("gutta moisture air --humidity 58% --type oriental --own \"58% 12.6% ± 0.3%\"");
    assert!((value(&air, "moisture", "%") - 12.6).abs() < 1e-9);
    let u = air["answer"]["moisture"]["u"].as_f64().unwrap();
    assert!((u - 0.3 / 1.959_964).abs() < 1e-6, "{u}");
    let fitted = text(
        "gutta moisture air --humidity 55% --own \"50% 11%\" --own \"60% 13%\" --own \"70% 16.4%\"",
    );
    assert!(
        fitted.contains("a curve through 3 own readings"),
        "{fitted}"
    );
    let two = refused(
        "gutta moisture air --humidity 55% --own \"50% 11%\" --own \"60% 13%\"",
        2,
    );
    assert!(two.contains("two own readings make no curve"), "{two}");
    let doubtful = refused(
        "gutta moisture air --humidity 55% --own \"50% 11%\" --own \"60% 13% ± 1%\" --own \"70% 16%\"",
        2,
    );
    assert!(doubtful.contains("type them without ±"), "{doubtful}");
    let swapped = refused("gutta moisture air --humidity 60% --own \"36% 60%\"", 2);
    assert!(swapped.contains("the humidity comes first"), "{swapped}");
}

#[test]
fn outside_the_curves_nothing_is_made_up() {
    let dry = refused("gutta moisture air --humidity 30%", 1);
    assert!(
        dry.contains("must be from 35 % to 75 %, not 30 %")
            && dry.contains("where this leaf holds"),
        "{dry}"
    );
    assert!(refused("gutta moisture air --humidity 80%", 1).contains("75 %"));
    assert!(refused("gutta moisture air --humidity 120%", 2).contains("from 0 % to 100 %"));
    assert!(refused("gutta moisture air", 2).contains("--humidity"));
    assert!(refused("gutta moisture air --humidity 60% --temp 60°C", 1).contains("40 °C"));
    let near = refused("gutta moisture air --humidity 60% --type burly", 2);
    assert!(near.contains("did you mean burley?"), "{near}");
    let own = refused("gutta moisture air --humidity 60% --own 58%", 2);
    assert!(own.contains("the moisture is missing"), "{own}");
    let wet = text("gutta moisture keep --at 25%");
    assert!(
        wet.starts_with(
            "At 25 % leaf keeps air above 75 % relative humidity, where no curve is known."
        ),
        "{wet}"
    );
    assert!(wet.contains("too wet to store"), "{wet}");
}

/// The mould line goes with every moisture that is answered: by the curve of
/// leaf of no known type 14.3 % keeps air of 65 %, 15.9 % of 70 %.
#[test]
fn the_mould_line_goes_with_every_moisture() {
    for (line, says) in [
        ("gutta moisture basis 14%", None),
        (
            "gutta moisture basis 15%",
            Some("mould risk in a closed jar"),
        ),
        (
            "gutta moisture basis 17%",
            Some("do not store at this moisture"),
        ),
        ("gutta moisture basis 20%", Some("too wet to store")),
        ("gutta water --leaf 100g --at 11% --to 14%", None),
        (
            "gutta water --leaf 100g --at 11% --to 15%",
            Some("mould risk"),
        ),
        (
            "gutta water --leaf 100g --at 20% --to 17%",
            Some("do not store"),
        ),
        (
            "gutta moisture after --leaf 100g --at 14% --added 4g",
            Some("do not store"),
        ),
        (
            "gutta moisture before --leaf 100g --at 17% --added 4g",
            Some("do not store"),
        ),
        (
            "gutta moisture combine \"15% ± 1%\" \"15.2% ± 1%\"",
            Some("mould risk"),
        ),
        ("gutta moisture oven \"20g 25g 24.25g\"", Some("mould risk")),
        (
            "gutta moisture jar --then 100g --at 17% --now 98g",
            Some("mould risk"),
        ),
        ("gutta moisture mix \"1kg 15%\"", Some("mould risk")),
        ("gutta moisture feel soft", Some("do not store")),
        ("gutta moisture air --humidity 68%", Some("mould risk")),
    ] {
        let answer = json(line);
        let cautions = answer["cautions"].to_string();
        match says {
            Some(says) => assert!(cautions.contains(says), "{line}\n{cautions}"),
            None => assert!(
                !cautions.contains("mould risk") && !cautions.contains("store"),
                "{line}\n{cautions}"
            ),
        }
    }
    let cased = text("gutta moisture air --humidity 68% --cased");
    assert!(
        cased.contains("cased leaf with humectant has a lower water activity"),
        "{cased}"
    );
    let brought = text(
        "gutta water --leaf 100g --at 11% --to 17% --bring \"5g casing, 35% water, 20% glycol\"",
    );
    assert!(brought.contains("a lower water activity"), "{brought}");
}

/// Sodium chloride keeps 75.41 % at 22 °C (Greenspan 1977, by its polynomial).
#[test]
fn a_hygrometer_is_put_right_over_salt() {
    let one =
        json("gutta moisture hygrometer \"sodium chloride 77% ± 1%\" --temp 22°C --reads 63%");
    assert!((value(&one, "sodium_chloride", "%") - 75.41).abs() < 0.01);
    let correction = value(&one, "correction", "%");
    assert!((correction - (75.41 - 77.0)).abs() < 0.01, "{correction}");
    assert!((value(&one, "humidity", "%") - (63.0 + correction)).abs() < 1e-9);
    let both = json("gutta moisture hygrometer \"MgCl2 36%\" \"NaCl 74%\" --reads 60%");
    // By hand, in a straight line: −2.93 at 36 %, +1.48 at 74 %, so −0.14 at 60 %.
    assert!((value(&both, "correction", "%") + 0.14).abs() < 0.01);
    // By the polynomials; the rows of the table are 75.29 and 32.78.
    let list = text("gutta moisture hygrometer --temp 25°C");
    assert!(
        list.starts_with("Over saturated table salt a hygrometer should show 75.30 %"),
        "{list}"
    );
    assert!(
        list.contains("magnesium chloride (MgCl2): 32.79 %"),
        "{list}"
    );
}

/// Without a reading to be put right each check says its own: should − shown,
/// with both their doubts. By hand √(0.510² + 0.080²).
#[test]
fn each_check_says_what_is_off() {
    let both = text("gutta moisture hygrometer \"NaCl 74% ± 1%\" \"MgCl2 36% ± 1%\"");
    assert!(
        both.starts_with("In truth it is 1.5 points more over sodium chloride, 2.9 points less over magnesium chloride."),
        "{both}"
    );
    assert!(
        both.contains("over sodium chloride 1.5 points ± 1.0 points (95 %)"),
        "{both}"
    );
    let beyond = refused(
        "gutta moisture hygrometer \"table salt, 65%\" --reads 95%",
        1,
    );
    assert!(beyond.contains("is outside 0 to 100 %"), "{beyond}");
    let hot = refused("gutta moisture hygrometer --temp 40°C", 1);
    assert!(
        hot.contains("--temp") && hot.contains("15 °C to 35 °C"),
        "{hot}"
    );
}

/// One thermometer for the own reading and for the air is one input: at the
/// anchor it cancels. By hand u² = u(m₀)² + (slope u(a₀))²: 0.437 points.
#[test]
fn one_temperature_is_one_input() {
    let at = json(
        "gutta moisture air --humidity 57% --own \"57% ± 3% 13% ± 0.3%\" --temp \"30°C ± 3°C\" --type flue-cured",
    );
    let budget = at["budget"].to_string();
    assert!(!budget.contains("temperature"), "{budget}");
    for (word, leaf) in [("fire-cured", "dark"), ("virginia", "flue-cured")] {
        let said = text(&format!("gutta moisture air --humidity 60% --type {word}"));
        assert!(said.contains(&format!("{leaf} leaf comes to")), "{said}");
    }
    let basis = refused("gutta moisture air --humidity \"60% db\"", 2);
    assert!(
        basis.contains("a relative humidity has no moisture basis"),
        "{basis}"
    );
}

#[test]
fn a_check_that_cannot_be_is_refused() {
    let near = refused("gutta moisture hygrometer \"sodum chloride 77%\"", 2);
    assert!(near.contains("did you mean sodium chloride?"), "{near}");
    let bare = refused("gutta moisture hygrometer \"sodium chloride\"", 2);
    assert!(
        bare.contains("what the hygrometer showed is missing"),
        "{bare}"
    );
    let alone = refused("gutta moisture hygrometer --reads 60%", 2);
    assert!(
        alone.contains("no check says how the hygrometer reads"),
        "{alone}"
    );
    let crossed = refused(
        "gutta moisture hygrometer \"MgCl2 74%\" \"NaCl 36%\" --reads 60%",
        1,
    );
    assert!(
        crossed.contains("does not show more in the damper air"),
        "{crossed}"
    );
    let many = refused(
        "gutta moisture hygrometer \"MgCl2 34%\" \"NaCl 76%\" \"KCl 85%\"",
        2,
    );
    assert!(many.contains("two checks are enough"), "{many}");
    let hot = refused("gutta moisture hygrometer \"NaCl 76%\" --temp 38°C", 1);
    assert!(hot.contains("15 °C to 35 °C"), "{hot}");
}
