//! A pre-mix in sentences.

use gutta::blend::formula::{Premix, PremixPlan};
use gutta::measure::{Digits, Mass, Reading, Scalar, Unit, quantity};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::Voice;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    TAKE = "take": GRAMS, "what to take of the pre-mix";
    CONDIMENT = "condiment": GRAMS, "the condiment in the pre-mix";
    BASE = "base": GRAMS, "the base leaf in the pre-mix";
    NEEDED = "condiment_needed": GRAMS, "the condiment that the trial needs";
    BASE_IN = "base_in_take": GRAMS, "the base leaf that comes with it";
    BASE_TO_ADD = "base_to_add": GRAMS, "the base leaf still to be added";
    ERROR = "error": PERCENT, "what the condiment may be off, as a part of it: one division in each weighing, root sum of squares";
    DIRECT = "error_direct": PERCENT, "what it may be off when it is weighed straight in";
}

/// The keys of `formula premix`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &TAKE,
        &CONDIMENT,
        &BASE,
        &NEEDED,
        &BASE_IN,
        &BASE_TO_ADD,
        &ERROR,
        &DIRECT,
    ],
    known: &[],
}];

/// A pre-mix, planned.
pub fn premix(premix: &Premix, plan: &PremixPlan, trial: &Reading, assumed: Assumed) -> Answer {
    let voice = Voice::of(trial, Some(premix.scale));
    let shown = |mass: Mass| voice.mass_shown(mass);
    let percent = |base: f64| quantity(base, Unit::PERCENT, Digits::AtMost(2));
    let mut answer = Answer::new(
        "formula premix",
        format!(
            "Mix {} of the condiment evenly through {} of the base, and take {} of that.",
            shown(premix.condiment),
            shown(premix.base),
            shown(plan.take)
        ),
    );
    answer.details.push(format!(
        "It holds the {} of condiment that {} of trial need, and {} of the base: add {} more of the base.",
        voice.mass(plan.condiment_needed),
        trial.unbroken(),
        shown(plan.base_in_take),
        shown(plan.base_to_add)
    ));
    answer.details.push(format!(
        "The condiment is then within {}; weighed straight in it would be within {}.",
        percent(plan.error.base()),
        percent(plan.error_direct.base())
    ));
    if premix.made() > premix.trial {
        answer.details.push(format!(
            "That is {} of pre-mix for a trial of {}: worth it where several are to come, else make the batch larger.",
            shown(premix.made()),
            trial.unbroken()
        ));
    }
    answer.check = format!(
        "pre-mix and base together, the scale reads {}",
        shown(plan.take + plan.base_to_add)
    );
    for (key, base) in [
        (&TAKE, plan.take.base()),
        (&CONDIMENT, premix.condiment.base()),
        (&BASE, premix.base.base()),
        (&NEEDED, plan.condiment_needed.base()),
        (&BASE_IN, plan.base_in_take.base()),
        (&BASE_TO_ADD, plan.base_to_add.base()),
        (&ERROR, plan.error.base()),
        (&DIRECT, plan.error_direct.base()),
    ] {
        answer.put_exact(key, base);
    }
    answer.doubt.push(
        "one division of the scale in each of the three weighings; uneven mixing comes on top"
            .to_owned(),
    );
    answer.next.push(
        "label what is left of it with what is in it and the date: it is the next trial's"
            .to_owned(),
    );
    answer.working.push(
        "error² = (b/(c+b) · δ/c)² + (b/(c+b) · δ/b)² + (δ/take)², δ one division".to_owned(),
    );
    assumed.settle(&mut answer);
    answer
}
