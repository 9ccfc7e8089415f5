//! The roads to a moisture, in sentences.

pub mod air;
pub mod feel;
pub mod hygrometer;
pub mod jar;
pub mod keep;
pub mod mix;
pub mod oven;

use gutta::matter::Method;
use gutta::measure::Unit;
use gutta::{Estimate, Moisture};

use crate::say;

/// What the moisture found is typed as in the next question, with the road that
/// it was found by.
fn as_flag(moisture: &Estimate<Moisture>, method: Option<Method>) -> String {
    let by = method.map_or_else(String::new, |method| format!(" --by {}", method.name()));
    if moisture.u() > 0.0 {
        let said = say::with_doubt(moisture, Unit::PERCENT).replace("\u{a0}%", "%");
        format!("type it in gutta water as --at \"{said}\"{by}")
    } else {
        let said = say::estimate(moisture, Unit::PERCENT).replace("\u{a0}%", "%");
        format!("type it in gutta water as --at {said}{by}")
    }
}
