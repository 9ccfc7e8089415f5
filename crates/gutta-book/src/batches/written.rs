//! Fields and figures as bytes.

use super::figures::ROWS;
use super::places::each;

/// What is written, with room kept ahead so that no byte asks for it.
#[derive(Debug, Default)]
pub struct Page {
    bytes: Vec<u8>,
    len: usize,
}

impl Page {
    /// All that was written.
    pub fn written(&self) -> &[u8] {
        &self.bytes[..self.len]
    }

    /// A blank page.
    pub fn clear(&mut self) {
        self.len = 0;
    }

    /// Lends a pen with room for this many bytes; what it has written is told to
    /// [`wrote`](Self::wrote).
    #[inline]
    pub fn pen(&mut self, room: usize) -> Pen<'_> {
        let needed = self.len + room + LONGEST;
        if self.bytes.len() < needed {
            self.bytes.resize(needed * 2, 0);
        }
        Pen {
            room: &mut self.bytes[self.len..],
            at: 0,
        }
    }

    /// Takes so many bytes as written.
    #[inline]
    pub fn wrote(&mut self, bytes: usize) {
        self.len += bytes;
    }
}

/// The most that one figure takes.
pub const LONGEST: usize = 32;

/// Writes into the room that is kept for it; what finds none is left out.
#[derive(Debug)]
pub struct Pen<'a> {
    room: &'a mut [u8],
    at: usize,
}

impl Pen<'_> {
    /// How much was written.
    #[inline]
    pub fn written(&self) -> usize {
        self.at
    }

    /// Writes a byte.
    #[inline]
    pub fn byte(&mut self, byte: u8) {
        if let Some(place) = self.room.get_mut(self.at) {
            *place = byte;
            self.at += 1;
        }
    }

    /// Writes text as it is.
    #[inline]
    pub fn text(&mut self, text: &[u8]) {
        let Some(room) = self.room.get_mut(self.at..self.at + text.len()) else {
            return;
        };
        // A short text is two words that may lie over each other.
        if let (Some(first), Some(last)) = (text.first_chunk::<8>(), text.last_chunk::<8>())
            && text.len() <= 16
        {
            room[..8].copy_from_slice(first);
            room[text.len() - 8..].copy_from_slice(last);
        } else {
            room.copy_from_slice(text);
        }
        self.at += text.len();
    }

    /// Writes a field, in quotes where it could not be read back without.
    pub fn field(&mut self, field: &[u8]) {
        let is_odd = |b: &u8| matches!(b, b'"' | b',' | b'\r' | b'\n');
        if !field.iter().any(is_odd) {
            return self.text(field);
        }
        self.byte(b'"');
        for byte in field {
            if *byte == b'"' {
                self.byte(b'"');
            }
            self.byte(*byte);
        }
        self.byte(b'"');
    }

    /// Writes a comma and the figure of a row.
    #[inline(always)]
    pub fn figure<const PLACES: usize>(&mut self, column: &Column, row: usize) {
        if column.is_short {
            self.short::<PLACES>(column, row);
        } else {
            self.with_care::<PLACES>(column, row);
        }
    }

    /// Two words of text: what stands before the point, and the point with what
    /// stands behind it.
    #[inline(always)]
    fn short<const PLACES: usize>(&mut self, column: &Column, row: usize) {
        let Some(room) = self.room.get_mut(self.at..) else {
            return;
        };
        let Some(room) = room.first_chunk_mut::<LONGEST>() else {
            return;
        };
        let whole = (column.wholes[row] & 7) as usize;
        room[..8].copy_from_slice(&column.heads[row].to_le_bytes());
        self.at += 1 + whole;
        if PLACES > 0 {
            room[1 + whole..9 + whole].copy_from_slice(&column.tails[row].to_le_bytes());
            self.at += 1 + PLACES;
        }
    }

    /// The same where some are long.
    #[cold]
    fn with_care<const PLACES: usize>(&mut self, column: &Column, row: usize) {
        if column.digits[row] < Column::limit(PLACES) {
            self.short::<PLACES>(column, row);
        } else {
            let x = column.figures[row];
            self.text(format!(",{x:.PLACES$}").as_bytes());
        }
    }
}

/// Figures that are not negative, and their text with a fixed count of decimals,
/// four at most, rounded half to even on the exact binary value, as `printf` does,
/// and as `format!` does at thirty times the cost.
#[derive(Clone, Debug)]
pub struct Column {
    pub figures: [f64; ROWS],
    /// Their digits as whole numbers; [`UNSURE`] for what is long.
    digits: [u32; ROWS],
    /// A comma and the digits before the point, and some behind it.
    heads: [u64; ROWS],
    /// How many stand before it.
    wholes: [u32; ROWS],
    /// The point and the digits behind it.
    tails: [u64; ROWS],
    /// Whether all are short enough for that.
    is_short: bool,
}

/// Powers of ten, by the decimals that they make whole.
const POWERS: [u32; 9] = [
    1,
    10,
    100,
    1000,
    10_000,
    100_000,
    1_000_000,
    10_000_000,
    100_000_000,
];

/// What stands for digits that are not known.
const UNSURE: u32 = u32::MAX;

impl Column {
    pub const fn new() -> Self {
        Self {
            figures: [0.0; ROWS],
            digits: [0; ROWS],
            heads: [0; ROWS],
            wholes: [0; ROWS],
            tails: [0; ROWS],
            is_short: true,
        }
    }

    /// The first number that is too long: with a comma before it, or with a comma
    /// and the point, a word is full.
    const fn limit(places: usize) -> u32 {
        POWERS[if places == 0 { 7 } else { 8 }]
    }

    /// Makes text of the first figures.
    #[inline(always)]
    pub fn lay_out<const PLACES: usize>(&mut self, rows: usize) {
        let rows = rows.min(ROWS);
        if self.round::<PLACES>(rows) {
            self.is_short = true;
        } else {
            self.is_short = self.round_with_care::<PLACES>(rows);
        }
        for i in 0..rows {
            let digits = self.digits[i];
            let text = eight_figures(digits) | each(b'0');
            // Zeros in front are left out, but for one before the point.
            let longer = POWERS[PLACES + 1..8].iter();
            let whole = longer.fold(1, |n, power| n + u32::from(digits >= *power));
            let zeros = ((8 - PLACES) as u64).wrapping_sub(u64::from(whole));
            self.wholes[i] = whole;
            self.heads[i] = text >> ((zeros * 8) & 63) << 8 | u64::from(b',');
            if PLACES > 0 {
                self.tails[i] = text >> (8 * (8 - PLACES)) << 8 | u64::from(b'.');
            }
        }
    }

    /// Rounds; false when some are long, negative or no number, or so near to a tie
    /// that they are rounded with care.
    ///
    /// The product of two doubles is off by half its last bit at most: below 10⁸
    /// that is 10⁻⁸, and what is further from a tie than `NEAR` is rounded as the
    /// exact product would be.
    #[inline(always)]
    fn round<const PLACES: usize>(&mut self, rows: usize) -> bool {
        const NEAR: f64 = 1e-6;
        // Adding 2⁵² leaves no room for a part, and the whole in the lowest bits.
        const WHOLE: f64 = (1_u64 << 52) as f64;
        let power = f64::from(POWERS[PLACES]);
        let limit = f64::from(Self::limit(PLACES) - 1);
        let mut unsure = 0;
        for (figure, digits) in self.figures[..rows].iter().zip(&mut self.digits) {
            let product = figure * power;
            let moved = product + WHOLE;
            let part = (product - (moved - WHOLE)).abs();
            let is_sure = (part < 0.5 - NEAR) & (product >= 0.0) & (product < limit);
            #[allow(clippy::cast_possible_truncation, reason = "below 10⁸")]
            let whole = moved.to_bits() as u32;
            *digits = if is_sure { whole } else { UNSURE };
            unsure |= u32::from(!is_sure);
        }
        unsure == 0
    }

    /// The same for those that are near to a tie; false when some are long.
    #[inline(never)]
    fn round_with_care<const PLACES: usize>(&mut self, rows: usize) -> bool {
        let mut is_short = true;
        for (figure, digits) in self.figures[..rows].iter().zip(&mut self.digits) {
            if *digits == UNSURE {
                let exact = scaled(*figure, POWERS[PLACES]).map(u32::try_from);
                match exact {
                    Some(Ok(exact)) if exact < Self::limit(PLACES) => *digits = exact,
                    _ => is_short = false,
                }
            }
        }
        is_short
    }
}

/// The eight digits of a number below 10⁸, the first in the lowest byte: halves,
/// then pairs, then digits, all lanes of a word together.
#[inline(always)]
fn eight_figures(number: u32) -> u64 {
    // ⌊n/10⁴⌋ = ⌊3518437209 n/2⁴⁵⌋ below 2³².
    let number = u64::from(number);
    let high = number.wrapping_mul(3_518_437_209) >> 45;
    let fours = high | number.wrapping_sub(high.wrapping_mul(10_000)) << 32;
    // ⌊n/100⌋ = ⌊5243 n/2¹⁹⌋ below 10⁴, ⌊n/10⌋ = ⌊103 n/2¹⁰⌋ below 100.
    let hundreds = (fours.wrapping_mul(5243) >> 19) & 0x0000_007f_0000_007f;
    let pairs = hundreds | fours.wrapping_sub(hundreds.wrapping_mul(100)) << 16;
    let tens = (pairs.wrapping_mul(103) >> 10) & 0x000f_000f_000f_000f;
    tens | pairs.wrapping_sub(tens.wrapping_mul(10)) << 8
}

/// x · `power` as a whole number, half to even; none where x is negative, no
/// number or too large.
///
/// A double is m · 2^e with m below 2⁵³. m · 10⁴ fits into 128 bits with room to
/// spare, so that shifting it right by −e leaves the rounded digits, and what
/// falls off says exactly whether it was less than a half, a half or more.
fn scaled(x: f64, power: u32) -> Option<u64> {
    const MANTISSA: u32 = 52;
    let bits = x.to_bits();
    let exponent = bits >> MANTISSA;
    // 2¹¹ is the sign; from about 2⁴⁹ up other means do.
    if exponent >= 1023 + 49 {
        return None;
    }
    let mantissa = (bits & ((1 << MANTISSA) - 1)) | u64::from(exponent != 0) << MANTISSA;
    let product = u128::from(mantissa) * u128::from(power);
    let shift = 1075 - exponent.max(1);
    // The product is below 2⁶⁷: from there on nothing is left of it.
    if shift > 68 {
        return Some(0);
    }
    let half = 1_u128 << (shift - 1);
    let whole = product >> shift;
    let rest = product & ((half << 1) - 1);
    let up = rest > half || rest == half && whole & 1 == 1;
    #[allow(clippy::cast_possible_truncation, reason = "below 2⁴⁹ · 10⁴")]
    let whole = whole as u64;
    Some(whole + u64::from(up))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn written(x: f64, places: usize) -> String {
        let mut page = Page::default();
        let mut column = Column::new();
        column.figures[0] = x;
        let mut pen = page.pen(400);
        match places {
            0 => {
                column.lay_out::<0>(1);
                pen.figure::<0>(&column, 0);
            }
            3 => {
                column.lay_out::<3>(1);
                pen.figure::<3>(&column, 0);
            }
            _ => {
                column.lay_out::<4>(1);
                pen.figure::<4>(&column, 0);
            }
        }
        let len = pen.written();
        page.wrote(len);
        let text = std::str::from_utf8(page.written()).unwrap();
        text.strip_prefix(',').unwrap().to_owned()
    }

    #[test]
    fn ties_go_to_the_even_digit() {
        // 1/16 and the like are exact in binary.
        for (x, places, text) in [
            (0.0625, 3, "0.062"),
            (0.00015, 4, "0.0001"),
            (0.1, 3, "0.100"),
            (99_999.999_6, 3, "100000.000"),
            (12_345.678, 3, "12345.678"),
            (0.1875, 3, "0.188"),
            (0.5, 0, "0"),
            (1.5, 0, "2"),
            (2.5, 0, "2"),
            (0.0, 4, "0.0000"),
            (1e-300, 4, "0.0000"),
            (f64::MIN_POSITIVE / 2.0, 3, "0.000"),
            (0.03125, 4, "0.0312"),
            (1e15, 3, "1000000000000000.000"),
            (123_456.789, 3, "123456.789"),
        ] {
            assert_eq!(written(x, places), text, "{x}");
        }
    }

    proptest! {
        /// The formatter of the standard library rounds exactly too.
        #[test]
        fn digits_are_those_of_the_standard_library(
            bits in 0_u64..0x7ff0_0000_0000_0000,
            sixteenths in 0_u32..100_000_000,
            places in proptest::sample::select(vec![0_usize, 3, 4]),
        ) {
            let x = f64::from_bits(bits);
            prop_assert_eq!(written(x, places), format!("{x:.places$}"));
            // Ties are common among short numbers.
            let x = f64::from(sixteenths) / 32768.0;
            prop_assert_eq!(written(x, places), format!("{x:.places$}"));
            let x = f64::from(sixteenths) / 1e5;
            prop_assert_eq!(written(x, places), format!("{x:.places$}"));
        }
    }
}
