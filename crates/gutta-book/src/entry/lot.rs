//! `lots.csv`: lots of leaf with their moisture.

use gutta::Moisture;
use gutta::matter::Method;
use gutta::measure::{Kind, Measured, Reading, read as read_quantity};

use crate::date::Date;
use crate::error::{BookError, BookErrorKind, hidden};
use crate::name::{EntryKind, nearest};
use crate::page::{Faults, Page, Written};
use crate::rows::{self, Row};
use crate::shelf::{Entry, Shelf};
use crate::tables::Field;

/// A lot of leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct LotEntry {
    /// The name it is called by.
    pub name: String,
    /// What leaf it is, in words.
    pub leaf: Option<String>,
    /// Its moisture, wet basis, with its doubt.
    pub moisture: Measured<Moisture>,
    /// The moisture as it is written in the file.
    pub typed: Reading,
    /// How the moisture was found.
    pub method: Option<Method>,
    /// The day on which the moisture was found.
    pub date: Option<Date>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl Entry for LotEntry {
    const KIND: EntryKind = EntryKind::Lot;

    fn name(&self) -> &str {
        &self.name
    }
}

static COLUMNS: [Field; 6] = [
    Field::required("name", "bright-24a"),
    Field::optional("leaf", "bright flue-cured"),
    Field::required("moisture", "10.8% ± 1.0%"),
    Field::optional("method", "oven"),
    Field::optional("date", "2026-03-14"),
    Field::optional("note", "in words"),
];

/// The lots of a file.
pub(crate) fn read(page: &Page, faults: &mut Faults<'_>) -> Shelf<LotEntry> {
    let [name, leaf, moisture, method, date, note] = &COLUMNS;
    let before = faults.count();
    let rows = rows::read(page, &COLUMNS, faults);
    let mut shelf = Shelf::new(faults.count() == before);
    for row in rows {
        let before = faults.count();
        let words = |column, faults: &mut Faults<'_>| {
            row.get(column, faults).map(|cell| cell.value().to_owned())
        };
        let called = row.get(name, faults);
        if let Some(error) = called.and_then(|called| hidden(called.value(), name.name)) {
            let span = called.map_or(0..0, Written::whole);
            faults.add(&span, error.with_hint("write the name on one line"));
        }
        let is_new = called.is_some_and(|called| shelf.declare(called, page, faults));
        let found = moisture_of(&row, moisture, faults);
        let method = method_of(&row, method, faults);
        let date = date_of(&row, date, faults);
        let (leaf, note) = (words(leaf, faults), words(note, faults));
        if let (Some(called), Some((typed, moisture)), true) =
            (called, found, is_new && faults.count() == before)
        {
            shelf.put(LotEntry {
                name: called.value().to_owned(),
                leaf,
                moisture,
                typed,
                method,
                date,
                note,
            });
        }
    }
    shelf
}

fn moisture_of(
    row: &Row<'_>,
    column: &Field,
    faults: &mut Faults<'_>,
) -> Option<(Reading, Measured<Moisture>)> {
    let cell = row.get(column, faults)?;
    let found = read_quantity(cell.value(), &[Kind::Share])
        .and_then(|reading| Moisture::read(&reading).map(|moisture| (reading, moisture)));
    match found {
        Ok(found) => Some(found),
        Err(error) => {
            faults.add_quantity(cell, column.name, &error);
            None
        }
    }
}

fn method_of(row: &Row<'_>, column: &Field, faults: &mut Faults<'_>) -> Option<Method> {
    let cell = row.get(column, faults)?;
    let method = Method::named(cell.value());
    if method.is_none() {
        let error = BookError::new(
            BookErrorKind::UnknownWord,
            format!("`{}` is no way to find a moisture", cell.value()),
        );
        let names = Method::ALL.map(Method::name);
        let hint = match nearest(cell.value(), names) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("it is {}", names.join(", ")),
        };
        let error = error.with_field(column.name).with_hint(hint);
        faults.add(&cell.whole(), error);
    }
    method
}

fn date_of(row: &Row<'_>, column: &Field, faults: &mut Faults<'_>) -> Option<Date> {
    let cell = row.get(column, faults)?;
    let date = Date::read(cell.value());
    if date.is_none() {
        let error = Date::fault(cell.value());
        faults.add(&cell.whole(), error.with_field(column.name));
    }
    date
}
