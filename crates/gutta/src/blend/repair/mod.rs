//! Repairs: always by adding, never by taking out, and "leave it" beside each.
//!
//! # Why only by adding?
//!
//! What is tossed cannot be picked out again. Of the rest there is more in the
//! bag, so that every ratio can be restored on a larger batch; flavour and water
//! follow the new size.

mod flavour;
mod ratio;
mod soaked;
mod too_wet;
mod top_up;

pub use flavour::{OverFlavoured, Weakened};
pub use ratio::{Restored, RestoredPart, Restoring, Weighed};
pub use soaked::{Soaked, Spread};
pub use too_wet::{Mended, TooWet};
pub use top_up::{TopUp, ToppedUp};
