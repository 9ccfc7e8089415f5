//! The roads to a moisture, in sentences.

pub mod feel;
pub mod jar;
pub mod mix;
pub mod oven;

use gutta::measure::Unit;
use gutta::{Estimate, Moisture};

use crate::say;

/// What the moisture found is typed as in the next question.
fn as_flag(moisture: &Estimate<Moisture>) -> String {
    if moisture.u() > 0.0 {
        let said = say::with_doubt(moisture, Unit::PERCENT).replace("\u{a0}%", "%");
        format!("use it as --at \"{said}\"")
    } else {
        let said = say::estimate(moisture, Unit::PERCENT).replace("\u{a0}%", "%");
        format!("use it as --at {said}")
    }
}
