//! Batches in sentences.

pub mod cheapest;
pub mod labels;
pub mod packs;
pub mod plan;
pub mod reconcile;
pub mod record;

use gutta::blend::batch::{ScaleUp, ScaledUp};

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
