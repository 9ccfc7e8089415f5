//! Less than a drop, and series of doses, through the program.

use gutta_tests::situations::situation;
use serde_json::Value;

use super::program::{complaint, json, refused, text, typed, value};

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
    assert!(weak.contains("less than one: dilute it further"), "{weak}");
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

/// The question that an answer says to type, its gaps filled in.
fn to_type(answer: &Value) -> String {
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
        weak.contains("dilute twice, first to 2.9 % and then that to 0.0862 %"),
        "{weak}"
    );
    let alike = text("gutta series 5g/kg 6g/kg --leaf 10g --drop 24.5mg");
    assert!(
        alike.contains("two doses come to the same whole drops"),
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

/// What is declined or cannot be read, word for word.
#[test]
fn what_is_wrong_is_said() {
    for (line, code, flag, message, hint) in [
        (
            "gutta dilute 20g/kg --leaf 10g --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "count drops of the flavouring itself, or take 7 drops of the dilution or more",
        ),
        // 0.2 g are 8.16 drops of 24.5 mg; 0.01 g are 1 drop of 10 mg, and less
        // than half of one of 24.5 mg.
        (
            "gutta dilute 20g/kg --leaf 10g --drop 24.5mg --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "count 8 drops of the flavouring itself, or take 7 drops of the dilution or more",
        ),
        (
            "gutta dilute 1g/kg --leaf 10g --drop 10mg --dilution-drop 9mg --drops 1 --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 1 drop of the dilution weighs: there is nothing to dilute",
            "count 1 drop of the flavouring itself, or take 2 drops of the dilution or more",
        ),
        (
            "gutta dilute 1g/kg --leaf 10g --drop 24.5mg --dilution-drop 9mg --drops 1 --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 1 drop of the dilution weighs: there is nothing to dilute",
            "take 2 drops of the dilution or more",
        ),
        // 200 g are 6897 drops of 29 mg, and 2 kg of a tenth.
        (
            "gutta dilute 20g/kg --leaf 10kg --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "weigh 200.0 g of the flavouring itself: so much is not counted",
        ),
        (
            "gutta dilute 20g/kg --leaf 10kg --dilution-drop 29mg --strength 10%",
            1,
            "DOSE",
            "the dose is more than 1000 drops of this dilution: nobody counts so many",
            "weigh 2000.0 g of it, or take a stronger one",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --weigh \"0.8g ± 0.02g\"",
            2,
            "--weigh",
            "what is to be weighed is a plain figure",
            "type it alone, such as --weigh 0.8g: the scale's step says how well it is weighed",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --weigh 0.004g --scale 0.01g",
            1,
            "--weigh",
            "so little flavouring is below the scale's division",
            "weigh 3 times as much flavouring, or use a finer scale",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --scale 0.01g",
            2,
            "--dilution-drop",
            "the mass of a drop of the dilution is missing",
            "a weak dilution drops like its carrier: count 20 drops of the carrier onto the zeroed scale, and type their mass over 20 as --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg",
            2,
            "--scale",
            "neither the scale nor the flavouring to weigh is said",
            "type the scale's step, such as --scale 0.01g, or what to weigh, such as --weigh 0.8g",
        ),
        (
            "gutta dilute 0.9g/kg --dilution-drop 29mg --scale 0.01g",
            2,
            "--leaf",
            "the leaf as weighed is missing",
            "type what the trial weighs, such as --leaf 10.0g",
        ),
        (
            "gutta dilute --leaf 10g",
            2,
            "DOSE",
            "the dose is missing",
            "type what is wanted for each kilogram of leaf, such as \"0.9 g/kg\"",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --basis dry --dilution-drop 29mg --scale 0.01g",
            2,
            "--at",
            "a dose on dry leaf needs the moisture",
            "type the moisture of the leaf, such as --at 12%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 100%",
            2,
            "--strength",
            "the strength of a dilution must be above 0 % and below 100 %, not 100 %",
            "type the flavouring in it by mass, such as 10%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --drops 2.5 --scale 0.01g",
            2,
            "--drops",
            "the drops are a whole count from 1 to 1000",
            "type a count such as --drops 4",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 290mg --scale 0.01g",
            1,
            "--dilution-drop",
            "a typed drop must be from 5 mg to 120 mg, not 290 mg",
            "calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size",
        ),
        (
            "gutta dilute 0.9 --leaf 10g",
            2,
            "DOSE",
            "`0.9` has no unit",
            "type it as flavouring for each kilogram of leaf, such as 0.9g/kg",
        ),
        (
            "gutta series 5mL 10g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "`5mL` is a volume, and a share is asked for",
            "type it as flavouring for each kilogram of leaf, such as 0.9g/kg",
        ),
        (
            "gutta series 5g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "a series has two doses or more",
            "type each dose, the blank too: 0g/kg 5g/kg 10g/kg",
        ),
        (
            "gutta series 5g/kg 10g/kg --leaf 10g",
            2,
            "--drop",
            "the mass of a drop is missing",
            "weigh it in two minutes: count 20 drops onto the zeroed scale, and type its mass over 20 as --drop 21.4mg, or run gutta dropper 20=0.428g with more weighings",
        ),
        (
            "gutta series 5g/kg -1g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "a dose must be above 0 g/kg and at most 1000 g/kg, not -1 g/kg",
            "a dose is flavouring per leaf: type a figure such as 15 g/kg",
        ),
        (
            "gutta dose 3drops --book demo-data --dropper glass --liquid \"alcohol 40% vol\" --leaf 10g",
            1,
            "--dropper",
            "dropper glass is calibrated with water, not with alcohol 40 % vol",
            "a drop of another liquid has another mass: weigh 20 drops of the flavouring, and type their mass over 20 as --drop 21.4mg; gutta dropper --then works out that of thin liquids; for water itself say --liquid water",
        ),
    ] {
        let error = refused(line, code);
        let error = &error["error"];
        assert_eq!(error["message"], message, "{line}");
        assert_eq!(error["hint"], hint, "{line}");
        assert_eq!(error["flag"], flag, "{line}");
        let said = complaint(line, code);
        assert!(said.contains(flag), "{line}\n{said}");
    }
}

#[test]
fn screens_are_narrow_where_asked() {
    for line in [
        "gutta dilute 0.9g/kg --leaf 10.0g --at 12% --dilution-drop 21mg --carrier \"alcohol 40% vol\" --scale 0.01g --narrow --working",
        "gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --strength 10% --narrow --working",
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
