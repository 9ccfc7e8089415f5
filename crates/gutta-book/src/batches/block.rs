//! Plain rows, many at a time and column by column.
//!
//! # Why by columns?
//!
//! The figures of a column look alike, and a loop over them has no branch in it:
//! the widest registers of the machine take eight fields at once. A loop over a row
//! would take one.

use super::columns::Columns;
use super::figures::{Numbers, ROWS};
use super::number::POWERS;
use super::places::Places;
use super::plain::{Figure, Plain, number};

/// Where the fields and the rows of a piece end.
#[derive(Debug)]
pub struct Block {
    /// Every comma and every line feed.
    ends: Places,
    /// The line feeds among them.
    lines: Places,
}

impl Block {
    pub fn new() -> Self {
        Self {
            ends: Places::new(),
            lines: Places::new(),
        }
    }

    /// Finds the ends of all fields of a text.
    #[inline(always)]
    pub fn mark(&mut self, bytes: &[u8]) {
        Places::find(bytes, &mut self.ends, &mut self.lines);
    }

    /// The end before a place, and the ends of the rows that begin there and end
    /// before `odd`: as many as are worked out together and have all their fields.
    #[inline(always)]
    pub fn rows(&mut self, from: usize, odd: usize, columns: &Columns) -> &[u32] {
        let width = columns.names.len();
        let rows = self.ends.behind(from).chunks_exact(width).take(ROWS);
        let ended = rows.zip(self.lines.behind(from));
        let whole =
            ended.take_while(|(row, line)| row[width - 1] == **line && (**line as usize) < odd);
        let rows = whole.count();
        self.ends.behind_end(from, rows * width)
    }
}

/// The fields of a column, a word each.
#[derive(Debug)]
pub struct Fields {
    words: [u64; ROWS],
    lens: [u64; ROWS],
    digits: [i32; ROWS],
    points: [u64; ROWS],
}

impl Fields {
    pub fn new() -> Self {
        Self {
            words: [0; ROWS],
            lens: [0; ROWS],
            digits: [0; ROWS],
            points: [0; ROWS],
        }
    }

    /// Reads the numbers of the rows with these ends, an end before them; false when
    /// one of them is not plain, or may not be in its range.
    #[inline(always)]
    pub fn numbers(
        &mut self,
        bytes: &[u8],
        ends: &[u32],
        columns: &Columns,
        plain: &Plain,
        numbers: &mut Numbers,
    ) -> bool {
        let width = columns.names.len();
        for (column, role) in columns.roles.iter().enumerate() {
            let Some(number) = *role else { continue };
            let (window, blank) = (plain.window(number), number.may_be_blank());
            let ends = &ends[column..];
            let into = &mut numbers[number as usize];
            self.load(bytes, ends, width);
            if !self.figures(blank, window, into)
                && !Self::one_by_one(bytes, ends, width, blank, window, into)
            {
                return false;
            }
        }
        true
    }

    /// Loads the fields of a column: `ends` has the end before the first of them,
    /// its own, and those of the rows behind it so many further.
    #[inline(always)]
    fn load(&mut self, bytes: &[u8], ends: &[u32], width: usize) {
        let mut rows = 0;
        let places = self.words.iter_mut().zip(&mut self.lens);
        for (row, (word, len)) in ends.chunks(width).zip(places) {
            let [before, end, ..] = row else { break };
            let start = before.wrapping_add(1);
            let behind = bytes.get(start as usize..).unwrap_or_default();
            *word = match behind.first_chunk() {
                Some(eight) => u64::from_le_bytes(*eight),
                None => last_word(behind),
            };
            *len = u64::from(end.wrapping_sub(start));
            rows += 1;
        }
        // What is left over is a row again, so that all loops are as long.
        let last = rows.max(1) - 1;
        let (word, len) = (self.words[last], self.lens[last]);
        self.words[rows..].fill(word);
        self.lens[rows..].fill(len);
    }

    /// The same fields one by one: some are longer than a word.
    #[cold]
    #[inline(never)]
    fn one_by_one(
        bytes: &[u8],
        ends: &[u32],
        width: usize,
        may_be_blank: bool,
        (low, high): (f64, f64),
        into: &mut [f64; ROWS],
    ) -> bool {
        let fields = ends.chunks(width).filter_map(|row| match row {
            [before, end, ..] => bytes.get(before.wrapping_add(1) as usize..*end as usize),
            _ => None,
        });
        for (field, into) in fields.zip(into) {
            match number(field, may_be_blank) {
                Some(x) if (low..=high).contains(&x) => *into = x,
                _ => return false,
            }
        }
        true
    }

    /// Reads the fields that are loaded; false when one is not plain, longer than a
    /// word, or not within the window.
    #[inline(always)]
    fn figures(
        &mut self,
        may_be_blank: bool,
        window: (f64, f64),
        figures: &mut [f64; ROWS],
    ) -> bool {
        let least = u64::from(!may_be_blank);
        let mut odd = 0;
        for i in 0..ROWS {
            let len = self.lens[i];
            let figure = Figure::of(self.words[i], len);
            odd |= figure.odd | u64::from((len < least) | (len > 8));
            self.digits[i] = figure.digits.cast_signed();
            self.points[i] = figure.point;
        }
        // A number is its digits over a power of ten: both are exact, and one
        // division rounds once.
        let point = self.points[0];
        if self.points.iter().fold(0, |all, one| all | (one ^ point)) == 0 {
            let power = POWERS[Figure::behind(point)];
            for (figure, digits) in figures.iter_mut().zip(&self.digits) {
                *figure = f64::from(*digits) / power;
            }
        } else {
            for i in 0..ROWS {
                let power = POWERS[Figure::behind(self.points[i])];
                figures[i] = f64::from(self.digits[i]) / power;
            }
        }
        let (low, high) = window;
        for figure in figures.iter() {
            odd |= u64::from(!((*figure >= low) & (*figure <= high)));
        }
        odd == 0
    }
}

/// The last bytes of a text, which make no whole word.
#[cold]
fn last_word(bytes: &[u8]) -> u64 {
    let mut eight = [0; 8];
    eight[..bytes.len()].copy_from_slice(bytes);
    u64::from_le_bytes(eight)
}
