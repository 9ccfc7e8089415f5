//! The roads to a moisture: oven dishes, a jar weighed again, lots together, a
//! feel between the fingers.

pub mod feel;
pub mod jar;
pub mod mix;
pub mod oven;
