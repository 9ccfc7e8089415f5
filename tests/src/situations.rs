//! Worked situations: given, answer, and the trap that people fall into.

use crate::reference::{Row, table};

/// Four significant digits: |got − full| ≤ 5e-5 |full|.
const FOUR_DIGITS: f64 = 5e-5;

/// One situation of `reference-data/situations/worked.csv`.
pub struct Situation {
    id: &'static str,
    rows: Vec<Row>,
}

/// The situation of an id.
///
/// # Panics
/// When there is none.
pub fn situation(id: &'static str) -> Situation {
    let rows: Vec<Row> = table("situations/worked.csv")
        .into_iter()
        .filter(|row| row.text("id") == id)
        .collect();
    assert!(!rows.is_empty(), "no situation {id}");
    Situation { id, rows }
}

impl Situation {
    #[track_caller]
    fn full(&self, role: &str, quantity: &str) -> f64 {
        self.rows
            .iter()
            .find(|row| row.text("role") == role && row.text("quantity") == quantity)
            .unwrap_or_else(|| panic!("{}: no {role} {quantity}", self.id))
            .number("value_full")
    }

    /// What is given, in the unit of its row.
    ///
    /// # Panics
    /// When it is not given.
    #[track_caller]
    pub fn given(&self, quantity: &str) -> f64 {
        self.full("given", quantity)
    }

    /// Holds a figure against the answer, in the unit of its row.
    ///
    /// # Panics
    /// When it differs in four significant digits.
    #[track_caller]
    pub fn assert_answer(&self, quantity: &str, got: f64) {
        let full = self.full("answer", quantity);
        assert!(
            (got - full).abs() <= FOUR_DIGITS * full.abs(),
            "{} {quantity}: {got} against {full}",
            self.id
        );
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
}
