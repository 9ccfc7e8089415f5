//! What the program says: the keys of each answer, its figures, its sentences.

use gutta::matter::{Isotherm, KeptBy, Leaf, sorption::LEAF_REFERENCE};
use gutta::{Caution, Measured, Moisture};

pub mod batch;
pub mod book;
pub mod bulk;
pub mod casing;
pub mod dilute;
pub mod dose;
pub mod dropper;
pub mod due;
pub mod falling;
pub mod formula;
pub mod jar;
pub mod journal;
pub mod liquid;
pub mod lot;
pub mod making;
pub mod moisture;
pub mod premix;
pub mod repair;
pub mod road;
pub mod series;
pub mod sheet;
pub mod spoons;
pub mod strip;
pub mod water;

/// Declares the keys of an answer, one a line.
macro_rules! keys {
    ($($name:ident = $text:literal: $shape:expr, $what:literal;)+) => {
        $(pub(super) static $name: Key = Key { name: $text, shape: $shape, what: $what };)+
    };
}
use keys;

/// What the mould line says of uncased leaf at a moisture, by the curve of leaf
/// of no known type at 22 °C; nothing where it keeps dry enough. Of cased leaf it
/// says that the line is not its own.
fn mould(moisture: Moisture, is_cased: bool) -> Vec<String> {
    let leaf = Isotherm::of(Leaf::Generic);
    let (at, room) = (Measured::exact(moisture), Measured::exact(LEAF_REFERENCE));
    let kept = KeptBy::new(leaf, at, room).humidity();
    let Some(caution) = kept.ok().and_then(|air| air.mould_line()) else {
        return Vec::new();
    };
    let line = format!("{caution} (by the curve of leaf of no known type)");
    let cased = is_cased.then(|| Caution::CasedLeaf.to_string());
    std::iter::once(line).chain(cased).collect()
}
