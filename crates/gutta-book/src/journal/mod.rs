//! The journal: what was done, entry by entry, only ever added to.
//!
//! # Why one line for an entry?
//!
//! A line is written at once and flushed to the disk; what a crash leaves of one is
//! known by its missing line feed. It can be read, searched and compared by eye,
//! and two people who both added lines can have them put together by their version
//! control (`journal.jsonl merge=union`).
//!
//! # Why does an entry name the one before?
//!
//! A line that somebody deleted, or that was lost on the way, leaves an entry that
//! comes after nothing: that is an error, and said. Where two people went on from
//! the same entry, both name it.
//!
//! Each of two people may have begun a journal, too: then two entries come after
//! none.
//!
//! # Why is nothing ever changed?
//!
//! A record that can be rewritten is none. What was wrong is said to be so by a
//! later entry.

mod entry;
mod faults;
mod making;
mod moment;
mod read;
mod things;

use std::collections::HashMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use gutta::blend::record::Identifier;

pub use entry::{JournalEntry, NewEntry};
pub use making::{
    DeviationDone, LeafDone, LiquidDone, MakingKind, MakingRecord, PlanLine, ScoreDone, WeighedDone,
};
pub use moment::{moment_text, read_moment, typed_moment};
pub use read::{WRITE_ANEW, field, kind};
pub use things::{Found, JarRecord, LotRecord, Wrong};

use crate::error::{BookError, BookErrorKind, BookErrors};
use crate::page::{Faults, Page};
use crate::store::{self, Lines};

/// The file of the journal, in the folder of the book.
pub const JOURNAL: &str = "journal.jsonl";

/// A journal, read and checked.
#[derive(Clone, Debug, Default)]
pub struct Journal {
    entries: Vec<JournalEntry>,
    by_id: HashMap<Identifier, usize>,
    torn: Option<String>,
    /// The file, and where each entry stands in it; of an entry that is only
    /// supposed there is no place.
    page: Option<Arc<Page>>,
    spans: Vec<Range<usize>>,
}

/// What adding entries came to.
#[derive(Clone, Debug)]
pub struct Added {
    /// The identifiers of the entries, in their order.
    pub ids: Vec<Identifier>,
    /// What an earlier crash had left of a line; it is now in a file beside the
    /// journal, with `.torn` behind its name.
    pub torn: Option<String>,
}

impl Journal {
    /// Reads the journal of a book; of a book without one it is empty.
    ///
    /// # Errors
    /// When the file cannot be read, or any line of it is wrong: all of them at
    /// once. A line that was cut off at the end is no error: see
    /// [`torn`](Self::torn).
    pub fn read(dir: &Path) -> Result<Self, BookErrors> {
        match store::lines(&dir.join(JOURNAL)).map_err(BookErrors::one)? {
            Some(lines) => Self::of(lines),
            None => Ok(Self::default()),
        }
    }

    /// A journal of the lines of its file.
    fn of(lines: Lines) -> Result<Self, BookErrors> {
        let page = Arc::new(lines.page);
        let mut faults = Faults::new(&page);
        let mut journal = Self {
            torn: lines.torn,
            page: Some(Arc::clone(&page)),
            ..Self::default()
        };
        let mut at = 0;
        let mut is_broken = false;
        for line in page.text().split_inclusive('\n') {
            let span = at..at + line.trim_end_matches(['\n', '\r']).len();
            at += line.len();
            match entry::read(line.trim_end_matches(['\n', '\r'])) {
                Ok(Some(entry)) => {
                    let misfit = journal.misfit(&entry);
                    // What comes after a line that cannot be read is not amiss.
                    let follows = |error: &BookError| error.kind() == BookErrorKind::NoSuchName;
                    if let Some(error) = misfit.filter(|error| !(is_broken && follows(error))) {
                        let field = error.field().unwrap_or_default();
                        let part = entry::value_of(&page.text()[span.clone()], field);
                        let part = part.unwrap_or(0..span.len());
                        faults.add(&(span.start + part.start..span.start + part.end), error);
                    }
                    is_broken = false;
                    journal.spans.push(span);
                    journal.put(entry);
                }
                Ok(None) => {}
                Err((part, error)) => {
                    faults.add(&(span.start + part.start..span.start + part.end), error);
                    is_broken = true;
                }
            }
        }
        match BookErrors::of(faults.line_by_line()) {
            Some(errors) => Err(errors),
            None => Ok(journal),
        }
    }

    /// Adds entries at the end of the journal of a book, all of them or none. Once
    /// this has answered they are on the disk.
    ///
    /// # Errors
    /// When the folder is no book, the journal cannot be written, or anything in it
    /// is wrong: nothing is added to a journal that is broken.
    pub fn add(dir: &Path, entries: &[NewEntry]) -> Result<Added, BookError> {
        Self::add_if(dir, |_| Ok::<_, BookError>(entries.to_vec()))
    }

    /// Adds the entries that `entries` makes of the journal as it stands, or nothing
    /// where it refuses. Nobody else adds any in between, so that what was there
    /// when it was looked at is there when it is written; an entry that was
    /// [supposed](Self::suppose) is not kept by that.
    ///
    /// # Errors
    /// What `entries` refuses; else as [`add`](Self::add).
    pub fn add_if<E: From<BookErrors>>(
        dir: &Path,
        entries: impl FnOnce(&mut Self) -> Result<Vec<NewEntry>, E>,
    ) -> Result<Added, E> {
        let of = |error| E::from(BookErrors::one(error));
        store::folder(dir).map_err(of)?;
        let mut ids = Vec::new();
        let appended = store::append::<E>(&dir.join(JOURNAL), |lines| {
            let mut journal = Self::of(lines)?;
            let is_new = journal
                .page
                .as_ref()
                .is_none_or(|page| page.text().is_empty());
            let there = journal.entries.len();
            let new = entries(&mut journal)?;
            journal.forget(there);
            let mut text = String::from(if is_new { entry::HEADER } else { "" });
            for entry in &new {
                let (id, line) = journal.suppose(entry);
                ids.push(id);
                text += &line;
            }
            Ok(text)
        })?;
        Ok(Added {
            ids,
            torn: appended.torn,
        })
    }

    /// The journal as it would be with an entry more, and the identifier and the
    /// line that this has; nothing is written.
    pub fn suppose(&mut self, entry: &NewEntry) -> (Identifier, String) {
        let after = self.entries.last().map(|last| last.id.clone());
        let mut fields = entry.fields.clone();
        let mut again = 0;
        let (id, line) = loop {
            let (id, line) = entry::line(entry, &fields, after.as_ref());
            if !self.by_id.contains_key(&id) {
                break (id, line);
            }
            // Of a million entries some dozens would have the identifier of another.
            again += 1;
            fields.insert(entry::AGAIN.to_owned(), again.into());
        };
        self.put(JournalEntry {
            id: id.clone(),
            after,
            at: entry.at,
            kind: entry.kind.clone(),
            fields,
        });
        (id, line)
    }

    /// Forgets what was supposed behind so many entries.
    fn forget(&mut self, there: usize) {
        for entry in self.entries.drain(there..) {
            self.by_id.remove(&entry.id);
        }
    }

    /// The entries, in the order of the file.
    pub fn entries(&self) -> &[JournalEntry] {
        &self.entries
    }

    /// The entry of an identifier.
    pub fn entry(&self, id: &Identifier) -> Option<&JournalEntry> {
        self.by_id.get(id).and_then(|at| self.entries.get(*at))
    }

    /// What stands behind the last whole line: cut off by a crash, and not
    /// believed. The next entry sets it aside.
    pub fn torn(&self) -> Option<&str> {
        self.torn.as_deref()
    }

    fn put(&mut self, entry: JournalEntry) {
        self.by_id.insert(entry.id.clone(), self.entries.len());
        self.entries.push(entry);
    }

    /// What does not fit of an entry to those before it.
    fn misfit(&self, entry: &JournalEntry) -> Option<BookError> {
        if let Some(other) = self.entry(&entry.id) {
            let error = BookError::new(
                BookErrorKind::Duplicate,
                format!("{} stands twice in the journal", entry.id),
            );
            return Some(if *other == *entry {
                error
                    .with_hint("take one of the two lines out: they are the same")
                    .with_field("id")
            } else {
                error
                    .with_hint("two entries cannot have one identifier: see where they are from")
                    .with_field("id")
            });
        }
        match &entry.after {
            None => None,
            Some(after) if self.by_id.contains_key(after) => None,
            Some(after) => Some(
                BookError::new(
                    BookErrorKind::NoSuchName,
                    format!(
                        "{} comes after {after}, which is not in the journal",
                        entry.id
                    ),
                )
                .with_hint("a line is missing in front of it: look in an older copy of the file")
                .with_field("after"),
            ),
        }
    }
}

#[cfg(test)]
mod tests;
