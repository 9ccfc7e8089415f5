//! Many batches as a table: CSV in, a table of plans out, row by row.
//!
//! A table is read in pieces of whole rows; each is worked out by itself, on any
//! core; what is written of it stands in the order of the table. No file is
//! touched, and nothing is kept of a piece, so that memory does not grow with
//! the rows.
//!
//! ```
//! use gutta_book::batches::{Piece, Source, Work};
//!
//! let table = "id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg\n\
//!              A1,250,11.2,14.5,47.8\n\
//!              A2,none,11.2,14.5,47.8\n";
//! let mut bytes = table.as_bytes();
//! let mut source = Source::new(&mut bytes);
//! let mut piece = Piece::new();
//! assert!(source.fill(&mut piece).unwrap());
//! let work = Work::begin(&mut piece, None).unwrap();
//! work.on(&mut piece);
//! assert_eq!(piece.written(), b"A1,9.649,9.666,201,14.486,0.0000\n");
//! assert_eq!(piece.rejects()[0].wrong.message, "`none` is not a bare number");
//! ```

// Two tests without a branch between them are what makes the loops over many rows
// fast.
#![allow(clippy::needless_bitwise_bool, reason = "a branch costs more")]

mod block;
mod careful;
mod columns;
mod figures;
mod number;
mod piece;
mod places;
mod plain;
mod source;
mod work;
mod written;
mod wrong;

#[cfg(test)]
mod tests;

pub use piece::{Counts, Piece, Reject};
pub use source::Source;
pub use work::Work;
pub use wrong::Wrong;
