//! Plain rows, many at a time and column by column.
//!
//! # Why by columns?
//!
//! The figures of a column look alike, so that the processor guesses well what
//! comes; and one short loop a column keeps all that it needs in registers, where
//! one long loop over the row would not.

use super::columns::{Columns, Number};
use super::figures::{Numbers, ROWS};
use super::marks::{BLOCK, marks_of};
use super::number::POWERS;
use super::plain::{Figure, Plain};

/// The places of all marks of a piece: where each comma and each line feed stands.
#[derive(Debug)]
pub struct Block {
    marks: Vec<u32>,
}

impl Block {
    pub fn new() -> Self {
        Self { marks: Vec::new() }
    }

    /// Finds all marks of a text; false when a quote or a carriage return stands
    /// in it, which ask for more care.
    pub fn mark(&mut self, bytes: &[u8]) -> bool {
        self.marks.clear();
        let (blocks, rest) = bytes.as_chunks::<BLOCK>();
        let mut padded = [b'0'; BLOCK];
        padded[..rest.len()].copy_from_slice(rest);
        let mut is_even = true;
        let mut from = 0;
        for block in blocks.iter().chain([&padded]) {
            let mut bits = marks_of(block);
            while bits != 0 {
                let at = bits.trailing_zeros();
                match block[at as usize] {
                    b',' | b'\n' => self.marks.push(from + at),
                    b'"' | b'\r' => is_even = false,
                    _ => {}
                }
                bits &= bits - 1;
            }
            // A piece is far shorter than 4 GiB.
            from = from.wrapping_add(64);
        }
        is_even
    }

    /// The mark from which on those behind a place come.
    pub fn behind(&self, at: usize) -> usize {
        self.marks.partition_point(|mark| (*mark as usize) < at)
    }

    /// The marks of the rows from a mark on, as many as are read together.
    pub fn rows(&self, next: usize, columns: &Columns) -> &[u32] {
        let rest = self.marks.get(next..).unwrap_or_default();
        let width = columns.names.len();
        let rows = (rest.len() / width).min(ROWS);
        &rest[..rows * width]
    }

    /// Reads the numbers of the rows with these marks, the first of which begins
    /// at `from`; false when one of them is not plain, or a number may not be in
    /// its range.
    pub fn read(
        bytes: &[u8],
        from: usize,
        marks: &[u32],
        columns: &Columns,
        plain: &Plain,
        numbers: &mut Numbers,
    ) -> bool {
        let width = columns.names.len();
        let rows = (marks.len() / width).min(ROWS);
        let mut starts = [0; ROWS];
        let mut ends = [0; ROWS];
        // A piece is far shorter than 4 GiB.
        #[allow(clippy::cast_possible_truncation, reason = "the same")]
        let first = from as u32;
        starts[0] = first;
        for (start, row) in starts[1..].iter_mut().zip(marks.chunks_exact(width)) {
            *start = row[width - 1] + 1;
        }
        let mut is_plain = true;
        for (column, role) in columns.roles.iter().enumerate() {
            let separator = if column + 1 < width { b',' } else { b'\n' };
            for (end, row) in ends.iter_mut().zip(marks.chunks_exact(width)) {
                *end = row[column];
                is_plain &= bytes[*end as usize] == separator;
            }
            if let Some(number) = *role {
                let numbers = &mut numbers[number as usize];
                let fields = Fields {
                    bytes,
                    starts: &starts,
                    ends: &ends,
                    rows,
                };
                is_plain &= fields.read(number, plain.window(number), numbers);
            }
            for (start, end) in starts.iter_mut().zip(&ends) {
                *start = *end + 1;
            }
        }
        is_plain
    }
}

/// The fields of a column.
struct Fields<'a> {
    bytes: &'a [u8],
    starts: &'a [u32; ROWS],
    ends: &'a [u32; ROWS],
    rows: usize,
}

impl Fields<'_> {
    /// Reads the numbers; false when one of them is not plain, longer than a word,
    /// or not within the window.
    #[inline(never)]
    fn read(&self, number: Number, (low, high): (f64, f64), numbers: &mut [f64; ROWS]) -> bool {
        let rows = self.rows.min(ROWS);
        let mut digits = [0; ROWS];
        let mut powers = [1.0; ROWS];
        let mut odd = 0;
        for i in 0..rows {
            let start = self.starts[i] as usize;
            let len = self.ends[i].wrapping_sub(self.starts[i]);
            let word = self
                .bytes
                .get(start..start + 8)
                .and_then(|w| w.first_chunk());
            let (Some(word), 1..=8) = (word, len) else {
                if len == 0 && number.may_be_blank() {
                    continue;
                }
                return false;
            };
            let figure = Figure::of(*word, len);
            odd |= figure.odd;
            digits[i] = figure.digits.cast_signed();
            powers[i] = POWERS[figure.behind & 7];
        }
        // A number is its digits over a power of ten: both are exact, and one
        // division rounds once.
        for i in 0..rows {
            let figure = f64::from(digits[i]) / powers[i];
            let is_within = (figure >= low) & (figure <= high);
            odd |= u64::from(!is_within);
            numbers[i] = figure;
        }
        odd == 0
    }
}
