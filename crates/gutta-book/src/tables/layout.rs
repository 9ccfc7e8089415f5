//! What a file may hold, declared once: every check, message and hint is made
//! from it.

use crate::words::listed;

/// A field of a table or a column, by its name.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Field {
    pub name: &'static str,
    /// A value as it is written in the file.
    pub example: &'static str,
    pub is_required: bool,
}

/// A table that a file holds any number of.
pub(crate) struct Table {
    pub name: &'static str,
    pub fields: &'static [Field],
}

/// A file: its own fields besides the format number, and its tables.
pub(crate) struct Layout {
    pub file: &'static str,
    pub fields: &'static [Field],
    pub table: Option<Table>,
}

/// The field that every file begins with.
pub(super) const FORMAT_FIELD: Field = Field::required("format", "1");

impl Field {
    pub const fn required(name: &'static str, example: &'static str) -> Self {
        Self {
            name,
            example,
            is_required: true,
        }
    }

    pub const fn optional(name: &'static str, example: &'static str) -> Self {
        Self {
            is_required: false,
            ..Self::required(name, example)
        }
    }

    /// The field as a line of a file.
    pub fn line(&self) -> String {
        format!("{} = {}", self.name, self.example)
    }
}

/// The names of fields as a list in words.
pub(crate) fn names(fields: &[Field]) -> String {
    let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
    listed(&names)
}

impl Layout {
    /// What the file holds, as a hint.
    pub fn holds(&self) -> String {
        match &self.table {
            Some(table) => format!("it holds a [[{}]] for each {}", table.name, table.name),
            None => {
                let mut names = vec![FORMAT_FIELD.name];
                names.extend(self.fields.iter().map(|field| field.name));
                format!("its fields are {}", listed(&names))
            }
        }
    }
}
