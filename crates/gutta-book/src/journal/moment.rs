//! Moments as text: one way in the file, several at the keyboard.
//!
//! # Why UTC, and not the time of the wall?
//!
//! A book goes from one computer to another, and a clock is put forward and back
//! twice a year. What is written down has one order everywhere only in UTC; a
//! moment of the wall is typed with its zone behind it.

use gutta::blend::record::Moment;
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

use crate::error::{BookError, BookErrorKind};
use crate::words::quote;

/// A moment as RFC 3339 writes it, in UTC: `2026-03-14T18:30:00Z`. What is beyond
/// the years that it has is written as the nearest that is not.
pub fn moment_text(moment: Moment) -> String {
    let end = Timestamp::MAX.as_second();
    let seconds = moment.seconds().clamp(Timestamp::MIN.as_second(), end);
    Timestamp::from_second(seconds).map_or_else(|_| String::new(), |at| at.to_string())
}

/// A moment from such a text; a part of a second is left out.
///
/// # Errors
/// When it is no moment as RFC 3339 writes it.
pub fn read_moment(text: &str) -> Result<Moment, BookError> {
    let moment = text
        .parse::<Timestamp>()
        .map_err(|_| unread(text).with_hint("write it such as 2026-03-14T18:30:00Z"))?;
    Ok(of(moment))
}

/// A moment as a person types it: `2026-03-14 18:30`, which is UTC unless a zone
/// stands behind it, such as `+01:00`; or `2026-03-14` alone, the beginning of
/// that day.
///
/// # Errors
/// When it is no moment, or there is no such day.
pub fn typed_moment(text: &str) -> Result<Moment, BookError> {
    let text = text.trim();
    let with_zone = || {
        // A blank before the zone is as good as none.
        let (moment, zone) = text.rsplit_once(' ')?;
        let is_zone = zone.starts_with(['+', '-', '\u{2212}', 'Z', 'z']);
        let whole = format!("{moment}{}", zone.replace('\u{2212}', "-"));
        whole.parse::<Timestamp>().ok().filter(|_| is_zone)
    };
    // A day alone is its beginning.
    let in_utc = || {
        TimeZone::UTC
            .to_timestamp(text.parse::<DateTime>().ok()?)
            .ok()
    };
    let moment = text.parse::<Timestamp>().ok();
    let moment = moment.or_else(with_zone).or_else(in_utc);
    moment.map(of).ok_or_else(|| {
        unread(text).with_hint("type it such as \"2026-03-14 18:30\", which is UTC, or 2026-03-14")
    })
}

fn of(moment: Timestamp) -> Moment {
    // Before 1970 a part of a second is cut off towards it: none is written so.
    Moment::of_seconds(moment.as_second())
}

fn unread(text: &str) -> BookError {
    BookError::new(
        BookErrorKind::Date,
        format!("{} is no moment in time", quote(text)),
    )
}
