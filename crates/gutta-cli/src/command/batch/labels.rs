//! `gutta batch labels`.

use clap::Args;
use unicode_width::UnicodeWidthStr;

use gutta::measure::Reading;
use gutta_book::Date;

use super::record::number;
use crate::answer::Answer;
use crate::command::formula::args::{FORMULA, FormulaArgs};
use crate::command::html::HtmlArgs;
use crate::document::{LABEL_LETTERS, LABEL_LINES, Labels};
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag};
use crate::speak::batch::labels as speak;

/// What stands on a label.
#[derive(Debug, Args)]
pub struct LabelsArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    /// What stands in the first line [the name of the formula]
    #[arg(long, value_name = "WORDS")]
    title: Option<String>,
    /// The number of the batch
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
    /// The day, as it is to stand there
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// What a pack holds
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    net: Option<String>,
    /// A line of your own; may be typed again while there is room
    #[arg(long, value_name = "WORDS")]
    line: Vec<String>,
    /// How many labels [1]
    #[arg(long, value_name = "COUNT")]
    count: Option<String>,
    #[command(flatten)]
    pub(super) html: HtmlArgs,
}

impl LabelsArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let formula = self.formula.read(shelf, &mut assumed)?;
        let number = number(self.number.as_ref())?;
        let net = match Flag::of("--net", self.net.as_ref()) {
            Some(flag) => Some(flag.mass(None)?.reading),
            None => None,
        };
        let title = self.title.clone().unwrap_or(formula.title);
        let flag = if self.title.is_some() {
            "--title"
        } else {
            FORMULA
        };
        let mut lines = vec![(flag, title)];
        let joined = |parts: [Option<String>; 2]| {
            let parts: Vec<String> = parts.into_iter().flatten().collect();
            (!parts.is_empty()).then(|| parts.join(", "))
        };
        let batch = number.map(|number| format!("batch {number}"));
        let day = match Flag::of("--date", self.date.as_ref()) {
            Some(flag) => Some(day(flag)?),
            None => None,
        };
        lines.extend(joined([batch, day]).map(|line| ("--date", line)));
        let moisture = formula
            .to
            .as_ref()
            .map(|(to, _)| format!("moisture {}", to.unbroken()));
        let net = net.as_ref().map(Reading::unbroken);
        lines.extend(joined([net, moisture]).map(|line| ("--net", line)));
        lines.extend(
            self.line
                .iter()
                .map(|line| ("--line", line.trim().to_owned())),
        );
        if lines.len() > LABEL_LINES {
            return Err(Failure::unreadable(
                "too-many",
                format!(
                    "a label has room for {LABEL_LINES} lines, not for {}",
                    lines.len()
                ),
            )
            .about("--line")
            .hint("leave a line out, or the number, the day and the net mass"));
        }
        for (flag, line) in &lines {
            let width = line.width();
            if line.is_empty() || line.contains(char::is_control) {
                return Err(
                    Failure::missing(flag, "a line of the label has nothing to show")
                        .hint("type words on one line, or leave it out"),
                );
            }
            if width > LABEL_LETTERS {
                let hint = match *flag {
                    FORMULA => "type a shorter first line, such as --title \"evening 2\"",
                    _ => "type less on it",
                };
                return Err(Failure::unreadable(
                    "too-long",
                    format!(
                        "this line has {width} letters, and a label has room for {LABEL_LETTERS}"
                    ),
                )
                .about(flag)
                .pointing(line, 0, line.len())
                .hint(hint));
            }
        }
        let labels = Labels {
            lines: lines.into_iter().map(|(_, line)| line).collect(),
            count: self.count()?,
        };
        Ok(speak::labels(labels))
    }

    fn count(&self) -> Outcome<usize> {
        let Some(flag) = Flag::of("--count", self.count.as_ref()) else {
            return Ok(1);
        };
        match flag.text.trim().parse::<usize>() {
            Ok(count) if (1..=1000).contains(&count) => Ok(count),
            _ => Err(flag
                .wrong(
                    "number",
                    format!("`{}` is no count of labels", flag.text.trim()),
                )
                .hint("type a whole number from 1 to 1000, such as --count 24")),
        }
    }
}

/// The day as it is to stand there. In figures alone it is one of the calendar, so that
/// no label says another; a month in words is read by whoever buys it.
fn day(flag: Flag<'_>) -> Outcome<String> {
    let text = flag.text.trim();
    if text.contains(char::is_alphabetic) || text.is_empty() {
        return Ok(text.to_owned());
    }
    Date::typed(text)
        .map(|_| text.to_owned())
        .map_err(|error| {
            flag.wrong(error.kind_name(), error.to_string()).hint(
                "type year, month and day with all digits, such as --date 2026-11-25, or the month in words, such as --date \"25 November 2026\"",
            )
        })
}
