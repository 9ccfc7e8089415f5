//! `droppers.toml`: calibrations as they were done, weighing by weighing.

use gutta::bench::{Calibrating, CountedDrops, Dropped, Readings, together};
use gutta::matter::Air;
use gutta::measure::{AIR_PRESSURE, Kind, RELATIVE_HUMIDITY, Scale, WATER_TEMPERATURE};

use super::{LiquidEntry, NAME, NOTE, ScaleEntry, exact_or_measured, quantity_within};
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
    /// The liquid that was dropped: `water`, or a liquid of the book.
    pub liquid: String,
    /// The day of the calibration.
    pub date: Date,
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
const TEMPERATURE: Field = Field::optional("temperature", "\"21.5 °C\"");
const PRESSURE: Field = Field::optional("pressure", "\"1003 hPa\"");
const HUMIDITY: Field = Field::optional("humidity", "\"50 %\"");

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
            TEMPERATURE,
            PRESSURE,
            HUMIDITY,
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
        let dropped = liquid(fields, liquids, faults);
        let date = fields.date(&DATE, faults);
        let scale = scale(fields, scales, faults);
        let air = air(fields, faults);
        let readings = readings(fields, faults);
        let note = fields.note(&NOTE, faults);
        let (Some(name), Some(date), Some(readings), true) =
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
    faults: &mut Faults<'_>,
) -> Option<(String, Dropped)> {
    let text = fields.text(&LIQUID, faults)?;
    let entry = match liquids.refer(text.value()) {
        Ok(entry) => entry?,
        Err(no) => {
            no_such(&text, &LIQUID, &no, faults);
            return None;
        }
    };
    if entry.composition == Some(gutta::Composition::water()) {
        return Some((entry.name.clone(), Dropped::Water));
    }
    let Some(density) = entry.density else {
        let error = BookError::new(
            BookErrorKind::MissingField,
            format!("the density of {} is not known", entry.name),
        )
        .with_hint(format!(
            "write it into {}: density = \"0.912 g/mL\"",
            EntryKind::Liquid.file()
        ))
        .with_field(LIQUID.name);
        faults.add(&text.whole(), error);
        return None;
    };
    Some((entry.name.clone(), Dropped::Other(density)))
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
    let temperature = quantity_within(
        fields,
        &TEMPERATURE,
        Kind::Temperature,
        &WATER_TEMPERATURE,
        faults,
    );
    let pressure = quantity_within(fields, &PRESSURE, Kind::Pressure, &AIR_PRESSURE, faults);
    let humidity = quantity_within(fields, &HUMIDITY, Kind::Share, &RELATIVE_HUMIDITY, faults);
    if temperature.is_none() && pressure.is_none() && humidity.is_none() {
        return None;
    }
    let room = Air::ROOM;
    Air::new(
        temperature.map_or(*room.temperature(), |(r, _)| {
            exact_or_measured(r.temperature())
        }),
        pressure.map_or(*room.pressure(), |(r, _)| exact_or_measured(r.pressure())),
        humidity.map_or(*room.humidity(), |(r, _)| exact_or_measured(r.share())),
    )
    .ok()
}

/// The weighings, each read as it was written.
fn readings(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<Readings> {
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
        Ok(readings) => Some(readings),
        Err(misfit) => {
            faults.add_quantity(texts.get(misfit.weighing)?, WEIGHINGS.name, &misfit.error);
            None
        }
    }
}
