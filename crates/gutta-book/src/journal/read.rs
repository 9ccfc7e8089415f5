//! What entries say, as quantities.

use std::collections::HashSet;

use gutta::Moisture;
use gutta::blend::record::{
    Identifier, JarEvent, JarHistory, JarStep, LotEvent, LotHistory, Moment,
};
use gutta::matter::LotOfLeaf;
use gutta::measure::{Kind, MASS, Mass, Measured, Scale, read};

use super::{JOURNAL, Journal, JournalEntry};
use crate::error::{BookError, BookErrorKind};
use crate::name::folded;

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
    /// The entry that this one is about: not to be counted, or added to.
    pub const OF: &str = "of";
    /// What words are about.
    pub const ABOUT: &str = "about";
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
}

/// A jar of the journal.
#[derive(Clone, Debug)]
pub struct JarRecord {
    /// What it is called.
    pub name: String,
    /// Its weighings and all that happened to it since it was filled last.
    pub history: JarHistory,
}

/// A lot of the journal.
#[derive(Clone, Debug)]
pub struct LotRecord {
    /// What it is called.
    pub name: String,
    /// What came in and what was taken.
    pub history: LotHistory,
}

/// A quantity that cannot be read in an entry.
pub(super) fn fault(entry: &JournalEntry, field: &str, error: &gutta::Error) -> BookError {
    let message = format!("in entry {}: {error}", entry.id);
    BookError::new(BookErrorKind::Quantity(error.kind()), message)
        .with_hint(
            "say with gutta journal void that it is not to be counted, and write it down anew",
        )
        .with_file(JOURNAL)
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
            .with_file(JOURNAL)
            .with_field(field)
        })
    }

    /// Something wrong in a field of it.
    pub(super) fn fault(&self, field: &str, kind: BookErrorKind, message: &str) -> BookError {
        BookError::new(kind, format!("in entry {}: {message}", self.id))
            .with_hint(
                "say with gutta journal void that it is not to be counted, and write it down anew",
            )
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

    /// Whether it is about a lot.
    fn is_of(&self, lot: &str) -> bool {
        self.text(field::LOT)
            .is_some_and(|name| folded(name) == folded(lot))
    }

    fn moisture(&self) -> Result<Measured<Moisture>, BookError> {
        let text = self.needed(field::MOISTURE)?;
        read(text, &[Kind::Share])
            .and_then(|reading| Moisture::read(&reading))
            .map_err(|error| fault(self, field::MOISTURE, &error))
    }

    pub(super) fn moisture_if(&self) -> Result<Option<Measured<Moisture>>, BookError> {
        self.text(field::MOISTURE)
            .map(|_| self.moisture())
            .transpose()
    }

    fn leaf(&self) -> Result<LotOfLeaf, BookError> {
        Ok(LotOfLeaf {
            mass: self.mass(field::MASS, false)?,
            at: self.moisture()?,
        })
    }
}

impl Journal {
    /// The entries that count: those that no later one has made void.
    pub fn counted(&self) -> impl Iterator<Item = &JournalEntry> {
        let voids = self.entries.iter().filter(|entry| entry.kind == kind::VOID);
        let voided: HashSet<Identifier> = voids
            .filter_map(|entry| entry.text(field::OF)?.parse().ok())
            .collect();
        let counts = move |entry: &&JournalEntry| !voided.contains(&entry.id);
        self.entries.iter().filter(counts)
    }

    /// The jars, each since it was filled last, in the order that they were filled.
    ///
    /// # Errors
    /// When an entry lacks a figure or one cannot be read, and when something
    /// happened to a jar that was not filled.
    pub fn jars(&self) -> Result<Vec<JarRecord>, BookError> {
        let mut jars: Vec<JarRecord> = Vec::new();
        for entry in self.counted() {
            let event = match entry.kind.as_str() {
                kind::JAR_FILLED => None,
                kind::JAR_WEIGHED => Some(JarEvent::Weighed(entry.mass(field::GROSS, true)?)),
                kind::JAR_TAKEN => Some(JarEvent::Taken(entry.mass(field::MASS, false)?)),
                kind::JAR_WATER => Some(JarEvent::Water(entry.mass(field::MASS, false)?)),
                kind::JAR_PUT => Some(JarEvent::Put(entry.leaf()?)),
                _ => continue,
            };
            let name = entry.needed(field::JAR)?;
            let there = jars
                .iter()
                .position(|jar| folded(&jar.name) == folded(name));
            let Some(event) = event else {
                if let Some(at) = there {
                    jars.remove(at);
                }
                jars.push(JarRecord {
                    name: name.to_owned(),
                    history: JarHistory {
                        tare: entry.mass(field::TARE, true)?,
                        filled: entry.at,
                        gross: entry.mass(field::GROSS, true)?,
                        moisture: entry.moisture()?,
                        steps: Vec::new(),
                    },
                });
                continue;
            };
            let jar = there.and_then(|at| jars.get_mut(at));
            let Some(jar) = jar else {
                return Err(unknown(entry, "jar", name, "gutta jar fill"));
            };
            jar.history.steps.push(JarStep {
                at: entry.at,
                event,
            });
        }
        for jar in &mut jars {
            // Two people's entries may have been put together out of order.
            jar.history.steps.sort_by_key(|step| step.at);
        }
        Ok(jars)
    }

    /// The lots, in the order that they came in.
    ///
    /// # Errors
    /// When an entry lacks a figure or one cannot be read, and when something was
    /// taken of a lot that has not come in.
    pub fn lots(&self) -> Result<Vec<LotRecord>, BookError> {
        let mut lots: Vec<(LotRecord, Vec<(Moment, LotEvent)>)> = Vec::new();
        for entry in self.counted() {
            let event = match entry.kind.as_str() {
                kind::LOT_IN => LotEvent::In(entry.leaf()?),
                kind::LOT_TAKEN => LotEvent::Taken(entry.mass(field::MASS, false)?),
                // Of a lot that did not come in by the journal nothing is on hand.
                kind::MADE_LEAF if lots.iter().any(|(lot, _)| entry.is_of(&lot.name)) => {
                    LotEvent::Taken(entry.mass(field::MASS, false)?)
                }
                kind::LOT_WEIGHED => LotEvent::Weighed {
                    mass: entry.mass(field::MASS, false)?,
                    at: entry.moisture_if()?,
                },
                _ => continue,
            };
            let name = entry.needed(field::LOT)?;
            let there = lots
                .iter_mut()
                .find(|(lot, _)| folded(&lot.name) == folded(name));
            match there {
                Some((_, events)) => events.push((entry.at, event)),
                None if matches!(event, LotEvent::Taken(_)) => {
                    return Err(unknown(entry, "lot", name, "gutta lot in"));
                }
                None => lots.push((
                    LotRecord {
                        name: name.to_owned(),
                        history: LotHistory::default(),
                    },
                    vec![(entry.at, event)],
                )),
            }
        }
        let each = lots.into_iter().map(|(mut lot, mut events)| {
            events.sort_by_key(|(at, _)| *at);
            lot.history = LotHistory(events.into_iter().map(|(_, event)| event).collect());
            lot
        });
        Ok(each.collect())
    }
}

fn unknown(entry: &JournalEntry, what: &str, name: &str, how: &str) -> BookError {
    BookError::new(
        BookErrorKind::NoSuchName,
        format!(
            "entry {} is about {what} {name}, which the journal does not know",
            entry.id
        ),
    )
    .with_hint(format!("write down first what it held: {how}"))
    .with_file(JOURNAL)
    .with_field(what)
}
