//! A TOML file of the book: its format number, its own fields, its tables.

mod fields;
mod layout;
mod syntax;

use std::ops::Range;

use toml::de::{DeTable, DeValue};

pub(crate) use fields::Fields;
use layout::FORMAT_FIELD;
pub(crate) use layout::{Field, Layout, Table, names};

use crate::error::{BookError, BookErrorKind};
use crate::name::nearest;
use crate::page::{Faults, Page};
use crate::words::quote;

/// The format of the files that this program reads.
const FORMAT: i64 = 1;

/// What a file holds.
pub(crate) struct Sheet<'p> {
    /// The fields above all tables.
    pub top: Fields<'p>,
    /// The tables, in the order of the file.
    pub tables: Vec<Fields<'p>>,
    /// Whether every table was seen.
    pub whole: bool,
}

/// Reads a file by its layout; unknown fields and tables are faults.
pub(crate) fn read<'p>(
    page: &'p Page,
    layout: &'static Layout,
    faults: &mut Faults<'_>,
) -> Sheet<'p> {
    let (root, slips) = DeTable::parse_recoverable(page.text());
    let root = root.into_inner();
    let mut sheet = Sheet {
        top: Fields::none(page, layout),
        tables: Vec::new(),
        whole: true,
    };
    if !has_known_format(page, &root, faults) {
        // Another format may hold anything: nothing else is said about it.
        sheet.whole = false;
        return sheet;
    }
    sheet.whole = syntax::faults(page, layout, &slips, faults);
    let mut top = DeTable::new();
    for (key, value) in root {
        let name = key.get_ref().as_ref();
        match &layout.table {
            _ if name == FORMAT_FIELD.name => {}
            Some(table) if name == table.name => {
                sheet.tables = tables(page, table, value.into_inner(), &key.span(), faults);
            }
            _ if layout.fields.iter().any(|field| field.name == name) => {
                top.insert(key, value);
            }
            _ => {
                let is_table = matches!(value.get_ref(), DeValue::Table(_))
                    || is_array_of_tables(value.get_ref());
                faults.add(&key.span(), unknown(layout, name, is_table));
            }
        }
    }
    sheet.top = Fields::new(page, layout.file, layout.fields, top, 0..0);
    sheet
}

/// Whether the format number is there and known, or merely missing.
fn has_known_format(page: &Page, root: &DeTable<'_>, faults: &mut Faults<'_>) -> bool {
    let field = FORMAT_FIELD.name;
    let Some(value) = root.get(field) else {
        let error = BookError::new(BookErrorKind::MissingField, "the format number is missing")
            .with_hint(format!("begin the file with {field} = {FORMAT}"));
        faults.add(&(0..0), error.with_field(field));
        return true;
    };
    let number = match value.get_ref() {
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok(),
        _ => None,
    };
    if number == Some(FORMAT) {
        return true;
    }
    let slice = page.slice(&value.span());
    let typed = quote(slice);
    // A number that is too long to be held is above all formats, or below.
    let is_integer = matches!(value.get_ref(), DeValue::Integer(_));
    let is_another = is_integer && number.map_or(!slice.starts_with('-'), |n| n > FORMAT);
    let error = if is_another {
        BookError::new(
            BookErrorKind::Format,
            format!("this file has format {typed}, and this program reads format {FORMAT}"),
        )
        .with_hint("take the newer program that wrote the file")
    } else if is_integer {
        BookError::new(
            BookErrorKind::Format,
            format!("the format number {typed} is wrong: formats are numbered from {FORMAT} up"),
        )
        .with_hint(format!("write {field} = {FORMAT}"))
    } else {
        BookError::new(
            BookErrorKind::WrongType,
            format!("the format {typed} is no whole number"),
        )
        .with_hint(format!("write {field} = {FORMAT}"))
    };
    // What is no TOML either is said once, and here.
    faults.add_slip(&value.span(), error.with_field(field));
    !is_another
}

fn is_array_of_tables(value: &DeValue<'_>) -> bool {
    value.as_array().is_some_and(|list| {
        list.iter()
            .next()
            .is_some_and(|first| first.get_ref().is_table())
    })
}

fn unknown(layout: &Layout, name: &str, is_table: bool) -> BookError {
    let what = if is_table { "table" } else { "field" };
    let message = format!("{} has no {what} {}", layout.file, quote(name));
    let near = |known: &[Field]| nearest(name, known.iter().map(|field| field.name));
    let heading = layout
        .table
        .as_ref()
        .map(|table| format!("[[{}]]", table.name));
    let hint = match (&layout.table, &heading) {
        (Some(table), Some(heading)) if nearest(name, [table.name]).is_some() => {
            format!("did you mean {heading}?")
        }
        (Some(table), Some(heading)) if near(table.fields).is_some() => {
            format!(
                "the fields of a {} stand below a line {heading}",
                table.name
            )
        }
        _ => match near(layout.fields) {
            Some(near) => format!("did you mean {}?", quote(near)),
            None => layout.holds(),
        },
    };
    BookError::new(BookErrorKind::UnknownField, message)
        .with_hint(hint)
        .with_field(name)
}

/// The tables of a list, each with its fields checked to be known.
fn tables<'p>(
    page: &'p Page,
    table: &'static Table,
    value: DeValue<'p>,
    key: &Range<usize>,
    faults: &mut Faults<'_>,
) -> Vec<Fields<'p>> {
    let not_a_table = |table: &Table| {
        BookError::new(
            BookErrorKind::WrongType,
            format!("{} is not a list of tables", quote(table.name)),
        )
        .with_hint(format!(
            "write [[{}]] above the fields of each {}",
            table.name, table.name
        ))
    };
    let DeValue::Array(list) = value else {
        faults.add(key, not_a_table(table).with_field(table.name));
        return Vec::new();
    };
    let mut tables = Vec::new();
    for entry in list {
        let span = entry.span();
        if let DeValue::Table(fields) = entry.into_inner() {
            let fields = Fields::new(page, table.name, table.fields, fields, span);
            fields.refuse_unknown(faults);
            tables.push(fields);
        } else {
            faults.add(&span, not_a_table(table).with_field(table.name));
        }
    }
    tables
}
