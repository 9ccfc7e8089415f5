//! From the one answer to what is read: text for people, JSON for machines.

pub mod html;
pub mod json;
pub mod table;
pub mod text;
