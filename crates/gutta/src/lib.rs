//! The arithmetic of leaf blending by the drop: water to a target moisture,
//! calibrated droppers, doses on a named basis, each with its doubt.
//!
//! The crate is pure: no files, no clock, no environment, no printing. Its
//! public API speaks in quantities, checked by the compiler.
//!
//! ```
//! use gutta::measure::{Kind, read};
//! use gutta::{Moisture, Watering, WateringPlan};
//! use uom::si::mass::gram;
//!
//! // As somebody typed it, with the doubt at 95 %.
//! let leaf = read("340 g", &[Kind::Mass])?.mass().unwrap();
//! let at = Moisture::read(&read("10.8% ± 1.0%", &[Kind::Share])?)?;
//! let to = Moisture::read_target(&read("15%", &[Kind::Share])?)?;
//!
//! let WateringPlan::Add(plan) = Watering::new(leaf, at, to).plan()? else {
//!     unreachable!()
//! };
//! assert!((plan.water.best().get::<gram>() - 16.8).abs() < 1e-9);
//! assert_eq!(plan.water.budget(), [("moisture now", 1.0)]);
//! # Ok::<(), gutta::Error>(())
//! ```
//!
//! # Where is what?
//!
//! | floor | module | what a reader finds |
//! |---|---|---|
//! | 4 | [`blend`] | what a blend is made of: shares, batches, spoon recipes, repairs |
//! | 3 | [`mod@bench`] | what hands do: droppers, watering, a known addition, dosing, casing |
//! | 2 | [`matter`] | what lies on the table: moisture, water, air, liquids, the pile, leaf in air |
//! | 1 | [`measure`] | what a number is: quantities, text, doubt, ranges, the scale |
//! | 0 | [`error`], [`caution`] | what can go wrong; which caution, with its words |
//!
//! Arrows run down only.

#[macro_use]
extern crate uom;

pub mod bench;
pub mod blend;
pub mod caution;
pub mod error;
pub mod matter;
pub mod measure;

pub use bench::{Calibrating, Casing, Dosing, Watering, WateringPlan};
pub use caution::Caution;
pub use error::{Error, ErrorKind, Result};
pub use matter::{Composition, DryBasis, Fit, InAir, Isotherm, KeptBy, Leaf, Moisture, Part, Pile};
pub use measure::{Estimate, Measured};
