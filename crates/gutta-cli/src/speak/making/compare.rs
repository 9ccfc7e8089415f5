//! Two trials or batches beside each other.

use gutta::Estimate;
use gutta::blend::record::{MadeShare, MakingNow};
use gutta::measure::{Ratio, Scalar, Unit};
use gutta_book::{MakingRecord, ScoreDone};

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
    HALF = "half_width": Shape::Number, "how far the difference can be off at 95 %, if the two have no doubt in common";
    DIFFERS = "differs": Shape::Word(&["yes", "no"]), "whether the difference is larger than that; yes of what is in one alone";
    ROWS = "differences": Shape::Rows { always: &[&WHAT, &UNIT, &DIFFERS], known: &[&BEFORE, &AFTER, &LESS, &HALF] }, "share by share, dose by dose, moisture and scores; what is missing in one is left out there";
}

/// The keys of a comparison.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&FIRST, &SECOND, &BASIS, &ROWS],
    known: &[],
}];

/// One of the two, with what it is.
type One<'a> = (&'a MakingRecord, Option<&'a MakingNow>);

/// One row: what, its unit, and both sides of it.
struct Line {
    what: String,
    unit: &'static str,
    /// Whether the two can be taken from each other.
    is_alike: bool,
    sides: [Option<Side>; 2],
}

/// One of two figures: as it is said, how large, and half of its 95 % interval.
struct Side {
    said: String,
    number: f64,
    half: f64,
}

impl Side {
    fn of(said: String, figure: &Estimate<Ratio>, unit: f64) -> Self {
        Self {
            said,
            number: figure.best().base() * unit,
            half: say::half_width(figure) * unit,
        }
    }
}

impl Line {
    /// The second less the first, and how far that can be off if the two have no
    /// doubt in common.
    fn less(&self) -> Option<(f64, f64)> {
        let [first, second] = &self.sides;
        let (first, second) = (first.as_ref()?, second.as_ref()?);
        self.is_alike
            .then_some((second.number - first.number, first.half.hypot(second.half)))
    }

    /// Whether the two differ by more than that.
    fn differs(&self) -> bool {
        match self.less() {
            // What rounding leaves is no difference.
            Some((less, half)) => less.abs() > half.max(1e-9),
            None => true,
        }
    }
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
        .filter(|line| line.unit != "score" && line.differs());
    let changed: Vec<&str> = changed.map(|line| line.what.as_str()).collect();
    let headline = match changed.as_slice() {
        [] => format!(
            "{} and {} do not differ by more than their doubts.",
            first.0.id, second.0.id
        ),
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
    let is_child = second.0.parent.as_ref() == Some(&first.0.id);
    if let Some(change) = second.0.change.as_ref().filter(|_| is_child) {
        answer.details.push(format!("Meant to change: {change}."));
    }
    answer
}

fn row(line: &Line) -> Row {
    let mut row = Row::default()
        .with_text(&WHAT, line.what.clone())
        .with_word(&UNIT, line.unit);
    let [first, second] = &line.sides;
    if let Some(first) = first {
        row = row.with_number(&BEFORE, first.number);
    }
    if let Some(second) = second {
        row = row.with_number(&AFTER, second.number);
    }
    if let Some((less, half)) = line.less() {
        row = row.with_number(&LESS, less).with_number(&HALF, half);
    }
    row.with_word(&DIFFERS, if line.differs() { "yes" } else { "no" })
}

fn cells(line: &Line) -> Vec<String> {
    let said = |side: &Option<Side>| {
        side.as_ref()
            .map_or_else(|| "–".to_owned(), |side| side.said.clone())
    };
    let [first, second] = &line.sides;
    let less = line.less().map_or_else(String::new, |(less, half)| {
        let place = |number: f64| say::plain((number * 1e3).round() / 1e3);
        let sign = if less > 0.0 { "+" } else { "" };
        match half {
            0.0 => format!("{sign}{}", place(less)),
            half => format!("{sign}{} ±\u{a0}{}", place(less), say::plain(two(half))),
        }
    });
    vec![line.what.clone(), said(first), said(second), less]
}

/// A number to two figures.
fn two(number: f64) -> f64 {
    let place = 10_f64.powf(number.abs().log10().floor() - 1.0);
    (number / place).round() * place
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
        Some(Side::of(percent(share), share, 100.0))
    };
    let all = names(
        one.iter().map(|share| share.name.as_str()),
        other.iter().map(|share| share.name.as_str()),
    );
    all.into_iter()
        .map(|name| Line {
            what: name.to_owned(),
            unit: "%",
            is_alike: true,
            sides: [share(&one, name), share(&other, name)],
        })
        .collect()
}

/// Casings and flavourings: what was given of each in all.
fn doses(first: One<'_>, second: One<'_>, is_dry: bool) -> Vec<Line> {
    let of = |one: One<'_>| -> Vec<(String, Estimate<Ratio>)> {
        let given = one.1.map_or(&[][..], |now| now.given.as_slice());
        let counted = given.iter().filter_map(|given| {
            let dose = if is_dry {
                given.on_dry.clone()?
            } else {
                given.on_leaf.clone()
            };
            Some((given.name.clone(), dose))
        });
        counted.collect()
    };
    let (one, other) = (of(first), of(second));
    let dose_of = |all: &[(String, Estimate<Ratio>)], name: &str| {
        let (_, given) = all.iter().find(|(known, _)| known == name)?;
        Some(Side::of(dose(given), given, 1e3))
    };
    let all = names(
        one.iter().map(|(name, _)| name.as_str()),
        other.iter().map(|(name, _)| name.as_str()),
    );
    all.into_iter()
        .map(|name| Line {
            what: name.to_owned(),
            unit: "g/kg",
            is_alike: true,
            sides: [dose_of(&one, name), dose_of(&other, name)],
        })
        .collect()
}

fn moisture(first: One<'_>, second: One<'_>) -> Option<Line> {
    let of = |one: One<'_>| {
        let moisture = one.1?.moisture.as_ref()?;
        Some(Side {
            said: say::estimate(moisture, Unit::PERCENT),
            number: moisture.best().base() * 100.0,
            half: say::half_width(moisture) * 100.0,
        })
    };
    let sides = [of(first), of(second)];
    sides.iter().any(Option::is_some).then(|| Line {
        what: "moisture".to_owned(),
        unit: "%",
        is_alike: true,
        sides,
    })
}

/// The last score of each thing that was judged.
fn scores(first: &MakingRecord, second: &MakingRecord) -> Vec<Line> {
    let score = |one: &MakingRecord, what: &str| {
        let mut backwards = one.scores.iter().rev();
        backwards.find(|score| score.what == what).cloned()
    };
    let side = |score: &ScoreDone| Side {
        said: match score.out_of {
            Some(best) => format!("{} of {}", say::plain(score.score), say::plain(best)),
            None => say::plain(score.score),
        },
        number: score.score,
        half: 0.0,
    };
    let what = names(
        first.scores.iter().map(|score| score.what.as_str()),
        second.scores.iter().map(|score| score.what.as_str()),
    );
    what.into_iter()
        .map(|what| {
            let (one, other) = (score(first, what), score(second, what));
            let best = |score: &Option<ScoreDone>| score.as_ref().and_then(|score| score.out_of);
            Line {
                what: what.to_owned(),
                unit: "score",
                // Marks out of unlike bests are not to be taken from each other.
                is_alike: best(&one) == best(&other),
                sides: [one.as_ref().map(side), other.as_ref().map(side)],
            }
        })
        .collect()
}
