//! What a journal says that cannot be, and what somebody wrote in it.

use std::path::Path;

use super::entry::value_of;
use super::{JOURNAL, Journal, JournalEntry, field, kind};
use crate::error::{BookError, BookErrorKind, BookErrors};

/// What can be said to an entry that cannot be.
const VOID_IT: &str =
    "say with gutta journal void which entry is not to be counted, and write it down anew";

impl Journal {
    /// Reads the journal of a book and follows all that it tells of.
    ///
    /// # Errors
    /// As [`read`](Self::read); and all of [`faults`](Self::faults).
    pub fn checked(dir: &Path) -> Result<Self, BookErrors> {
        let journal = Self::read(dir)?;
        match BookErrors::of(journal.faults()) {
            Some(errors) => Err(errors),
            None => Ok(journal),
        }
    }

    /// What cannot be, in the order of the file: an entry that lacks a figure, one of
    /// a jar that was not filled, more taken than was there. One for each jar and
    /// lot: what comes after follows from it.
    pub fn faults(&self) -> Vec<BookError> {
        let jars = self.jars_found();
        let lots = self.lots_found();
        let mut faults: Vec<BookError> = Vec::new();
        faults.extend(jars.wrong.into_iter().map(|wrong| wrong.error));
        faults.extend(lots.wrong.into_iter().map(|wrong| wrong.error));
        for jar in jars.sound {
            if let Some((number, error)) = jar.history.fault() {
                faults.push(self.cannot_be(&jar.entries, number, &jar.name, &error));
            }
        }
        for lot in lots.sound {
            if let Some((number, error)) = lot.history.fault() {
                faults.push(self.cannot_be(&lot.entries, number, &lot.name, &error));
            }
        }
        faults.extend(self.makings().err());
        for (number, entry) in self.counted_at() {
            faults.extend(entry.due().err().map(|fault| self.placed(number, fault)));
        }
        faults.sort_by_key(BookError::line);
        faults
    }

    fn cannot_be(
        &self,
        entries: &[usize],
        step: usize,
        name: &str,
        error: &gutta::Error,
    ) -> BookError {
        let number = entries.get(step).copied().unwrap_or_default();
        let entry = self.entries.get(number);
        let id = entry.map(|entry| entry.id.to_string()).unwrap_or_default();
        let fault = BookError::new(
            BookErrorKind::Quantity(error.kind()),
            format!("entry {id}, {name}: {error}"),
        );
        let by = |field: &&&str| entry.is_some_and(|entry| entry.text(field).is_some());
        let figures = [field::GROSS, field::MASS];
        let fault = match figures.iter().find(by) {
            Some(figure) => fault.with_field(figure),
            None => fault,
        };
        self.placed(number, fault.with_hint(VOID_IT))
    }

    /// What is doubtful in a journal that is sound, in words.
    pub fn doubts(&self) -> Vec<String> {
        let mut doubts = Vec::new();
        for entry in &self.entries {
            if !entry.is_as_written() {
                doubts.push(format!(
                    "entry {} was changed after it was written: its identifier is that of other words",
                    entry.id
                ));
            }
            doubts.extend(self.doubt_of_void(entry));
        }
        doubts
    }

    fn doubt_of_void(&self, entry: &JournalEntry) -> Option<String> {
        let of = entry.text(field::OF).filter(|_| entry.kind == kind::VOID)?;
        let voided = of.parse().ok().and_then(|id| self.entry(&id));
        match voided {
            None => Some(format!(
                "entry {} makes void {of}, which is not in the journal",
                entry.id
            )),
            Some(other) if other.kind == kind::VOID => Some(format!(
                "entry {} makes void {of}, which is such an entry itself: what {of} made void stays so",
                entry.id
            )),
            Some(_) => None,
        }
    }

    /// An error with the place of an entry: that of the field it is about, where the
    /// entry has it.
    pub(super) fn placed(&self, number: usize, error: BookError) -> BookError {
        let place = self.page.as_ref().zip(self.spans.get(number));
        let Some((page, span)) = place else {
            // It is only supposed.
            return error.with_file(JOURNAL);
        };
        let line = page.slice(span);
        let of_field = error.field().and_then(|field| value_of(line, field));
        let part = of_field.unwrap_or(0..line.len());
        let part = span.start + part.start..span.start + part.end;
        error.with_file(page.file()).with_place(page.place(&part))
    }
}
