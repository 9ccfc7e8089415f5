//! A book as a whole in sentences: what was made, what it holds, what is
//! doubtful in it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use gutta::bench::{Finding, Readings};
use gutta::{Caution, Error};
use gutta_book::{Book, DropperEntry, FormulaEntry, Journal, LotEntry, MakingKind};

use super::journal::torn;
use super::{dropper, keys};
use crate::answer::{Answer, Figure, Key, Row, Shape, Value};
use crate::render::json::Form;

keys! {
    FOLDER = "folder": Shape::Text, "the folder of the book";
    NAME = "name": Shape::Text, "what the book is called";
    FILE = "file": Shape::Text, "a file that was made, with the folder before it";
    FILES = "files": Shape::Rows { always: &[&FILE], known: &[] }, "the files that were made";
    SCALES = "scales": Shape::Number, "how many scales it holds";
    LIQUIDS = "liquids": Shape::Number, "how many liquids it holds, water not counted";
    DROPPERS = "droppers": Shape::Number, "how many droppers it holds";
    LOTS = "lots": Shape::Number, "how many lots of leaf it holds";
    FORMULAS = "formulas": Shape::Number, "how many formulas it holds, each counted once";
    ENTRIES = "journal_entries": Shape::Number, "how many entries its journal has";
    JARS = "journal_jars": Shape::Number, "how many jars its journal tells of";
    TRIALS = "journal_trials": Shape::Number, "how many trials its journal tells of";
    BATCHES = "journal_batches": Shape::Number, "how many batches its journal tells of";
    JOURNAL_LOTS = "journal_lots": Shape::Number, "how many lots of leaf its journal tells of";
    VERSIONS = "formula_versions": Shape::Number, "how many versions of formulas it holds";
}

/// The keys of `book new`.
pub static NEW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&FOLDER, &FILES],
    known: &[&NAME],
}];

/// The keys of `book check`.
pub static CHECK_FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &FOLDER,
        &SCALES,
        &LIQUIDS,
        &DROPPERS,
        &LOTS,
        &FORMULAS,
        &VERSIONS,
        &ENTRIES,
        &JARS,
        &JOURNAL_LOTS,
        &TRIALS,
        &BATCHES,
    ],
    known: &[&NAME],
}];

fn put_text(answer: &mut Answer, key: &'static Key, text: &str) {
    answer.figures.push(Figure {
        key,
        value: Value::Text(text.to_owned()),
    });
}

/// A word of a command line, in quotes where it would fall apart.
pub fn as_word(text: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || "-_./\\:".contains(c);
    if text.chars().all(is_plain) {
        text.to_owned()
    } else {
        format!("\"{text}\"")
    }
}

/// What goes into a file of the book.
fn holds(file: &str) -> &'static str {
    match file {
        "scales.toml" => "scales, their smallest step and repeatability",
        "liquids.toml" => "liquids, their density and what is in them",
        "droppers.toml" => "droppers, the weighings of counted drops",
        "lots.csv" => "lots of leaf with moisture, price and stock, a row for each",
        "formulas.toml" => "formulas, version by version",
        ".gitattributes" => "how git puts two people's journals together",
        _ => "what the book is called; it makes the folder a book",
    }
}

/// A book that was made.
pub fn new(folder: &str, name: Option<&str>, paths: &[PathBuf]) -> Answer {
    let called = name.map_or_else(String::new, |name| format!(", {},", name.trim()));
    let mut answer = Answer::new(
        "book new",
        format!(
            "A new bench book{called} stands in {folder}: {} files, and nothing in it yet.",
            paths.len()
        ),
    );
    put_text(&mut answer, &FOLDER, folder);
    if let Some(name) = name {
        put_text(&mut answer, &NAME, name.trim());
    }
    let mut files = Vec::new();
    for path in paths {
        let file = path.file_name().unwrap_or_default().to_string_lossy();
        answer.details.push(format!("{file}: {}", holds(&file)));
        let path = Path::new(folder).join(&*file);
        files.push(Row::default().with_text(&FILE, path.display().to_string()));
    }
    answer.put_rows(&FILES, files);
    let word = as_word(folder);
    answer.check = format!("gutta book check {word} reads it, before and after you write in it");
    answer.next = vec![
        "write your scale into scales.toml first: the file says how, with an example".to_owned(),
        format!(
            "then weigh the drops of a dropper by it: gutta dropper 20=0.974g 20=0.981g 20=0.969g --scale bench --book {word}"
        ),
        "in that folder and below it the book is found by itself".to_owned(),
    ];
    answer
}

/// `1 scale`, `3 scales`, `no scales`.
fn count(number: usize, one: &str) -> String {
    match number {
        0 => format!("no {one}s"),
        1 => format!("1\u{a0}{one}"),
        n => format!("{n}\u{a0}{one}s"),
    }
}

/// `; its journal has 12 entries, of 1 jar and 5 lots`.
fn of_journal(entries: usize, things: &[(usize, [&str; 2])]) -> String {
    let counted = match entries {
        0 => return String::new(),
        1 => "1\u{a0}entry".to_owned(),
        n => format!("{n}\u{a0}entries"),
    };
    let there = things.iter().filter(|(number, _)| *number > 0);
    let of: Vec<String> = there
        .map(|(number, [one, more])| {
            format!("{number}\u{a0}{}", if *number == 1 { one } else { more })
        })
        .collect();
    let of = match of.split_last() {
        None => String::new(),
        Some((last, [])) => format!(", of {last}"),
        Some((last, before)) => format!(", of {} and {last}", before.join(", ")),
    };
    format!("; its journal has {counted}{of}")
}

/// A book that is sound, with its journal.
pub fn check(book: &Book, journal: &Journal, folder: &str) -> Answer {
    let names: BTreeSet<String> = book.formulas().map(|one| one.name.to_lowercase()).collect();
    let versions = book.formulas().count();
    let mut formulas = count(names.len(), "formula");
    if versions > names.len() {
        formulas += &format!(" in {versions}\u{a0}versions");
    }
    // Water is there without being written.
    let liquids = book.liquids().count().saturating_sub(1);
    let (scales, droppers, lots) = (
        book.scales().count(),
        book.droppers().count(),
        book.lots().count(),
    );
    let called = book.name().unwrap_or("The bench book");
    let entries = journal.entries().len();
    let (jars, kept) = (
        journal.jars_found().sound.len(),
        journal.lots_found().sound.len(),
    );
    let makings = journal.makings().unwrap_or_default();
    let of_kind = |kind| makings.iter().filter(|one| one.kind == kind).count();
    let (trials, batches) = (of_kind(MakingKind::Trial), of_kind(MakingKind::Batch));
    let mut answer = Answer::new(
        "book check",
        format!(
            "{called} is sound: {}, {}, {}, {} and {formulas}{}.",
            count(scales, "scale"),
            count(liquids, "liquid"),
            count(droppers, "dropper"),
            count(lots, "lot"),
            of_journal(
                entries,
                &[
                    (jars, ["jar", "jars"]),
                    (kept, ["lot", "lots"]),
                    (trials, ["trial", "trials"]),
                    (batches, ["batch", "batches"]),
                ]
            ),
        ),
    );
    put_text(&mut answer, &FOLDER, folder);
    if let Some(name) = book.name() {
        put_text(&mut answer, &NAME, name);
    }
    for (key, number) in [
        (&SCALES, scales),
        (&LIQUIDS, liquids),
        (&DROPPERS, droppers),
        (&LOTS, lots),
        (&FORMULAS, names.len()),
        (&VERSIONS, versions),
        (&ENTRIES, entries),
        (&JARS, jars),
        (&JOURNAL_LOTS, kept),
        (&TRIALS, trials),
        (&BATCHES, batches),
    ] {
        answer.put_number(key, number as f64);
    }
    answer.check =
        format!("every file in {folder} was read to its end, and every name in them is known");
    answer.next = next(book);
    answer.cautions = cautions(book);
    answer.cautions.extend(journal.torn().map(torn));
    answer.cautions.extend(journal.doubts());
    answer
}

/// What to write first, or how the names are used.
fn next(book: &Book) -> Vec<String> {
    let mut next = Vec::new();
    let mut flags = Vec::new();
    match book.scales().next() {
        Some(scale) => flags.push(format!("--scale {}", as_word(&scale.name))),
        None => next.push("write your scale into scales.toml: its smallest step".to_owned()),
    }
    match book.droppers().next() {
        Some(dropper) => flags.push(format!("--dropper {}", as_word(&dropper.name))),
        None => {
            next.push(
                "weigh the drops of a dropper, and keep them with --save and --date".to_owned(),
            );
        }
    }
    match book.lots().next() {
        Some(lot) => flags.push(format!("--lot {}", as_word(&lot.name))),
        None => next.push("write your leaf into lots.csv with its moisture".to_owned()),
    }
    if !flags.is_empty() {
        next.push(format!("type its names: {}", flags.join(", ")));
    }
    next
}

/// What a sound book may still leave in doubt.
fn cautions(book: &Book) -> Vec<String> {
    let mut cautions = Vec::new();
    for liquid in book.liquids() {
        // Water's density is worked out at the temperature.
        if liquid.density.is_none() && !liquid.name.eq_ignore_ascii_case("water") {
            cautions.push(format!(
                "liquid {}: its density is not written, so it can be weighed, but not counted in drops or measured",
                liquid.name
            ));
        }
    }
    for dropper in book.droppers() {
        let said = of_dropper(dropper).into_iter();
        cautions.extend(said.map(|said| format!("dropper {}: {said}", dropper.name)));
    }
    for lot in book.lots().filter(|lot| lot.moisture.is_exact()) {
        cautions.push(format!(
            "lot {}: its moisture is taken to be exact; write its doubt behind it: {} ± 1\u{a0}%",
            lot.name,
            lot.typed.unbroken_value()
        ));
    }
    let lots: Vec<&LotEntry> = book.lots().collect();
    // Without any lot the moistures are typed.
    if !lots.is_empty() {
        for formula in book.formulas().filter(|one| is_latest(one, book)) {
            for line in formula.leaf.lines() {
                if !lots.iter().any(|lot| is_of(lot, line.name())) {
                    cautions.push(format!(
                        "formula {}: no lot of {} is in the book",
                        formula.name,
                        line.name()
                    ));
                }
            }
        }
    }
    cautions
}

fn is_latest(formula: &FormulaEntry, book: &Book) -> bool {
    book.formula(&formula.name)
        .is_ok_and(|latest| latest.version == formula.version)
}

fn is_of(lot: &LotEntry, component: &str) -> bool {
    let leaf = lot.leaf.as_deref();
    lot.name.eq_ignore_ascii_case(component)
        || leaf.is_some_and(|leaf| leaf.eq_ignore_ascii_case(component))
}

fn of_dropper(entry: &DropperEntry) -> Vec<String> {
    let with_hint = |error: &Error| match error.hint() {
        Some(hint) => format!("{error}; {hint}"),
        None => error.to_string(),
    };
    let calibration = match entry.calibrating.calibrate() {
        Ok(calibration) => calibration,
        Err(error) => return vec![with_hint(&error)],
    };
    let mut said = Vec::new();
    for (weighing, reads_as) in calibration.miscounts() {
        said.push(format!(
            "weighing\u{a0}{weighing} reads as\u{a0}{reads_as} drops, and is left out of the drop"
        ));
    }
    for finding in &calibration.findings {
        if let Finding::Odd { weighing } = *finding {
            said.push(Caution::OddWeighing { weighing }.to_string());
        }
    }
    if calibration.blind_to_one_drop {
        said.push(Caution::BlindToOneDrop.to_string());
    }
    if calibration.unusual_size {
        said.push(Caution::UnusualDrop.to_string());
    }
    if let Some(finer) = dropper::finer(&entry.typed, entry.calibrating.scale) {
        said.push(finer.to_string());
    }
    if calibration.spread.is_none() {
        said.push("one weighing alone: the scatter from drop to drop is unknown".to_owned());
    }
    let is_weighed = !matches!(entry.calibrating.readings, Readings::ToMark(_));
    if is_weighed && entry.calibrating.scale.is_none() {
        said.push("no scale is named, so the doubt of its readings is left out".to_owned());
    }
    said
}
