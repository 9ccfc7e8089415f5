//! Laws that hold for any numbers of a bench.

mod balance;
mod doubt;
mod drops;
mod slopes;
mod strategies;
mod text;
