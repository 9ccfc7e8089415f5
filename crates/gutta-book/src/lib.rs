//! The bench book: one folder of plain files that a person can read, compare
//! and keep under version control.
//!
//! | file | holds |
//! |---|---|
//! | `book.toml` | marks the folder as a book; its name |
//! | `scales.toml` | scales: division, repeatability |
//! | `liquids.toml` | liquids: density, what is in them by mass |
//! | `droppers.toml` | droppers: the weighings of counted drops, as they were read |
//! | `lots.csv` | lots of leaf: what leaf, its moisture, price and stock |
//! | `formulas.toml` | formulas, version by version: shares, flavourings, casings, the moisture wanted |
//! | `journal.jsonl` | what was done, entry by entry, only ever added to |
//!
//! Only `book.toml` must be there.
//!
//! ```
//! use gutta_book::Book;
//! use std::path::Path;
//! use uom::si::mass::gram;
//!
//! let demo = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-data"));
//! let book = Book::open(demo).unwrap();
//! let bench = book.scale("Bench").unwrap();
//! assert!((bench.scale.division().get::<gram>() - 0.01).abs() < 1e-12);
//! ```
//!
//! A table of many batches is no part of a book: [`batches`].
//!
//! # Why does every quantity stand in quotes?
//!
//! `division = 0.01` does not say of what. `division = "0.01 g"` does, is read
//! by the same reader as the command line, and keeps what was typed.
//!
//! # Why are the weighings kept, and not the drop?
//!
//! The doubt of a drop, a miscounted weighing and the buoyancy of the air can
//! be worked out from the weighings at any time; from a bare figure they
//! cannot.
//!
//! # Why all errors at once?
//!
//! A book is edited by hand. One error at a time would make a person run the
//! program once for each slip. After a slip of the format itself, what merely
//! follows from it is held back.

#![forbid(unsafe_code)]

pub mod batches;
mod blank;
mod book;
mod date;
mod entry;
mod error;
mod journal;
mod keep;
mod name;
mod page;
mod rows;
mod shelf;
mod store;
mod tables;
mod words;

pub use book::Book;
pub use date::Date;
pub use entry::{DropperEntry, FormulaEntry, LiquidEntry, LotEntry, ScaleEntry};
pub use error::{BookError, BookErrorKind, BookErrors, FilePlace};
pub use journal::{
    Added, DeviationDone, Found, JOURNAL, JarRecord, Journal, JournalEntry, LeafDone, LiquidDone,
    LotRecord, MakingKind, MakingRecord, NewEntry, PlanLine, ScoreDone, WRITE_ANEW, WeighedDone,
    Wrong, field, kind, moment_text, read_moment, typed_moment,
};
pub use keep::{NewDropper, NewFormula, save_dropper, save_formula};
pub use name::{EntryKind, NoSuchName, is_same_name, nearest};
pub use store::{TableFile, nearest_book, read_page, write_page};
