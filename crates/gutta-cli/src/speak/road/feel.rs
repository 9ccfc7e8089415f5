//! A moisture by feel, in sentences.

use gutta::matter::{Feel, Method};
use gutta::measure::{Unit, number};

use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::say;
use crate::speak::moisture::dried_out;
use crate::speak::{keys, mould};

keys! {
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "the middle of the range, wet basis: a guess";
}

/// The keys of `moisture feel`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE],
    known: &[],
}];

/// A grade, said as the range that it is.
pub fn say(feel: Feel) -> Answer {
    let (low, high) = feel.range();
    let (low, high) = (number(low, 0), number(high, 0));
    let moisture = feel.moisture().estimate("feel");
    let mut answer = Answer::new(
        "moisture feel",
        format!(
            "A guess: leaf that is {} is at {low} to {high}\u{a0}% of total weight.",
            feel.name()
        ),
    );
    answer
        .details
        .push(format!("{}: {}.", feel.name(), feel.sign()));
    answer.check = dried_out(&moisture);
    answer.put(&MOISTURE, &moisture);
    answer.cautions.extend(mould(moisture.best(), false));
    answer
        .assumed
        .push("the ranges are common practice, with no source; hands differ".to_owned());
    answer.doubt.push(format!(
        "the moisture {} (95\u{a0}%): anywhere in the range is as likely",
        say::with_doubt(&moisture, Unit::PERCENT)
    ));
    answer.next.push(format!(
        "type it in gutta water as --at {low}-{high}% --by {}",
        Method::Feel.name()
    ));
    answer.next.push(
        "a first addition by such a guess is small; an oven dish or a jar weighed again says more"
            .to_owned(),
    );
    answer
}
