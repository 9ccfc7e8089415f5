//! What a command answers when it cannot: with place, hint and exit code.

use gutta::Error;

/// How a run of the program ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Answered; a caution does not change that.
    Answered,
    /// Well said, and cannot or should not be done.
    Refused,
    /// It cannot be read, or no such thing exists.
    Unreadable,
}

impl Exit {
    /// The process exit code: 0, 1 or 2.
    pub const fn code(self) -> u8 {
        match self {
            Self::Answered => 0,
            Self::Refused => 1,
            Self::Unreadable => 2,
        }
    }
}

/// A trouble as the program reports it.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure(Box<Report>);

/// The parts of a report, as JSON names them.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Whether it ends with 1 or with 2.
    pub exit: Exit,
    /// A short name of the kind, lower case with hyphens.
    pub kind: String,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// What to type instead.
    pub hint: Option<String>,
    /// The flag or argument it is about.
    pub flag: Option<String>,
    /// What people call it, where that is not how the flag is named.
    pub called: Option<String>,
    /// The text that holds the trouble.
    pub text: Option<String>,
    /// Byte offset of the trouble into `text`.
    pub at: Option<usize>,
    /// Length of the trouble in bytes.
    pub len: usize,
    /// The file it stands in.
    pub file: Option<String>,
    /// The line in the file, from 1.
    pub line: Option<usize>,
    /// The column in characters, from 1.
    pub column: Option<usize>,
    /// The field in the file.
    pub field: Option<String>,
    /// The other troubles of the same files.
    pub more: Vec<Failure>,
}

impl Failure {
    /// A trouble that ends with exit code 2.
    pub fn unreadable(kind: &str, message: impl Into<String>) -> Self {
        Self(Box::new(Report {
            exit: Exit::Unreadable,
            kind: kind.to_owned(),
            message: message.into(),
            hint: None,
            flag: None,
            called: None,
            text: None,
            at: None,
            len: 0,
            file: None,
            line: None,
            column: None,
            field: None,
            more: Vec::new(),
        }))
    }

    /// A request that is understood and declined: exit code 1.
    pub fn refused(message: impl Into<String>) -> Self {
        let mut failure = Self::unreadable("refused", message);
        failure.0.exit = Exit::Refused;
        failure
    }

    /// A flag that the question needs and that was not given.
    pub fn missing(flag: &str, message: impl Into<String>) -> Self {
        Self::unreadable("missing", message).about(flag)
    }

    /// Two flags that do not go together; the second is the one pointed at.
    pub fn clash(one: &str, other: &str, hint: &str) -> Self {
        Self::unreadable("clash", format!("{one} and {other} do not go together"))
            .about(other)
            .hint(hint)
    }

    /// An answer that its stream does not take.
    pub fn unwritten(error: &std::io::Error) -> Self {
        Self::unreadable("io", format!("the answer cannot be written: {error}"))
            .hint("make room, or send the answer elsewhere")
    }

    /// The same with what to type instead.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    /// The same about a flag.
    #[must_use]
    pub fn about(mut self, flag: &str) -> Self {
        self.0.flag = Some(flag.to_owned());
        self
    }

    /// The same with what people call the thing that it is about.
    #[must_use]
    pub fn called(mut self, name: impl Into<String>) -> Self {
        self.0.called = Some(name.into());
        self
    }

    /// The same pointing into a text.
    #[must_use]
    pub fn pointing(mut self, text: &str, at: usize, len: usize) -> Self {
        self.0.text = Some(text.to_owned());
        self.0.at = Some(at);
        self.0.len = len;
        self
    }

    /// The same with the other troubles of its files.
    #[must_use]
    pub fn with_more(mut self, more: Vec<Self>) -> Self {
        self.0.more = more;
        self
    }

    /// The parts of the report.
    pub fn report(&self) -> &Report {
        &self.0
    }

    /// The parts of the report, to be filled in.
    pub fn report_mut(&mut self) -> &mut Report {
        &mut self.0
    }
}

/// What the library says, without a flag yet.
impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        let mut failure = Self::unreadable(error.kind().name(), error.to_string());
        if error.is_refusal() {
            failure.0.exit = Exit::Refused;
        }
        failure.0.hint = error.hint().map(str::to_owned);
        match error.place() {
            Some(place) => failure.pointing(&place.text, place.at, place.len),
            None => failure,
        }
    }
}

/// The result of anything the program does.
pub type Outcome<T> = Result<T, Failure>;
