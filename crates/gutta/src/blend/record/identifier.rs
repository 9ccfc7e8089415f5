//! Identifiers that a hand can copy.
//!
//! # Why a check character?
//!
//! An identifier is read off a label and typed with cold fingers. A symbol misread
//! or two neighbours swapped would name another jar; with the check character they
//! name none, and the program says so.

use std::fmt;
use std::str::FromStr;

use crate::error::{Error, ErrorKind, Result};

/// The symbols, each worth its place: no I, L, O, U and Z, which look like others.
const SYMBOLS: &[u8; 31] = b"0123456789ABCDEFGHJKMNPQRSTVWXY";

/// How many symbols there are: a prime, so that every weight can be undone.
const MODULUS: u32 = 31;

/// The weight of a place is this to its power, counted from the right end.
const BASE: u32 = 3;

/// The most symbols of an identifier: from here on weights come again.
pub const LONGEST: usize = 30;

/// An identifier with its check character, the last.
///
/// The sum Σ 3ⁱ vᵢ of its symbols' values is 0 modulo 31, i counted from 0 at the
/// right end: every single symbol that is misread and every swap of unlike
/// neighbours is caught. Hyphens and case do not count; i and l are read as 1, o
/// as 0.
///
/// ```
/// use gutta::blend::record::Identifier;
/// let jar = Identifier::of(12_345_678, 7)?;
/// assert_eq!(jar.to_string(), "00DB-CNNR");
/// assert_eq!("oodbcnnr".parse::<Identifier>()?, jar);
/// assert!("00DB-CNNS".parse::<Identifier>().is_err());
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Identifier(String);

/// Of the sum, what a symbol at a place adds.
fn weighted(value: u32, place: usize) -> u32 {
    let weight = (0..place).fold(1, |weight, _| weight * BASE % MODULUS);
    value * weight % MODULUS
}

/// The sum of values, the first being the left end.
fn sum(values: &[u32]) -> u32 {
    let from_right = values.iter().rev().enumerate();
    from_right.fold(0, |sum, (place, value)| {
        (sum + weighted(*value, place)) % MODULUS
    })
}

fn symbol(value: u32) -> char {
    // Values are below the modulus, and there is a symbol for each.
    SYMBOLS
        .get(value as usize)
        .map_or('0', |byte| char::from(*byte))
}

/// The value of a symbol; of those that look like another, that of the other.
fn value(symbol: char) -> Option<u32> {
    let symbol = match symbol.to_ascii_uppercase() {
        'I' | 'L' => '1',
        'O' => '0',
        other => other,
    };
    let at = SYMBOLS
        .iter()
        .position(|known| char::from(*known) == symbol)?;
    u32::try_from(at).ok()
}

impl Identifier {
    /// The identifier of a number: `symbols` of it, and the check character.
    ///
    /// # Errors
    /// When there is no symbol, or more than fit into 30 with the check
    /// character, or the number has more.
    pub fn of(number: u64, symbols: usize) -> Result<Self> {
        if symbols == 0 || symbols >= LONGEST {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                format!(
                    "an identifier has 1 to {} symbols and one to check",
                    LONGEST - 1
                ),
            ));
        }
        let mut rest = number;
        let mut values = vec![0; symbols];
        for value in values.iter_mut().rev() {
            // A remainder by 31 fits.
            *value = u32::try_from(rest % u64::from(MODULUS)).unwrap_or(0);
            rest /= u64::from(MODULUS);
        }
        if rest > 0 {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                format!("{number} has more than {symbols} symbols"),
            ));
        }
        values.push(0);
        let check = (MODULUS - sum(&values)) % MODULUS;
        values.pop();
        values.push(check);
        Ok(Self(values.into_iter().map(symbol).collect()))
    }

    /// Its symbols without hyphens, the check character last.
    pub fn symbols(&self) -> &str {
        &self.0
    }
}

impl FromStr for Identifier {
    type Err = Error;

    /// # Errors
    /// When it is empty, holds what is no symbol, is longer than 30, or its check
    /// character does not agree.
    fn from_str(text: &str) -> Result<Self> {
        let mut values = Vec::new();
        for (at, symbol) in text.char_indices() {
            if symbol == '-' || symbol.is_whitespace() {
                continue;
            }
            let Some(value) = value(symbol) else {
                return Err(Error::new(
                    ErrorKind::Stray,
                    format!("`{symbol}` does not stand in an identifier"),
                )
                .with_hint("copy it again: digits, and letters without I, L, O, U and Z")
                .with_place(text, at, symbol.len_utf8()));
            };
            values.push(value);
        }
        let whole = |error: Error| error.with_place(text, 0, text.len());
        if values.len() < 2 {
            return Err(whole(
                Error::new(ErrorKind::Empty, "this is no identifier")
                    .with_hint("copy it whole, such as from its label"),
            ));
        }
        if values.len() > LONGEST {
            return Err(whole(
                Error::new(
                    ErrorKind::OutOfRange,
                    format!("an identifier has at most {LONGEST} symbols"),
                )
                .with_hint("copy it again"),
            ));
        }
        if sum(&values) != 0 {
            return Err(whole(
                Error::new(
                    ErrorKind::Stray,
                    "a symbol of this identifier is wrong, or two are swapped",
                )
                .with_hint("copy it again, symbol by symbol: the last one checks the others"),
            ));
        }
        Ok(Self(values.into_iter().map(symbol).collect()))
    }
}

/// In groups of four, hyphens between them.
impl fmt::Display for Identifier {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, symbol) in self.0.chars().enumerate() {
            if i > 0 && i % 4 == 0 {
                f.write_str("-")?;
            }
            write!(f, "{symbol}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Identifier> {
        text.parse()
    }

    /// By hand: of 1 with two symbols, 0 1 and the check: 3·1 + v ≡ 0, v = 28,
    /// which is W.
    #[test]
    fn the_check_character_is_that_of_the_sum() {
        assert_eq!(Identifier::of(1, 2).unwrap().symbols(), "01W");
        assert_eq!(Identifier::of(0, 5).unwrap().symbols(), "000000");
        assert_eq!(Identifier::of(30, 1).unwrap().symbols(), "Y3");
        assert!(Identifier::of(31, 1).is_err());
        assert!(Identifier::of(0, 0).is_err() && Identifier::of(0, LONGEST).is_err());
    }

    /// By hand: 962 is 1·31² + 0·31 + 1; 27 + 3 and the check make 31.
    #[test]
    fn it_is_read_however_it_is_copied() {
        let one = Identifier::of(31 * 31 + 1, 7).unwrap();
        assert_eq!(one.symbols(), "00001011");
        assert_eq!(one.to_string(), "0000-1011");
        for text in ["0000-1011", "00001011", "oooo-lOI1", " 0000 1011 "] {
            assert_eq!(read(text).as_ref(), Ok(&one), "{text}");
        }
    }

    /// Every symbol misread, at every place, in identifiers of every length.
    #[test]
    fn every_single_substitution_is_caught() {
        for symbols in 1..LONGEST {
            let id = Identifier::of(
                12_345_678_901 % (0..symbols.min(12)).fold(1, |all, _| all * 31),
                symbols,
            );
            let right: Vec<char> = id.unwrap().symbols().chars().collect();
            for place in 0..right.len() {
                for other in SYMBOLS.iter().map(|byte| char::from(*byte)) {
                    let mut wrong = right.clone();
                    wrong[place] = other;
                    let text: String = wrong.iter().collect();
                    assert_eq!(read(&text).is_ok(), other == right[place], "{text}");
                }
            }
        }
    }

    /// Every pair of unlike symbols, swapped at every place that neighbours have.
    #[test]
    fn every_swap_of_unlike_neighbours_is_caught() {
        for place in 0..LONGEST - 1 {
            for a in 0..MODULUS {
                for b in 0..MODULUS {
                    let as_is = weighted(a, place) + weighted(b, place + 1);
                    let swapped = weighted(b, place) + weighted(a, place + 1);
                    assert_eq!(as_is % MODULUS == swapped % MODULUS, a == b);
                }
            }
        }
    }

    #[test]
    fn what_is_no_identifier_is_refused() {
        let message = |text: &str| read(text).unwrap_err().to_string();
        assert_eq!(
            message("0000-1012"),
            "a symbol of this identifier is wrong, or two are swapped"
        );
        assert_eq!(message("00Z0-1011"), "`Z` does not stand in an identifier");
        assert_eq!(message(""), "this is no identifier");
        assert_eq!(message("0"), "this is no identifier");
        assert_eq!(
            message(&"0".repeat(31)),
            "an identifier has at most 30 symbols"
        );
        let at = read("00Z0-1011").unwrap_err();
        assert_eq!(at.place().map(|place| (place.at, place.len)), Some((2, 1)));
    }
}
