//! The journal in sentences.

use gutta_book::{Journal, JournalEntry, field, kind, moment_text};

use super::jar::put_entry;
use super::keys;
use crate::answer::{Answer, Grid, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::record::Written;

keys! {
    ID = "id": Shape::Text, "the identifier of the entry";
    AT = "at": Shape::Text, "the moment of the entry, in UTC";
    KIND = "kind": Shape::Text, "what kind of entry it is";
    SAYS = "says": Shape::Text, "what it says, field by field";
    COUNTS = "counts": Shape::Word(&["yes", "no"]), "whether it is to be counted: no where a later entry has made it void";
    ENTRIES = "entries": Shape::Rows { always: &[&ID, &AT, &KIND, &SAYS, &COUNTS], known: &[] }, "the entries, in the order of the journal";
}

/// The keys of an entry that was written down.
pub static WRITTEN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ID, &AT],
    known: &[],
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

/// `tare 412.6 g, gross 866.1 g`.
fn says(entry: &JournalEntry) -> String {
    let fields = entry.fields.iter().map(|(name, value)| {
        let value = value
            .as_str()
            .map_or_else(|| value.to_string(), str::to_owned);
        match name.as_str() {
            field::TEXT => value,
            _ => format!("{name} {value}"),
        }
    });
    fields.collect::<Vec<_>>().join(", ")
}

/// Whether an entry is about a name: says it in a field, or has it as identifier.
fn is_about(entry: &JournalEntry, name: &str) -> bool {
    let is_it = |text: &str| text.eq_ignore_ascii_case(name);
    is_it(&entry.id.to_string())
        || entry
            .fields
            .iter()
            .any(|(field, value)| field != field::TEXT && value.as_str().is_some_and(is_it))
}

/// Entries, listed.
pub fn list(journal: &Journal, about: Option<&str>, last: Option<usize>) -> Answer {
    let counted: std::collections::HashSet<_> = journal.counted().map(|entry| &entry.id).collect();
    let all = journal.entries().iter();
    let all: Vec<&JournalEntry> = all
        .filter(|entry| about.is_none_or(|name| is_about(entry, name)))
        .collect();
    let from = last.map_or(0, |last| all.len().saturating_sub(last));
    let shown = &all[from..];
    let headline = match (shown.len(), all.len()) {
        (0, _) => "Nothing is written down yet.".to_owned(),
        (1, 1) => "1 entry.".to_owned(),
        (shown, all) if shown == all => format!("{all} entries."),
        (shown, all) => format!("The last {shown} of {all} entries."),
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
            at.chars().take(16).collect::<String>().replace('T', " "),
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
            columns: vec!["", "at (UTC)", "what", "says"],
            rows: cells,
        });
    }
    answer.put_rows(&ENTRIES, rows);
    if shown.iter().any(|entry| !counted.contains(&entry.id)) {
        answer
            .details
            .push("What stands in ( ) is not counted: a later entry says why.".to_owned());
    }
    if let Some(torn) = journal.torn() {
        let start: String = torn.chars().take(40).collect();
        answer.cautions.push(format!(
            "the journal ends in half a line, cut off when it was written, and not believed: the next entry keeps it aside (it begins {start})"
        ));
    }
    answer
}
