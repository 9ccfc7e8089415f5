//! Floor 2: what lies on the table.

pub mod air;
pub mod alcohol;
mod liquid;
mod moisture;
mod oven;
mod pile;
pub mod salts;
pub mod sorption;
pub mod vapour;
pub mod water;

pub use air::Air;
pub use liquid::{Composition, CompositionSlots, Fractions, Part, check_density};
pub use moisture::{DryBasis, MOISTURE_KINDS, Moisture};
pub use oven::dish;
pub use pile::Pile;
pub use salts::{Check, Corrected, Hygrometer, Salt};
pub use sorption::{Fit, InAir, Isotherm, KeptBy, Leaf};
