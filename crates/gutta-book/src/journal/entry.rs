//! One line of the journal.

use std::ops::Range;

use gutta::blend::record::{Identifier, Moment};
use serde_json::{Map, Value};

use super::moment::{moment_text, read_moment};
use crate::error::{BookError, BookErrorKind};

/// The format of the journal that this program writes and reads.
const FORMAT: u64 = 1;

/// The first line of a journal.
pub(super) const HEADER: &str = "{\"format\":1}\n";

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

/// An entry to be added. Its identifier is made of what it says and of the entry
/// before it, so that no two have one.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntry {
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

/// The field that makes the identifier of an entry another, where a hash would
/// have it twice: how often that was.
pub(super) const AGAIN: &str = "again";

/// The identifier of an entry with its fields, and its line of the journal with the
/// line feed.
pub(super) fn line(
    entry: &NewEntry,
    fields: &Map<String, Value>,
    after: Option<&Identifier>,
) -> (Identifier, String) {
    let said = said(after, entry.at, &entry.kind, fields);
    let id = identifier_of(&Value::Object(said.clone()).to_string());
    let mut line = Map::new();
    line.insert(ID.to_owned(), id.to_string().into());
    line.extend(said);
    // JSON writes a line feed inside a text as two other characters.
    (id, Value::Object(line).to_string() + "\n")
}

/// All of an entry but its identifier.
fn said(
    after: Option<&Identifier>,
    at: Moment,
    kind: &str,
    fields: &Map<String, Value>,
) -> Map<String, Value> {
    let mut said = Map::new();
    let mut put = |field: &str, text: String| said.insert(field.to_owned(), text.into());
    if let Some(after) = after {
        put(AFTER, after.to_string());
    }
    put(AT, moment_text(at));
    put(KIND, kind.to_owned());
    said.extend(fields.clone());
    said
}

impl JournalEntry {
    /// Whether its identifier is that of what it says: not so where somebody wrote
    /// in it afterwards.
    pub fn is_as_written(&self) -> bool {
        let said = said(self.after.as_ref(), self.at, &self.kind, &self.fields);
        identifier_of(&Value::Object(said).to_string()) == self.id
    }
}

/// The symbols of an entry's identifier beside its check character.
const SYMBOLS: usize = 7;

/// An identifier from what an entry says.
///
/// By the 64-bit hash FNV-1a of Fowler, Noll and Vo, its constants as remembered:
/// any hash would do that spreads.
fn identifier_of(said: &str) -> Identifier {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    let hash = said.bytes().fold(BASIS, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(PRIME)
    });
    let all = 31_u64.pow(7);
    // A number below 31⁷ has seven symbols.
    Identifier::of(hash % all, SYMBOLS).unwrap_or_else(|_| Identifier::none())
}

/// An entry from a line; none from a header or an empty line. Where it is wrong,
/// the bytes of the line that are.
pub(super) fn read(line: &str) -> Result<Option<JournalEntry>, (Range<usize>, BookError)> {
    if line.trim().is_empty() {
        return Ok(None);
    }
    let all = 0..line.len();
    let mut fields = match serde_json::from_str(line) {
        Ok(Value::Object(fields)) => fields,
        Ok(_) => return Err((all, syntax("this line is no entry: entries stand in { }"))),
        Err(error) => {
            // The last character that was read, or the end of a line cut short.
            let at = error.column().saturating_sub(1).min(line.len());
            let at = (0..=at).rev().find(|at| line.is_char_boundary(*at));
            return Err((at.unwrap_or(0)..line.len(), syntax("this line is no JSON")));
        }
    };
    if !fields.contains_key(ID)
        && let Some(format) = fields.get("format")
    {
        return match format.as_u64() {
            Some(FORMAT) => Ok(None),
            _ => Err((
                all,
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
    let mut text = |field: &str| match fields.shift_remove(field) {
        Some(Value::String(text)) => Ok(Some(text)),
        None => Ok(None),
        Some(_) => Err((
            key_of(line, field).unwrap_or(0..line.len()),
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
            0..line.len(),
            BookError::new(
                BookErrorKind::MissingField,
                format!("this entry has no {field}"),
            )
            .with_hint("entries are written by the program: correct one by a later entry")
            .with_field(field),
        )
    };
    let place = |field: &str| value_of(line, field).unwrap_or(0..line.len());
    let identifier = |field: &str, text: &str| {
        text.parse::<Identifier>().map_err(|error| {
            (
                place(field),
                BookError::of_quantity(&error).with_field(field),
            )
        })
    };
    let id = id.ok_or_else(|| missing(ID))?;
    let at = at.ok_or_else(|| missing(AT))?;
    Ok(Some(JournalEntry {
        id: identifier(ID, &id)?,
        after: after.map(|after| identifier(AFTER, &after)).transpose()?,
        at: read_moment(&at).map_err(|error| (place(AT), error.with_field(AT)))?,
        kind: kind.ok_or_else(|| missing(KIND))?,
        fields,
    }))
}

fn syntax(message: &str) -> BookError {
    BookError::new(BookErrorKind::Syntax, message)
        .with_hint("take the line from an older copy of the file; what was wrong in an entry is corrected by a later one")
}

/// Where the name of a field stands in a line, with its quotes.
fn key_of(line: &str, field: &str) -> Option<Range<usize>> {
    // Inside a text the quotes would have a stroke before them.
    let key = format!("\"{field}\":");
    let at = line.find(&key)?;
    Some(at..at + key.len() - 1)
}

/// Where the text of a field stands in a line, without its quotes.
pub(super) fn value_of(line: &str, field: &str) -> Option<Range<usize>> {
    let behind = key_of(line, field)?.end + 1;
    let at = behind + line.get(behind..)?.find('"')? + 1;
    let mut is_marked = false;
    let end = line.get(at..)?.bytes().position(|byte| {
        let is_end = byte == b'"' && !is_marked;
        is_marked = byte == b'\\' && !is_marked;
        is_end
    })?;
    Some(at..at + end)
}
