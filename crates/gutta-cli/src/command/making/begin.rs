//! `gutta trial begin`, `gutta batch begin`.

use clap::Args;
use serde_json::{Map, Value};

use gutta::WateringPlan;
use gutta::blend::record::{Identifier, LiquidUse};
use gutta::blend::sheet::Planned;
use gutta::measure::{Drops, Kind, Mass, Scalar, Scale, read_leading};
use gutta_book::{MakingKind, field, is_same_name};

use super::command;
use crate::answer::Answer;
use crate::command::html::HtmlArgs;
use crate::command::sheet::SheetArgs;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::making;
use crate::resolve::record::{Draft, When};
use crate::resolve::shelf::Shelf;
use crate::say::Voice;
use crate::speak::formula::share_lines;
use crate::speak::making as speak;
use crate::speak::sheet::Question;

/// A plan to work by, and where it comes from.
#[derive(Debug, Args)]
pub struct BeginArgs {
    #[command(flatten)]
    sheet: SheetArgs,
    /// The trial that it comes from
    #[arg(long, value_name = "ID")]
    parent: Option<String>,
    /// The one thing that is changed, in words
    #[arg(long, value_name = "WORDS")]
    change: Option<String>,
    /// Words kept with it
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
    /// When it is begun, such as 2026-03-14T18:30:00Z [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
}

impl BeginArgs {
    /// The page that the sheet is written to, where one is asked for.
    pub const fn html(&self) -> &HtmlArgs {
        self.sheet.html()
    }

    pub(super) fn answer(&self, kind: MakingKind, shelf: &Shelf) -> Outcome<Answer> {
        let word = kind.word();
        let mut draft = Draft::new(word, When::of(self.when.as_ref(), shelf)?);
        let planned = if self.sheet.names_a_formula() {
            Some(self.sheet.planned(shelf)?)
        } else {
            self.sheet.refuse_size_without_formula()?;
            None
        };
        let title = match &planned {
            Some((question, _)) if question.formula.is_some() => question.title.clone(),
            // Of lines that were typed the lines are the title.
            Some((question, _)) => share_lines(&question.sheet.shares).join(", "),
            None => "without a formula".to_owned(),
        };
        draft.put(field::TITLE, title.as_str());
        if let Some((question, plan)) = &planned {
            if let Some(formula) = &question.formula {
                draft.put(field::FORMULA, formula.as_str());
            }
            if let Some(to) = &question.to {
                draft.put(field::TO, to.to_string());
            }
            if let Some(rest) = &question.rest {
                draft.put(field::REST, rest.as_str());
            }
            draft.scale(question.sheet.scale);
            draft.put_value(field::PLAN, Value::Array(frozen(question, plan)));
        }
        if let Some(flag) = Flag::of("--parent", self.parent.as_ref()) {
            let all = shelf.makings()?;
            let parent = making::found(flag, &all, shelf)?;
            draft.put(field::PARENT, parent.id.to_string());
        } else if let Some((question, _)) = &planned
            && let Some(name) = &question.formula
            && let Ok(trial) = name.parse::<Identifier>()
            && shelf.formula_if(name)?.is_none()
        {
            // What is made of a trial comes from it.
            draft.put(field::PARENT, trial.to_string());
        }
        for (flag, field, text) in [
            ("--change", field::CHANGE, &self.change),
            ("--note", field::TEXT, &self.note),
        ] {
            if let Some(flag) = Flag::of(flag, text.as_ref()) {
                if flag.text.trim().is_empty() {
                    return Err(Failure::missing(flag.name, "there are no words")
                        .hint(format!("type them in quotes, or leave {} out", flag.name)));
                }
                draft.put(field, flag.text.trim());
            }
        }
        // Before it is written down: what cannot be read then is no reason to say that
        // it was not.
        let short = match &planned {
            Some((question, plan)) => short(question, plan, shelf)?,
            None => Vec::new(),
        };
        let written = draft.write(shelf)?;
        let name = command(kind, "trial begin", "batch begin");
        Ok(match planned {
            Some((question, plan)) => {
                let is_in_words = question.rest.as_deref().is_some_and(is_in_words);
                let mut answer = speak::begun(name, question.say(&plan), &written, kind);
                answer.cautions.splice(0..0, short);
                if is_in_words {
                    answer.next.push(
                        "how long it rests is said in words: type --rest 48h, and gutta journal due says when it is over".to_owned(),
                    );
                }
                answer
            }
            None => speak::begun_free(name, &written, kind),
        })
    }
}

/// Whether a rest has no time in front.
fn is_in_words(rest: &str) -> bool {
    read_leading(rest, &[Kind::Time]).is_err()
}

/// What the plan takes more of than is on hand.
fn short(question: &Question, plan: &Planned, shelf: &Shelf) -> Outcome<Vec<String>> {
    let known = shelf.journal()?.lots_found().sound;
    let mut cautions = Vec::new();
    for line in &plan.lines {
        let Some(name) = &question.lots[line.component].name else {
            continue;
        };
        let lot = known.iter().find(|lot| is_same_name(&lot.name, name));
        let now = lot.and_then(|lot| lot.history.now().ok());
        if let Some(now) = now.filter(|now| now.as_weighed.best() < line.mass.best()) {
            let voice = Voice::plain(question.sheet.scale);
            cautions.push(format!(
                "of {name} there are {} on hand, and the plan takes {}",
                voice.mass_shown(now.as_weighed.best()),
                voice.mass_shown(line.mass.best())
            ));
        }
    }
    Ok(cautions)
}

/// What is planned, line by line, as the journal keeps it.
fn frozen(question: &Question, plan: &Planned) -> Vec<Value> {
    let mut lines = Vec::new();
    for line in &plan.lines {
        let component = &question.sheet.shares.lines()[line.component];
        let mut planned = planned("leaf", component.name(), line.mass.best());
        if let Some(lot) = &question.lots[line.component].name {
            planned.insert(field::LOT.to_owned(), lot.clone().into());
        }
        let most = coarser(line.tolerance, question.sheet.scale);
        planned.insert(field::TOLERANCE.to_owned(), grams(most).into());
        lines.push(Value::Object(planned));
    }
    let casings = question.sheet.casings.iter().zip(&plan.casings);
    for (line, cased) in casings {
        let word = LiquidUse::Casing.word();
        let mut planned = planned(word, &line.liquid.name, cased.mass.best());
        off(
            &mut planned,
            cased.mass.best() * question.sheet.tolerance,
            question,
        );
        lines.push(Value::Object(planned));
    }
    let flavours = question.sheet.flavours.iter().zip(&plan.flavours);
    for (at, (line, flavoured)) in flavours.enumerate() {
        let word = LiquidUse::Flavour.word();
        let mut planned = planned(word, &line.liquid.name, flavoured.goes_on());
        if let Some((drops, _)) = &flavoured.counted {
            planned.insert(field::DROPS.to_owned(), counted(*drops).into());
            // A drop more or less is the least that a count can be off.
            let one = flavoured.goes_on() / drops.count();
            planned.insert(field::TOLERANCE.to_owned(), grams(one).into());
            if let Some(dropper) = question.droppers.get(at).and_then(Option::as_ref) {
                planned.insert(field::DROPPER.to_owned(), dropper.clone().into());
            }
        } else {
            let most = flavoured.goes_on() * question.sheet.tolerance;
            off(&mut planned, most, question);
        }
        lines.push(Value::Object(planned));
    }
    if let Some((_, WateringPlan::Add(adding))) = &plan.water {
        let word = LiquidUse::Water.word();
        let whole = adding.counted();
        let mass = whole.map_or(adding.water.best(), |drops| drops.mass.best());
        let mut planned = planned(word, "water", mass);
        if let Some(drops) = whole {
            planned.insert(field::DROPS.to_owned(), counted(drops.whole).into());
            let one = mass / drops.whole.count();
            planned.insert(field::TOLERANCE.to_owned(), grams(one).into());
            if let Some(dropper) = &question.water_dropper {
                planned.insert(field::DROPPER.to_owned(), dropper.clone().into());
            }
        } else {
            off(&mut planned, mass * question.sheet.tolerance, question);
        }
        lines.push(Value::Object(planned));
    }
    lines
}

fn planned(step: &str, name: &str, mass: Mass) -> Map<String, Value> {
    let mut line = Map::new();
    for (field, text) in [
        (field::STEP, step.to_owned()),
        (field::NAME, name.to_owned()),
        (field::MASS, grams(mass)),
    ] {
        line.insert(field.to_owned(), text.into());
    }
    line
}

/// How far a liquid that is weighed may be off.
fn off(planned: &mut Map<String, Value>, most: Mass, question: &Question) {
    let most = coarser(most, question.sheet.scale);
    planned.insert(field::TOLERANCE.to_owned(), grams(most).into());
}

/// A tolerance, not finer than the scale shows.
fn coarser(most: Mass, scale: Option<Scale>) -> Mass {
    let step = scale.map_or(Mass::of_base(0.0), |scale| scale.division());
    Mass::of_base(most.base().max(step.base()))
}

/// A mass to a tenth of a milligram: finer than any bench weighs.
fn grams(mass: Mass) -> String {
    format!("{} g", (mass.base() * 1e7).round() / 1e4)
}

fn counted(drops: Drops) -> String {
    format!("{} drops", drops.count())
}
