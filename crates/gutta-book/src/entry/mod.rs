//! The entries of the book: one file a kind, its layout declared beside it.

pub(crate) mod dropper;
pub(crate) mod front;
pub(crate) mod liquid;
pub(crate) mod lot;
pub(crate) mod scale;

use gutta::measure::{Kind, Range, Reading, Scalar};

pub use dropper::DropperEntry;
pub use liquid::LiquidEntry;
pub use lot::LotEntry;
pub use scale::ScaleEntry;

use crate::page::{Faults, Written};
use crate::tables::{Field, Fields};

/// The name of an entry.
const NAME: Field = Field::required("name", "\"bench\"");

/// Words that are kept for people.
const NOTE: Field = Field::optional("note", "\"in words\"");

/// A quantity of a kind within a range, with its text.
fn quantity_within<'p>(
    fields: &Fields<'p>,
    field: &Field,
    kind: Kind,
    range: &Range,
    faults: &mut Faults<'_>,
) -> Option<(Reading, Written<'p>)> {
    let (reading, text) = fields.quantity(field, kind, faults)?;
    match range.check_typed(reading.base(), &reading.to_string()) {
        Ok(()) => Some((reading, text)),
        Err(error) => {
            faults.add_quantity(&text, field.name, &error);
            None
        }
    }
}

/// The quantity of a reading, of the kind it was read as.
fn exact_or_measured<S: Scalar>(reading: Option<gutta::Measured<S>>) -> gutta::Measured<S> {
    reading.unwrap_or(gutta::Measured::exact(S::of_base(f64::NAN)))
}
