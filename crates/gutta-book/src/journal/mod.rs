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
//! # Why is nothing ever changed?
//!
//! A record that can be rewritten is none. What was wrong is said to be so by a
//! later entry.

mod entry;
mod making;
mod read;

use std::collections::HashMap;
use std::path::Path;

use gutta::blend::record::Identifier;

pub use entry::{JournalEntry, NewEntry, moment_text, read_moment};
pub use making::{
    DeviationDone, LeafDone, LiquidDone, MakingKind, MakingRecord, PlanLine, ScoreDone, WeighedDone,
};
pub use read::{JarRecord, LotRecord, field, kind};

use crate::error::{BookError, BookErrorKind, BookErrors};
use crate::page::Faults;
use crate::store;

/// The file of the journal, in the folder of the book.
pub const JOURNAL: &str = "journal.jsonl";

/// A journal, read and checked.
#[derive(Clone, Debug, Default)]
pub struct Journal {
    entries: Vec<JournalEntry>,
    by_id: HashMap<Identifier, usize>,
    torn: Option<String>,
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
        let path = dir.join(JOURNAL);
        let Some(lines) = store::lines(&path).map_err(BookErrors::one)? else {
            return Ok(Self::default());
        };
        let mut faults = Faults::new(&lines.page);
        let mut journal = Self {
            torn: lines.torn,
            ..Self::default()
        };
        let mut at = 0;
        for line in lines.page.text().split_inclusive('\n') {
            let span = at..at + line.trim_end_matches(['\n', '\r']).len();
            at += line.len();
            match entry::read(line.trim_end_matches(['\n', '\r'])) {
                Ok(Some(entry)) => {
                    if let Some(error) = journal.misfit(&entry) {
                        faults.add(&span, error);
                    }
                    journal.put(entry);
                }
                Ok(None) => {}
                Err((column, error)) => {
                    faults.add(&(span.start + column.min(span.len())..span.end), error);
                }
            }
        }
        match BookErrors::of(faults.in_order()) {
            Some(errors) => Err(errors),
            None => Ok(journal),
        }
    }

    /// Adds entries at the end of the journal of a book, all of them or none. Once
    /// this has answered they are on the disk.
    ///
    /// # Errors
    /// When the folder is no book, the journal cannot be written, or its last line
    /// is no entry: nothing is added to a journal that is broken.
    pub fn add(dir: &Path, entries: &[NewEntry]) -> Result<Added, BookError> {
        store::folder(dir)?;
        let path = dir.join(JOURNAL);
        let mut ids = Vec::with_capacity(entries.len());
        let appended = store::append(&path, |last| {
            let mut after = last.map(|line| last_id(line, &path)).transpose()?.flatten();
            let mut text = if last.is_none() {
                entry::HEADER.to_owned()
            } else {
                String::new()
            };
            for entry in entries {
                let (id, line) = entry.line(after.as_ref());
                text += &line;
                ids.push(id.clone());
                after = Some(id);
            }
            Ok(text)
        })?;
        Ok(Added {
            ids,
            torn: appended.torn,
        })
    }

    /// The journal as it would be with an entry more; nothing is written.
    pub fn suppose(&mut self, entry: &NewEntry) {
        let after = self.entries.last().map(|last| last.id.clone());
        let (id, _) = entry.line(after.as_ref());
        self.put(JournalEntry {
            id,
            after,
            at: entry.at,
            kind: entry.kind.clone(),
            fields: entry.fields.clone(),
        });
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
            None if self.entries.is_empty() => None,
            None => Some(
                BookError::new(
                    BookErrorKind::MissingField,
                    format!("{} does not say which entry it comes after", entry.id),
                )
                .with_hint("only the first entry comes after none")
                .with_field("after"),
            ),
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

/// The identifier of the last line; none of a header.
fn last_id(line: &str, path: &Path) -> Result<Option<Identifier>, BookError> {
    match entry::read(line.trim_end_matches('\r')) {
        Ok(Some(entry)) => Ok(Some(entry.id)),
        Ok(None) => Ok(None),
        Err((_, error)) => Err(error.with_file(&path.display().to_string())),
    }
}

#[cfg(test)]
mod tests;
