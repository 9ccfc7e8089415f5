//! A moment in time, as entries have it.

use crate::measure::{Scalar, Time};

/// A moment: whole seconds since the beginning of 1970, in UTC. Which day that is
/// of whose calendar is a question of text, and answered elsewhere.
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
