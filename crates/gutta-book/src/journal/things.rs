//! Jars and lots, each gathered of the entries that tell of it.

use std::collections::{HashMap, HashSet};

use gutta::blend::record::{
    Identifier, JarEvent, JarHistory, JarStep, LotEvent, LotHistory, LotStep, Moment,
};
use gutta::matter::Method;
use gutta::measure::Reading;

use super::{Journal, JournalEntry, field, kind};
use crate::date::Date;
use crate::error::{BookError, BookErrorKind};
use crate::name::folded;

/// A jar of the journal.
#[derive(Clone, Debug)]
pub struct JarRecord {
    /// What it is called.
    pub name: String,
    /// Its weighings and all that happened to it since it was filled last.
    pub history: JarHistory,
    /// The entries of it: that of the filling, then one for each step.
    pub(super) entries: Vec<usize>,
}

/// A lot of the journal.
#[derive(Clone, Debug)]
pub struct LotRecord {
    /// What it is called.
    pub name: String,
    /// What came in and what was taken.
    pub history: LotHistory,
    /// How its moisture was found, where an entry says so: an upper bound where any
    /// that counts is one.
    pub method: Option<Method>,
    /// The day on which its moisture was found.
    pub found: Date,
    /// Its moisture as it was typed, where one entry alone says it.
    pub typed: Option<Reading>,
    /// The entries of it, one for each step.
    pub(super) entries: Vec<usize>,
}

/// The jars or the lots of a journal.
#[derive(Clone, Debug)]
pub struct Found<T> {
    /// Those of which every entry can be read.
    pub sound: Vec<T>,
    /// Those of which one cannot.
    pub wrong: Vec<Wrong>,
}

/// A jar or a lot that cannot be followed.
#[derive(Clone, Debug)]
pub struct Wrong {
    /// What it is called; empty where an entry does not say.
    pub name: String,
    /// Why.
    pub error: BookError,
}

impl<T> Found<T> {
    fn all(self) -> Result<Vec<T>, BookError> {
        match self.wrong.into_iter().next() {
            Some(wrong) => Err(wrong.error),
            None => Ok(self.sound),
        }
    }
}

impl Journal {
    /// The entries that count: those that no later one has made void.
    pub fn counted(&self) -> impl Iterator<Item = &JournalEntry> {
        self.counted_at().map(|(_, entry)| entry)
    }

    /// The same with their numbers, the first being 0.
    pub(super) fn counted_at(&self) -> impl Iterator<Item = (usize, &JournalEntry)> {
        let voids = self.entries.iter().filter(|entry| entry.kind == kind::VOID);
        let voided: HashSet<Identifier> = voids
            .filter_map(|entry| entry.text(field::OF)?.parse().ok())
            .collect();
        // With a trial or a batch goes what was done to it.
        let is_void = move |entry: &JournalEntry| {
            voided.contains(&entry.id)
                || kind::STEPS.contains(&entry.kind.as_str())
                    && entry
                        .text(field::OF)
                        .and_then(|id| id.parse().ok())
                        .is_some_and(|id: Identifier| voided.contains(&id))
        };
        let each = self.entries.iter().enumerate();
        each.filter(move |(_, entry)| !is_void(entry))
    }

    /// The jars, each since it was filled last, in the order that they were filled.
    ///
    /// # Errors
    /// When an entry lacks a figure or one cannot be read, and when something
    /// happened to a jar that was not filled: the first of them.
    pub fn jars(&self) -> Result<Vec<JarRecord>, BookError> {
        self.jars_found().all()
    }

    /// The lots, in the order that they came in.
    ///
    /// # Errors
    /// When an entry lacks a figure or one cannot be read, and when something was
    /// taken of a lot that has not come in: the first of them.
    pub fn lots(&self) -> Result<Vec<LotRecord>, BookError> {
        self.lots_found().all()
    }

    /// The jars that can be followed, in the order that they were filled, and those
    /// that cannot.
    pub fn jars_found(&self) -> Found<JarRecord> {
        let told = self.told(field::JAR, |entry| {
            Some(match entry.kind.as_str() {
                kind::JAR_FILLED => filling(entry).map(JarEntry::Filled),
                kind::JAR_WEIGHED => step(entry.mass(field::GROSS, true), JarEvent::Weighed),
                kind::JAR_TAKEN => step(entry.mass(field::MASS, false), JarEvent::Taken),
                kind::JAR_WATER => step(entry.mass(field::MASS, false), JarEvent::Water),
                kind::JAR_PUT => step(entry.leaf(), JarEvent::Put),
                _ => return None,
            })
        });
        let mut jars = found(told, |name, events| self.jar(name, events));
        jars.sound.sort_by_key(|jar| jar.entries.first().copied());
        jars
    }

    fn jar(&self, name: &str, events: Vec<Told<JarEntry>>) -> Result<JarRecord, BookError> {
        let is_filling = |told: &Told<JarEntry>| matches!(told.event, JarEntry::Filled(_));
        let first = events.iter().position(is_filling);
        if let Some(before) = events.first().filter(|_| first != Some(0)) {
            return Err(self.unknown(before.number, field::JAR, name, "gutta jar fill"));
        }
        let last = events.iter().rposition(is_filling).unwrap_or_default();
        let mut filled = None;
        let mut steps = Vec::new();
        let mut entries = Vec::new();
        for told in events.into_iter().skip(last) {
            entries.push(told.number);
            match told.event {
                JarEntry::Filled(history) => filled = Some(history),
                JarEntry::Step(event) => steps.push(JarStep { at: told.at, event }),
            }
        }
        let history = filled.map(|filled| JarHistory { steps, ..filled });
        Ok(JarRecord {
            name: name.to_owned(),
            // One was found just before.
            history: history
                .ok_or_else(|| self.unknown(last, field::JAR, name, "gutta jar fill"))?,
            entries,
        })
    }

    /// The lots that can be followed, in the order that they came in, and those that
    /// cannot.
    pub fn lots_found(&self) -> Found<LotRecord> {
        let told = self.told(field::LOT, |entry| {
            Some(match entry.kind.as_str() {
                kind::LOT_IN => entry.leaf().map(LotEvent::In),
                kind::LOT_TAKEN => entry.mass(field::MASS, false).map(LotEvent::Taken),
                // What was made of no lot that is named takes of none.
                kind::MADE_LEAF => {
                    entry.text(field::LOT)?;
                    entry.mass(field::MASS, false).map(LotEvent::Taken)
                }
                kind::LOT_WEIGHED => entry.moisture_if().and_then(|at| {
                    let mass = entry.mass(field::MASS, false)?;
                    Ok(LotEvent::Weighed { mass, at })
                }),
                _ => return None,
            })
        });
        // Of a lot that did not come in by the journal nothing is on hand, and nothing
        // taken that was made before it did.
        let told = told.into_iter().filter_map(|mut thing| {
            if let Ok(events) = &mut thing.events {
                events.sort_by_key(|told| told.at);
                let made = |told: &Told<LotEvent>| {
                    let entry = self.entries.get(told.number);
                    entry.is_some_and(|entry| entry.kind == kind::MADE_LEAF)
                };
                let before = events.iter().take_while(|told| made(told)).count();
                events.drain(..before);
                if events.is_empty() {
                    return None;
                }
            }
            Some(thing)
        });
        found(told.collect(), |name, events| self.lot(name, events))
    }

    fn lot(&self, name: &str, events: Vec<Told<LotEvent>>) -> Result<LotRecord, BookError> {
        let first = events.first();
        if let Some(first) = first.filter(|first| !first.event.sets_moisture()) {
            return Err(self.unknown(first.number, field::LOT, name, "gutta lot in"));
        }
        let said = events.iter().filter(|told| told.event.sets_moisture());
        let said = said.filter_map(|told| self.entries.get(told.number));
        let mut method: Option<Method> = None;
        let mut found = None;
        let mut typed = None;
        for (number, entry) in said.enumerate() {
            // A weighing with its moisture says all that there is to say.
            let is_alone = number == 0 || entry.kind == kind::LOT_WEIGHED;
            let was_bound = !is_alone && method.is_some_and(Method::is_upper_bound);
            method = if was_bound { method } else { entry.method() };
            typed = entry.moisture_reading().ok().filter(|_| is_alone);
            found = found.max(Some(entry.found()));
        }
        Ok(LotRecord {
            name: name.to_owned(),
            method,
            typed,
            found: found.unwrap_or_else(|| Date::of(Moment::of_seconds(0))),
            entries: events.iter().map(|told| told.number).collect(),
            history: LotHistory(
                events
                    .into_iter()
                    .map(|told| LotStep {
                        at: told.at,
                        event: told.event,
                    })
                    .collect(),
            ),
        })
    }

    /// What the counted entries tell of each thing that a field names, in the order
    /// in which they first do.
    fn told<E>(
        &self,
        field: &str,
        event: impl Fn(&JournalEntry) -> Option<Result<E, BookError>>,
    ) -> Vec<Thing<E>> {
        let mut things: Vec<Thing<E>> = Vec::new();
        let mut places: HashMap<String, usize> = HashMap::new();
        for (number, entry) in self.counted_at() {
            let Some(event) = event(entry) else { continue };
            let name = entry.needed(field);
            let called = name.as_ref().map_or("", |name| *name);
            let place = *places.entry(folded(called)).or_insert(things.len());
            if place == things.len() {
                things.push(Thing {
                    name: called.to_owned(),
                    events: Ok(Vec::new()),
                });
            }
            let Some(thing) = things.get_mut(place) else {
                continue;
            };
            match (&mut thing.events, name.and(event)) {
                (Ok(events), Ok(event)) => events.push(Told {
                    number,
                    at: entry.at,
                    event,
                }),
                (Ok(_), Err(error)) => thing.events = Err(self.placed(number, error)),
                // One error of a thing is enough.
                (Err(_), _) => {}
            }
        }
        things
    }

    fn unknown(&self, number: usize, what: &str, name: &str, how: &str) -> BookError {
        let id = self.entries.get(number).map(|entry| entry.id.to_string());
        let error = BookError::new(
            BookErrorKind::NoSuchName,
            format!(
                "entry {} is about {what} {name}, which the journal does not know before it",
                id.unwrap_or_default()
            ),
        );
        self.placed(
            number,
            error
                .with_hint(format!(
                    "write down what was before it, with its moment: {how} --when …; or say with gutta journal void that it is not to be counted"
                ))
                .with_field(what),
        )
    }
}

/// Something that entries tell of, by the name that the first gives it.
struct Thing<E> {
    name: String,
    events: Result<Vec<Told<E>>, BookError>,
}

/// The things that can be followed, and those that cannot.
fn found<E, T>(
    things: Vec<Thing<E>>,
    record: impl Fn(&str, Vec<Told<E>>) -> Result<T, BookError>,
) -> Found<T> {
    let mut found = Found {
        sound: Vec::new(),
        wrong: Vec::new(),
    };
    for thing in things {
        let of = thing.events.and_then(|mut events| {
            // Two people's entries may have been put together out of order.
            events.sort_by_key(|told| told.at);
            record(&thing.name, events)
        });
        match of {
            Ok(of) => found.sound.push(of),
            Err(error) => found.wrong.push(Wrong {
                name: thing.name,
                error,
            }),
        }
    }
    found
}

/// What one entry tells.
struct Told<E> {
    number: usize,
    at: Moment,
    event: E,
}

/// What an entry says of a jar.
enum JarEntry {
    Filled(JarHistory),
    Step(JarEvent),
}

fn filling(entry: &JournalEntry) -> Result<JarHistory, BookError> {
    Ok(JarHistory {
        tare: entry.mass(field::TARE, true)?,
        filled: entry.at,
        gross: entry.mass(field::GROSS, true)?,
        moisture: entry.moisture()?,
        steps: Vec::new(),
    })
}

fn step<T>(
    figure: Result<T, BookError>,
    event: impl FnOnce(T) -> JarEvent,
) -> Result<JarEntry, BookError> {
    figure.map(|figure| JarEntry::Step(event(figure)))
}
