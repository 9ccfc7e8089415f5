//! Which trouble a file of the book has.

use gutta::ErrorKind;

/// Which trouble it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum BookErrorKind {
    /// The file is not there, or cannot be read.
    File,
    /// What is to be made is there already.
    Taken,
    /// The text is not TOML or not a table of columns.
    Syntax,
    /// The file has another format than this program reads.
    Format,
    /// A field, table or column that is not known.
    UnknownField,
    /// A field or column that must be there is not.
    MissingField,
    /// A number where a text is wanted, and the like.
    WrongType,
    /// A name or a field that stands twice.
    Duplicate,
    /// A name that is not in the book.
    NoSuchName,
    /// A name that is given already.
    Reserved,
    /// A row with more or fewer fields than columns.
    Ragged,
    /// A date that is none.
    Date,
    /// A word where one of a few is wanted.
    UnknownWord,
    /// A quantity that cannot be read or is outside its range.
    Quantity(ErrorKind),
}

impl BookErrorKind {
    /// A short name of the kind for machines: lower case with hyphens. For a
    /// quantity it is that of the quantity's own kind.
    pub const fn name(self) -> &'static str {
        match self {
            Self::File => "file",
            Self::Taken => "taken",
            Self::Syntax => "syntax",
            Self::Format => "format",
            Self::UnknownField => "unknown-field",
            Self::UnknownWord => "unknown-value",
            Self::MissingField => "missing-field",
            Self::WrongType => "wrong-type",
            Self::Duplicate => "duplicate",
            Self::NoSuchName => "no-such-name",
            Self::Reserved => "reserved-name",
            Self::Ragged => "ragged",
            Self::Date => "date",
            Self::Quantity(kind) => kind.name(),
        }
    }
}
