//! What entries say, as quantities.

use gutta::Moisture;
use gutta::matter::{LotOfLeaf, Method};
use gutta::measure::{Kind, MASS, Mass, Measured, Reading, Scale, read};

use super::JournalEntry;
use crate::date::Date;
use crate::error::{BookError, BookErrorKind};

/// The kinds of entries that this program writes.
pub mod kind {
    /// Words, about anything.
    pub const NOTE: &str = "note";
    /// An entry that is not to be counted.
    pub const VOID: &str = "void";
    /// A jar was filled.
    pub const JAR_FILLED: &str = "jar-filled";
    /// A jar was weighed.
    pub const JAR_WEIGHED: &str = "jar-weighed";
    /// Leaf was taken out of a jar.
    pub const JAR_TAKEN: &str = "jar-taken";
    /// Leaf was put into a jar.
    pub const JAR_PUT: &str = "jar-put";
    /// Water went into a jar.
    pub const JAR_WATER: &str = "jar-water";
    /// Leaf of a lot came in.
    pub const LOT_IN: &str = "lot-in";
    /// Leaf of a lot was taken.
    pub const LOT_TAKEN: &str = "lot-taken";
    /// A lot was weighed.
    pub const LOT_WEIGHED: &str = "lot-weighed";
}

/// The fields of entries.
pub mod field {
    /// The jar that an entry is about.
    pub const JAR: &str = "jar";
    /// The lot that an entry is about.
    pub const LOT: &str = "lot";
    /// The empty jar.
    pub const TARE: &str = "tare";
    /// What the scale showed, with the jar.
    pub const GROSS: &str = "gross";
    /// A mass of leaf or water.
    pub const MASS: &str = "mass";
    /// A moisture.
    pub const MOISTURE: &str = "moisture";
    /// The smallest step of the scale.
    pub const SCALE: &str = "scale";
    /// Words.
    pub const TEXT: &str = "text";
    /// The entry that is not to be counted.
    pub const OF: &str = "of";
    /// How the moisture was found.
    pub const METHOD: &str = "method";
    /// The day on which the moisture was found, where it is another than that of
    /// the entry.
    pub const FOUND: &str = "found";
}

/// A quantity that cannot be read in an entry.
fn fault(entry: &JournalEntry, field: &str, error: &gutta::Error) -> BookError {
    let message = format!("in entry {}: {error}", entry.id);
    BookError::new(BookErrorKind::Quantity(error.kind()), message)
        .with_hint(
            "say with gutta journal void that it is not to be counted, and write it down anew",
        )
        .with_field(field)
}

impl JournalEntry {
    /// The text of a field.
    pub fn text(&self, field: &str) -> Option<&str> {
        self.fields.get(field)?.as_str()
    }

    pub(super) fn needed(&self, field: &str) -> Result<&str, BookError> {
        self.text(field).ok_or_else(|| {
            BookError::new(
                BookErrorKind::MissingField,
                format!("entry {} has no {field}", self.id),
            )
            .with_hint(
                "say with gutta journal void that it is not to be counted, and write it down anew",
            )
            .with_field(field)
        })
    }

    /// A mass above 0, with the doubt of the scale that it was read on: of one
    /// reading where a tare is taken off it, else of a net weight.
    pub(super) fn mass(&self, field: &str, is_gross: bool) -> Result<Measured<Mass>, BookError> {
        let text = self.needed(field)?;
        let of = |error: gutta::Error| fault(self, field, &error);
        let reading = read(text, &[Kind::Mass]).map_err(of)?;
        MASS.check_typed(reading.base(), &reading.to_string())
            .map_err(of)?;
        let mass = reading.mass().ok_or_else(|| {
            fault(
                self,
                field,
                &gutta::Error::new(gutta::ErrorKind::WrongKind, "this is no mass"),
            )
        })?;
        Ok(match self.scale()? {
            Some(scale) if mass.is_exact() && is_gross => scale.read(mass.value()),
            Some(scale) if mass.is_exact() => scale.weighed(mass.value()),
            _ => mass,
        })
    }

    fn scale(&self) -> Result<Option<Scale>, BookError> {
        let Some(text) = self.text(field::SCALE) else {
            return Ok(None);
        };
        let of = |error: gutta::Error| fault(self, field::SCALE, &error);
        let reading = read(text, &[Kind::Mass]).map_err(of)?;
        let division = reading.mass().map(|mass| mass.value());
        division
            .map(|division| Scale::new(division).map_err(of))
            .transpose()
    }

    /// A moisture as it was typed.
    pub(super) fn moisture_reading(&self) -> Result<Reading, BookError> {
        let text = self.needed(field::MOISTURE)?;
        read(text, &[Kind::Share]).map_err(|error| fault(self, field::MOISTURE, &error))
    }

    pub(super) fn moisture(&self) -> Result<Measured<Moisture>, BookError> {
        Moisture::read(&self.moisture_reading()?)
            .map_err(|error| fault(self, field::MOISTURE, &error))
    }

    pub(super) fn method(&self) -> Option<Method> {
        self.text(field::METHOD).and_then(Method::named)
    }

    /// The day on which its moisture was found: that of the entry, where it says no
    /// other.
    pub(super) fn found(&self) -> Date {
        let said = self.text(field::FOUND).and_then(Date::read);
        said.unwrap_or_else(|| Date::of(self.at))
    }

    pub(super) fn moisture_if(&self) -> Result<Option<Measured<Moisture>>, BookError> {
        self.text(field::MOISTURE)
            .map(|_| self.moisture())
            .transpose()
    }

    pub(super) fn leaf(&self) -> Result<LotOfLeaf, BookError> {
        Ok(LotOfLeaf {
            mass: self.mass(field::MASS, false)?,
            at: self.moisture()?,
        })
    }
}
