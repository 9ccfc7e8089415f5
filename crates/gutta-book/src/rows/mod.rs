//! A CSV file of the book: columns by name, one entry a row.

mod spans;

use std::borrow::Cow;
use std::ops::Range;

use csv::StringRecord;

use crate::error::{BookError, BookErrorKind};
use crate::name::nearest;
use crate::page::{Faults, Page, Written};
use crate::tables::{Field, names};
use crate::words::quote;

/// One row: a value for each column that the file has.
pub(crate) struct Row<'p> {
    cells: Vec<(&'static str, Written<'p>)>,
}

impl<'p> Row<'p> {
    /// The value in a column, without blanks at either end; `None` when it is
    /// blank, or the file has no such column. Blank where there must be
    /// something is a fault.
    pub fn get(&self, column: &Field, faults: &mut Faults<'_>) -> Option<&Written<'p>> {
        let (_, cell) = self.cells.iter().find(|(name, _)| *name == column.name)?;
        if !cell.value().is_empty() {
            return Some(cell);
        }
        if column.is_required {
            let error = BookError::new(
                BookErrorKind::MissingField,
                format!("this row has no {}", column.name),
            )
            .with_hint(format!("write one, such as {}", column.example));
            faults.add(&cell.whole(), error.with_field(column.name));
        }
        None
    }
}

/// The columns of a file, in its order; `None` for one that is not known.
type Header = Vec<Option<&'static Field>>;

/// Reads a file of these columns. A column that is not known, or stands
/// twice, is a fault and left out; a row of another width is one too.
pub(crate) fn read<'p>(
    page: &'p Page,
    columns: &'static [Field],
    faults: &mut Faults<'_>,
) -> Vec<Row<'p>> {
    let mut records = Records::new(page);
    let mut header: Option<Header> = None;
    let mut rows = Vec::new();
    while let Some((record, fields)) = records.next(faults) {
        let Some(header) = &header else {
            header = self::header(columns, page, &record, &fields, faults);
            if header.is_none() {
                return rows;
            }
            continue;
        };
        if record.len() != header.len() {
            let (span, error) = ragged(record.len(), &fields, header.len());
            faults.add(&span, error);
            continue;
        }
        let cells = header
            .iter()
            .zip(record.iter().zip(fields))
            .filter_map(|(column, (value, span))| {
                let column = (*column)?;
                Some((column.name, written(page, value, span)))
            })
            .collect();
        rows.push(Row { cells });
    }
    if header.is_none() {
        faults.add(&(0..0), no_header(columns));
    }
    rows
}

/// The rows of a page that are not blank, each with the places of its fields.
struct Records<'p> {
    page: &'p Page,
    reader: csv::Reader<&'p [u8]>,
}

impl<'p> Records<'p> {
    fn new(page: &'p Page) -> Self {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(page.text().as_bytes());
        Self { page, reader }
    }

    fn next(&mut self, faults: &mut Faults<'_>) -> Option<(StringRecord, Vec<Range<usize>>)> {
        loop {
            let start = byte(self.reader.position());
            let mut record = StringRecord::new();
            // Reading from a text in memory does not fail.
            if !self.reader.read_record(&mut record).unwrap_or(false) {
                return None;
            }
            let spans = spans::spans(self.page.text(), start..byte(self.reader.position()));
            if let Some(at) = spans.open_quote {
                let error = BookError::new(BookErrorKind::Syntax, "this quote is never closed")
                    .with_hint("put a quote behind the text, and write a quote inside it twice");
                faults.add(&(at..at + 1), error);
                return None;
            }
            // Spreadsheets leave rows of commas behind.
            if record.iter().any(|field| !field.trim().is_empty()) {
                return Some((record, spans.fields));
            }
        }
    }
}

fn byte(position: &csv::Position) -> usize {
    usize::try_from(position.byte()).unwrap_or(usize::MAX)
}

fn written<'p>(page: &'p Page, value: &str, span: Range<usize>) -> Written<'p> {
    let is_quoted = page.slice(&span).starts_with('"');
    let value = Cow::Owned(value.to_owned());
    Written::new(value, page.text(), span, usize::from(is_quoted)).trimmed()
}

/// The columns by their names; `None` when it is no header at all.
fn header(
    columns: &'static [Field],
    page: &Page,
    record: &StringRecord,
    fields: &[Range<usize>],
    faults: &mut Faults<'_>,
) -> Option<Header> {
    let mut header: Header = Vec::new();
    for (name, span) in record.iter().zip(fields) {
        let name = written(page, name, span.clone());
        let found = columns.iter().find(|column| column.name == name.value());
        let is_twice =
            found.is_some_and(|found| header.iter().flatten().any(|c| c.name == found.name));
        if is_twice {
            let error = BookError::new(
                BookErrorKind::Duplicate,
                format!("column {} stands twice", quote(name.value())),
            );
            let error = error
                .with_hint("leave one of them")
                .with_field(name.value());
            faults.add(&name.whole(), error);
        } else if found.is_none() {
            if record.len() == 1 && name.value().contains([';', '\t']) {
                let error = BookError::new(
                    BookErrorKind::Syntax,
                    "the columns are not separated by commas",
                );
                faults.add(&name.whole(), error.with_hint(begin(columns)));
                return None;
            }
            faults.add(&name.whole(), unknown_column(columns, name.value()));
        }
        header.push(found.filter(|_| !is_twice));
    }
    let missing = columns
        .iter()
        .filter(|column| column.is_required)
        .filter(|column| !header.iter().flatten().any(|c| c.name == column.name));
    for column in missing {
        let error = BookError::new(
            BookErrorKind::MissingField,
            format!("there is no column {}", column.name),
        );
        let error = error.with_hint(begin(columns)).with_field(column.name);
        let end = fields.last().map_or(0, |span| span.end);
        faults.add(&(end..end), error);
    }
    Some(header)
}

fn unknown_column(columns: &[Field], name: &str) -> BookError {
    let hint = match nearest(name, columns.iter().map(|column| column.name)) {
        Some(near) => format!("did you mean {}?", quote(near)),
        None => format!("the columns are {}", names(columns)),
    };
    BookError::new(
        BookErrorKind::UnknownField,
        format!("there is no column {}", quote(name)),
    )
    .with_hint(hint)
    .with_field(name)
}

fn no_header(columns: &[Field]) -> BookError {
    BookError::new(
        BookErrorKind::MissingField,
        "the line with the names of the columns is missing",
    )
    .with_hint(begin(columns))
}

fn begin(columns: &[Field]) -> String {
    let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    format!("begin the file with {}", names.join(","))
}

/// A row of another width than the header, with the place where it shows.
fn ragged(count: usize, fields: &[Range<usize>], columns: usize) -> (Range<usize>, BookError) {
    let of = |n: usize| if n == 1 { "1 field" } else { "fields" };
    let said = if count == 1 {
        of(1).to_owned()
    } else {
        format!("{count} {}", of(count))
    };
    let message = format!("this row has {said}, and there are {columns} columns");
    let error = BookError::new(BookErrorKind::Ragged, message);
    match fields.get(columns) {
        Some(extra) => (
            extra.clone(),
            error.with_hint("a text with a comma stands in quotes, as in \"10,8 %\""),
        ),
        None => {
            let end = fields.last().map_or(0, |span| span.end);
            (
                end..end,
                error.with_hint("a field that is left blank still has its comma"),
            )
        }
    }
}
