//! Planned beside done: the leaf, then the liquids.

use gutta::blend::record::{GivenLiquid, MakingNow};
use gutta::measure::{Mass, Scalar};
use gutta_book::{LiquidDone, MakingRecord, PlanLine};

use super::{
    COMPONENT, COUNTED, DONE, DROPS, DROPS_PLANNED, DROPS_REALLY, GIVEN, GIVEN_DRY, LINES, LIQUID,
    LIQUIDS, OFF, PLANNED, SHARE, SHARE_DRY, USE, WITHIN, dose, grams, percent,
};
use crate::answer::{Answer, Grid, Row};
use crate::say::{self, Voice};

/// The leaf and the liquids, planned beside done. Whether all leaf that was weighed
/// is within the tolerance of the plan.
pub fn put(answer: &mut Answer, record: &MakingRecord, now: Option<&MakingNow>) -> bool {
    let mut is_within = true;
    let record_voice = Voice::plain(record.scale);
    let mut cells = Vec::new();
    let mut lines = Vec::new();
    let planned = record.plan.iter().filter(|line| line.liquid.is_none());
    let shares = now.map_or(&[][..], |now| now.shares.as_slice());
    let of_plan = |name: &str| planned.clone().find(|line| line.name == name);
    let done = shares
        .iter()
        .map(|share| (share.name.as_str(), Some(share)));
    let not_done = planned
        .clone()
        .filter(|line| shares.iter().all(|share| share.name != line.name))
        .map(|line| (line.name.as_str(), None));
    for (name, share) in done.chain(not_done) {
        let plan = of_plan(name);
        let mut row = Row::default().with_text(&COMPONENT, name.to_owned());
        if let Some(plan) = plan {
            row = row.with_exact(&PLANNED, plan.mass.base());
        }
        let mut shown = vec![
            name.to_owned(),
            plan.map_or_else(String::new, |plan| record_voice.mass_shown(plan.mass)),
            String::new(),
            String::new(),
            String::new(),
        ];
        if let Some(share) = share {
            row = row
                .with(&DONE, &share.mass)
                .with(&SHARE, &share.as_weighed)
                .with_if(&SHARE_DRY, share.dry.as_ref());
            shown[2] = record_voice.reading(&share.mass);
            shown[3] = percent(&share.as_weighed);
            shown[4] = share.dry.as_ref().map_or_else(String::new, percent);
            if let Some(plan) = plan {
                let off = share.mass.best() - plan.mass;
                row = row.with_exact(&OFF, off.base());
                if let Some(off) = plan.tolerance.map(|most| (off, most)) {
                    let word = within(answer, name, off);
                    is_within &= word == "yes";
                    row = row.with_word(&WITHIN, word);
                }
            }
        }
        cells.push(shown);
        lines.push(row);
    }
    let mut liquids = Vec::new();
    let given = now.map_or(&[][..], |now| now.given.as_slice());
    for (at, done) in record.liquids.iter().enumerate() {
        let plan = plan_of(record, done);
        liquids.push(liquid_row(plan, Some(done), given.get(at)));
        cells.push(liquid_cells(plan, Some(done), given.get(at)));
    }
    for plan in record.plan.iter().filter(|line| line.liquid.is_some()) {
        if !record.is_done(plan) {
            liquids.push(liquid_row(Some(plan), None, None));
            cells.push(liquid_cells(Some(plan), None, None));
        }
    }
    if !cells.is_empty() {
        answer.table = Some(Grid {
            is_words: false,
            columns: vec!["", "planned", "done", "as weighed", "dry"],
            rows: cells,
        });
    }
    answer.put_rows(&LINES, lines);
    answer.put_rows(&LIQUIDS, liquids);
    is_within
}

/// Says where a weighing is further off than the plan has it.
fn within(answer: &mut Answer, name: &str, (off, most): (Mass, Mass)) -> &'static str {
    // What a balance shows as the tolerance is within it.
    if off.base().abs() <= most.base() * (1.0 + 1e-9) {
        return "yes";
    }
    let voice = Voice::plain(None);
    let word = if off.base() < 0.0 { "less" } else { "more" };
    answer.cautions.push(format!(
        "{name}: {} {word} than planned, beyond ±\u{a0}{}",
        voice.mass(Mass::of_base(off.base().abs())),
        voice.mass(most)
    ));
    "no"
}

/// How leaf that is off is mended: what is to be added of the rest.
pub fn mend(answer: &mut Answer, record: &MakingRecord) {
    let Some(formula) = &record.formula else {
        return;
    };
    let leaf = record.plan.iter().filter(|line| line.liquid.is_none());
    let bowl: Vec<String> = leaf
        .filter_map(|line| {
            let mass = Voice::plain(record.scale).mass_shown(record.leaf_of(line)?);
            Some(format!(" --in-bowl \"{mass} {}\"", line.name).replace('\u{a0}', " "))
        })
        .collect();
    answer.next.push(format!(
        "gutta sheet {}{} says what brings the leaf back into its ratio, and what leaving it comes to",
        say::shell_word(formula),
        bowl.concat()
    ));
}

fn plan_of<'a>(record: &'a MakingRecord, done: &LiquidDone) -> Option<&'a PlanLine> {
    let mut plan = record.plan.iter();
    plan.find(|line| line.liquid == Some(done.use_for) && line.name == done.name)
}

fn liquid_row(
    plan: Option<&PlanLine>,
    done: Option<&LiquidDone>,
    given: Option<&GivenLiquid>,
) -> Row {
    let name = done.map(|done| &done.name).or(plan.map(|plan| &plan.name));
    let use_for = done
        .map(|done| done.use_for)
        .or(plan.and_then(|plan| plan.liquid));
    let mut row = Row::default()
        .with_text(&LIQUID, name.cloned().unwrap_or_default())
        .with_word(&USE, use_for.map_or("water", |use_for| use_for.word()));
    if let Some(plan) = plan {
        row = row.with_exact(&PLANNED, plan.mass.base());
        if let Some(drops) = plan.drops {
            row = row.with_exact(&DROPS_PLANNED, drops.base());
        }
    }
    if let Some(drops) = done.and_then(|done| done.amount.drops()) {
        row = row.with_exact(&DROPS, drops.value().base());
    }
    if let Some(really) = done.and_then(drops_really) {
        row = row.with_exact(&DROPS_REALLY, really);
    }
    if let Some(dose) = done
        .zip(given)
        .and_then(|(done, given)| by_count(done, given))
    {
        row = row.with_exact(&COUNTED, dose);
    }
    match given {
        Some(given) => row
            .with(&DONE, &given.mass)
            .with(&GIVEN, &given.on_leaf)
            .with_if(&GIVEN_DRY, given.on_dry.as_ref()),
        None => row,
    }
}

/// The dose that the counted drops alone would be, where the bottle says another.
fn by_count(done: &LiquidDone, given: &GivenLiquid) -> Option<f64> {
    let really = drops_really(done)?;
    let counted = done.amount.drops()?.value().base();
    Some(given.on_leaf.best().base() * counted / really)
}

/// The drops that the loss of the bottle comes to.
fn drops_really(done: &LiquidDone) -> Option<f64> {
    let (loss, each) = (done.loss.as_ref()?, done.each.as_ref()?);
    Some(loss.value().base() / each.base())
}

fn liquid_cells(
    plan: Option<&PlanLine>,
    done: Option<&LiquidDone>,
    given: Option<&GivenLiquid>,
) -> Vec<String> {
    let name = done.map(|done| &done.name).or(plan.map(|plan| &plan.name));
    let planned = plan.map_or_else(String::new, |plan| match plan.drops {
        Some(drops) => say::whole_drops(drops),
        None => Voice::plain(None).mass(plan.mass),
    });
    let counted = done.map_or_else(String::new, |done| {
        match (drops_really(done), done.amount.drops()) {
            (Some(really), _) => format!("{}\u{a0}drops by the bottle", say::plain(really)),
            (None, Some(drops)) => say::whole_drops(drops.value()),
            (None, None) => String::new(),
        }
    });
    let shown = match (given, counted.as_str()) {
        (Some(given), "") => grams(&given.mass),
        (Some(given), counted) => format!("{counted}, {}", grams(&given.mass)),
        (None, counted) => counted.to_owned(),
    };
    vec![
        name.cloned().unwrap_or_default(),
        planned,
        shown,
        given.map_or_else(String::new, |given| dose(&given.on_leaf)),
        given
            .and_then(|given| given.on_dry.as_ref())
            .map_or_else(String::new, dose),
    ]
}
