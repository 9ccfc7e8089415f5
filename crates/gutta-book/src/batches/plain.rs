//! Plain rows, by the shortest way: no quotes, digits where there are numbers.
//!
//! # Why a second reader?
//!
//! A table of ten million batches is plain from end to end, and a reader of all
//! that CSV can be costs more than the sums. What is not plain is left to that
//! one: a row is read here whole or not at all, and a test holds that both read
//! the same.
//!
//! # Why eight bytes at once?
//!
//! A figure is about five bytes long. Byte by byte its end is a branch that the
//! processor guesses wrong, which costs more than to read it; eight bytes in a
//! word are read without one.

use super::columns::{Columns, NUMBERS, Number};
use super::figures::Numbers;
use super::marks::Marks;
use super::number::{MOST_DIGITS, POWERS};

/// A row that was read.
#[derive(Debug)]
pub struct Row {
    /// From where to where each field stands.
    pub fields: Vec<(usize, usize)>,
}

/// What of a table its plain rows are read by.
#[derive(Debug)]
pub struct Plain {
    roles: Vec<Option<Number>>,
    /// Within these a number is in its range; at an edge the range itself is
    /// asked, with care.
    low: [f64; NUMBERS],
    high: [f64; NUMBERS],
}

impl Plain {
    pub fn new(columns: &Columns) -> Self {
        let mut plain = Self {
            roles: columns.roles.clone(),
            low: [0.0; NUMBERS],
            high: [0.0; NUMBERS],
        };
        for number in columns.roles.iter().flatten() {
            let (low, high) = number.range().well_within();
            plain.low[*number as usize] = low;
            plain.high[*number as usize] = high;
        }
        plain
    }

    /// Within which a number is in its range.
    pub fn window(&self, number: Number) -> (f64, f64) {
        (self.low[number as usize], self.high[number as usize])
    }

    /// Reads the row that begins at a place of `bytes`, whose marks come from
    /// there on, its numbers into the first row of `numbers`, and says where the next one begins. None when it is not plain, or
    /// a number may not be in its range.
    #[inline]
    pub fn read(
        &self,
        bytes: &[u8],
        from: usize,
        marks: &mut Marks<'_>,
        row: &mut Row,
        numbers: &mut Numbers,
    ) -> Option<usize> {
        let mut start = from;
        let last = self.roles.len() - 1;
        let fields = row.fields.get_mut(..=last)?;
        for (column, (role, field)) in self.roles.iter().zip(fields).enumerate() {
            let mut end = marks.next()?;
            if let Some(number) = *role {
                let (whole, behind) = figure(bytes, start, end, number)?;
                let figure = whole / POWERS[behind];
                let (low, high) = self.window(number);
                if !(low..=high).contains(&figure) {
                    return None;
                }
                numbers[number as usize][0] = figure;
            } else {
                while !matches!(bytes[end], b',' | b'\n' | b'\r' | b'"') {
                    end = marks.next()?;
                }
            }
            *field = (start, end);
            start = end + 1;
            match bytes[end] {
                b',' if column < last => {}
                b'\n' if column == last => {}
                b'\r' if column == last && bytes.get(start) == Some(&b'\n') => {
                    marks.next();
                    start += 1;
                }
                _ => return None,
            }
        }
        Some(start)
    }
}

/// Each byte of a word.
const fn each(byte: u8) -> u64 {
    u64::from_ne_bytes([byte; 8])
}

const ZEROS: u64 = each(b'0');
const BEYOND_NINE: u64 = each(0x76);
const HIGH: u64 = each(0x80);

/// The figure in a field of up to eight bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Its digits as a whole number.
    pub digits: u32,
    /// How many of them stand behind the point.
    pub behind: usize,
    /// Not zero where something else stands there than digits with a point.
    pub odd: u64,
}

impl Figure {
    /// The figure in the first `len` bytes, 1 to 8.
    #[inline]
    pub fn of(eight: [u8; 8], len: u32) -> Self {
        // A digit is below ten once its upper half is taken off. What stands
        // behind the field is shifted out, and zeros come in before it.
        let figures = (u64::from_le_bytes(eight) ^ ZEROS) << (((8 - len) * 8) & 63);
        let others = (figures.wrapping_add(BEYOND_NINE) | figures) & HIGH;
        if others == 0 {
            return Self {
                digits: eight_digits(figures),
                behind: 0,
                odd: 0,
            };
        }
        // One other byte, which is a point, and a digit beside it. All masks come
        // of the one bit that is set.
        let all_of_it = (others << 1).wrapping_sub(others >> 7);
        let as_point = (others >> 2) - (others >> 6);
        let is_alone = u64::from(len == 1);
        let odd = others & (others - 1) | (figures & all_of_it) ^ as_point | is_alone;
        // What stands before the point moves up into its place.
        let before = figures & ((others >> 7) - 1);
        let behind = figures & (others << 1).wrapping_neg();
        Self {
            digits: eight_digits(before << 8 | behind),
            behind: 7 - (others.trailing_zeros() / 8) as usize,
            odd,
        }
    }
}

/// The figure in a field of any length: its digits, and how many of them stand
/// behind the point.
fn figure(bytes: &[u8], start: usize, end: usize, number: Number) -> Option<(f64, usize)> {
    let eight = bytes.get(start..).and_then(|rest| rest.first_chunk());
    match (u32::try_from(end - start), eight) {
        (Ok(len @ 1..=8), Some(eight)) => {
            let figure = Figure::of(*eight, len);
            (figure.odd == 0).then(|| (f64::from(figure.digits), figure.behind))
        }
        _ => slowly(bytes.get(start..end)?, number),
    }
}

/// The number that eight digits make, the first in the lowest byte: pairs, then
/// fours, then all, each step with one multiplication.
#[inline]
fn eight_digits(digits: u64) -> u32 {
    const LANES: u64 = 0x0000_00ff_0000_00ff;
    let pairs = digits.wrapping_mul(10).wrapping_add(digits >> 8);
    let first = (pairs & LANES).wrapping_mul(100 + (1_000_000 << 32));
    let second = (pairs >> 16 & LANES).wrapping_mul(1 + (10_000 << 32));
    #[allow(clippy::cast_possible_truncation, reason = "below 10⁸")]
    let all = (first.wrapping_add(second) >> 32) as u32;
    all
}

/// The same byte by byte: a figure of more than eight bytes, one at the end of a
/// piece, or a blank.
#[cold]
fn slowly(field: &[u8], number: Number) -> Option<(f64, usize)> {
    if field.is_empty() {
        return number.may_be_blank().then_some((0.0, 0));
    }
    let mut whole = 0_u64;
    let mut point = None;
    for (at, byte) in field.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            // Too many digits overflow, and are not taken below.
            whole = whole.wrapping_mul(10).wrapping_add(u64::from(digit));
        } else if *byte == b'.' && point.is_none() {
            point = Some(at);
        } else {
            return None;
        }
    }
    let count = field.len() - usize::from(point.is_some());
    if count == 0 || count > MOST_DIGITS {
        return None;
    }
    let behind = point.map_or(0, |point| field.len() - point - 1);
    Some((whole as f64, behind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// A figure is the number that the standard library reads, bit for bit,
        /// and what is none is not read.
        #[test]
        fn figures_are_those_of_the_standard_library(
            field in "[0-9]{0,9}(\\.[0-9]{0,9})?|[0-9.a+-]{1,9}",
            tail in "[0-9.,a]{0,9}",
        ) {
            let text = format!("{field}{tail}");
            let read = figure(text.as_bytes(), 0, field.len(), Number::Batch);
            let is_plain = field.bytes().all(|b| b.is_ascii_digit() || b == b'.');
            let digits = field.bytes().filter(u8::is_ascii_digit).count();
            match field.parse::<f64>() {
                Ok(x) if is_plain && digits <= MOST_DIGITS => {
                    let (whole, places) = read.expect("a plain figure");
                    prop_assert_eq!((whole / POWERS[places]).to_bits(), x.to_bits());
                }
                _ => prop_assert_eq!(read, None),
            }
        }
    }
}
