//! Numbers of a table: digits with a decimal point and nothing else.

use gutta::measure::NEXT_TO_NOTHING;

use super::columns::Number;
use super::wrong::Wrong;

/// Powers of ten that a double holds exactly.
pub const POWERS: [f64; MOST_DIGITS + 1] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// Digits that are taken together: so many make a whole number that a double
/// holds exactly.
pub const MOST_DIGITS: usize = 15;

/// Reads a field as the number of a column.
pub fn read(number: Number, text: &str) -> Result<f64, Wrong> {
    let digits = text.trim();
    if digits.is_empty() {
        return if number.may_be_blank() {
            Ok(0.0)
        } else {
            Err(Wrong::blank(number))
        };
    }
    let is_plain = |b: u8| b.is_ascii_digit() || matches!(b, b'.' | b'+' | b'-' | b'e' | b'E');
    if !digits.bytes().all(is_plain) {
        return Err(Wrong::no_number(number, digits));
    }
    match digits.parse::<f64>() {
        Ok(x) if x != 0.0 && x.abs() < NEXT_TO_NOTHING => Err(Wrong::too_small(digits)),
        // Nothing is nothing, whatever sign stands in front of it.
        Ok(x) if x.is_finite() => Ok(x + 0.0),
        Ok(_) => Err(Wrong::too_large(digits)),
        Err(_) => Err(Wrong::no_number(number, digits)),
    }
}
