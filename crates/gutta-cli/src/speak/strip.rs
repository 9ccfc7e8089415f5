//! Whole leaf for strip, in sentences.

use gutta::Caution;
use gutta::blend::WholeLeaf;
use gutta::measure::Reading;

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    WHOLE = "whole_leaf": GRAMS, "the whole leaf to weigh";
    DRY = "dry_whole_leaf": GRAMS, "its dry matter";
    STEM = "dry_stem": GRAMS, "the dry matter of its stem";
}

/// The keys of `formula strip`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&WHOLE, &DRY, &STEM],
    known: &[],
}];

/// The whole leaf for a strip.
pub fn strip(
    whole: &WholeLeaf,
    (dry, stem, at): (&Reading, &Reading, &Reading),
    assumed: Assumed,
) -> Answer {
    let voice = Voice::of(dry, None);
    let mut answer = Answer::new(
        "formula strip",
        format!(
            "Take {} of whole leaf at {}: stripped, it gives {} of dry strip.",
            voice.weight(&whole.as_weighed),
            at.unbroken_value(),
            dry.unbroken_value()
        ),
    );
    answer.details.push(format!(
        "That is {} dry, {} of it stem ({} of the leaf).",
        voice.weight(&whole.dry),
        voice.weight(&whole.stem),
        stem.unbroken_value()
    ));
    answer.check = format!(
        "the scale then reads {} of whole leaf",
        voice.weight(&whole.as_weighed)
    );
    answer.put(&WHOLE, &whole.as_weighed);
    answer.put(&DRY, &whole.dry);
    answer.put(&STEM, &whole.stem);
    answer.doubt.push(if whole.as_weighed.u() > 0.0 {
        format!(
            "the whole leaf {} (95\u{a0}%): {}",
            voice.with_doubt(&whole.as_weighed),
            say::drivers(&say::budget(&whole.as_weighed))
        )
    } else {
        "not known: type it behind a figure, such as --stem \"22% ± 2%\"".to_owned()
    });
    answer.next.push(
        "weigh the strip when it is done: what is missing is dust and stem left on".to_owned(),
    );
    answer.cautions.push(Caution::WetLeaf.to_string());
    assumed.settle(&mut answer);
    answer
}
