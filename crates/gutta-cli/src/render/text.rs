//! Answers and troubles as text for people, wide or narrow.
//!
//! Inside a sentence a no-break space holds a number to its unit; here, after
//! the lines are broken, it becomes a plain one.

use textwrap::Options;
use unicode_width::UnicodeWidthStr;

use super::table;
use crate::answer::{Answer, Greeting};
use crate::failure::{Failure, Report};
use crate::say;

/// How wide lines are, and whether they may be styled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    /// Columns.
    pub width: usize,
    /// Whether the answer may stand in bold.
    pub styled: bool,
}

/// Columns of the wide page.
pub const WIDE: usize = 80;
/// Columns of the narrow page.
pub const NARROW: usize = 40;
/// Columns of the labels on the wide page.
const LABEL: usize = 10;

impl Page {
    /// The page that was asked for.
    pub const fn of(narrow: bool, styled: bool) -> Self {
        let width = if narrow { NARROW } else { WIDE };
        Self { width, styled }
    }

    /// A text broken into lines, the later ones indented.
    pub(super) fn wrap(self, text: &str, first: &str, later: &str) -> String {
        let options = Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(later)
            .word_splitter(textwrap::WordSplitter::NoHyphenation)
            .word_separator(textwrap::WordSeparator::AsciiSpace)
            .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit);
        // What was typed may hold characters that would steer a terminal.
        let tame = text.replace(char::is_control, "\u{fffd}");
        let mut lines = textwrap::fill(&tame, options).replace('\u{a0}', " ");
        lines.push('\n');
        lines
    }

    /// A labelled group of lines.
    fn group(self, label: &str, lines: &[String]) -> String {
        let mut text = String::new();
        if self.width < WIDE {
            for line in lines {
                text += &self.wrap(line, &format!("{label}: "), "  ");
            }
            return text;
        }
        for (i, line) in lines.iter().enumerate() {
            let head = if i == 0 { label } else { "" };
            text += &self.wrap(line, &format!("{head:<LABEL$}"), &" ".repeat(LABEL));
        }
        text
    }
}

/// An answer: the answer, its check, what was assumed, the doubt, what is
/// next, cautions; and the sum when asked for.
pub fn answer(answer: &Answer, page: Page, working: bool) -> String {
    let bold = anstyle::Style::new().bold();
    let headline = page.wrap(&answer.headline, "", "  ");
    let mut text = if page.styled {
        format!("{bold}{}{bold:#}\n", headline.trim_end())
    } else {
        headline
    };
    if let Some(grid) = &answer.table {
        text += &table::grid(grid, page);
    }
    for detail in &answer.details {
        text += &page.wrap(detail, "", "  ");
    }
    if let Some(document) = &answer.document {
        text += &table::steps(document, page);
    }
    if let Some(record) = &answer.record {
        text += &table::record(record, page);
    }
    if let Some(labels) = &answer.labels {
        text += &table::label(labels);
    }
    if !answer.check.is_empty() {
        text += &page.group("Check", std::slice::from_ref(&answer.check));
    }
    text += &page.group("Assumed", &answer.assumed);
    text += &page.group("Doubt", &answer.doubt);
    if let Some(draws) = &answer.draws {
        text += &page.group("Draws", &say::draws(draws));
    }
    text += &page.group("Next", &answer.next);
    text += &page.group("Caution", &answer.cautions);
    if working {
        text += &page.group("Working", &answer.working);
    }
    text
}

/// What the program says of itself.
pub fn greeting(greeting: &Greeting, page: Page) -> String {
    let is_narrow = page.width < WIDE;
    let mut text = page.wrap(greeting.title, "", "  ") + "\n";
    let longest = greeting.commands.iter().map(|(name, _)| name.len()).max();
    let width = longest.unwrap_or(0) + 2;
    for (name, about) in greeting.commands {
        let head = if is_narrow {
            format!("{name}: ")
        } else {
            format!("  {name:<width$}")
        };
        text += &page.wrap(
            about,
            &head,
            &" ".repeat(if is_narrow { 2 } else { width + 2 }),
        );
    }
    text += "\nTry:\n";
    // A command that is broken is continued as a shell has it.
    let inner = Page {
        width: page.width - 2,
        ..page
    };
    for command in greeting.tries {
        let lines = inner.wrap(command, "  ", "    ");
        text += &(lines.trim_end().replace('\n', " \\\n") + "\n");
    }
    text + "\n" + &page.wrap(greeting.foot, "", "")
}

/// A trouble: where, what, the text with a caret, what to type instead.
pub fn failure(failure: &Failure, command: &str, page: Page) -> String {
    let mut text = report(failure.report(), command, page);
    for other in &failure.report().more {
        text += &report(other.report(), command, page);
    }
    text
}

fn report(report: &Report, command: &str, page: Page) -> String {
    let mut place = vec![command.to_owned()];
    if let Some(file) = &report.file {
        let at = [report.line, report.column]
            .iter()
            .flatten()
            .fold(file.clone(), |at, n| format!("{at}:{n}"));
        place.push(at);
    } else if let Some(line) = report.line {
        place.push(format!("line {line}"));
    }
    place.extend(report.field.clone());
    place.extend(report.called.clone().or_else(|| report.flag.clone()));
    let mut text = page.wrap(
        &format!("{}: {}", place.join(": "), report.message),
        "",
        "  ",
    );
    if let (Some(line), Some(at)) = (&report.text, report.at) {
        text += &caret(line, at, report.len);
    }
    if let Some(hint) = &report.hint {
        text += &page.wrap(&format!("hint: {hint}"), "", "  ");
    }
    text
}

/// The text with carets under the trouble; wide and combining characters are
/// counted as they show.
fn caret(line: &str, at: usize, len: usize) -> String {
    let show = |part: &str| part.replace(|c: char| c.is_control(), " ");
    let at = line.floor_char_boundary(at.min(line.len()));
    let end = line.ceil_char_boundary((at + len).min(line.len()));
    let before = show(&line[..at]).width();
    let under = show(&line[at..end]).width().max(1);
    format!(
        "  {}\n  {}{}\n",
        show(line),
        " ".repeat(before),
        "^".repeat(under)
    )
}
