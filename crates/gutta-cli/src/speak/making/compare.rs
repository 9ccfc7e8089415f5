//! Two trials or batches beside each other.

use gutta::Estimate;
use gutta::blend::record::{MadeShare, MakingNow};
use gutta::measure::{Ratio, Scalar, Unit};
use gutta_book::MakingRecord;

use super::{dose, percent};
use crate::answer::{Answer, Grid, Key, Row, Shape};
use crate::render::json::Form;
use crate::say;
use crate::speak::keys;

keys! {
    FIRST = "first": Shape::Text, "the identifier of the first";
    SECOND = "second": Shape::Text, "the identifier of the second";
    BASIS = "basis": Shape::Word(&["dry", "as-weighed"]), "what shares and doses are of: dry leaf where all moistures of both are known";
    WHAT = "what": Shape::Text, "what is compared";
    UNIT = "unit": Shape::Word(&["%", "g/kg", "score"]), "the unit of the three numbers: shares and moisture in %, doses in g/kg";
    BEFORE = "before": Shape::Number, "in the first";
    AFTER = "after": Shape::Number, "in the second";
    LESS = "difference": Shape::Number, "the second less the first";
    ROWS = "differences": Shape::Rows { always: &[&WHAT, &UNIT], known: &[&BEFORE, &AFTER, &LESS] }, "share by share, dose by dose, moisture and scores; what is missing in one is left out there";
}

/// The keys of a comparison.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&FIRST, &SECOND, &BASIS, &ROWS],
    known: &[],
}];

/// One of the two, with what it is.
type One<'a> = (&'a MakingRecord, Option<&'a MakingNow>);

/// One row: what, its unit, and how both are said and how large.
struct Line {
    what: String,
    unit: &'static str,
    sides: [Option<(String, f64)>; 2],
}

/// Two of them.
pub fn compare(command: &'static str, first: One<'_>, second: One<'_>) -> Answer {
    let is_dry = [first, second]
        .iter()
        .all(|(_, now)| now.is_some_and(|now| now.dry_leaf.is_some()));
    let mut lines = shares(first, second, is_dry);
    lines.extend(doses(first, second, is_dry));
    lines.extend(moisture(first, second));
    lines.extend(scores(first.0, second.0));
    let changed = lines
        .iter()
        .filter(|line| line.unit != "score")
        .filter(|line| match &line.sides {
            [Some((a, _)), Some((b, _))] => a != b,
            _ => true,
        });
    let changed: Vec<&str> = changed.map(|line| line.what.as_str()).collect();
    let headline = match changed.as_slice() {
        [] => format!("{} and {} are the same as made.", first.0.id, second.0.id),
        what => format!(
            "From {} to {} differ: {}.",
            first.0.id,
            second.0.id,
            what.join(", ")
        ),
    };
    let mut answer = Answer::new(command, headline);
    answer.put_text(&FIRST, first.0.id.to_string());
    answer.put_text(&SECOND, second.0.id.to_string());
    answer.put_word(&BASIS, if is_dry { "dry" } else { "as-weighed" });
    answer.put_rows(&ROWS, lines.iter().map(row).collect());
    answer.table = Some(Grid {
        is_words: false,
        columns: vec!["", "first", "second", "difference"],
        rows: lines.iter().map(cells).collect(),
    });
    answer.details.push(format!(
        "The first is {}, the second {}; shares and doses are of {}.",
        first.0.title,
        second.0.title,
        if is_dry {
            "dry leaf"
        } else {
            "leaf as weighed"
        }
    ));
    if let Some(change) = &second.0.change {
        answer.details.push(format!("Meant to change: {change}."));
    }
    answer
}

fn row(line: &Line) -> Row {
    let mut row = Row::default()
        .with_text(&WHAT, line.what.clone())
        .with_word(&UNIT, line.unit);
    let [first, second] = &line.sides;
    if let Some((_, number)) = first {
        row = row.with_number(&BEFORE, *number);
    }
    if let Some((_, number)) = second {
        row = row.with_number(&AFTER, *number);
    }
    if let (Some((_, first)), Some((_, second))) = (first, second) {
        row = row.with_number(&LESS, second - first);
    }
    row
}

fn cells(line: &Line) -> Vec<String> {
    let said = |side: &Option<(String, f64)>| {
        side.as_ref()
            .map_or_else(|| "–".to_owned(), |(text, _)| text.clone())
    };
    let [first, second] = &line.sides;
    let less = match (first, second) {
        (Some((_, first)), Some((_, second))) => {
            let less = second - first;
            let said = say::plain((less * 1e3).round() / 1e3);
            if less > 0.0 { format!("+{said}") } else { said }
        }
        _ => String::new(),
    };
    vec![line.what.clone(), said(first), said(second), less]
}

/// All names, in the order that they come first.
fn names<'a>(
    one: impl Iterator<Item = &'a str>,
    other: impl Iterator<Item = &'a str>,
) -> Vec<&'a str> {
    let mut names: Vec<&str> = Vec::new();
    for name in one.chain(other) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

fn shares(first: One<'_>, second: One<'_>, is_dry: bool) -> Vec<Line> {
    let of =
        |one: One<'_>| -> Vec<MadeShare> { one.1.map_or_else(Vec::new, |now| now.shares.clone()) };
    let (one, other) = (of(first), of(second));
    let share = |all: &[MadeShare], name: &str| {
        let found = all.iter().find(|share| share.name == name)?;
        let share = if is_dry {
            found.dry.as_ref()?
        } else {
            &found.as_weighed
        };
        Some((percent(share), share.best().base() * 100.0))
    };
    let all = names(
        one.iter().map(|share| share.name.as_str()),
        other.iter().map(|share| share.name.as_str()),
    );
    all.into_iter()
        .map(|name| Line {
            what: name.to_owned(),
            unit: "%",
            sides: [share(&one, name), share(&other, name)],
        })
        .collect()
}

/// Casings and flavourings: what was given of each in all.
fn doses(first: One<'_>, second: One<'_>, is_dry: bool) -> Vec<Line> {
    let of = |one: One<'_>| -> Vec<(String, Estimate<Ratio>)> {
        let given = one.1.map_or(&[][..], |now| now.given.as_slice());
        let each = one.0.liquids.iter().zip(given);
        let counted = each.filter_map(|(liquid, given)| {
            let dose = if is_dry {
                given.on_dry.clone()?
            } else {
                given.on_leaf.clone()
            };
            Some((liquid.name.clone(), dose))
        });
        counted.collect()
    };
    let (one, other) = (of(first), of(second));
    let dose_of = |all: &[(String, Estimate<Ratio>)], name: &str| {
        let mut of_name = all.iter().filter(|(known, _)| known == name);
        let (_, one) = of_name.next()?;
        let more: f64 = of_name.map(|(_, dose)| dose.best().base()).sum();
        let number = one.best().base() + more;
        let said = if more > 0.0 {
            say::base(number, Unit::GRAM_PER_KILOGRAM)
        } else {
            dose(one)
        };
        Some((said, number * 1e3))
    };
    let all = names(
        one.iter().map(|(name, _)| name.as_str()),
        other.iter().map(|(name, _)| name.as_str()),
    );
    all.into_iter()
        .map(|name| Line {
            what: name.to_owned(),
            unit: "g/kg",
            sides: [dose_of(&one, name), dose_of(&other, name)],
        })
        .collect()
}

fn moisture(first: One<'_>, second: One<'_>) -> Option<Line> {
    let of = |one: One<'_>| {
        let moisture = one.1?.moisture.as_ref()?;
        Some((
            say::estimate(moisture, Unit::PERCENT),
            moisture.best().base() * 100.0,
        ))
    };
    let sides = [of(first), of(second)];
    sides.iter().any(Option::is_some).then(|| Line {
        what: "moisture".to_owned(),
        unit: "%",
        sides,
    })
}

/// The last score of each thing that was judged.
fn scores(first: &MakingRecord, second: &MakingRecord) -> Vec<Line> {
    let score = |one: &MakingRecord, what: &str| {
        let last = one.scores.iter().rev().find(|score| score.what == what)?;
        Some((say::plain(last.score), last.score))
    };
    let what = names(
        first.scores.iter().map(|score| score.what.as_str()),
        second.scores.iter().map(|score| score.what.as_str()),
    );
    what.into_iter()
        .map(|what| Line {
            what: what.to_owned(),
            unit: "score",
            sides: [score(first, what), score(second, what)],
        })
        .collect()
}
