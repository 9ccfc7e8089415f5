//! What is written down of a blend, and what follows from it: pure functions of
//! entries and a given time.

mod identifier;

pub use identifier::{Identifier, LONGEST};
