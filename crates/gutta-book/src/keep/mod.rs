//! Keeping a calibration in the book: what a person wrote there stays, byte for
//! byte.

use std::ops::Range;
use std::path::Path;

use toml::de::{DeTable, DeValue};

use crate::book::{Book, Pages};
use crate::date::Date;
use crate::error::{BookError, BookErrorKind, BookErrors};
use crate::name::{EntryKind, folded};
use crate::page::Page;
use crate::store;
use crate::words::{quote, quoted_in_toml};

/// A calibration to be kept, each value as it was typed.
#[derive(Clone, Debug)]
pub struct NewDropper {
    /// The name to call it by.
    pub name: String,
    /// The liquid: `water`, one of the book, or one whose name says what is in it.
    pub liquid: String,
    /// The day of the calibration.
    pub date: Date,
    /// The scale of the book that it was weighed on.
    pub scale: Option<String>,
    /// Whether the readings run on since one zero.
    pub running: bool,
    /// The temperature of room and liquid, such as `21.5 °C`.
    pub temperature: Option<String>,
    /// The pressure of the room itself, such as `1003 hPa`.
    pub pressure: Option<String>,
    /// The relative humidity, such as `50 %`.
    pub humidity: Option<String>,
    /// The weighings, such as `20 = 0.974 g`.
    pub weighings: Vec<String>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl NewDropper {
    /// Each field of the entry with its value in TOML, where it has one.
    fn fields(&self) -> [(&'static str, Option<String>); 10] {
        let text = |text: &Option<String>| text.as_deref().map(quoted_in_toml);
        let weighings: Vec<String> = self.weighings.iter().map(|w| quoted_in_toml(w)).collect();
        [
            ("name", Some(quoted_in_toml(&self.name))),
            ("liquid", Some(quoted_in_toml(&self.liquid))),
            ("date", Some(self.date.to_string())),
            ("scale", text(&self.scale)),
            ("running", self.running.then(|| "true".to_owned())),
            ("temperature", text(&self.temperature)),
            ("pressure", text(&self.pressure)),
            ("humidity", text(&self.humidity)),
            ("weighings", Some(format!("[{}]", weighings.join(", ")))),
            ("note", text(&self.note)),
        ]
    }
}

/// Keeps a calibration in the book of a folder, behind the droppers that are
/// there; or, `replacing`, in place of the one of that name. Comments, order and
/// line ends stay as they are. The new text is read through before it is written.
///
/// # Errors
/// When the book is not sound, the name is taken and not to be replaced, the
/// calibration cannot be read back, or the file cannot be written. Nothing is
/// changed then.
pub fn save_dropper(dir: &Path, new: &NewDropper, replacing: bool) -> Result<(), BookErrors> {
    let name = EntryKind::Dropper.file();
    store::change(dir, name, |old| {
        let book = Book::open(dir)?;
        let is_there = book
            .droppers()
            .any(|d| folded(&d.name) == folded(&new.name));
        let file = dir.join(name).display().to_string();
        if is_there && !replacing {
            let message = format!("there is a dropper {} already", quote(&new.name));
            return Err(BookErrors::one(
                BookError::new(BookErrorKind::Taken, message)
                    .with_file(&file)
                    .with_field("name")
                    .with_hint("give it another name, or add --replace to put it in its place"),
            ));
        }
        let text = old.map_or("", Page::text);
        let text = if is_there {
            replaced(text, new).ok_or_else(|| {
                let message = format!(
                    "dropper {} does not stand under [[dropper]]",
                    quote(&new.name)
                );
                BookErrors::one(
                    BookError::new(BookErrorKind::Syntax, message)
                        .with_file(&file)
                        .with_hint("change it by hand, or give the new one another name"),
                )
            })?
        } else {
            appended(text, new)
        };
        let pages = Pages {
            droppers: Ok(Some(Page::new(file, &text))),
            ..Pages::found(dir)?
        };
        Book::of(pages)?;
        Ok(text)
    })
}

/// How the lines of a text end.
fn line_end(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text[..at].ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

/// The text with the entry behind all that is there.
fn appended(text: &str, new: &NewDropper) -> String {
    let end = line_end(text);
    let mut all = text.to_owned();
    if text.trim().is_empty() {
        all += &format!("format = 1{end}");
    } else if !text.ends_with('\n') {
        all += end;
    }
    all += &format!("{end}[[dropper]]{end}");
    for (field, value) in new.fields() {
        if let Some(value) = value {
            all += &format!("{field} = {value}{end}");
        }
    }
    all
}

/// The text with the values of the entry of that name changed where they stand;
/// `None` when it is not written line by line.
fn replaced(text: &str, new: &NewDropper) -> Option<String> {
    let end = line_end(text);
    let root = DeTable::parse(text).ok()?;
    let entries = root.get_ref().get("dropper")?.get_ref().as_array()?;
    let entry = entries.iter().find_map(|entry| {
        let table = entry.get_ref().as_table()?;
        let DeValue::String(name) = table.get("name")?.get_ref() else {
            return None;
        };
        (folded(name) == folded(&new.name)).then_some(table)
    })?;
    let mut edits: Vec<(Range<usize>, String)> = Vec::new();
    let mut more = String::new();
    for (field, value) in new.fields() {
        let old = entry.get_key_value(field);
        match (old, value) {
            (Some((_, old)), Some(value)) => edits.push((old.span(), value)),
            (Some((key, old)), None) => {
                let line = text[..key.span().start].rfind('\n').map_or(0, |at| at + 1);
                let behind = text[old.span().end..].find('\n');
                let until = behind.map_or(text.len(), |at| old.span().end + at + 1);
                edits.push((line..until, String::new()));
            }
            (None, Some(value)) => more += &format!("{end}{field} = {value}"),
            (None, None) => {}
        }
    }
    // Behind the name, which is there whatever else is.
    let name = entry.get("name")?.span().end;
    let behind = &text[name..];
    let line = behind.find('\n').unwrap_or(behind.len());
    let at = name + behind[..line].trim_end_matches('\r').len();
    edits.push((at..at, more));
    edits.sort_by_key(|(span, _)| (span.start, span.end));
    // Two on one line are not written line by line.
    if edits.windows(2).any(|pair| pair[0].0.end > pair[1].0.start) {
        return None;
    }
    let mut all = text.to_owned();
    for (span, value) in edits.into_iter().rev() {
        all.replace_range(span, &value);
    }
    Some(all)
}

#[cfg(test)]
mod tests;
