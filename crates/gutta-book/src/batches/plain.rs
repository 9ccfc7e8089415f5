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
use super::number::{MOST_DIGITS, POWERS};
use super::places::{HIGH, each};

/// What the plain numbers of a table are held against.
#[derive(Debug)]
pub struct Plain {
    /// Within these a number is in its range; at an edge the range itself is
    /// asked, with care.
    low: [f64; NUMBERS],
    high: [f64; NUMBERS],
}

impl Plain {
    pub fn new(columns: &Columns) -> Self {
        let mut plain = Self {
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
}

const ZEROS: u64 = each(b'0');
const BEYOND_NINE: u64 = each(0x76);

/// The figure in a field of up to eight bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Its digits as a whole number.
    pub digits: u32,
    /// One bit in the byte of its point, as the word has it once the field is moved
    /// to its end; none without a point.
    pub point: u64,
    /// Not zero where something else stands there than digits with a point.
    pub odd: u64,
}

impl Figure {
    /// The figure in the first `len` bytes of a word, 0 to 8; no bytes make zero.
    /// There is no branch in it, so that many are read side by side.
    #[inline(always)]
    pub fn of(eight: u64, len: u64) -> Self {
        // A digit is below ten once its upper half is taken off. What stands
        // behind the field is shifted out, and zeros come in before it.
        let shift = 64_u64.wrapping_sub(len * 8) & 63;
        let figures = if len == 0 {
            0
        } else {
            (eight ^ ZEROS) << shift
        };
        let others = (figures.wrapping_add(BEYOND_NINE) | figures) & HIGH;
        let point = others >> 7;
        // One other byte, which is a point, and a digit beside it. All masks come
        // of the one bit that is set.
        let all_of_it = (others << 1).wrapping_sub(point);
        let as_point = (others >> 2) - (others >> 6);
        let is_alone = (point >> 56) & u64::from(len == 1);
        let is_more = others & others.wrapping_sub(1);
        let odd = is_more | ((figures & all_of_it) ^ as_point) | is_alone;
        // What stands before the point moves up into its place.
        let before = figures & point.wrapping_sub(1);
        let behind = figures & (others << 1).wrapping_neg();
        let digits = if point == 0 {
            before
        } else {
            (before << 8) | behind
        };
        Self {
            digits: eight_digits(digits),
            point,
            odd,
        }
    }

    /// How many digits stand behind a point.
    #[inline(always)]
    pub fn behind(point: u64) -> usize {
        // The bit moves the count of its place into the highest byte.
        const COUNTS: u64 = 0x0706_0504_0302_0100;
        #[allow(clippy::cast_possible_truncation, reason = "below eight")]
        let behind = (point.wrapping_mul(COUNTS) >> 56) as usize;
        behind & 7
    }
}

/// The number in a field of any length; none when it is not plain.
pub fn number(field: &[u8], may_be_blank: bool) -> Option<f64> {
    let (whole, behind) = match field.len() {
        0 => return may_be_blank.then_some(0.0),
        len @ 1..=8 => {
            let mut eight = [0; 8];
            eight[..len].copy_from_slice(field);
            let figure = Figure::of(u64::from_le_bytes(eight), len as u64);
            if figure.odd != 0 {
                return None;
            }
            (f64::from(figure.digits), Figure::behind(figure.point))
        }
        _ => slowly(field)?,
    };
    Some(whole / POWERS[behind])
}

/// The number that eight digits make, the first in the lowest byte: pairs, then
/// fours, then all of them, in as many lanes of the word.
#[inline(always)]
fn eight_digits(digits: u64) -> u32 {
    let tens = (digits << 3).wrapping_add(digits << 1);
    let pairs = tens.wrapping_add(digits >> 8) & 0x00ff_00ff_00ff_00ff;
    let fours = pairs.wrapping_mul(100).wrapping_add(pairs >> 16) & 0x0000_ffff_0000_ffff;
    #[allow(clippy::cast_possible_truncation, reason = "below 10⁸")]
    let all = ((fours & 0xffff) * 10_000 + (fours >> 32)) as u32;
    all
}

/// The digits of a figure of more than eight bytes, and how many of them stand
/// behind the point.
fn slowly(field: &[u8]) -> Option<(f64, usize)> {
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
            let read = number(field.as_bytes(), false);
            let is_plain = field.bytes().all(|b| b.is_ascii_digit() || b == b'.');
            let digits = field.bytes().filter(u8::is_ascii_digit).count();
            match field.parse::<f64>() {
                Ok(x) if is_plain && digits <= MOST_DIGITS => {
                    prop_assert_eq!(read.map(f64::to_bits), Some(x.to_bits()));
                }
                _ => prop_assert_eq!(read, None),
            }
            // What stands behind a field is not looked at.
            let text = format!("{field}{tail}________");
            let len = field.len() as u64;
            if len <= 8
                && let Some(eight) = text.as_bytes().first_chunk()
            {
                let figure = Figure::of(u64::from_le_bytes(*eight), len);
                prop_assert_eq!(figure.odd == 0, read.is_some() || len == 0);
                let value = f64::from(figure.digits) / POWERS[Figure::behind(figure.point)];
                prop_assert!(figure.odd != 0 || value == read.unwrap_or(0.0));
            }
        }
    }
}
