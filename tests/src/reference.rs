//! Published tables, row by row.

use std::collections::HashMap;

use crate::root;

/// A row of a table: a text for each column.
pub struct Row {
    file: String,
    line: u64,
    cells: HashMap<String, String>,
}

/// All rows of a table in `reference-data`, at least one.
///
/// # Panics
/// When the table is not there, is ragged or is empty.
pub fn table(file: &str) -> Vec<Row> {
    let path = root().join("reference-data").join(file);
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{file}: {e}"));
    let names = reader.headers().expect("a header").clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| {
            let record = record.unwrap_or_else(|e| panic!("{file}: {e}"));
            Row {
                file: file.to_owned(),
                line: record.position().map_or(0, csv::Position::line),
                cells: names
                    .iter()
                    .map(str::to_owned)
                    .zip(record.iter().map(str::to_owned))
                    .collect(),
            }
        })
        .collect();
    assert!(!rows.is_empty(), "{file} has no rows");
    rows
}

impl Row {
    /// The text in a column.
    ///
    /// # Panics
    /// When there is no such column.
    #[track_caller]
    pub fn text(&self, column: &str) -> &str {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("{}: no column {column}", self.file))
    }

    /// The text in a column; `None` when there is no such column.
    pub fn optional(&self, column: &str) -> Option<&str> {
        self.cells.get(column).map(String::as_str)
    }

    /// The number in a column.
    ///
    /// # Panics
    /// When it is none.
    #[track_caller]
    pub fn number(&self, column: &str) -> f64 {
        self.text(column)
            .parse()
            .unwrap_or_else(|_| panic!("{self}: {column} is no number: {}", self.text(column)))
    }

    /// Whether the published value is right: a misprint or a common error is
    /// kept as a check of what must not come out.
    ///
    /// # Panics
    /// When the row says neither.
    #[track_caller]
    pub fn agrees(&self) -> bool {
        match self.text("agrees") {
            "yes" => true,
            "no" => false,
            other => panic!("{self}: agrees is {other}"),
        }
    }
}

impl std::fmt::Display for Row {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}", self.file, self.line)
    }
}
