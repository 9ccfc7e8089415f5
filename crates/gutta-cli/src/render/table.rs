//! Tables as text: columns on the wide page, lines on the narrow.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use unicode_width::UnicodeWidthStr;

use super::text::{Page, WIDE};
use crate::answer::Grid;
use crate::document::{Block, Cell, Document, Labels, Record, Step};

/// What is left to be filled in.
const BLANK: &str = "_______";

/// What stands before a step, to be ticked.
const BOX: &str = "[ ]";

/// A few columns of figures: a table on the wide page, a line for each row on the
/// narrow.
pub fn grid(grid: &Grid, page: Page) -> String {
    if page.width < WIDE {
        let row = |row: &Vec<String>| {
            let cells = row.iter().zip(&grid.columns).skip(1);
            let cells = cells.filter(|(cell, _)| !cell.is_empty());
            let cells: Vec<String> = cells
                .map(|(cell, column)| format!("{column} {cell}").trim_start().to_owned())
                .collect();
            let name = row.first().map_or("", String::as_str);
            page.wrap(&format!("{name}: {}", cells.join(", ")), "", "  ")
        };
        return grid.rows.iter().map(row).collect();
    }
    let mut table = bare(page);
    // Words that speak for themselves have no heads.
    if grid.columns.iter().any(|head| !head.is_empty()) {
        table.set_header(&grid.columns);
    }
    for row in &grid.rows {
        table.add_row(row);
    }
    for column in table.column_iter_mut().skip(1).filter(|_| !grid.is_words) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    lines(&mut table, 2)
}

/// A table without lines, as wide as the page at most.
fn bare(page: Page) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(page.width).unwrap_or(u16::MAX));
    table
}

/// The lines of a table, with so many blanks between its columns.
fn lines(table: &mut Table, blanks: u16) -> String {
    for column in table.column_iter_mut() {
        column.set_padding((0, blanks));
    }
    let lines = table.lines().map(|line| tame(line.trim_end()) + "\n");
    lines.collect()
}

/// The steps of a sheet.
pub fn steps(document: &Document, page: Page) -> String {
    if page.width < WIDE {
        return list(document, page);
    }
    let mut table = bare(page);
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
                BLANK.to_owned()
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
    lines(&mut table, 1)
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

/// A record to be filled in, block by block.
pub fn record(record: &Record, page: Page) -> String {
    let number = record.number.as_deref().unwrap_or(BLANK);
    let mut text = page.wrap(&format!("Batch {number}"), "", "  ");
    for block in &record.blocks {
        text += "\n";
        text += &page.wrap(block.title, "", "  ");
        text += &if page.width < WIDE {
            narrow_block(block, page)
        } else {
            wide_block(block, page)
        };
    }
    text + "\n"
}

fn shown(cell: &Cell) -> &str {
    match cell {
        Cell::Text(text) => text,
        Cell::Blank => BLANK,
        Cell::None => "",
    }
}

fn wide_block(block: &Block, page: Page) -> String {
    let mut table = bare(page);
    table.set_header(&block.columns);
    for row in &block.rows {
        table.add_row(row.iter().map(shown));
    }
    lines(&mut table, 1)
}

fn narrow_block(block: &Block, page: Page) -> String {
    // Behind a number there stands what it is the number of.
    let is_numbered = block.columns.first().is_some_and(|name| name.is_empty());
    let row = |row: &Vec<Cell>| {
        let cells = row.iter().zip(&block.columns).enumerate().skip(1);
        let cells = cells.filter(|(_, (cell, _))| **cell != Cell::None);
        let cells = cells.map(|(at, (cell, column))| match at {
            1 if is_numbered => shown(cell).to_owned(),
            _ => format!("{column} {}", shown(cell)),
        });
        let head = row.first().map_or("", shown);
        let rest = cells.collect::<Vec<_>>().join("; ");
        page.wrap(&format!("{head}: {rest}"), "- ", "  ")
    };
    block.rows.iter().map(row).collect()
}

/// A label in its frame.
pub fn label(labels: &Labels) -> String {
    let width = labels
        .lines
        .iter()
        .map(|line| line.width())
        .max()
        .unwrap_or(0);
    let edge = format!("+{}+\n", "-".repeat(width + 2));
    let line = |line: &String| format!("| {}{} |\n", tame(line), " ".repeat(width - line.width()));
    let lines: String = labels.lines.iter().map(line).collect();
    format!("{edge}{lines}{edge}")
}

fn tame(line: &str) -> String {
    line.replace(char::is_control, "\u{fffd}")
        .replace('\u{a0}', " ")
}
