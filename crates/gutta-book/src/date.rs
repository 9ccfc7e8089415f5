//! A day, as it is written in the book.

use std::fmt;

use gutta::blend::record::Moment;

use crate::error::{BookError, BookErrorKind};
use crate::words::quote;

/// A day of the calendar, from year 0 to 9999. It prints as `2026-03-14`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// A day, when there is such a one.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let date = Self { year, month, day };
        let is_one = year <= 9999 && (1..=12).contains(&month) && day >= 1;
        (is_one && day <= date.days_in_month()).then_some(date)
    }

    /// The day of a moment, in UTC; of one beyond the years of the calendar the
    /// nearest of them.
    pub fn of(moment: Moment) -> Self {
        let first = Self {
            year: 0,
            month: 1,
            day: 1,
        };
        let last = Self {
            year: 9999,
            month: 12,
            day: 31,
        };
        let is_before = moment.seconds() < 0;
        Self::read(&moment.to_string()).unwrap_or(if is_before { first } else { last })
    }

    /// A day from `2026-03-14`: four digits, two and two.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let digits = |from: usize, to: usize| {
            let part = text.get(from..to)?;
            let all_digits = part.bytes().all(|b| b.is_ascii_digit());
            all_digits.then(|| part.parse::<u16>().ok()).flatten()
        };
        let is_long_enough = text.len() == 10;
        let is_joined = text.get(4..5) == Some("-") && text.get(7..8) == Some("-");
        if !is_long_enough || !is_joined {
            return None;
        }
        Self::new(
            digits(0, 4)?,
            u8::try_from(digits(5, 7)?).ok()?,
            u8::try_from(digits(8, 10)?).ok()?,
        )
    }

    /// A day as a person writes it: `2026-03-14`.
    ///
    /// # Errors
    /// When it is written otherwise, or there is no such day.
    pub fn typed(text: &str) -> Result<Self, BookError> {
        Self::read(text.trim()).ok_or_else(|| Self::fault(text))
    }

    /// What to say about a text that is no day.
    pub(crate) fn fault(text: &str) -> BookError {
        BookError::new(BookErrorKind::Date, format!("{} is no date", quote(text)))
            .with_hint("write year, month and day with all digits, such as 2026-03-14")
    }

    /// The year.
    pub const fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    pub const fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, the first being 1.
    pub const fn day(self) -> u8 {
        self.day
    }

    const fn days_in_month(self) -> u8 {
        let is_leap = self.year.is_multiple_of(4) && !self.year.is_multiple_of(100)
            || self.year.is_multiple_of(400);
        match self.month {
            2 if is_leap => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        }
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!(
            "{:04}-{:02}-{:02}",
            self.year, self.month, self.day
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_reads_as_it_prints() {
        for text in [
            "2026-03-14",
            "2024-02-29",
            "2000-02-29",
            "0000-01-01",
            "9999-12-31",
        ] {
            assert_eq!(Date::read(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn a_day_that_is_none_is_not_read() {
        for text in [
            "",
            "2026-3-14",
            "2026-02-29",
            "1900-02-29",
            "2026-04-31",
            "2026-13-01",
            "2026-00-10",
            "2026-01-00",
            "14.03.2026",
            "2026/03/14",
            "2026-03-14T10:00",
            "+026-03-14",
            "２026-03-1",
        ] {
            assert_eq!(Date::read(text), None, "{text}");
        }
    }

    #[test]
    fn days_come_in_the_order_of_the_calendar() {
        assert!(Date::new(2025, 12, 31) < Date::new(2026, 1, 1));
        assert!(Date::new(2026, 1, 31) < Date::new(2026, 2, 1));
    }
}
