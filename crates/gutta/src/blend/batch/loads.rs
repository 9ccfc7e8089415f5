//! A batch in loads that a vessel holds.
//!
//! # Why loads alike?
//!
//! A last load that is half full tosses otherwise, takes the liquids up otherwise
//! and dries faster: the batch would be two. Loads alike cost nothing.

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Digits, MASS, Mass, Ratio, Scalar, Scale, Unit, quantity};

/// More loads are another vessel's work.
pub const MOST_LOADS: usize = 200;

/// So much more that four figures of it are enough.
const ROUNDED_UP: f64 = 1.0006;

/// What is to be made, and what it is made in.
#[derive(Clone, Debug, PartialEq)]
pub struct Loading {
    /// What goes in of each thing, for the whole batch.
    pub lines: Vec<Mass>,
    /// All that ever lies in the vessel at once, were it large enough.
    pub fullest: Mass,
    /// What the vessel holds.
    pub vessel: Mass,
    /// The scale that each load is weighed on.
    pub scale: Option<Scale>,
}

/// A batch in loads.
#[derive(Clone, Debug, PartialEq)]
pub struct Loads {
    /// What goes into each load, in the order of the lines. On a scale they are
    /// whole divisions, and those of a line sum to what the scale shows for the
    /// batch.
    pub each: Vec<Vec<Mass>>,
    /// What ever lies in the vessel at once.
    pub fullest: Mass,
    /// That as a ratio of what it holds.
    pub full: Ratio,
}

impl Loading {
    /// The fewest loads alike that the vessel holds: ⌈fullest/vessel⌉. Load i of n
    /// gets ⌊(i + 1)N/n⌋ − ⌊iN/n⌋ divisions of a line of N, so that loads differ by
    /// one division at most and their sum is the line.
    ///
    /// # Errors
    /// When a mass is not above 0; a refusal when there are more than
    /// [`MOST_LOADS`].
    pub fn loads(&self) -> Result<Loads> {
        for mass in self.lines.iter().chain([&self.fullest, &self.vessel]) {
            MASS.check_base(mass.base())?;
        }
        let exact = (self.fullest / self.vessel).base();
        // A vessel that is just full holds it.
        let count = (exact - 1e-9).ceil().max(1.0);
        if count > MOST_LOADS as f64 {
            let grams = |mass: Mass| quantity(mass.base(), Unit::GRAM, Digits::AtMost(4));
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "{} in a vessel of {} are more than {MOST_LOADS} loads",
                    grams(self.fullest),
                    grams(self.vessel)
                ),
            )
            .with_hint(format!(
                "take a vessel of {} or more",
                grams(self.fullest * Ratio::of_base(ROUNDED_UP / MOST_LOADS as f64))
            )));
        }
        let split = |line: &Mass, load: f64| match self.scale {
            Some(scale) => {
                let division = scale.division();
                let divisions = (*line / division).base().round();
                let until = |load: f64| (load * divisions / count + 1e-9).floor();
                division * Ratio::of_base(until(load + 1.0) - until(load))
            }
            None => *line * Ratio::of_base(1.0 / count),
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 1 to MOST_LOADS, checked just before"
        )]
        let each = (0..count as usize).map(|load| {
            let lines = self.lines.iter();
            lines.map(|line| split(line, load as f64)).collect()
        });
        let fullest = self.fullest * Ratio::of_base(1.0 / count);
        Ok(Loads {
            each: each.collect(),
            fullest,
            full: fullest / self.vessel,
        })
    }
}
