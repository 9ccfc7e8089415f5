//! What entries say, as quantities.

use gutta::Moisture;
use gutta::blend::record::Moment;
use gutta::matter::{LotOfLeaf, Method};
use gutta::measure::{Kind, MASS, Mass, Measured, Reading, Scale, read};

use super::{JOURNAL, JournalEntry, read_moment};
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
    /// A dropper was calibrated.
    pub const DROPPER_CALIBRATED: &str = "dropper-calibrated";
    /// A trial was begun.
    pub const TRIAL: &str = "trial";
    /// A batch was begun.
    pub const BATCH: &str = "batch";
    /// Leaf was weighed into a trial or a batch.
    pub const MADE_LEAF: &str = "made-leaf";
    /// A liquid went onto it.
    pub const MADE_LIQUID: &str = "made-liquid";
    /// It was weighed.
    pub const MADE_WEIGHED: &str = "made-weighed";
    /// It was judged.
    pub const MADE_SCORE: &str = "made-score";
    /// Something went otherwise than planned.
    pub const MADE_DEVIATION: &str = "made-deviation";

    /// What is done to a trial or a batch.
    pub const STEPS: [&str; 5] = [
        MADE_LEAF,
        MADE_LIQUID,
        MADE_WEIGHED,
        MADE_SCORE,
        MADE_DEVIATION,
    ];
}

/// What can be said to an entry that cannot be read.
pub const WRITE_ANEW: &str =
    "say with gutta journal void that it is not to be counted, and write it down anew";

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
    /// The standard deviation of one reading of the scale.
    pub const REPEATABILITY: &str = "repeatability";
    /// What is in a liquid, part by part.
    pub const COMPOSITION: &str = "composition";
    /// The density of a liquid.
    pub const DENSITY: &str = "density";
    /// Words.
    pub const TEXT: &str = "text";
    /// The entry that this one is about: not to be counted, or added to.
    pub const OF: &str = "of";
    /// What words are about.
    pub const ABOUT: &str = "about";
    /// When words are to be seen to.
    pub const DUE: &str = "due";
    /// What a trial or a batch is of.
    pub const TITLE: &str = "title";
    /// The formula of the book.
    pub const FORMULA: &str = "formula";
    /// The trial that it came from.
    pub const PARENT: &str = "parent";
    /// The one thing that was changed.
    pub const CHANGE: &str = "change";
    /// The moisture wanted.
    pub const TO: &str = "to";
    /// How long it rests.
    pub const REST: &str = "rest";
    /// What was planned, line by line.
    pub const PLAN: &str = "plan";
    /// What a line is: leaf, casing, flavour or water.
    pub const STEP: &str = "step";
    /// A component, a liquid, or what was judged.
    pub const NAME: &str = "name";
    /// How much of a liquid.
    pub const AMOUNT: &str = "amount";
    /// Whole drops that were planned.
    pub const DROPS: &str = "drops";
    /// How far a planned line may be off.
    pub const TOLERANCE: &str = "tolerance";
    /// The dropper that drops are of.
    pub const DROPPER: &str = "dropper";
    /// The liquid that a dropper was calibrated with.
    pub const LIQUID: &str = "liquid";
    /// The day of a calibration.
    pub const DAY: &str = "day";
    /// The counted weighings of a calibration.
    pub const WEIGHINGS: &str = "weighings";
    /// What one drop weighs.
    pub const EACH: &str = "each";
    /// How one drop differs from the next: a standard deviation.
    pub const SCATTER: &str = "scatter";
    /// The degrees of freedom of the scatter.
    pub const SCATTER_DOF: &str = "scatter_dof";
    /// What the bottle lost.
    pub const LOSS: &str = "loss";
    /// How something was judged.
    pub const SCORE: &str = "score";
    /// The best that a score could have been.
    pub const BEST: &str = "best";
    /// What was done about a deviation.
    pub const REPAIR: &str = "repair";
    /// How the moisture was found.
    pub const METHOD: &str = "method";
    /// The day on which the moisture was found, where it is another than that of
    /// the entry.
    pub const FOUND: &str = "found";
}

/// A quantity that cannot be read in an entry.
pub(super) fn fault(entry: &JournalEntry, field: &str, error: &gutta::Error) -> BookError {
    let message = format!("in entry {}: {error}", entry.id);
    BookError::new(BookErrorKind::Quantity(error.kind()), message)
        .with_hint(WRITE_ANEW)
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
            .with_hint(WRITE_ANEW)
            .with_field(field)
        })
    }

    /// Something wrong in a field of it.
    pub(super) fn fault(&self, field: &str, kind: BookErrorKind, message: &str) -> BookError {
        BookError::new(kind, format!("in entry {}: {message}", self.id))
            .with_hint(WRITE_ANEW)
            .with_file(JOURNAL)
            .with_field(field)
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

    pub(super) fn scale(&self) -> Result<Option<Scale>, BookError> {
        let mass = |field: &'static str| -> Result<Option<Mass>, BookError> {
            let Some(text) = self.text(field) else {
                return Ok(None);
            };
            let of = |error: gutta::Error| fault(self, field, &error);
            let reading = read(text, &[Kind::Mass]).map_err(of)?;
            Ok(reading.mass().map(|mass| mass.value()))
        };
        let Some(division) = mass(field::SCALE)? else {
            return Ok(None);
        };
        let scale = Scale::new(division).map_err(|error| fault(self, field::SCALE, &error))?;
        let scale = match mass(field::REPEATABILITY)? {
            Some(one) => scale
                .with_repeatability(one)
                .map_err(|error| fault(self, field::REPEATABILITY, &error))?,
            None => scale,
        };
        Ok(Some(scale))
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

    /// When it is to be seen to, where it says so.
    ///
    /// # Errors
    /// When that is no moment.
    pub fn due(&self) -> Result<Option<Moment>, BookError> {
        let due = self.text(field::DUE).map(read_moment).transpose();
        due.map_err(|error| self.fault(field::DUE, BookErrorKind::Date, &error.to_string()))
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
