//! Less than a drop, and series of doses, through the program.

use gutta_tests::situations::situation;
use serde_json::Value;

use super::program::{json, text, typed, value};

#[test]
fn s08_a_dose_below_one_drop() {
    let s = situation("S08");
    let line = "gutta dilute \"0.9 g/kg\" --leaf 10.0g --drop 24.5mg --dilution-drop 29mg";
    let made = json(&format!("{line} --drops 4 --weigh 0.8g --scale 0.01g"));
    for (quantity, key, unit) in [
        ("flavour_needed", "flavour_needed", "g"),
        ("neat_drops", "neat_drops", "drop"),
        ("dilution_strength", "strength", "%"),
        ("neat_to_weigh", "neat_to_weigh", "g"),
        ("carrier_to_weigh", "carrier_to_weigh", "g"),
        ("stock_made", "stock", "g"),
        ("carrier_in_trial", "carrier_in_trial", "g"),
        ("carrier_in_trial_share", "carrier_share", "%"),
    ] {
        s.assert_answer(quantity, value(&made, key, unit));
    }
    let ready = json(&format!("{line} --strength 10%"));
    s.assert_answer("drops_of_10_percent", value(&ready, "drops_exact", "drop"));
    s.assert_answer(
        "dose_with_3_drops_of_10_percent",
        value(&ready, "dose_reached", "g/kg"),
    );
    // Without a mass to weigh it is the least the scale weighs well: 0.5 g.
    let least = json(&format!("{line} --scale 0.01g"));
    assert!((value(&least, "neat_to_weigh", "g") - 0.5).abs() < 1e-12);
    let looser = json(&format!("{line} --scale 0.01g --tolerance 5%"));
    assert!((value(&looser, "neat_to_weigh", "g") - 0.2).abs() < 1e-12);
}

#[test]
fn s17_a_series_from_one_base() {
    let s = situation("S17");
    let series = json("gutta series 0g/kg 5g/kg 10g/kg 15g/kg --leaf 96.0g --drop 24.5mg");
    assert!((value(&series, "portion", "g") - 24.0).abs() < 1e-12);
    let steps = series["answer"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 4);
    // The blank is counted in no drops, and reaches nothing.
    assert_eq!(steps[0]["mass"]["value"], 0.0);
    assert!(steps[0]["drops"].is_null() && steps[0]["dose_reached"].is_null());
    for (step, dose) in steps.iter().zip([0, 5, 10, 15]).skip(1) {
        let number = |key: &str| step[key]["value"].as_f64().unwrap();
        s.assert_answer(&format!("flavour_{dose}"), number("mass"));
        s.assert_answer(&format!("drops_exact_{dose}"), number("drops_exact"));
        s.assert_answer(&format!("drops_{dose}"), number("drops"));
        s.assert_answer(&format!("dose_reached_{dose}"), number("dose_reached"));
    }
}

#[test]
fn below_one_drop_the_next_step_is_the_dilution() {
    // 0.3673 drops: four drops as large hold 9.184 %, 1 g in 10.889 g.
    let said = text("gutta dose \"0.9 g/kg\" --leaf 10g --drop 24.5mg");
    assert!(
        said.contains("dilute the flavouring to 9.184 % by mass, 1 g with 9.889 g of carrier, and 4 drops of that"),
        "{said}"
    );
    let dosed = json("gutta dose \"0.9 g/kg\" --leaf 10g --drop 24.5mg");
    assert!(dosed["answer"]["drops"].is_null());
    let series = text("gutta series 0.5g/kg 5g/kg --leaf 40g --drop 24.5mg");
    assert!(
        series.contains("0.5 g/kg: 0.4082 drops, less than one: dilute it."),
        "{series}"
    );
    assert!(
        series.contains("gutta dilute \"0.5 g/kg\" --leaf 20g"),
        "{series}"
    );
    let weak = text("gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 50%");
    assert!(
        weak.contains("0.6207 drops of the 50.0 % dilution, less than one"),
        "{weak}"
    );
}

/// 3 mg of flavouring are 1 drop of 30 mg at 10 %, and 6 mg one of 6 mg, also
/// where the division comes to 0.999 999 999 999 999 9.
#[test]
fn one_drop_is_counted() {
    let ready = json("gutta dilute 0.3g/kg --leaf 10g --dilution-drop 30mg --strength 10%");
    assert!((value(&ready, "drops", "drop") - 1.0).abs() < 1e-12);
    assert!((value(&ready, "dose_reached", "g/kg") - 0.3).abs() < 1e-12);
    let dosed = json("gutta dose 0.3g/kg --leaf 20g --drop 6mg");
    assert!((value(&dosed, "drops", "drop") - 1.0).abs() < 1e-12);
    let series = json("gutta series 0g/kg 0.3g/kg --leaf 40g --drop 6mg");
    assert_eq!(series["answer"]["steps"][1]["drops"]["value"], 1.0);
    // 0.5 g for doses of 5 mg.
    let stock = text("gutta dilute 0.5g/kg --leaf 10g --dilution-drop 29mg --drops 3 --weigh 0.5g");
    assert!(stock.contains("enough for 100 such doses"), "{stock}");
}

/// The cautions of an answer.
pub fn cautions(answer: &Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().unwrap();
    cautions.iter().filter_map(Value::as_str).collect()
}

/// The lines of an answer under a key.
fn lines<'a>(answer: &'a Value, key: &str) -> Vec<&'a str> {
    let lines = answer[key].as_array().unwrap();
    lines.iter().filter_map(Value::as_str).collect()
}

/// The question that an answer says to type, its gaps filled in.
pub fn to_type(answer: &Value) -> String {
    let next = answer["next"].as_array().unwrap();
    let mut said = next.iter().filter_map(Value::as_str);
    let line = said
        .find_map(|line| Some(&line[line.find("gutta dilute \"")?..]))
        .unwrap_or_else(|| panic!("{answer}"));
    line.replace("--dilution-drop …", "--dilution-drop 29mg")
        .replace("--scale …", "--scale 0.01g")
}

/// What is to be typed for the dilution is the same dose on the same leaf: as
/// much flavouring, on either basis, however the dose was asked for.
#[test]
fn the_dilution_to_type_is_of_the_same_dose() {
    for line in [
        "gutta dose \"0.9 g/kg\" --leaf 10g --drop 24.5mg",
        "gutta dose \"0.9 g/kg\" --leaf 10g --at 12% --drop 24.5mg",
        "gutta dose 0.9g/kg --leaf \"10 g ± 0.1 g\" --at \"12% ± 1%\" --drop 24.5mg",
        "gutta dose 0.9g/kg --leaf 10g --at 12% --basis as-weighed --drop 24.5mg",
        "gutta dose 9mg --leaf 10.0g --at 10% --drop 24.5mg",
    ] {
        let dosed = json(line);
        let dilute = json(&to_type(&dosed));
        let (asked, planned) = (
            value(&dosed, "mass", "g"),
            value(&dilute, "flavour_needed", "g"),
        );
        assert!(
            (planned / asked - 1.0).abs() < 1e-9,
            "{line}: {asked} {planned}"
        );
    }
    for basis in ["", " --at 12%", " --at 12% --basis as-weighed"] {
        let line = format!("gutta series 0g/kg 0.3g/kg 10g/kg --leaf 96g{basis} --drop 24.5mg");
        let series = json(&line);
        let dilute = json(&to_type(&series));
        let asked = series["answer"]["steps"][1]["mass"]["value"]
            .as_f64()
            .unwrap();
        let planned = value(&dilute, "flavour_needed", "g");
        assert!(
            (planned / asked - 1.0).abs() < 1e-9,
            "{line}: {asked} {planned}"
        );
    }
    // Without leaf there is no dose to type.
    let bare = text("gutta dose 9mg --drop 24.5mg");
    assert!(
        bare.contains(
            "gutta dilute works it out for your leaf, your scale and the dilution's own drop"
        ),
        "{bare}"
    );
}

/// A dose on dry leaf is as doubtful as the moisture: 1 point in 88 is 1.1 %.
#[test]
fn the_doubt_is_on_the_basis() {
    let line = "gutta series 0g/kg 9g/kg --leaf 20g --at \"12% ± 1%\" --drop 30mg";
    let series = text(line);
    assert!(
        series.contains(
            "the last dose reached 10.23 g/kg ± 0.12 g/kg of dry leaf (95 %): all of the doubt from moisture"
        ),
        "{series}"
    );
    let line =
        "gutta dilute 0.9g/kg --leaf 10.0g --at \"12% ± 1%\" --dilution-drop 30mg --weigh 0.5g";
    let dilution = text(line);
    assert!(
        dilution.contains("the dose reached 0.900 g/kg ± 0.010 g/kg of dry leaf (95 %): all of the doubt from moisture"),
        "{dilution}"
    );
    assert!(
        dilution.contains("weighings of flavouring and carrier"),
        "{dilution}"
    );
}

#[test]
fn what_else_is_said() {
    // What the carrier brings: 33.3 % alcohol, which goes, and water, which stays.
    let line = "gutta dilute 0.9g/kg --leaf 10.0g --at 12% --dilution-drop 21mg --carrier \"alcohol 40% vol\" --scale 0.01g";
    let with = json(line);
    let carrier = value(&with, "carrier_in_trial", "g");
    let water = 1.2 + carrier * 0.66700;
    let given = value(&with, "dose_reached", "g/kg") * 10.0 / 1000.0;
    let after = 100.0 * water / (8.8 + given + water);
    assert!((value(&with, "moisture_after", "%") - after).abs() < 1e-3);
    // On dry leaf, since the moisture is known.
    assert!((value(&with, "dose_reached_dry", "g/kg") - 0.9).abs() < 1e-9);
    let finer =
        text("gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --weigh 0.1g --scale 0.01g");
    assert!(
        finer.contains("the smaller of the two weighings may be off by 10 %"),
        "{finer}"
    );
    let weak = text("gutta dilute 10mg/kg --leaf 10g --dilution-drop 29mg --scale 0.01g");
    assert!(
        weak.contains("dilute twice, first 0.50 g of flavouring with 24.50 g of carrier, 1 in 50; then, with that as the flavouring: gutta dilute \"0.5 g/kg\" --leaf 10g"),
        "{weak}"
    );
    let alike = text("gutta series 5g/kg 6g/kg --leaf 10g --drop 24.5mg");
    assert!(
        alike.contains("two doses come to the same whole drops, 5 g/kg and 6 g/kg"),
        "{alike}"
    );
    let dry = json("gutta series 0g/kg 10g/kg --leaf 60g --at 13% --drop 24.5mg");
    assert_eq!(dry["answer"]["basis"], "dry");
    let reached = dry["answer"]["steps"][1]["dose_reached_dry"]["value"]
        .as_f64()
        .unwrap();
    assert!(
        (reached - 11.0 * 24.5 / (30.0 * 0.87)).abs() < 1e-9,
        "{reached}"
    );
    let drawn = json(
        "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop \"29mg ± 1mg\" --scale 0.01g --draws 20000",
    );
    assert!(
        drawn["draws"]["figures"]["dose_reached"]["u"]
            .as_f64()
            .unwrap()
            > 0.0
    );
}

/// 7 g/kg on 10 g are 70 mg in 116: 0.5 g of carrier at 46 parts to 70 want
/// 0.7609 g of flavouring, the next step of the scale 0.77 g.
#[test]
fn the_carrier_too_is_weighed_well() {
    let line = "gutta dilute 7g/kg --leaf 10g --dilution-drop 29mg --scale 0.01g";
    let made = json(line);
    assert!((value(&made, "neat_to_weigh", "g") - 0.77).abs() < 1e-9);
    let carrier = value(&made, "carrier_to_weigh", "g");
    assert!((carrier - 0.77 * 46.0 / 70.0).abs() < 1e-9 && carrier >= 0.5);
    let said = text(line);
    assert!(
        said.contains("The flavouring is more than the 0.50 g that the scale weighs within 2 %, so that the carrier is weighed as well."),
        "{said}"
    );
    // Typed, it is the person's own figure: said to be small.
    let small = text(&format!("{line} --weigh 0.6g"));
    assert!(
        small.contains("off by 2.536 % on this scale: weigh 0.77 g of flavouring or more"),
        "{small}"
    );
    // With the tolerance it does for 2.536 %.
    let looser = text(&format!("{line} --weigh 0.6g --tolerance 3%"));
    assert!(!looser.contains("on this scale: weigh"), "{looser}");
}

#[test]
fn what_is_too_coarse_or_too_much_is_said() {
    let coarse = json("gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --scale 1g");
    assert_eq!(
        cautions(&coarse)[0],
        "too little for this scale, which weighs 50 g within 2 %: 10 g of leaf; make more at once, or weigh on a finer scale"
    );
    let ready =
        json("gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 10% --scale 10g");
    assert!(cautions(&ready)[0].contains("which weighs 500 g within 2 %: 10 g of leaf"));
    let portions = json("gutta series 0g/kg 5g/kg --leaf 10g --drop 24.5mg --scale 1g");
    assert!(cautions(&portions)[0].contains("5 g of leaf in each portion"));
    // 0.01 mg in 116 mg: 10 g are in 116 kg.
    let line = "gutta dilute 1mg/kg --leaf 10g --dilution-drop 29mg --weigh 10g";
    let much = json(&format!("{line} --scale 0.1g"));
    assert_eq!(
        cautions(&much)[0],
        "116 kg of carrier is more than anybody makes for a count of drops: dilute twice"
    );
    assert!(
        lines(&much, "next")[1]
            .contains("first 5.0 g of flavouring with 495.0 g of carrier, 1 in 100"),
        "{much}"
    );
    let bare = json(line);
    assert!(cautions(&bare)[0].ends_with("weigh less flavouring, or take fewer drops"));
}

/// 20 drops in a millilitre of alcohol of 40 % vol, 948.05 kg/m³ ± 0.006 kg/m³ at
/// 20 °C (`reference-data/alcohol/ethanol-volume-strength.csv`).
#[test]
fn a_drop_by_its_volume_or_its_dropper() {
    let line = "gutta dilute 0.9g/kg --leaf 10g --scale 0.01g --dilution-drop \"20/mL ± 1/mL\" --carrier \"alcohol 40% vol\"";
    let made = json(line);
    assert!((value(&made, "mass_reached", "g") - 4.0 * 0.05 * 0.948_05).abs() < 4.0 * 0.05 * 6e-6);
    let assumed = lines(&made, "assumed");
    assert!(
        assumed.contains(&"density of alcohol 40 % vol, 0.948 g/mL"),
        "{assumed:?}"
    );
    assert!(
        assumed.contains(&"the density of the carrier stands for that of the dilution"),
        "{assumed:?}"
    );
    assert_eq!(made["budget"][0]["input"], "drop of the dilution");
    // The six weighings of the book: 2.56 g over 120 drops.
    let dropper = json(
        "gutta dilute 0.9g/kg --leaf 10g --scale 0.01g --dilution-dropper amber --carrier \"fig tincture\" --book demo-data",
    );
    let assumed = lines(&dropper, "assumed");
    assert!((value(&dropper, "mass_reached", "g") - 4.0 * 2.56 / 120.0).abs() < 1e-9);
    assert!(
        assumed.contains(
            &"the dilution drops like fig tincture, which the dropper is calibrated with"
        ),
        "{assumed:?}"
    );
}

/// 9 mg are 0.6207 drops of 29 mg at 50 %; 1 g of that with 5.444 g of carrier is
/// 7.759 %, of which 4 drops hold 9 mg.
#[test]
fn a_dilution_too_strong_is_weakened() {
    let line = "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 50%";
    let said = text(line);
    assert!(
        said.contains(
            "weigh 1 g of it and 5.444 g of carrier, and 4 drops of that give the dose. "
        ),
        "{said}"
    );
    assert!(!said.contains("leave --strength out"), "{said}");
    let strong = json(line);
    let weaker = value(&strong, "weaker_strength", "%");
    assert!((weaker - 100.0 * 9.0 / 116.0).abs() < 1e-9);
    let again = json(&line.replace("50%", &format!("{weaker}%")));
    assert!((value(&again, "drops_exact", "drop") - 4.0).abs() < 1e-9);
    let weighed = json(&format!("{line} --scale 0.01g"));
    assert!((value(&weighed, "bottle_to_weigh", "g") - 0.5).abs() < 1e-12);
    let mixed = value(&weighed, "bottle_to_weigh", "g") + value(&weighed, "carrier_to_weigh", "g");
    assert!((50.0 * 0.5 / mixed - weaker).abs() < 1e-9);
    assert!((value(&weighed, "stock", "g") - mixed).abs() < 1e-12);
    // More than a kilogram of carrier for a gram: made anew, or in two steps.
    let far = text("gutta dilute 1mg/kg --leaf 10g --dilution-drop 29mg --strength 50%");
    assert!(far.contains("leave --strength out"), "{far}");
}

#[test]
fn neat_drops_that_will_do_come_first() {
    let line = "gutta dilute 20g/kg --leaf 10g --drop 9.8mg --dilution-drop 120mg --scale 0.01g";
    let said = text(line);
    // 200 mg are 20.41 drops; 20 of them 196 mg.
    assert!(
        said.starts_with("Count 20 drops of the flavouring itself, which reach 19.60 g/kg of leaf as weighed: no dilution is needed. Diluted all the same: weigh 0.50 g"),
        "{said}"
    );
    let counted = json(line);
    assert!((value(&counted, "neat_count", "drop") - 20.0).abs() < 1e-12);
    assert!((value(&counted, "neat_dose_reached", "g/kg") - 19.6).abs() < 1e-9);
    // 1.4 drops are 1 with a miss of 29 %: that is diluted.
    let between =
        json("gutta dilute 1.4g/kg --leaf 10g --drop 10mg --dilution-drop 29mg --scale 0.01g");
    assert!(between["answer"]["neat_count"].is_null());
}

#[test]
fn words_fit_their_numbers() {
    let one = text("gutta dilute 0.3g/kg --leaf 10g --dilution-drop 30mg --drops 1 --weigh 1g");
    assert!(one.contains("1 drop of that gives 0.3 g/kg"), "{one}");
    assert!(
        one.contains("1 drop brings 0.027 g of carrier too"),
        "{one}"
    );
    let ready = text("gutta dilute 0.3g/kg --leaf 10g --dilution-drop 30mg --strength 10%");
    assert!(ready.contains("1 drop reaches 0.3 g/kg"), "{ready}");
    let series = text("gutta series 0g/kg 0.3g/kg --leaf 40g --drop 6mg");
    assert!(
        series.contains("1 drop (1 drop), which reaches 0.3 g/kg"),
        "{series}"
    );
    // Of 4 drops of 25 mg: 8 mg are 8 %, 11 mg 11 %, and so on.
    for (milligrams, said) in [
        ("8", "an 8.0 % dilution"),
        ("8.88", "an 8.88 % dilution"),
        ("11", "an 11.0 % dilution"),
        ("18", "an 18.0 % dilution"),
        ("80", "an 80.0 % dilution"),
        ("1.8", "a 1.8 % dilution"),
        ("10", "a 10.0 % dilution"),
        ("12", "a 12.0 % dilution"),
        ("0.88", "a 0.88 % dilution"),
    ] {
        let line =
            format!("gutta dilute {milligrams}mg/g --leaf 1g --dilution-drop 25mg --weigh 1g");
        let made = text(&line.replace("mg/g", "g/kg"));
        assert!(made.contains(said), "{made}");
    }
    // No alcohol, none that leaves.
    let line = "gutta dilute 0.9g/kg --leaf 10g --at 12% --dilution-drop 29mg --scale 0.01g";
    let glycol = text(&format!("{line} --carrier glycol"));
    assert!(
        glycol.contains("the flavouring itself brings no water") && !glycol.contains("alcohol"),
        "{glycol}"
    );
    let alone =
        text("gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --scale 0.01g --carrier glycol");
    assert!(
        alone.contains("to see what glycol does to the moisture of the leaf, type that too, such as --at 12% --basis as-weighed"),
        "{alone}"
    );
    assert!(!glycol.contains("to see what glycol does"), "{glycol}");
    let oil = text(
        "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 24mg --scale 0.01g --carrier \"bergamot oil\" --book demo-data",
    );
    assert!(
        oil.contains("it is not known what is in bergamot oil, nor what it does to the moisture"),
        "{oil}"
    );
    assert_eq!(json(line)["answer"]["basis"], "dry");
    let as_weighed = json(&format!("{line} --basis as-weighed"));
    assert_eq!(as_weighed["answer"]["basis"], "as-weighed");
}

#[test]
fn each_dose_below_a_drop_is_named() {
    let series = json(
        "gutta series 0g/kg 0.1g/kg 0.2g/kg 0.2g/kg 0.3g/kg 0.4g/kg 0.5g/kg --leaf 70g --drop 24.5mg",
    );
    let next = lines(&series, "next");
    for (line, dose) in next[1..4].iter().zip(["0.1", "0.2", "0.3"]) {
        let begin = format!("for {dose} g/kg: gutta dilute \"{dose} g/kg\" --leaf 10g");
        assert!(line.starts_with(&begin), "{next:?}");
    }
    assert_eq!(next[4], "and so on for 0.4 g/kg, 0.5 g/kg");
    assert_eq!(
        cautions(&series)[0],
        "0.2 g/kg is typed more than once: portions 3 and 4 are alike"
    );
    // The same dose twice is not two that come to the same drops.
    let twice = text("gutta series 5g/kg 10g/kg 5g/kg 5g/kg --leaf 96g --drop 24.5mg");
    assert!(
        twice.contains("5 g/kg is typed more than once: portions 1, 3 and 4 are alike"),
        "{twice}"
    );
    assert!(!twice.contains("same whole drops"), "{twice}");
    let apart = text("gutta series 5g/kg 10g/kg 5.1g/kg --leaf 96g --drop 24.5mg");
    assert!(
        apart.contains("same whole drops, 5 g/kg and 5.1 g/kg"),
        "{apart}"
    );
    // A density that goes into nothing is not assumed; one that does is.
    let unused = text("gutta series 0g/kg 5g/kg --leaf 96g --drop 24.5mg --density 0.9g/mL");
    assert!(!unused.contains("density"), "{unused}");
    let spirit =
        text("gutta series 0g/kg 5g/kg --leaf 96g --drop 24.5mg --liquid \"alcohol 70% vol\"");
    assert!(
        !spirit.contains("density") && spirit.contains("alcohol burns"),
        "{spirit}"
    );
    let used = text("gutta series 0g/kg 5g/kg --leaf 96g --drop 20/mL --density 0.9g/mL");
    assert!(used.contains("density 0.9 g/mL"), "{used}");
}

/// The budget is that of the first figure with a doubt, and the screen's line is
/// about the same.
#[test]
fn screen_and_json_talk_of_one_doubt() {
    for (line, first, said, worst) in [
        (
            "gutta dilute 0.9g/kg --leaf 10.0g --at \"12% ± 1%\" --dilution-drop 29mg --scale 0.01g",
            "dose_reached_dry",
            "the dose reached",
            "weighing of the flavouring",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --weigh 0.8g --scale 0.01g",
            "dose_reached",
            "the dose reached",
            "weighing of the flavouring",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop \"29mg ± 1mg\" --strength 50%",
            "drops_exact",
            "the drops",
            "drop of the dilution",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --drop \"24mg ± 1mg\" --weigh 1g",
            "neat_drops",
            "the drops neat",
            "drop",
        ),
        (
            "gutta series 0g/kg 9g/kg --leaf 20g --at \"12% ± 1%\" --drop 30mg",
            "last_dose_reached_dry",
            "the last dose reached",
            "moisture",
        ),
        (
            "gutta series 0g/kg 9g/kg --leaf 20g --drop 30mg --scale 0.1g",
            "last_dose_reached",
            "the last dose reached",
            "leaf",
        ),
        (
            "gutta series 0g/kg 0.1g/kg --leaf 20g --drop 30mg --scale 0.1g",
            "portion",
            "a portion",
            "portion",
        ),
    ] {
        let answer = json(line);
        let figures = answer["answer"].as_object().unwrap();
        let with_doubt = figures.iter().find(|(_, figure)| figure["u"].is_number());
        assert_eq!(
            with_doubt.map(|(key, _)| key.as_str()),
            Some(first),
            "{line}"
        );
        assert_eq!(answer["budget"][0]["input"], worst, "{line}");
        let screen = text(line);
        let doubt = &screen[screen.find("Doubt ").unwrap()..];
        assert!(doubt.starts_with(&format!("Doubt {said} ")), "{doubt}");
        assert!(
            doubt.contains(&format!("of the doubt from {worst}")),
            "{doubt}"
        );
    }
}

#[test]
fn screens_are_narrow_where_asked() {
    for line in [
        "gutta dilute 0.9g/kg --leaf 10.0g --at 12% --dilution-drop 21mg --carrier \"alcohol 40% vol\" --scale 0.01g --narrow --working",
        "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --strength 10% --narrow --working",
        "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --strength 50% --scale 1g --narrow --working",
        "gutta dilute 7g/kg --leaf 10g --drop 10mg --dilution-drop 29mg --scale 0.01g --narrow --working",
        "gutta dilute 1mg/kg --leaf 10g --dilution-drop 29mg --weigh 10g --scale 0.1g --narrow --working",
        "gutta dose 0.9g/kg --leaf \"10 g ± 0.1 g\" --at \"12% ± 1%\" --drop 24.5mg --narrow --working",
        "gutta series 0g/kg 0.5g/kg 10g/kg 15g/kg --leaf 96.0g --drop 24.5mg --narrow --working",
    ] {
        let run = typed(line);
        assert_eq!(run.code, 0, "{line}\n{}", run.err);
        for printed in run.out.lines() {
            assert!(printed.chars().count() <= 40, "{line}\n{printed}");
        }
    }
}
