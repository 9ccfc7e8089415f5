//! What a run of the program has of the world: streams and a folder.

use std::io::{self, BufRead, Write};
use std::path::PathBuf;

/// The streams of one run, and where it stands.
pub struct Session<'a> {
    /// What is sent in: a table, or answers to questions.
    pub input: &'a mut dyn BufRead,
    /// Whether it is typed by hand, and not sent from a file or a program.
    pub is_typed: bool,
    /// Where the answer goes, and nothing else.
    pub out: &'a mut dyn Write,
    /// Where everything else goes.
    pub err: &'a mut dyn Write,
    /// Whether somebody watches the other stream.
    pub is_watched: bool,
    /// Seconds that have gone by since some beginning.
    pub clock: fn() -> f64,
    /// Whether the answer may be styled.
    pub styled: bool,
    /// The folder that a bench book is looked for from, upwards.
    pub folder: PathBuf,
    /// The moment of this run, as seconds since the beginning of 1970 in UTC.
    pub now: i64,
}

impl Session<'_> {
    /// Writes an answer. A closed pipe is no error: who reads has had enough.
    ///
    /// # Errors
    /// When the stream cannot be written for another reason.
    pub fn answer(&mut self, text: &str) -> io::Result<()> {
        let written = self
            .out
            .write_all(text.as_bytes())
            .and_then(|()| self.out.flush());
        match written {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            other => other,
        }
    }

    /// The next line of the input, without its end; none where there is no more.
    ///
    /// # Errors
    /// When it cannot be read, or is no text in UTF-8.
    pub fn ask(&mut self) -> io::Result<Option<String>> {
        let mut line = String::new();
        let read = self.input.read_line(&mut line)?;
        Ok((read > 0).then(|| line.trim_end_matches(['\n', '\r']).to_owned()))
    }

    /// Writes to the error stream; when that is closed too nobody is left to
    /// be told.
    pub fn complain(&mut self, text: &str) {
        let _ = self
            .err
            .write_all(text.as_bytes())
            .and_then(|()| self.err.flush());
    }
}
