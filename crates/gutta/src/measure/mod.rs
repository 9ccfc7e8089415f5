//! Floor 1: what a number is: a quantity with its unit, its doubt, and the text
//! it is typed and printed as.
//!
//! # Why quantities and not numbers?
//!
//! A gram is not a millilitre, and 20 °C twice is not 40 °C. What must not be
//! mixed does not compile:
//!
//! ```compile_fail
//! use gutta::measure::{Mass, Volume};
//! fn sum(mass: Mass, volume: Volume) -> Mass { mass + volume }
//! ```
//!
//! ```compile_fail
//! use gutta::measure::{Density, Mass};
//! // A mass by a density is no volume: it is divided by it.
//! fn volume(mass: Mass, density: Density) -> gutta::measure::Volume { mass * density }
//! ```
//!
//! ```compile_fail
//! use gutta::measure::Temperature;
//! // Two temperatures have a difference, and no sum.
//! fn twice(t: Temperature) -> Temperature { t + t }
//! ```
//!
//! ```compile_fail
//! use gutta::measure::{Mass, Measured, Volume};
//! // A doubt stays with the quantity it is about.
//! fn read_off(mass: Measured<Mass>) -> Measured<Volume> { mass }
//! ```

mod combine;
mod coverage;
mod curves;
mod drops;
mod instrument;
mod linear;
mod measured;
mod monte_carlo;
mod propagate;
mod quantity;
mod range;
mod readings;
mod real;
mod scalar;
mod shape;
mod stream;
mod text;
mod units;
mod wide;

pub use combine::{Combined, combine};
pub use coverage::{COVERAGE_95, coverage_95, effective_dof, normal_quantile, student_quantile};
pub use drops::{DropMass, DropVolume, Drops, DropsPerVolume};
pub use instrument::Scale;
pub(crate) use instrument::rounding_u_net;
pub use linear::Linear;
pub use measured::{Estimate, Measured, Term};
pub use monte_carlo::{BLOCK, Simulation, Spread, Verdict};
pub use propagate::{Formula, Inputs, LANES, Point, Propagated, Slot};
pub(crate) use quantity::from_base;
pub use quantity::{
    Density, HALF, Length, Mass, MassRate, MolarEnergy, Pressure, ROOM_TEMPERATURE, Ratio, SI,
    STANDARD_PRESSURE, SurfaceTension, Temperature, Time, Volume, celsius,
};
pub use range::*;
pub use readings::{MAD_FACTOR, ODD_Z, means_with_covariance, median, median_deviation};
pub use real::Real;
pub use scalar::Scalar;
pub(crate) use scalar::scalar_newtype;
pub use shape::Shape;
pub use stream::{Stream, streams};
pub use text::{
    Basis, Digits, Doubt, Kind, Manner, NEXT_TO_NOTHING, Reading, Unit, leading_number, number,
    quantity, read, read_leading,
};
pub use wide::{Loops, widest};
