//! What is wrong with a book, with its file, line, column and field.

mod kind;

use std::fmt;

use gutta::ErrorKind;

pub use kind::BookErrorKind;

/// One trouble of a book: where it stands, what it is, what to write instead.
///
/// The message is lower case without a full stop. The hint is not part of it.
#[derive(Clone, PartialEq, Eq)]
pub struct BookError(Box<Trouble>);

#[derive(Clone, PartialEq, Eq)]
struct Trouble {
    kind: BookErrorKind,
    file: String,
    place: Option<FilePlace>,
    field: Option<String>,
    message: String,
    hint: Option<String>,
}

/// Where in a file a trouble stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FilePlace {
    /// The line, the first being 1.
    pub line: usize,
    /// The column in characters, the first being 1.
    pub column: usize,
    /// The whole line, without its line break.
    pub text: String,
    /// Byte offset of the trouble into `text`, on a character boundary.
    pub at: usize,
    /// Length of the trouble in bytes, within `text`; 0 points between
    /// characters.
    pub len: usize,
}

impl BookError {
    pub(crate) fn new(kind: BookErrorKind, message: impl Into<String>) -> Self {
        Self(Box::new(Trouble {
            kind,
            file: String::new(),
            place: None,
            field: None,
            message: message.into(),
            hint: None,
        }))
    }

    /// A quantity's trouble as one of the book's, its place still to be found.
    pub(crate) fn of_quantity(error: &gutta::Error) -> Self {
        let mut own = Self::new(BookErrorKind::Quantity(error.kind()), error.to_string());
        own.0.hint = error.hint().map(str::to_owned);
        own
    }

    pub(crate) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    pub(crate) fn with_field(mut self, field: &str) -> Self {
        self.0.field = Some(field.to_owned());
        self
    }

    pub(crate) fn with_file(mut self, file: &str) -> Self {
        file.clone_into(&mut self.0.file);
        self
    }

    pub(crate) fn with_place(mut self, place: FilePlace) -> Self {
        self.0.place = Some(place);
        self
    }

    /// Which trouble it is.
    pub const fn kind(&self) -> BookErrorKind {
        self.0.kind
    }

    /// A short name of the kind for machines.
    pub const fn kind_name(&self) -> &'static str {
        self.0.kind.name()
    }

    /// The file, as a person would name it.
    pub fn file(&self) -> &str {
        &self.0.file
    }

    /// Where in the file it stands; `None` when the file cannot be read.
    pub fn place(&self) -> Option<&FilePlace> {
        self.0.place.as_ref()
    }

    /// The line, the first being 1.
    pub fn line(&self) -> Option<usize> {
        self.place().map(|p| p.line)
    }

    /// The column in characters, the first being 1.
    pub fn column(&self) -> Option<usize> {
        self.place().map(|p| p.column)
    }

    /// The whole line, without its line break.
    pub fn text(&self) -> Option<&str> {
        self.place().map(|p| p.text.as_str())
    }

    /// Byte offset of the trouble into [`text`](Self::text), on a character
    /// boundary.
    pub fn at(&self) -> Option<usize> {
        self.place().map(|p| p.at)
    }

    /// The field or column that it is about.
    pub fn field(&self) -> Option<&str> {
        self.0.field.as_deref()
    }

    /// What is wrong: lower case, no full stop.
    pub fn message(&self) -> &str {
        &self.0.message
    }

    /// What to write or do instead, where something is known.
    pub fn hint(&self) -> Option<&str> {
        self.0.hint.as_deref()
    }
}

impl fmt::Display for BookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.message)
    }
}

impl fmt::Debug for BookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("BookError")
            .field("kind", &self.0.kind)
            .field("file", &self.0.file)
            .field("place", &self.0.place)
            .field("field", &self.0.field)
            .field("message", &self.0.message)
            .field("hint", &self.0.hint)
            .finish()
    }
}

impl std::error::Error for BookError {}

/// What to say about a name with a character that does not show: nobody could
/// type it.
pub(crate) fn hidden(text: &str, field: &str) -> Option<BookError> {
    text.contains(char::is_control).then(|| {
        let message =
            format!("the {field} has a line break or another character that does not show");
        BookError::new(BookErrorKind::Quantity(ErrorKind::Stray), message).with_field(field)
    })
}

/// Everything that is wrong with a book: at least one trouble. Files come in
/// the order `book.toml`, `scales.toml`, `liquids.toml`, `droppers.toml`,
/// `lots.csv`, `formulas.toml`; within a file it is the order of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BookErrors {
    first: BookError,
    more: Vec<BookError>,
}

impl BookErrors {
    /// The errors as one, or `None` when there are none.
    pub(crate) fn of(errors: Vec<BookError>) -> Option<Self> {
        let mut errors = errors.into_iter();
        Some(Self {
            first: errors.next()?,
            more: errors.collect(),
        })
    }

    pub(crate) const fn one(error: BookError) -> Self {
        Self {
            first: error,
            more: Vec::new(),
        }
    }

    /// The first.
    pub const fn first(&self) -> &BookError {
        &self.first
    }

    /// All of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = &BookError> {
        std::iter::once(&self.first).chain(&self.more)
    }
}

/// The first, where one is all that can be said.
impl From<BookErrors> for BookError {
    fn from(errors: BookErrors) -> Self {
        errors.first
    }
}

/// The message of the first, and how many there are besides.
impl fmt::Display for BookErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.first)?;
        match self.more.len() {
            0 => Ok(()),
            1 => f.write_str(", and one error more"),
            n => write!(f, ", and {n} errors more"),
        }
    }
}

impl std::error::Error for BookErrors {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn error(message: &str) -> BookError {
        BookError::new(BookErrorKind::Syntax, message)
    }

    #[test]
    fn an_error_is_one_word_wide() {
        assert_eq!(size_of::<BookError>(), size_of::<usize>());
    }

    #[test]
    fn a_list_of_errors_says_how_many() {
        assert_eq!(BookErrors::of(Vec::new()), None);
        let said = |n: usize| BookErrors::of(vec![error("a"); n]).unwrap().to_string();
        assert_eq!(said(1), "a");
        assert_eq!(said(2), "a, and one error more");
        assert_eq!(said(4), "a, and 3 errors more");
    }
}
