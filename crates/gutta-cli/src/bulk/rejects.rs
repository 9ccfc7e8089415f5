//! Where rows are named that are left out.

use std::path::Path;

use gutta_book::TableFile;
use gutta_book::batches::{Counts, Reject};

use super::{Bulk, Notes};
use crate::failure::{Exit, Failure, Outcome};
use crate::resolve::Flag;
use crate::speak::bulk as say;

/// How many rows are told to a machine: one object is kept until the end, and
/// must not grow with them.
const MOST_TOLD: usize = 100;

/// The rows that are left out.
pub struct Rejects<'a> {
    file: Option<(Flag<'a>, TableFile)>,
    /// The first of them: for a machine as many as are told, else the one that
    /// strictness stops at.
    first: Vec<Failure>,
    is_strict: bool,
    json: bool,
}

impl<'a> Rejects<'a> {
    /// No rows yet, the file begun where one is named.
    pub fn new(bulk: &Bulk<'a>, folder: &Path) -> Outcome<Self> {
        let file = bulk.rejects.map(|flag| {
            let file = TableFile::create(&folder.join(flag.text), say::REJECTS_HEADING);
            file.map(|file| (flag, file)).map_err(|error| {
                let failure = flag.wrong("io", error.to_string());
                failure.hint(error.hint().unwrap_or_default())
            })
        });
        Ok(Self {
            file: file.transpose()?,
            first: Vec::new(),
            is_strict: bulk.is_strict,
            json: bulk.json,
        })
    }

    /// Names the rows of a piece that has so many lines before it.
    pub fn add(&mut self, rows: &[Reject], before: u64, notes: &mut Notes<'_>) -> Outcome<()> {
        let mut said = String::new();
        for row in rows {
            let line = before + row.line;
            let is_told = self.json && self.first.len() < MOST_TOLD;
            if is_told || (self.is_strict && self.first.is_empty()) {
                self.first.push(say::reject(row, line));
            }
            match &mut self.file {
                Some((flag, file)) => file
                    .add(&say::reject_cells(row, line))
                    .map_err(|error| unwritten(*flag, &error))?,
                // Strictness says it once, at the end.
                None if self.is_strict => {}
                None => said += &say::reject_line(row, line),
            }
        }
        notes.put(&said);
        Ok(())
    }

    /// All rows are seen to: what is to be said of them.
    pub fn end(mut self, counts: Counts, notes: &mut Notes<'_>) -> Outcome<Exit> {
        let named_in = self.file.as_ref().map(|(flag, _)| flag.text);
        if let Some((flag, file)) = self.file {
            file.end().map_err(|error| unwritten(flag, &error))?;
        }
        if self.is_strict && counts.left_out > 0 {
            return Err(self.first.remove(0));
        }
        if let Some(remark) = say::no_water(counts) {
            notes.add(&remark);
        }
        if counts.left_out == 0 {
            if self.json {
                notes.tell(&say::counts(counts));
            }
            return Ok(Exit::Answered);
        }
        let left_out = say::left_out(counts, named_in);
        if self.first.is_empty() {
            return Err(left_out);
        }
        // The first is the trouble; the others and the count go beside it.
        let mut others = self.first.split_off(1);
        others.push(left_out);
        Err(self.first.remove(0).with_more(others))
    }
}

fn unwritten(flag: Flag<'_>, error: &std::io::Error) -> Failure {
    flag.wrong("io", format!("this file cannot be written: {error}"))
        .hint("make room, or name another file")
}
