//! Floor 4: what a blend is made of, how much of each goes in, and what mends it.

pub mod batch;
pub mod formula;
pub mod record;
pub mod repair;
pub mod sheet;
pub mod spoons;
mod strip;

pub use strip::{Strip, WholeLeaf};
