//! Text in and text out: quantities as people write them.

mod complaint;
mod cursor;
mod grammar;
mod kind;
mod naming;
mod number;
mod print;
mod read;
mod reading;
#[cfg(test)]
mod tests;
mod unit;

pub use kind::Kind;
pub use print::{Digits, Manner, number, quantity};
pub use read::{read, read_leading};
pub use reading::{Basis, Doubt, Reading};
pub use unit::Unit;
