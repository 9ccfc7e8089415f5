//! What is wrong with a table or with a row of it, in words.

use gutta::Error;

use super::columns::Number;

/// What is wrong, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// A short name of the kind: lower case with hyphens.
    pub kind: &'static str,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// What to write instead.
    pub hint: String,
    /// The column that it is about, where it is one.
    pub column: Option<String>,
}

impl Wrong {
    pub(super) fn new(kind: &'static str, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            hint: String::new(),
            column: None,
        }
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    pub(super) fn about(mut self, column: &str) -> Self {
        self.column = Some(column.to_owned());
        self
    }

    /// There is no first row.
    pub(super) fn no_header() -> Self {
        let message = "the line with the names of the columns is missing";
        Self::new("missing", message).hint(begin())
    }

    /// Nothing stands where a number must be.
    pub(super) fn blank(number: Number) -> Self {
        Self::new("empty", format!("{} is blank", number.name())).hint(bare(number))
    }

    /// What stands there is no number.
    pub(super) fn no_number(number: Number, text: &str) -> Self {
        let text = shortened(text);
        let word = text.trim_start_matches(['+', '-']).to_lowercase();
        let wrong = |message: String| Self::new("number", message);
        if matches!(word.as_str(), "nan" | "inf" | "infinity") {
            return wrong(format!("`{text}` is not a finite number")).hint(bare(number));
        }
        if text.contains(',') {
            let point = text.replace(',', ".");
            let hint = format!("a decimal comma is not read in a table: write {point}");
            return wrong(format!("`{text}` has a comma in it")).hint(hint);
        }
        wrong(format!("`{text}` is not a bare number")).hint(bare(number))
    }

    /// A number beyond all measure.
    pub(super) fn too_large(text: &str) -> Self {
        Self::new("number", format!("`{}` is too large", shortened(text))).hint(CORRECT)
    }

    /// A number that is next to nothing, and not nothing.
    pub(super) fn too_small(text: &str) -> Self {
        Self::new("number", format!("`{}` is too small", shortened(text))).hint(CORRECT)
    }

    /// A number that is not sensible.
    pub(super) fn out_of_range(error: &Error) -> Self {
        Self::new(error.kind().name(), error.to_string()).hint(CORRECT)
    }

    /// Bytes that are no text.
    pub(super) fn no_text() -> Self {
        Self::new("syntax", "this is not text in UTF-8").hint("save the table as CSV in UTF-8")
    }

    /// A row of another width than the header.
    pub(super) fn ragged(fields: usize, columns: usize) -> Self {
        let said = if fields == 1 {
            "1 field".to_owned()
        } else {
            format!("{fields} fields")
        };
        let message = format!("this row has {said}, and there are {columns} columns");
        Self::new("ragged", message).hint(if fields > columns {
            "a text with a comma in it stands in quotes; a number has a decimal point"
        } else {
            "a field that is left blank still has its comma"
        })
    }

    /// A quote that nothing closes.
    pub(super) fn open_quote() -> Self {
        Self::new("syntax", "a quote in this row is never closed")
            .hint("put a quote behind the text, and write a quote inside it twice")
    }
}

const CORRECT: &str = "correct the figure, or leave the row out";

/// How a table may begin.
pub(super) const fn begin() -> &'static str {
    "begin the table with id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg"
}

/// How a number of a column is written.
fn bare(number: Number) -> String {
    match number.unit().symbol() {
        "drop" => "write the count alone, such as 7".to_owned(),
        symbol => format!("write the figure alone, in {symbol}, with a decimal point"),
    }
}

/// A text cut to what fits on a line.
pub(super) fn shortened(text: &str) -> String {
    const LONGEST: usize = 80;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
