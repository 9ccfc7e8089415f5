//! The lots of leaf that the components of a formula are weighed from.

use gutta::Moisture;
use gutta::measure::{Kind, Measured, Reading, read};

use super::shelf::Shelf;
use super::stock::KnownLot;
use super::{Assumed, Flag, moved};
use crate::failure::Outcome;

/// A lot as it was named or typed.
#[derive(Clone, Debug, Default)]
pub struct SaidLot {
    /// Its name, where it is one of the book.
    pub name: Option<String>,
    /// Its moisture, as it is written.
    pub moisture: Option<String>,
    /// The same, with its doubt.
    pub typed: Option<Reading>,
    /// What it was found on: the lot, or the flag that all leaf shares.
    pub source: Option<String>,
    /// The lots of the book that it could be, where they are several.
    pub candidates: Vec<String>,
}

/// A moisture with how it is said.
pub type Found = (Option<Measured<Moisture>>, SaidLot);

/// What stands behind the = of `oriental = sun-25`: a lot of the book, or a
/// moisture.
pub fn named(
    flag: Flag<'_>,
    at: usize,
    component: &str,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Found> {
    let behind = &flag.text[at..];
    let at = at + behind.len() - behind.trim_start().len();
    let text = behind.trim();
    if text.is_empty() {
        return Err(flag
            .wrong("missing", format!("no lot is named for {component}"))
            .hint(
                "type a lot of the book or a moisture behind the =, such as \"oriental = 12%\"",
            ));
    }
    if text.starts_with(|c: char| c.is_alphabetic()) {
        return of_name(Flag::new(flag.name, text), component, shelf, assumed);
    }
    let reading = read(text, &[Kind::Share]).map_err(|error| moved(flag, error, at))?;
    let moisture = Moisture::read(&reading).map_err(|error| moved(flag, error, at))?;
    assumed.exact_if(
        moisture.is_exact(),
        format!("moisture of {component} {}", reading.unbroken()),
    );
    let said = SaidLot {
        moisture: Some(reading.unbroken_value()),
        typed: Some(reading),
        ..SaidLot::default()
    };
    Ok((Some(moisture), said))
}

/// A lot of the book by its name.
pub fn of_name(
    flag: Flag<'_>,
    component: &str,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Found> {
    let lot = shelf.lot(flag)?;
    Ok(of_book(component, lot, assumed))
}

/// The lot that a component is called like: by its name, or by its leaf where
/// only one lot is of that leaf.
pub fn called(component: &str, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Option<Found>> {
    let lots = shelf.lots()?;
    let by_name = lots
        .iter()
        .find(|lot| lot.name.eq_ignore_ascii_case(component));
    if let Some(lot) = by_name {
        return Ok(Some(of_book(component, lot, assumed)));
    }
    let is_leaf = |lot: &&KnownLot| {
        let leaf = lot.leaf.as_deref();
        leaf.is_some_and(|leaf| leaf.eq_ignore_ascii_case(component))
    };
    let of_leaf: Vec<&KnownLot> = lots.iter().filter(is_leaf).collect();
    Ok(match of_leaf.as_slice() {
        [] => None,
        [lot] => Some(of_book(component, lot, assumed)),
        several => {
            let said = SaidLot {
                candidates: several.iter().map(|lot| lot.name.clone()).collect(),
                ..SaidLot::default()
            };
            Some((None, said))
        }
    })
}

fn of_book(component: &str, lot: &KnownLot, assumed: &mut Assumed) -> Found {
    assumed.exact_if(
        lot.moisture.is_exact(),
        format!("moisture of {component} {}", lot.typed.unbroken()),
    );
    if let Some(method) = lot.method {
        assumed.carry(method);
    }
    if let Some(news) = lot.news() {
        assumed.once(format!("lot {}: {}{news}", lot.name, lot.typed.unbroken()));
    }
    let said = SaidLot {
        name: Some(lot.name.clone()),
        moisture: Some(lot.typed.unbroken_value()),
        typed: Some(lot.typed.clone()),
        source: Some(lot.name.clone()),
        candidates: Vec::new(),
    };
    (Some(lot.moisture), said)
}
