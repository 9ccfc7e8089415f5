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

/// Stands in the place of what had no room.
const MORE: &str = "more is said in the answer of gutta sheet";
/// A note is not cut shorter than so many letters: then it is left out.
const SHORTEST: usize = 40;

/// A document so that it is one page.
pub struct Fitted {
    /// The size of the letters in points.
    pub size: f64,
    /// The notes, cut where even the smallest letters leave no room for them.
    pub notes: Vec<String>,
}

/// Fits a document onto a page.
pub fn fit(document: &Document, paper: Paper) -> Fitted {
    let mut notes = document.notes.clone();
    let mut is_cut = false;
    loop {
        let size = size(document, &notes, paper);
        if fits(document, &notes, paper, size) || !cut(&mut notes, is_cut) {
            return Fitted { size, notes };
        }
        is_cut = true;
    }
}

/// Halves the longest of the notes; says whether there was one to halve. The last
/// says that there was more, once one is cut.
fn cut(notes: &mut Vec<String>, is_cut: bool) -> bool {
    if is_cut {
        notes.pop();
    }
    let letters = |note: &String| note.chars().count();
    let Some(at) = (0..notes.len()).max_by_key(|at| letters(&notes[*at])) else {
        return false;
    };
    let half = letters(&notes[at]) / 2;
    if half < SHORTEST {
        notes.remove(at);
    } else {
        notes[at] = notes[at].chars().take(half).chain(['…']).collect();
    }
    notes.push(MORE.to_owned());
    true
}

fn fits(document: &Document, notes: &[String], paper: Paper, size: f64) -> bool {
    let (width, height) = paper.inside();
    down(document, notes, width / size) * size <= height
}

fn size(document: &Document, notes: &[String], paper: Paper) -> f64 {
    let mut size = LARGEST;
    while size > SMALLEST && !fits(document, notes, paper, size) {
        size -= STEP;
    }
    size
}

/// How far down a document goes on a page so wide, both in sizes of its letters.
fn down(document: &Document, notes: &[String], width: f64) -> f64 {
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
    head + steps + 0.5 + below(document, notes, width) + 3.2
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

fn below(document: &Document, notes: &[String], width: f64) -> f64 {
    let beside = match document.picture {
        Some(_) => width * 0.54 - 1.0,
        None => width,
    };
    let notes: f64 = notes
        .iter()
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
