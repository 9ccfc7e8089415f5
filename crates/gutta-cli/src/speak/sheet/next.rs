//! What to do about what a sheet cannot do well.

use gutta::WateringPlan;
use gutta::bench::{FirstRule, LeafBasis};
use gutta::blend::sheet::{FlavourLine, Planned};
use gutta::measure::{Digits, Ratio, Scalar, Unit, quantity};

use super::Question;
use super::steps::reached;
use crate::answer::Answer;
use crate::say;

impl Question {
    pub(super) fn next(&self, answer: &mut Answer, plan: &Planned) {
        self.premixes(answer, plan);
        let coarse = plan.lines.iter().any(|line| line.too_small.is_some());
        if let Some(smallest) = plan.smallest.as_ref().filter(|_| coarse) {
            answer.next.push(format!(
                "or make {} of leaf or more: the smallest batch of which this scale weighs {} within {}",
                self.voice().mass(smallest.batch),
                smallest.line,
                say::base(self.sheet.tolerance.base(), Unit::PERCENT)
            ));
        }
        self.droppers(answer, plan);
        let first = match &plan.water {
            Some((_, WateringPlan::Add(water))) => Some(water.first.rule),
            _ => None,
        };
        if first == Some(FirstRule::TooLoose) {
            answer.next.push(
                "the lots are too loosely known to water by: measure the moisture of the mixed leaf first, an oven dish of it or a jar"
                    .to_owned(),
            );
        }
    }

    /// A dropper that is not needed, and doses that drops do not give well.
    fn droppers(&self, answer: &mut Answer, plan: &Planned) {
        let counted = match &plan.water {
            Some((_, WateringPlan::Add(water))) => water.counted().is_some(),
            _ => false,
        };
        if let Some(dropper) = self.water_dropper.as_ref().filter(|_| !counted) {
            answer.next.push(format!(
                "dropper {dropper} is not needed: {}",
                match &plan.water {
                    Some((_, WateringPlan::Add(_))) => "so much water is weighed, not counted",
                    _ => "no water goes on",
                }
            ));
        }
        for (flavour, line) in plan.flavours.iter().zip(&self.sheet.flavours) {
            if let Some(reached) = reached(flavour, line) {
                answer.next.push(format!(
                    "whole drops of {} miss the dose: {} {reached}; a larger batch or a dilution comes nearer",
                    line.liquid.name,
                    self.amount(flavour)
                ));
            }
            let exact = flavour.dosed.drops_exact.as_ref();
            if let Some(exact) = exact.filter(|_| flavour.is_less_than_a_drop()) {
                answer.next.push(format!(
                    "{} of {} cannot be counted: dilute it first, gutta dilute \"{}\" --leaf {}{} --dilution-drop … --scale …",
                    say::drops(exact),
                    line.liquid.name,
                    say::base(line.dose.value().base(), Unit::GRAM_PER_KILOGRAM).replace('\u{a0}', " "),
                    say::base(plan.leaf.base(), Unit::GRAM).replace('\u{a0}', ""),
                    on_leaf(line, plan)
                ));
            }
        }
    }

    /// The lines that the scale does not weigh, and what mends them.
    fn premixes(&self, answer: &mut Answer, plan: &Planned) {
        let voice = self.voice();
        let percent = |ratio: Ratio| quantity(ratio.base(), Unit::PERCENT, Digits::AtMost(2));
        let tolerance = percent(self.sheet.tolerance);
        let base = plan
            .lines
            .iter()
            .max_by(|a, b| a.mass.best().base().total_cmp(&b.mass.best().base()));
        let Some(base) = base else { return };
        let name = self.name(base.component);
        let mut left = base.mass.best();
        let mut is_mixed = false;
        let mut unmended = Vec::new();
        let mut worst = Ratio::of_base(0.0);
        for line in &plan.lines {
            let Some(small) = &line.too_small else {
                continue;
            };
            let what = format!(
                "{} of {}",
                voice.mass(line.mass.best()),
                self.name(line.component)
            );
            let Some((premix, take)) = &small.premix else {
                unmended.push(what);
                worst = if small.error > worst {
                    small.error
                } else {
                    worst
                };
                continue;
            };
            left -= take.base_in_take;
            is_mixed = true;
            answer.next.push(format!(
                "{what} is too little for this scale: it may be {} off, and {tolerance} is put up with. Pre-mix: {} of it evenly through {} of {name}; take {} of that in its place: within {}",
                percent(small.error),
                voice.mass(premix.condiment),
                voice.mass(premix.base),
                voice.mass(take.take),
                percent(take.error)
            ));
        }
        // One sentence for all of them: a dozen of a kind is not read.
        if !unmended.is_empty() {
            let (is, it, up_to) = if unmended.len() == 1 {
                ("is", "it", "")
            } else {
                ("are", "each", "up to ")
            };
            answer.next.push(format!(
                "{} {is} too little for this scale: {it} may be {up_to}{} off, and {tolerance} is put up with",
                unmended.join(", "),
                percent(worst)
            ));
        }
        if is_mixed {
            answer.next.push(format!(
                "with what the pre-mix brings, weigh only {} of {name}",
                voice.mass(left)
            ));
        }
    }
}

/// The flags that say how a dose is counted on the leaf of the sheet.
fn on_leaf(line: &FlavourLine, plan: &Planned) -> String {
    match (line.basis, &plan.moisture) {
        (LeafBasis::Dry, Some(moisture)) => format!(
            " --basis dry --at {}",
            say::estimate(moisture, Unit::PERCENT).replace('\u{a0}', "")
        ),
        (LeafBasis::Dry, None) => " --basis dry".to_owned(),
        (LeafBasis::AsWeighed, _) => " --basis as-weighed".to_owned(),
    }
}
