//! All trials, all batches, and which came from which.

use gutta_book::{MakingKind, MakingRecord, moment_text};

use super::{day, score};
use crate::answer::{Answer, Grid, Key, Row, Shape};
use crate::render::json::Form;
use crate::speak::keys;

keys! {
    ID = "id": Shape::Text, "the identifier";
    AT = "at": Shape::Text, "when it was begun, in UTC";
    TITLE = "title": Shape::Text, "what it is of";
    CHANGE = "change": Shape::Text, "the one thing that was changed";
    PARENT = "parent": Shape::Text, "the identifier of the one that it came from";
    SAID = "judged": Shape::Text, "how it was judged, in words";
    STATE = "state": Shape::Word(&["planned", "begun", "made", "judged"]), "how far it is: nothing done of its plan, something, all leaf and liquids, judged";
    DEPTH = "depth": Shape::Number, "how many it descends from, one after the other";
    KIND = "kind": Shape::Word(&["trial", "batch"]), "which it is";
    ALL = "all": Shape::Rows { always: &[&ID, &AT, &KIND, &TITLE, &STATE], known: &[&PARENT, &CHANGE, &SAID] }, "all of them, in the order of the journal";
    TREE = "tree": Shape::Rows { always: &[&ID, &AT, &KIND, &TITLE, &STATE, &DEPTH], known: &[&PARENT, &CHANGE, &SAID] }, "each below the one that it came from";
}

/// The keys of a list.
pub static LIST_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ALL],
    known: &[],
}];

/// The keys of a tree.
pub static TREE_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&TREE],
    known: &[],
}];

fn row(record: &MakingRecord) -> Row {
    let mut row = Row::default()
        .with_text(&ID, record.id.to_string())
        .with_text(&AT, moment_text(record.at))
        .with_word(&KIND, record.kind.word())
        .with_text(&TITLE, record.title.clone())
        .with_word(&STATE, state(record));
    if let Some(parent) = &record.parent {
        row = row.with_text(&PARENT, parent.to_string());
    }
    if let Some(change) = &record.change {
        row = row.with_text(&CHANGE, change.clone());
    }
    if !record.scores.is_empty() {
        row = row.with_text(&SAID, judged(record));
    }
    row
}

/// How far it is.
fn state(record: &MakingRecord) -> &'static str {
    if !record.scores.is_empty() {
        return "judged";
    }
    let is_begun = !record.leaf.is_empty() || !record.liquids.is_empty();
    if is_begun && record.plan.iter().all(|line| record.is_done(line)) {
        "made"
    } else if is_begun {
        "begun"
    } else {
        "planned"
    }
}

fn judged(record: &MakingRecord) -> String {
    let said: Vec<String> = record.scores.iter().map(score).collect();
    said.join(", ")
}

/// All of a kind.
pub fn list(command: &'static str, kind: MakingKind, all: &[&MakingRecord]) -> Answer {
    let word = kind.word();
    let plural = match kind {
        MakingKind::Trial => "trials",
        MakingKind::Batch => "batches",
    };
    let headline = match all.len() {
        0 => format!("The journal has no {word} yet."),
        1 => format!("1 {word}."),
        many => format!("{many} {plural}."),
    };
    let mut answer = Answer::new(command, headline);
    answer.put_rows(&ALL, all.iter().map(|record| row(record)).collect());
    if all.is_empty() {
        answer.next.push(format!(
            "begin one: gutta {word} begin FORMULA --batch 24g writes its plan down"
        ));
        return answer;
    }
    answer.table = Some(Grid {
        is_words: true,
        columns: vec!["", "begun", "of", "changed", "is"],
        rows: all
            .iter()
            .map(|record| {
                vec![
                    record.id.to_string(),
                    day(record.at),
                    record.title.clone(),
                    record.change.clone().unwrap_or_default(),
                    if record.scores.is_empty() {
                        state(record).to_owned()
                    } else {
                        judged(record)
                    },
                ]
            })
            .collect(),
    });
    answer
        .next
        .push(format!("look at one: gutta {word} show {}", all[0].id));
    answer
}

/// Each below the one that it came from.
pub fn tree(command: &'static str, shown: &[(usize, &MakingRecord)]) -> Answer {
    let headline = match shown.len() {
        0 => "The journal has no trial yet.".to_owned(),
        1 => "1 trial or batch.".to_owned(),
        many => format!("{many} trials and batches, each below the one that it came from."),
    };
    let mut answer = Answer::new(command, headline);
    for (depth, record) in shown {
        let mut line = format!(
            "{}{} {}",
            "\u{a0}\u{a0}".repeat(*depth),
            record.id,
            record.title
        );
        if record.kind == MakingKind::Batch {
            line += " (batch)";
        }
        if let Some(change) = &record.change {
            line += &format!(": {change}");
        }
        if record.scores.is_empty() {
            line += &format!(" [{}]", state(record));
        } else {
            line += &format!(" [{}]", judged(record));
        }
        answer.details.push(line);
    }
    let rows = shown.iter().map(|(depth, record)| {
        #[allow(clippy::cast_precision_loss, reason = "nobody has so many generations")]
        let depth = *depth as f64;
        row(record).with_number(&DEPTH, depth)
    });
    answer.put_rows(&TREE, rows.collect());
    answer
}
