//! Repairs through the program.

use serde_json::Value as Json;

use gutta_tests::situations::situation;

use super::program::{complaint, json, refused, text, typed, value};

/// A figure of one component of a restored ratio.
fn part(answer: &Json, component: &str, key: &str) -> f64 {
    answer["answer"]["parts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["component"] == component)
        .unwrap_or_else(|| panic!("no {component}"))[key]["value"]
        .as_f64()
        .unwrap()
}

#[test]
fn s10_one_component_over_weighed() {
    let s = situation("S10");
    let line = "gutta repair ratio \"36.8g flue-cured 46%\" \"17.6g oriental 22%\" \"14.4g stoved 18%\" \"13.9g fire-cured 14%\"";
    let restored = json(line);
    s.assert_answer("new_batch", value(&restored, "batch", "g"));
    for (name, key) in [
        ("flue-cured", "flue_cured"),
        ("oriental", "oriental"),
        ("stoved", "stoved"),
    ] {
        s.assert_answer(&format!("{key}_total"), part(&restored, name, "total"));
        s.assert_answer(&format!("{key}_add"), part(&restored, name, "add"));
    }
    s.assert_answer(
        "fire_cured_share_if_left",
        part(&restored, "fire-cured", "share_if_left"),
    );
    assert_eq!(restored["answer"]["leave_it"], "no");
    // 2.808 points off: put up with it, and it can be left.
    let left = json(&format!("{line} --tolerance 3%"));
    assert_eq!(left["answer"]["leave_it"], "yes");
    let said = text(&format!("{line} --scale 0.1g"));
    assert!(said.starts_with("Add 8.9 g of flue-cured, 4.2 g of oriental, 3.5 g of stoved: that makes 99.3 g, in ratio."), "{said}");
    assert!(said.contains("Leave it: fire-cured is then 16.81 % in place of 14 %, 2.808 points off, more than the 1 point put up with."), "{said}");
}

#[test]
fn s11_s12_s27_s30() {
    let s = situation("S11");
    let topped = json("gutta repair top-up --pile 215g --share 22% --to 28%");
    s.assert_answer("oriental_add", value(&topped, "add", "g"));
    s.assert_answer("pile_after", value(&topped, "pile_after", "g"));
    s.assert_answer(
        "other_shares_factor",
        topped["answer"]["others_factor"].as_f64().unwrap(),
    );

    // 150 g at 5:2 are 107.142857 g and 42.857143 g.
    let s = situation("S12");
    let restored =
        json("gutta repair ratio \"107.142857g base 7 parts\" \"42.857143g condiment 2 parts\"");
    s.assert_answer("base_add", part(&restored, "base", "add"));
    s.assert_answer("pile_after", value(&restored, "batch", "g"));

    let s = situation("S27");
    let spread = json("gutta repair soaked --batch 500g --component 90g --flavouring 3.0g");
    s.assert_answer("local_dose", value(&spread, "local_dose", "g/kg"));
    s.assert_answer("batch_dose", value(&spread, "dose", "g/kg"));
    let steps: Vec<String> = spread["answer"]["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|step| format!("{:.0}", step["value"].as_f64().unwrap()))
        .collect();
    s.assert_text("mix_steps", &steps.join(" "));

    let s = situation("S30");
    let weakened = json("gutta repair flavour --leaf 500g --dose 18g/kg --to 12g/kg");
    s.assert_answer("plain_blend_add", value(&weakened, "add", "g"));
    s.assert_answer("batch_after", value(&weakened, "leaf_after", "g"));
}

/// On dry leaf each component counts by its own moisture: 44 g of dry bright and
/// 25.2 g of dry dark, 84 g dry in all at 30 % dark: 58.8 g of bright, 14.8 more,
/// 16.818 g as weighed.
#[test]
fn shares_of_dry_leaf() {
    let line = "gutta repair ratio \"50g bright 70% at 12%, 10g left\" \"30g dark 30% at 16%\"";
    let dry = json(line);
    assert!((part(&dry, "bright", "add") - 14.8 / 0.88).abs() < 1e-9);
    assert!(
        dry["assumed"]
            .to_string()
            .contains("shares are of dry leaf")
    );
    assert!((value(&dry, "short_of", "g") - (14.8 / 0.88 - 10.0)).abs() < 1e-9);
    let as_weighed = json(&format!("{line} --basis as-weighed"));
    assert!((part(&as_weighed, "bright", "add") - 20.0).abs() < 1e-9);
    // What was forgotten is not in the pan yet; a doubt goes through.
    let forgotten = json("gutta repair ratio \"0g bright 70%\" \"30g ± 0.3g dark 30%\"");
    assert!((part(&forgotten, "bright", "add") - 70.0).abs() < 1e-9);
    let u = forgotten["answer"]["batch"]["u"].as_f64().unwrap();
    // The factor of the 95 % interval is known to seven figures here.
    assert!((u - 0.3 / 1.959_964 / 0.3).abs() < 1e-7, "{u}");
    let right = text("gutta repair ratio \"70g bright 70%\" \"30g dark 30%\"");
    assert!(
        right.starts_with("Add nothing: the pan is in its ratio, 100 g."),
        "{right}"
    );
}

/// What is declined or cannot be read, word for word.
#[test]
fn what_is_wrong_is_said() {
    let form = "type each as it lies in the pan with its name and share in quotes: \"36.8g flue-cured 46%\"";
    for (line, code, flag, message, hint) in [
        (
            "gutta repair ratio",
            2,
            "COMPONENT",
            "no component was given",
            form,
        ),
        (
            "gutta repair ratio \"36.8g flue-cured\" \"3g b 5%\"",
            2,
            "COMPONENT",
            "the component has no share",
            form,
        ),
        (
            "gutta repair ratio \"36.8g 46%\" \"3g b 5%\"",
            2,
            "COMPONENT",
            "the component has no name",
            form,
        ),
        (
            "gutta repair ratio \"36.8g a 46%\" \"3g b 5%\"",
            1,
            "COMPONENT",
            "the shares make 51 %, not 100 %",
            "correct one of them, or name the component that is missing",
        ),
        (
            "gutta repair ratio \"36.8g a 46%\" \"3g b 2 parts\"",
            2,
            "COMPONENT",
            "some shares are in parts, others in %",
            "type all of them in one way",
        ),
        (
            "gutta repair ratio \"36.8g a 46%\" \"3g a 54%\"",
            2,
            "COMPONENT",
            "a stands twice",
            "add its two masses, and type it once",
        ),
        (
            "gutta repair ratio \"36.8g a 46%\"",
            2,
            "COMPONENT",
            "a ratio has two components or more",
            "name every component that lies in the pan",
        ),
        (
            "gutta repair ratio \"36.8g a 46%\" \"3g b 54%\" --basis dry",
            2,
            "COMPONENT",
            "the moisture of a is missing",
            "shares of dry leaf need the moisture of every component",
        ),
        (
            "gutta repair ratio \"3g a 0%\" \"3g b 100%\"",
            2,
            "COMPONENT",
            "a share must be above 0 % and at most 100 %, not 0 %",
            "type the share of the component, such as 22%",
        ),
        (
            "gutta repair ratio \"3g a x parts\" \"3g b 2 parts\"",
            2,
            "COMPONENT",
            "`x` is no number of parts",
            "type parts of any total, such as 7 parts",
        ),
        (
            "gutta repair top-up --pile 215g --share 22% --to 100%",
            1,
            "--to",
            "no share is raised to 100 % by adding",
            "ask for less, or start from that component alone",
        ),
        (
            "gutta repair top-up --pile 215g --share 22% --to 20%",
            1,
            "--to",
            "a top-up raises a share: nothing is taken out",
            "to lower a share, raise the others",
        ),
        (
            "gutta repair top-up --share 22% --to 28%",
            2,
            "--pile",
            "the mass of the pile is missing",
            "weigh it, and type what the scale shows, such as --pile 215g",
        ),
        (
            "gutta repair flavour --leaf 500g --dose 12g/kg --to 18g/kg",
            1,
            "--to",
            "plain leaf brings a dose down, not up",
            "for more flavour add flavouring: the dose says how much",
        ),
        (
            "gutta repair flavour --leaf 500g --dose 18 --to 12g/kg",
            2,
            "--dose",
            "`18` has no unit",
            "type it as flavouring for each kilogram of leaf, such as 0.9g/kg",
        ),
        (
            "gutta repair soaked --batch 500g --component 900g --flavouring 3g",
            1,
            "--component",
            "the component is more than the batch that it is part of",
            "the batch is all of the leaf, the soaked component among it",
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
        "gutta repair ratio \"36.8g flue-cured 46%\" \"17.6g oriental 22%\" \"14.4g stoved 18%\" \"13.9g fire-cured 14%\" --narrow --working",
        "gutta repair top-up --pile 215g --share 22% --to 28% --narrow --working",
        "gutta repair flavour --leaf 500g --dose 18g/kg --to 12g/kg --narrow --working",
        "gutta repair soaked --batch 500g --component 90g --flavouring 3.0g --narrow --working",
    ] {
        let run = typed(line);
        assert_eq!(run.code, 0, "{line}\n{}", run.err);
        for printed in run.out.lines() {
            assert!(printed.chars().count() <= 40, "{line}\n{printed}");
        }
    }
}

/// S10 once more, as a sheet for the bowl as it is: what is added, the size, and
/// what it is if it is left.
#[test]
fn s10_a_bowl_is_sheeted_as_it_is() {
    let s = situation("S10");
    let leaves = ["flue_cured", "oriental", "stoved"];
    let share = |leaf: &str| s.given(leaf);
    let in_bowl = |leaf: &str| s.given("batch") * share(leaf) / 100.0;
    let mut line = String::from("gutta sheet");
    for leaf in leaves.iter().chain(&["fire_cured"]) {
        line += &format!(" \"{} % {leaf}\"", share(leaf));
    }
    for leaf in leaves {
        line += &format!(" --in-bowl \"{} g {leaf}\"", in_bowl(leaf));
    }
    line += &format!(
        " --in-bowl \"{} g fire_cured\"",
        s.given("fire_cured_in_pan")
    );
    let sheet = json(&line);
    s.assert_answer("new_batch", value(&sheet, "leaf", "g"));
    s.assert_answer("factor", value(&sheet, "leaf", "g") / s.given("batch"));
    let rows = sheet["answer"]["lines"].as_array().expect("lines");
    // What is all there is no line: nothing of it is weighed.
    assert_eq!(rows.len(), 3);
    for leaf in leaves {
        let row = rows
            .iter()
            .find(|row| row["component"] == leaf)
            .expect("a line");
        let number = |key: &str| row[key]["value"].as_f64().expect("a number");
        s.assert_answer(&format!("{leaf}_add"), number("mass"));
        s.assert_answer(&format!("{leaf}_total"), number("mass") + number("in_bowl"));
    }
    let last = rows.last().expect("a line")["reads"]["value"].as_f64();
    s.assert_answer("new_batch", last.expect("a reading"));
    let said = text(&line);
    assert!(
        said.contains("fire_cured 16.81 % in place of 14 %"),
        "{said}"
    );
    let off = value(&sheet, "off_if_left", "%");
    s.assert_answer("fire_cured_share_if_left", share("fire_cured") + off);
    s.assert_all_held();
}
