//! What is written down of a blend, and what follows from it: pure functions of
//! entries and a given time.

mod identifier;
mod jar;
mod moment;
mod stock;

pub use identifier::{Identifier, LONGEST};
pub use jar::{JarEvent, JarHistory, JarNow, JarStep};
pub use moment::Moment;
pub use stock::{LotEvent, LotHistory, LotNow, LotStep};

#[cfg(test)]
mod tests;
