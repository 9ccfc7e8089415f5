//! Floor 4: what a blend is made of, and how much of each goes in.

pub mod formula;
pub mod spoons;
