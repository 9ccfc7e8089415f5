//! A new book: files that say what goes into them, and hold nothing yet.

use std::path::{Path, PathBuf};

use crate::error::{BookError, BookErrorKind, hidden};
use crate::name::EntryKind;
use crate::store;
use crate::words::quoted_in_toml;

/// The line of the front that a name takes the place of.
const NAMELESS: &str = "#name = \"the workshop\"";

const FRONT: &str = include_str!("book.toml");

/// The files besides the front.
const FILES: [(&str, &str); 5] = [
    (EntryKind::Scale.file(), include_str!("scales.toml")),
    (EntryKind::Liquid.file(), include_str!("liquids.toml")),
    (EntryKind::Dropper.file(), include_str!("droppers.toml")),
    (EntryKind::Lot.file(), include_str!("lots.csv")),
    (EntryKind::Formula.file(), include_str!("formulas.toml")),
];

/// What puts the lines of two people's journals together.
const ATTRIBUTES: (&str, &str) = (".gitattributes", include_str!("gitattributes"));

/// Makes a new book in a folder, which is made too. Attributes of version control
/// that stand there already are left as they are.
pub(crate) fn create(dir: &Path, name: Option<&str>) -> Result<Vec<PathBuf>, BookError> {
    let front = match name {
        None => FRONT.to_owned(),
        Some(name) => front_of(name.trim())?,
    };
    // A folder is a book once its front is there: it comes last.
    let attributes = Some(ATTRIBUTES).filter(|(name, _)| !store::is_there(dir, name));
    let files = FILES.into_iter().chain(attributes);
    let files = files.chain([(store::FRONT, front.as_str())]);
    store::make(dir, &files.collect::<Vec<_>>())
}

fn front_of(name: &str) -> Result<String, BookError> {
    let hint = "call it in a few words on one line, such as \"the workshop\"";
    if name.is_empty() {
        let empty = BookErrorKind::Quantity(gutta::ErrorKind::Empty);
        return Err(BookError::new(empty, "the name is empty")
            .with_field("name")
            .with_hint(hint));
    }
    if let Some(error) = hidden(name, "name") {
        return Err(error.with_hint(hint));
    }
    Ok(FRONT.replacen(NAMELESS, &format!("name = {}", quoted_in_toml(name)), 1))
}

#[cfg(test)]
mod tests;
