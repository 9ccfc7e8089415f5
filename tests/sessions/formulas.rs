//! Formulas through the program: shown, compared, changed, of the book and typed.

use gutta_tests::assert_close;
use gutta_tests::situations::situation;
use serde_json::Value as Json;

use super::program::{json, text, value};
use super::refusals::{Refusal, all_hold};

/// What rounding leaves of figures of a hundred or so.
const ROUNDING: f64 = 1e-9;

/// The row of a component under a key.
fn row<'a>(answer: &'a Json, rows: &str, component: &str) -> &'a Json {
    answer["answer"][rows]
        .as_array()
        .expect("rows")
        .iter()
        .find(|row| row["component"] == component)
        .unwrap_or_else(|| panic!("no {component} in {answer}"))
}

/// A quantity of one line, whose unit must be the one named.
fn line(answer: &Json, component: &str, key: &str, unit: &str) -> f64 {
    let quantity = &row(answer, "lines", component)[key];
    assert_eq!(quantity["unit"], unit, "{component} {key}: {quantity}");
    quantity["value"].as_f64().expect("a number")
}

/// The components and their shares, in their order.
fn shares(answer: &Json) -> Vec<(String, f64)> {
    let lines = answer["answer"]["lines"].as_array().expect("lines");
    let share = |row: &Json| {
        let name = row["component"].as_str().expect("a name").to_owned();
        (name, row["share"]["value"].as_f64().expect("a share"))
    };
    lines.iter().map(share).collect()
}

fn assert_shares(answer: &Json, expected: &[(&str, f64)]) {
    let got = shares(answer);
    let names = |all: &[(String, f64)]| all.iter().map(|(name, _)| name.clone()).collect();
    let got_names: Vec<String> = names(&got);
    let expected_names: Vec<&str> = expected.iter().map(|(name, _)| *name).collect();
    assert_eq!(got_names, expected_names);
    for ((name, got), (_, expected)) in got.iter().zip(expected) {
        assert_close(name, *got, *expected, ROUNDING);
    }
}

/// What became of one component: before, after, points.
fn change(answer: &Json, component: &str) -> [f64; 3] {
    let row = row(answer, "changes", component);
    [
        &row["before"]["value"],
        &row["after"]["value"],
        &row["points"],
    ]
    .map(|number| number.as_f64().expect("a number"))
}

fn assert_change(answer: &Json, component: &str, expected: [f64; 3]) {
    for (got, expected) in change(answer, component).into_iter().zip(expected) {
        assert_close(component, got, expected, ROUNDING);
    }
}

#[test]
fn s28_parts_ounces_per_pound_and_grams() {
    let s = situation("S28");
    let typed = s.typed("parts");
    let parts: Vec<&str> = typed.split(' ').take(4).collect();
    let lines: Vec<String> = parts
        .iter()
        .map(|part| format!("\"{part} parts leaf {part}\""))
        .collect();
    let shown = |size: &str| {
        json(&format!(
            "gutta formula show {} --batch \"{size}\"",
            lines.join(" ")
        ))
    };
    let (pound, trial) = (shown("1 lb"), shown(&s.typed("trial")));
    for part in parts {
        let name = format!("leaf {part}");
        s.assert_answer(
            &format!("part_{part}_per_pound"),
            line(&pound, &name, "mass", "g"),
        );
        s.assert_answer(
            &format!("part_{part}_trial"),
            line(&trial, &name, "mass", "g"),
        );
        // Parts of 16 are ounces in the pound, and that exactly.
        let ounces = row(&pound, "lines", &name)["oz_per_lb"].as_f64();
        assert_eq!(ounces, Some(part.parse().expect("a number")), "{name}");
    }
    s.assert_all_held();
    // The pound is 453.59237 g exactly (the international agreement of 1959).
    assert_close("lb", value(&pound, "leaf", "g"), 453.592_37, ROUNDING);
    assert_close("g", value(&trial, "leaf", "g"), 28.0, ROUNDING);
}

/// The same leaf in four ways of writing is one formula: 9 of 16 parts are
/// 56.25 %, 15.75 g of 28 g, 9 oz in the pound.
#[test]
fn every_way_of_writing_is_the_same_formula() {
    let expected = [("a", 56.25), ("b", 25.0), ("c", 12.5), ("d", 6.25)];
    for lines in [
        "\"9 parts a\" \"4 parts b\" \"2 parts c\" \"1 part d\"",
        "\"56.25 % a\" \"25 % b\" \"12.5 % c\" \"6.25 % d\"",
        "\"15.75 g a\" \"7 g b\" \"3.5 g c\" \"1.75 g d\"",
        "\"9 oz/lb a\" \"4 oz/lb b\" \"2 oz/lb c\" \"1 oz/lb d\"",
    ] {
        let answer = json(&format!("gutta formula show {lines}"));
        assert_shares(&answer, &expected);
        assert_eq!(answer["answer"]["basis"], "as-weighed");
        assert_eq!(answer["check"], "the shares make 100 %");
    }
}

/// By hand: of 100 g as weighed at 50:50, 45 g and 40 g are dry, 45/85 and 40/85 of
/// the dry leaf; and the way back.
#[test]
fn the_lots_give_the_other_basis() {
    let lots = "--lot \"a = 10%\" --lot \"b = 20%\"";
    let shown = json(&format!(
        "gutta formula show \"50 % a\" \"50 % b\" {lots} --batch 100g"
    ));
    let other = |name| line(&shown, name, "share_on_other_basis", "%");
    assert_close("a", other("a"), 4500.0 / 85.0, ROUNDING);
    assert_close("b", other("b"), 4000.0 / 85.0, ROUNDING);
    // 50 g dry of each is 50/0.9 g and 50/0.8 g as weighed.
    let dry = json(&format!(
        "gutta formula show \"50 % a\" \"50 % b\" {lots} --shares dry --dry 100g"
    ));
    assert_eq!(dry["answer"]["basis"], "dry");
    let (a, b) = (50.0 / 0.9, 50.0 / 0.8);
    assert_close("a", line(&dry, "a", "mass", "g"), a, ROUNDING);
    assert_close("b", line(&dry, "b", "mass", "g"), b, ROUNDING);
    let other = |name| line(&dry, name, "share_on_other_basis", "%");
    assert_close("a", other("a"), 100.0 * a / (a + b), ROUNDING);
    assert_close("leaf", value(&dry, "leaf", "g"), a + b, ROUNDING);
    // Without every moisture there is no other basis.
    let one = json("gutta formula show \"50 % a\" \"50 % b\" --lot \"a = 10%\"");
    assert!(row(&one, "lines", "a")["share_on_other_basis"].is_null());
}

#[test]
fn the_latest_version_is_taken_and_an_earlier_one_by_its_number() {
    let shown = |name: &str| json(&format!("gutta formula show {name} --book demo-data"));
    // The figures are those of demo-data/formulas.toml.
    let latest = [
        ("red flue-cured", 46.0),
        ("oriental", 22.0),
        ("stoved", 18.0),
        ("fire-cured", 14.0),
    ];
    for name in ["evening", "evening:2"] {
        assert_shares(&shown(name), &latest);
    }
    assert_shares(
        &shown("evening:1"),
        &[
            ("red flue-cured", 50.0),
            ("oriental", 18.0),
            ("stoved", 18.0),
            ("fire-cured", 14.0),
        ],
    );
    let said = text("gutta formula show evening --book demo-data");
    for said_of in [
        "evening, version 2, shares of dry leaf: 46 % red flue-cured, 22 % oriental, 18 % stoved, 14 % fire-cured.",
        "Flavouring: 2 g/kg on dry: fig tincture.",
        "Moisture at the end: 15 %.",
        "Rest: 48 h in a closed jar.",
        "Note: judged against version 1 on 2026-10-20.",
    ] {
        assert!(said.contains(said_of), "{said_of}\n{said}");
    }
    assert!(!text("gutta formula show evening:1 --book demo-data").contains("Note:"));
}

/// By hand: barn base is 3:1, and 80 % of it are 60 % and 20 %. Of 400 g dry leaf
/// red-23c at 12.4 % is 240 g/0.876, sun-25 at 11–13 % is 80 g/0.88, and brown-24 at
/// 13.1 % db is 80 g · 1.131.
#[test]
fn a_blend_in_a_blend_is_shown_as_its_leaf() {
    let shown = json("gutta formula show harvest --book demo-data --dry 400g");
    assert_shares(
        &shown,
        &[
            ("red flue-cured", 60.0),
            ("oriental", 20.0),
            ("brown-24", 20.0),
        ],
    );
    for (name, grams, lot) in [
        ("red flue-cured", 240.0 / 0.876, "red-23c"),
        ("oriental", 80.0 / 0.88, "sun-25"),
        ("brown-24", 80.0 * 1.131, "brown-24"),
    ] {
        assert_close(name, line(&shown, name, "mass", "g"), grams, ROUNDING);
        assert_eq!(row(&shown, "lines", name)["lot"], lot);
    }
    let said = text("gutta formula show harvest --book demo-data");
    assert!(
        said.starts_with("harvest, shares of dry leaf: 80 % barn base, 20 % brown-24.")
            && said.contains("Blends in it are shown as the leaf they are made of.")
            && said.contains("Casing: 8 % liquid on as-weighed: plum casing."),
        "{said}"
    );
}

#[test]
fn versions_are_compared_by_who_gave_way() {
    let line = "gutta formula compare evening:1 --with evening --book demo-data";
    let compared = json(line);
    assert_eq!(compared["answer"]["same"], "no");
    assert_eq!(compared["answer"]["basis"], "dry");
    assert_change(&compared, "red flue-cured", [50.0, 46.0, -4.0]);
    assert_change(&compared, "oriental", [18.0, 22.0, 4.0]);
    assert_change(&compared, "stoved", [18.0, 18.0, 0.0]);
    assert_change(&compared, "fire-cured", [14.0, 14.0, 0.0]);
    assert!(
        text(line).starts_with(
            "From evening, version 1 to evening, version 2: raised oriental by 4; gave way red flue-cured by 4 (points of share)."
        )
    );
    let same = json("gutta formula compare evening --with evening:2 --book demo-data");
    assert_eq!(same["answer"]["same"], "yes");
    // --shares is about the lines that are typed, on either side.
    let lines = ["46 % red flue-cured", "40 % oriental", "14 % fire-cured"];
    let beside = lines.map(|line| format!("--with \"{line}\"")).join(" ");
    let typed = json(&format!(
        "gutta formula compare evening {beside} --shares dry --book demo-data"
    ));
    assert_change(&typed, "oriental", [22.0, 40.0, 18.0]);
    assert_change(&typed, "stoved", [18.0, 0.0, -18.0]);
    let before = lines.map(|line| format!("\"{line}\"")).join(" ");
    let turned = json(&format!(
        "gutta formula compare {before} --with evening --shares dry --book demo-data"
    ));
    assert_change(&turned, "oriental", [40.0, 22.0, -18.0]);
}

/// What is not a share is said beside: flavourings, casings, moisture, rest.
#[test]
fn what_else_became_different_is_said() {
    let line = "gutta formula compare harvest --with evening --book demo-data";
    let compared = json(line);
    // Blends are opened: 80 % of three quarters red flue-cured is 60 %.
    assert_change(&compared, "red flue-cured", [60.0, 46.0, -14.0]);
    // What only one has is 0 % of the other.
    assert_change(&compared, "stoved", [0.0, 18.0, 18.0]);
    let said = text(line);
    for what in [
        "Flavourings: none, then 2 g/kg on dry: fig tincture.",
        "Casings: 8 % liquid on as-weighed: plum casing, then none.",
        "Moisture: 16 %, then 15 %.",
        "Rest: a week in the bin, turned once a day, then 48 h in a closed jar.",
        "Check the points sum to 0",
    ] {
        assert!(said.contains(what), "{what}\n{said}");
    }
    let points: f64 = compared["answer"]["changes"]
        .as_array()
        .expect("changes")
        .iter()
        .map(|row| row["points"].as_f64().expect("a number"))
        .sum();
    assert_close("points", points, 0.0, ROUNDING);
}

/// By hand: the others, 78 % together, keep 72/78 of theirs.
#[test]
fn one_share_is_changed_and_the_rest_make_room() {
    let line = "gutta formula change evening --share \"oriental = 28 %\" --book demo-data";
    let changed = json(line);
    let kept = 72.0 / 78.0;
    assert_change(&changed, "oriental", [22.0, 28.0, 6.0]);
    for (name, before) in [
        ("red flue-cured", 46.0),
        ("stoved", 18.0),
        ("fire-cured", 14.0),
    ] {
        let after = before * kept;
        assert_change(&changed, name, [before, after, after - before]);
    }
    // The line for the book can be typed back, and is the same formula.
    let next = changed["next"][0].as_str().expect("a line");
    let lines = next
        .strip_prefix("as a new version: leaf = [")
        .and_then(|rest| rest.strip_suffix(']'))
        .expect("the leaf of a new version")
        .replace("\", \"", "\" \"");
    let again = json(&format!("gutta formula show {lines} --shares dry"));
    for (name, share) in shares(&again) {
        // It is written to nine decimals.
        assert_close(&name, share, change(&changed, &name)[1], 1e-8);
    }

    let one = json(
        "gutta formula change evening --share \"Oriental = 28 %\" --gives-way stoved --book demo-data",
    );
    assert_change(&one, "stoved", [18.0, 12.0, -6.0]);
    assert_change(&one, "red flue-cured", [46.0, 46.0, 0.0]);
    let said = text("gutta formula change evening --share \"oriental = 22 %\" --book demo-data");
    assert!(
        said.starts_with("oriental has that share already."),
        "{said}"
    );
    // A blend is one component of a formula that it stands in.
    let blend = json("gutta formula change harvest --share \"barn base = 90 %\" --book demo-data");
    assert_change(&blend, "brown-24", [20.0, 10.0, -10.0]);
}

#[test]
fn what_is_typed_beside_a_formula_of_the_book_wins() {
    let said = text(
        "gutta formula show harvest --book demo-data --to 14% --rest \"a day\" --flavour \"1 g/kg on dry: fig tincture\" --casing \"5 % solids on dry: plum casing\"",
    );
    for what in [
        "Casing: 5 % solids on dry: plum casing.",
        "Flavouring: 1 g/kg on dry: fig tincture.",
        "Moisture at the end: 14 %.",
        "Rest: a day.",
    ] {
        assert!(said.contains(what), "{what}\n{said}");
    }
    for gone in ["16 %", "8 % liquid", "a week in the bin"] {
        assert!(!said.contains(gone), "{gone}\n{said}");
    }
}

#[test]
fn what_cannot_be_shown_is_refused() {
    let no_formula = "name one of the book, such as evening, or type its lines: \"46 % flue-cured\" \"54 % oriental\"";
    all_hold(&[
        Refusal::new("gutta formula show", 2, "missing", "no formula is named")
            .flag("FORMULA").hint(no_formula),
        Refusal::new("gutta formula show morning --book demo-data", 2, "unknown-name", "the book has no formula `morning`")
            .flag("FORMULA").under("morning", "morning").hint("its formulas are barn base, evening, harvest and smoke ring"),
        Refusal::new("gutta formula show evenin --book demo-data", 2, "unknown-name", "the book has no formula `evenin`")
            .flag("FORMULA").under("evenin", "evenin").hint("did you mean `evening`? its formulas are barn base, evening, harvest and smoke ring"),
        Refusal::new("gutta formula show evening:3 --book demo-data", 2, "unknown-name", "the book has no formula `evening:3`")
            .flag("FORMULA").under("evening:3", "evening:3").hint("did you mean `evening:1`? its formulas are evening:1 and evening:2"),
        Refusal::new("gutta formula show evening --shares dry --book demo-data", 2, "clash", "what the shares of evening are of stands in the book")
            .flag("--shares").hint("leave --shares out, or type the lines of the formula"),
        Refusal::new("gutta formula compare evening --with evening:1 --shares dry --book demo-data", 2, "clash", "what the shares of evening are of stands in the book")
            .flag("--shares").hint("leave --shares out, or type the lines of the formula"),
        Refusal::new("gutta formula compare evening --book demo-data", 2, "missing", "there is nothing to compare it with")
            .flag("--with").hint("name another formula or version, such as --with evening:1, or type its lines, each behind --with"),
        Refusal::new("gutta formula compare evening --with \"smoke ring\" --book demo-data", 1, "refused", "evening, version 2 counts its shares on dry leaf, and smoke ring on leaf as weighed")
            .flag("FORMULA").hint("shares on two bases are no more alike than grams and drops: gutta formula show with the lots gives one of them on the other basis"),
        Refusal::new("gutta formula change evening --book demo-data", 2, "missing", "the share to change is missing")
            .flag("--share").hint("type the component, = and the share it is to have, such as --share \"oriental = 28 %\""),
        Refusal::new("gutta formula change evening --share \"oriental 28 %\" --book demo-data", 2, "unreadable", "there is no = between component and share")
            .flag("--share").under("oriental 28 %", "oriental 28 %").hint("type the component, = and the share it is to have, such as \"oriental = 28 %\""),
        Refusal::new("gutta formula change evening --share \"orental = 28 %\" --book demo-data", 2, "unknown-name", "`orental` is not in the formula")
            .flag("--share").under("orental = 28 %", "orental = 28 %").hint("did you mean oriental?"),
        Refusal::new("gutta formula change evening --share \"oriental = 28\" --book demo-data", 2, "no-unit", "`28` has no unit")
            .flag("--share").under("oriental = 28", "28").hint("write 28 %"),
        Refusal::new("gutta formula change evening --share \"oriental = 28 % ± 1 %\" --book demo-data", 2, "doubt", "a share of a formula is a plain figure")
            .flag("--share").under("oriental = 28 % ± 1 %", "oriental = 28 % ± 1 %").hint("type it alone, such as \"oriental = 28 %\""),
        Refusal::new("gutta formula change evening --share \"oriental = 28 %\" --gives-way maple --book demo-data", 2, "unknown-name", "`maple` is not in the formula")
            .flag("--gives-way").under("maple", "maple").hint("it has red flue-cured, oriental, stoved, fire-cured"),
    ]);
}
