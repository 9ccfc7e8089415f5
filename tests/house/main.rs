//! The house rules that a machine can hold.

mod arrows;
mod paths;
mod rooms;
