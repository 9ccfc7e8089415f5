//! The steps of a sheet as text: a table on the wide page, a list on the narrow.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use super::text::{Page, WIDE};
use crate::document::{Document, Step};

/// What stands before a step, to be ticked.
const BOX: &str = "[ ]";

/// The steps of a sheet.
pub fn steps(document: &Document, page: Page) -> String {
    if page.width < WIDE {
        return list(document, page);
    }
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(page.width).unwrap_or(u16::MAX));
    table.set_header(["", "", "", "", "within", "scale reads", "actual"]);
    for (i, step) in document.steps.iter().enumerate() {
        table.add_row([
            BOX.to_owned(),
            (i + 1).to_string(),
            step.amount.clone().unwrap_or_default(),
            what(step),
            step.tolerance.clone().unwrap_or_default(),
            step.readings().unwrap_or_default(),
            if step.has_blank() {
                "_______".to_owned()
            } else {
                String::new()
            },
        ]);
    }
    for column in [1, 2, 4, 5] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 1));
    }
    let lines = table.lines().map(|line| tame(line.trim_end()) + "\n");
    lines.collect()
}

/// `oriental (sun-25 at 12 %)`, and what to know of it.
fn what(step: &Step) -> String {
    match &step.remark {
        Some(remark) => format!("{}; {remark}", step.what),
        None => step.what.clone(),
    }
}

fn list(document: &Document, page: Page) -> String {
    let mut text = String::new();
    for (i, step) in document.steps.iter().enumerate() {
        let amount = step.amount.as_ref();
        let amount = amount
            .map(|amount| format!("{amount} "))
            .unwrap_or_default();
        let mut line = format!("{amount}{}", what(step));
        if let Some(tolerance) = &step.tolerance {
            line += &format!(", within {tolerance}");
        }
        if let Some(readings) = step.readings() {
            line += &format!("; the scale reads {readings}");
        }
        text += &page.wrap(&line, &format!("{BOX} {}. ", i + 1), "    ");
    }
    text
}

fn tame(line: &str) -> String {
    line.replace(char::is_control, "\u{fffd}")
        .replace('\u{a0}', " ")
}
