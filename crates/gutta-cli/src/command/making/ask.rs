//! What was planned, asked for line by line: each answer is on the disk before
//! the next is asked for.
//!
//! The questions stand on the error stream. A line that cannot be taken is
//! complained of and asked for again; whatever was taken before is kept.

use gutta::blend::record::Identifier;
use gutta::measure::{Kind, Scale, read};
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
    let mut number = 0;
    let open: Vec<PlanLine> = record
        .plan
        .iter()
        .filter(|line| !record.is_done(line))
        .cloned()
        .collect();
    let mut open = open.into_iter().peekable();
    loop {
        session.complain(&question(open.peek(), record.scale));
        let Some(answer) = session.ask().map_err(|error| {
            Failure::unreadable("io", format!("the answer cannot be read: {error}"))
        })?
        else {
            break;
        };
        number += 1;
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
            // What comes from a pipe cannot be asked for again: the lines behind it
            // would be taken for answers to this question.
            Err(mut failure) if !session.is_typed => {
                let report = failure.report_mut();
                report.line = Some(number);
                report.file = Some("answers".to_owned());
                report.column = Some(1);
                if !ids.is_empty() {
                    let kept = format!("kept before it: {}; ", say::counted(ids.len(), "line"));
                    report.hint =
                        Some(kept + report.hint.as_deref().unwrap_or("go on with this line"));
                }
                return Err(failure);
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
fn question(planned: Option<&PlanLine>, scale: Option<Scale>) -> String {
    let Some(line) = planned else {
        return "anything else, such as note … or score … (an empty line ends it)? ".to_owned();
    };
    let plain = |text: String| text.replace('\u{a0}', " ");
    // A liquid is weighed more finely than leaf, or counted.
    let voice = Voice::plain(scale.filter(|_| line.liquid.is_none()));
    let mass = plain(voice.mass_shown(line.mass));
    let amount = match line.drops {
        Some(drops) => format!("{} ({mass})", plain(say::whole_drops(drops))),
        None => mass,
    };
    let name = match &line.lot {
        Some(lot) => format!("{} of {lot}", line.name),
        None => line.name.clone(),
    };
    let within = match (line.liquid, line.tolerance) {
        (None, Some(most)) => format!(" ± {}", plain(voice.mass_shown(most))),
        _ => String::new(),
    };
    format!("{name}, {amount}{within} planned; how much was it (an empty line skips it)? ")
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
