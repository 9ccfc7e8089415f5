//! Floor 2: what lies on the table.

pub mod air;
mod feel;
mod jar;
pub mod liquids;
mod lots;
mod method;
mod moisture;
mod oven;
mod pile;
pub mod salts;
pub mod sorption;
pub mod vapour;
pub mod water;

pub use air::Air;
pub use feel::Feel;
pub use jar::{Jar, Weighed};
pub use liquids::{
    Composition, CompositionSlots, DensityOf, DensitySlot, Fractions, Ingredient, Liquid, Part,
    Solute, Strength, alcohol, check_density,
};
pub(crate) use lots::alligation;
pub use lots::{LotOfLeaf, Mixed, Mixing};
pub use method::Method;
pub use moisture::{DryBasis, MET, MOISTURE_KINDS, Moisture};
pub use oven::{OvenDish, OvenTest, OvenVolatiles, dish};
pub use pile::Pile;
pub use salts::{Check, Corrected, Hygrometer, Salt};
pub use sorption::{Fit, InAir, Isotherm, KeptBy, Leaf};
