//! Checks against published standards, handbook tables and worked examples.
//!
//! Each expected value, its tolerance and the reason for the tolerance stand in
//! the row of `reference-data` that is read; the topic's README and
//! `sources.bib` say where it is from. Misprints and common errors are kept as
//! checks of what must not come out.

mod air;
mod alcohol;
mod cheapest;
mod droppers;
mod falling;
mod gum;
mod moisture;
mod salts;
mod solutions;
mod sorption;
mod statistics;
mod units;
mod vapour;
mod water;
mod weighing;
