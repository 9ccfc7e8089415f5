//! Labels of a batch.

use gutta::Caution;
use unicode_width::UnicodeWidthStr;

use crate::answer::{Answer, Key, Row, Shape};
use crate::document::{LABEL_LINES, Labels};
use crate::render::json::Form;
use crate::speak::keys;

keys! {
    COUNT = "labels": Shape::Number, "how many labels";
    TEXT = "text": Shape::Text, "what stands in the line";
    LINES = "lines": Shape::Rows { always: &[&TEXT], known: &[] }, "the lines of a label, four at most";
}

/// The keys of `batch labels`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&COUNT, &LINES],
    known: &[],
}];

/// Labels, said.
pub fn labels(labels: Labels) -> Answer {
    let headline = match labels.count {
        1 => "A label:".to_owned(),
        count => format!("{count} labels, each:"),
    };
    let mut answer = Answer::new("batch labels", headline);
    answer.put_number(&COUNT, labels.count as f64);
    let rows = labels.lines.iter();
    let rows = rows.map(|line| Row::default().with_text(&TEXT, line.clone()));
    answer.put_rows(&LINES, rows.collect());
    let widest = labels.lines.iter().map(|line| line.width()).max();
    answer.check = format!(
        "{} of {LABEL_LINES} lines, the widest of {} letters",
        labels.lines.len(),
        widest.unwrap_or(0)
    );
    answer.cautions.push(Caution::Licensed.to_string());
    answer.labels = Some(labels);
    answer
}
