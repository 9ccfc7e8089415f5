//! Sessions with the program itself: what a person types and what comes back.

mod air;
mod answers;
mod book;
mod casing;
mod examples;
mod liquids;
mod program;
mod readme;
mod refusals;
mod repair;
mod roads;
mod schemas;
mod screens;
mod slips;
mod small_dose_refusals;
mod small_doses;
mod streams;
