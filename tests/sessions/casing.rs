//! Casing through the program: both readings, each stage, every refusal.

use gutta_tests::situations::situation;
use serde_json::Value as Json;

use super::program::{json, text, typed, value};
use super::refusals::{Refusal, all_hold};

const S21: &str = "gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --bulk 20% --to 14%";

#[test]
fn s21_casing_by_a_rate_to_bulk_and_dried_back() {
    let s = situation("S21");
    let a = json(&format!("{S21} --rate-of liquid --basis as-weighed"));
    s.assert_answer("casing_liquid_reading_a", value(&a, "casing", "g"));
    s.assert_answer("moisture_after_casing_a", value(&a, "moisture_after", "%"));
    s.assert_answer("extra_water_to_bulk", value(&a, "bulk_water", "g"));
    s.assert_answer("weight_in_bulk", value(&a, "bulk_mass", "g"));
    s.assert_answer("dry_back_weight", value(&a, "final_mass", "g"));
    s.assert_answer("water_to_remove", value(&a, "water_to_lose", "g"));
    assert_eq!(a["answer"]["rate"], "named");
    let b = json(&format!("{S21} --rate-of solids --basis dry"));
    let liquid = value(&b, "casing", "g");
    s.assert_answer("casing_liquid_reading_b", liquid);
    s.assert_answer("moisture_after_casing_b", value(&b, "moisture_after", "%"));
    s.assert_answer("reading_b_over_a", liquid / value(&a, "casing", "g"));
    assert_eq!(b["answer"]["rate_of"], "solids");
    assert_eq!(b["answer"]["basis"], "dry");
    s.assert_all_held();
}

/// The readings of an answer, each as its two words and its figures.
fn readings(answer: &Json) -> Vec<(&str, &str, f64, f64)> {
    let rows = answer["answer"]["readings"].as_array().expect("readings");
    rows.iter()
        .map(|row| {
            let word = |key: &str| row[key].as_str().expect("a word");
            let number = |key: &str| row[key]["value"].as_f64().expect("a number");
            assert_eq!(row["casing"]["unit"], "g");
            assert_eq!(row["moisture_after"]["unit"], "%");
            (
                word("rate_of"),
                word("basis"),
                number("casing"),
                number("moisture_after"),
            )
        })
        .collect()
}

/// By hand: 8 % of 2500 g and of 2187.5 g of dry leaf, over 0.6 for solids; the
/// moisture is (312.5 g + 0.4 casing) over all of it.
#[test]
fn what_is_not_said_of_a_rate_is_shown_in_every_reading() {
    let all = [
        ("liquid", "as-weighed", 200.0),
        ("liquid", "dry", 175.0),
        ("solids", "as-weighed", 1000.0 / 3.0),
        ("solids", "dry", 875.0 / 3.0),
    ];
    for (flags, which) in [
        ("", &[0, 1, 2, 3][..]),
        ("--rate-of liquid", &[0, 1]),
        ("--rate-of solids", &[2, 3]),
        ("--basis as-weighed", &[0, 2]),
        ("--basis dry", &[1, 3]),
    ] {
        let answer = json(&format!("{S21} {flags}"));
        assert_eq!(answer["answer"]["rate"], "open");
        let got = readings(&answer);
        assert_eq!(got.len(), which.len(), "{flags}");
        for (got, &i) in got.iter().zip(which) {
            let (of, basis, casing) = all[i];
            assert_eq!((got.0, got.1), (of, basis));
            let moisture = 100.0 * (312.5 + 0.4 * casing) / (2500.0 + casing);
            // A handful of roundings.
            assert!((got.2 - casing).abs() < 1e-9, "{flags}: {got:?}");
            assert!((got.3 - moisture).abs() < 1e-9, "{flags}: {got:?}");
        }
    }
}

#[test]
fn the_readings_come_with_what_settles_them() {
    let open = text(S21);
    assert!(
        open.starts_with("A rate of 8 % is 175 g to 333.3 g of casing for 2500 g of leaf at 12.5 %, by how it is counted: say which."),
        "{open}"
    );
    for said in [
        "8 % liquid on leaf as weighed: 200 g of casing, then at 14.54 % of total weight.",
        "8 % solids on dry leaf: 291.7 g of casing, 1.46 times the first, then at 15.37 % of total weight.",
        "weigh out nothing yet: the scale stays at 2500 g",
        "type --rate-of liquid or --rate-of solids, and --basis as-weighed or --basis dry",
        "the weights in bulk and dried back follow then",
    ] {
        assert!(open.contains(said), "{said}\n{open}");
    }
    let dry = text(&format!("{S21} --basis dry"));
    assert!(
        dry.contains("Next type --rate-of liquid or --rate-of solids, as your own"),
        "{dry}"
    );
    let solids = text(&format!("{S21} --rate-of solids"));
    assert!(
        solids.contains("Next type --basis as-weighed or --basis dry, as your own"),
        "{solids}"
    );
}

/// Water and alcohol leave nothing: the rate can be of the liquid only, and
/// that is said.
#[test]
fn a_casing_without_solids_leaves_one_reading() {
    let wet = text(
        "gutta casing \"30g water\" \"5g spirit, 40% vol alcohol\" --leaf 340g --at 12.5% --rate 5% --basis dry",
    );
    assert!(
        wet.starts_with("Weigh 14.88 g of casing (5 % liquid on dry leaf)"),
        "{wet}"
    );
    assert!(
        wet.contains("the rate is of the liquid: nothing in this casing stays"),
        "{wet}"
    );
}

#[test]
fn each_stage_is_a_reading_of_the_scale() {
    let run = text(&format!(
        "{S21} --rate-of liquid --basis as-weighed --tray 612g --working"
    ));
    assert!(
        run.starts_with(
            "Weigh 200 g of casing (8 % liquid on leaf as weighed) for 2500 g of leaf at 12.5 %."
        ),
        "{run}"
    );
    for said in [
        "It brings 120 g of solids and 80 g of water.",
        "Cased: the scale reads 2700 g (3312 g with the tray), at 14.54 %.",
        "In bulk: add 184.4 g of water, and the scale reads 2884 g (3496 g with the tray), at 20 %.",
        "Dry back: stop when the scale reads 2683 g (3295 g with the tray), at 14 %; 201.2 g of water to lose.",
        "Check dried back the scale reads 2683 g (3295 g with the tray), at 14 % of total weight",
        "what of the casing is not solids is water",
        "the rate and the recipe are your own: none is taken for granted",
        "do not chase it past that",
        "moisture = (312.5 g + 80 g) / 2700 g = 14.54 %",
    ] {
        assert!(run.contains(said), "{said}\n{run}");
    }
    // 2307.5 g of dry matter: 184.375 g to bulk and the rest by hand, with 612 g.
    let got = json(&format!(
        "{S21} --rate-of liquid --basis as-weighed --tray 612g"
    ));
    for (key, expected) in [
        ("casing_solids", 120.0),
        ("casing_water", 80.0),
        ("mass_after", 2700.0),
        ("gross_after", 3312.0),
        ("bulk_gross", 2307.5 / 0.8 + 612.0),
        ("final_gross", 2307.5 / 0.86 + 612.0),
    ] {
        assert!((value(&got, key, "g") - expected).abs() < 1e-9, "{key}");
    }
    assert!(got["answer"]["parts"].is_null());
    assert!(got["answer"]["mass_at_once"].is_null());
}

/// By hand: 5 % of 297.5 g of dry leaf is 14.875 g of solids. Of the recipe's 50 g
/// 29 are solids, the sugar and 9 g of the spirit, and 6 are alcohol.
#[test]
fn a_recipe_is_scaled_and_its_alcohol_goes() {
    let line = "gutta casing \"20g sugar, 100% sugar\" \"15g water\" \"15g spirit, 40% alcohol\" --leaf 340g --at 12.5% --rate 5% --rate-of solids --basis dry --to 13% --tray 100g";
    let got = json(line);
    let casing = 14.875 * 50.0 / 29.0;
    assert!((value(&got, "casing", "g") - casing).abs() < 1e-9);
    let parts = got["answer"]["parts"].as_array().expect("parts");
    for (part, recipe) in parts.iter().zip([20.0, 15.0, 15.0]) {
        let mass = part["value"].as_f64().expect("a number");
        assert!((mass - casing * recipe / 50.0).abs() < 1e-9);
    }
    let alcohol = casing * 6.0 / 50.0;
    assert!((value(&got, "mass_at_once", "g") - (340.0 + casing)).abs() < 1e-9);
    assert!((value(&got, "gross_at_once", "g") - (440.0 + casing)).abs() < 1e-9);
    assert!((value(&got, "mass_after", "g") - (340.0 + casing - alcohol)).abs() < 1e-9);
    assert!((value(&got, "final_mass", "g") - (297.5 + 14.875) / 0.87).abs() < 1e-9);
    let said = text(line);
    assert!(said.contains("Made of "), "{said}");
    assert!(said.contains("alcohol burns"), "{said}");
    assert!(
        said.contains("air it until the alcohol is gone before anything is warmed"),
        "{said}"
    );
}

#[test]
fn leaf_that_is_wet_enough_takes_no_water() {
    let line = "gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --rate-of liquid --basis as-weighed --bulk 14%";
    let wet = text(line);
    assert!(
        wet.contains("In bulk: add no water, it is at 14.54 % already (14 % was wanted); the scale reads 2700 g."),
        "{wet}"
    );
    assert_eq!(value(&json(line), "bulk_water", "g"), 0.0);
    // By hand: ± 3 points of 2500 g in 2700 g are ± 2.78.
    let loose = text(
        &line
            .replace("12.5%", "\"14.5% ± 3%\"")
            .replace("14%", "15%"),
    );
    assert!(
        loose.contains("add no water, it is at 16.4 % ± 2.8 % (95 %) already (15 % was wanted), or short of it: let it rest, and measure;"),
        "{loose}"
    );
    let sure = text(
        &line
            .replace("12.5%", "\"14.5% ± 1%\"")
            .replace("14%", "15%"),
    );
    assert!(
        sure.contains("it is at 16.39 % ± 0.93 % (95 %) already (15 % was wanted); the scale"),
        "{sure}"
    );
}

/// What is in a casing adds up on a coarse scale too, and the scale is blamed
/// where it is to blame.
#[test]
fn a_coarse_scale_is_blamed_for_what_it_does() {
    let line = "gutta casing --solids 60% --leaf 340g --at \"12.5% ± 0.5%\" --rate 8% --rate-of liquid --basis as-weighed --bulk 20% --to 14%";
    let coarse = text(&format!("{line} --scale 10g"));
    assert!(
        coarse.contains("brings 16.32 g of solids and 10.88 g of water")
            && coarse.contains("and so coarsely is it weighed that it may come to"),
        "{coarse}"
    );
    let fine = text(&line.replace("± 0.5%", "± 3%"));
    assert!(
        fine.contains("so loosely is the moisture known that"),
        "{fine}"
    );
}

#[test]
fn a_dry_basis_is_said_over_total_weight_too() {
    let dry = text(&format!(
        "{} --to \"16.279% db\"",
        "gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --rate-of liquid --basis as-weighed"
    ));
    assert!(
        dry.contains("at 16.279 % db (14 % of total weight)"),
        "{dry}"
    );
}

#[test]
fn the_moisture_it_is_kept_at_passes_the_mould_line() {
    let kept = |to: &str| {
        text(&format!(
            "gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --rate-of liquid --basis as-weighed --bulk 20% {to}"
        ))
    };
    assert!(!kept("--to 12%").contains("mould risk"));
    let wet = kept("");
    assert!(wet.contains("too wet to store"), "{wet}");
    assert!(
        wet.contains("curve and mould line are for uncased leaf"),
        "{wet}"
    );
}

/// By hand: the leaf's water moves by 25 g a point in 2700 g, the dry matter by as
/// much: ±0.5 points are ±0.463 % after, and ±12.5 g/0.86 at the end.
#[test]
fn the_doubt_is_said_of_each_stage() {
    let line = "gutta casing --solids 60% --leaf 2500g --at \"12.5% ± 0.5%\" --rate 8% --rate-of liquid --basis as-weighed --bulk 20% --to 14%";
    let got = json(line);
    for (key, half) in [
        ("moisture_after", 100.0 * 12.5 / 2700.0),
        ("bulk_water", 12.5 / 0.8),
        ("final_mass", 12.5 / 0.86),
        ("water_to_lose", 12.5 / 0.86),
    ] {
        let interval = &got["answer"][key]["interval95"];
        let [low, high] = [0, 1].map(|i| interval[i].as_f64().expect("a number"));
        assert!(
            ((high - low) / 2.0 - half).abs() < 1e-6 * half,
            "{key}: {interval}"
        );
    }
    // What is poured, and what the scale shows of it, is not in doubt.
    assert!(got["answer"]["casing"]["u"].is_null());
    assert!(got["answer"]["bulk_mass"]["u"].is_null());
    let said = text(&format!("{line} --draws 20000"));
    assert!(
        said.contains(
            "the moisture after casing 14.54 % ± 0.46 % (95 %): all of the doubt from moisture now"
        ),
        "{said}"
    );
    assert!(
        said.contains("the mass to stop at when it is dried back: "),
        "{said}"
    );
    assert!(!said.contains("not good enough"), "{said}");
}

#[test]
fn cased_leaf_from_the_oven_is_an_upper_bound() {
    let oven = text(
        "gutta casing --solids 60% --leaf 500g --at 15% --by oven-cased --rate 8% --rate-of liquid --basis as-weighed --bulk 20%",
    );
    assert!(
        oven.contains("the water to bulk is the least that is needed"),
        "{oven}"
    );
}

#[test]
fn narrow_lines_have_at_most_forty_columns() {
    for line in [
        S21.to_owned(),
        format!("{S21} --rate-of liquid --basis as-weighed --tray 612g --working"),
    ] {
        let run = typed(&format!("{line} --narrow"));
        assert_eq!(run.code, 0, "{line}\n{}", run.err);
        for shown in run.out.lines() {
            assert!(shown.chars().count() <= 40, "{shown}");
        }
    }
}

#[test]
fn what_cannot_be_cased_is_refused() {
    all_hold(&[
        Refusal::new("gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --rate-of liquid --basis dry --to 18%", 1, "refused", "the cased leaf is at 14.3 %, drier than 18 %: it cannot be dried back to that")
            .flag("--to").under("18%", "18%").hint("bulk it at a moisture above that first"),
        Refusal::new("gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% --rate-of liquid --basis dry --bulk 16% --to 18%", 1, "refused", "leaf in bulk is at 16 %, drier than 18 %: it cannot be dried back to that")
            .flag("--to").under("18%", "18%").hint("take a bulking moisture above it"),
        Refusal::new("gutta casing \"30g water\" --leaf 2500g --at 12.5% --rate 8% --rate-of solids", 1, "refused", "nothing in this casing stays: no amount of it makes a rate of solids")
            .flag("--rate-of").hint("count the rate on the liquid, or say what in it is neither water nor alcohol"),
        Refusal::new("gutta casing --solids 60% --leaf 340g --at 12.5% --rate 8% --rate-of liquid --basis dry --bulk 20% --to 14% --scale 100g", 1, "refused", "23.8 g of casing is less than one step of the scale, 100 g")
            .flag("--scale").under("100g", "100g").hint("weigh it on a finer scale, or case more leaf at once"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate 101%", 1, "refused", "the rate of casing must be above 0 % and at most 100 %, not 101 %")
            .flag("--rate").under("101%", "101%").hint("a rate is casing per leaf, by mass: type your own, such as 8 %"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate 8% --bulk 100%", 1, "refused", "the target moisture must be above 0 % and below 100 %, not 100 %")
            .flag("--bulk").under("100%", "100%").hint("type a target within that, such as 14.5 %"),
    ]);
}

#[test]
fn what_is_missing_or_cannot_be_read_is_said() {
    let solids = "solids are all but water and alcohol, by mass: type a figure such as 60 %";
    all_hold(&[
        Refusal::new("gutta casing --leaf 10g --at 12% --rate 8%", 2, "missing", "what the casing is made of is missing")
            .flag("INGREDIENT").hint("type each ingredient with its amount and what is in it, \"60g syrup, 25% water\" \"30g water\", or the solids of the casing alone, --solids 60%"),
        Refusal::new("gutta casing \"3g water\" --solids 60% --leaf 10g --at 12% --rate 8%", 2, "clash", "INGREDIENT and --solids do not go together")
            .flag("--solids").hint("keep the ingredients, which say more, or the solids"),
        Refusal::new("gutta casing --solids 60% --at 12% --rate 8%", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("weigh the leaf and type what the scale shows, such as --leaf 2500g"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --rate 8%", 2, "missing", "the moisture of the leaf is missing")
            .flag("--at").hint("weigh an oven dish of it before and after drying, re-weigh a jar whose moisture you knew, or type a wide range such as --at \"11% ± 4%\": the answer then says how far it can be trusted"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12%", 2, "missing", "the rate of casing is missing")
            .flag("--rate").hint("type your own, such as --rate 8%: no rate is taken for granted"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate 0%", 2, "out-of-range", "the rate of casing must be above 0 % and at most 100 %, not 0 %")
            .flag("--rate").under("0%", "0%").hint("a rate is casing per leaf, by mass: type your own, such as 8 %"),
        Refusal::new("gutta casing --solids 0% --leaf 10g --at 12% --rate 8%", 2, "out-of-range", "the solids of a casing must be above 0 % and at most 100 %, not 0 %")
            .flag("--solids").under("0%", "0%").hint(solids),
        Refusal::new("gutta casing --solids 120% --leaf 10g --at 12% --rate 8%", 2, "out-of-range", "the solids of a casing must be above 0 % and at most 100 %, not 120 %")
            .flag("--solids").under("120%", "120%").hint(solids),
        Refusal::new("gutta casing --solids \"60% db\" --leaf 10g --at 12% --rate 8%", 2, "wrong-kind", "a share in a liquid has no moisture basis")
            .flag("--solids").under("60% db", "60% db").hint("type the share by mass alone, such as --solids 60%"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate \"8% ± 1%\"", 2, "doubt", "--rate is a plain figure")
            .flag("--rate").under("8% ± 1%", "8% ± 1%").hint("type it alone, such as 1%"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate 8% --rate-of leaf", 2, "unknown-value", "there is no `leaf`")
            .flag("--rate-of").under("leaf", "leaf").hint("type --rate-of liquid or solids"),
        Refusal::new("gutta casing --solids 60% --leaf 10g --at 12% --rate 8% --basis dry --draws 2000", 2, "missing", "draws are of one reading of the rate, and several are open")
            .flag("--rate-of").hint("type --rate-of liquid or --rate-of solids"),
        Refusal::new("gutta casing \"60g water\" --leaf 10g --at 12% --lot red-23c --rate 8%", 2, "clash", "--lot and --at do not go together")
            .flag("--at").hint("keep one of them"),
        Refusal::new("gutta casing 60g --leaf 10g --at 12% --rate 8%", 2, "missing", "the liquid has no name")
            .flag("INGREDIENT").under("60g", "60g").hint("type amount and name, and what is in it, all in one pair of quotes: \"60g casing, 35% water\""),
    ]);
}
