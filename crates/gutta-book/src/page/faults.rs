//! What is wrong with one page, as it is found.

use std::ops::Range;

use super::{Page, Written};
use crate::error::{BookError, BookErrorKind};

/// The troubles of one page.
pub(crate) struct Faults<'p> {
    page: &'p Page,
    found: Vec<(usize, BookError)>,
}

impl<'p> Faults<'p> {
    pub const fn new(page: &'p Page) -> Self {
        Self {
            page,
            found: Vec::new(),
        }
    }

    /// A trouble with a stretch of bytes of the page.
    pub fn add(&mut self, span: &Range<usize>, error: BookError) {
        let placed = error
            .with_file(self.page.file())
            .with_place(self.page.place(span));
        self.found.push((span.start, placed));
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

    /// All of them in the order of the text.
    ///
    /// A slip of the format itself makes others that are none: what stands on
    /// its line, and fields that seem to be missing or out of place. They are
    /// left out.
    pub fn in_order(mut self) -> Vec<BookError> {
        self.found.sort_by_key(|(at, _)| *at);
        let slips: Vec<usize> = self
            .found
            .iter()
            .filter(|(_, error)| error.kind() == BookErrorKind::Syntax)
            .filter_map(|(_, error)| error.line())
            .collect();
        let mut last_slip = None;
        self.found
            .into_iter()
            .map(|(_, error)| error)
            .filter(|error| match error.kind() {
                BookErrorKind::Syntax => {
                    let is_first = last_slip != error.line();
                    last_slip = error.line();
                    is_first
                }
                BookErrorKind::MissingField | BookErrorKind::UnknownField => slips.is_empty(),
                _ => error
                    .line()
                    .is_none_or(|line| slips.binary_search(&line).is_err()),
            })
            .collect()
    }
}
