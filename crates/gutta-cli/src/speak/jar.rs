//! Jars of the journal in sentences: what was written down, and how they are now.

use gutta::blend::record::{JarNow, Moment};
use gutta::matter::Moisture;
use gutta::measure::{Estimate, Mass, Scalar, Time, Unit};
use gutta::{Caution, Watering, WateringPlan};
use gutta_book::{JarRecord, moment_text};

use super::{keys, mould};
use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::record::{Written, minute_of};
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    MOISTURE = "moisture": PERCENT, "the moisture now, wet basis";
    NET = "net": GRAMS, "the leaf in it";
    DRY = "dry_matter": GRAMS, "its dry matter";
    GROSS = "gross": GRAMS, "what the scale shows, with the jar";
    PER_DAY = "lost_per_day": GRAMS, "the water it lost in a day, from the weighing before to the last; negative where it gained";
    JAR = "jar": Shape::Text, "the jar";
    WEIGHED = "weighed": Shape::Text, "when it was weighed last, in UTC";
    WATER = "water": GRAMS, "the water to the moisture wanted; negative where water must go";
    UNTIL = "until_limit": Shape::Quantity(JsonUnit::Hour), "from the last weighing until it is as dry as the limit, if it goes on so";
    JARS = "jars": Shape::Rows { always: &[&JAR, &MOISTURE, &NET, &DRY, &GROSS, &WEIGHED], known: &[&PER_DAY, &WATER, &UNTIL] }, "the jars, in the order that they were filled";
    ID = "id": Shape::Text, "the identifier of the entry";
    AT = "at": Shape::Text, "the moment of the entry, in UTC";
}

/// The keys of what is written down of a jar.
pub static WRITTEN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &NET, &DRY, &GROSS, &JAR, &ID, &AT],
    known: &[&PER_DAY],
}];

/// The keys of `jar show`.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&JARS],
    known: &[],
}];

fn grams(mass: &Estimate<Mass>) -> String {
    Voice::plain(None).weight(mass)
}

fn percent(moisture: &Estimate<Moisture>) -> String {
    if moisture.u() > 0.0 {
        say::with_doubt(moisture, Unit::PERCENT)
    } else {
        say::estimate(moisture, Unit::PERCENT)
    }
}

/// An entry about a jar, and how it is with it.
pub fn written(command: &'static str, written: &Written, name: &str, now: &JarNow) -> Answer {
    let mut answer = Answer::new(
        command,
        format!(
            "Written down as {}: {name} is at {} now, {} of leaf.",
            written.id,
            percent(&now.moisture),
            grams(&now.net)
        ),
    );
    answer.put(&MOISTURE, &now.moisture);
    answer.put(&NET, &now.net);
    answer.put(&DRY, &now.dry_matter);
    answer.put(&GROSS, &now.gross);
    answer.put_if(&PER_DAY, now.lost_per_day.as_ref());
    answer.put_text(&JAR, name.to_owned());
    put_entry(&mut answer, written, &ID, &AT);
    answer.check = format!("the scale then reads {} with the jar", grams(&now.gross));
    if now.moisture.u() > 0.0 {
        answer.doubt.push(format!(
            "the moisture {} (95\u{a0}%): {}",
            say::with_doubt(&now.moisture, Unit::PERCENT),
            say::drivers(&answer.budget)
        ));
    } else {
        answer
            .doubt
            .push("not known: give the moisture with its ±, and the scale".to_owned());
    }
    answer
}

/// Identifier and moment of an entry, and what a crash had left.
pub fn put_entry(answer: &mut Answer, written: &Written, id: &'static Key, at: &'static Key) {
    answer.put_text(id, written.id.to_string());
    answer.put_text(at, moment_text(written.at));
    if let Some(clock) = written.clock_behind {
        answer.cautions.push(format!(
            "the clock of this computer is behind what was written down before: it says {}, and the entry has the moment of the last one, {} (UTC)",
            minute_of(clock),
            minute_of(written.at)
        ));
    }
    if let Some(torn) = &written.torn {
        caution_torn(answer, torn);
    }
}

/// That a crash had left half a line.
pub fn caution_torn(answer: &mut Answer, torn: &str) {
    let start: String = torn.chars().take(40).collect();
    answer.cautions.push(format!(
        "the journal ended in half a line, cut off when it was written: it is kept aside in journal.jsonl.torn (it begins {start})"
    ));
}

/// Jars as they are now; `wrong` is said of those that cannot be.
pub fn show(
    jars: &[(JarRecord, JarNow)],
    wrong: &[String],
    to: Option<Moisture>,
    limit: Option<Moisture>,
    now: Moment,
    assumed: Assumed,
) -> Answer {
    let headline = match jars {
        [] if wrong.is_empty() => "The journal knows no jar yet.".to_owned(),
        [] => "No jar of the journal can be followed.".to_owned(),
        [(jar, state)] => format!(
            "{} is at {}, {} of leaf.",
            jar.name,
            percent(&state.moisture),
            grams(&state.net)
        ),
        several => format!("{} jars.", several.len()),
    };
    let mut answer = Answer::new("jar show", headline);
    let mut rows = Vec::new();
    let mut cells = Vec::new();
    let is_alone = jars.len() == 1;
    for (jar, state) in jars {
        let mut row = Row::default()
            .with_text(&JAR, jar.name.clone())
            .with(&MOISTURE, &state.moisture)
            .with(&NET, &state.net)
            .with(&DRY, &state.dry_matter)
            .with(&GROSS, &state.gross)
            .with_text(&WEIGHED, moment_text(state.weighed))
            .with_if(&PER_DAY, state.lost_per_day.as_ref());
        let lost = state
            .lost_per_day
            .as_ref()
            .map_or_else(String::new, |lost| {
                format!("{} a day", by_day(lost, "loses", "gains"))
            });
        let mut cell = vec![
            jar.name.clone(),
            percent(&state.moisture),
            grams(&state.net),
            lost,
            day_of(state.weighed),
        ];
        if let Some(to) = to {
            let water = water(state, to);
            if let Some(water) = &water {
                row = row.with(&WATER, water);
                if is_alone {
                    answer.details.push(said_water(&jar.name, water));
                }
            }
            cell.push(water.map_or_else(String::new, |water| grams(&water)));
        }
        if let Some(limit) = limit {
            let until = state.reaches(limit);
            if is_alone {
                answer.details.push(match &until {
                    Some(until) => said_limit(&jar.name, state, until, now),
                    None => format!(
                        "{} does not come to the limit by what its weighings say.",
                        jar.name
                    ),
                });
            }
            cell.push(until.as_ref().map_or_else(
                || "not so".to_owned(),
                |until| day_of(state.weighed.after(until.best())),
            ));
            row = row.with_if(&UNTIL, until.as_ref());
        }
        cells.push(cell);
        rows.push(row);
        answer.cautions.extend(
            mould(state.moisture.best(), false)
                .into_iter()
                .map(|line| format!("{}: {line}", jar.name)),
        );
    }
    if jars.len() > 1 {
        let mut columns = vec!["", "moisture", "leaf", "water", "weighed"];
        if to.is_some() {
            columns.push("to add");
            answer.details.push(
                "To add is the water that brings each to the moisture wanted; with a minus it must go."
                    .to_owned(),
            );
        }
        if limit.is_some() {
            columns.push("at limit");
            answer.details.push(
                "At limit is the day on which each is as dry as the limit, if it goes on as from the weighing before to the last; not so: it does not come to it, or is there already."
                    .to_owned(),
            );
        }
        answer.table = Some(Grid {
            is_words: false,
            columns,
            rows: cells,
        });
    }
    answer.put_rows(&JARS, rows);
    if let [(_, state)] = jars {
        answer.check = format!("the scale then reads {} with the jar", grams(&state.gross));
        if let Some(lost) = &state.lost_per_day {
            answer.details.push(format!(
                "From the weighing before to the last it {} of water a day.",
                by_day(lost, "lost", "gained")
            ));
        }
        answer.doubt.extend(say::doubt_of(
            "the moisture",
            &state.moisture,
            Unit::PERCENT,
        ));
    }
    answer.cautions.extend_from_slice(wrong);
    answer.next.push(if jars.is_empty() {
        "write down the first: gutta jar fill quince --tare 412.6g --gross 866.1g --at \"15.2% ± 0.5%\""
            .to_owned()
    } else {
        "weigh it again in a few days: gutta jar weigh NAME --gross …".to_owned()
    });
    if !jars.is_empty() {
        answer.cautions.push(Caution::WetLeaf.to_string());
    }
    assumed.settle(&mut answer);
    answer
}

/// What it lost in a day, or gained.
fn by_day(lost: &Estimate<Mass>, loses: &str, gains: &str) -> String {
    let voice = Voice::plain(None);
    if lost.best().base() < 0.0 {
        format!("{gains} {}", voice.weight(&lost.negated()))
    } else {
        format!("{loses} {}", voice.weight(lost))
    }
}

/// `2026-03-14`.
fn day_of(moment: Moment) -> String {
    moment_text(moment).chars().take(10).collect()
}

/// The water that brings the leaf to a moisture: negative where it must go.
fn water(state: &JarNow, to: Moisture) -> Option<Estimate<Mass>> {
    let watering = Watering::new(state.net.measured(), state.moisture.measured(), to);
    match watering.plan().ok()? {
        WateringPlan::Add(plan) => Some(plan.water),
        WateringPlan::Dry(plan) => Some(plan.water.negated()),
        WateringPlan::Nothing(_) => Some(Estimate::exact(Mass::of_base(0.0))),
    }
}

fn said_water(name: &str, water: &Estimate<Mass>) -> String {
    let voice = Voice::plain(None);
    if water.best().base() < 0.0 {
        format!(
            "{name}: {} of water must go to the moisture wanted.",
            voice.weight(&water.negated())
        )
    } else {
        format!(
            "{name}: {} of water bring it to the moisture wanted.",
            voice.weight(water)
        )
    }
}

fn said_limit(name: &str, state: &JarNow, until: &Estimate<Time>, now: Moment) -> String {
    let at = state.weighed.after(until.best());
    if at <= now {
        format!(
            "{name} has been at the limit since {}, if it went on so: weigh it.",
            day_of(at)
        )
    } else {
        format!(
            "{name} is at the limit {} after it was weighed, about {}, if it goes on so.",
            say::figures(
                until,
                if until.best().base() < 2.0 * 86_400.0 {
                    Unit::HOUR
                } else {
                    Unit::DAY
                },
                2
            ),
            day_of(at)
        )
    }
}
