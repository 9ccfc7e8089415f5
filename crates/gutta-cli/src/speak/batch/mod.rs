//! Batches in sentences.

pub mod cheapest;
pub mod labels;
pub mod packs;
pub mod plan;
pub mod reconcile;
pub mod record;

use gutta::WateringPlan;
use gutta::blend::batch::{ScaleUp, ScaledUp};
use gutta::measure::Mass;

use super::sheet::Question;

/// A batch, read and worked out.
pub struct Asking {
    /// What is weighed, as it is said.
    pub question: Question,
    /// What it is made of.
    pub scale_up: ScaleUp,
    /// What came of it.
    pub scaled: ScaledUp,
}

impl Asking {
    /// The water that goes on, where any does.
    pub fn water_to_add(&self) -> Option<Mass> {
        match self.scaled.planned.water.as_ref()? {
            (_, WateringPlan::Add(water)) => Some(water.water.best()),
            _ => None,
        }
    }
}
