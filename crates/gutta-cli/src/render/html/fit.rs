//! How large the letters of a page may be so that it stays one page.
//!
//! A page cannot measure itself without a script, so it is reckoned here, in the
//! widths and heights that `sheet.html` gives its parts, on the safe side.

use super::Paper;
use crate::document::{Document, Step};

/// The letters of a page with room, in points, and the smallest that are read at
/// arm's length.
const LARGEST: f64 = 9.5;
const SMALLEST: f64 = 4.5;
const STEP: f64 = 0.25;

/// A letter of the page's widest font, in parts of its size.
const LETTER: f64 = 0.58;
/// A line, in parts of the size.
const LINE: f64 = 1.25;
/// What the columns beside the words of a step take.
const COLUMNS: f64 = 22.6;
/// What they take more where readings with the bowl stand.
const WITH_BOWL: f64 = 4.5;

/// The size of the letters in points.
pub fn size(document: &Document, paper: Paper) -> f64 {
    let (width, height) = paper.inside();
    let mut size = LARGEST;
    while size > SMALLEST && down(document, width / size) * size > height {
        size -= STEP;
    }
    size
}

/// How far down a document goes on a page so wide, both in sizes of its letters.
fn down(document: &Document, width: f64) -> f64 {
    let facts = document
        .facts
        .iter()
        .map(|(label, text)| label.chars().count() + text.chars().count() + 4);
    let title = lines(document.title.chars().count(), width, 1.45) * 1.45 * 1.15 + 0.3;
    let head = title + lines(facts.sum(), width, 1.0) * LINE + 0.5 + 1.1;
    let has_bowl = document.steps.iter().any(|step| step.gross.is_some());
    let beside = if has_bowl {
        COLUMNS + WITH_BOWL
    } else {
        COLUMNS
    };
    let steps = document.steps.iter();
    let steps: f64 = steps.map(|step| of_step(step, width - beside)).sum();
    head + steps + 0.5 + below(document, width) + 3.2
}

/// The lines that so many letters take.
fn lines(letters: usize, width: f64, size: f64) -> f64 {
    // A line loses half a word at its end.
    let in_line = (width / (LETTER * size) - 3.0).max(1.0);
    (letters as f64 / in_line).ceil()
}

fn of_step(step: &Step, width: f64) -> f64 {
    let remark = step
        .remark
        .as_ref()
        .map_or(0, |words| words.chars().count());
    let words = lines(step.what.chars().count() + remark, width, 1.0) * LINE;
    let small = |is_there: bool| if is_there { LINE * 0.8 } else { 0.0 };
    let amount = match &step.amount {
        Some(_) => 1.45 * LINE + small(step.tolerance.is_some()),
        None => 0.0,
    };
    let reads = match &step.reads {
        Some(_) => 1.15 * LINE + small(step.gross.is_some()),
        None => small(step.gross.is_some()),
    };
    words.max(amount).max(reads).max(1.3) + 0.55
}

fn below(document: &Document, width: f64) -> f64 {
    let beside = match document.picture {
        Some(_) => width * 0.54 - 1.0,
        None => width,
    };
    let notes = document.notes.iter();
    let notes: f64 = notes
        .map(|note| lines(note.chars().count(), beside - 1.1, 0.85) * 0.85 * LINE)
        .sum();
    let letters = |caution: &String| caution.chars().count() + 2;
    let cautions = document.cautions.iter().map(letters).sum();
    let cautions = lines(cautions, beside - 1.2, 0.75) * 0.75 * LINE + 1.4;
    match document.picture {
        Some(_) => (notes + cautions).max(width * 0.46 * 0.5 + 3.2),
        None => notes + cautions,
    }
}
