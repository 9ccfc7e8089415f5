//! What is written down: a moment, quantities as they were typed, the scale.

use clap::Args;
use serde_json::{Map, Value};

use gutta::Moisture;
use gutta::blend::record::{Identifier, Moment};
use gutta::measure::{Kind, MASS, Scalar, Scale, Unit};
use gutta_book::{Journal, NewEntry, field, read_moment};

use super::shelf::{Shelf, of_entry};
use super::{Flag, scale};
use crate::failure::{Failure, Outcome};
use crate::say;

/// When and on what something was weighed, with words about it.
#[derive(Debug, Args)]
pub struct RecordArgs {
    /// When it was, such as 2026-03-14T18:30:00Z [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// Words kept with it
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
}

/// An entry while it is filled in.
pub struct Draft {
    kind: &'static str,
    at: Moment,
    fields: Map<String, Value>,
}

/// What was written down.
pub struct Written {
    /// Its identifier.
    pub id: Identifier,
    /// When it was.
    pub at: Moment,
    /// What an earlier crash had left half written, now kept aside.
    pub torn: Option<String>,
}

/// A moment that was typed, or now.
pub fn moment(text: Option<&String>, shelf: &Shelf) -> Outcome<Moment> {
    let Some(flag) = Flag::of("--when", text) else {
        return Ok(shelf.now());
    };
    read_moment(flag.text.trim()).map_err(|error| {
        let failure = flag.wrong("date", error.to_string());
        failure.hint("type it such as --when 2026-03-14T18:30:00Z, or leave it out for now")
    })
}

impl RecordArgs {
    /// An entry of a kind, with what goes with every one.
    pub fn draft(&self, kind: &'static str, shelf: &Shelf) -> Outcome<Draft> {
        let mut draft = Draft::new(kind, moment(self.when.as_ref(), shelf)?);
        draft.scale(scale(self.scale.as_ref(), shelf)?);
        if let Some(note) = &self.note {
            draft.put(field::TEXT, note.clone());
        }
        Ok(draft)
    }
}

impl Draft {
    /// An entry of a kind at a moment.
    pub fn new(kind: &'static str, at: Moment) -> Self {
        Self {
            kind,
            at,
            fields: Map::new(),
        }
    }

    /// A text under a field.
    pub fn put(&mut self, field: &str, text: impl Into<String>) {
        let text: String = text.into();
        self.fields
            .insert(field.to_owned(), text.replace('\u{a0}', " ").into());
    }

    /// The scale, where one is named: its step as it is, since a scale of the book
    /// may be another tomorrow.
    pub fn scale(&mut self, scale: Option<Scale>) {
        if let Some(scale) = scale {
            self.put(field::SCALE, say::base(scale.division().base(), Unit::GRAM));
        }
    }

    /// A value that is no text under a field.
    pub fn put_value(&mut self, field: &str, value: Value) {
        self.fields.insert(field.to_owned(), value);
    }

    /// A mass that a flag needs, as it was typed.
    pub fn mass(
        &mut self,
        field: &str,
        flag: &'static str,
        text: Option<&String>,
        what: &str,
        hint: &str,
    ) -> Outcome<()> {
        let flag = Flag::needed(flag, what, text, hint)?;
        let reading = flag.read(&[Kind::Mass])?;
        flag.within(&MASS, &reading)?;
        self.put(field, reading.to_string());
        Ok(())
    }

    /// A moisture that `--at` needs, as it was typed.
    pub fn moisture(&mut self, text: Option<&String>) -> Outcome<()> {
        let flag = Flag::needed(
            "--at",
            "the moisture of the leaf",
            text,
            "type it with its doubt, such as --at \"12.4% ± 0.6%\"",
        )?;
        let reading = flag.moisture_reading()?;
        Moisture::read(&reading).map_err(|error| flag.fail(error))?;
        self.put(field::MOISTURE, reading.to_string());
        Ok(())
    }

    /// The entry as it would be written.
    pub fn entry(&self) -> NewEntry {
        NewEntry {
            at: self.at,
            kind: self.kind.to_owned(),
            fields: self.fields.clone(),
        }
    }

    /// Adds it to the journal of the book; on the disk once this answers.
    pub fn write(self, shelf: &Shelf) -> Outcome<Written> {
        let added =
            Journal::add(shelf.folder()?, &[self.entry()]).map_err(|error| of_entry(&error))?;
        let id = added.ids.into_iter().next();
        Ok(Written {
            id: id.ok_or_else(|| Failure::unreadable("io", "nothing was written"))?,
            at: self.at,
            torn: added.torn,
        })
    }
}
