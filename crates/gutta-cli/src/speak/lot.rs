//! Lots of the journal in sentences: what was written down, what is on hand.

use gutta::blend::record::LotNow;
use gutta::measure::{Mass, Scalar, Unit};
use gutta::{Estimate, Moisture};
use gutta_book::LotRecord;

use super::jar::put_entry;
use super::keys;
use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::record::Written;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    ON_HAND = "on_hand": GRAMS, "what is on hand, as weighed";
    DRY = "dry": GRAMS, "its dry matter";
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "its moisture, wet basis";
    LOT = "lot": Shape::Text, "the lot";
    FOUND = "found": Shape::Text, "the day on which its moisture was found last";
    LOTS = "lots": Shape::Rows { always: &[&LOT, &ON_HAND, &DRY, &FOUND], known: &[&MOISTURE] }, "the lots, in the order that they came in";
    ID = "id": Shape::Text, "the identifier of the entry";
    AT = "at": Shape::Text, "the moment of the entry, in UTC";
}

/// The keys of what is written down of a lot.
pub static WRITTEN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ON_HAND, &DRY, &LOT, &ID, &AT],
    known: &[&MOISTURE],
}];

/// The keys of `lot show`.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&LOTS],
    known: &[],
}];

/// A mass; what rounding leaves of one that is used up is nothing.
pub fn grams(mass: &Estimate<Mass>) -> String {
    if mass.best().base().abs() < 1e-9 {
        return "0\u{a0}g".to_owned();
    }
    Voice::plain(None).reading(mass)
}

fn row(name: &str, now: &LotNow) -> Row {
    Row::default()
        .with_text(&LOT, name.to_owned())
        .with(&ON_HAND, &now.as_weighed)
        .with(&DRY, &now.dry)
        .with_if(&MOISTURE, now.moisture.as_ref())
}

/// Its moisture with its ±, where it has one.
fn percent(at: &Estimate<Moisture>) -> String {
    if at.u() > 0.0 {
        say::with_doubt(at, Unit::PERCENT)
    } else {
        say::estimate(at, Unit::PERCENT)
    }
}

/// An entry about a lot, and what is on hand with it.
pub fn written(
    command: &'static str,
    written: &Written,
    name: &str,
    now: &LotNow,
    assumed: Assumed,
) -> Answer {
    let mut answer = Answer::new(
        command,
        format!(
            "Written down as {}: {} of {name} are on hand, {} dry.",
            written.id,
            grams(&now.as_weighed),
            grams(&now.dry)
        ),
    );
    answer.put(&ON_HAND, &now.as_weighed);
    answer.put(&DRY, &now.dry);
    answer.put_if(&MOISTURE, now.moisture.as_ref());
    answer.put_text(&LOT, name.to_owned());
    put_entry(&mut answer, written, &ID, &AT);
    answer.check = format!("all of it on the scale reads {}", grams(&now.as_weighed));
    if now.dry.u() > 0.0 {
        answer.doubt.push(format!(
            "its dry leaf {} (95\u{a0}%): {}",
            Voice::plain(None).with_doubt(&now.dry),
            say::drivers(&say::budget(&now.dry))
        ));
    } else {
        answer
            .doubt
            .push("not known: give the moisture with its ±, and the scale".to_owned());
    }
    assumed.settle(&mut answer);
    answer
}

/// What is on hand; `wrong` is said of the lots that cannot be.
pub fn show(lots: &[(LotRecord, LotNow)], wrong: &[String]) -> Answer {
    let headline = match lots {
        [] if wrong.is_empty() => "The journal knows no lot yet.".to_owned(),
        [] => "No lot of the journal can be followed.".to_owned(),
        [(lot, now)] => format!(
            "{} of {} are on hand, {} dry.",
            grams(&now.as_weighed),
            lot.name,
            grams(&now.dry)
        ),
        several => format!("{} lots.", several.len()),
    };
    let mut answer = Answer::new("lot show", headline);
    answer.put_rows(
        &LOTS,
        lots.iter()
            .map(|(lot, now)| row(&lot.name, now).with_text(&FOUND, lot.found.to_string()))
            .collect(),
    );
    if lots.len() > 1 {
        let cells = lots.iter().map(|(lot, now)| {
            vec![
                lot.name.clone(),
                grams(&now.as_weighed),
                grams(&now.dry),
                now.moisture.as_ref().map_or_else(String::new, percent),
                lot.found.to_string(),
            ]
        });
        answer.table = Some(Grid {
            is_words: false,
            columns: vec!["", "on hand", "dry", "moisture", "found"],
            rows: cells.collect(),
        });
    }
    if let [(lot, now)] = lots {
        answer.check = format!("all of it on the scale reads {}", grams(&now.as_weighed));
        if let Some(at) = &now.moisture {
            answer.details.push(format!(
                "It is at {}, found last on {}.",
                percent(at),
                lot.found
            ));
            answer
                .doubt
                .extend(say::doubt_of("its moisture", at, Unit::PERCENT));
        }
    }
    answer.cautions.extend_from_slice(wrong);
    answer.next.push(if lots.is_empty() {
        "write down what came in: gutta lot in bright-24a --mass 500g --at \"10.8% ± 1.0%\""
            .to_owned()
    } else {
        "write down what is taken: gutta lot take NAME --mass …".to_owned()
    });
    answer
}
