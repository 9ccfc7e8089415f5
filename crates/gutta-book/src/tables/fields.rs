//! The fields of one table, each read as what it is meant to be.

use std::ops::Range;

use gutta::measure::{Kind, Reading, read};
use gutta::{Error, ErrorKind};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::layout::{Field, Layout, names};
use crate::date::Date;
use crate::error::{BookError, BookErrorKind, hidden};
use crate::name::nearest;
use crate::page::{Faults, Page, Written};
use crate::words::quote;

/// The fields of one table, or those above all tables.
pub(crate) struct Fields<'p> {
    page: &'p Page,
    /// What the table is: `scale`.
    what: &'static str,
    known: &'static [Field],
    values: DeTable<'p>,
    /// The heading of the table.
    heading: Range<usize>,
}

impl<'p> Fields<'p> {
    pub const fn new(
        page: &'p Page,
        what: &'static str,
        known: &'static [Field],
        values: DeTable<'p>,
        heading: Range<usize>,
    ) -> Self {
        Self {
            page,
            what,
            known,
            values,
            heading,
        }
    }

    /// The fields of a file that has none.
    pub fn none(page: &'p Page, layout: &'static Layout) -> Self {
        Self::new(page, layout.file, layout.fields, DeTable::new(), 0..0)
    }

    /// The heading of the table, for what is wrong with it as a whole.
    pub const fn heading(&self) -> &Range<usize> {
        &self.heading
    }

    /// Finds fault with each field that is not known.
    pub fn refuse_unknown(&self, faults: &mut Faults<'_>) {
        for key in self.values.keys() {
            let name = key.get_ref().as_ref();
            if self.known.iter().any(|field| field.name == name) {
                continue;
            }
            let hint = match nearest(name, self.known.iter().map(|field| field.name)) {
                Some(near) => format!("did you mean {}?", quote(near)),
                None => format!("its fields are {}", names(self.known)),
            };
            let error = BookError::new(
                BookErrorKind::UnknownField,
                format!("a {} has no field {}", self.what, quote(name)),
            );
            faults.add(&key.span(), error.with_hint(hint).with_field(name));
        }
    }

    /// A text: not empty, on one line.
    pub fn text(&self, field: &Field, faults: &mut Faults<'_>) -> Option<Written<'p>> {
        self.text_or(field, faults, plain)
    }

    /// A text; `quoted` says how to write a bare number.
    pub fn text_or(
        &self,
        field: &Field,
        faults: &mut Faults<'_>,
        quoted: impl Fn(&str) -> String,
    ) -> Option<Written<'p>> {
        let value = self.value(field, faults)?;
        let text = self.written(field, value, faults, quoted)?;
        let error = if text.value().trim().is_empty() {
            BookError::new(
                BookErrorKind::Quantity(ErrorKind::Empty),
                format!("the {} is empty", field.name),
            )
            .with_field(field.name)
        } else if let Some(error) = hidden(text.value(), field.name) {
            error
        } else {
            return Some(text.trimmed());
        };
        faults.add(&text.whole(), error.with_hint(write(field)));
        None
    }

    /// A text of any length, line breaks and all; none when it is blank.
    pub fn note(&self, field: &Field, faults: &mut Faults<'_>) -> Option<String> {
        let value = self.value(field, faults)?;
        let note = self.written(field, value, faults, plain)?.trimmed();
        (!note.value().is_empty()).then(|| note.value().to_owned())
    }

    /// A quantity of a kind, with its text.
    pub fn quantity(
        &self,
        field: &Field,
        kind: Kind,
        faults: &mut Faults<'_>,
    ) -> Option<(Reading, Written<'p>)> {
        let value = self.value(field, faults)?;
        let unit = kind.likely().first()?.plural();
        let hint = |number: &str| {
            let is_plain = number
                .bytes()
                .all(|b| b.is_ascii_digit() || b"+-.".contains(&b));
            if is_plain {
                format!("write \"{number} {unit}\"")
            } else {
                write(field)
            }
        };
        let text = self.written(field, value, faults, hint)?;
        let error = match read(text.value(), &[kind]) {
            // No share that stands in a table is a moisture.
            Ok(reading) if reading.basis().is_some() => {
                let message = format!("`{reading}` is a moisture, and a share is asked for");
                Error::new(ErrorKind::WrongKind, message).with_hint(write(field))
            }
            Ok(reading) => return Some((reading, text)),
            Err(error) => error,
        };
        faults.add_quantity(&text, field.name, &error);
        None
    }

    /// A list of texts.
    pub fn texts(&self, field: &Field, faults: &mut Faults<'_>) -> Option<Vec<Written<'p>>> {
        let value = self.value(field, faults)?;
        let Some(list) = value.get_ref().as_array() else {
            let error = self.wrong_type(field, value, "a list of texts");
            faults.add(&value.span(), error.with_hint(write(field)));
            return None;
        };
        if list.is_empty() {
            let error = BookError::new(
                BookErrorKind::Quantity(ErrorKind::Empty),
                format!("the list of {} is empty", field.name),
            );
            let error = error.with_hint(write(field)).with_field(field.name);
            faults.add(&value.span(), error);
            return None;
        }
        let texts: Vec<_> = list
            .iter()
            .filter_map(|value| self.written(field, value, faults, |_| write(field)))
            .collect();
        (texts.len() == list.len()).then_some(texts)
    }

    /// Yes or no.
    pub fn truth(&self, field: &Field, faults: &mut Faults<'_>) -> Option<bool> {
        let value = self.value(field, faults)?;
        let truth = value.get_ref().as_bool();
        if truth.is_none() {
            let error = self.wrong_type(field, value, "true or false");
            faults.add(&value.span(), error.with_hint(write(field)));
        }
        truth
    }

    /// A whole number from `least` up.
    pub fn whole(&self, field: &Field, least: u32, faults: &mut Faults<'_>) -> Option<u32> {
        let value = self.value(field, faults)?;
        let number = match value.get_ref() {
            DeValue::Integer(number) => u32::from_str_radix(number.as_str(), number.radix()).ok(),
            _ => None,
        };
        let found = number.filter(|number| *number >= least);
        if found.is_none() {
            let wanted = format!("a whole number from {least} up");
            let error = self.wrong_type(field, value, &wanted);
            faults.add(&value.span(), error.with_hint(write(field)));
        }
        found
    }

    /// A day without a time.
    pub fn date(&self, field: &Field, faults: &mut Faults<'_>) -> Option<Date> {
        let value = self.value(field, faults)?;
        let date = value
            .get_ref()
            .as_datetime()
            .filter(|moment| moment.time.is_none())
            .and_then(|moment| moment.date)
            .and_then(|date| Date::new(date.year, date.month, date.day));
        if date.is_none() {
            let hint = match value.get_ref() {
                DeValue::String(_) => format!("{}, without quotes", write(field)),
                DeValue::Datetime(_) => format!("{}, without a time", write(field)),
                _ => write(field),
            };
            let error = self.wrong_type(field, value, "a date");
            faults.add(&value.span(), error.with_hint(hint));
        }
        date
    }

    /// The value of a field; a fault when it is missing and must be there.
    fn value(&self, field: &Field, faults: &mut Faults<'_>) -> Option<&Spanned<DeValue<'p>>> {
        let value = self.values.get(field.name);
        if value.is_none() && field.is_required {
            let error = BookError::new(
                BookErrorKind::MissingField,
                format!("this {} has no {}", self.what, field.name),
            );
            let error = error.with_hint(write(field)).with_field(field.name);
            faults.add(&self.heading, error);
        }
        value
    }

    /// A text as it is written; `quoted` says how to write a bare number.
    fn written(
        &self,
        field: &Field,
        value: &Spanned<DeValue<'p>>,
        faults: &mut Faults<'_>,
        quoted: impl Fn(&str) -> String,
    ) -> Option<Written<'p>> {
        let span = value.span();
        let raw = self.page.slice(&span);
        if let DeValue::String(text) = value.get_ref() {
            let is_long = raw.starts_with("\"\"\"") || raw.starts_with("'''");
            let enclosed = if is_long { 3 } else { 1 };
            return Some(Written::new(text.clone(), self.page.text(), span, enclosed));
        }
        let hint = match value.get_ref() {
            DeValue::Integer(_) | DeValue::Float(_) => quoted(raw),
            _ => write(field),
        };
        let error = self.wrong_type(field, value, "a text");
        faults.add(&span, error.with_hint(hint));
        None
    }

    fn wrong_type(&self, field: &Field, value: &Spanned<DeValue<'_>>, wanted: &str) -> BookError {
        let is = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "a yes or no",
            DeValue::Datetime(moment) if moment.date.is_none() => "a time",
            DeValue::Datetime(moment) if moment.time.is_some() => "a date with a time",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let message = format!(
            "{} is {is}, and {wanted} is asked for",
            quote(self.page.slice(&value.span()))
        );
        BookError::new(BookErrorKind::WrongType, message).with_field(field.name)
    }
}

fn plain(number: &str) -> String {
    format!("write \"{number}\"")
}

fn write(field: &Field) -> String {
    format!("write {}", field.line())
}
