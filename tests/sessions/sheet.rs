//! Weigh sheets through the program: situations, the book, the water.

use gutta_tests::assert_close;
use gutta_tests::situations::{Situation, situation};
use serde_json::Value as Json;

use super::program::{json, text, value};

/// What rounding leaves of figures of a hundred or so.
const ROUNDING: f64 = 1e-9;

const SMOKE_RING: &str =
    "gutta sheet \"52 % base\" \"44.5 % other\" \"3.5 % condiment\" --batch 20g --scale 0.1g";

fn rows<'a>(answer: &'a Json, key: &str) -> &'a [Json] {
    answer["answer"][key].as_array().expect("rows")
}

fn row<'a>(answer: &'a Json, component: &str) -> &'a Json {
    rows(answer, "lines")
        .iter()
        .find(|row| row["component"] == component)
        .unwrap_or_else(|| panic!("no {component} in {answer}"))
}

fn number(quantity: &Json, unit: &str) -> f64 {
    assert_eq!(quantity["unit"], unit, "{quantity}");
    quantity["value"].as_f64().expect("a number")
}

fn grams(answer: &Json, component: &str, key: &str) -> f64 {
    number(&row(answer, component)[key], "g")
}

/// The names of the weighings of leaf, in their order.
fn order(answer: &Json) -> Vec<&str> {
    let names = rows(answer, "lines").iter();
    let names = names.map(|row| row["component"].as_str().expect("a name"));
    names.collect()
}

/// The sheet of S13 with a moisture of the flue-cured lot.
fn s13(s: &Situation, flue_cured: &str) -> Json {
    let leaves = ["flue_cured", "oriental", "stoved", "fire_cured"];
    let lines =
        leaves.map(|leaf| format!("\"{} % {leaf}\"", s.given(&format!("{leaf}_dry_share"))));
    let lots = leaves.map(|leaf| {
        let at = match leaf {
            "flue_cured" => s.typed(flue_cured),
            other => s.typed(&format!("{other}_moisture")),
        };
        format!("--lot \"{leaf} = {at}\"")
    });
    json(&format!(
        "gutta sheet {} --shares dry --dry \"{}\" --to \"{}\" {}",
        lines.join(" "),
        s.typed("dry_matter"),
        s.typed("target"),
        lots.join(" ")
    ))
}

#[test]
fn s13_a_drier_lot_keeps_the_dry_shares() {
    let s = situation("S13");
    let new = s13(&s, "flue_cured_moisture");
    for leaf in ["flue_cured", "oriental", "stoved", "fire_cured"] {
        s.assert_answer(&format!("{leaf}_as_weighed"), grams(&new, leaf, "mass"));
    }
    s.assert_answer("total_as_weighed", value(&new, "leaf", "g"));
    s.assert_answer("moisture", value(&new, "moisture", "%"));
    s.assert_answer("water", value(&new, "water", "g"));
    let old = s13(&s, "flue_cured_moisture_old_lot");
    s.assert_answer("flue_cured_old_lot", grams(&old, "flue_cured", "mass"));
    s.assert_answer("moisture_with_old_lot", value(&old, "moisture", "%"));
    s.assert_answer("water_with_old_lot", value(&old, "water", "g"));
    for sheet in [&new, &old] {
        assert_close(
            "dry",
            value(sheet, "dry_leaf", "g"),
            s.given("dry_matter"),
            ROUNDING,
        );
        // The dry leaf over 1 − target, whatever the lots hold.
        let end = s.given("dry_matter") / (1.0 - s.given("target") / 100.0);
        assert_close("end", value(sheet, "final_mass", "g"), end, ROUNDING);
    }

    // The grams of the old lot, weighed of the new one, are no longer its share.
    let dry = |leaf: &str, mass: f64| mass * (1.0 - s.given(&format!("{leaf}_moisture")) / 100.0);
    let others =
        ["oriental", "stoved", "fire_cured"].map(|leaf| dry(leaf, grams(&new, leaf, "mass")));
    let share = |mass: f64| {
        let of_it = dry("flue_cured", mass);
        100.0 * of_it / (of_it + others.iter().sum::<f64>())
    };
    let kept = share(grams(&new, "flue_cured", "mass"));
    assert_close("kept", kept, s.given("flue_cured_dry_share"), ROUNDING);
    let trap = share(grams(&old, "flue_cured", "mass"));
    s.assert_trap_is("share_if_old_grams_kept", kept, trap);
    s.assert_all_held();
}

#[test]
fn s14_the_smallest_batch_of_two_scales() {
    let s = situation("S14");
    let condiment = s.given("smallest_share");
    let sheet = |scale: &str| {
        json(&format!(
            "gutta sheet \"{} % base\" \"{condiment} % condiment\" --batch 10g --scale \"{scale}\" --tolerance \"{}\"",
            100.0 - condiment,
            s.typed("tolerance"),
        ))
    };
    let (this, finer) = (
        sheet(&s.typed("scale_division")),
        sheet(&s.typed("finer_scale_division")),
    );
    let half = sheet(&format!("{} g", s.given("scale_division") / 2.0));
    let least = value(&this, "smallest_batch", "g");
    s.assert_answer("least_batch", least);
    s.assert_answer("least_weighing", least * condiment / 100.0);
    s.assert_answer(
        "least_batch_half_division",
        value(&half, "smallest_batch", "g"),
    );
    s.assert_answer(
        "least_batch_finer_scale",
        value(&finer, "smallest_batch", "g"),
    );
    let error = |sheet: &Json| number(&row(sheet, "condiment")["scale_error"], "%");
    s.assert_answer("error_10g_trial_finer_scale", error(&finer));
    s.assert_answer("error_10g_trial_this_scale", error(&this));
    s.assert_all_held();
    // At the smallest batch no line is too small any more.
    let enough =
        json("gutta sheet \"96.5 % base\" \"3.5 % condiment\" --batch 142.86g --scale 0.1g");
    assert!(row(&enough, "condiment")["scale_error"].is_null());
    assert_eq!(enough["next"], serde_json::json!([]));
}

/// The relative error of a pre-mix of c with b of base, of which some is taken: one
/// division d in each weighing, root sum of squares.
fn premix_error(c: f64, b: f64, take: f64, d: f64) -> f64 {
    let part = b / (c + b);
    (part * d / c).hypot(part * d / b).hypot(d / take)
}

/// What S15 needs of the condiment, by the pre-mix that the sheet advises in place
/// of the one of the situation.
#[test]
fn s15_a_share_too_small_is_pre_mixed() {
    let s = situation("S15");
    let d = s.given("scale_division");
    let sheet = json(SMOKE_RING);
    let condiment = |key: &str| grams(&sheet, "condiment", key);
    s.assert_answer("condiment_needed", condiment("mass"));
    s.assert_answer(
        "condiment_error_direct",
        number(&row(&sheet, "condiment")["scale_error"], "%"),
    );
    let (c, b, take) = (
        condiment("premix_condiment"),
        condiment("premix_base"),
        condiment("premix_take"),
    );
    // The formula gives the situation's own error for its own pre-mix.
    let own = premix_error(s.given("premix_condiment"), s.given("premix_base"), 7.0, d);
    s.assert_answer("condiment_error", 100.0 * own);
    let error = premix_error(c, b, take, d);
    assert!(error <= 0.02, "{error}: {c} {b} {take}");
    // Each weighing is one that the scale makes within 2 %: 5 g or more (S14).
    assert!(c >= 5.0 && b >= 5.0 && take >= 5.0, "{c} {b} {take}");
    // The take holds what is needed, and the base in it is not weighed again.
    assert_close("taken", take * c / (c + b), condiment("mass"), ROUNDING);
    let to_add = grams(&sheet, "base", "mass") - take * b / (c + b);
    assert_close("to add", condiment("premix_base_to_add"), to_add, ROUNDING);
    // On the narrow page a step is not broken by its columns.
    let said = text(&format!("{SMOKE_RING} --narrow"));
    for what in [
        "0.7 g condiment; too little for this scale, see below".to_owned(),
        "0.7 g of condiment is too little for this scale: it may be 14 % off, and 2 % is put up with."
            .to_owned(),
        format!("Pre-mix: {c} g of it evenly through {b} g of base; take 5.6 g of that in its place: within 2 %"),
        "with what the pre-mix brings, weigh only 5.5 g of base".to_owned(),
        "or make 142.9 g of leaf or more: the smallest batch of which this scale weighs condiment within 2 %"
            .to_owned(),
    ] {
        assert!(said.contains(&what), "{what}\n{said}");
    }
}

/// Several lines too small: each pre-mix takes its part of the same base, and all
/// keep the tolerance.
#[test]
fn pre_mixes_share_the_base() {
    let sheet = json(
        "gutta sheet \"80 % base\" \"14 % other\" \"3 % one\" \"3 % two\" --batch 100g --scale 0.1g --tolerance 3%",
    );
    let (mut base, mut count) = (grams(&sheet, "base", "mass"), 0);
    for name in ["one", "two"] {
        let at = |key: &str| grams(&sheet, name, key);
        if row(&sheet, name)["premix_take"].is_null() {
            continue;
        }
        count += 1;
        let (c, b, take) = (at("premix_condiment"), at("premix_base"), at("premix_take"));
        assert!(premix_error(c, b, take, 0.1) <= 0.03);
        assert_close(name, take * c / (c + b), at("mass"), ROUNDING);
        base -= take * b / (c + b);
        assert_close("left", at("premix_base_to_add"), base, ROUNDING);
    }
    // 3 g of each is 3.3 % off: too little to weigh well, and not worth a pre-mix.
    assert_eq!(count, 0);
    let worse = json("gutta sheet \"94 % base\" \"3 % one\" \"3 % two\" --batch 40g --scale 0.1g");
    let mut base = grams(&worse, "base", "mass");
    for name in ["one", "two"] {
        let at = |key: &str| grams(&worse, name, key);
        let (c, b, take) = (at("premix_condiment"), at("premix_base"), at("premix_take"));
        assert!(premix_error(c, b, take, 0.1) <= 0.02);
        assert_close(name, take * c / (c + b), at("mass"), ROUNDING);
        base -= take * b / (c + b);
        assert_close("left", at("premix_base_to_add"), base, ROUNDING);
    }
    assert!(base > 0.0, "{base}");
}

/// By hand, of demo-data: at 240 g as weighed each line is its share over 1 −
/// moisture, all together 240 g.
#[test]
fn a_formula_of_the_book_is_filled_from_its_lots() {
    let sheet =
        json("gutta sheet evening --batch 240g --scale bench --dropper amber --book demo-data");
    let dry = [
        ("red flue-cured", "red-23c", 0.46 / 0.876),
        ("oriental", "sun-25", 0.22 / 0.88),
        ("stoved", "dark-22", 0.18 / 0.805),
        ("fire-cured", "smoke-24", 0.14 / 0.864),
    ];
    let all: f64 = dry.iter().map(|(_, _, part)| part).sum();
    for (name, lot, part) in dry {
        assert_close(
            name,
            grams(&sheet, name, "mass"),
            240.0 * part / all,
            ROUNDING,
        );
        assert_eq!(row(&sheet, name)["lot"], lot);
    }
    assert_close("dry", value(&sheet, "dry_leaf", "g"), 240.0 / all, ROUNDING);
    let fig = &rows(&sheet, "flavours")[0];
    assert_close(
        "dose",
        number(&fig["mass"], "g"),
        0.002 * 240.0 / all,
        ROUNDING,
    );
    // The amber dropper: six weighings of 20 drops, of 2.56 g in all.
    let drops = 0.002 * 240.0 / all / (2.56 / 120.0);
    assert_eq!(number(&fig["drops"], "drop"), drops.round());
    let said =
        text("gutta sheet evening --batch 240g --scale bench --dropper amber --book demo-data");
    assert!(
        said.starts_with("evening, version 2 for 240 g of leaf as weighed: 4 weighings of leaf, 19 drops of fig tincture,"),
        "{said}"
    );
    assert!(said.contains("rest: 48 h in a closed jar"), "{said}");
    // Version 1 is filled with its own shares.
    let first = json("gutta sheet evening:1 --batch 240g --book demo-data");
    let part = grams(&first, "red flue-cured", "mass") / grams(&first, "oriental", "mass");
    assert_close("ratio", part, (50.0 / 0.876) / (18.0 / 0.88), ROUNDING);
}

/// By hand: 60, 20 and 20 parts of dry leaf, over 1 − moisture; brown-24 is on dry
/// basis. 8 % of the leaf as weighed is casing, 42 % of it water; at 16 % the dry
/// leaf and the solids of the casing over 0.84.
#[test]
fn a_nested_formula_is_cased_and_watered() {
    let sheet = json("gutta sheet harvest --batch 2kg --scale floor --book demo-data");
    let parts = [
        ("red flue-cured", 0.60 / 0.876),
        ("oriental", 0.20 / 0.88),
        ("brown-24", 0.20 * 1.131),
    ];
    let all: f64 = parts.iter().map(|(_, part)| part).sum();
    for (name, part) in parts {
        assert_close(name, grams(&sheet, name, "mass"), 2000.0 * part / all, 1e-8);
    }
    let casing = number(&rows(&sheet, "casings")[0]["mass"], "g");
    assert_close("casing", casing, 160.0, 1e-8);
    let stays = 2000.0 / all + 160.0 * 0.58;
    assert_close("end", value(&sheet, "final_mass", "g"), stays / 0.84, 1e-8);
    let water = stays / 0.84 - 2160.0;
    assert_close("water", value(&sheet, "water", "g"), water, 1e-8);
}

/// The size by what is finished: it ends at that, carrier gone.
#[test]
fn a_finished_batch_ends_at_its_size() {
    let sheet = json("gutta sheet evening --finished 250g --book demo-data");
    assert_close("end", value(&sheet, "final_mass", "g"), 250.0, 1e-8);
    let all = 0.46 / 0.876 + 0.22 / 0.88 + 0.18 / 0.805 + 0.14 / 0.864;
    // Of a gram dry: 2 mg of tincture, 9 % of it solids, at 15 %.
    let end_of_dry = (1.0 + 0.002 * 0.09) / 0.85;
    assert_close(
        "leaf",
        value(&sheet, "leaf", "g"),
        250.0 / end_of_dry * all,
        1e-8,
    );
}

#[test]
fn what_is_typed_beside_a_formula_of_the_book_wins() {
    let plain = json("gutta sheet harvest --batch 2kg --book demo-data");
    // --to: the same that stays, over 0.86.
    let drier = json("gutta sheet harvest --batch 2kg --to 14% --book demo-data");
    let stays = value(&plain, "final_mass", "g") * 0.84;
    assert_close("to", value(&drier, "final_mass", "g"), stays / 0.86, 1e-8);
    // --casing in place of the book's, and --flavour beside it.
    let cased = json(
        "gutta sheet harvest --batch 2kg --casing \"5 % liquid on as-weighed: plum casing\" --flavour \"1 g/kg on as-weighed: fig tincture\" --book demo-data",
    );
    assert_eq!(rows(&cased, "casings").len(), 1);
    assert_close(
        "casing",
        number(&rows(&cased, "casings")[0]["mass"], "g"),
        100.0,
        1e-8,
    );
    assert_close(
        "flavour",
        number(&rows(&cased, "flavours")[0]["mass"], "g"),
        2.0,
        1e-8,
    );
    let evening = json(
        "gutta sheet evening --batch 240g --flavour \"1 g/kg on as-weighed: fig tincture\" --book demo-data",
    );
    assert_eq!(rows(&evening, "flavours").len(), 1);
    assert_close(
        "flavour",
        number(&rows(&evening, "flavours")[0]["mass"], "g"),
        0.24,
        ROUNDING,
    );
    // --at: 12 % for all leaf, whatever lots the book has of it; barn base is 60 and
    // 20 of dry leaf, brown-24 20, so that the grams are as the shares.
    let at = json("gutta sheet harvest --batch 2kg --at 12% --book demo-data");
    for (name, share) in [
        ("red flue-cured", 0.6),
        ("oriental", 0.2),
        ("brown-24", 0.2),
    ] {
        assert_close(name, grams(&at, name, "mass"), 2000.0 * share, 1e-8);
        assert!(row(&at, name)["lot"].is_null(), "{name}");
    }
    // The lot that is not taken says nothing: dark-22 is cased leaf from the oven.
    let cased = text("gutta sheet evening --batch 240g --at 12% --book demo-data");
    assert!(!cased.contains("the oven drives off"), "{cased}");
    // --rest.
    let said = text("gutta sheet evening --batch 240g --rest \"three days\" --book demo-data");
    assert!(
        said.contains("rest: three days") && !said.contains("48 h"),
        "{said}"
    );
    // --tolerance: the book's 2 % of smoke ring, and 5 % of what is typed.
    for (flags, tolerance) in [("", 0.02), ("--tolerance 5%", 0.05)] {
        let ring = json(&format!(
            "gutta sheet \"smoke ring\" --batch 200g --scale pocket {flags} --book demo-data"
        ));
        assert_close(
            "within",
            grams(&ring, "fire-cured", "tolerance"),
            7.0 * tolerance,
            ROUNDING,
        );
        // 0.1 g over the tolerance and 3.5 %.
        let least = 0.1 / tolerance / 0.035;
        assert_close("least", value(&ring, "smallest_batch", "g"), least, 1e-8);
    }
    // --band: with a wide band the first addition is as much as stays in it.
    let first = |flags: &str| {
        let sheet = json(&format!(
            "gutta sheet harvest --batch 2kg {flags} --book demo-data"
        ));
        value(&sheet, "first_addition", "g") / value(&sheet, "water", "g")
    };
    assert!(first("--band 0.2%") < first("--band 3%"));
    assert_close("all at once", first("--band 3%"), 1.0, ROUNDING);
}

/// What a weighing may be off is no more than the tolerance as it is printed: 2 % of
/// 8.9 g is 0.178 g, one step of a scale of 0.1 g, not two.
#[test]
fn a_tolerance_is_not_rounded_up() {
    let said = text(&format!("{SMOKE_RING} --narrow"));
    for what in [
        "8.9 g other, within ± 0.1 g;",
        "10.4 g base, within ± 0.2 g;",
    ] {
        assert!(said.contains(what), "{what}\n{said}");
    }
}

/// What the scale does not show at all is said as it is, not as nothing.
#[test]
fn a_line_below_the_scale_is_not_nothing() {
    // 14 % of 1 g, and 86 % of it, on a scale of 1 g.
    let said = text("gutta sheet \"14 % a\" \"86 % b\" --batch 1g --scale 1g --narrow");
    assert!(
        said.contains("0.14 g a; too little for this scale, see below")
            && said.contains("0.86 g b;"),
        "{said}"
    );
}

/// Lines that no pre-mix mends are said in one sentence, with the worst of them.
#[test]
fn many_lines_too_small_are_one_sentence() {
    let sheet =
        json("gutta sheet \"3 parts a\" \"2 parts b\" \"1 part c\" --batch 6g --scale 0.1g");
    // A division of 0.1 g over the 1 g of c; 50 times 0.1 g is 5 g, over 1/6.
    assert_eq!(
        sheet["next"],
        serde_json::json!([
            "1 g of c, 2 g of b, 3 g of a are too little for this scale: each may be up to 10 % off, and 2 % is put up with",
            "or make 30 g of leaf or more: the smallest batch of which this scale weighs c within 2 %"
        ])
    );
}

#[test]
fn less_than_a_drop_is_diluted() {
    let sheet = json(
        "gutta sheet evening --batch 5g --flavour \"0.5 g/kg on dry: fig tincture\" --dropper amber --book demo-data",
    );
    let fig = &rows(&sheet, "flavours")[0];
    assert!(fig["drops"].is_null(), "{fig}");
    // 5 g as weighed, 0.5 g/kg on dry, over a drop of 2.56 g/120.
    let drops = value(&sheet, "dry_leaf", "g") * 0.0005 / (2.56 / 120.0);
    let expected = format!(
        "{drops:.4} drops of fig tincture cannot be counted: dilute it first, gutta dilute \"0.5 g/kg\" --leaf 5g --basis dry --at 13.85% --dilution-drop … --scale …"
    );
    assert!(
        sheet["next"]
            .as_array()
            .expect("next")
            .contains(&expected.clone().into()),
        "{expected}\n{}",
        sheet["next"]
    );
}

#[test]
fn the_smallest_comes_first_and_the_running_total_ends_at_the_leaf() {
    let line = "gutta sheet evening --batch 240g --tray 612g --scale bench --book demo-data";
    let names = ["fire-cured", "stoved", "oriental", "red flue-cured"];
    let smallest = json(line);
    assert_eq!(order(&smallest), names);
    let base = json(&format!("{line} --order base"));
    let mut turned = names;
    turned.reverse();
    assert_eq!(order(&base), turned);
    for sheet in [&smallest, &base] {
        let mut total = 0.0;
        for line in rows(sheet, "lines") {
            total += number(&line["mass"], "g");
            assert_close("reads", number(&line["reads"], "g"), total, ROUNDING);
            assert_close(
                "gross",
                number(&line["reads_gross"], "g"),
                total + 612.0,
                ROUNDING,
            );
            let within = number(&line["mass"], "g") * 0.02;
            assert_close("within", number(&line["tolerance"], "g"), within, ROUNDING);
        }
        assert_close("leaf", total, value(sheet, "leaf", "g"), ROUNDING);
        let fig = &rows(sheet, "flavours")[0];
        total += number(&fig["mass"], "g");
        assert_close("flavoured", number(&fig["reads"], "g"), total, ROUNDING);
        let gross = value(sheet, "final_mass", "g") + 612.0;
        assert_close("end", value(sheet, "final_gross", "g"), gross, ROUNDING);
    }
}

/// 10 g at 50:50 with 6 g of one in the bowl already is 12 g, by hand.
#[test]
fn a_bowl_that_has_leaf_in_it_is_brought_into_ratio() {
    let line = "gutta sheet \"50 % a\" \"50 % b\" --in-bowl \"6g a\" --in-bowl \"4g b\"";
    let sheet = json(line);
    assert_close("leaf", value(&sheet, "leaf", "g"), 12.0, ROUNDING);
    assert_eq!(order(&sheet), ["b"]);
    assert_close("add", grams(&sheet, "b", "mass"), 2.0, ROUNDING);
    assert_close("there", grams(&sheet, "b", "in_bowl"), 4.0, ROUNDING);
    assert_close("reads", grams(&sheet, "b", "reads"), 12.0, ROUNDING);
    // Left alone it is 60:40.
    let said = text(&format!("{line} --narrow"));
    for what in [
        "a 60.0 % in place of 50 %, b 40.0 % in place of 50 %; at most 10 points off.",
        "2 g b; beside the 4 g that is in",
        "toss until it is even",
    ] {
        assert!(said.contains(what), "{what}\n{said}");
    }
}
