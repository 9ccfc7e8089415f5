//! Oven dishes in sentences.

use gutta::matter::{Method, OvenTest, OvenVolatiles};
use gutta::measure::{Digits, Unit, quantity};
use gutta::{Caution, Estimate};

use super::as_flag;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say;
use crate::speak::moisture::dried_out;
use crate::speak::{keys, mould};

const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    MOISTURE = "moisture": PERCENT, "the mean of the dishes, wet basis: oven volatiles";
    EACH = "dishes": Shape::Quantities(JsonUnit::Percent), "each dish";
    SCATTER = "scatter": PERCENT, "the standard deviation between the dishes, in points";
    BOUND = "upper_bound": Shape::Word(&["yes", "no"]), "whether more than water was driven off";
}

/// The keys of `moisture oven`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &EACH, &BOUND],
    known: &[&SCATTER],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The dishes.
    pub test: OvenTest,
    /// Whether the leaf carries casing, humectant or flavouring.
    pub is_cased: bool,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, found: &OvenVolatiles) -> Answer {
        let moisture = say::estimate(&found.moisture, Unit::PERCENT);
        let headline = if self.is_cased {
            format!("Oven volatiles {moisture} of total weight: the moisture is at most that.")
        } else {
            format!("The leaf was at {moisture} of total weight (oven volatiles).")
        };
        let mut answer = Answer::new("moisture oven", headline);
        if found.each.len() > 1 {
            let each: Vec<String> = found
                .each
                .iter()
                .map(|m| say::estimate(&Estimate::exact(*m), Unit::PERCENT))
                .collect();
            answer
                .details
                .push(format!("The dishes: {}.", each.join(", ")));
        }
        answer.check = dried_out(&found.moisture);
        answer.put(&MOISTURE, &found.moisture);
        answer.put_each(&EACH, found.each.iter().map(|m| Estimate::exact(*m)));
        answer.put_word(&BOUND, if self.is_cased { "yes" } else { "no" });
        if let Some(scatter) = found.scatter {
            answer.put_exact(&SCATTER, scatter);
        }
        doubt(&mut answer, found);
        let method = if self.is_cased {
            Method::OvenOfCased
        } else {
            Method::Oven
        };
        answer.next.push(as_flag(&found.moisture, Some(method)));
        if self.is_cased {
            answer.next.push(
                "water worked out from it is the least that is needed: go in steps, and check by feel or by the air in the jar".to_owned(),
            );
        }
        let odd = found.odd.iter().map(|&dish| Caution::OddDish { dish });
        let cased = self.is_cased.then_some(Caution::OvenVolatiles);
        answer.cautions = odd.chain(cased).map(|c| c.to_string()).collect();
        answer
            .cautions
            .extend(mould(found.moisture.best(), self.is_cased));
        for (i, dish) in self.test.dishes.iter().enumerate() {
            let grams = |mass: gutta::measure::Mass| {
                quantity(
                    gutta::measure::Scalar::base(mass),
                    Unit::GRAM,
                    Digits::AtMost(6),
                )
            };
            answer.working.push(format!(
                "dish {}: ({} − {}) / ({} − {}) = {}",
                i + 1,
                grams(dish.wet),
                grams(dish.dry),
                grams(dish.wet),
                grams(dish.tare),
                say::estimate(&Estimate::exact(dish.moisture()), Unit::PERCENT)
            ));
        }
        self.assumed.settle(&mut answer);
        answer
    }
}

fn doubt(answer: &mut Answer, found: &OvenVolatiles) {
    if found.moisture.u() > 0.0 {
        answer.doubt.push(format!(
            "the moisture {} (95\u{a0}%): {}",
            say::with_doubt(&found.moisture, Unit::PERCENT),
            say::drivers(&answer.budget)
        ));
    } else {
        answer.doubt.push(match found.scatter {
            None => "not known: dry a second dish, or say --scale".to_owned(),
            Some(_) => "not known: the dishes are all alike; say --scale".to_owned(),
        });
    }
    if found.scatter.is_none() {
        answer
            .doubt
            .push("one dish alone: the scatter from dish to dish is unknown".to_owned());
    }
}
