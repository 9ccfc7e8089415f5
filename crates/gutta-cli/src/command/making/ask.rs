//! What was planned, asked for line by line: each answer is on the disk before
//! the next is asked for.
//!
//! The questions stand on the error stream. A line that cannot be taken is
//! complained of and asked for again; whatever was taken before is kept.

use gutta::blend::record::Identifier;
use gutta::measure::{Kind, read};
use gutta_book::{MakingRecord, PlanLine};

use super::add::Bench;
use crate::failure::{Failure, Outcome};
use crate::render::text::{self, Page};
use crate::resolve::{Assumed, Flag};
use crate::say::{self, Voice};
use crate::session::Session;

/// What the answers came to: identifiers, what a crash had left, the state.
pub type Answered = (Vec<Identifier>, Option<String>, MakingRecord);

/// What a line that was answered is called in a complaint.
const ANSWER: &str = "answer";

/// Asks for all that was planned and not done, then for whatever else there is.
pub fn all(
    record: &MakingRecord,
    bench: &Bench<'_>,
    session: &mut Session<'_>,
    assumed: &mut Assumed,
) -> Outcome<Answered> {
    let mut record = record.clone();
    let mut ids = Vec::new();
    let mut torn = None;
    let mut refused = 0;
    let open: Vec<PlanLine> = record
        .plan
        .iter()
        .filter(|line| !record.is_done(line))
        .cloned()
        .collect();
    let mut open = open.into_iter().peekable();
    loop {
        session.complain(&question(open.peek()));
        let Some(answer) = session.ask().map_err(|error| {
            Failure::unreadable("io", format!("the answer cannot be read: {error}"))
        })?
        else {
            break;
        };
        let answer = answer.trim();
        if answer.eq_ignore_ascii_case("done") {
            break;
        }
        if answer.is_empty() {
            // Skipped; behind the plan it is the end.
            if open.next().is_none() {
                break;
            }
            continue;
        }
        let (line, is_planned) = match open.peek() {
            Some(planned) => completed(planned, answer),
            None => (answer.to_owned(), false),
        };
        let flag = Flag::new(ANSWER, &line);
        let entry = bench.entry(flag, &record, assumed);
        match entry.and_then(|entry| bench.write(&record, &[entry], ANSWER)) {
            Ok((added, after)) => {
                if let Some(id) = added.ids.first() {
                    session.complain(&format!("  kept as {id}\n"));
                }
                ids.extend(added.ids);
                torn = torn.or(added.torn);
                record = after;
                if is_planned {
                    open.next();
                }
            }
            Err(failure) => {
                refused += 1;
                let page = Page::of(false, false);
                session.complain(&text::failure(&failure, "not kept", page));
            }
        }
    }
    session.complain("\n");
    if ids.is_empty() && refused > 0 {
        return Err(Failure::unreadable("unreadable", "nothing was kept")
            .hint("the lines above say why; gutta trial add --help shows what to type"));
    }
    Ok((ids, torn, record))
}

/// What is asked for: the planned line, or anything.
fn question(planned: Option<&PlanLine>) -> String {
    let Some(line) = planned else {
        return "anything else (note …, score …, weighed …; nothing to end)? ".to_owned();
    };
    let mass = Voice::plain(None).mass(line.mass).replace('\u{a0}', " ");
    let amount = match line.drops {
        Some(drops) => format!(
            "{} ({mass})",
            say::whole_drops(drops).replace('\u{a0}', " ")
        ),
        None => mass,
    };
    let name = match &line.lot {
        Some(lot) => format!("{} of {lot}", line.name),
        None => line.name.clone(),
    };
    format!("{name}, {amount} planned; how much was it? ")
}

/// An answer as a line: an amount alone is one of what was asked for. Whether it
/// is about the planned line.
fn completed(planned: &PlanLine, answer: &str) -> (String, bool) {
    let word = planned.liquid.map_or("leaf", |liquid| liquid.word());
    let amount = answer.split(", ").next().unwrap_or(answer);
    let kinds = [Kind::Mass, Kind::Volume, Kind::Drops];
    let begins_with_word = answer.starts_with(|c: char| c.is_alphabetic());
    if begins_with_word {
        let is_about_it = answer
            .parse()
            .is_ok_and(|step: gutta::blend::record::Step| is_of(&step, planned));
        return (answer.to_owned(), is_about_it);
    }
    let behind = &answer[amount.len()..];
    match read(amount, &kinds) {
        Ok(_) => (format!("{word} {amount} {}{behind}", planned.name), true),
        // As it stands: the complaint points into what was typed.
        Err(_) => (format!("{word} {answer} {}", planned.name), true),
    }
}

fn is_of(step: &gutta::blend::record::Step, planned: &PlanLine) -> bool {
    use gutta::blend::record::Step;
    match (step, planned.liquid) {
        (Step::Leaf(leaf), None) => leaf.name.eq_ignore_ascii_case(&planned.name),
        (Step::Liquid(liquid), Some(use_for)) => {
            liquid.use_for == use_for && liquid.name.eq_ignore_ascii_case(&planned.name)
        }
        _ => false,
    }
}
