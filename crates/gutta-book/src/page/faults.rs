//! What is wrong with one page, as it is found.

use std::collections::BTreeSet;
use std::ops::Range;

use super::{Page, Written};
use crate::error::{BookError, BookErrorKind};

/// The troubles of one page.
pub(crate) struct Faults<'p> {
    page: &'p Page,
    found: Vec<(usize, BookError)>,
    /// The lines with a slip of the format.
    slips: BTreeSet<usize>,
}

impl<'p> Faults<'p> {
    pub const fn new(page: &'p Page) -> Self {
        Self {
            page,
            found: Vec::new(),
            slips: BTreeSet::new(),
        }
    }

    /// A trouble with a stretch of bytes of the page.
    pub fn add(&mut self, span: &Range<usize>, error: BookError) {
        let placed = self.placed(span, error);
        if placed.line().is_none_or(|line| !self.slips.contains(&line)) {
            self.found.push((span.start, placed));
        }
    }

    /// A slip of the format. Only the first of a line is kept: the others
    /// follow from it, as does whatever else is found there afterwards.
    pub fn add_slip(&mut self, span: &Range<usize>, error: BookError) {
        let placed = self.placed(span, error);
        if placed.line().is_some_and(|line| self.slips.insert(line)) {
            self.found.push((span.start, placed));
        }
    }

    fn placed(&self, span: &Range<usize>, error: BookError) -> BookError {
        error
            .with_file(self.page.file())
            .with_place(self.page.place(span))
    }

    /// A trouble with a value of a field, at its exact place inside the value
    /// where that is known.
    pub fn add_quantity(&mut self, value: &Written<'_>, field: &str, error: &gutta::Error) {
        let span = error
            .place()
            .map_or_else(|| value.whole(), |place| value.part(place.at, place.len));
        self.add(&span, BookError::of_quantity(error).with_field(field));
    }

    /// How many there are so far.
    pub const fn count(&self) -> usize {
        self.found.len()
    }

    /// All of them in the order of the text, which is one of lines that stand each
    /// for itself.
    pub fn line_by_line(mut self) -> Vec<BookError> {
        self.found.sort_by_key(|(at, _)| *at);
        self.found.into_iter().map(|(_, error)| error).collect()
    }

    /// All of them in the order of the text.
    ///
    /// Where the text is not what its format asks for, fields seem to be
    /// missing or out of place that are not: those are left out.
    pub fn in_order(mut self) -> Vec<BookError> {
        let is_broken = self
            .found
            .iter()
            .any(|(_, error)| error.kind() == BookErrorKind::Syntax);
        let follows = |error: &BookError| {
            let kind = error.kind();
            matches!(
                kind,
                BookErrorKind::MissingField | BookErrorKind::UnknownField
            )
        };
        self.found.sort_by_key(|(at, _)| *at);
        self.found
            .into_iter()
            .map(|(_, error)| error)
            .filter(|error| !(is_broken && follows(error)))
            .collect()
    }
}
