//! A value as it is written in a file.

use std::borrow::Cow;
use std::ops::Range;

/// A text value with its place in the file.
#[derive(Clone, Debug)]
pub(crate) struct Written<'p> {
    value: Cow<'p, str>,
    /// The value in the file, with what encloses it.
    span: Range<usize>,
    /// Where the value begins in the file when it stands there letter for
    /// letter; an escape or a doubled quote makes that untrue.
    inside: Option<usize>,
}

impl<'p> Written<'p> {
    /// A value that stands between `span` of `text`, the first and last
    /// `enclosed` bytes of which are quotes.
    pub fn new(value: Cow<'p, str>, text: &str, span: Range<usize>, enclosed: usize) -> Self {
        let start = span.start + enclosed;
        let inner = span
            .end
            .checked_sub(enclosed)
            .and_then(|end| text.get(start..end));
        let inside = (inner == Some(&*value)).then_some(start);
        Self {
            value,
            span,
            inside,
        }
    }

    /// The same without blanks at either end.
    pub fn trimmed(self) -> Self {
        let blanks = self.value.len() - self.value.trim_start().len();
        Self {
            inside: self.inside.map(|at| at + blanks),
            value: match self.value {
                Cow::Borrowed(value) => Cow::Borrowed(value.trim()),
                Cow::Owned(value) => Cow::Owned(value.trim().to_owned()),
            },
            span: self.span,
        }
    }

    pub fn value(&self) -> &str {
        &self.value
    }

    /// The place of the value without what encloses it, where it stands there
    /// letter for letter.
    pub fn whole(&self) -> Range<usize> {
        self.part(0, self.value.len())
    }

    /// The place of a part of the value, or of all of it with what encloses it.
    pub fn part(&self, at: usize, len: usize) -> Range<usize> {
        self.inside
            .map_or_else(|| self.span.clone(), |start| start + at..start + at + len)
    }
}
