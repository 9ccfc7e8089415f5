//! What the program says: the keys of each answer, its figures, its sentences.

use gutta::matter::{Isotherm, KeptBy, Leaf, sorption::LEAF_REFERENCE};
use gutta::{Measured, Moisture};

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

/// What the mould line says of uncased leaf at a moisture, by the curve of leaf
/// of no known type at 22 °C; nothing where it keeps dry enough.
fn mould(moisture: Moisture) -> Option<String> {
    let leaf = Isotherm::of(Leaf::Generic);
    let kept = KeptBy::new(
        leaf,
        Measured::exact(moisture),
        Measured::exact(LEAF_REFERENCE),
    );
    let caution = kept.humidity().ok()?.mould_line()?;
    Some(format!("{caution} (by the curve of leaf of no known type)"))
}
