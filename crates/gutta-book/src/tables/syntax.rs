//! What to say about a text that is not TOML.

use std::ops::Range;

use toml::de;

use super::layout::Layout;
use crate::error::{BookError, BookErrorKind};
use crate::page::Page;
use crate::words::quote;

/// A slip of the format in our own words, where it is one of the usual.
pub(super) fn fault(page: &Page, layout: &Layout, slip: &de::Error) -> (Range<usize>, BookError) {
    let span = slip.span().unwrap_or(0..0);
    let line = page.place(&span).text;
    let said = slip.message();
    let fault = |message: String| BookError::new(BookErrorKind::Syntax, message);
    let error = if said.starts_with("duplicate key") {
        let key = page.slice(&span);
        let hint = if line.trim_start().starts_with('[') {
            format!("a table that is there more than once has two brackets: [[{key}]]")
        } else {
            "leave one of them".to_owned()
        };
        BookError::new(
            BookErrorKind::Duplicate,
            format!("{} stands twice", quote(key)),
        )
        .with_hint(hint)
        .with_field(key)
    } else if said.starts_with("invalid date") {
        fault(format!("{} is no date", quote(page.slice(&span))))
            .with_hint("write year, month and day with all digits, such as 2026-03-14")
    } else if said.starts_with("invalid boolean") {
        fault(format!(
            "{} is neither true nor false",
            quote(page.slice(&span))
        ))
        .with_hint("write true or false, or a text in quotes")
    } else if let Some((key, value)) = unquoted(&line) {
        fault(format!("{} stands without quotes", quote(value)))
            .with_hint(format!("write {key} = \"{value}\""))
            .with_field(key)
    } else if said.starts_with("key with no value") {
        fault(format!("{} is no field with a value", quote(line.trim())))
            .with_hint("write name = \"value\"")
    } else if said.contains("basic string, expected `\"`")
        || said.contains("literal string, expected `'`")
    {
        fault("this text has no closing quote".to_owned()).with_hint("put the same quote behind it")
    } else if said.starts_with("missing comma between array elements")
        || said.starts_with("unclosed array, expected `]`")
    {
        fault("this list does not go on or end here".to_owned())
            .with_hint("put a comma between two texts, and ] behind the last")
    } else {
        let hint = match &layout.table {
            Some(table) => format!(
                "a line is a field as in name = \"value\", a heading [[{}]], a comment behind # or blank",
                table.name
            ),
            None => {
                "a line is a field as in name = \"value\", a comment behind # or blank".to_owned()
            }
        };
        fault(format!("this is not TOML: {said}")).with_hint(hint)
    };
    (span, error)
}

/// The field and the value of a line whose value should stand in quotes.
fn unquoted(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once('=')?;
    let (key, value) = (key.trim(), value.split('#').next()?.trim());
    let is_key = !key.is_empty()
        && key
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"-_".contains(&b));
    let is_bare = !value.is_empty() && !value.contains(['"', '\'', '[', ']', '{', '}', '\\']);
    (is_key && is_bare).then_some((key, value))
}
