//! Lots together, in sentences.

use gutta::matter::{LotOfLeaf, MET, Method, Mixed};
use gutta::measure::{Reading, Scalar, Scale, Unit};
use gutta::{Caution, Moisture};

use super::as_flag;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};
use crate::speak::{keys, mould};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "the moisture of all lots together, wet basis";
    FINAL = "final_mass": GRAMS, "the mass of all lots together";
    WATER = "water": GRAMS, "the water that brings all of them to the moisture wanted; left out where water must go";
    TO_LOSE = "water_to_lose": GRAMS, "the water that all of them must lose for it";
    PARTS = "parts": Shape::Quantities(JsonUnit::Gram), "what to take of each of two lots for it, without water, within what is there";
    SHORT = "short_of": GRAMS, "what more of the scarcer lot would use all of the other";
}

/// The keys of `moisture mix`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &FINAL],
    known: &[&WATER, &TO_LOSE, &PARTS, &SHORT],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The mass of the first lot, as it was typed.
    pub first: Option<Reading>,
    /// The lots.
    pub lots: Vec<LotOfLeaf>,
    /// The moisture wanted, as it was typed.
    pub to: Option<Reading>,
    /// The scale, where it is known.
    pub scale: Option<Scale>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, mixed: &Mixed) -> Answer {
        let voice = self
            .first
            .as_ref()
            .map_or_else(Voice::default, |first| Voice::of(first, self.scale));
        let moisture = say::estimate(&mixed.moisture, Unit::PERCENT);
        let all = voice.reading(&mixed.mass);
        let headline = match (&self.to, &mixed.parts, &mixed.water) {
            (Some(to), Some(parts), _) => {
                let each: Vec<String> = parts
                    .iter()
                    .enumerate()
                    .filter(|(_, part)| part.best().base() > MET * mixed.mass.best().base())
                    .map(|(i, part)| format!("{} of lot {}", voice.weight(part), i + 1))
                    .collect();
                match each.as_slice() {
                    [one] => format!("Take {one} alone: it is at {}.", to.unbroken()),
                    _ => format!("Mix {} for {}.", each.join(" with "), to.unbroken()),
                }
            }
            _ => format!("All lots together, {all}, are at {moisture}."),
        };
        let mut answer = Answer::new("moisture mix", headline);
        if mixed.parts.is_some() {
            answer
                .details
                .push(format!("All of both, {all}, are at {moisture}."));
        }
        if let Some((scarcer, more)) = &mixed.short_of {
            answer.details.push(format!(
                "Lot {} is used up: {} more of it would use all of the other.",
                scarcer + 1,
                voice.weight(more)
            ));
        }
        let water = mixed.water.as_ref();
        let is_met = water.is_some_and(|w| w.best().base().abs() <= MET * mixed.mass.best().base());
        if let (Some(to), Some(water)) = (&self.to, water) {
            answer.details.push(if is_met {
                format!("All of them are at {} already.", to.unbroken())
            } else if water.best().base() < 0.0 {
                format!(
                    "To bring all of them to {}, dry off {} of water.",
                    to.unbroken(),
                    voice.weight(&water.negated())
                )
            } else {
                format!(
                    "To bring all of them to {}, add {} of water.",
                    to.unbroken(),
                    voice.weight(water)
                )
            });
        }
        answer.check = match &mixed.parts {
            Some(parts) => {
                let sum = parts
                    .iter()
                    .fold(gutta::measure::Mass::of_base(0.0), |sum, part| {
                        sum + part.best()
                    });
                format!("the scale then reads {}", voice.mass(sum))
            }
            None => format!("the scale then reads {all}, at {moisture} of total weight"),
        };
        answer.put(&MOISTURE, &mixed.moisture);
        answer.put(&FINAL, &mixed.mass);
        match water {
            Some(_) if is_met => answer.put_exact(&WATER, 0.0),
            Some(water) if water.best().base() < 0.0 => answer.put_negated(&TO_LOSE, water),
            Some(water) => answer.put(&WATER, water),
            None => {}
        }
        if let Some(parts) = &mixed.parts {
            answer.put_each(&PARTS, parts.iter().cloned());
        }
        answer.put_if(&SHORT, mixed.short_of.as_ref().map(|(_, more)| more));
        if mixed.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture of all of them {} (95\u{a0}%): {}",
                say::with_doubt(&mixed.moisture, Unit::PERCENT),
                say::drivers(&answer.budget)
            ));
        } else {
            answer.doubt.push(
                "not known: type it with each moisture, such as \"460g 9.6% ± 0.5%\"".to_owned(),
            );
        }
        answer.next.push(if mixed.parts.is_some() {
            "mix well and let it rest closed, so that the moisture evens out; then measure"
                .to_owned()
        } else {
            as_flag(
                &mixed.moisture,
                self.assumed.is_upper_bound().then_some(Method::OvenOfCased),
            )
        });
        answer.cautions = vec![Caution::WetLeaf.to_string()];
        let kept_at = match (&self.to, &mixed.water) {
            (Some(to), Some(_)) => Moisture::read_target(to).unwrap_or(mixed.moisture.best()),
            _ => mixed.moisture.best(),
        };
        answer
            .cautions
            .extend(mould(kept_at, self.assumed.is_upper_bound()));
        let sum: Vec<String> = self
            .lots
            .iter()
            .map(|lot| {
                format!(
                    "{} × {}",
                    voice.mass(lot.mass.value()),
                    say::base(lot.at.value().base(), Unit::PERCENT)
                )
            })
            .collect();
        answer
            .working
            .push(format!("m = ({}) / {all} = {moisture}", sum.join(" + ")));
        self.assumed.settle(&mut answer);
        answer
    }
}
