//! Whole screens of formulas and sheets: wide, narrow, and as data.

use serde_json::Value as Json;

use super::program::{json, typed};

/// A dozen formulas: of the book, long names, umlauts, twelve lines, with a bowl,
/// too small for the scale, to be aired, in ounces, with leaf in the bowl.
const SHEETS: [&str; 12] = [
    "evening --batch 240g --scale bench --dropper amber --dropper glass --tray 612.35g",
    "evening:1 --finished 60g --scale bench --dropper amber",
    "harvest --batch 2kg --scale floor --tray 2kg --order base",
    "\"smoke ring\" --batch 20g --scale pocket",
    "evening --batch 5g --scale pocket --dropper amber --flavour \"0.5 g/kg on dry: fig tincture\"",
    "evening --batch 240g --to 10% --scale bench",
    "evening --batch 10g --dropper glass --scale bench --rest \"as long as it takes to be taken up evenly, at the least three days in a closed jar\"",
    "\"46 % Überlinger Großblatt aus dem Hinterland, zweite Ernte\" \"54 % Würzblatt vom Oberen Grund, sonnengetrocknet\" --at \"11% ± 1%\" --to 14% --batch 1234.5g --scale 0.1g --tray 3210.5g",
    "\"12 parts a\" \"11 parts b\" \"10 parts c\" \"9 parts d\" \"8 parts e\" \"7 parts f\" \"6 parts g\" \"5 parts h\" \"4 parts i\" \"3 parts j\" \"2 parts k\" \"1 part l\" --batch 78g --scale 0.01g",
    "\"12 parts sun-cured oriental of the upper leaves\" \"11 parts b\" \"10 parts c\" \"9 parts d\" \"8 parts e\" \"7 parts f\" \"6 parts g\" \"5 parts h\" \"4 parts i\" \"3 parts j\" \"2 parts k\" \"1 part a-very-long-word-without-any-blank-in-it-at-all-so-that-it-must-be-broken\" --at 12% --to 16% --batch 1kg --scale 0.1g --tray 612g --casing \"5 % liquid on dry: plum casing\" --flavour \"2 g/kg on dry: fig tincture\"",
    "\"9 oz/lb a\" \"7 oz/lb b\" --batch \"1 lb 6 oz\" --at 12% --to 13%",
    "\"50 % a\" \"50 % b\" --in-bowl \"6g a\" --in-bowl \"4g b\" --tray 100g --scale 0.01g",
];

fn sheet(words: &str, flags: &str) -> String {
    format!("gutta --book demo-data sheet {words} {flags}")
}

fn printed(line: &str) -> String {
    let run = typed(line);
    assert_eq!(run.code, 0, "{line}\n{}", run.err);
    assert_eq!(run.err, "", "{line}");
    run.out
}

fn assert_fits(line: &str, columns: usize) -> String {
    let out = printed(line);
    for shown in out.lines() {
        assert!(shown.chars().count() <= columns, "{line}\n{shown}");
        assert!(!shown.chars().any(char::is_control), "{line}\n{shown:?}");
    }
    out
}

#[test]
fn sheets_fit_the_wide_and_the_narrow_page() {
    for words in SHEETS {
        assert_fits(&sheet(words, "--working"), 80);
        assert_fits(&sheet(words, "--narrow --working"), 40);
    }
}

/// What would colour a screen or ring a bell is no name, and the complaint about it
/// does neither.
#[test]
fn a_name_with_a_control_character_is_refused_without_it() {
    let line = sheet("\"1 part \u{7}a\u{1b}[31mb\" --batch 10g", "");
    let run = typed(&line);
    assert_eq!(run.code, 2, "{}", run.out);
    assert_eq!(run.out, "");
    let shown = run.err.replace('\n', "");
    assert!(!shown.chars().any(char::is_control), "{shown:?}");
    assert!(
        shown.contains("a character of this name does not show"),
        "{shown}"
    );
}

/// The numbers of the steps, as they stand behind their boxes.
fn steps(out: &str) -> Vec<usize> {
    let boxes = out.lines().filter_map(|line| line.strip_prefix("[ ]"));
    boxes
        .map(|rest| {
            let word = rest.split_whitespace().next().expect("a number");
            word.trim_end_matches('.').parse().expect("a number")
        })
        .collect()
}

/// Letters and digits alone: what a column breaks is the same then.
fn bare(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// Both pages have every step, and each amount of leaf stands on both.
#[test]
fn every_step_is_on_both_pages() {
    for words in SHEETS {
        let (wide, narrow) = (
            printed(&sheet(words, "")),
            printed(&sheet(words, "--narrow")),
        );
        let numbers = steps(&wide);
        assert_eq!(numbers, steps(&narrow), "{words}");
        assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>(), "{words}");
        let lines = json(&sheet(words, ""))["answer"]["lines"]
            .as_array()
            .map(Vec::len);
        // The bowl, and a line for each weighing of leaf, at the least.
        assert!(numbers.len() > lines.expect("lines"), "{words}");
        // What is weighed first on the one is first on the other.
        let weighings = |out: &str| -> Vec<String> {
            let lines = out.lines().filter(|line| line.starts_with("[ ]"));
            let amounts = lines.filter_map(|line| {
                let mut words = line[3..].split_whitespace().skip(1);
                let amount = words.next()?;
                amount
                    .starts_with(|c: char| c.is_ascii_digit())
                    .then(|| amount.to_owned())
            });
            amounts.collect()
        };
        assert_eq!(weighings(&wide), weighings(&narrow), "{words}");
    }
}

/// Everything that the narrow page says of a step stands on the wide one too.
#[test]
fn a_step_says_the_same_on_both_pages() {
    let words = SHEETS[0];
    let wide = printed(&sheet(words, ""));
    let narrow = printed(&sheet(words, "--narrow"));
    for what in [
        "smoke-24",
        "dark-22",
        "sun-25",
        "red-23c",
        "33.50 g",
        "131.43 g",
        "743.78 g",
        "19 drops",
        "dropper amber",
        "until the alcohol is gone",
        "48 h in a closed jar",
    ] {
        let what_bare = bare(what);
        // A column of the wide page may break words apart, and others between.
        let is_there =
            bare(&wide).contains(&what_bare) || what.split(' ').all(|word| wide.contains(word));
        assert!(is_there, "{what}\n{wide}");
        assert!(bare(&narrow).contains(&what_bare), "{what}\n{narrow}");
    }
}

/// The steps of a sheet, joined, as the narrow page has them.
fn told(words: &str) -> Vec<String> {
    let narrow = printed(&sheet(words, "--narrow"));
    let mut steps: Vec<String> = Vec::new();
    for line in narrow.lines() {
        if line.starts_with("[ ]") {
            steps.push(line.to_owned());
        } else if let Some(last) = steps.last_mut().filter(|_| line.starts_with("    ")) {
            *last += &format!(" {}", line.trim());
        }
    }
    steps
}

#[test]
fn leaf_comes_before_casing_flavour_and_water() {
    let words = "evening --batch 240g --scale bench --tray 612g --casing \"5 % liquid on dry: plum casing\" --to 20%";
    let steps = told(words);
    let mut from = 0;
    for what in [
        "the bowl on the scale",
        "fire-cured",
        "stoved",
        "oriental",
        "red flue-cured",
        "toss until it is even",
        "plum casing",
        "let it rest covered",
        "fig tincture",
        "toss until it is even",
        "air it until the alcohol is gone",
        "distilled water",
        "rest: 48 h in a closed jar",
        "judge; it should be at 20 %",
    ] {
        let at = steps[from..].iter().position(|step| step.contains(what));
        let at = at.unwrap_or_else(|| panic!("{what} from {from}\n{steps:#?}"));
        from += at + 1;
    }
    assert_eq!(from, steps.len(), "{steps:#?}");
}

/// The reading with the bowl is the net one and the bowl, to the step of the scale.
#[test]
fn readings_with_the_bowl_are_net_and_bowl() {
    let mut count = 0;
    for (words, bowl) in [
        (
            "evening --batch 240g --scale bench --tray 612.35g",
            612.35_f64,
        ),
        ("harvest --batch 900g --scale floor --tray 612g", 612.0),
    ] {
        for step in told(words) {
            let Some((_, reads)) = step.split_once("the scale reads ") else {
                continue;
            };
            let numbers: Vec<f64> = reads
                .split([' ', '(', ')', 'g'])
                .filter_map(|word| word.parse().ok())
                .collect();
            let [net, gross] = numbers[..] else { continue };
            count += 1;
            // Each is rounded to a step of the scale: 0.01 g, or 1 g.
            let step_of = if bowl > 612.0 { 0.01 } else { 1.0 };
            assert!((gross - net - bowl).abs() <= step_of + 1e-9, "{step}");
        }
    }
    assert!(count >= 12, "{count}");
}

#[test]
fn formulas_fit_the_wide_and_the_narrow_page() {
    let long = "\"60 % Überlinger Großblatt aus dem Hinterland, zweite Ernte des Jahres\" \"40 % Würzblatt vom Oberen Grund\"";
    for line in [
        "formula show evening --batch 240g".to_owned(),
        "formula show harvest --dry 2kg".to_owned(),
        "formula show \"smoke ring\" --batch \"1 lb\"".to_owned(),
        format!("formula show {long} --at 12% --batch 28.0g"),
        "formula compare evening:1 --with evening".to_owned(),
        "formula compare harvest --with evening".to_owned(),
        format!("formula compare {long} --with \"100 % b\""),
        "formula change evening --share \"oriental = 28 %\"".to_owned(),
        format!("formula change {long} --share \"Würzblatt vom Oberen Grund = 33.3 %\""),
    ] {
        let line = format!("gutta --book demo-data {line}");
        let wide = assert_fits(&line, 80);
        let narrow = assert_fits(&format!("{line} --narrow"), 40);
        let names = |out: &str| bare(out).matches("oriental").count();
        assert!(names(&wide) > 0 || line.contains("Oberen"), "{wide}");
        assert!(names(&narrow) > 0 || line.contains("Oberen"), "{narrow}");
        assert!(json(&line)["answer"]["basis"].is_string(), "{line}");
    }
}

/// Every sheet as data: its schema holds, which `json` sees to, and its totals.
#[test]
fn every_sheet_as_data_adds_up() {
    for words in SHEETS {
        let answer = json(&sheet(words, ""));
        let lines = answer["answer"]["lines"].as_array().expect("lines");
        let number = |row: &Json, key: &str| row[key]["value"].as_f64().expect("a number");
        let last = lines
            .last()
            .map(|row| number(row, "reads"))
            .expect("a line");
        let leaf = number(&answer["answer"], "leaf");
        // Rounding of a sum of a dozen.
        assert!((last - leaf).abs() <= 1e-9 * leaf, "{words}: {last} {leaf}");
        for pair in lines.windows(2) {
            let between = number(&pair[1], "reads") - number(&pair[0], "reads");
            let added = number(&pair[1], "mass");
            assert!((between - added).abs() <= 1e-9 * leaf, "{words}");
        }
    }
}
