//! Worked situations: given, answer, and the trap that people fall into.

use std::cell::RefCell;
use std::collections::BTreeSet;

use crate::reference::{Row, table};

/// Four significant digits: |got − full| ≤ 5e-5 |full|, as the README beside
/// the table says.
const FOUR_DIGITS: f64 = 5e-5;

/// One situation of `reference-data/situations/worked.csv`.
pub struct Situation {
    id: String,
    rows: Vec<Row>,
    /// The answers and traps that a figure was held against.
    held: RefCell<BTreeSet<String>>,
}

/// The situation of an id.
///
/// # Panics
/// When there is none.
pub fn situation(id: &str) -> Situation {
    let rows: Vec<Row> = table("situations/worked.csv")
        .into_iter()
        .filter(|row| row.text("id") == id)
        .collect();
    assert!(!rows.is_empty(), "no situation {id}");
    Situation {
        id: id.to_owned(),
        rows,
        held: RefCell::default(),
    }
}

/// The ids of all situations.
pub fn ids() -> BTreeSet<String> {
    let rows = table("situations/worked.csv").into_iter();
    rows.map(|row| row.text("id").to_owned()).collect()
}

impl Situation {
    #[track_caller]
    fn row(&self, role: &str, quantity: &str) -> &Row {
        self.rows
            .iter()
            .find(|row| row.text("role") == role && row.text("quantity") == quantity)
            .unwrap_or_else(|| panic!("{}: no {role} {quantity}", self.id))
    }

    /// The number of a row that a figure is held against.
    #[track_caller]
    fn full(&self, role: &str, quantity: &str) -> f64 {
        self.held.borrow_mut().insert(quantity.to_owned());
        self.row(role, quantity).number("value_full")
    }

    /// What is given, in the unit of its row.
    ///
    /// # Panics
    /// When it is not given, or is a text.
    #[track_caller]
    pub fn given(&self, quantity: &str) -> f64 {
        self.row("given", quantity).number("value_full")
    }

    /// What is given, as it would be typed: with its unit, moisture as a plain
    /// percentage.
    ///
    /// # Panics
    /// When it is not given.
    #[track_caller]
    pub fn typed(&self, quantity: &str) -> String {
        let row = self.row("given", quantity);
        let unit = match row.text("unit") {
            "% w/w" => "%",
            "% of dry" => "% db",
            "g/drop" => "g",
            // The text has its units.
            "avoirdupois" => "",
            other => other,
        };
        format!("{} {unit}", row.text("value")).trim().to_owned()
    }

    /// Holds a figure against the answer, in the unit of its row.
    ///
    /// # Panics
    /// When it differs in four significant digits; a whole number of drops, at
    /// all.
    #[track_caller]
    pub fn assert_answer(&self, quantity: &str, got: f64) {
        let full = self.full("answer", quantity);
        let row = self.row("answer", quantity);
        // `8` is a count, `8.075` a number of drops worked out.
        let is_count = row.text("unit") == "drop" && !row.text("value_full").contains('.');
        let tolerance = if is_count {
            0.0
        } else {
            FOUR_DIGITS * full.abs()
        };
        assert!(
            (got - full).abs() <= tolerance,
            "{} {quantity}: {got} against {full}",
            self.id
        );
    }

    /// Holds a text against the answer.
    ///
    /// # Panics
    /// When it differs.
    #[track_caller]
    pub fn assert_text(&self, quantity: &str, got: &str) {
        self.held.borrow_mut().insert(quantity.to_owned());
        let full = self.row("answer", quantity).text("value_full");
        assert_eq!(got, full, "{} {quantity}", self.id);
    }

    /// Holds a figure against a trap: it must not come out. `wrong` is the
    /// trap's own way of working, so that the row is known to mean it.
    ///
    /// # Panics
    /// When the figure is the trap's, or the trap is not what `wrong` gives.
    #[track_caller]
    pub fn assert_trap_is(&self, quantity: &str, got: f64, wrong: f64) {
        let full = self.full("trap", quantity);
        assert!(
            (wrong - full).abs() <= FOUR_DIGITS * full.abs(),
            "{} {quantity}: the trap is {full}, not {wrong}",
            self.id
        );
        self.assert_trap(quantity, got);
    }

    /// Holds a figure against a trap: it must not come out.
    ///
    /// # Panics
    /// When it does.
    #[track_caller]
    pub fn assert_trap(&self, quantity: &str, got: f64) {
        let full = self.full("trap", quantity);
        assert!(
            (got - full).abs() > FOUR_DIGITS * full.abs(),
            "{} {quantity}: {got} is the trap",
            self.id
        );
    }

    /// Holds that a figure was held against every answer and every trap.
    ///
    /// # Panics
    /// When one was passed over, naming it.
    #[track_caller]
    pub fn assert_all_held(&self) {
        let rows = self.rows.iter().filter(|row| row.text("role") != "given");
        let held = self.held.borrow();
        let missed: Vec<&str> = rows
            .map(|row| row.text("quantity"))
            .filter(|quantity| !held.contains(*quantity))
            .collect();
        assert!(missed.is_empty(), "{}: not held: {missed:?}", self.id);
    }
}
