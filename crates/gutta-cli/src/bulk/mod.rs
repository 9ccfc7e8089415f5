//! Many batches: a table in, a table of plans out, row by row.
//!
//! The table itself is seen to by the book's `batches`; here it meets the streams
//! and the cores.

mod rejects;

use std::io::{self, Write};

use gutta::measure::Scale;
use gutta_book::batches::{Counts, Piece, Source, Work};

use crate::cores::in_order;
use crate::failure::{Exit, Failure, Outcome};
use crate::resolve::Flag;
use crate::session::Session;
use crate::speak::bulk as say;
use rejects::Rejects;

/// How a table is worked out.
#[derive(Debug)]
pub struct Bulk<'a> {
    /// The scale that the batches were weighed on.
    pub scale: Option<Scale>,
    /// The file that rows that are left out are named in.
    pub rejects: Option<Flag<'a>>,
    /// Whether the first row that is wrong is the last.
    pub is_strict: bool,
    /// Whether troubles are told to a machine.
    pub json: bool,
}

/// Why the work ends before the table does.
enum Stop {
    /// Who reads the answer has had enough.
    Closed,
    /// The first row that is wrong, where none may be.
    Strict,
    Failed(Failure),
}

impl Bulk<'_> {
    /// Works a table through, from the input to the output of the session.
    ///
    /// # Errors
    /// When the table has no such header, cannot be read, or what is answered
    /// cannot be written; a refusal when rows were left out.
    pub fn run(&self, session: &mut Session<'_>) -> Outcome<Exit> {
        if session.is_typed {
            return Err(say::nothing_sent());
        }
        let (clock, is_watched) = (session.clock, session.is_watched && !self.json);
        let begun = clock();
        let folder = session.folder.clone();
        let mut source = Source::new(session.input);
        let mut first = Piece::new();
        source.fill(&mut first).map_err(|e| say::unreadable(&e))?;
        let work = Work::begin(&mut first, self.scale).map_err(|wrong| say::header(&wrong))?;
        let work = work.strict(self.is_strict);
        let mut notes = Notes {
            err: session.err,
            is_silent: self.json,
        };
        for (name, known) in work.slips() {
            notes.add(&say::slip(name, known));
        }
        let mut rejects = Rejects::new(self, &folder)?;
        let mut progress = Progress { begun, shown: None };
        let mut counts = Counts::default();
        let heading = work.heading();
        let out = &mut *session.out;
        let ended = written(out.write_all(&heading)).and_then(|()| {
            in_order(
                first,
                Piece::new,
                |piece| {
                    source
                        .fill(piece)
                        .map_err(|e| Stop::Failed(say::unreadable(&e)))
                },
                |piece| work.on(piece),
                |piece| {
                    written(out.write_all(piece.written()))?;
                    if !piece.rejects().is_empty() {
                        progress.clear(&mut notes);
                    }
                    let named = rejects.add(piece.rejects(), counts.lines, &mut notes);
                    named.map_err(Stop::Failed)?;
                    counts.add(piece.counts());
                    if is_watched {
                        progress.show(clock(), counts, &mut notes);
                    }
                    if self.is_strict && counts.left_out > 0 {
                        return Err(Stop::Strict);
                    }
                    Ok(())
                },
            )
        });
        progress.clear(&mut notes);
        let ended = match ended {
            Ok(()) | Err(Stop::Strict) => written(out.flush()),
            other => other,
        };
        match ended {
            Ok(()) | Err(Stop::Strict) => rejects.end(counts, &mut notes),
            Err(Stop::Closed) => Ok(Exit::Answered),
            Err(Stop::Failed(failure)) => Err(failure),
        }
    }
}

/// Whether it was written, or why the work ends here. A closed pipe is no error:
/// who reads has had enough.
fn written(result: io::Result<()>) -> Result<(), Stop> {
    result.map_err(|error| match error.kind() {
        io::ErrorKind::BrokenPipe => Stop::Closed,
        _ => Stop::Failed(Failure::unwritten(&error)),
    })
}

/// The stream beside the answer.
struct Notes<'a> {
    err: &'a mut dyn Write,
    /// Whether it is kept for one object at the end.
    is_silent: bool,
}

impl Notes<'_> {
    /// Writes a text as it is. Where the stream is closed nobody is left to be
    /// told.
    fn put(&mut self, text: &str) {
        if !self.is_silent {
            let _ = self.err.write_all(text.as_bytes());
        }
    }

    /// Writes an object for a machine.
    fn tell(&mut self, object: &serde_json::Value) {
        let _ = writeln!(self.err, "{object}");
    }

    /// Writes a remark on a line of its own.
    fn add(&mut self, remark: &str) {
        self.put(&format!("gutta bulk: {remark}\n"));
    }
}

/// After how many seconds a run is long enough to say how far it is, and how
/// often.
const SOON: f64 = 1.0;
const OFTEN: f64 = 0.2;

/// How far a long run is, on one line of a terminal.
struct Progress {
    begun: f64,
    /// When it was said last.
    shown: Option<f64>,
}

impl Progress {
    fn show(&mut self, now: f64, counts: Counts, notes: &mut Notes<'_>) {
        let next = self.shown.map_or(self.begun + SOON, |shown| shown + OFTEN);
        if now < next {
            return;
        }
        let said = say::progress(counts.answered + counts.left_out, now - self.begun);
        notes.put(&format!("\r\u{1b}[K{said}"));
        self.shown = Some(now);
    }

    /// Takes the line off the terminal again.
    fn clear(&mut self, notes: &mut Notes<'_>) {
        if self.shown.is_some() {
            notes.put("\r\u{1b}[K");
        }
    }
}
