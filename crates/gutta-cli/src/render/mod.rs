//! From the one answer to what is read: text for people, JSON for machines.

pub mod json;
pub mod table;
pub mod text;
