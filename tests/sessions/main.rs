//! Sessions with the program itself: what a person types and what comes back.

mod air;
mod answers;
mod batches;
mod book;
mod casing;
mod examples;
mod formulas;
mod liquids;
mod pages;
mod program;
mod readme;
mod recipes;
mod record_pages;
mod refusals;
mod repair;
mod roads;
mod schemas;
mod screens;
mod sheet;
mod sheet_refusals;
mod sheet_screens;
mod sheet_water;
mod slips;
mod small_dose_refusals;
mod small_doses;
mod streams;
