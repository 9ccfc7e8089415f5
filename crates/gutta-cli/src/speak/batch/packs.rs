//! A batch in packs.

use gutta::Caution;
use gutta::blend::batch::{Packing, Packs};
use gutta::measure::{Reading, Scalar, Scale, Unit};

use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};
use crate::speak::keys;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    PACKS = "packs": Shape::Number, "how many packs are full";
    EACH = "each": GRAMS, "what each holds: net and overfill";
    IN_PACKS = "in_packs": GRAMS, "what all packs hold";
    LEFT = "left_over": GRAMS, "what fills no pack, the sample not in it";
    RETAINED = "retained": GRAMS, "the sample that is kept";
    GIVEN = "given_away": Shape::Quantity(JsonUnit::Percent), "what all overfills give away, of what is sold";
}

/// The keys of `batch packs`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&PACKS, &EACH, &IN_PACKS, &LEFT, &RETAINED, &GIVEN],
    known: &[],
}];

/// Packs, said.
pub fn packs(
    packing: &Packing,
    packs: &Packs,
    typed: &Reading,
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = Voice::of(typed, scale);
    let count = f64::from(packs.count);
    let word = say::of_count(count, "pack", "packs");
    let mut answer = Answer::new(
        "batch packs",
        format!(
            "{} {word} of {}: {} in them, {} left over.",
            packs.count,
            voice.mass(packs.each),
            voice.mass(packs.in_packs),
            voice.mass(packs.left_over)
        ),
    );
    answer.put_number(&PACKS, count);
    answer.put_exact(&EACH, packs.each.base());
    answer.put_exact(&IN_PACKS, packs.in_packs.base());
    answer.put_exact(&LEFT, packs.left_over.base());
    answer.put_exact(&RETAINED, packing.retain.base());
    answer.put_exact(&GIVEN, packs.given_away.base());
    answer.check = format!(
        "{} in packs, {} kept and {} left over are {}",
        voice.mass(packs.in_packs),
        voice.mass(packing.retain),
        voice.mass(packs.left_over),
        voice.mass(packing.mass)
    );
    if packing.overfill.base() > 0.0 {
        answer.details.push(format!(
            "The overfill gives {} away of what is sold.",
            say::base(packs.given_away.base(), Unit::PERCENT)
        ));
    }
    if let Some(scale) = scale {
        // One-sided: of a hundred packs filled to the mark, five may be below.
        let half = 1.645 * scale.u_net().base();
        let is_enough = packing.overfill.base() >= half;
        answer.doubt.push(format!(
            "a pack that is filled to {} on this scale holds {} or more with 95\u{a0}% certainty{}",
            voice.mass(packs.each),
            voice.mass(packs.each - gutta::measure::Mass::of_base(half)),
            if is_enough {
                ""
            } else {
                ": some are below their net mass"
            }
        ));
    }
    answer.working.push(format!(
        "packs = ({} − {}) / ({} + {}) = {}, in whole packs {}",
        voice.mass(packing.mass),
        voice.mass(packing.retain),
        voice.mass(packing.net),
        voice.mass(packing.overfill),
        say::plain(((packing.mass - packing.retain) / packs.each).base()),
        packs.count
    ));
    answer.cautions.push(Caution::Licensed.to_string());
    assumed.settle(&mut answer);
    answer
}
