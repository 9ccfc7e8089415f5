//! Trials and batches of the journal: what was planned, and what was done.

use std::collections::HashMap;

use gutta::bench::Scatter;
use gutta::blend::record::{Identifier, LiquidUse, Moment};
use gutta::measure::{
    Density, DropMass, Drops, Kind, Mass, Measured, Reading, Scalar, Scale, Time, read,
    read_leading,
};
use gutta::{Composition, Moisture, Part};
use serde_json::Value;

use super::{Journal, JournalEntry, field, kind};
use crate::error::{BookError, BookErrorKind};

/// What is made: a trial to be judged, or a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MakingKind {
    /// A trial.
    Trial,
    /// A batch.
    Batch,
}

impl MakingKind {
    /// The word of the entry that begins it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Trial => kind::TRIAL,
            Self::Batch => kind::BATCH,
        }
    }
}

/// What was planned, as it was when it was begun.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLine {
    /// Leaf, or a liquid for something.
    pub liquid: Option<LiquidUse>,
    /// The component or the liquid.
    pub name: String,
    /// The lot that it is weighed from.
    pub lot: Option<String>,
    /// How much.
    pub mass: Mass,
    /// The same in whole drops, where it is counted.
    pub drops: Option<Drops>,
    /// The dropper of the book that it is counted with.
    pub dropper: Option<String>,
    /// How far it may be off.
    pub tolerance: Option<Mass>,
}

/// Leaf that was weighed.
#[derive(Clone, Debug)]
pub struct LeafDone {
    /// The entry that says so.
    pub id: Identifier,
    /// When.
    pub at: Moment,
    /// The component.
    pub name: String,
    /// The lot that it is of.
    pub lot: Option<String>,
    /// What was weighed.
    pub mass: Measured<Mass>,
    /// Its moisture then.
    pub moisture: Option<Measured<Moisture>>,
}

/// A liquid that went on.
#[derive(Clone, Debug)]
pub struct LiquidDone {
    /// The entry that says so.
    pub id: Identifier,
    /// When.
    pub at: Moment,
    /// What it is there for.
    pub use_for: LiquidUse,
    /// The liquid.
    pub name: String,
    /// How much, as it was said: drops, a mass or a volume.
    pub amount: Reading,
    /// The dropper of the book that the drops are of.
    pub dropper: Option<String>,
    /// What one drop weighs.
    pub each: Option<Reading>,
    /// How one drop differs from the next.
    pub scatter: Option<Scatter>,
    /// What the bottle lost.
    pub loss: Option<Measured<Mass>>,
    /// The amount with the doubt of its scale, where it was weighed.
    pub mass: Option<Measured<Mass>>,
    /// What was in it then, where that was known.
    pub composition: Option<Composition>,
    /// Its density then, where it was measured.
    pub density: Option<Measured<Density>>,
}

/// What it weighed when all was done.
#[derive(Clone, Debug)]
pub struct WeighedDone {
    /// When.
    pub at: Moment,
    /// Net.
    pub mass: Measured<Mass>,
    /// Its moisture, where it was found.
    pub moisture: Option<Measured<Moisture>>,
}

/// How it was judged.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoreDone {
    /// When.
    pub at: Moment,
    /// What was judged.
    pub what: String,
    /// How it was.
    pub score: f64,
    /// The best that it could have been.
    pub out_of: Option<f64>,
}

/// What went otherwise, and what was done about it.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviationDone {
    /// When.
    pub at: Moment,
    /// What.
    pub what: String,
    /// What was done about it.
    pub repair: Option<String>,
}

/// A trial or a batch.
#[derive(Clone, Debug)]
pub struct MakingRecord {
    /// Its identifier: that of the entry that began it.
    pub id: Identifier,
    /// When it was begun.
    pub at: Moment,
    /// Which it is.
    pub kind: MakingKind,
    /// What it is of: `evening, version 2`.
    pub title: String,
    /// The formula of the book, as it is called: `evening:2`.
    pub formula: Option<String>,
    /// The trial that it came from.
    pub parent: Option<Identifier>,
    /// The one thing that was changed.
    pub change: Option<String>,
    /// The scale that it was planned for.
    pub scale: Option<Scale>,
    /// The moisture wanted.
    pub to: Option<String>,
    /// How long it rests, in words.
    pub rest: Option<String>,
    /// Words kept with it.
    pub note: Option<String>,
    /// What was planned.
    pub plan: Vec<PlanLine>,
    /// The leaf that was weighed.
    pub leaf: Vec<LeafDone>,
    /// The liquids that went on.
    pub liquids: Vec<LiquidDone>,
    /// Its weighings as a whole.
    pub weighed: Vec<WeighedDone>,
    /// How it was judged.
    pub scores: Vec<ScoreDone>,
    /// What went otherwise.
    pub deviations: Vec<DeviationDone>,
    /// Words about it, and when.
    pub notes: Vec<(Moment, String)>,
}

impl MakingRecord {
    /// When something was last weighed into it or put on it, or when it was begun.
    pub fn last_made(&self) -> Moment {
        let leaf = self.leaf.iter().map(|leaf| leaf.at);
        let liquids = self.liquids.iter().map(|liquid| liquid.at);
        leaf.chain(liquids).fold(self.at, Moment::max)
    }

    /// How long it rests: the time in front of the words, where one stands there.
    pub fn resting(&self) -> Option<Time> {
        let (time, _) = read_leading(self.rest.as_deref()?, &[Kind::Time]).ok()?;
        Some(Time::of_base(time.base()))
    }

    /// When its rest is over, from when something was last put on; not before all
    /// leaf that was planned is there.
    pub fn rested(&self) -> Option<Moment> {
        let is_there = |line: &PlanLine| line.liquid.is_some() || self.is_done(line);
        let has_leaf = !self.leaf.is_empty() && self.plan.iter().all(is_there);
        let resting = self.resting().filter(|_| has_leaf)?;
        Some(self.last_made().after(resting))
    }

    /// Whether it lies there rested, or will, and nobody has judged it since.
    pub fn is_to_be_judged(&self) -> bool {
        let rested = self.rested();
        rested.is_some_and(|rested| self.scores.iter().all(|score| score.at < rested))
    }

    /// Its leaf that was weighed of a planned line, all weighings together, where
    /// there is any.
    pub fn leaf_of(&self, line: &PlanLine) -> Option<Mass> {
        let of = |leaf: &&LeafDone| leaf.name.eq_ignore_ascii_case(&line.name);
        let masses = self.leaf.iter().filter(of).map(|leaf| leaf.mass.value());
        masses.reduce(|sum, mass| sum + mass)
    }

    /// Whether something was done of a planned line.
    pub fn is_done(&self, line: &PlanLine) -> bool {
        match line.liquid {
            None => self.leaf_of(line).is_some(),
            Some(use_for) => self.liquids.iter().any(|liquid| {
                liquid.use_for == use_for && liquid.name.eq_ignore_ascii_case(&line.name)
            }),
        }
    }
}

impl PlanLine {
    /// Reads a line of a plan.
    fn of(entry: &JournalEntry, value: &Value) -> Result<Self, BookError> {
        let text = |field: &str| value.get(field).and_then(Value::as_str);
        let missing = |field: &str| {
            entry.fault(
                field::PLAN,
                BookErrorKind::MissingField,
                &format!("a planned line has no {field}"),
            )
        };
        let mass = |field: &str| {
            text(field)
                .map(|text| {
                    let reading = read(text, &[Kind::Mass]);
                    reading
                        .map(|reading| Mass::of_base(reading.base()))
                        .map_err(|error| super::read::fault(entry, field::PLAN, &error))
                })
                .transpose()
        };
        let step = text(field::STEP).ok_or_else(|| missing(field::STEP))?;
        let drops = match text(field::DROPS) {
            Some(text) => {
                let reading = read(text, &[Kind::Drops])
                    .map_err(|error| super::read::fault(entry, field::PLAN, &error))?;
                Some(Drops::of_base(reading.base()))
            }
            None => None,
        };
        Ok(Self {
            liquid: use_of(step),
            name: text(field::NAME)
                .ok_or_else(|| missing(field::NAME))?
                .to_owned(),
            lot: text(field::LOT).map(str::to_owned),
            mass: mass(field::MASS)?.ok_or_else(|| missing(field::MASS))?,
            drops,
            dropper: text(field::DROPPER).map(str::to_owned),
            tolerance: mass(field::TOLERANCE)?,
        })
    }
}

/// What a liquid is there for, by the word in front of its line.
fn use_of(word: &str) -> Option<LiquidUse> {
    [LiquidUse::Casing, LiquidUse::Flavour, LiquidUse::Water]
        .into_iter()
        .find(|use_for| use_for.word() == word)
}

impl Journal {
    /// The trials and batches, in the order that they were begun in the file.
    ///
    /// # Errors
    /// When an entry lacks a figure or one cannot be read, and when something was
    /// done to what was not begun. What belongs to a trial that is not counted is
    /// not counted either.
    pub fn makings(&self) -> Result<Vec<MakingRecord>, BookError> {
        let mut all: Vec<MakingRecord> = Vec::new();
        let mut places: HashMap<Identifier, usize> = HashMap::new();
        for (number, entry) in self.counted_at() {
            if matches!(entry.kind.as_str(), kind::TRIAL | kind::BATCH) {
                places.insert(entry.id.clone(), all.len());
                all.push(begin(entry).map_err(|error| self.placed(number, error))?);
            }
        }
        for (number, entry) in self.counted_at() {
            let placed = |error| self.placed(number, error);
            let about = match entry.kind.as_str() {
                kind::NOTE => entry.text(field::ABOUT),
                word if kind::STEPS.contains(&word) => {
                    Some(entry.needed(field::OF).map_err(placed)?)
                }
                _ => continue,
            };
            let Some(id) = about.and_then(|id| id.parse::<Identifier>().ok()) else {
                continue;
            };
            match places.get(&id) {
                Some(at) => all[*at].put(entry).map_err(placed)?,
                None if entry.kind == kind::NOTE => {}
                None => {
                    return Err(placed(entry.fault(
                        field::OF,
                        BookErrorKind::NoSuchName,
                        &format!("there is no trial or batch {id}"),
                    )));
                }
            }
        }
        // Two people's entries may have been put together out of order.
        for one in &mut all {
            one.in_order();
        }
        Ok(all)
    }
}

fn begin(entry: &JournalEntry) -> Result<MakingRecord, BookError> {
    let text = |field: &str| entry.text(field).map(str::to_owned);
    let plan = match entry.fields.get(field::PLAN) {
        Some(Value::Array(lines)) => lines
            .iter()
            .map(|line| PlanLine::of(entry, line))
            .collect::<Result<Vec<_>, _>>()?,
        _ => Vec::new(),
    };
    let parent = entry.text(field::PARENT).map(str::parse::<Identifier>);
    Ok(MakingRecord {
        id: entry.id.clone(),
        at: entry.at,
        kind: if entry.kind == kind::BATCH {
            MakingKind::Batch
        } else {
            MakingKind::Trial
        },
        title: entry.needed(field::TITLE)?.to_owned(),
        formula: text(field::FORMULA),
        parent: parent
            .transpose()
            .map_err(|error| super::read::fault(entry, field::PARENT, &error))?,
        change: text(field::CHANGE),
        scale: entry.scale()?,
        to: text(field::TO),
        rest: text(field::REST),
        note: text(field::TEXT),
        plan,
        leaf: Vec::new(),
        liquids: Vec::new(),
        weighed: Vec::new(),
        scores: Vec::new(),
        deviations: Vec::new(),
        notes: Vec::new(),
    })
}

impl MakingRecord {
    /// Puts all that was done into the order of time.
    fn in_order(&mut self) {
        self.leaf.sort_by_key(|one| one.at);
        self.liquids.sort_by_key(|one| one.at);
        self.weighed.sort_by_key(|one| one.at);
        self.scores.sort_by_key(|one| one.at);
        self.deviations.sort_by_key(|one| one.at);
        self.notes.sort_by_key(|(at, _)| *at);
    }

    /// Puts an entry about it where it belongs.
    fn put(&mut self, entry: &JournalEntry) -> Result<(), BookError> {
        let text = |field: &str| entry.text(field).map(str::to_owned);
        let number = |field: &str| {
            let number = entry.fields.get(field).and_then(Value::as_f64);
            number.ok_or_else(|| {
                entry.fault(
                    field,
                    BookErrorKind::WrongType,
                    &format!("{field} is a number"),
                )
            })
        };
        let at = entry.at;
        match entry.kind.as_str() {
            kind::MADE_LEAF => self.leaf.push(LeafDone {
                id: entry.id.clone(),
                at,
                name: entry.needed(field::NAME)?.to_owned(),
                lot: text(field::LOT),
                mass: entry.mass(field::MASS, false)?,
                moisture: entry.moisture_if()?,
            }),
            kind::MADE_LIQUID => self.liquids.push(liquid(entry)?),
            kind::MADE_WEIGHED => self.weighed.push(WeighedDone {
                at,
                mass: entry.mass(field::MASS, false)?,
                moisture: entry.moisture_if()?,
            }),
            kind::MADE_SCORE => self.scores.push(ScoreDone {
                at,
                what: entry.needed(field::NAME)?.to_owned(),
                score: number(field::SCORE)?,
                out_of: match entry.fields.get(field::BEST) {
                    Some(_) => Some(number(field::BEST)?),
                    None => None,
                },
            }),
            kind::MADE_DEVIATION => self.deviations.push(DeviationDone {
                at,
                what: entry.needed(field::TEXT)?.to_owned(),
                repair: text(field::REPAIR),
            }),
            _ => self.notes.push((at, entry.needed(field::TEXT)?.to_owned())),
        }
        Ok(())
    }
}

/// What was in a liquid, part by part.
fn composition(entry: &JournalEntry) -> Result<Option<Composition>, BookError> {
    let Some(Value::Object(parts)) = entry.fields.get(field::COMPOSITION) else {
        return Ok(None);
    };
    let fault = |error: &gutta::Error| super::read::fault(entry, field::COMPOSITION, error);
    let mut measured = Vec::new();
    for (name, share) in parts {
        let part = Part::named(name).zip(share.as_str());
        let Some((part, text)) = part else {
            return Err(entry.fault(
                field::COMPOSITION,
                BookErrorKind::NoSuchName,
                &format!("`{name}` is no part of a liquid"),
            ));
        };
        let share = read(text, &[Kind::Share]).map_err(|error| fault(&error))?;
        measured.extend(share.share().map(|share| (part, share)));
    }
    Composition::new(&measured)
        .map(Some)
        .map_err(|error| fault(&error))
}

fn liquid(entry: &JournalEntry) -> Result<LiquidDone, BookError> {
    let reading = |field: &str, kinds: &[Kind]| {
        let read =
            |text| read(text, kinds).map_err(|error| super::read::fault(entry, field, &error));
        entry.text(field).map(read).transpose()
    };
    let kinds = [Kind::Drops, Kind::Mass, Kind::Volume];
    let amount = reading(field::AMOUNT, &kinds)?.ok_or_else(|| {
        entry.fault(
            field::AMOUNT,
            BookErrorKind::MissingField,
            "it does not say how much",
        )
    })?;
    let word = entry.needed(field::STEP)?;
    Ok(LiquidDone {
        id: entry.id.clone(),
        at: entry.at,
        use_for: use_of(word).ok_or_else(|| {
            entry.fault(
                field::STEP,
                BookErrorKind::NoSuchName,
                &format!("`{word}` is no use of a liquid"),
            )
        })?,
        name: entry.needed(field::NAME)?.to_owned(),
        mass: match amount.kind() {
            Kind::Mass => Some(entry.mass(field::AMOUNT, false)?),
            _ => None,
        },
        amount,
        composition: composition(entry)?,
        density: reading(field::DENSITY, &[Kind::Density])?.and_then(|typed| typed.density()),
        dropper: entry.text(field::DROPPER).map(str::to_owned),
        each: reading(field::EACH, &[Kind::Mass])?,
        scatter: reading(field::SCATTER, &[Kind::Mass])?.map(|one| Scatter {
            one: DropMass::of_base(one.base()),
            dof: entry
                .fields
                .get(field::SCATTER_DOF)
                .and_then(Value::as_f64)
                .unwrap_or(f64::INFINITY),
        }),
        loss: match entry.text(field::LOSS) {
            Some(_) => Some(entry.mass(field::LOSS, false)?),
            None => None,
        },
    })
}
