//! Laws that hold for any numbers of a bench.

mod balance;
mod coverage;
mod doubt;
mod drops;
mod slopes;
mod strategies;
mod text;
