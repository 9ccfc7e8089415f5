//! `lots.csv`: lots of leaf with their moisture, what they cost and what there is.

use gutta::blend::batch::Price;
use gutta::matter::Method;
use gutta::measure::{Kind, MASS, Mass, Measured, Reading, Scalar, read as read_quantity};
use gutta::{Error, ErrorKind, Moisture};

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
    /// What it costs as weighed, in the one money of the book.
    pub price: Option<Price>,
    /// What there is of it as weighed, where no journal says it.
    pub stock: Option<Mass>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl Entry for LotEntry {
    const KIND: EntryKind = EntryKind::Lot;

    fn name(&self) -> &str {
        &self.name
    }
}

static COLUMNS: [Field; 8] = [
    Field::required("name", "bright-24a"),
    Field::optional("leaf", "bright flue-cured"),
    Field::required("moisture", "10.8% ± 1.0%"),
    Field::optional("method", "oven"),
    Field::optional("date", "2026-03-14"),
    Field::optional("price", "38 /kg"),
    Field::optional("stock", "2100 g"),
    Field::optional("note", "in words"),
];

/// The lots of a file.
pub(crate) fn read(page: &Page, faults: &mut Faults<'_>) -> Shelf<LotEntry> {
    let [name, leaf, moisture, method, date, price, stock, note] = &COLUMNS;
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
        let price = quantity_of(&row, price, faults, str::parse);
        let stock = quantity_of(&row, stock, faults, stock_of);
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
                price,
                stock,
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

/// A quantity that may be left blank.
fn quantity_of<S>(
    row: &Row<'_>,
    column: &Field,
    faults: &mut Faults<'_>,
    read: impl Fn(&str) -> Result<S, Error>,
) -> Option<S> {
    let cell = row.get(column, faults)?;
    match read(cell.value()) {
        Ok(found) => Some(found),
        Err(error) => {
            faults.add_quantity(cell, column.name, &error);
            None
        }
    }
}

/// A plain mass: none at all is a stock, too.
fn stock_of(text: &str) -> Result<Mass, Error> {
    let reading = read_quantity(text, &[Kind::Mass])?;
    if !reading.is_exact() {
        return Err(Error::new(ErrorKind::Doubt, "a stock is a plain figure")
            .with_hint("write what there is of it alone, such as 2100 g"));
    }
    if reading.base() != 0.0 {
        MASS.check_typed(reading.base(), &reading.to_string())?;
    }
    Ok(Mass::of_base(reading.base()))
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
