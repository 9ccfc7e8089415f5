//! `gutta book`: a new book, and one that is looked through; and what is kept in one.

use std::fs;
use std::path::Path;

use serde_json::{Value as Json, json};

use super::program::{joined, json_in, refused_in, typed_in, workshop};

/// Every file below a folder, by its path from there.
fn below(top: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![top.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let inner = path.strip_prefix(top).expect("below it");
                found.push(inner.display().to_string().replace('\\', "/"));
            }
        }
    }
    found.sort();
    found
}

/// What a refused command line says, as `kind`, `message`, `hint` and what it is
/// about: a flag, or a file.
#[track_caller]
fn refuses(top: &Path, line: &str, code: i32, about: &str, said: [&str; 3]) {
    let error = &refused_in(top, line, code)["error"];
    let which = if error["file"].is_null() {
        "flag"
    } else {
        "file"
    };
    assert_eq!(error[which], about, "{line}: {error}");
    assert_eq!(
        [&error["kind"], &error["message"], &error["hint"]].map(|t| t.as_str().unwrap_or("")),
        said,
        "{line}"
    );
    // A person is told the same.
    let text = typed_in(top, line);
    assert_eq!((text.code, text.out.as_str()), (code, ""), "{line}");
    let shown = joined(&text.err);
    let [_, message, hint] = said;
    assert!(shown.contains(&format!("{about}: {message}")), "{shown}");
    assert!(shown.ends_with(&format!("hint: {hint}")), "{shown}");
}

#[test]
fn a_new_book_says_what_goes_into_it_and_is_sound() {
    let top = workshop();
    let made = typed_in(
        top.path(),
        "gutta book new \"my bench\" --name \"The Barn\"",
    );
    assert_eq!(made.err, "");
    assert_eq!(
        made.out,
        "\
A new bench book, The Barn, stands in my bench: 7 files, and nothing in it yet.
scales.toml: scales, their smallest step and repeatability
liquids.toml: liquids, their density and what is in them
droppers.toml: droppers, the weighings of counted drops
lots.csv: lots of leaf with moisture, price and stock, a row for each
formulas.toml: formulas, version by version
.gitattributes: how git puts two people's journals together
book.toml: what the book is called; it makes the folder a book
Check     gutta book check \"my bench\" reads it, before and after you write in it
Next      write your scale into scales.toml first: the file says how, with an
          example
          then weigh the drops of a dropper by it: gutta dropper 20=0.974g
          20=0.981g 20=0.969g --scale bench --book \"my bench\"
          in that folder and below it the book is found by itself
"
    );
    let checked = typed_in(top.path(), "gutta book check \"my bench\"");
    assert_eq!(
        checked.out,
        "\
The Barn is sound: no scales, no liquids, no droppers, no lots and no formulas.
Check     every file in my bench was read to its end, and every name in them is
          known
Next      write your scale into scales.toml: its smallest step
          weigh the drops of a dropper, and keep them with --save and --date
          write your leaf into lots.csv with its moisture
"
    );
    // In the folder it is found without being named.
    let inside = top.path().join("my bench");
    let found = json_in(&inside, "gutta book check");
    assert_eq!(found["answer"]["name"], "The Barn");
}

/// What the answer says to do next is done.
#[test]
fn the_first_steps_work_as_they_are_said() {
    let top = workshop();
    let made = json_in(top.path(), "gutta book new bench");
    assert_eq!(made["answer"]["folder"], "bench");
    assert_eq!(made["answer"]["name"], Json::Null);
    let files = made["answer"]["files"].as_array().expect("rows");
    let mut files: Vec<&str> = files.iter().filter_map(|f| f["file"].as_str()).collect();
    files.sort_unstable();
    let all = below(top.path());
    let new: Vec<&String> = all.iter().filter(|f| f.starts_with("bench/")).collect();
    assert_eq!(files, new);
    let scales = top.path().join("bench/scales.toml");
    let text = fs::read_to_string(&scales).expect("text");
    fs::write(&scales, text.replace("\n#", "\n").replace("\n ", "\n# ")).expect("written");
    let next = made["next"][1].as_str().expect("a line");
    let (_, line) = next.split_once(": ").expect("a command");
    let weighed = json_in(top.path(), line);
    assert_eq!(weighed["command"], "dropper");
    let found = json_in(top.path(), "gutta book check bench");
    assert_eq!(found["answer"]["scales"], 1.0);
}

#[test]
fn what_a_sound_book_holds_is_counted() {
    let top = workshop();
    let found = json_in(top.path(), "gutta book check demo-data");
    assert_eq!(
        found["answer"],
        json!({
            "folder": "demo-data",
            "name": "The Hollow Barn leaf room",
            "scales": 3.0,
            "liquids": 3.0,
            "droppers": 2.0,
            "lots": 6.0,
            "formulas": 4.0,
            "formula_versions": 5.0,
            "journal_entries": 42.0,
            "journal_jars": 1.0,
            "journal_lots": 5.0,
            "journal_trials": 2.0,
            "journal_batches": 1.0,
        })
    );
    assert_eq!(
        found["cautions"],
        json!(["dropper amber: a miss of one drop cannot be seen at this scatter"])
    );
    assert_eq!(
        found["next"],
        json!(["type its names: --scale bench, --dropper glass, --lot bright-24a"])
    );
}

#[test]
fn what_is_doubtful_in_a_sound_book_is_said() {
    let top = workshop();
    let book = top.path().join("demo-data");
    let write = |file: &str, text: &str| fs::write(book.join(file), text).expect("written");
    write(
        "droppers.toml",
        r#"format = 1
[[dropper]]
name = "bare"
liquid = "water"
date = 2026-10-04
weighings = ["20 = 0.95 g"]
[[dropper]]
name = "miscounted"
liquid = "water"
date = 2026-10-04
weighings = ["20 = 0.612 g", "20 = 0.606 g", "20 = 0.615 g", "20 = 0.581 g"]
[[dropper]]
name = "fine"
liquid = "water"
date = 2026-10-04
scale = "bench"
weighings = ["20 = 0.612 g", "20 = 0.622 g", "20 = 0.617 g"]
"#,
    );
    write(
        "liquids.toml",
        "format = 1\n[[liquid]]\nname = \"fig tincture\"\nwater = \"46 %\"\n",
    );
    write(
        "lots.csv",
        "name,leaf,moisture\nred-23c,red flue-cured,12.4 %\nsun-25,oriental,12 % ± 1 %\n",
    );
    write(
        "formulas.toml",
        "format = 1\n[[formula]]\nname = \"evening\"\nshares = \"dry\"\nleaf = [\"1 part oriental\", \"1 part stoved\"]\n",
    );
    let found = json_in(top.path(), "gutta book check demo-data");
    assert_eq!(
        found["cautions"],
        json!([
            "liquid fig tincture: its density is not written, so it can be weighed, but not counted in drops or measured",
            "dropper bare: one weighing alone: the scatter from drop to drop is unknown",
            "dropper bare: no scale is named, so the doubt of its readings is left out",
            "dropper miscounted: weighing 4 reads as 19 drops, and is left out of the drop",
            "dropper miscounted: no scale is named, so the doubt of its readings is left out",
            "dropper fine: weighing 1 and 2 others have more decimals than the scale shows: check the scale's division",
            "lot red-23c: its moisture is taken to be exact; write its doubt behind it: 12.4 % ± 1 %",
            "formula evening: no lot of stoved is in the book",
        ])
    );
}

/// The same faults, word for word, as of a book that is merely used.
#[test]
fn a_faulty_book_is_refused_with_all_that_is_wrong() {
    let top = gutta_tests::root();
    let bad = "demo-data/bad/several-at-once";
    let mut checked = refused_in(&top, &format!("gutta book check {bad}"), 2);
    let used = refused_in(
        &top,
        &format!("gutta dropper --dropper glass --book {bad}"),
        2,
    );
    assert_eq!(checked["command"], "book check");
    checked["command"] = "dropper".into();
    assert_eq!(checked, used);
    let more = checked["more"].as_array().expect("several");
    assert!(more.len() >= 8, "{more:?}");
    let flagged = refused_in(&top, &format!("gutta book check --book {bad}"), 2);
    assert_eq!(flagged["error"], used["error"]);
}

#[test]
fn what_is_there_already_is_not_written_over() {
    let top = workshop();
    let before = below(top.path());
    refuses(
        top.path(),
        "gutta book new demo-data",
        1,
        "demo-data/scales.toml",
        [
            "taken",
            "this is there already",
            "name another folder; nothing was changed",
        ],
    );
    refuses(
        top.path(),
        "gutta book new demo-data/book.toml",
        2,
        "demo-data/book.toml",
        [
            "file",
            "this is a file, not a folder",
            "name another folder; nothing was changed",
        ],
    );
    assert_eq!(below(top.path()), before);
}

#[test]
fn a_folder_that_is_not_named_or_named_twice_is_asked_for() {
    let top = workshop();
    let cases: [(&str, &str, [&str; 3]); 7] = [
        (
            "gutta book new",
            "DIR",
            [
                "missing",
                "the folder of the new book is missing",
                "type the folder to make it in, such as gutta book new bench",
            ],
        ),
        (
            "gutta book new \" \"",
            "DIR",
            [
                "missing",
                "no folder is named",
                "type the folder, such as bench",
            ],
        ),
        (
            "gutta book new bench --book demo-data",
            "--book",
            [
                "clash",
                "DIR and --book do not go together",
                "leave --book out: a new book is made in the folder that stands behind new",
            ],
        ),
        (
            "gutta book new bench --name \"\"",
            "--name",
            [
                "empty",
                "the name is empty",
                "call it in a few words on one line, such as \"the workshop\"",
            ],
        ),
        (
            "gutta book check",
            "DIR",
            [
                "missing",
                "there is no bench book here, nor above this folder",
                "name its folder: gutta book check bench; gutta book new bench makes one",
            ],
        ),
        (
            "gutta book check demo-data --book demo-data",
            "--book",
            [
                "clash",
                "DIR and --book do not go together",
                "name the folder once",
            ],
        ),
        (
            "gutta book check nowhere",
            "nowhere",
            [
                "file",
                "there is no such folder",
                "a bench book is a folder with a book.toml in it",
            ],
        ),
    ];
    let before = below(top.path());
    for (line, about, said) in cases {
        refuses(top.path(), line, 2, about, said);
    }
    assert_eq!(below(top.path()), before);
}

const WEIGHED: &str = "gutta dropper 20=0.61g 20=0.62g 20=0.63g --book demo-data";

/// It is the same drop by its name as it was by its weighings.
#[test]
fn a_calibration_is_kept_and_called_by_its_name() {
    let top = workshop();
    let file = top.path().join("demo-data/droppers.toml");
    let before = fs::read_to_string(&file).expect("text");
    let line = format!(
        "{WEIGHED} --scale bench --temp 21.5C --save clear --date 2026-11-25 --note \"new tip\""
    );
    let kept = json_in(top.path(), &line);
    assert_eq!(kept["answer"]["saved"], "clear");
    assert_eq!(kept["answer"]["saved_in"], "demo-data/droppers.toml");
    assert_eq!(kept["cautions"], json!([]));
    let next = kept["next"].as_array().and_then(|lines| lines.last());
    assert_eq!(next, Some(&json!("call it by its name: --dropper clear")));
    let wanted = "\n[[dropper]]\nname = \"clear\"\nliquid = \"water\"\ndate = 2026-11-25\nscale = \"bench\"\ntemperature = \"21.5C\"\nweighings = [\"20=0.61g\", \"20=0.62g\", \"20=0.63g\"]\nnote = \"new tip\"\n";
    let after = fs::read_to_string(&file).expect("text");
    assert_eq!(after, before.clone() + wanted);
    let named = json_in(top.path(), "gutta dropper --dropper clear --book demo-data");
    assert_eq!(named["answer"]["drop_mass"], kept["answer"]["drop_mass"]);
    // The journal keeps it too: what takes its place is not all that there was.
    let journal = top.path().join("demo-data/journal.jsonl");
    let recorded = fs::read_to_string(&journal).expect("text");
    let last = recorded.lines().last().expect("an entry");
    let last: serde_json::Value = serde_json::from_str(last).expect("JSON");
    assert_eq!(last["kind"], "dropper-calibrated");
    assert_eq!(last["dropper"], "clear");
    assert_eq!(
        last["weighings"],
        json!(["20=0.61g", "20=0.62g", "20=0.63g"])
    );
    // In its place, and with less said of it.
    let line = format!("{WEIGHED} --save Clear --date 2026-11-26 --replace");
    let again = json_in(top.path(), &line);
    assert_eq!(
        again["cautions"],
        json!(["it is kept without a scale: the doubt of its readings is not counted"])
    );
    let wanted = "\n[[dropper]]\nname = \"Clear\"\nliquid = \"water\"\ndate = 2026-11-26\nweighings = [\"20=0.61g\", \"20=0.62g\", \"20=0.63g\"]\n";
    let after = fs::read_to_string(&file).expect("text");
    assert_eq!(after, before + wanted);
}

#[test]
fn what_cannot_be_kept_is_said_and_the_book_stays_as_it_was() {
    let top = workshop();
    let file = top.path().join("demo-data/droppers.toml");
    let before = fs::read_to_string(&file).expect("text");
    let cases: [(&str, i32, &str, [&str; 3]); 8] = [
        (
            "--save Amber --date 2026-11-25",
            1,
            "--save",
            [
                "taken",
                "there is a dropper `Amber` already",
                "give it another name, or add --replace to put it in its place",
            ],
        ),
        (
            "--save clear --date 2026-11-25 --scale 0.01g",
            2,
            "--scale",
            [
                "no-name",
                "a division alone cannot be kept with a dropper",
                "name a scale of the book, such as --scale bench; or leave it out, and the doubt of the readings is not counted",
            ],
        ),
        (
            "--save clear --date 2026-11-25 --scale bank",
            2,
            "--scale",
            [
                "unknown-name",
                "the book has no scale `bank`",
                "its scales are bench, pocket and floor",
            ],
        ),
        (
            "--save clear",
            2,
            "--date",
            [
                "missing",
                "the day of the weighings is missing",
                "type it with all digits, such as --date 2026-11-25",
            ],
        ),
        (
            "--save clear --date 25.11.2026",
            2,
            "--date",
            [
                "date",
                "`25.11.2026` is no date",
                "type year, month and day with all digits, such as --date 2026-11-25",
            ],
        ),
        (
            "--save \" \"",
            2,
            "--save",
            [
                "missing",
                "no name is given",
                "type the name to keep it by, such as --save amber",
            ],
        ),
        (
            "--replace",
            2,
            "--save",
            [
                "missing",
                "--replace belongs to a dropper that is kept",
                "add --save and its name, or leave --replace out",
            ],
        ),
        (
            "--save clear --density 0.9g/mL",
            2,
            "--save",
            [
                "clash",
                "--density and --save do not go together",
                "keep one of them",
            ],
        ),
    ];
    for (rest, code, about, said) in cases {
        refuses(top.path(), &format!("{WEIGHED} {rest}"), code, about, said);
    }
    refuses(
        top.path(),
        "gutta dropper 20=0.61g --save clear --date 2026-11-25",
        2,
        "--save",
        [
            "no-book",
            "there is no bench book to keep it in",
            "name its folder with --book DIR; gutta book new DIR makes one",
        ],
    );
    assert_eq!(fs::read_to_string(&file).expect("text"), before);
}

const CHANGED: &str = "gutta formula change evening --share \"oriental = 25 %\" --book demo-data";

/// A version is added, never replaced; by its name it has the shares that were
/// answered.
#[test]
fn a_version_of_a_formula_is_kept_and_called_by_its_name() {
    let top = workshop();
    let file = top.path().join("demo-data/formulas.toml");
    let before = fs::read_to_string(&file).expect("text");
    let line = format!("{CHANGED} --save Evening --note \"less hay\"");
    let kept = json_in(top.path(), &line);
    assert_eq!(kept["answer"]["saved"], "Evening:3");
    assert_eq!(kept["answer"]["saved_in"], "demo-data/formulas.toml");
    let next = kept["next"].as_array().and_then(|lines| lines.last());
    assert_eq!(next, Some(&json!("call it by its name: Evening:3")));
    let after = fs::read_to_string(&file).expect("text");
    // 46, 18 and 14 of 78 make room for 3: 46 - 138/78, and so on.
    let wanted = "\n[[formula]]\nname = \"Evening\"\nversion = 3\nshares = \"dry\"\nleaf = [\"44.230769231 % red flue-cured\", \"25 % oriental\", \"17.307692308 % stoved\", \"13.461538462 % fire-cured\"]\nflavours = [\"2 g/kg on dry: fig tincture\"]\nmoisture = \"15 %\"\nrest = \"48 h in a closed jar\"\nnote = \"less hay\"\n";
    assert_eq!(after, before + wanted);
    let compared = json_in(
        top.path(),
        "gutta formula compare evening:2 --with evening:3 --book demo-data",
    );
    let rows = |answer: &serde_json::Value, key: &str| -> Vec<f64> {
        let changes = answer["answer"]["changes"].as_array().expect("rows");
        let each = changes.iter().map(|row| row[key]["value"].as_f64());
        each.map(|value| value.expect("a share")).collect()
    };
    for (kept, named) in rows(&kept, "after")
        .into_iter()
        .zip(rows(&compared, "after"))
    {
        // Nine decimals of a percent are written.
        assert!((kept - named).abs() < 1e-8, "{kept} {named}");
    }
    // Lines that were typed are kept as they were.
    let line = "gutta formula show \"2 parts flue-cured\" \"1 part burley\" --shares dry --to 15% --save morning --book demo-data";
    let shown = json_in(top.path(), line);
    assert_eq!(shown["answer"]["saved"], "morning:1");
    let text = fs::read_to_string(&file).expect("text");
    let wanted = "\n[[formula]]\nname = \"morning\"\nversion = 1\nshares = \"dry\"\nleaf = [\"2 parts flue-cured\", \"1 part burley\"]\nmoisture = \"15 %\"\n";
    assert_eq!(text, after + wanted);
}

#[test]
fn a_formula_that_cannot_be_kept_is_refused_and_the_book_stays_as_it_was() {
    let top = workshop();
    let before = below(top.path());
    let cases: [(&str, &str, [&str; 3]); 4] = [
        (
            "gutta formula change evening --share \"oriental = 25 %\" --book demo-data --save evening:3",
            "--save",
            [
                "stray",
                "the version of a formula is counted by the program",
                "type the name alone: --save evening",
            ],
        ),
        (
            "gutta formula change evening --share \"oriental = 25 %\" --book demo-data --save \"\"",
            "--save",
            [
                "missing",
                "no name is given",
                "type the name to keep it by, such as --save evening",
            ],
        ),
        (
            "gutta formula show evening --book demo-data --note hay",
            "--save",
            [
                "missing",
                "--note belongs to a formula that is kept",
                "add --save and its name, or leave --note out",
            ],
        ),
        (
            "gutta formula show \"1 part burley\" --save morning",
            "--save",
            [
                "no-book",
                "there is no bench book to keep it in",
                "name its folder with --book DIR; gutta book new DIR makes one",
            ],
        ),
    ];
    for (line, about, said) in cases {
        refuses(top.path(), line, 2, about, said);
    }
    assert_eq!(below(top.path()), before);
}
