//! What can go wrong, with its data and its place.
//!
//! # Why one error for the whole library?
//!
//! A caller wants to know three things: is the input unreadable or is the
//! request refused, where does it stand, and what to type instead. One opaque
//! type, one word wide, answers them for every function; [`Error::kind`] says
//! which of the known troubles it is.

use std::fmt;

/// The result of anything in this library that can fail.
pub type Result<T> = std::result::Result<T, Error>;

/// A trouble with its kind, its message, its hint and, for text, its place.
///
/// The message is lower case without a full stop. The hint is not part of it:
/// it says what to type next.
#[derive(Clone, PartialEq, Eq)]
pub struct Error(Box<Trouble>);

#[derive(Clone, PartialEq, Eq)]
struct Trouble {
    kind: ErrorKind,
    message: String,
    hint: Option<String>,
    place: Option<Place>,
}

/// Which trouble it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ErrorKind {
    /// The text is empty where a quantity was expected.
    Empty,
    /// The number cannot be read, or can be read in two ways.
    Number,
    /// A number without a unit.
    NoUnit,
    /// A unit that is not known.
    UnknownUnit,
    /// A unit that has two readings.
    AmbiguousUnit,
    /// A known unit of another kind than the one asked for.
    WrongKind,
    /// The doubt after `±`, or the range, cannot be read.
    Doubt,
    /// Something stands in the text that belongs to no quantity.
    Stray,
    /// A number outside what can be meant: it is not read.
    OutOfRange,
    /// Well said, and not to be done: outside what is sensible.
    Refused,
    /// A composition that is not one.
    Composition,
    /// Something that the question needs was not given.
    Missing,
}

impl ErrorKind {
    /// A short name of the kind for machines: lower case with hyphens.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::Number => "number",
            Self::NoUnit => "no-unit",
            Self::UnknownUnit => "unknown-unit",
            Self::AmbiguousUnit => "ambiguous-unit",
            Self::WrongKind => "wrong-kind",
            Self::Doubt => "doubt",
            Self::Stray => "stray",
            Self::OutOfRange => "out-of-range",
            Self::Refused => "refused",
            Self::Composition => "composition",
            Self::Missing => "missing",
        }
    }
}

/// Where in a text the trouble stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The whole text as it was given.
    pub text: String,
    /// Byte offset of the trouble into `text`, on a character boundary.
    pub at: usize,
    /// Length of the trouble in bytes; 0 points between characters.
    pub len: usize,
}

impl Error {
    /// An error of a kind with its message: lower case, no full stop.
    pub fn new(kind: ErrorKind, message: impl Into<String>) -> Self {
        Self(Box::new(Trouble {
            kind,
            message: message.into(),
            hint: None,
            place: None,
        }))
    }

    /// The same error with a hint: what to type instead.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    /// The same error with its place in a text.
    #[must_use]
    pub fn with_place(mut self, text: &str, at: usize, len: usize) -> Self {
        self.0.place = Some(Place {
            text: text.to_owned(),
            at,
            len,
        });
        self
    }

    /// Which trouble it is.
    pub const fn kind(&self) -> ErrorKind {
        self.0.kind
    }

    /// What to type or do instead, where something is known.
    pub fn hint(&self) -> Option<&str> {
        self.0.hint.as_deref()
    }

    /// Where in the text the trouble stands, when it came from a text.
    pub fn place(&self) -> Option<&Place> {
        self.0.place.as_ref()
    }

    /// Whether the request was understood and is declined, as against a text
    /// or a number that cannot be read.
    pub const fn is_refusal(&self) -> bool {
        matches!(self.0.kind, ErrorKind::Refused)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.message)
    }
}

impl fmt::Debug for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Error")
            .field("kind", &self.0.kind)
            .field("message", &self.0.message)
            .field("hint", &self.0.hint)
            .field("place", &self.0.place)
            .finish()
    }
}

impl std::error::Error for Error {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_is_one_word_wide() {
        assert_eq!(size_of::<Error>(), size_of::<usize>());
        assert_eq!(size_of::<Result<()>>(), size_of::<usize>());
    }
}
