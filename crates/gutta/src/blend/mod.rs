//! Floor 4: a blend of several leaves.

pub mod repair;
mod strip;

pub use strip::{Strip, WholeLeaf};
