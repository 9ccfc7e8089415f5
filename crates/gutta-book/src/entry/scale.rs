//! `scales.toml`: the weighing instruments.

use gutta::measure::{DIVISION, Kind, MASS, Mass, Reading, Scale};

use super::{NAME, NOTE, Quantity};
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

const STEP: Quantity<Mass> = Quantity::new(
    Field::required("division", "\"0.01 g\""),
    Kind::Mass,
    Reading::mass,
    &DIVISION,
);
const REPEATABILITY: Quantity<Mass> = Quantity::new(
    Field::optional("repeatability", "\"0.008 g\""),
    Kind::Mass,
    Reading::mass,
    &MASS,
)
.or_instead("write the standard deviation of one reading, such as \"0.008 g\", or leave it out");

static LAYOUT: Layout = Layout {
    file: EntryKind::Scale.file(),
    fields: &[],
    table: Some(Table {
        name: EntryKind::Scale.word(),
        fields: &[NAME, STEP.field, REPEATABILITY.field, NOTE],
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
    let division = STEP.exact(fields, faults);
    let repeatability = REPEATABILITY.exact(fields, faults);
    if faults.count() > before {
        return None;
    }
    let scale = Scale::new(division?).ok()?;
    match repeatability {
        None => Some(scale),
        Some(repeatability) => scale.with_repeatability(repeatability).ok(),
    }
}
