//! What is written down: a moment, quantities as they were typed, the scale.

use clap::Args;
use serde_json::{Map, Value};

use gutta::Moisture;
use gutta::blend::record::{Identifier, Moment};
use gutta::measure::{Kind, MASS, Scalar, Scale, Unit};
use gutta_book::{Journal, NewEntry, field, moment_text, typed_moment};

use super::shelf::Shelf;
use super::{Flag, scale};
use crate::failure::{Failure, Outcome};
use crate::say;

/// When and on what something was weighed, with words about it.
#[derive(Debug, Args)]
pub struct RecordArgs {
    /// When it was, in UTC, such as "2026-03-14 18:30" [now]
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
    when: When,
    fields: Map<String, Value>,
}

/// When something was.
#[derive(Clone, Debug)]
pub enum When {
    /// As it was typed.
    Typed(Moment, String),
    /// As the clock of this run has it.
    Now(Moment),
}

/// What was written down.
pub struct Written {
    /// Its identifier.
    pub id: Identifier,
    /// When it was.
    pub at: Moment,
    /// What an earlier crash had left half written, now kept aside.
    pub torn: Option<String>,
    /// What the clock says, where it is behind what was written down before.
    pub clock_behind: Option<Moment>,
}

/// The flag that says when something was.
pub const WHEN: &str = "--when";

impl When {
    /// A moment that was typed, not one that lies ahead; or now.
    pub fn of(text: Option<&String>, shelf: &Shelf) -> Outcome<Self> {
        let Some(flag) = Flag::of(WHEN, text) else {
            return Ok(Self::Now(shelf.now()));
        };
        let moment = typed_moment(flag.text).map_err(|error| {
            let failure = flag.wrong("date", error.to_string());
            failure.hint(
                "type it such as --when \"2026-03-14 18:30\", which is UTC, or 2026-03-14; or leave it out for now",
            )
        })?;
        if moment > shelf.now() {
            let failure = Failure::refused("this moment lies ahead");
            return Err(pointing(failure, flag).hint(format!(
                "in UTC it is {} now; a zone is typed behind the moment, such as +01:00",
                minute_of(shelf.now())
            )));
        }
        Ok(Self::Typed(moment, flag.text.to_owned()))
    }

    /// The moment.
    pub const fn moment(&self) -> Moment {
        match self {
            Self::Typed(moment, _) | Self::Now(moment) => *moment,
        }
    }

    /// The same, not before another, which is said in words. A clock that is behind
    /// is passed over: what is written now comes after what is there.
    pub fn not_before(&mut self, least: Moment, what: &str) -> Outcome<()> {
        match self {
            Self::Typed(moment, text) if *moment < least => {
                let flag = Flag::new(WHEN, text.as_str());
                let failure = Failure::refused(format!("this is before {what}"));
                Err(pointing(failure, flag).hint(format!(
                    "in UTC that was at {}; type a moment from then on",
                    minute_of(least)
                )))
            }
            Self::Typed(..) => Ok(()),
            Self::Now(moment) => {
                *moment = least.max(*moment);
                Ok(())
            }
        }
    }
}

/// A failure about a flag, with its whole text.
pub fn pointing(failure: Failure, flag: Flag<'_>) -> Failure {
    failure
        .about(flag.name)
        .pointing(flag.text, 0, flag.text.len())
}

/// `2026-03-14 18:30`.
pub fn minute_of(moment: Moment) -> String {
    let text = moment_text(moment).replace('T', " ");
    text.chars().take("2026-03-14 18:30".len()).collect()
}

impl RecordArgs {
    /// An entry of a kind, with what goes with every one.
    pub fn draft(&self, kind: &'static str, shelf: &Shelf) -> Outcome<Draft> {
        let mut draft = Draft::new(kind, When::of(self.when.as_ref(), shelf)?);
        draft.scale(scale(self.scale.as_ref(), shelf)?);
        if let Some(note) = self.note.as_deref().map(str::trim) {
            if note.is_empty() {
                return Err(Failure::missing("--note", "there is nothing to write down")
                    .hint("type the words in quotes: --note \"smells of hay\", or leave it out"));
            }
            draft.put(field::TEXT, note);
        }
        Ok(draft)
    }
}

impl Draft {
    /// An entry of a kind at a moment.
    pub fn new(kind: &'static str, when: When) -> Self {
        Self {
            kind,
            when,
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
            let one = scale.repeatability();
            if one.base() > 0.0 {
                self.put(field::REPEATABILITY, say::base(one.base(), Unit::GRAM));
            }
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
            at: self.when.moment(),
            kind: self.kind.to_owned(),
            fields: self.fields.clone(),
        }
    }

    /// What kind of entry it is.
    pub const fn kind(&self) -> &'static str {
        self.kind
    }

    /// When it is.
    pub const fn when(&mut self) -> &mut When {
        &mut self.when
    }

    /// Adds it to the journal of the book, on the disk once this answers; not where
    /// `check` refuses, which is handed the journal as it stands and says what else
    /// there is to be answered. What cannot be is not written down.
    pub fn write_if<T>(
        mut self,
        shelf: &Shelf,
        check: impl FnOnce(&mut Journal, &mut Self) -> Outcome<T>,
    ) -> Outcome<(Written, T)> {
        let mut answer = None;
        let clock = self.when.moment();
        let added = Journal::add_if(shelf.folder()?, |journal| {
            answer = Some(check(journal, &mut self)?);
            Ok::<_, Failure>(vec![self.entry()])
        })?;
        let at = self.when.moment();
        let id = added.ids.into_iter().next();
        let written = Written {
            id: id.ok_or_else(nothing)?,
            at,
            torn: added.torn,
            clock_behind: Some(clock).filter(|clock| *clock < at),
        };
        Ok((written, answer.ok_or_else(nothing)?))
    }

    /// The same without anything to check.
    pub fn write(self, shelf: &Shelf) -> Outcome<Written> {
        self.write_if(shelf, |_, _| Ok(()))
            .map(|(written, ())| written)
    }
}

fn nothing() -> Failure {
    Failure::unreadable("io", "nothing was written")
}

/// The name of a jar or a lot, which can be typed again.
pub fn called<'a>(
    flag: &'static str,
    what: &str,
    such_as: &str,
    name: &'a str,
) -> Outcome<Flag<'a>> {
    let flag = Flag::new(flag, name);
    if name.trim().is_empty() {
        return Err(flag
            .wrong("empty", format!("the {what} has no name"))
            .hint(format!("type what its label says, such as {such_as}")));
    }
    if name.contains(char::is_control) {
        return Err(flag
            .wrong(
                "stray",
                format!("the name of the {what} has a line break or another character that does not show"),
            )
            .hint(format!("type it on one line, such as {such_as}")));
    }
    Ok(Flag::new(flag.name, name.trim()))
}
