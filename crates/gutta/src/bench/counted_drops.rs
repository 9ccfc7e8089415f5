//! Counted drops and what they weigh, from a text such as `20 = 0.974 g`.
//!
//! The weighings of a bench book and those on a command line are read by the
//! same code, with or without blanks.

use super::weighings::{Readings, Weighing};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    DROP_COUNT, Drops, Kind, MASS, Mass, Measured, Range, Reading, Scalar, VOLUME, Volume, read,
};

const FORM: &str = "write the count, = and what the drops weigh, such as 20 = 0.974 g";

/// Counted drops with what they weigh, or with the mark they reach, as
/// somebody typed it.
///
/// ```
/// use gutta::bench::CountedDrops;
///
/// let typed = CountedDrops::read("20=0.612g")?;
/// assert_eq!(typed.drops(), 20);
/// assert_eq!(typed.amount().to_string(), "0.612 g");
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct CountedDrops {
    drops: u32,
    amount: Reading,
}

/// Why typed weighings do not go together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// The weighing that does not fit, counted from 0.
    pub weighing: usize,
    /// What is wrong with it; without a place.
    pub error: Error,
}

impl CountedDrops {
    /// Reads `N = AMOUNT`: a whole count of drops, above 0 and up to ten
    /// million, and a mass or a volume, above 0 and up to 1 000 t or 1 000 m³.
    ///
    /// # Errors
    /// When it is not such a text, with the place in `text`.
    pub fn read(text: &str) -> Result<Self> {
        let Some((before, behind)) = text.split_once('=') else {
            let error = Error::new(
                ErrorKind::Missing,
                format!("there is no = in `{}`", text.trim()),
            );
            return Err(placed(error.with_hint(FORM), text, text));
        };
        let typed = text.trim_end();
        let alone = typed.trim_end_matches([',', ';']);
        if alone.len() < typed.len() {
            let mark = &typed[alone.len()..];
            let error = Error::new(
                ErrorKind::Stray,
                format!("`{mark}` stands behind the reading"),
            )
            .with_hint(format!("write {} without it", alone.trim()));
            return Err(placed(error, text, mark));
        }
        if let Some(each) = several(text) {
            let error = Error::new(
                ErrorKind::Stray,
                format!("{} readings stand in the place of one", each.len()),
            )
            .with_hint(format!("write each by itself: {}", each.join(" ")));
            return Err(placed(error, text, text));
        }
        let drops = drops(before).map_err(|error| placed(error, text, before))?;
        let within = |range: &Range, reading: &Reading| {
            range.check_typed(reading.base(), &reading.to_string())
        };
        let amount = read(behind, &[Kind::Mass, Kind::Volume])
            .and_then(|reading| {
                let range = if reading.kind() == Kind::Mass {
                    &MASS
                } else {
                    &VOLUME
                };
                within(range, &reading).map(|()| reading)
            })
            .map_err(|error| placed(error, text, behind))?;
        Ok(Self { drops, amount })
    }

    /// How many drops were counted.
    pub const fn drops(&self) -> u32 {
        self.drops
    }

    /// What they weigh or fill: a mass or a volume.
    pub const fn amount(&self) -> &Reading {
        &self.amount
    }

    fn weighing<Q: Scalar>(&self, amount: Option<Measured<Q>>) -> Option<Weighing<Q>> {
        Some(Weighing {
            drops: self.drops,
            amount: amount?,
            last_place: Q::of_base(self.amount.last_place()),
        })
    }

    fn weighed(&self) -> Option<Weighing<Mass>> {
        self.weighing(self.amount.mass())
    }

    fn filled(&self) -> Option<Weighing<Volume>> {
        self.weighing(self.amount.volume())
    }
}

/// The readings of a calibration from typed weighings: all masses, or all
/// volumes. `is_running` says that drops and masses count on from one zero.
///
/// # Errors
/// When there are none; masses and volumes are mixed; volumes are a running
/// total; a running total does not rise.
pub fn together(typed: &[CountedDrops], is_running: bool) -> std::result::Result<Readings, Misfit> {
    let Some(first) = typed.first() else {
        let error = Error::new(ErrorKind::Empty, "no weighing was given").with_hint(FORM);
        return Err(Misfit { weighing: 0, error });
    };
    let kind = first.amount.kind();
    if let Some(weighing) = typed.iter().position(|t| t.amount.kind() != kind) {
        let error = Error::new(ErrorKind::WrongKind, "masses and volumes are mixed")
            .with_hint("weigh all, or fill all to a mark: one dropper for each");
        return Err(Misfit { weighing, error });
    }
    if kind == Kind::Volume {
        if is_running {
            let error = Error::new(
                ErrorKind::WrongKind,
                "a running total is weighed, not filled",
            )
            .with_hint("write each volume from empty, and no running total");
            return Err(Misfit { weighing: 0, error });
        }
        let filled = typed.iter().filter_map(CountedDrops::filled);
        return Ok(Readings::ToMark(filled.collect()));
    }
    let weighed = typed.iter().filter_map(CountedDrops::weighed).collect();
    if !is_running {
        return Ok(Readings::Singly(weighed));
    }
    let rises = |pair: &[CountedDrops]| {
        pair[1].drops > pair[0].drops && pair[1].amount.base() > pair[0].amount.base()
    };
    if let Some(at) = typed.windows(2).position(|pair| !rises(pair)) {
        let weighing = at + 1;
        let error = Error::new(
            ErrorKind::OutOfRange,
            format!("weighing {} of a running total does not rise", weighing + 1),
        )
        .with_hint("write drops and mass since the one zero, such as 20 = 0.612 g, 40 = 1.218 g");
        return Err(Misfit { weighing, error });
    }
    Ok(Readings::Running(weighed))
}

/// The readings of a text that holds several, with commas or blanks between
/// them: each `=` but the first has a count of its own in front.
fn several(text: &str) -> Option<Vec<String>> {
    let (_, behind) = text.split_once('=')?;
    let mut starts = vec![0];
    for (at, _) in behind.match_indices('=') {
        let before = &text[..text.len() - behind.len() + at];
        let count = before
            .trim_end()
            .trim_end_matches(|c: char| c.is_ascii_digit());
        let is_apart = count.ends_with(|c: char| ",;".contains(c) || c.is_whitespace());
        if !is_apart || count.len() == before.trim_end().len() {
            return None;
        }
        starts.push(count.len());
    }
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    let each: Vec<String> = starts
        .iter()
        .zip(ends)
        .map(|(start, end)| {
            let one =
                text[*start..end].trim_matches(|c: char| ",;".contains(c) || c.is_whitespace());
            one.split_whitespace().collect()
        })
        .collect();
    (each.len() > 1).then_some(each)
}

/// A count of drops: digits, or digits with the unit.
fn drops(text: &str) -> Result<u32> {
    let typed = text.trim();
    let count = if typed.is_empty() {
        return Err(Error::new(ErrorKind::Empty, "the count of drops is missing").with_hint(FORM));
    } else if typed.bytes().all(|b| b.is_ascii_digit()) {
        typed.parse::<f64>().ok()
    } else {
        // A count with a doubt is no count.
        read(typed, &[Kind::Drops])
            .ok()
            .filter(Reading::is_exact)
            .map(|reading| reading.base())
            .filter(|count| count.fract() == 0.0)
    };
    let Some(count) = count else {
        let error = Error::new(
            ErrorKind::Number,
            format!("`{typed}` is no whole count of drops"),
        );
        return Err(error.with_hint(FORM));
    };
    DROP_COUNT.check_base(count)?;
    // The range above keeps the count far below the largest of these.
    Ok(u32::try_from(Drops::new(count).whole()).unwrap_or(u32::MAX))
}

/// An error of a part of a text with its place in the whole; without one of
/// its own it is about all of the part.
fn placed(error: Error, text: &str, part: &str) -> Error {
    let offset = part.as_ptr() as usize - text.as_ptr() as usize;
    let (at, len) = match error.place() {
        Some(place) => (place.at, place.len),
        None => (part.len() - part.trim_start().len(), part.trim().len()),
    };
    error.with_place(text, offset + at, len)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_with_a_comma_between_are_told_apart() {
        for (text, message, hint) in [
            (
                "20=0.612g,20=0.606g",
                "2 readings stand in the place of one",
                "write each by itself: 20=0.612g 20=0.606g",
            ),
            (
                "20 = 0.612 g; 20 = 0.606 g 40=1.2g",
                "3 readings stand in the place of one",
                "write each by itself: 20=0.612g 20=0.606g 40=1.2g",
            ),
        ] {
            let error = CountedDrops::read(text).unwrap_err();
            assert_eq!(error.to_string(), message);
            assert_eq!(error.hint(), Some(hint));
            let place = error.place().unwrap();
            assert_eq!((place.at, place.len), (0, text.len()));
        }
        let error = CountedDrops::read("20=0.612g, ").unwrap_err();
        assert_eq!(error.to_string(), "`,` stands behind the reading");
        assert_eq!(error.hint(), Some("write 20=0.612g without it"));
        assert_eq!(
            error.place().map(|place| (place.at, place.len)),
            Some((9, 1))
        );
        // A second = that no count stands in front of is no second reading.
        for text in ["20=0.612=0.606g", "20==0.612g", "20=0,612g"] {
            assert_eq!(several(text), None, "{text}");
        }
    }
}
