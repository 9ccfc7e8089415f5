//! One line of the journal.

use gutta::blend::record::{Identifier, Moment};
use jiff::Timestamp;
use serde_json::{Map, Value};

use crate::error::{BookError, BookErrorKind};
use crate::words::quote;

/// The format of the journal that this program writes and reads.
const FORMAT: u64 = 1;

/// The first line of a journal.
pub(super) const HEADER: &str = "{\"format\":1}\n";

/// A moment as RFC 3339 writes it, in UTC: `2026-03-14T18:30:00Z`. What is beyond
/// the years that it has is written as the nearest that is not.
pub fn moment_text(moment: Moment) -> String {
    let end = Timestamp::MAX.as_second();
    let seconds = moment.seconds().clamp(Timestamp::MIN.as_second(), end);
    Timestamp::from_second(seconds).map_or_else(|_| String::new(), |at| at.to_string())
}

/// A moment from such a text; a part of a second is left out.
///
/// # Errors
/// When it is no moment as RFC 3339 writes it.
pub fn read_moment(text: &str) -> Result<Moment, BookError> {
    let moment = text.parse::<Timestamp>().map_err(|_| {
        BookError::new(
            BookErrorKind::Date,
            format!("{} is no moment in time", quote(text)),
        )
        .with_hint("write it such as 2026-03-14T18:30:00Z")
    })?;
    Ok(Moment::of_seconds(moment.as_second()))
}

/// An entry of the journal.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalEntry {
    /// Its identifier.
    pub id: Identifier,
    /// The entry that was the last when it was written.
    pub after: Option<Identifier>,
    /// When it was written.
    pub at: Moment,
    /// What kind of entry it is.
    pub kind: String,
    /// What it says, field by field.
    pub fields: Map<String, Value>,
}

/// An entry to be added.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntry {
    /// Its identifier, which no other has.
    pub id: Identifier,
    /// When it is written.
    pub at: Moment,
    /// What kind of entry it is.
    pub kind: String,
    /// What it says, field by field.
    pub fields: Map<String, Value>,
}

/// The fields that every entry has.
const ID: &str = "id";
const AFTER: &str = "after";
const AT: &str = "at";
const KIND: &str = "kind";

impl NewEntry {
    /// As a line of the journal, with its line feed.
    pub(super) fn line(&self, after: Option<&Identifier>) -> String {
        let mut line = Map::new();
        let mut put = |field: &str, text: String| line.insert(field.to_owned(), text.into());
        put(ID, self.id.to_string());
        if let Some(after) = after {
            put(AFTER, after.to_string());
        }
        put(AT, moment_text(self.at));
        put(KIND, self.kind.clone());
        line.extend(self.fields.clone());
        // JSON writes a line feed inside a text as two other characters.
        Value::Object(line).to_string() + "\n"
    }
}

/// An entry from a line; none from a header or an empty line. Where it is wrong,
/// the byte at which.
pub(super) fn read(line: &str) -> Result<Option<JournalEntry>, (usize, BookError)> {
    if line.trim().is_empty() {
        return Ok(None);
    }
    let mut fields = match serde_json::from_str(line) {
        Ok(Value::Object(fields)) => fields,
        Ok(_) => return Err((0, syntax("this line is no entry: entries stand in { }"))),
        Err(error) => {
            let column = error.column().saturating_sub(1);
            return Err((column, syntax("this line is no JSON")));
        }
    };
    if !fields.contains_key(ID)
        && let Some(format) = fields.get("format")
    {
        return match format.as_u64() {
            Some(FORMAT) => Ok(None),
            _ => Err((
                0,
                BookError::new(
                    BookErrorKind::Format,
                    format!(
                        "this journal has format {format}, and this program reads format {FORMAT}"
                    ),
                )
                .with_hint("take the newer program that wrote the file"),
            )),
        };
    }
    let mut text = |field: &str| match fields.remove(field) {
        Some(Value::String(text)) => Ok(Some(text)),
        None => Ok(None),
        Some(_) => Err((
            place(line, field),
            BookError::new(
                BookErrorKind::WrongType,
                format!("{field} is a text in quotes"),
            )
            .with_hint(format!("write \"{field}\":\"…\""))
            .with_field(field),
        )),
    };
    let (id, after) = (text(ID)?, text(AFTER)?);
    let (at, kind) = (text(AT)?, text(KIND)?);
    let missing = |field: &str| {
        (
            0,
            BookError::new(
                BookErrorKind::MissingField,
                format!("this entry has no {field}"),
            )
            .with_hint("entries are written by the program: correct one by a later entry")
            .with_field(field),
        )
    };
    let identifier = |field: &str, text: &str| {
        text.parse::<Identifier>().map_err(|error| {
            let at = error.place().map_or(0, |place| place.at);
            (
                place(line, text) + at,
                BookError::of_quantity(&error).with_field(field),
            )
        })
    };
    let id = id.ok_or_else(|| missing(ID))?;
    let at = at.ok_or_else(|| missing(AT))?;
    Ok(Some(JournalEntry {
        id: identifier(ID, &id)?,
        after: after.map(|after| identifier(AFTER, &after)).transpose()?,
        at: read_moment(&at).map_err(|error| (place(line, &at), error.with_field(AT)))?,
        kind: kind.ok_or_else(|| missing(KIND))?,
        fields,
    }))
}

fn syntax(message: &str) -> BookError {
    BookError::new(BookErrorKind::Syntax, message)
        .with_hint("take the line from an older copy of the file; what was wrong in an entry is corrected by a later one")
}

/// Where a text stands in a line.
fn place(line: &str, text: &str) -> usize {
    line.find(text).unwrap_or(0)
}
