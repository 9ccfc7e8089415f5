//! Laws that hold for any numbers of a bench.

mod balance;
mod batches;
mod casing;
mod coverage;
mod doubt;
mod drops;
mod figures;
mod first;
mod formulas;
mod liquids;
mod making;
mod mixtures;
mod repair;
mod rows;
mod shared;
mod sheet;
mod small_doses;
mod sorption;
mod strategies;
mod terms;
mod text;
mod typed;
mod weighings;
