//! What to say about a text that is not TOML.

use std::ops::Range;

use toml::de;

use super::layout::Layout;
use crate::date::Date;
use crate::error::{BookError, BookErrorKind};
use crate::page::{Faults, Page};
use crate::words::quote;

/// Adds the slips of a text to its faults; whether every table can still be
/// told.
pub(super) fn faults(
    page: &Page,
    layout: &Layout,
    slips: &[de::Error],
    faults: &mut Faults<'_>,
) -> bool {
    let slips: Vec<Slip<'_>> = slips.iter().map(|slip| Slip::new(page, slip)).collect();
    // Fields of a table that stands twice stand twice themselves.
    let is_follower = |slip: &Slip<'_>| slip.is_twice() && !slip.is_heading();
    let is_table_twice = slips
        .iter()
        .any(|slip| slip.is_twice() && slip.is_heading());
    let mut is_whole = true;
    for slip in slips {
        if is_table_twice && is_follower(&slip) {
            continue;
        }
        let (span, error) = slip.fault(layout);
        // A date that is none hides no table.
        is_whole &= error.kind() == BookErrorKind::Date;
        faults.add_slip(&span, error);
    }
    is_whole
}

/// A slip of the format, with the line it stands on.
struct Slip<'p> {
    said: &'p str,
    page: &'p Page,
    span: Range<usize>,
    line: Range<usize>,
}

impl<'p> Slip<'p> {
    fn new(page: &'p Page, slip: &'p de::Error) -> Self {
        let span = slip.span().unwrap_or(0..0);
        Self {
            said: slip.message(),
            page,
            line: page.line_around(&span),
            span,
        }
    }

    fn line(&self) -> &'p str {
        self.page.slice(&self.line)
    }

    fn is_twice(&self) -> bool {
        self.said.starts_with("duplicate key")
    }

    fn is_heading(&self) -> bool {
        self.line().trim_start().starts_with('[')
    }

    /// In our own words where it is one of the usual slips.
    fn fault(&self, layout: &Layout) -> (Range<usize>, BookError) {
        let typed = self.page.slice(&self.span);
        let field = field(self.line()).map(|(key, value)| {
            let start = self.line.start;
            (key, start + value.start..start + value.end)
        });
        let named = |error: BookError| match &field {
            Some((key, _)) => error.with_field(key),
            None => error,
        };
        let begins = |start: &str| self.said.starts_with(start);
        let unclosed = |quote: &str| self.said.contains(&format!("string, expected `{quote}`"));
        let error = if self.is_twice() {
            self.twice(typed)
        } else if begins("invalid date") {
            named(Date::fault(typed))
        } else if begins("invalid boolean") {
            named(fault(format!("{} is neither true nor false", quote(typed))))
                .with_hint("write true or false, or a text in quotes")
        } else if let Some((key, value)) = &field
            && is_bare(self.page.slice(value))
        {
            let typed = self.page.slice(value);
            let error = fault(format!("{} stands without quotes", quote(typed)))
                .with_hint(format!("write {key} = \"{typed}\""))
                .with_field(key);
            return (value.clone(), error);
        } else if begins("key with no value") {
            let is_colon = self.line().contains(':');
            fault(format!(
                "{} is no field with a value",
                quote(self.line().trim())
            ))
            .with_hint(if is_colon {
                "write = in place of :"
            } else {
                "write name = \"value\""
            })
        } else if unclosed("\"") || unclosed("'") {
            named(fault("this text has no closing quote".to_owned()))
                .with_hint("put the same quote behind it")
        } else if begins("missing escaped value") {
            named(fault(
                "a backslash begins a character that is none".to_owned(),
            ))
            .with_hint("write the backslash twice")
        } else if begins("missing comma between array elements") || begins("unclosed array, ") {
            fault("this list does not go on or end here".to_owned())
                .with_hint("put a comma between two texts, and ] behind the last")
        } else {
            fault(format!("this is not TOML: {}", self.said)).with_hint(lines_of(layout))
        };
        (self.span.clone(), error)
    }

    fn twice(&self, typed: &str) -> BookError {
        let hint = if self.is_heading() {
            format!("a table that is there more than once has two brackets: [[{typed}]]")
        } else {
            "leave one of them".to_owned()
        };
        let message = format!("{} stands twice", quote(typed));
        BookError::new(BookErrorKind::Duplicate, message)
            .with_hint(hint)
            .with_field(typed)
    }
}

fn fault(message: String) -> BookError {
    BookError::new(BookErrorKind::Syntax, message)
}

/// What the lines of a file are, as a hint.
fn lines_of(layout: &Layout) -> String {
    let heading = match &layout.table {
        Some(table) => format!(" a heading [[{}]],", table.name),
        None => String::new(),
    };
    format!("a line is a field as in name = \"value\",{heading} a comment behind # or blank")
}

/// The name of the field that a line sets, and where in the line its value
/// stands, a comment left out.
fn field(line: &str) -> Option<(&str, Range<usize>)> {
    let (key, value) = line.split_once('=')?;
    let key = key.trim();
    let is_key = !key.is_empty()
        && key
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"-_".contains(&b));
    let value = value.split('#').next()?;
    let start = line.find('=')? + 1 + value.len() - value.trim_start().len();
    is_key.then(|| (key, start..start + value.trim().len()))
}

/// Whether a value is one that should stand in quotes.
fn is_bare(value: &str) -> bool {
    !value.is_empty() && !value.contains(['"', '\'', '[', ']', '{', '}', '\\'])
}
