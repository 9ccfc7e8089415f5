//! `liquids.toml`: what is in a liquid by mass, and its density.

use gutta::bench::Dropped;
use gutta::matter::{DensityOf, Liquid};
use gutta::measure::{
    DENSITY, Density, Kind, Measured, ROOM_TEMPERATURE, Reading, SURFACE_TENSION, SurfaceTension,
    Temperature,
};
use gutta::{Composition, Part};

use super::{NAME, NOTE, Quantity};
use crate::error::{BookError, BookErrorKind};
use crate::name::{EntryKind, folded};
use crate::page::{Faults, Page};
use crate::shelf::{Entry, Shelf};
use crate::tables::{self, Field, Fields, Layout, Table};

/// A liquid of the book.
#[derive(Clone, Debug, PartialEq)]
pub struct LiquidEntry {
    /// The name it is called by.
    pub name: String,
    /// Its density, where it is known; water's at 20 °C.
    pub density: Option<Measured<Density>>,
    /// What is in it by mass, where that is known.
    pub composition: Option<Composition>,
    /// Its surface tension, where it is known.
    pub surface_tension: Option<Measured<SurfaceTension>>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl LiquidEntry {
    /// Whether it is the water that every book knows. No other liquid has that
    /// name.
    pub fn is_water(&self) -> bool {
        folded(&self.name) == WATER
    }

    /// The liquid; where the book leaves open what is in it or its density, and
    /// its name says so, that of the name.
    pub fn liquid(&self) -> Liquid {
        let named = Liquid::named(&self.name).ok().flatten();
        let known = named.as_ref().and_then(|named| named.composition.clone());
        let composition = self.composition.clone().or(known);
        let mut liquid = Liquid::own(self.name.clone(), composition, self.density);
        if let (DensityOf::Unknown, Some(named)) = (liquid.density, &named) {
            liquid.density = named.density;
        }
        liquid.surface_tension = self.surface_tension;
        if self.is_water() {
            Liquid::water()
        } else {
            liquid
        }
    }
}

/// What a liquid is to a calibration at a temperature: water, the density of
/// which follows from it, or a liquid of a density.
///
/// # Errors
/// When its density is not known there.
pub(crate) fn dropped(
    liquid: &Liquid,
    temperature: &Measured<Temperature>,
) -> gutta::Result<Dropped> {
    if liquid.is_water() {
        return Ok(Dropped::Water);
    }
    let density = liquid.density(temperature)?;
    Ok(Dropped::Other(density.measured()))
}

impl Entry for LiquidEntry {
    const KIND: EntryKind = EntryKind::Liquid;

    fn name(&self) -> &str {
        &self.name
    }
}

/// The liquid that every book knows.
const WATER: &str = "water";

const OWN_DENSITY: Quantity<Density> = Quantity::new(
    Field::optional("density", "\"0.912 g/mL\""),
    Kind::Density,
    Reading::density,
    &DENSITY,
);

const OWN_TENSION: Quantity<SurfaceTension> = Quantity::new(
    Field::optional("surface_tension", "\"27.6 mN/m\""),
    Kind::SurfaceTension,
    Reading::surface_tension,
    &SURFACE_TENSION,
);

/// The parts of a liquid, each a field that holds its share by mass.
const PARTS: [(Part, Field); 6] = [
    (Part::Water, Field::optional("water", "\"35 %\"")),
    (Part::Alcohol, Field::optional("alcohol", "\"40 %\"")),
    (Part::Glycol, Field::optional("glycol", "\"50 %\"")),
    (Part::Glycerine, Field::optional("glycerine", "\"10 %\"")),
    (Part::Sugar, Field::optional("sugar", "\"45 %\"")),
    (Part::Solids, Field::optional("solids", "\"5 %\"")),
];

static LAYOUT: Layout = Layout {
    file: EntryKind::Liquid.file(),
    fields: &[],
    table: Some(Table {
        name: EntryKind::Liquid.word(),
        fields: &[
            NAME,
            OWN_DENSITY.field,
            OWN_TENSION.field,
            PARTS[0].1,
            PARTS[1].1,
            PARTS[2].1,
            PARTS[3].1,
            PARTS[4].1,
            PARTS[5].1,
            NOTE,
        ],
    }),
};

/// The liquids that are known without a file; `whole` says that there is none.
pub(crate) fn known(whole: bool) -> Shelf<LiquidEntry> {
    Shelf::new(whole).with(LiquidEntry {
        name: WATER.to_owned(),
        density: Some(Measured::exact(gutta::matter::water::density(
            ROOM_TEMPERATURE,
        ))),
        composition: Some(Composition::water()),
        surface_tension: None,
        note: None,
    })
}

/// The liquids of a file, water among them.
pub(crate) fn read(page: &Page, faults: &mut Faults<'_>) -> Shelf<LiquidEntry> {
    let sheet = tables::read(page, &LAYOUT, faults);
    let mut shelf = known(sheet.whole);
    for fields in &sheet.tables {
        let before = faults.count();
        let name = fields.text(&NAME, faults);
        let is_new = name
            .as_ref()
            .is_some_and(|name| shelf.declare(name, page, faults));
        let density = OWN_DENSITY.of(fields, faults);
        let surface_tension = OWN_TENSION.of(fields, faults);
        let composition = composition(fields, faults);
        let note = fields.note(&NOTE, faults);
        if faults.count() > before {
            continue;
        }
        if density.is_none() && composition.is_none() {
            let error = BookError::new(
                BookErrorKind::MissingField,
                "this liquid has neither a density nor a share of anything",
            )
            .with_hint("write density = \"0.912 g/mL\", or what is in it by mass, such as water = \"35 %\"")
            .with_field(OWN_DENSITY.field.name);
            faults.add(fields.heading(), error);
            continue;
        }
        if let (Some(name), true) = (name, is_new) {
            shelf.put(LiquidEntry {
                name: name.value().to_owned(),
                density,
                composition,
                surface_tension,
                note,
            });
        }
    }
    shelf
}

/// What is in it; none when no share is given.
fn composition(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<Composition> {
    let mut shares = Vec::new();
    let mut last = None;
    for (part, field) in &PARTS {
        let Some((reading, text)) = fields.quantity(field, Kind::Share, faults) else {
            continue;
        };
        let Some(share) = reading.share() else {
            continue;
        };
        shares.push((*part, share));
        // A share alone says whether it can be one at all.
        if let Err(error) = Composition::new(&shares[shares.len() - 1..]) {
            let error = error.with_hint(format!("write the share by mass: {}", field.line()));
            faults.add_quantity(&text, field.name, &error);
            shares.pop();
        }
        last = Some((text, field.name));
    }
    let (text, field) = last?;
    match Composition::new(&shares) {
        Ok(composition) => Some(composition),
        Err(error) => {
            faults.add_quantity(&text, field, &error);
            None
        }
    }
}
