//! `gutta trial begin`, `gutta batch begin`.

use clap::Args;
use serde_json::{Map, Value};

use gutta::WateringPlan;
use gutta::blend::record::LiquidUse;
use gutta::blend::sheet::Planned;
use gutta::measure::{Drops, Mass, Scalar};
use gutta_book::{MakingKind, field};

use super::command;
use crate::answer::Answer;
use crate::command::sheet::SheetArgs;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::making;
use crate::resolve::record::{Draft, When};
use crate::resolve::shelf::Shelf;
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
            Some((question, _)) => question.title.clone(),
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
            let parent = making::found(flag, &all)?;
            draft.put(field::PARENT, parent.id.to_string());
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
        let written = draft.write(shelf)?;
        let name = command(kind, "trial begin", "batch begin");
        Ok(match planned {
            Some((question, plan)) => speak::begun(name, question.say(&plan), &written, kind),
            None => speak::begun_free(name, &written, kind),
        })
    }
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
        planned.insert(field::TOLERANCE.to_owned(), grams(line.tolerance).into());
        lines.push(Value::Object(planned));
    }
    let casings = question.sheet.casings.iter().zip(&plan.casings);
    for (line, cased) in casings {
        let word = LiquidUse::Casing.word();
        let planned = planned(word, &line.liquid.name, cased.mass.best());
        lines.push(Value::Object(planned));
    }
    let flavours = question.sheet.flavours.iter().zip(&plan.flavours);
    for (line, flavoured) in flavours {
        let word = LiquidUse::Flavour.word();
        let mut planned = planned(word, &line.liquid.name, flavoured.goes_on());
        if let Some((drops, _)) = &flavoured.counted {
            planned.insert(field::DROPS.to_owned(), counted(*drops).into());
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

/// A mass to a tenth of a milligram: finer than any bench weighs.
fn grams(mass: Mass) -> String {
    format!("{} g", (mass.base() * 1e7).round() / 1e4)
}

fn counted(drops: Drops) -> String {
    format!("{} drops", drops.count())
}
