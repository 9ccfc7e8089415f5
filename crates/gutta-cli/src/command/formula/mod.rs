//! `gutta formula`: what a formula is, at any size and in any way of writing.

pub mod args;
