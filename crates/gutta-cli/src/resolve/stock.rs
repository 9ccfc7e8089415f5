//! What is known of a lot of leaf: by lots.csv, or by the journal.

use gutta::Moisture;
use gutta::blend::batch::Price;
use gutta::matter::Method;
use gutta::measure::{Kind, Mass, Measured, Reading, Unit, read};
use gutta_book::{Book, Date, Journal, LotEntry, LotRecord, is_same_name};

use crate::say;

/// A lot with its moisture.
#[derive(Clone, Debug)]
pub struct KnownLot {
    /// The name it is called by.
    pub name: String,
    /// What leaf it is, in words.
    pub leaf: Option<String>,
    /// Its moisture, wet basis, with its doubt.
    pub moisture: Measured<Moisture>,
    /// The moisture as it is written, or as it would be.
    pub typed: Reading,
    /// How the moisture was found.
    pub method: Option<Method>,
    /// What it costs, by lots.csv.
    pub price: Option<Price>,
    /// What there is of it, by lots.csv.
    pub stock: Option<Mass>,
    /// The day on which it was found.
    date: Option<Date>,
    /// Whether the journal says it.
    is_by_journal: bool,
    /// Whether the journal has entries of it that cannot be.
    is_in_doubt: bool,
}

impl KnownLot {
    /// What is to be said behind its moisture: where it is from, and of when.
    pub fn source(&self) -> String {
        let of = match (&self.date, self.is_by_journal) {
            (Some(date), true) => format!(", by the journal, {date}"),
            (Some(date), false) => format!(", as measured on {date}"),
            (None, _) => String::new(),
        };
        if self.is_in_doubt {
            return of + "; what the journal says of it cannot be: see gutta book check";
        }
        of
    }

    /// The same where it is not lots.csv alone that says it.
    pub fn news(&self) -> Option<String> {
        (self.is_by_journal || self.is_in_doubt).then(|| self.source())
    }

    fn of_book(lot: &LotEntry) -> Self {
        Self {
            name: lot.name.clone(),
            leaf: lot.leaf.clone(),
            moisture: lot.moisture,
            typed: lot.typed.clone(),
            method: lot.method,
            price: lot.price,
            stock: lot.stock,
            date: lot.date,
            is_by_journal: false,
            is_in_doubt: false,
        }
    }

    /// A lot of the journal; none where it is used up or cannot be.
    fn of_journal(lot: &LotRecord) -> Option<Self> {
        let moisture = lot.history.now().ok()?.moisture?;
        let as_typed = lot.typed.clone().and_then(|typed| {
            let measured = Moisture::read(&typed).ok()?;
            Some((typed, measured))
        });
        let as_printed = || {
            let text = if moisture.u() > 0.0 {
                say::with_doubt(&moisture, Unit::PERCENT)
            } else {
                say::estimate(&moisture, Unit::PERCENT)
            };
            let typed = read(&text, &[Kind::Share]).ok()?;
            Some((typed, moisture.measured()))
        };
        let (typed, moisture) = as_typed.or_else(as_printed)?;
        Some(Self {
            name: lot.name.clone(),
            leaf: None,
            moisture,
            typed,
            method: lot.method,
            price: None,
            stock: None,
            date: Some(lot.found),
            is_by_journal: true,
            is_in_doubt: false,
        })
    }
}

/// The lots of a book: those of lots.csv, then those of the journal alone. Of one
/// that stands in both the newer counts; of one day, that of lots.csv.
pub fn known(book: &Book, journal: &Journal) -> Vec<KnownLot> {
    let mut lots: Vec<KnownLot> = book.lots().map(KnownLot::of_book).collect();
    let found = journal.lots_found();
    for wrong in &found.wrong {
        doubt(&mut lots, &wrong.name);
    }
    for record in &found.sound {
        if record.history.fault().is_some() {
            doubt(&mut lots, &record.name);
            continue;
        }
        let Some(by_journal) = KnownLot::of_journal(record) else {
            continue;
        };
        match lots
            .iter_mut()
            .find(|lot| is_same_name(&lot.name, &record.name))
        {
            Some(lot) if lot.date < by_journal.date => {
                *lot = KnownLot {
                    name: lot.name.clone(),
                    leaf: lot.leaf.take(),
                    price: lot.price,
                    stock: lot.stock,
                    ..by_journal
                };
            }
            Some(_) => {}
            None => lots.push(by_journal),
        }
    }
    lots
}

fn doubt(lots: &mut [KnownLot], name: &str) {
    let lot = lots.iter_mut().find(|lot| is_same_name(&lot.name, name));
    if let Some(lot) = lot {
        lot.is_in_doubt = true;
    }
}
