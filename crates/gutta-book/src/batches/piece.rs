//! A piece of a table: some whole rows, and what was made of them.

use super::block::{Block, Fields};
use super::careful::Careful;
use super::columns::NUMBERS;
use super::figures::{Answers, Numbers, ROWS};
use super::written::Page;
use super::wrong::{Wrong, shortened};

/// Rows of a table, and what was made of them. It is filled by a
/// [`Source`](super::Source) and worked out by [`Work`](super::Work), again and
/// again.
#[derive(Debug)]
pub struct Piece {
    /// The rows, each whole.
    pub(super) bytes: Vec<u8>,
    /// Where the first of them begins that is not worked out yet.
    pub(super) from: usize,
    /// Whether the last line ending is not the table's own.
    pub(super) is_cut: bool,
    /// The rows that are answered.
    pub(super) out: Page,
    /// Rows that are not.
    pub(super) rejects: Vec<Reject>,
    /// What was counted.
    pub(super) counts: Counts,
    pub(super) careful: Careful,
    pub(super) block: Block,
    pub(super) fields: Box<Fields>,
    pub(super) numbers: Box<Numbers>,
    pub(super) answers: Box<Answers>,
}

/// What is counted of the rows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Counts {
    /// Lines that ended.
    pub lines: u64,
    /// Rows that were answered.
    pub answered: u64,
    /// Of these, rows that want no water.
    pub at_target: u64,
    /// Rows that were left out.
    pub left_out: u64,
}

impl Counts {
    /// Counts rows that were answered, by whether they want water.
    pub(super) fn count(&mut self, are_dry: &[bool]) {
        self.answered += are_dry.len() as u64;
        self.at_target += are_dry.iter().filter(|is_dry| !**is_dry).count() as u64;
    }

    /// Adds those of the next piece.
    pub fn add(&mut self, next: Self) {
        self.lines += next.lines;
        self.answered += next.answered;
        self.at_target += next.at_target;
        self.left_out += next.left_out;
    }
}

/// A row that is left out, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reject {
    /// The line that it begins on, from 1; within its piece.
    pub line: u64,
    /// What is wrong.
    pub wrong: Wrong,
    /// What names the row.
    pub id: String,
    /// What stands in the column.
    pub text: String,
}

impl Reject {
    pub(super) fn new(wrong: Wrong, id: &str, text: &[u8]) -> Self {
        let text = String::from_utf8_lossy(text);
        Self {
            line: 0,
            wrong,
            id: shortened(id.trim()),
            text: shortened(text.trim()),
        }
    }
}

impl Piece {
    /// Nothing yet.
    pub fn new() -> Self {
        Self {
            bytes: Vec::new(),
            from: 0,
            is_cut: false,
            out: Page::default(),
            rejects: Vec::new(),
            counts: Counts::default(),
            careful: Careful::new(),
            block: Block::new(),
            fields: Box::new(Fields::new()),
            numbers: Box::new([[0.0; ROWS]; NUMBERS]),
            answers: Box::new(Answers::new()),
        }
    }

    /// The rows that are answered, as CSV.
    pub fn written(&self) -> &[u8] {
        self.out.written()
    }

    /// The rows that are left out, in their order.
    pub fn rejects(&self) -> &[Reject] {
        &self.rejects
    }

    /// What was counted. Of the first piece the header's lines are among them.
    pub const fn counts(&self) -> Counts {
        self.counts
    }
}

impl Default for Piece {
    fn default() -> Self {
        Self::new()
    }
}
