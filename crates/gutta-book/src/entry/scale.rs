//! `scales.toml`: the weighing instruments.

use gutta::measure::{DIVISION, Kind, MASS, Mass, Scalar, Scale};

use super::{NAME, NOTE, quantity_within};
use crate::name::EntryKind;
use crate::page::{Faults, Page};
use crate::shelf::{Entry, Shelf};
use crate::tables::{self, Field, Fields, Layout, Table};

/// A scale of the book.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleEntry {
    /// The name it is called by.
    pub name: String,
    /// Its division and repeatability.
    pub scale: Scale,
    /// Words kept with it.
    pub note: Option<String>,
}

impl Entry for ScaleEntry {
    const KIND: EntryKind = EntryKind::Scale;

    fn name(&self) -> &str {
        &self.name
    }
}

const DIVISION_FIELD: Field = Field::required("division", "\"0.01 g\"");
const REPEATABILITY: Field = Field::optional("repeatability", "\"0.008 g\"");

static LAYOUT: Layout = Layout {
    file: EntryKind::Scale.file(),
    fields: &[],
    table: Some(Table {
        name: EntryKind::Scale.word(),
        fields: &[NAME, DIVISION_FIELD, REPEATABILITY, NOTE],
    }),
};

/// The scales of a file.
pub(crate) fn read(page: &Page, faults: &mut Faults<'_>) -> Shelf<ScaleEntry> {
    let sheet = tables::read(page, &LAYOUT, faults);
    let mut shelf = Shelf::new(sheet.whole);
    for fields in &sheet.tables {
        let name = fields.text(&NAME, faults);
        let is_new = name
            .as_ref()
            .is_some_and(|name| shelf.declare(name, page, faults));
        let scale = scale(fields, faults);
        let note = fields.note(&NOTE, faults);
        if let (Some(name), Some(scale), true) = (name, scale, is_new) {
            shelf.put(ScaleEntry {
                name: name.value().to_owned(),
                scale,
                note,
            });
        }
    }
    shelf
}

fn scale(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<Scale> {
    let before = faults.count();
    let division = quantity_within(fields, &DIVISION_FIELD, Kind::Mass, &DIVISION, faults);
    let repeatability = quantity_within(fields, &REPEATABILITY, Kind::Mass, &MASS, faults);
    if faults.count() > before {
        return None;
    }
    let mass = |base| Mass::of_base(base);
    let scale = Scale::new(mass(division?.0.base())).ok()?;
    match repeatability {
        None => Some(scale),
        Some((reading, _)) => scale.with_repeatability(mass(reading.base())).ok(),
    }
}
