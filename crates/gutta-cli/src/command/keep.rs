//! `gutta dropper --save`: a calibration kept in the book.

use std::path::Path;

use clap::Args;
use gutta::blend::record::Moment;
use gutta_book::{
    BookErrorKind, Date, EntryKind, Journal, NewDropper, NewEntry, field, kind, save_dropper,
};
use serde_json::{Map, Value};

use crate::answer::Answer;
use crate::failure::{Exit, Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::shelf::{Shelf, of_book, of_entry};
use crate::speak::dropper;

/// A calibration to be kept.
#[derive(Debug, Args)]
#[command(next_help_heading = "Keeping it in the book")]
pub struct KeepArgs {
    /// Keep the weighings in the book, as the dropper of this name
    #[arg(
        long,
        value_name = "NAME",
        conflicts_with_all = ["dropper", "tip", "density"]
    )]
    save: Option<String>,
    /// The day of the weighings, such as 2026-11-25
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// Words kept with it
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
    /// Put it in the place of the dropper of that name
    #[arg(long)]
    replace: bool,
}

/// What is kept besides, as it was typed.
pub struct Typed<'a> {
    /// The counted drops.
    pub readings: &'a [String],
    /// Whether they run on.
    pub running: bool,
    /// The liquid.
    pub liquid: Option<&'a String>,
    /// The scale.
    pub scale: Option<&'a String>,
    /// The temperature of the room.
    pub temp: Option<&'a String>,
    /// The pressure of the room.
    pub pressure: Option<&'a String>,
    /// The relative humidity.
    pub humidity: Option<&'a String>,
}

/// A calibration that can be kept, and where.
pub struct Kept<'a> {
    flag: Flag<'a>,
    entry: NewDropper,
    folder: &'a Path,
    now: Moment,
    replacing: bool,
}

impl KeepArgs {
    /// What is to be kept, where it is asked for.
    pub fn of<'a>(&'a self, typed: &Typed<'_>, shelf: &'a Shelf) -> Outcome<Option<Kept<'a>>> {
        let Some(flag) = Flag::of("--save", self.save.as_ref()) else {
            let alone = [
                ("--date", self.date.is_some()),
                ("--note", self.note.is_some()),
                ("--replace", self.replace),
            ];
            return match alone.into_iter().find(|(_, is_given)| *is_given) {
                Some((other, _)) => Err(Failure::missing(
                    "--save",
                    format!("{other} belongs to a dropper that is kept"),
                )
                .hint(format!("add --save and its name, or leave {other} out"))),
                None => Ok(None),
            };
        };
        if flag.text.trim().is_empty() {
            return Err(Failure::missing(flag.name, "no name is given")
                .hint("type the name to keep it by, such as --save amber"));
        }
        let Some((_, folder)) = shelf.whole()? else {
            return Err(flag
                .wrong("no-book", "there is no bench book to keep it in")
                .hint("name its folder with --book DIR; gutta book new DIR makes one"));
        };
        let scale = Flag::of("--scale", typed.scale);
        // A name begins with a letter; all else is read as a division.
        let is_name = |text: &str| {
            let text = text.trim_start();
            text.starts_with(|c: char| c.is_alphabetic() || c == '_')
        };
        if let Some(scale) = scale.filter(|scale| !is_name(scale.text)) {
            return Err(scale
                .wrong("no-name", "a division alone cannot be kept with a dropper")
                .hint("name a scale of the book, such as --scale bench; or leave it out, and the doubt of the readings is not counted"));
        }
        let date = Flag::needed(
            "--date",
            "the day of the weighings",
            self.date.as_ref(),
            "type it with all digits, such as --date 2026-11-25",
        )?;
        let day = Date::typed(date.text).map_err(|error| {
            date.wrong(error.kind_name(), error.to_string())
                .hint("type year, month and day with all digits, such as --date 2026-11-25")
        })?;
        Ok(Some(Kept {
            flag,
            entry: NewDropper {
                name: flag.text.trim().to_owned(),
                liquid: typed.liquid.map_or("water", String::as_str).to_owned(),
                date: day,
                scale: typed.scale.cloned(),
                running: typed.running,
                temperature: typed.temp.cloned(),
                pressure: typed.pressure.cloned(),
                humidity: typed.humidity.cloned(),
                weighings: typed.readings.to_vec(),
                note: self.note.clone(),
            },
            folder,
            now: shelf.now(),
            replacing: self.replace,
        }))
    }
}

impl Kept<'_> {
    /// What the journal keeps of it.
    fn recorded(&self) -> NewEntry {
        let new = &self.entry;
        let texts = [
            (field::DROPPER, Some(&new.name)),
            (field::LIQUID, Some(&new.liquid)),
            (field::SCALE, new.scale.as_ref()),
            (field::TEXT, new.note.as_ref()),
        ];
        let mut fields = Map::new();
        for (field, text) in texts {
            if let Some(text) = text {
                fields.insert(field.to_owned(), text.as_str().into());
            }
        }
        fields.insert(field::DAY.to_owned(), new.date.to_string().into());
        let weighings = new.weighings.iter().map(|text| text.as_str().into());
        fields.insert(
            field::WEIGHINGS.to_owned(),
            Value::Array(weighings.collect()),
        );
        NewEntry {
            at: self.now,
            kind: kind::DROPPER_CALIBRATED.to_owned(),
            fields,
        }
    }

    /// Keeps it, and says so.
    pub fn save(self, answer: &mut Answer) -> Outcome<()> {
        // A journal that is broken is said to be before anything is kept.
        Journal::read(self.folder).map_err(|errors| of_book(&errors))?;
        save_dropper(self.folder, &self.entry, self.replacing).map_err(|errors| {
            let first = errors.first();
            if first.kind() != BookErrorKind::Taken {
                return of_book(&errors);
            }
            let mut failure = self
                .flag
                .wrong(first.kind_name(), first.to_string())
                .hint(first.hint().unwrap_or_default());
            failure.report_mut().exit = Exit::Refused;
            failure
        })?;
        // The journal remembers what a later calibration takes the place of.
        Journal::add(self.folder, &[self.recorded()]).map_err(|error| of_entry(&error))?;
        let file = self.folder.join(EntryKind::Dropper.file());
        let has_scale = self.entry.scale.is_some();
        dropper::say_kept(
            answer,
            &self.entry.name,
            &file.display().to_string(),
            has_scale,
        );
        Ok(())
    }
}
