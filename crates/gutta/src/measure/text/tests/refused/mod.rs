//! Texts that are not read: which trouble, in which words, where.

mod doubts;
mod numbers;
mod units;

use crate::error::ErrorKind;
use crate::measure::text::{Kind, read};

/// Each text, the stretch pointed at, the message and the hint.
fn refused(accepts: &[Kind], kind: ErrorKind, rows: &[(&str, &str, &str, &str)]) {
    for (text, stretch, message, hint) in rows {
        let error = read(text, accepts).expect_err(text);
        let place = error.place().expect(text);
        assert_eq!(error.to_string(), *message, "{text}");
        assert_eq!(error.hint(), Some(*hint), "{text}");
        assert_eq!(error.kind(), kind, "{text}");
        assert_eq!(&text[place.at..place.at + place.len], *stretch, "{text}");
        assert_eq!(place.text, *text);
    }
}

const MASS: &[Kind] = &[Kind::Mass];
const SHARE: &[Kind] = &[Kind::Share];
const TEMPERATURE: &[Kind] = &[Kind::Temperature];
const DOSE: &[Kind] = &[Kind::Drops, Kind::Mass, Kind::Volume, Kind::Share];
