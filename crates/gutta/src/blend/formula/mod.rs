//! The formula of a blend: its shares, and what follows from them.
//!
//! # Why are shares exact and lots doubtful?
//!
//! A share is what the blender wants; nobody measured it. The moisture of a lot
//! was measured, so what to weigh of it on dry shares carries its doubt.

mod batch;
mod change;
mod nested;
mod premix;
mod shares;
mod smallest;
mod written;

pub use batch::{Batch, BatchSize, Weighed};
pub use change::{GivesWay, ShareChange, difference};
pub use nested::{DEEPEST, Recipes};
pub use premix::{Premix, PremixPlan};
pub use shares::{Amounts, Component, Shares};
pub use smallest::{SmallestBatch, TooSmall, smallest_batch, too_small};
pub use written::{Amount, DOSE_FORM, DoseLine, RATE_FORM, RateLine, SHARE_FORM, ShareLine};
