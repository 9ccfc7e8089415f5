//! How sure a sheet is, and of what the doubt is made.

use gutta::blend::sheet::Planned;
use gutta::measure::Unit;
use gutta::{Estimate, Moisture, WateringPlan};

use super::Question;
use crate::answer::Answer;
use crate::say;

impl Question {
    pub(in crate::speak) fn doubt(&self, answer: &mut Answer, plan: &Planned) {
        let voice = self.voice();
        let water = match &plan.water {
            Some((_, WateringPlan::Add(plan))) => Some(("the water", &plan.water)),
            Some((_, WateringPlan::Dry(plan))) => Some(("the water to air off", &plan.water)),
            _ => None,
        };
        if let Some((what, water)) = water.filter(|(_, water)| water.u() > 0.0) {
            answer.doubt.push(format!(
                "{what} {} (95\u{a0}%): {}",
                voice.with_doubt(water),
                say::drivers(&say::budget(water))
            ));
        }
        if let Some(moisture) = plan.moisture.as_ref().filter(|moisture| moisture.u() > 0.0) {
            answer.doubt.push(format!(
                "the moisture of the lots together {} (95\u{a0}%): {}",
                say::with_doubt(moisture, Unit::PERCENT),
                say::drivers(&self.by_lot(moisture))
            ));
        }
        let is_known = !answer.doubt.is_empty();
        for (flavour, line) in plan.flavours.iter().zip(&self.sheet.flavours) {
            if !line.dose.is_exact() {
                answer.doubt.push(format!(
                    "{} {} (95\u{a0}%), by what the trial was given",
                    line.liquid.name,
                    say::with_doubt(&flavour.dosed.mass, Unit::GRAM)
                ));
            }
        }
        if !is_known {
            let and_scale = if self.sheet.scale.is_none() {
                ", and the scale"
            } else {
                ""
            };
            answer.doubt.push(format!(
                "not known: give the lots' moistures with their ±{and_scale}"
            ));
        }
    }

    /// What the doubt of the lots' moisture is made of, each lot by its component.
    fn by_lot(&self, moisture: &Estimate<Moisture>) -> Vec<(String, f64)> {
        let budget = say::budget(moisture).into_iter();
        let named = budget.map(|(input, share)| {
            let number = input
                .rsplit(' ')
                .next()
                .and_then(|number| number.parse().ok());
            let line = number
                .and_then(|number: usize| self.sheet.shares.lines().get(number.checked_sub(1)?));
            match line {
                Some(line) if input.starts_with("moisture") => {
                    (format!("moisture of {}", line.name()), share)
                }
                Some(line) => (line.name().to_owned(), share),
                None => (input, share),
            }
        });
        named.collect()
    }
}
