//! A moment in time, as entries have it.

use std::fmt;

use crate::measure::{Scalar, Time};

/// A moment: whole seconds since the beginning of 1970, in UTC. It prints as its
/// day there, which is how a budget names what was done on it.
///
/// ```
/// use gutta::blend::record::Moment;
/// assert_eq!(Moment::of_seconds(1_770_000_000).to_string(), "2026-02-02");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(i64);

impl Moment {
    /// From seconds since the beginning of 1970, in UTC.
    pub const fn of_seconds(seconds: i64) -> Self {
        Self(seconds)
    }

    /// Seconds since the beginning of 1970, in UTC.
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// The time from an earlier moment to this; negative where it is later.
    pub fn since(self, earlier: Self) -> Time {
        Time::of_base((self.0 - earlier.0) as f64)
    }

    /// The moment a time after this, to the second.
    #[must_use]
    pub fn after(self, time: Time) -> Self {
        // A bench's times are far inside; a cast keeps to the range by itself.
        #[allow(
            clippy::cast_possible_truncation,
            reason = "a cast stays within the range"
        )]
        let seconds = time.base().round() as i64;
        Self(self.0.saturating_add(seconds))
    }
}

/// The days of 400 years of the Gregorian calendar, after which it repeats:
/// 400 · 365 and 97 leap days.
const CYCLE: i64 = 146_097;

/// The days from 1 March of year 0 to the beginning of 1970: five cycles less the
/// days from then to 1 March 2000, which are 30 years, 7 leap days, January and
/// February.
const EPOCH: i64 = 5 * CYCLE - (30 * 365 + 7 + 31 + 29);

/// The day of the Gregorian calendar, in UTC: `2026-03-14`. Years are counted from
/// March, so that a leap day is the last of one.
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let day = self.0.div_euclid(86_400) + EPOCH;
        let (cycle, day) = (day.div_euclid(CYCLE), day.rem_euclid(CYCLE));
        // Leap days do not lengthen the last of four years, 100 or 400 twice.
        let year = (day - day / 1460 + day / 36_524 - day / 146_096) / 365;
        let day = day - (365 * year + year / 4 - year / 100);
        // From March, five months have 153 days, twice and a part.
        let month = (5 * day + 2) / 153;
        let day = day - (153 * month + 2) / 5 + 1;
        let (year, month) = if month < 10 {
            (400 * cycle + year, month + 3)
        } else {
            (400 * cycle + year + 1, month - 9)
        };
        f.pad(&format!("{year:04}-{month:02}-{day:02}"))
    }
}
