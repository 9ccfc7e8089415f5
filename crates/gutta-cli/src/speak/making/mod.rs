//! Trials and batches in sentences: planned beside done, and what they really are.

mod compare;
mod lists;
mod table;

pub use compare::{FORMS as COMPARE_FORMS, compare};
pub use lists::{LIST_FORMS, TREE_FORMS, list, tree};

use gutta::Estimate;
use gutta::blend::record::{Identifier, LiquidUse, MakingNow, Moment};
use gutta::measure::{COVERAGE_95, Mass, Ratio, Scalar, Unit};
use gutta_book::{LiquidDone, MakingKind, MakingRecord, moment_text};

use super::jar::put_entry;
use super::{keys, mould};
use crate::answer::{Answer, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::record::Written;
use crate::resolve::record::minute_of;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const DOSE: Shape = Shape::Quantity(JsonUnit::GramPerKilogram);

keys! {
    ID = "id": Shape::Text, "the identifier of the trial or batch";
    AT = "at": Shape::Text, "when it was begun, in UTC";
    KIND = "kind": Shape::Word(&["trial", "batch"]), "which it is";
    TITLE = "title": Shape::Text, "what it is of";
    FORMULA = "formula": Shape::Text, "the formula of the book, as it is called";
    PARENT = "parent": Shape::Text, "the identifier of the trial that it came from";
    CHANGE = "change": Shape::Text, "the one thing that was changed";
    LEAF = "leaf": GRAMS, "all leaf as weighed";
    DRY = "dry_leaf": GRAMS, "its dry matter";
    TOTAL = "total": GRAMS, "all that lies there once the carrier has left";
    MOISTURE = "moisture": PERCENT, "its moisture then, wet basis";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    LOT = "lot": Shape::Text, "the lot that it is of; several with a comma between";
    PLANNED = "planned": GRAMS, "what was planned of it";
    DONE = "done": GRAMS, "what was weighed of it";
    SHARE = "share": PERCENT, "its share of leaf as weighed";
    SHARE_DRY = "share_dry": PERCENT, "its share of dry leaf";
    OFF = "off": GRAMS, "done less planned";
    WITHIN = "within": Shape::Word(&["yes", "no"]), "whether that is within the tolerance of the plan";
    LINES = "lines": Shape::Rows { always: &[&COMPONENT], known: &[&LOT, &PLANNED, &DONE, &SHARE, &SHARE_DRY, &OFF, &WITHIN] }, "the leaf, planned and done, all weighings of one together";
    LIQUID = "liquid": Shape::Text, "the liquid";
    USE = "use": Shape::Word(&["casing", "flavour", "water"]), "what it is there for";
    DROPS_PLANNED = "drops_planned": Shape::Quantity(JsonUnit::Drop), "the whole drops that were planned";
    DROPS = "drops": Shape::Quantity(JsonUnit::Drop), "the drops that were counted";
    DROPS_REALLY = "drops_really": Shape::Quantity(JsonUnit::Drop), "the drops that the loss of the bottle comes to";
    GIVEN = "given": DOSE, "what was really given, on leaf as weighed";
    COUNTED = "given_by_count": DOSE, "what the counted drops alone would be, on leaf as weighed";
    GIVEN_DRY = "given_dry": DOSE, "the same on dry leaf";
    LIQUIDS = "liquids": Shape::Rows { always: &[&LIQUID, &USE], known: &[&PLANNED, &DROPS_PLANNED, &DONE, &DROPS, &DROPS_REALLY, &GIVEN, &GIVEN_DRY, &COUNTED, &OFF, &WITHIN] }, "the liquids, planned and done, all of one together";
    WEIGHED = "weighed": GRAMS, "what it weighed in the end";
    WEIGHED_AT = "weighed_moisture": PERCENT, "its moisture then, as it was found";
    WHAT = "what": Shape::Text, "what was judged, or what went otherwise";
    SCORE = "score": Shape::Number, "how it was";
    BEST = "best": Shape::Number, "the best that it could have been";
    SCORES = "scores": Shape::Rows { always: &[&WHAT, &SCORE], known: &[&BEST] }, "how it was judged";
    REPAIR = "repair": Shape::Text, "what was done about it";
    DEVIATIONS = "deviations": Shape::Rows { always: &[&WHAT], known: &[&REPAIR] }, "what went otherwise than planned";
    NOTES = "notes": Shape::Rows { always: &[&WHAT], known: &[] }, "words about it";
    RESTED = "rested": Shape::Text, "when its rest is over, in UTC";
    ENTRIES = "entries": Shape::Rows { always: &[&ID], known: &[] }, "the entries that were written down";
}

const KNOWN: &[&Key] = &[
    &FORMULA,
    &PARENT,
    &CHANGE,
    &LEAF,
    &DRY,
    &TOTAL,
    &MOISTURE,
    &WEIGHED,
    &WEIGHED_AT,
    &RESTED,
];

/// The keys of one that is shown.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &ID,
        &AT,
        &KIND,
        &TITLE,
        &LINES,
        &LIQUIDS,
        &SCORES,
        &DEVIATIONS,
        &NOTES,
    ],
    known: KNOWN,
}];

/// The keys of what was added.
pub static ADD_FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &ID,
        &AT,
        &KIND,
        &TITLE,
        &LINES,
        &LIQUIDS,
        &SCORES,
        &DEVIATIONS,
        &NOTES,
        &ENTRIES,
    ],
    known: KNOWN,
}];

/// A plan that is written down, with its sheet.
pub fn begun(
    command: &'static str,
    mut sheet: Answer,
    written: &Written,
    kind: MakingKind,
) -> Answer {
    sheet.command = command;
    sheet.headline = format!(
        "Begun as {} {}. {}",
        kind.word(),
        written.id,
        sheet.headline
    );
    put_entry(&mut sheet, written, &super::sheet::ID, &super::sheet::AT);
    sheet.next.insert(0, how_on(kind, &written.id));
    sheet
}

/// One without a plan.
pub fn begun_free(command: &'static str, written: &Written, kind: MakingKind) -> Answer {
    let mut answer = Answer::new(
        command,
        format!("Begun as {} {}, without a plan.", kind.word(), written.id),
    );
    answer.put_word(&super::sheet::PLAN, "none");
    put_entry(&mut answer, written, &super::sheet::ID, &super::sheet::AT);
    answer.next.push(how_on(kind, &written.id));
    answer
}

fn how_on(kind: MakingKind, id: &Identifier) -> String {
    let what = kind.word();
    format!(
        "write down what is done: gutta {what} add {id} asks for it, or takes lines such as \"leaf 11.0 g red flue-cured\""
    )
}

fn grams(mass: &Estimate<Mass>) -> String {
    Voice::plain(None).reading(mass)
}

fn percent(share: &Estimate<Ratio>) -> String {
    say::figures(share, Unit::PERCENT, 4)
}

fn dose(given: &Estimate<Ratio>) -> String {
    say::figures(given, Unit::GRAM_PER_KILOGRAM, 4)
}

/// What was added, and what it is now.
pub fn added(
    command: &'static str,
    record: &MakingRecord,
    now: Option<&MakingNow>,
    ids: &[Identifier],
) -> Answer {
    let headline = match ids {
        [] => format!("Nothing was written down of {}.", record.id),
        [id] => format!("Written down as {id}, of {}, {}.", record.id, record.title),
        several => format!(
            "{} entries are written down of {}, {}.",
            several.len(),
            record.id,
            record.title
        ),
    };
    let mut answer = Answer::new(command, headline);
    put(&mut answer, record, now);
    let each = ids.iter();
    answer.put_rows(
        &ENTRIES,
        each.map(|id| Row::default().with_text(&ID, id.to_string()))
            .collect(),
    );
    open(&mut answer, record);
    answer
}

/// One, planned beside done.
pub fn show(
    command: &'static str,
    record: &MakingRecord,
    now: Option<&MakingNow>,
    today: Moment,
) -> Answer {
    let headline = match now {
        Some(now) => format!(
            "{}: {}, {} of leaf.",
            record.id,
            record.title,
            grams(&now.leaf)
        ),
        None => format!("{}: {}, no leaf weighed yet.", record.id, record.title),
    };
    let mut answer = Answer::new(command, headline);
    let mut begun = format!("Begun {}", day(record.at));
    if let Some(parent) = &record.parent {
        begun += &format!(", from {parent}");
    }
    if let Some(change) = &record.change {
        begun += &format!(": {change}");
    }
    answer.details.push(begun + ".");
    if let Some(note) = &record.note {
        answer.details.push(format!("Note: {note}."));
    }
    put(&mut answer, record, now);
    open(&mut answer, record);
    if let (Some(rested), true) = (record.rested(), record.is_to_be_judged()) {
        answer.next.push(if rested <= today {
            format!("its rest was over on {}: judge it", minute(rested))
        } else {
            format!("its rest is over on {}", minute(rested))
        });
    }
    answer
}

/// What was planned and is not there yet.
fn open(answer: &mut Answer, record: &MakingRecord) {
    let open: Vec<&str> = record
        .plan
        .iter()
        .filter(|line| !record.is_done(line))
        .map(|line| line.name.as_str())
        .collect();
    if !open.is_empty() {
        answer
            .next
            .push(format!("still to do of the plan: {}", open.join(", ")));
    }
}

/// Table, figures, doubt and cautions of one.
fn put(answer: &mut Answer, record: &MakingRecord, now: Option<&MakingNow>) {
    answer.put_text(&ID, record.id.to_string());
    answer.put_text(&AT, moment_text(record.at));
    answer.put_word(&KIND, record.kind.word());
    answer.put_text(&TITLE, record.title.clone());
    for (key, text) in [(&FORMULA, &record.formula), (&CHANGE, &record.change)] {
        if let Some(text) = text {
            answer.put_text(key, text.clone());
        }
    }
    if let Some(parent) = &record.parent {
        answer.put_text(&PARENT, parent.to_string());
    }
    if let Some(now) = now {
        answer.put_if(&MOISTURE, now.moisture.as_ref());
        answer.put(&LEAF, &now.leaf);
        answer.put_if(&DRY, now.dry_leaf.as_ref());
        answer.put(&TOTAL, &now.total);
        if now.moisture.is_some() {
            let reads = Voice::plain(record.scale).reading(&now.total);
            let has_carrier = record.liquids.iter().any(|liquid| {
                let composition = liquid.composition.as_ref();
                composition.is_some_and(gutta::Composition::has_carrier)
            });
            answer.check = if has_carrier {
                format!("the scale reads {reads} once the alcohol has left")
            } else {
                format!("the scale reads {reads}")
            };
        } else {
            answer.details.push(unknown(record));
        }
    }
    if let Some(last) = record.weighed.last() {
        answer.put(&WEIGHED, &last.mass.estimate("what was weighed"));
        if let Some(moisture) = &last.moisture {
            answer.put(&WEIGHED_AT, &moisture.estimate("moisture found"));
        }
    }
    if let Some(rested) = record.rested() {
        answer.put_text(&RESTED, moment_text(rested));
    }
    table::put(answer, record, now);
    words(answer, record);
    if let Some(now) = now {
        agree(answer, record, now);
    }
    if let Some(moisture) = now.and_then(|now| now.moisture.as_ref()) {
        answer.details.push(format!(
            "With all that is on it, it is at {}.",
            say::with_doubt(moisture, Unit::PERCENT)
        ));
        if moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture {} (95\u{a0}%): {}",
                say::with_doubt(moisture, Unit::PERCENT),
                say::drivers(&say::budget(moisture))
            ));
        }
        let is_cased = record
            .liquids
            .iter()
            .any(|liquid| liquid.use_for == LiquidUse::Casing);
        answer.cautions.extend(mould(moisture.best(), is_cased));
    }
}

/// Why no moisture is worked out.
fn unknown(record: &MakingRecord) -> String {
    let leaf = record.leaf.iter().filter(|leaf| leaf.moisture.is_none());
    let leaf = leaf.map(|leaf| format!("the moisture of {}", leaf.name));
    let is_water = |liquid: &&LiquidDone| liquid.use_for == LiquidUse::Water;
    let liquids = record.liquids.iter().filter(|one| !is_water(one));
    let liquids = liquids.filter(|liquid| liquid.composition.is_none());
    let liquids = liquids.map(|liquid| format!("what is in {}", liquid.name));
    let mut missing: Vec<String> = leaf.chain(liquids).collect();
    missing.dedup();
    format!(
        "Its moisture is not worked out: {} is not known.",
        missing.join(" and ")
    )
}

/// Whether what it weighed and the moisture that was found are those that are
/// worked out; said where they are further apart than their doubts.
fn agree(answer: &mut Answer, record: &MakingRecord, now: &MakingNow) {
    let Some(last) = record.weighed.last() else {
        return;
    };
    let apart = |one: f64, u: f64, other: f64, other_u: f64| {
        (one - other).abs() > COVERAGE_95 * u.hypot(other_u)
    };
    let (weighed, total) = (last.mass.value(), now.total.best());
    let voice = Voice::plain(record.scale);
    if apart(weighed.base(), last.mass.u(), total.base(), now.total.u()) {
        let off = weighed - total;
        let (word, why) = if off.base() < 0.0 {
            ("less", "leaf stayed behind, or it dried")
        } else {
            (
                "more",
                "something is not written down, or it is still airing",
            )
        };
        answer.cautions.push(format!(
            "it weighed {} {word} than went in, beyond what the weighings can be off: {why}",
            voice.mass_shown(Mass::of_base(off.base().abs()))
        ));
    }
    let both = last.moisture.as_ref().zip(now.moisture.as_ref());
    if let Some((found, made)) = both {
        let (a, b) = (found.value().base(), made.best().base());
        if apart(a, found.u(), b, made.u()) {
            answer.cautions.push(format!(
                "the moisture found, {}, and the one worked out, {}, do not agree within their doubts",
                say::estimate(&found.estimate("moisture found"), Unit::PERCENT),
                say::with_doubt(made, Unit::PERCENT)
            ));
        }
    }
}

/// Scores, deviations and notes.
fn words(answer: &mut Answer, record: &MakingRecord) {
    let scores = record.scores.iter().map(|one| {
        let row = Row::default()
            .with_text(&WHAT, one.what.clone())
            .with_number(&SCORE, one.score);
        match one.out_of {
            Some(best) => row.with_number(&BEST, best),
            None => row,
        }
    });
    answer.put_rows(&SCORES, scores.collect());
    if !record.scores.is_empty() {
        let said: Vec<String> = record.scores.iter().map(score).collect();
        answer.details.push(format!("Judged: {}.", said.join(", ")));
    }
    let deviations = record.deviations.iter().map(|one| {
        let row = Row::default().with_text(&WHAT, one.what.clone());
        match &one.repair {
            Some(repair) => row.with_text(&REPAIR, repair.clone()),
            None => row,
        }
    });
    answer.put_rows(&DEVIATIONS, deviations.collect());
    for one in &record.deviations {
        answer.details.push(match &one.repair {
            Some(repair) => format!("Otherwise than planned: {}; {repair}.", one.what),
            None => format!("Otherwise than planned: {}.", one.what),
        });
    }
    let notes = record.notes.iter();
    answer.put_rows(
        &NOTES,
        notes
            .map(|(_, words)| Row::default().with_text(&WHAT, words.clone()))
            .collect(),
    );
    for (at, words) in &record.notes {
        answer.details.push(format!("{}: {words}.", day(*at)));
    }
    if let Some(last) = record.weighed.last() {
        let at = last.moisture.as_ref().map_or_else(String::new, |at| {
            format!(
                ", at {} as it was found",
                say::estimate(&at.estimate("moisture found"), Unit::PERCENT)
            )
        });
        answer.details.push(format!(
            "It weighed {}{at}.",
            grams(&last.mass.estimate("what was weighed"))
        ));
    }
}

/// `room note 7 of 10`.
fn score(one: &gutta_book::ScoreDone) -> String {
    match one.out_of {
        Some(best) => format!(
            "{} {} of {}",
            one.what,
            say::plain(one.score),
            say::plain(best)
        ),
        None => format!("{} {}", one.what, say::plain(one.score)),
    }
}

/// `2026-03-14`.
fn day(moment: Moment) -> String {
    moment_text(moment).chars().take(10).collect()
}

/// `2026-03-14 18:30`.
fn minute(moment: Moment) -> String {
    minute_of(moment) + " UTC"
}
