//! A table as it comes in, cut into pieces of whole rows.

use std::io::{self, Read};

use super::careful::Careful;
use super::piece::{Counts, Piece};

/// How much is read at once.
const PIECE: usize = 1 << 18;

/// The longest row that is waited for.
const LONGEST: usize = 1 << 20;

/// A table that is read piece by piece.
pub struct Source<'a> {
    input: &'a mut dyn Read,
    /// What was read behind the last whole row.
    tail: Vec<u8>,
    is_done: bool,
    careful: Careful,
}

impl<'a> Source<'a> {
    /// A table from its beginning.
    pub fn new(input: &'a mut dyn Read) -> Self {
        Self {
            input,
            tail: Vec::new(),
            is_done: false,
            careful: Careful::new(),
        }
    }

    /// Fills a piece with the next whole rows; false when there are none.
    ///
    /// # Errors
    /// When the table cannot be read.
    pub fn fill(&mut self, piece: &mut Piece) -> io::Result<bool> {
        let bytes = &mut piece.bytes;
        piece.from = 0;
        piece.is_cut = false;
        piece.counts = Counts::default();
        bytes.clear();
        bytes.append(&mut self.tail);
        bytes.reserve(PIECE);
        let mut wanted = PIECE;
        loop {
            self.read(bytes, wanted)?;
            if self.is_done {
                if bytes.last().is_some_and(|last| *last != b'\n') {
                    bytes.push(b'\n');
                }
                return Ok(!bytes.is_empty());
            }
            let mut end = self.last_row(bytes);
            if end == 0 && bytes.len() >= LONGEST {
                // A quote that is never closed, or no lines at all.
                end = behind_last(bytes, b'\n');
                if end == 0 {
                    bytes.push(b'\n');
                    piece.is_cut = true;
                    return Ok(true);
                }
            }
            if end > 0 {
                self.tail.extend_from_slice(&bytes[end..]);
                bytes.truncate(end);
                return Ok(true);
            }
            wanted = (bytes.len() * 2).min(LONGEST);
        }
    }

    /// Reads until there are `wanted` bytes, or there are no more.
    fn read(&mut self, bytes: &mut Vec<u8>, wanted: usize) -> io::Result<()> {
        while bytes.len() < wanted && !self.is_done {
            let missing = (wanted - bytes.len()) as u64;
            // Into room that is there already, without zeros put in before.
            match (&mut *self.input).take(missing).read_to_end(bytes) {
                Ok(read) => self.is_done = read == 0,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// Behind the last row that is whole; 0 when none is.
    fn last_row(&mut self, bytes: &[u8]) -> usize {
        if memchr::memchr(b'"', bytes).is_none() {
            return behind_last(bytes, b'\n');
        }
        // Where a line ends within quotes a row does not: from the beginning,
        // which is that of a row.
        let mut end = 0;
        while let Some(len) = self.careful.read(&bytes[end..]) {
            end += len;
        }
        end
    }
}

fn behind_last(bytes: &[u8], byte: u8) -> usize {
    memchr::memrchr(byte, bytes).map_or(0, |last| last + 1)
}
