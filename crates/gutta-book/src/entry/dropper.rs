//! `droppers.toml`: calibrations as they were done, weighing by weighing.

use gutta::bench::{Calibrating, CountedDrops, Dropped, Readings, together};
use gutta::matter::{Air, Liquid};
use gutta::measure::{
    AIR_PRESSURE, Kind, Pressure, RELATIVE_HUMIDITY, Ratio, Reading, Scale, Temperature,
    WATER_TEMPERATURE,
};

use super::liquid::dropped;
use super::{LiquidEntry, NAME, NOTE, Quantity, ScaleEntry};
use crate::date::Date;
use crate::error::{BookError, BookErrorKind};
use crate::name::{EntryKind, NoSuchName};
use crate::page::{Faults, Page, Written};
use crate::shelf::{Entry, Shelf};
use crate::tables::{self, Field, Fields, Layout, Table};

/// A dropper of the book, with the weighings it was calibrated by.
#[derive(Clone, Debug)]
pub struct DropperEntry {
    /// The name it is called by.
    pub name: String,
    /// The liquid that was dropped: `water`, a liquid of the book, or one whose
    /// name says what is in it.
    pub liquid: String,
    /// The day of the calibration.
    pub date: Date,
    /// The weighings as they are written.
    pub typed: Vec<CountedDrops>,
    /// The calibration as it was done.
    pub calibrating: Calibrating,
    /// Words kept with it.
    pub note: Option<String>,
}

impl Entry for DropperEntry {
    const KIND: EntryKind = EntryKind::Dropper;

    fn name(&self) -> &str {
        &self.name
    }
}

const LIQUID: Field = Field::required("liquid", "\"water\"");
const DATE: Field = Field::required("date", "2026-03-14");
const WEIGHINGS: Field = Field::required("weighings", "[\"20 = 0.974 g\", \"20 = 0.981 g\"]");
const SCALE: Field = Field::optional("scale", "\"bench\"");
const RUNNING: Field = Field::optional("running", "true");
const TEMPERATURE: Quantity<Temperature> = Quantity::new(
    Field::optional("temperature", "\"21.5 °C\""),
    Kind::Temperature,
    Reading::temperature,
    &WATER_TEMPERATURE,
)
.or_instead("write the temperature of the room and the liquid, or leave it out to take 20 °C");
const PRESSURE: Quantity<Pressure> = Quantity::new(
    Field::optional("pressure", "\"1003 hPa\""),
    Kind::Pressure,
    Reading::pressure,
    &AIR_PRESSURE,
);
const HUMIDITY: Quantity<Ratio> = Quantity::new(
    Field::optional("humidity", "\"50 %\""),
    Kind::Share,
    Reading::share,
    &RELATIVE_HUMIDITY,
);

static LAYOUT: Layout = Layout {
    file: EntryKind::Dropper.file(),
    fields: &[],
    table: Some(Table {
        name: EntryKind::Dropper.word(),
        fields: &[
            NAME,
            LIQUID,
            DATE,
            SCALE,
            RUNNING,
            TEMPERATURE.field,
            PRESSURE.field,
            HUMIDITY.field,
            WEIGHINGS,
            NOTE,
        ],
    }),
};

/// The droppers of a file, with the scales and liquids of the same book.
pub(crate) fn read(
    page: &Page,
    scales: &Shelf<ScaleEntry>,
    liquids: &Shelf<LiquidEntry>,
    faults: &mut Faults<'_>,
) -> Shelf<DropperEntry> {
    let sheet = tables::read(page, &LAYOUT, faults);
    let mut shelf = Shelf::new(sheet.whole);
    for fields in &sheet.tables {
        let before = faults.count();
        let name = fields.text(&NAME, faults);
        let is_new = name
            .as_ref()
            .is_some_and(|name| shelf.declare(name, page, faults));
        let air = air(fields, faults);
        let dropped = liquid(fields, liquids, air.as_ref(), faults);
        let date = fields.date(&DATE, faults);
        let scale = scale(fields, scales, faults);
        let readings = readings(fields, faults);
        let note = fields.note(&NOTE, faults);
        let (Some(name), Some(date), Some((typed, readings)), true) =
            (name, date, readings, is_new && faults.count() == before)
        else {
            continue;
        };
        // A liquid or a scale may be there and faulty in its own file.
        let (Some((liquid, dropped)), Some(scale)) = (dropped, scale) else {
            continue;
        };
        shelf.put(DropperEntry {
            name: name.value().to_owned(),
            liquid,
            date,
            typed,
            calibrating: Calibrating {
                readings,
                liquid: dropped,
                scale,
                air,
            },
            note,
        });
    }
    shelf
}

fn no_such(text: &Written<'_>, field: &Field, no: &NoSuchName, faults: &mut Faults<'_>) {
    let error = BookError::new(BookErrorKind::NoSuchName, no.to_string())
        .with_hint(no.hint())
        .with_field(field.name);
    faults.add(&text.whole(), error);
}

/// The liquid's name and what it is to the calibration.
fn liquid(
    fields: &Fields<'_>,
    liquids: &Shelf<LiquidEntry>,
    air: Option<&Air>,
    faults: &mut Faults<'_>,
) -> Option<(String, Dropped)> {
    let text = fields.text(&LIQUID, faults)?;
    let liquid = match liquids.refer(text.value()) {
        Ok(entry) => entry?.liquid(),
        // A name may say what is in the liquid, and need no entry.
        Err(no) => match Liquid::named(text.value()) {
            Ok(Some(liquid)) => liquid,
            Ok(None) => {
                no_such(&text, &LIQUID, &no, faults);
                return None;
            }
            Err(error) => {
                faults.add_quantity(&text, LIQUID.name, &error);
                return None;
            }
        },
    };
    let room = Air::ROOM;
    let temperature = air.unwrap_or(&room).temperature();
    match dropped(&liquid, temperature) {
        Ok(dropped) => Some((liquid.name, dropped)),
        Err(error) if error.kind() == gutta::ErrorKind::Missing => {
            let error = BookError::new(
                BookErrorKind::MissingField,
                format!("the density of {} is not known", liquid.name),
            )
            .with_hint(format!(
                "write it into {}: density = \"0.912 g/mL\"",
                EntryKind::Liquid.file()
            ))
            .with_field(LIQUID.name);
            faults.add(&text.whole(), error);
            None
        }
        Err(error) => {
            faults.add_quantity(&text, LIQUID.name, &error);
            None
        }
    }
}

/// The scale it was weighed on: `Some(None)` when none is named.
#[allow(
    clippy::option_option,
    reason = "none named, and named but faulty, are two things"
)]
fn scale(
    fields: &Fields<'_>,
    scales: &Shelf<ScaleEntry>,
    faults: &mut Faults<'_>,
) -> Option<Option<Scale>> {
    let Some(text) = fields.text(&SCALE, faults) else {
        return Some(None);
    };
    match scales.refer(text.value()) {
        Ok(entry) => entry.map(|entry| Some(entry.scale)),
        Err(no) => {
            no_such(&text, &SCALE, &no, faults);
            None
        }
    }
}

/// The air of the room, when anything of it is given.
fn air(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<Air> {
    let temperature = TEMPERATURE.of(fields, faults);
    let pressure = PRESSURE.of(fields, faults);
    let humidity = HUMIDITY.of(fields, faults);
    if temperature.is_none() && pressure.is_none() && humidity.is_none() {
        return None;
    }
    let room = Air::ROOM;
    Air::new(
        temperature.unwrap_or(*room.temperature()),
        pressure.unwrap_or(*room.pressure()),
        humidity.unwrap_or(*room.humidity()),
    )
    .ok()
}

/// The weighings, each read as it was written.
fn readings(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<(Vec<CountedDrops>, Readings)> {
    let is_running = fields.truth(&RUNNING, faults).unwrap_or(false);
    let texts = fields.texts(&WEIGHINGS, faults)?;
    let counted: Vec<CountedDrops> = texts
        .iter()
        .filter_map(|text| match CountedDrops::read(text.value()) {
            Ok(counted) => Some(counted),
            Err(error) => {
                faults.add_quantity(text, WEIGHINGS.name, &error);
                None
            }
        })
        .collect();
    if counted.len() < texts.len() {
        return None;
    }
    match together(&counted, is_running) {
        Ok(readings) => Some((counted, readings)),
        Err(misfit) => {
            faults.add_quantity(texts.get(misfit.weighing)?, WEIGHINGS.name, &misfit.error);
            None
        }
    }
}
