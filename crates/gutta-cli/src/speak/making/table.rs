//! Planned beside done: the leaf, then the liquids.

use gutta::Estimate;
use gutta::blend::record::{GivenLiquid, LiquidUse, MadeShare, MakingNow};
use gutta::measure::{Drops, Mass, Scalar};
use gutta_book::{LiquidDone, MakingRecord, PlanLine};

use super::{
    COMPONENT, COUNTED, DONE, DROPS, DROPS_PLANNED, DROPS_REALLY, GIVEN, GIVEN_DRY, LINES, LIQUID,
    LIQUIDS, LOT, OFF, PLANNED, SHARE, SHARE_DRY, USE, WITHIN, dose, grams, percent,
};
use crate::answer::{Answer, Grid, Row};
use crate::say::{self, Voice};

/// The leaf and the liquids, planned beside done.
pub fn put(answer: &mut Answer, record: &MakingRecord, now: Option<&MakingNow>) {
    let voice = Voice::plain(record.scale);
    let (mut cells, mut lines, mut liquids) = (Vec::new(), Vec::new(), Vec::new());
    let mut is_leaf_within = true;
    for leaf in leaf(record, now) {
        let off = leaf.off(answer, record);
        is_leaf_within &= off.is_none_or(|(_, is_within)| is_within);
        lines.push(with_off(leaf.row(), off));
        cells.push(leaf.cells(&voice));
    }
    if !is_leaf_within {
        mend(answer, record);
    }
    for poured in poured(record, now) {
        let off = poured.off(answer, record);
        liquids.push(with_off(poured.row(), off));
        cells.push(poured.cells());
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
}

/// One component: what was planned of it, and all that was weighed.
struct Leaf<'a> {
    name: &'a str,
    lots: Vec<&'a str>,
    plan: Option<&'a PlanLine>,
    share: Option<&'a MadeShare>,
}

/// The components in the order that they were weighed, then what is still to be.
fn leaf<'a>(record: &'a MakingRecord, now: Option<&'a MakingNow>) -> Vec<Leaf<'a>> {
    let planned = || record.plan.iter().filter(|line| line.liquid.is_none());
    let shares = now.map_or(&[][..], |now| now.shares.as_slice());
    let done = shares.iter().map(|share| {
        let mut lots: Vec<&str> = Vec::new();
        let of_name = record.leaf.iter().filter(|leaf| leaf.name == share.name);
        for lot in of_name.filter_map(|leaf| leaf.lot.as_deref()) {
            if !lots.contains(&lot) {
                lots.push(lot);
            }
        }
        Leaf {
            name: &share.name,
            lots,
            plan: planned().find(|line| line.name == share.name),
            share: Some(share),
        }
    });
    let open = planned()
        .filter(|line| shares.iter().all(|share| share.name != line.name))
        .map(|line| Leaf {
            name: &line.name,
            lots: line.lot.as_deref().into_iter().collect(),
            plan: Some(line),
            share: None,
        });
    done.chain(open).collect()
}

impl Leaf<'_> {
    fn off(&self, answer: &mut Answer, record: &MakingRecord) -> Option<(Mass, bool)> {
        let done = self.share?.mass.best();
        Some(within(answer, record, self.name, self.plan?, done))
    }

    fn row(&self) -> Row {
        let mut row = Row::default().with_text(&COMPONENT, self.name.to_owned());
        if !self.lots.is_empty() {
            row = row.with_text(&LOT, self.lots.join(", "));
        }
        if let Some(plan) = self.plan {
            row = row.with_exact(&PLANNED, plan.mass.base());
        }
        match self.share {
            Some(share) => row
                .with(&DONE, &share.mass)
                .with(&SHARE, &share.as_weighed)
                .with_if(&SHARE_DRY, share.dry.as_ref()),
            None => row,
        }
    }

    fn cells(&self, voice: &Voice) -> Vec<String> {
        let name = match self.lots.as_slice() {
            [] => self.name.to_owned(),
            lots => format!("{} ({})", self.name, lots.join(", ")),
        };
        let share = self.share;
        vec![
            name,
            self.plan
                .map_or_else(String::new, |plan| voice.mass_shown(plan.mass)),
            share.map_or_else(String::new, |share| voice.reading(&share.mass)),
            share.map_or_else(String::new, |share| percent(&share.as_weighed)),
            share
                .and_then(|share| share.dry.as_ref())
                .map_or_else(String::new, percent),
        ]
    }
}

/// One liquid: what was planned of it, and all that went on.
struct Poured<'a> {
    name: &'a str,
    use_for: LiquidUse,
    plan: Option<&'a PlanLine>,
    done: Vec<&'a LiquidDone>,
    given: Option<&'a GivenLiquid>,
}

/// The liquids in the order that they went on, then what is still to.
fn poured<'a>(record: &'a MakingRecord, now: Option<&'a MakingNow>) -> Vec<Poured<'a>> {
    let mut all: Vec<Poured<'a>> = Vec::new();
    for done in &record.liquids {
        match all.iter_mut().find(|one| one.name == done.name) {
            Some(one) => one.done.push(done),
            None => all.push(Poured {
                name: &done.name,
                use_for: done.use_for,
                plan: None,
                done: vec![done],
                given: None,
            }),
        }
    }
    let planned = record.plan.iter();
    for (line, use_for) in planned.filter_map(|line| Some((line, line.liquid?))) {
        match all.iter_mut().find(|one| one.name == line.name) {
            Some(one) => one.plan = Some(line),
            None => all.push(Poured {
                name: &line.name,
                use_for,
                plan: Some(line),
                done: Vec::new(),
                given: None,
            }),
        }
    }
    let given = now.map_or(&[][..], |now| now.given.as_slice());
    for one in &mut all {
        one.given = given.iter().find(|given| given.name == one.name);
    }
    all
}

impl Poured<'_> {
    fn off(&self, answer: &mut Answer, record: &MakingRecord) -> Option<(Mass, bool)> {
        let done = self.given?.mass.best();
        Some(within(answer, record, self.name, self.plan?, done))
    }

    /// All drops that were counted, where all of it was.
    fn drops(&self) -> Option<Drops> {
        let counts = self.done.iter().map(|done| done.amount.drops());
        let counts = counts.collect::<Option<Vec<_>>>()?;
        let all = counts.into_iter().map(|drops| drops.value().base());
        (!self.done.is_empty()).then(|| Drops::of_base(all.sum()))
    }

    /// The drops that the loss of the bottle comes to, where it is known of all.
    fn drops_really(&self) -> Option<f64> {
        let each = self.done.iter().map(|done| {
            let (loss, each) = (done.loss.as_ref()?, done.each.as_ref()?);
            Some(loss.value().base() / each.base())
        });
        let each = each.collect::<Option<Vec<f64>>>()?;
        (!each.is_empty()).then(|| each.iter().sum())
    }

    fn row(&self) -> Row {
        let mut row = Row::default()
            .with_text(&LIQUID, self.name.to_owned())
            .with_word(&USE, self.use_for.word());
        if let Some(plan) = self.plan {
            row = row.with_exact(&PLANNED, plan.mass.base());
            if let Some(drops) = plan.drops {
                row = row.with_exact(&DROPS_PLANNED, drops.base());
            }
        }
        let drops = self.drops();
        if let Some(drops) = drops {
            row = row.with_exact(&DROPS, drops.base());
        }
        let really = self.drops_really();
        if let Some(really) = really {
            row = row.with_exact(&DROPS_REALLY, really);
        }
        let Some(given) = self.given else {
            return row;
        };
        // What the count alone says, where the bottle says something else.
        if let Some((drops, really)) = drops.zip(really) {
            let by_count = given.on_leaf.best().base() * drops.base() / really;
            row = row.with_exact(&COUNTED, by_count);
        }
        row.with(&DONE, &given.mass)
            .with(&GIVEN, &given.on_leaf)
            .with_if(&GIVEN_DRY, given.on_dry.as_ref())
    }

    fn cells(&self) -> Vec<String> {
        let planned = self.plan.map_or_else(String::new, |plan| match plan.drops {
            Some(drops) => say::whole_drops(drops),
            None => Voice::plain(None).mass(plan.mass),
        });
        let counted = match (self.drops_really(), self.drops()) {
            (Some(really), _) => Some(format!(
                "{}\u{a0}drops by the bottle",
                say::plain(tenth(really))
            )),
            (None, Some(drops)) => Some(say::whole_drops(drops)),
            (None, None) => None,
        };
        let mass = self.given.map(|given| grams(&given.mass));
        let done: Vec<String> = counted.into_iter().chain(mass).collect();
        let on = |dosed: Option<&Estimate<_>>| dosed.map_or_else(String::new, dose);
        vec![
            self.name.to_owned(),
            planned,
            done.join(", "),
            on(self.given.map(|given| &given.on_leaf)),
            on(self.given.and_then(|given| given.on_dry.as_ref())),
        ]
    }
}

fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// How far what was done is off, and whether that is within the tolerance; it is
/// said where it is not.
fn within(
    answer: &mut Answer,
    record: &MakingRecord,
    name: &str,
    plan: &PlanLine,
    done: Mass,
) -> (Mass, bool) {
    let off = done - plan.mass;
    let Some(most) = plan.tolerance else {
        return (off, true);
    };
    // What a balance shows as the tolerance is within it.
    if off.base().abs() <= most.base() * (1.0 + 1e-9) {
        return (off, true);
    }
    let voice = match plan.liquid {
        Some(_) => Voice::plain(None),
        None => Voice::plain(record.scale),
    };
    let word = if off.base() < 0.0 { "less" } else { "more" };
    answer.cautions.push(format!(
        "{name}: {} {word} than planned, beyond ±\u{a0}{}",
        voice.mass_shown(Mass::of_base(off.base().abs())),
        Voice::plain(None).mass(most)
    ));
    (off, false)
}

fn with_off(row: Row, off: Option<(Mass, bool)>) -> Row {
    match off {
        Some((off, is_within)) => row
            .with_exact(&OFF, off.base())
            .with_word(&WITHIN, if is_within { "yes" } else { "no" }),
        None => row,
    }
}

/// How leaf that is off is mended: what is to be added of the rest. A sheet knows
/// nothing of a liquid that is on, and would have it weighed in once more.
fn mend(answer: &mut Answer, record: &MakingRecord) {
    let is_mended = record.deviations.iter().any(|one| one.repair.is_some());
    if is_mended || !record.liquids.is_empty() {
        return;
    }
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
