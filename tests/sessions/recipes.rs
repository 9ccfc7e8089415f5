//! Spoonfuls, pre-mixes, whole leaf for strip, and leaf that came out too wet,
//! through the program.

use gutta_tests::situations::situation;
use serde_json::Value as Json;

use super::program::{json, text, value};
use super::refusals::{Refusal, all_hold};

const LEAVES: [&str; 4] = ["flue_cured", "oriental", "stoved", "fire_cured"];

fn close(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} is not {want}");
}

#[test]
fn s31_a_spoon_recipe_in_grams() {
    let s = situation("S31");
    // Ten spoonfuls, as they were weighed.
    let line = |leaf: &&str| {
        let (spoons, one) = (
            s.given(&format!("{leaf}_spoons")),
            s.given(&format!("{leaf}_per_spoon")),
        );
        format!(
            "\"{spoons} tbsp {leaf}: 10={}g\"",
            (one * 1000.0).round() / 100.0
        )
    };
    let lines: Vec<String> = LEAVES.iter().map(line).collect();
    let answer = json(&format!("gutta spoons {}", lines.join(" ")));
    s.assert_answer("total", value(&answer, "total", "g"));
    let rows = answer["answer"]["lines"].as_array().expect("lines");
    for (leaf, row) in LEAVES.iter().zip(rows) {
        assert_eq!(row["component"], *leaf);
        s.assert_answer(
            &format!("{leaf}_share"),
            row["share"]["value"].as_f64().expect("a share"),
        );
    }
    s.assert_all_held();
}

/// By hand: 21.4, 22.0 and 21.1 g have a mean of 21.5 and s = 0.4583 g, so that
/// u of the mean is 0.2646 g for ten spoonfuls, 0.05292 for the two of the recipe.
#[test]
fn several_weighings_of_a_spoonful_have_their_scatter() {
    let answer = json("gutta spoons \"2 bright: 10=21.4g, 10=22.0g, 10=21.1g\" \"1 dark: 10=26g\"");
    let bright = &answer["answer"]["lines"][0]["mass"];
    close(bright["value"].as_f64().expect("a mass"), 4.3, 1e-12);
    close(bright["u"].as_f64().expect("a doubt"), 0.052_915, 5e-7);
    close(bright["dof"].as_f64().expect("two"), 2.0, 0.0);
    let said = text("gutta spoons \"2 bright: 10=21.4g\" \"1 dark: 10=26g\"");
    assert!(
        said.contains("gutta sheet \"4.28 g bright\" \"2.6 g dark\" --batch"),
        "{said}"
    );
}

#[test]
fn s15_a_pre_mix_for_a_share_too_small_to_weigh() {
    let s = situation("S15");
    let own = format!(
        "gutta formula premix --batch {}g --share {}% --base {}% --scale {}g",
        s.given("trial"),
        s.given("condiment_share"),
        s.given("base_share"),
        s.given("scale_division")
    );
    let answer = json(&format!(
        "{own} --condiment {}g --with {}g",
        s.given("premix_condiment"),
        s.given("premix_base")
    ));
    for (key, name, unit) in [
        ("condiment_needed", "condiment_needed", "g"),
        ("take", "premix_take", "g"),
        ("base_in_take", "base_in_take", "g"),
        ("base_to_add", "base_still_to_add", "g"),
        ("error", "condiment_error", "%"),
        ("error_direct", "condiment_error_direct", "%"),
    ] {
        s.assert_answer(name, value(&answer, key, unit));
    }
    s.assert_all_held();
    // Without one of one's own the smallest that keeps to 2 % is found.
    let found = json(&own);
    let gram = |key: &str| value(&found, key, "g");
    let (c, b, take) = (gram("condiment"), gram("base"), gram("take"));
    close(take * c / (c + b), gram("condiment_needed"), 1e-12);
    let part = b / (c + b);
    let error = (part * 0.1 / c).hypot(part * 0.1 / b).hypot(0.1 / take);
    close(value(&found, "error", "%"), 100.0 * error, 1e-9);
    assert!(error <= 0.02 && c + b < 100.0, "{error} {c} {b}");
}

#[test]
fn s24_whole_leaf_for_strip() {
    let s = situation("S24");
    let answer = json(&format!(
        "gutta formula strip --dry {}g --stem {}% --at {}%",
        s.given("dry_strip"),
        s.given("stem_share"),
        s.given("moisture")
    ));
    s.assert_answer("dry_whole_leaf", value(&answer, "dry_whole_leaf", "g"));
    s.assert_answer("whole_leaf", value(&answer, "whole_leaf", "g"));
    s.assert_answer("dry_stem", value(&answer, "dry_stem", "g"));
    s.assert_all_held();
}

/// Leaf too wet, by the roads that are there already: the drier blend is what
/// `moisture mix` makes of two lots, and the stop weight that of `gutta water`.
#[test]
fn a_wet_pile_is_mended_as_lots_are_mixed_and_leaf_is_dried() {
    let wet = json("gutta repair wet --pile 500g --at 18% --to 15% --with 11%");
    let mix = json("gutta moisture mix \"500g 18%\" \"1000g 11%\" --to 15%");
    let part = mix["answer"]["parts"][1]["value"].as_f64().expect("a part");
    close(value(&wet, "add", "g"), part, 1e-9);
    let dry = json("gutta water --leaf 500g --at 18% --to 15%");
    close(
        value(&wet, "stop_mass", "g"),
        value(&dry, "final_mass", "g"),
        1e-9,
    );
    close(
        value(&wet, "water_to_lose", "g"),
        value(&dry, "water_to_lose", "g"),
        1e-9,
    );
    let aired = json("gutta repair wet --pile 500g --at 18% --to 15%");
    assert_eq!(aired["answer"].get("add"), None::<&Json>);
    let said = text("gutta repair wet --pile 500g --at \"18% ± 1%\" --to 15% --with 11%");
    assert!(
        said.starts_with("Add 375 g of the same blend at 11 %")
            && said.contains("Or air it until the scale reads 482.4 g")
            && said.contains("Leave it: it stays at 18 %."),
        "{said}"
    );
}

#[test]
fn what_cannot_be_done_with_them_is_refused() {
    let spoons = "type the spoonfuls of the recipe and the leaf, and behind a colon what ten spoonfuls of it weighed: \"8 flue-cured: 10=21.4g\"";
    let count = "write the count, = and what they weigh, such as 10=21.4g";
    all_hold(&[
        Refusal::new("gutta spoons", 2, "missing", "no leaf was given")
            .flag("LINE")
            .hint(spoons),
        Refusal::new(
            "gutta spoons \"8 bright\"",
            2,
            "unreadable",
            "there is no : in front of the weighings",
        )
        .flag("LINE")
        .under("8 bright", "8 bright")
        .hint(spoons),
        Refusal::new(
            "gutta spoons \"bright: 10=21g\"",
            2,
            "missing",
            "it is not said how many spoonfuls the recipe has",
        )
        .flag("LINE")
        .under("bright: 10=21g", "bright: 10=21g")
        .hint(spoons),
        Refusal::new(
            "gutta spoons \"8: 10=21g\"",
            2,
            "missing",
            "the leaf has no name",
        )
        .flag("LINE")
        .under("8: 10=21g", "8: 10=21g")
        .hint(spoons),
        Refusal::new(
            "gutta spoons \"0 bright: 10=21g\"",
            2,
            "out-of-range",
            "the spoonfuls of bright must be above 0",
        )
        .flag("LINE")
        .under("0 bright: 10=21g", "0 bright: 10=21g")
        .hint("leave out what does not go in"),
        Refusal::new(
            "gutta spoons \"8 bright: ten=21g\"",
            2,
            "number",
            "`ten` is no whole count of spoonfuls",
        )
        .flag("LINE")
        .under("8 bright: ten=21g", "8 bright: ten=21g")
        .hint(count),
        Refusal::new(
            "gutta spoons \"8 bright: 10=21\"",
            2,
            "no-unit",
            "`21` has no unit",
        )
        .flag("LINE")
        .under("8 bright: 10=21", "21")
        .hint("write 21 g, 21 oz, 21 lb, 21 kg or 21 mg"),
        Refusal::new(
            "gutta spoons \"8 bright: 10=21g, 12=25g\"",
            2,
            "clash",
            "10 and 12 spoonfuls of bright were weighed",
        )
        .flag("LINE")
        .under("8 bright: 10=21g, 12=25g", "8 bright: 10=21g, 12=25g")
        .hint("weigh the same number each time, ten of them"),
        Refusal::new(
            "gutta spoons \"8 bright: 10=21g\" \"1 bright: 10=21g\"",
            2,
            "duplicate",
            "bright stands twice",
        )
        .flag("LINE")
        .under("1 bright: 10=21g", "1 bright: 10=21g")
        .hint("add its spoonfuls, and type it once"),
        Refusal::new(
            "gutta formula premix --batch 20g --share 3.5% --base 52%",
            2,
            "missing",
            "the scale is missing",
        )
        .flag("--scale")
        .hint("type its smallest step, such as --scale 0.1g: it is what makes the share too small"),
        Refusal::new(
            "gutta formula premix --batch 1g --share 3.5% --base 52% --scale 1g",
            1,
            "refused",
            "no pre-mix brings this share within the tolerance on this scale",
        )
        .flag("--share")
        .under("3.5%", "3.5%")
        .hint("make a larger batch, take a finer scale, or allow more with --tolerance"),
        Refusal::new(
            "gutta formula strip --dry 750g --stem 100% --at 11.5%",
            2,
            "out-of-range",
            "the share of stem must be at least 0 % and below 100 %, not 100 %",
        )
        .flag("--stem")
        .under("100%", "100%")
        .hint("type the stem in the dry matter of the leaf, such as 22%"),
        Refusal::new(
            "gutta repair wet --pile 500g --at 14% --to 15%",
            1,
            "refused",
            "at 14 % it is no wetter than the 15 % wanted",
        )
        .flag("--to")
        .under("15%", "15%")
        .hint("for water to add, ask gutta water"),
        Refusal::new(
            "gutta repair wet --pile 500g --at 18% --to 15% --with 15%",
            1,
            "refused",
            "blend at 15 % does not bring it down to 15 %",
        )
        .flag("--with")
        .under("15%", "15%")
        .hint("take drier blend, or air the pile"),
    ]);
}
