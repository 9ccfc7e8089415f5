//! A formula in sentences: what it is, two of them compared, one share changed.

use gutta::bench::LeafBasis;
use gutta::blend::formula::{Component, ShareChange, Shares};
use gutta::blend::sheet::{Planned, SheetSize};
use gutta::measure::{Ratio, Reading, Scalar, Unit};

use super::keys;
use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::formula::Formula;
use crate::resolve::lots::SaidLot;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    BASIS = "basis": Shape::Word(&["as-weighed", "dry"]), "what the shares are of";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    SHARE = "share": PERCENT, "its share, on the basis";
    OTHER = "share_on_other_basis": PERCENT, "its share on the other basis, by the lots";
    OUNCES = "oz_per_lb": Shape::Number, "its share in ounces per pound, or parts of 16";
    LOT = "lot": Shape::Text, "the lot that it is weighed from";
    MASS = "mass": GRAMS, "what to weigh of it at the size asked for";
    LINES = "lines": Shape::Rows { always: &[&COMPONENT, &SHARE, &OUNCES], known: &[&OTHER, &LOT, &MASS] }, "the leaf, each blend as what it is made of";
    TOTAL = "leaf": GRAMS, "all leaf as weighed at the size asked for";
    BEFORE = "before": PERCENT, "its share before; 0 when it was not in the formula";
    AFTER = "after": PERCENT, "its share after; 0 when it is no longer in the formula";
    POINTS = "points": Shape::Number, "after less before, in points of share";
    CHANGES = "changes": Shape::Rows { always: &[&COMPONENT, &BEFORE, &AFTER, &POINTS], known: &[] }, "what became of each component";
    SAVED = "saved": Shape::Text, "the name and version that it is kept by";
    SAVED_IN = "saved_in": Shape::Text, "the file that it is kept in";
    SAME = "same": Shape::Word(&["yes", "no"]), "whether the shares are the same";
}

/// The keys of `formula show`.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&BASIS, &LINES],
    known: &[&TOTAL, &SAVED, &SAVED_IN],
}];

/// The keys of `formula compare`.
pub static COMPARE_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&BASIS, &SAME, &CHANGES],
    known: &[],
}];

/// The keys of `formula change`.
pub static CHANGE_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&BASIS, &CHANGES],
    known: &[&SAVED, &SAVED_IN],
}];

const fn basis_word(basis: LeafBasis) -> &'static str {
    match basis {
        LeafBasis::AsWeighed => "as-weighed",
        LeafBasis::Dry => "dry",
    }
}

fn percent(share: Ratio) -> String {
    say::base(share.base(), Unit::PERCENT)
}

/// `46 % flue-cured, 54 % oriental`.
fn listed(shares: &Shares) -> String {
    let each = shares.lines().iter();
    let each = each.map(|line| format!("{} {}", percent(line.share()), line.name()));
    each.collect::<Vec<_>>().join(", ")
}

/// What is shown of a formula.
pub struct Shown<'a> {
    /// The formula.
    pub formula: &'a Formula,
    /// The size that was typed.
    pub size: Option<(&'a Reading, SheetSize)>,
    /// What to weigh at it.
    pub planned: Option<&'a Planned>,
    /// The shares of its leaf on the other basis.
    pub other: Option<&'a Shares>,
    /// The lots.
    pub lots: &'a [SaidLot],
}

/// A formula, shown.
pub fn show(shown: &Shown<'_>, assumed: Assumed) -> Answer {
    let formula = shown.formula;
    let mut answer = Answer::new(
        "formula show",
        format!(
            "{}, shares of {}: {}.",
            formula.title,
            leaf(formula.basis),
            listed(&formula.written)
        ),
    );
    let voice = match shown.size {
        Some((typed, _)) => Voice::of(typed, None),
        None => Voice::plain(None),
    };
    let masses = |at: usize| {
        let lines = shown.planned?.lines.iter();
        lines.clone().find(|line| line.component == at)
    };
    let mut columns = vec!["", "share", "oz/lb"];
    let on_other = match formula.basis {
        LeafBasis::AsWeighed => "of dry leaf",
        LeafBasis::Dry => "as weighed",
    };
    if shown.other.is_some() {
        columns.push(on_other);
    }
    if shown.planned.is_some() {
        columns.push("weigh");
    }
    let mut grid = Vec::new();
    let mut rows = Vec::new();
    for (at, line) in formula.leaf.lines().iter().enumerate() {
        let ounces = line.share().base() * 16.0;
        let lot = shown.lots.get(at).and_then(|lot| lot.name.clone());
        let mut cells = vec![
            match lot.as_deref().filter(|lot| *lot != line.name()) {
                Some(lot) => format!("{} ({lot})", line.name()),
                None => line.name().to_owned(),
            },
            percent(line.share()),
            say::plain(ounces),
        ];
        let mut row = Row::default()
            .with_text(&COMPONENT, line.name().to_owned())
            .with_exact(&SHARE, line.share().base())
            .with_number(&OUNCES, ounces);
        if let Some(other) = shown.other {
            let share = other.lines()[at].share();
            cells.push(percent(share));
            row = row.with_exact(&OTHER, share.base());
        }
        if let Some(lot) = lot {
            row = row.with_text(&LOT, lot);
        }
        if let Some(line) = masses(at) {
            cells.push(voice.mass(line.mass.best()));
            row = row.with(&MASS, &line.mass);
        }
        grid.push(cells);
        rows.push(row);
    }
    answer.table = Some(Grid {
        is_words: false,
        columns,
        rows: grid,
    });
    answer.put_word(&BASIS, basis_word(formula.basis));
    answer.put_rows(&LINES, rows);
    if let Some(planned) = shown.planned {
        answer.put_exact(&TOTAL, planned.leaf.base());
    }
    if formula.written != formula.leaf {
        answer
            .details
            .push("Blends in it are shown as the leaf they are made of.".to_owned());
    }
    others(&mut answer, formula);
    answer.check = match shown.planned {
        Some(planned) => format!(
            "all leaf together, the scale reads {}",
            voice.mass(planned.leaf)
        ),
        None => "the shares make 100\u{a0}%".to_owned(),
    };
    answer.next.push(match shown.size {
        Some(_) => "for the steps, with tolerances and running totals: gutta sheet".to_owned(),
        None => "for grams type --batch, --dry or --finished; gutta sheet has the steps".to_owned(),
    });
    assumed.settle(&mut answer);
    answer
}

/// `leaf as weighed`, `dry leaf`.
pub const fn leaf(basis: LeafBasis) -> &'static str {
    match basis {
        LeafBasis::AsWeighed => "leaf as weighed",
        LeafBasis::Dry => "dry leaf",
    }
}

/// What goes onto the leaf, and what is to become of it.
fn others(answer: &mut Answer, formula: &Formula) {
    for casing in &formula.casings {
        answer.details.push(format!("Casing: {casing}."));
    }
    for flavour in &formula.flavours {
        answer.details.push(format!("Flavouring: {flavour}."));
    }
    if let Some((to, _)) = &formula.to {
        answer
            .details
            .push(format!("Moisture at the end: {}.", to.unbroken()));
    }
    if let Some(band) = formula.band {
        answer.details.push(format!(
            "Within {} of moisture.",
            say::base(band.base(), Unit::PERCENT)
        ));
    }
    if let Some(tolerance) = formula.tolerance {
        answer.details.push(format!(
            "Weighings within {}.",
            say::base(tolerance.base(), Unit::PERCENT)
        ));
    }
    if let Some(rest) = &formula.rest {
        answer.details.push(format!("Rest: {rest}."));
    }
    if let Some(note) = &formula.note {
        answer.details.push(format!("Note: {note}."));
    }
}

/// Two formulas, compared.
pub fn compare(
    before: &Formula,
    after: &Formula,
    changes: &[ShareChange],
    assumed: Assumed,
) -> Answer {
    let (one, other) = if before.title == after.title {
        ("the first", "the second")
    } else {
        (before.title.as_str(), after.title.as_str())
    };
    let headline = match who(changes) {
        Some(who) => format!("From {one} to {other}: {who}."),
        None => format!("The shares of {one} and {other} are the same."),
    };
    let mut answer = Answer::new("formula compare", headline);
    answer.put_word(&BASIS, basis_word(before.basis));
    answer.put_word(&SAME, if who(changes).is_some() { "no" } else { "yes" });
    table(&mut answer, changes);
    beside(&mut answer, before, after);
    answer.check = String::from("the points sum to 0");
    assumed.settle(&mut answer);
    answer
}

/// What else became different.
fn beside(answer: &mut Answer, before: &Formula, after: &Formula) {
    let mut differ = |what: &str, one: Vec<String>, other: Vec<String>| {
        if one != other {
            let said = |all: Vec<String>| {
                if all.is_empty() {
                    "none".to_owned()
                } else {
                    all.join("; ")
                }
            };
            answer
                .details
                .push(format!("{what}: {}, then {}.", said(one), said(other)));
        }
    };
    let texts = |all: &[gutta::blend::formula::DoseLine]| {
        all.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    differ(
        "Flavourings",
        texts(&before.flavours),
        texts(&after.flavours),
    );
    let texts = |all: &[gutta::blend::formula::RateLine]| {
        all.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    differ("Casings", texts(&before.casings), texts(&after.casings));
    let to = |formula: &Formula| {
        let to = formula.to.iter();
        to.map(|(to, _)| to.unbroken()).collect::<Vec<_>>()
    };
    differ("Moisture", to(before), to(after));
    let words = |words: &Option<String>| words.iter().cloned().collect::<Vec<_>>();
    differ("Rest", words(&before.rest), words(&after.rest));
}

/// `oriental was raised by 6 points; flue-cured gave way by 6`; none where
/// nothing changed.
fn who(changes: &[ShareChange]) -> Option<String> {
    let points = |change: &&ShareChange| {
        let points = say::plain(change.points().base().abs() * 100.0);
        format!("{} by {points}", change.name)
    };
    let raised: Vec<String> = changes
        .iter()
        .filter(|change| change.was_raised())
        .map(|change| points(&change))
        .collect();
    let gave: Vec<String> = changes
        .iter()
        .filter(|change| change.gave_way())
        .map(|change| points(&change))
        .collect();
    (!raised.is_empty()).then(|| {
        format!(
            "raised {}; gave way {} (points of share)",
            raised.join(", "),
            gave.join(", ")
        )
    })
}

fn table(answer: &mut Answer, changes: &[ShareChange]) {
    let rows = changes.iter().map(|change| {
        let points = change.points().base() * 100.0;
        Row::default()
            .with_text(&COMPONENT, change.name.clone())
            .with_exact(&BEFORE, change.before.base())
            .with_exact(&AFTER, change.after.base())
            .with_number(&POINTS, points)
    });
    answer.put_rows(&CHANGES, rows.collect());
    let cells = changes.iter().map(|change| {
        let points = change.points().base() * 100.0;
        let sign = if change.was_raised() { "+" } else { "" };
        vec![
            change.name.clone(),
            percent(change.before),
            percent(change.after),
            if change.was_raised() || change.gave_way() {
                format!("{sign}{}", say::plain(points))
            } else {
                String::new()
            },
        ]
    });
    answer.table = Some(Grid {
        is_words: false,
        columns: vec!["", "before", "after", "points"],
        rows: cells.collect(),
    });
}

/// One share changed.
pub fn change(
    before: &Formula,
    after: &Shares,
    name: &str,
    changes: &[ShareChange],
    assumed: Assumed,
) -> Answer {
    let headline = match who(changes) {
        Some(who) => format!("{name} changed: {who}, of {}.", leaf(before.basis)),
        None => format!("{name} has that share already."),
    };
    let mut answer = Answer::new("formula change", headline);
    answer.put_word(&BASIS, basis_word(before.basis));
    table(&mut answer, changes);
    answer.check = String::from("the points sum to 0");
    let lines: Vec<String> = share_lines(after)
        .iter()
        .map(|line| format!("\"{line}\""))
        .collect();
    answer
        .next
        .push(format!("as a new version: leaf = [{}]", lines.join(", ")));
    answer.next.push(
        "change nothing else, so that the next trial says what this one thing does".to_owned(),
    );
    assumed.settle(&mut answer);
    answer
}

/// The lines of a formula as a file has them: `46 % flue-cured`.
pub fn share_lines(shares: &Shares) -> Vec<String> {
    let each = shares.lines().iter();
    each.map(|line: &Component| format!("{} {}", percent_written(line.share()), line.name()))
        .collect()
}

/// A ratio as a file has it.
pub fn percent_written(ratio: Ratio) -> String {
    // Nine decimals: the rest is what rounding leaves.
    format!("{} %", (ratio.base() * 1e11).round() / 1e9)
}

/// That a formula is kept.
pub fn say_kept(answer: &mut Answer, name: &str, version: u32, file: &str) {
    answer.put_text(&SAVED, format!("{name}:{version}"));
    answer.put_text(&SAVED_IN, file.to_owned());
    answer.details.push(format!(
        "It is kept in {file} as {name}, version {version}."
    ));
    // It has been written already.
    answer
        .next
        .retain(|line| !line.starts_with("as a new version:"));
    answer.next.push(format!(
        "call it by its name: {}",
        say::shell_word(&format!("{name}:{version}"))
    ));
}
