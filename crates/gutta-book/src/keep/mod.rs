//! Keeping a calibration or a version of a formula in the book: what a person wrote there stays, byte for
//! byte.

use std::ops::Range;
use std::path::Path;

use gutta::bench::LeafBasis;
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
    fn fields(&self) -> [Valued; 10] {
        let text = |text: &Option<String>| text.as_deref().map(quoted_in_toml);
        [
            ("name", Some(quoted_in_toml(&self.name))),
            ("liquid", Some(quoted_in_toml(&self.liquid))),
            ("date", Some(self.date.to_string())),
            ("scale", text(&self.scale)),
            ("running", self.running.then(|| "true".to_owned())),
            ("temperature", text(&self.temperature)),
            ("pressure", text(&self.pressure)),
            ("humidity", text(&self.humidity)),
            ("weighings", Some(list(&self.weighings))),
            ("note", text(&self.note)),
        ]
    }
}

/// Texts as a list in TOML.
fn list(texts: &[String]) -> String {
    let each: Vec<String> = texts.iter().map(|text| quoted_in_toml(text)).collect();
    format!("[{}]", each.join(", "))
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
            appended(text, EntryKind::Dropper, &new.fields())
        };
        let pages = Pages {
            droppers: Ok(Some(Page::new(file, &text))),
            ..Pages::found(dir)?
        };
        Book::of(pages)?;
        Ok(text)
    })
}

/// A version of a formula to be kept, each value as it was typed.
#[derive(Clone, Debug)]
pub struct NewFormula {
    /// The name to call it by.
    pub name: String,
    /// What its shares are of.
    pub basis: LeafBasis,
    /// Its lines of leaf, such as `46 % flue-cured`.
    pub leaf: Vec<String>,
    /// Its flavourings, such as `2 g/kg on dry: fig tincture`.
    pub flavours: Vec<String>,
    /// Its casings, such as `8 % liquid on as-weighed: plum casing`.
    pub casings: Vec<String>,
    /// The moisture wanted at the end, such as `15 %`.
    pub moisture: Option<String>,
    /// Half-width of the target band in points, such as `1 %`.
    pub band: Option<String>,
    /// How far a weighing may be off, as a share of it, such as `2 %`.
    pub tolerance: Option<String>,
    /// How long it rests, in words.
    pub rest: Option<String>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl NewFormula {
    fn fields(&self, version: u32) -> [Valued; 11] {
        let text = |text: &Option<String>| text.as_deref().map(quoted_in_toml);
        let list_if = |texts: &[String]| (!texts.is_empty()).then(|| list(texts));
        let basis = match self.basis {
            LeafBasis::AsWeighed => "as-weighed",
            LeafBasis::Dry => "dry",
        };
        [
            ("name", Some(quoted_in_toml(&self.name))),
            ("version", Some(version.to_string())),
            ("shares", Some(quoted_in_toml(basis))),
            ("leaf", Some(list(&self.leaf))),
            ("flavours", list_if(&self.flavours)),
            ("casings", list_if(&self.casings)),
            ("moisture", text(&self.moisture)),
            ("band", text(&self.band)),
            ("tolerance", text(&self.tolerance)),
            ("rest", text(&self.rest)),
            ("note", text(&self.note)),
        ]
    }
}

/// Keeps a version of a formula in the book of a folder, behind the formulas that
/// are there, and says which version it is: the one that comes next of its name,
/// from 1. No version is ever replaced: what was blended by it is told by it.
///
/// # Errors
/// When the book is not sound, the formula cannot be read back, or the file cannot
/// be written. Nothing is changed then.
pub fn save_formula(dir: &Path, new: &NewFormula) -> Result<u32, BookErrors> {
    let name = EntryKind::Formula.file();
    let mut version = 1;
    store::change(dir, name, |old| {
        let book = Book::open(dir)?;
        let of_name = book
            .formulas()
            .filter(|one| folded(&one.name) == folded(&new.name));
        let latest = of_name.map(|one| one.version).max().unwrap_or(0);
        // Past the last number its own is taken, and the reader says so.
        version = latest.saturating_add(1);
        let text = old.map_or("", Page::text);
        let text = appended(text, EntryKind::Formula, &new.fields(version));
        let file = dir.join(name).display().to_string();
        let pages = Pages {
            formulas: Ok(Some(Page::new(file, &text))),
            ..Pages::found(dir)?
        };
        Book::of(pages)?;
        Ok(text)
    })?;
    Ok(version)
}

/// How the lines of a text end.
fn line_end(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text[..at].ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

/// A field of an entry with its value in TOML, where it has one.
type Valued = (&'static str, Option<String>);

/// The text with an entry behind all that is there.
fn appended(text: &str, kind: EntryKind, fields: &[Valued]) -> String {
    let end = line_end(text);
    let mut all = text.to_owned();
    if text.trim().is_empty() {
        all += &format!("format = 1{end}");
    } else if !text.ends_with('\n') {
        all += end;
    }
    all += &format!("{end}[[{}]]{end}", kind.word());
    for (field, value) in fields {
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
