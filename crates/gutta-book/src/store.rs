//! The folder on disk: the one place that touches the file system.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use crate::error::{BookError, BookErrorKind, BookErrors};
use crate::page::{Faults, Page};

/// The file that makes a folder a bench book.
pub(crate) const FRONT: &str = "book.toml";

const NO_FOLDER: &str = "this is a file, not a folder";

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
        Ok(_) => NO_FOLDER.to_owned(),
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
    plain_file(&path, "check that it is a file and that you may read it")?;
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

/// Puts a text into a file, all of it or nothing: what was there stays until the
/// whole of the new text is on the disk beside it. The old file's permissions are
/// kept.
///
/// # Errors
/// When the folder is not there, is full or may not be written to.
pub(crate) fn replace(path: &Path, text: &str) -> Result<(), BookError> {
    // What a link points to is replaced, and not the link.
    let real = fs::canonicalize(path);
    let path = real.as_deref().unwrap_or(path);
    let failed = |error: &io::Error| {
        BookError::new(BookErrorKind::File, unwritable(error))
            .with_file(&path.display().to_string())
            .with_hint(match error.kind() {
                io::ErrorKind::NotFound => "make its folder first, or name another",
                _ => "nothing was changed; make room or name a place that you may write to",
            })
    };
    let (beside, file) = beside(path).map_err(|error| failed(&error))?;
    fill(file, path, text)
        .and_then(|()| fs::rename(&beside, path))
        .map_err(|error| {
            // What is half written is of no use to anybody.
            let _ = fs::remove_file(&beside);
            failed(&error)
        })?;
    // The new name is on the disk once its folder is.
    File::open(folder_of(path))
        .and_then(|folder| folder.sync_all())
        .map_err(|error| failed(&error))
}

fn fill(mut file: File, path: &Path, text: &str) -> io::Result<()> {
    if let Ok(old) = fs::metadata(path) {
        file.set_permissions(old.permissions())?;
    }
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// How many names are tried beside a file: others may write there too, or have
/// been cut off.
const TRIES: u32 = 100;

/// A new file beside another, which nobody else writes to.
fn beside(path: &Path) -> io::Result<(PathBuf, File)> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let mut tries = (1..=TRIES).map(|number| {
        let beside = folder_of(path).join(format!(".{name}.{number}.new"));
        let mut options = OpenOptions::new();
        let file = options.write(true).create_new(true).open(&beside)?;
        Ok((beside, file))
    });
    let is_taken = |tried: &io::Result<_>| {
        let error = tried.as_ref().err();
        error.is_some_and(|error: &io::Error| error.kind() == io::ErrorKind::AlreadyExists)
    };
    let found = tries.find(|tried| !is_taken(tried));
    found.unwrap_or_else(|| Err(io::ErrorKind::AlreadyExists.into()))
}

/// Changes a file of a book: `change` makes the new text of the old one, or of
/// none. Nobody else who goes by this changes the book meanwhile; what `change`
/// refuses is not written.
///
/// # Errors
/// What `change` refuses; when the book or the file cannot be read or written.
pub(crate) fn change(
    dir: &Path,
    name: &str,
    change: impl FnOnce(Option<&Page>) -> Result<String, BookErrors>,
) -> Result<(), BookErrors> {
    let front = dir.join(FRONT);
    // A book that is not there is said to be that by whoever reads it.
    let lock = File::open(&front).ok();
    if let Some(front_file) = &lock {
        front_file.lock().map_err(|error| {
            let message = format!("this cannot be held while it is changed: {error}");
            BookErrors::one(
                BookError::new(BookErrorKind::File, message)
                    .with_file(&front.display().to_string()),
            )
        })?;
    }
    let old = page(dir, name).map_err(BookErrors::one)?;
    let text = change(old.as_ref())?;
    let path = dir.join(name);
    // The mark that some editors put in front of a text is no part of a page.
    let is_marked = fs::read(&path).is_ok_and(|bytes| bytes.starts_with(MARK.as_bytes()));
    let mark = if is_marked { MARK } else { "" };
    replace(&path, &format!("{mark}{text}")).map_err(BookErrors::one)
}

/// The mark that some editors put in front of a text.
const MARK: &str = "\u{feff}";

fn unwritable(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "this may not be written to".to_owned()
        }
        io::ErrorKind::NotFound => "there is no such folder".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge | io::ErrorKind::QuotaExceeded => {
            "no more may be stored here".to_owned()
        }
        _ => format!("this cannot be written: {error}"),
    }
}

/// What was done to a file of lines.
pub(crate) struct Appended {
    /// The end of a line that was cut off when it was written, now kept aside.
    pub torn: Option<String>,
}

/// How much of a file is looked at in one go, from its end backwards.
const WINDOW: u64 = 4096;

/// Adds whole lines at the end of a file, safe against a crash at any byte and
/// against another program that does the same: under a lock, in one write, on the
/// disk before it is answered. What an earlier crash has left half written is kept
/// aside in a file of its own. `lines` is handed the whole lines that are there, and
/// gives those to add, each with its line feed.
///
/// The lock is advisory, and some network folders do not keep it.
///
/// # Errors
/// When the file cannot be opened, locked, read or written, and what `lines`
/// refuses; what was there stays as it was.
pub(crate) fn append<E: From<BookErrors>>(
    path: &Path,
    lines: impl FnOnce(Lines) -> Result<String, E>,
) -> Result<Appended, E> {
    let failed = |error: &io::Error| {
        E::from(BookErrors::one(
            BookError::new(BookErrorKind::File, unwritable(error))
                .with_file(&path.display().to_string())
                .with_hint("nothing was written; make room, or see that you may write there"),
        ))
    };
    plain_file(path, PLAIN_JOURNAL).map_err(|error| E::from(BookErrors::one(error)))?;
    let is_new = !path.exists();
    let mut options = OpenOptions::new();
    options.read(true).append(true).create(true);
    let mut file = options.open(path).map_err(|error| failed(&error))?;
    file.lock().map_err(|error| failed(&error))?;
    let torn = set_torn_aside(&mut file, path).map_err(|error| failed(&error))?;
    let before = file.metadata().map_err(|error| failed(&error))?.len();
    let there = stretch(&mut file, 0, before).map_err(|error| failed(&error))?;
    let page =
        text(path.display().to_string(), there).map_err(|error| E::from(BookErrors::one(error)))?;
    let text = lines(Lines { page, torn: None })?;
    let written = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_data());
    if let Err(error) = written {
        // Half a line is no line; where it cannot be taken back, it is known by
        // its missing end.
        let _ = file.set_len(before).and_then(|()| file.sync_data());
        return Err(failed(&error));
    }
    if is_new {
        File::open(folder_of(path))
            .and_then(|folder| folder.sync_all())
            .map_err(|error| failed(&error))?;
    }
    Ok(Appended { torn })
}

/// Where the last line of a file begins that has no line feed: its length where
/// the file ends with one.
fn torn_from(file: &mut File) -> io::Result<u64> {
    let mut end = file.metadata()?.len();
    while end > 0 {
        let start = end.saturating_sub(WINDOW);
        let bytes = stretch(file, start, end)?;
        if let Some(at) = bytes.iter().rposition(|byte| *byte == b'\n') {
            return Ok(start + at as u64 + 1);
        }
        end = start;
    }
    Ok(0)
}

fn stretch(file: &mut File, start: u64, end: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(start))?;
    file.take(end - start).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Cuts off what a crash left of a line, once it is on the disk in a file of its
/// own beside this one.
fn set_torn_aside(file: &mut File, path: &Path) -> io::Result<Option<String>> {
    let length = file.metadata()?.len();
    let from = torn_from(file)?;
    if from == length {
        return Ok(None);
    }
    let torn = stretch(file, from, length)?;
    let mut aside = OpenOptions::new()
        .append(true)
        .create(true)
        .open(aside(path))?;
    aside.write_all(&[torn.as_slice(), b"\n"].concat())?;
    aside.sync_all()?;
    file.set_len(from)?;
    file.sync_data()?;
    Ok(Some(String::from_utf8_lossy(&torn).into_owned()))
}

/// The file that torn lines are kept in.
fn aside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    folder_of(path).join(format!("{name}.torn"))
}

const PLAIN_JOURNAL: &str = "move it away: the journal is a plain file";

/// Refuses what is there and is no plain file: a device or a pipe would be read
/// without an end, and must not be put a file in the place of.
fn plain_file(path: &Path, hint: &str) -> Result<(), BookError> {
    let message = match fs::metadata(path) {
        Ok(found) if found.is_dir() => "this is a folder, not a file",
        Ok(found) if !found.is_file() => "this is a device or a pipe, not a file",
        // What is not there yet, or may not be seen, is said by whoever opens it.
        _ => return Ok(()),
    };
    Err(BookError::new(BookErrorKind::File, message)
        .with_file(&path.display().to_string())
        .with_hint(hint))
}

/// The whole lines of a file, and what stands behind the last of them.
pub(crate) struct Lines {
    /// Up to the last line feed, as a page.
    pub page: Page,
    /// What a crash, or a writer at work, left behind it.
    pub torn: Option<String>,
}

/// The lines of a file that is appended to, or none when it is not there. Read
/// under a shared lock, so that no writer is caught half way.
///
/// # Errors
/// When it cannot be read, or its whole lines are not text in UTF-8.
pub(crate) fn lines(path: &Path) -> Result<Option<Lines>, BookError> {
    let name = path.display().to_string();
    let failed = |error: &io::Error| {
        BookError::new(BookErrorKind::File, unreadable("file", error))
            .with_file(&name)
            .with_hint("check that it is a file and that you may read it")
    };
    plain_file(path, PLAIN_JOURNAL)?;
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(failed(&error)),
    };
    let mut bytes = Vec::new();
    file.lock_shared()
        .and_then(|()| file.read_to_end(&mut bytes))
        .map_err(|error| failed(&error))?;
    let whole = bytes
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |at| at + 1);
    let torn = bytes.split_off(whole);
    let torn = (!torn.is_empty()).then(|| String::from_utf8_lossy(&torn).into_owned());
    Ok(Some(Lines {
        page: text(name, bytes)?,
        torn,
    }))
}

/// Whether a file of a folder is there.
pub(crate) fn is_there(dir: &Path, name: &str) -> bool {
    fs::symlink_metadata(dir.join(name)).is_ok()
}

/// Makes a folder, those above it too, with new files in it, in their order. When
/// one of them cannot be made, what was made is removed again.
///
/// # Errors
/// When one of the files is there already, or the folder cannot be written to.
pub(crate) fn make(dir: &Path, files: &[(&str, &str)]) -> Result<Vec<PathBuf>, BookError> {
    let paths: Vec<PathBuf> = files.iter().map(|(name, _)| dir.join(name)).collect();
    if let Some(path) = paths.iter().find(|path| fs::symlink_metadata(path).is_ok()) {
        return Err(unmade(path, &io::ErrorKind::AlreadyExists.into()));
    }
    // The folders that are not there, the outermost last.
    let new_folders: Vec<&Path> = dir
        .ancestors()
        .filter(|folder| !folder.as_os_str().is_empty())
        .take_while(|folder| fs::symlink_metadata(folder).is_err())
        .collect();
    let made = fs::create_dir_all(dir).map_err(|error| {
        // A folder that is there would do: what is there is a file.
        let unmade = match error.kind() {
            io::ErrorKind::AlreadyExists => BookError::new(BookErrorKind::File, NO_FOLDER)
                .with_file(&dir.display().to_string())
                .with_hint("name another folder; nothing was changed"),
            _ => unmade(dir, &error),
        };
        (0, unmade)
    });
    let made = made.and_then(|()| {
        for (at, (path, (_, text))) in paths.iter().zip(files).enumerate() {
            let failed = |error: io::Error| unmade(path, &error);
            let mut options = OpenOptions::new();
            let file = options.write(true).create_new(true).open(path);
            let mut file = file.map_err(|error| (at, failed(error)))?;
            let written = file.write_all(text.as_bytes());
            let written = written.and_then(|()| file.sync_all());
            // This one is there, however little of it.
            written.map_err(|error| (at + 1, failed(error)))?;
        }
        Ok(())
    });
    made.map_err(|(count, error)| {
        for path in paths.iter().take(count) {
            let _ = fs::remove_file(path);
        }
        // A folder that somebody else has put something into stays.
        for folder in new_folders {
            let _ = fs::remove_dir(folder);
        }
        error
    })?;
    Ok(paths)
}

/// Why a folder or a file could not be made.
fn unmade(path: &Path, error: &io::Error) -> BookError {
    let (kind, message, hint) = match error.kind() {
        io::ErrorKind::AlreadyExists => (
            BookErrorKind::Taken,
            "this is there already".to_owned(),
            "name another folder; nothing was changed",
        ),
        io::ErrorKind::NotADirectory => (
            BookErrorKind::File,
            "a part of this path is a file, not a folder".to_owned(),
            "name another folder; nothing was changed",
        ),
        _ => (
            BookErrorKind::File,
            unwritable(error),
            "name a folder that you may write to; nothing was changed",
        ),
    };
    BookError::new(kind, message)
        .with_file(&path.display().to_string())
        .with_hint(hint)
}

/// The text of a file that somebody named.
///
/// # Errors
/// When it is not there, cannot be read, or is not text in UTF-8.
pub fn read_page(path: &Path) -> Result<String, BookError> {
    let (dir, name) = (
        path.parent(),
        path.file_name().and_then(|name| name.to_str()),
    );
    // What has no length, such as a device, never ends.
    if fs::metadata(path).is_ok_and(|about| !about.is_file()) {
        return Err(
            BookError::new(BookErrorKind::File, "this is no file of text")
                .with_file(&path.display().to_string())
                .with_hint("name a file of lines"),
        );
    }
    let found = page(dir.unwrap_or(Path::new("")), name.unwrap_or_default())?;
    found.map(|page| page.text().to_owned()).ok_or_else(|| {
        BookError::new(BookErrorKind::File, "there is no such file")
            .with_file(&path.display().to_string())
            .with_hint("check its name and the folder it is in")
    })
}

/// How a page of HTML begins; only such a file is written over by one.
const PAGE: &str = "<!doctype html>";

/// Writes a page of HTML to a file, all of it or nothing. A file that is there
/// already is replaced when it is such a page, too.
///
/// # Errors
/// When the file is another than such a page, or cannot be written.
pub fn write_page(path: &Path, html: &str) -> Result<(), BookError> {
    const HINT: &str = "name a file that is not there yet, such as sheet.html";
    plain_file(path, HINT)?;
    let old = beginning(path, PAGE.len()).unwrap_or_default();
    if !old.is_empty() && old != PAGE.as_bytes() {
        let message = "this file is there already, and is no page of HTML";
        return Err(BookError::new(BookErrorKind::File, message)
            .with_file(&path.display().to_string())
            .with_hint(HINT));
    }
    replace(path, html)
}

/// The first bytes of a file, so many or all that there are.
fn beginning(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?
        .take(most as u64)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A table that is written row by row, as the rows come.
pub struct TableFile(csv::Writer<File>);

impl TableFile {
    /// Begins a table with its first row. A file that is there already is written
    /// over when it is such a table, or empty.
    ///
    /// # Errors
    /// When the file is another, or cannot be written.
    pub fn create(path: &Path, heading: &str) -> Result<Self, BookError> {
        let refuse = |message: String| {
            BookError::new(BookErrorKind::File, message)
                .with_file(&path.display().to_string())
                .with_hint("name a file that is not there yet, such as rejects.csv")
        };
        // A device or a pipe has no beginning to look at.
        if fs::metadata(path).is_ok_and(|found| found.is_file()) {
            let old = beginning(path, heading.len())
                .map_err(|error| refuse(unreadable("file", &error)))?;
            if !old.is_empty() && old != heading.as_bytes() {
                return Err(refuse(
                    "this file is there already, and is another table".to_owned(),
                ));
            }
        }
        let made = File::create(path).and_then(|mut file| {
            file.write_all(heading.as_bytes())?;
            Ok(file)
        });
        let file = made.map_err(|error| refuse(unwritable(&error)))?;
        Ok(Self(csv::Writer::from_writer(file)))
    }

    /// Adds a row.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn add(&mut self, cells: &[String]) -> io::Result<()> {
        self.0.write_record(cells).map_err(io::Error::from)
    }

    /// All rows are there.
    ///
    /// # Errors
    /// When the last of them cannot be written.
    pub fn end(mut self) -> io::Result<()> {
        self.0.flush()
    }
}

#[cfg(test)]
mod tests;
