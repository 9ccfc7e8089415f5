//! What the program says: the keys of each answer, its figures, its sentences.

pub mod dose;
pub mod dropper;
pub mod moisture;
pub mod road;
pub mod water;

/// Declares the keys of an answer, one a line.
macro_rules! keys {
    ($($name:ident = $text:literal: $shape:expr, $what:literal;)+) => {
        $(static $name: Key = Key { name: $text, shape: $shape, what: $what };)+
    };
}
use keys;
