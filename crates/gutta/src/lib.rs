//! The arithmetic of leaf blending by the drop.

#[macro_use]
extern crate uom;

pub mod bench;
pub mod caution;
pub mod error;
pub mod matter;
pub mod measure;

pub use bench::{Calibrating, Dosing, Watering, WateringPlan};
pub use caution::Caution;
pub use error::{Error, ErrorKind, Result};
pub use matter::{Composition, DryBasis, Moisture, Part, Pile};
pub use measure::{Estimate, Measured};
