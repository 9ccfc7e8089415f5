//! The entries of the book: one file a kind, its layout declared beside it.

pub(crate) mod dropper;
pub(crate) mod formula;
pub(crate) mod front;
pub(crate) mod liquid;
pub(crate) mod lot;
pub(crate) mod scale;

use gutta::measure::{Kind, Measured, Range, Reading, Scalar};
use gutta::{Error, ErrorKind};

pub use dropper::DropperEntry;
pub use formula::FormulaEntry;
pub use liquid::LiquidEntry;
pub use lot::LotEntry;
pub use scale::ScaleEntry;

use crate::page::Faults;
use crate::tables::{Field, Fields};

/// The name of an entry.
const NAME: Field = Field::required("name", "\"bench\"");

/// Words that are kept for people.
const NOTE: Field = Field::optional("note", "\"in words\"");

/// A quantity of the book: what it is, and the range it is sensible in.
struct Quantity<S> {
    field: Field,
    kind: Kind,
    /// The quantity with its doubt, of a reading of that kind.
    measured: fn(&Reading) -> Option<Measured<S>>,
    range: &'static Range,
    /// What to write instead of a number outside the range, where the range's
    /// own hint is about a command line.
    instead: Option<&'static str>,
}

impl<S: Scalar> Quantity<S> {
    const fn new(
        field: Field,
        kind: Kind,
        measured: fn(&Reading) -> Option<Measured<S>>,
        range: &'static Range,
    ) -> Self {
        Self {
            field,
            kind,
            measured,
            range,
            instead: None,
        }
    }

    const fn or_instead(self, hint: &'static str) -> Self {
        Self {
            instead: Some(hint),
            ..self
        }
    }

    /// The quantity with its doubt; a fault when it cannot be read or is
    /// outside its range.
    fn of(&self, fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<Measured<S>> {
        let (reading, text) = fields.quantity(&self.field, self.kind, faults)?;
        let measured = (self.measured)(&reading)?;
        let Err(error) = self.range.check_typed(reading.base(), &reading.to_string()) else {
            return Some(measured);
        };
        let error = match self.instead {
            Some(hint) => error.with_hint(hint),
            None => error,
        };
        faults.add_quantity(&text, self.field.name, &error);
        None
    }

    /// The quantity without doubt; one with a doubt is a fault.
    fn exact(&self, fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<S> {
        let measured = self.of(fields, faults)?;
        if measured.is_exact() {
            return Some(measured.value());
        }
        let name = self.field.name;
        let (_, text) = fields.quantity(&self.field, self.kind, faults)?;
        let error = Error::new(ErrorKind::Doubt, format!("a {name} is exact"))
            .with_hint(format!("write it without ±: {}", self.field.line()));
        faults.add_quantity(&text, name, &error);
        None
    }
}
