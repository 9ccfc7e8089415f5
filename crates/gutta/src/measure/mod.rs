//! Floor 1: what a number is.

mod coverage;
mod drops;
mod instrument;
mod linear;
mod measured;
mod propagate;
mod quantity;
mod range;
mod readings;
mod real;
mod scalar;
mod text;
mod units;

pub use coverage::{COVERAGE_95, coverage_95, effective_dof, normal_quantile, student_quantile};
pub use drops::{DropMass, DropVolume, Drops, DropsPerVolume};
pub use instrument::Scale;
pub(crate) use instrument::rounding_u_net;
pub use linear::Linear;
pub use measured::{Estimate, Measured, Term};
pub use propagate::{Formula, Inputs, LANES, Point, Propagated, Slot};
pub(crate) use quantity::from_base;
pub use quantity::{
    Density, HALF, Mass, Pressure, ROOM_TEMPERATURE, Ratio, SI, STANDARD_PRESSURE, Temperature,
    Volume, celsius,
};
pub use range::*;
pub use readings::{MAD_FACTOR, ODD_Z, median, median_deviation};
pub use real::Real;
pub use scalar::Scalar;
pub(crate) use scalar::scalar_newtype;
pub use text::{
    Basis, Digits, Doubt, Kind, Manner, Reading, Unit, number, quantity, read, read_leading,
};
