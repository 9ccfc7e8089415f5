//! Text in and text out: quantities as people write them.
//!
//! # Why not guess?
//!
//! A comma can be a decimal mark or group thousands, `gr` a gram or a grain, a
//! bare number anything. A guess is wrong by a factor of a thousand, of
//! fifteen, of anything, and nobody sees it. What has two readings is refused
//! with both of them named, so that the next try is the right one.
//!
//! # Why is a percentage behind a percentage in points?
//!
//! Moisture is said as `11.2 % ± 0.5 %` by everybody who measures it, and half
//! a percent of 11.2 % is never meant. Behind a mass it is the other way
//! about. `rel` says the rare case outright.

mod amount;
mod complaint;
mod cursor;
mod grammar;
mod kind;
mod manner;
mod naming;
mod number;
mod print;
mod read;
mod reading;
mod spelling;
#[cfg(test)]
mod tests;
mod unit;

pub use kind::Kind;
pub use manner::Manner;
pub use number::leading_number;
pub use print::{Digits, number, quantity};
pub use read::{NEXT_TO_NOTHING, read, read_leading};
pub use reading::{Basis, Doubt, Reading};
pub use unit::Unit;
