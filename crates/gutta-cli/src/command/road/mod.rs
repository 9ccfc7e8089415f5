//! The roads to a moisture: oven dishes, a jar weighed again, lots together, the
//! air in the jar and what it is read with, a feel between the fingers.

pub mod air;
mod curve;
pub mod feel;
pub mod hygrometer;
pub mod jar;
pub mod keep;
pub mod mix;
pub mod oven;
