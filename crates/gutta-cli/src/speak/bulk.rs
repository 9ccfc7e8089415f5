//! What is said about rows of a table.

use std::io;

use gutta_book::batches::{Counts, Reject, Wrong};
use serde_json::{Value as Json, json};

use crate::failure::{Exit, Failure};

/// What is wrong with a table, with its line.
fn wrong(wrong: &Wrong, line: u64) -> Failure {
    let mut failure = Failure::unreadable(wrong.kind, &wrong.message).hint(&wrong.hint);
    let report = failure.report_mut();
    report.line = usize::try_from(line).ok();
    report.field.clone_from(&wrong.column);
    failure
}

/// A table whose first row is no header for it.
pub fn header(found: &Wrong) -> Failure {
    wrong(found, 1)
}

/// A row that is left out, as a trouble of its own.
pub fn reject(row: &Reject, line: u64) -> Failure {
    let mut failure = wrong(&row.wrong, line);
    failure.report_mut().exit = Exit::Refused;
    match row.text.as_str() {
        "" => failure,
        text => failure.pointing(text, 0, text.len()),
    }
}

/// A row that is left out, on one line.
pub fn reject_line(row: &Reject, line: u64) -> String {
    let id = match row.id.as_str() {
        "" => String::new(),
        id => format!(" ({id})"),
    };
    let column = row.wrong.column.iter().map(|column| format!("{column}: "));
    let said = format!(
        "gutta bulk: line {line}{id}: {}{}",
        column.collect::<String>(),
        row.wrong.message
    );
    said.replace(char::is_control, "\u{fffd}") + "\n"
}

/// The first row of a file of rejects.
pub const REJECTS_HEADING: &str = "line,column,reason,hint,id,text\n";

/// The cells of a row in a file of rejects.
pub fn reject_cells(row: &Reject, line: u64) -> [String; 6] {
    [
        line.to_string(),
        row.wrong.column.clone().unwrap_or_default(),
        row.wrong.message.clone(),
        row.wrong.hint.clone(),
        row.id.clone(),
        row.text.clone(),
    ]
}

/// Rows were left out.
pub fn left_out(counts: Counts, named_in: Option<&str>) -> Failure {
    let all = counts.answered + counts.left_out;
    let message = format!("{} left out", of_rows(counts.left_out, all));
    let hint = match named_in {
        Some(file) => format!("{file} names each; correct it and send it through again"),
        None => "each is named above; correct it and send it through again".to_owned(),
    };
    let mut failure = Failure::refused(message).hint(hint);
    "left-out".clone_into(&mut failure.report_mut().kind);
    failure
}

/// How many rows get no water, where some do.
pub fn no_water(counts: Counts) -> Option<String> {
    let all = counts.answered + counts.left_out;
    let rows = of_rows(counts.at_target, all);
    let get = if counts.at_target == 1 { "gets" } else { "get" };
    let said = format!("{rows} at the target or above it, and {get} no water");
    (counts.at_target > 0).then_some(said)
}

fn of_rows(some: u64, all: u64) -> String {
    let rows = if all == 1 { "row" } else { "rows" };
    let is = if some == 1 { "is" } else { "are" };
    format!("{some} of {all} {rows} {is}")
}

/// What was counted, for a machine.
pub fn counts(counts: Counts) -> Json {
    json!({
        "format": 1,
        "command": "bulk",
        "rows": counts.answered,
        "no_water": counts.at_target,
    })
}

/// Nobody sends a table.
pub fn nothing_sent() -> Failure {
    Failure::unreadable("missing", "no table is sent in")
        .hint("type gutta bulk < batches.csv > plans.csv")
}

/// The table cannot be read on.
pub fn unreadable(error: &io::Error) -> Failure {
    let message = match error.kind() {
        io::ErrorKind::IsADirectory => "the table is a folder, not a file".to_owned(),
        _ => format!("the table cannot be read: {error}"),
    };
    Failure::unreadable("io", message).hint("send in a file that you may read")
}

/// A column that passes through and may have been meant for another.
pub fn slip(name: &str, known: &str) -> String {
    format!("column {name} passes through unread; was {known} meant?")
}

/// How far a long run is.
pub fn progress(rows: u64, seconds: f64) -> String {
    let rate = rows as f64 / seconds / 1e6;
    format!("{} rows, {rate:.1} million a second", grouped(rows))
}

/// A whole number in groups of three digits.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut grouped = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    grouped
}
