//! What is to be seen to, in sentences.

use gutta::blend::record::{Due, Moment};
use gutta_book::{MakingKind, moment_text};

use super::keys;
use crate::answer::{Answer, Grid, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::record::minute_of;

/// What is to be seen to.
pub enum What {
    /// The rest is over.
    Judge {
        /// The trial or batch.
        id: String,
        /// Which it is.
        kind: MakingKind,
        /// What it is of.
        title: String,
    },
    /// A jar is as dry as it may be.
    Moisten {
        /// The jar.
        jar: String,
        /// The limit, as it was typed.
        limit: String,
    },
    /// Words that were to be seen to.
    Note {
        /// The entry.
        id: String,
        /// The words.
        text: String,
    },
}

keys! {
    AT = "at": Shape::Text, "when, in UTC";
    WHAT = "what": Shape::Word(&["judge", "moisten", "note"]), "what is to be done";
    ABOUT = "about": Shape::Text, "the identifier of the trial, batch or note, or the jar";
    OVER = "is_over": Shape::Word(&["yes", "no"]), "whether it is due already";
    ALL = "due": Shape::Rows { always: &[&AT, &WHAT, &ABOUT, &OVER], known: &[] }, "what is due, the longest due first";
}

/// The keys of what is due.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ALL],
    known: &[],
}];

/// What is due.
pub fn due(all: &[Due<What>], now: Moment) -> Answer {
    let headline = match all.len() {
        0 => "Nothing is due.".to_owned(),
        1 => "1 thing is due.".to_owned(),
        many => format!("{many} things are due."),
    };
    let mut answer = Answer::new("journal due", headline);
    let rows = all.iter().map(|due| {
        let (word, about) = match &due.what {
            What::Judge { id, .. } => ("judge", id.clone()),
            What::Moisten { jar, .. } => ("moisten", jar.clone()),
            What::Note { id, .. } => ("note", id.clone()),
        };
        Row::default()
            .with_text(&AT, moment_text(due.at))
            .with_word(&WHAT, word)
            .with_text(&ABOUT, about)
            .with_word(&OVER, if due.at <= now { "yes" } else { "no" })
    });
    answer.put_rows(&ALL, rows.collect());
    if all.is_empty() {
        answer
            .next
            .push("--within 2days looks ahead; --limit 12% asks when jars get too dry".to_owned());
        return answer;
    }
    let cells = all.iter().map(|due| {
        let said = match &due.what {
            What::Judge { id, kind, title } => {
                format!("judge {} {id}, {title}: it has rested", kind.word())
            }
            What::Note { id, text } => format!("{text} (note {id})"),
            What::Moisten { jar, limit } => {
                format!("weigh jar {jar}: it is at {limit}, if it goes on so")
            }
        };
        vec![minute_of(due.at), said]
    });
    let mut notes = all.iter().filter_map(|due| match &due.what {
        What::Note { id, .. } if due.at <= now => Some(id),
        _ => None,
    });
    if let Some(id) = notes.next() {
        answer.next.push(format!(
            "once it is seen to: gutta journal void {id} --why done"
        ));
    }
    answer.table = Some(Grid {
        is_words: true,
        columns: vec!["(UTC)", "what"],
        rows: cells.collect(),
    });
    answer
}
