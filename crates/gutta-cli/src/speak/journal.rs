//! The journal in sentences.

use std::collections::{BTreeSet, HashSet};

use gutta::blend::record::Identifier;
use gutta_book::{Journal, JournalEntry, field, is_same_name, kind, moment_text};
use serde_json::Value;

use super::jar::put_entry;
use super::keys;
use crate::answer::{Answer, Grid, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::record::{Written, minute_of};
use crate::say;

keys! {
    ID = "id": Shape::Text, "the identifier of the entry";
    AT = "at": Shape::Text, "the moment of the entry, in UTC";
    KIND = "kind": Shape::Text, "what kind of entry it is";
    SAYS = "says": Shape::Text, "what it says, field by field";
    AFTER = "after": Shape::Text, "the entry that was the last when it was written; none of the first";
    FIELD = "field": Shape::Text, "the name of a field";
    VALUE = "value": Shape::Text, "what it says";
    FIELDS = "fields": Shape::Rows { always: &[&FIELD, &VALUE], known: &[] }, "what it says, field by field";
    VOID_BY = "void_by": Shape::Text, "the entry that made it void";
    COUNTS = "counts": Shape::Word(&["yes", "no"]), "whether it is to be counted: no where a later entry has made it void";
    ENTRIES = "entries": Shape::Rows { always: &[&ID, &AT, &KIND, &SAYS, &COUNTS], known: &[] }, "the entries, in the order of the journal";
}

/// The keys of an entry that was written down.
pub static WRITTEN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ID, &AT],
    known: &[],
}];

/// The keys of `journal show`.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ID, &AT, &KIND, &COUNTS, &FIELDS],
    known: &[&AFTER, &VOID_BY],
}];

/// The keys of `journal list`.
pub static LIST_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ENTRIES],
    known: &[],
}];

/// An entry that was written down.
pub fn noted(command: &'static str, written: &Written) -> Answer {
    let mut answer = Answer::new(command, format!("Written down as {}.", written.id));
    put_entry(&mut answer, written, &ID, &AT);
    answer.next.push(
        "gutta journal list shows it; nothing that is written down is ever changed".to_owned(),
    );
    answer
}

/// An entry that was made void.
pub fn voided(written: &Written, voided: &JournalEntry) -> Answer {
    let mut answer = noted("journal void", written);
    answer.details.push(format!(
        "Not counted any more: {}, {} of {}: {}.",
        voided.id,
        voided.kind,
        minute_of(voided.at),
        says(voided)
    ));
    answer
}

/// What a note is about.
const ABOUT: &str = "about";

/// The text of a field.
fn value_of(value: &Value) -> String {
    value
        .as_str()
        .map_or_else(|| value.to_string(), str::to_owned)
}

/// `quince: gross 858.3 g, scale 0.1 g`: what it is about first, words last.
fn says(entry: &JournalEntry) -> String {
    let is_about = |name: &str| matches!(name, field::JAR | field::LOT | field::OF | ABOUT);
    let mut subject = String::new();
    let mut words = String::new();
    let mut said = Vec::new();
    for (name, value) in &entry.fields {
        let value = match value {
            // Whole it is in journal show.
            Value::Array(lines) if name == field::PLAN => {
                format!("of {}", say::counted(lines.len(), "line"))
            }
            value => value_of(value),
        };
        match name.as_str() {
            name if is_about(name) && subject.is_empty() => subject = value,
            field::TEXT => words = value,
            _ => said.push(format!("{name} {}", value.replace(' ', "\u{a0}"))),
        }
    }
    // The scale is what matters least.
    said.sort_by_key(|said| said.starts_with(field::SCALE));
    said.extend(Some(words).filter(|words| !words.is_empty()));
    if subject.is_empty() {
        said.join(", ")
    } else {
        format!("{subject}: {}", said.join(", "))
    }
}

/// Whether an entry is about a name: says it in a field, or has it as identifier.
fn is_about(entry: &JournalEntry, name: &str) -> bool {
    let id: Option<Identifier> = name.parse().ok();
    let is_it = |text: &str| is_same_name(text, name) || (id.is_some() && text.parse().ok() == id);
    let mut fields = entry.fields.iter().filter(|(field, _)| is_subject(field));
    id.as_ref() == Some(&entry.id) || fields.any(|(_, value)| value.as_str().is_some_and(is_it))
}

/// Whether a field says what an entry is about: not words, not a figure.
fn is_subject(field: &str) -> bool {
    let figures = [
        field::TARE,
        field::GROSS,
        field::MASS,
        field::MOISTURE,
        field::SCALE,
        field::FOUND,
        field::METHOD,
    ];
    field != field::TEXT && !figures.contains(&field)
}

/// The entries about a name.
pub fn about<'j>(journal: &'j Journal, name: &str) -> Vec<&'j JournalEntry> {
    let all = journal.entries().iter();
    all.filter(|entry| is_about(entry, name)).collect()
}

/// What the entries are about, each once.
pub fn names(journal: &Journal) -> BTreeSet<&str> {
    let fields = journal.entries().iter().flat_map(|entry| &entry.fields);
    let subjects = fields.filter(|(field, _)| is_subject(field));
    subjects.filter_map(|(_, value)| value.as_str()).collect()
}

/// One entry whole.
pub fn show(journal: &Journal, entry: &JournalEntry) -> Answer {
    let of = format!("{} of {} (UTC)", entry.kind, minute_of(entry.at));
    let mut answer = Answer::new("journal show", format!("{}: {of}.", entry.id));
    answer.put_text(&ID, entry.id.to_string());
    answer.put_text(&AT, moment_text(entry.at));
    answer.put_text(&KIND, entry.kind.clone());
    if let Some(after) = &entry.after {
        answer.put_text(&AFTER, after.to_string());
    }
    let is_counted = journal.counted().any(|other| other.id == entry.id);
    answer.put_word(&COUNTS, if is_counted { "yes" } else { "no" });
    let mut rows = Vec::new();
    for (name, value) in &entry.fields {
        let value = value_of(value);
        answer.details.push(format!("{name}: {value}"));
        rows.push(
            Row::default()
                .with_text(&FIELD, name.clone())
                .with_text(&VALUE, value),
        );
    }
    answer.put_rows(&FIELDS, rows);
    let mut voids = journal
        .entries()
        .iter()
        .filter(|other| other.kind == kind::VOID && is_void_of(other, &entry.id));
    if let Some(void) = voids.next().filter(|_| !is_counted) {
        answer.put_text(&VOID_BY, void.id.to_string());
        let why = void.text(field::TEXT).unwrap_or_default();
        answer.details.push(format!(
            "It is not counted, by {} of {} (UTC): {why}",
            void.id,
            minute_of(void.at)
        ));
    }
    if !entry.is_as_written() {
        answer.cautions.push(
            "it was changed after it was written: its identifier is that of other words".to_owned(),
        );
    }
    if is_counted && entry.kind != kind::VOID {
        answer.next.push(format!(
            "where it is wrong: gutta journal void {} --why \"…\", and write it down anew",
            entry.id
        ));
    }
    answer
}

fn is_void_of(entry: &JournalEntry, id: &Identifier) -> bool {
    let of = entry.text(field::OF).and_then(|of| of.parse().ok());
    of.as_ref() == Some(id)
}

/// Entries, listed; `about` is what they are all about.
pub fn list(
    journal: &Journal,
    all: &[&JournalEntry],
    about: Option<&str>,
    last: Option<usize>,
) -> Answer {
    let counted: HashSet<&Identifier> = journal.counted().map(|entry| &entry.id).collect();
    let from = last.map_or(0, |last| all.len().saturating_sub(last));
    let shown = &all[from..];
    let of = about.map_or_else(String::new, |about| format!(" about {about}"));
    let headline = match (shown.len(), all.len()) {
        (0, _) => "Nothing is written down yet.".to_owned(),
        (1, 1) => format!("1\u{a0}entry{of}."),
        (shown, all) if shown == all => format!("{all}\u{a0}entries{of}."),
        (1, all) => format!("The last of {all}\u{a0}entries{of}."),
        (shown, all) => format!("The last {shown} of {all}\u{a0}entries{of}."),
    };
    let mut answer = Answer::new("journal list", headline);
    let mut cells = Vec::new();
    let mut rows = Vec::new();
    for entry in shown {
        let is_counted = counted.contains(&entry.id);
        let at = moment_text(entry.at);
        let kind = if is_counted || entry.kind == kind::VOID {
            entry.kind.clone()
        } else {
            format!("({})", entry.kind)
        };
        cells.push(vec![
            entry.id.to_string(),
            minute_of(entry.at).replace(' ', "\u{a0}"),
            kind,
            says(entry),
        ]);
        rows.push(
            Row::default()
                .with_text(&ID, entry.id.to_string())
                .with_text(&AT, at)
                .with_text(&KIND, entry.kind.clone())
                .with_text(&SAYS, says(entry))
                .with_word(&COUNTS, if is_counted { "yes" } else { "no" }),
        );
    }
    if !cells.is_empty() {
        answer.table = Some(Grid {
            is_words: true,
            columns: vec!["", "", "", ""],
            rows: cells,
        });
    }
    answer.put_rows(&ENTRIES, rows);
    if shown.iter().any(|entry| !counted.contains(&entry.id)) {
        answer
            .details
            .push("What stands in ( ) is not counted: a later entry says why.".to_owned());
    }
    if !shown.is_empty() {
        answer.details.push("Moments are in UTC.".to_owned());
    }
    answer.cautions.extend(journal.torn().map(torn));
    answer
}

/// What is said of a line that was cut off.
pub fn torn(torn: &str) -> String {
    let start: String = torn.chars().take(40).collect();
    format!(
        "the journal ends in half a line, cut off when it was written, and not believed: the next entry keeps it aside (it begins {start})"
    )
}
