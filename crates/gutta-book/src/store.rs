//! The folder on disk: the one place that touches the file system.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::error::{BookError, BookErrorKind};
use crate::page::{Faults, Page};

/// The file that makes a folder a bench book.
pub(crate) const FRONT: &str = "book.toml";

/// The nearest folder that holds a `book.toml`, `start` itself or one above.
///
/// `None` when there is none, or `start` is not there.
pub fn nearest_book(start: &Path) -> Option<PathBuf> {
    // Only a path without `..` and links can be gone up by its names.
    let start = fs::canonicalize(start).ok()?;
    start
        .ancestors()
        .find(|folder| folder.join(FRONT).is_file())
        .map(Path::to_path_buf)
}

/// The folder, when it is one.
///
/// # Errors
/// When it is not there, or is no folder.
pub(crate) fn folder(dir: &Path) -> Result<(), BookError> {
    let message = match fs::metadata(dir) {
        Ok(found) if found.is_dir() => return Ok(()),
        Ok(_) => "this is a file, not a folder".to_owned(),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            "there is no such folder".to_owned()
        }
        Err(error) => unreadable("folder", &error),
    };
    Err(BookError::new(BookErrorKind::File, message)
        .with_file(&dir.display().to_string())
        .with_hint("a bench book is a folder with a book.toml in it"))
}

/// A file of the book, or `None` when it is not there.
///
/// # Errors
/// When it cannot be read, or is not text in UTF-8.
pub(crate) fn page(dir: &Path, name: &str) -> Result<Option<Page>, BookError> {
    let path = dir.join(name);
    let file = path.display().to_string();
    match fs::read(&path) {
        Ok(bytes) => text(file, bytes).map(Some),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(
            BookError::new(BookErrorKind::File, unreadable("file", &error))
                .with_file(&file)
                .with_hint("check that it is a file and that you may read it"),
        ),
    }
}

fn unreadable(what: &str, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::PermissionDenied => format!("this {what} may not be read"),
        io::ErrorKind::IsADirectory => format!("this is a folder, not a {what}"),
        _ => format!("this {what} cannot be read: {error}"),
    }
}

fn text(file: String, bytes: Vec<u8>) -> Result<Page, BookError> {
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Page::new(file, &text)),
        Err(error) => {
            let valid = error.utf8_error().valid_up_to();
            let lossy = String::from_utf8_lossy(error.as_bytes());
            let page = Page::new(file, &lossy);
            // The page has dropped the mark in front of the text, if one was.
            let at = valid.saturating_sub(lossy.len() - page.text().len());
            let mut faults = Faults::new(&page);
            let error = BookError::new(BookErrorKind::Syntax, "this is not text in UTF-8")
                .with_hint("save the file as plain text in UTF-8");
            faults.add(
                &(at..at + char::REPLACEMENT_CHARACTER.len_utf8()),
                error.clone(),
            );
            Err(faults.in_order().pop().unwrap_or(error))
        }
    }
}

#[cfg(test)]
mod tests;
