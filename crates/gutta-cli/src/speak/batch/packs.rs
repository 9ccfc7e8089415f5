//! A batch in packs.

use gutta::Caution;
use gutta::blend::batch::{Packing, Packs};
use gutta::measure::{Mass, Reading, Scalar, Scale, Unit};

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
    FEWEST = "packs_fewest": Shape::Number, "how many packs are full where what is finished, less the sample, is at the lower end of its doubt, 95 %";
    MOST = "packs_most": Shape::Number, "the same at the upper end";
    HOLDS = "holds_at_least": GRAMS, "what a pack that is filled to the mark on the scale holds or more, with 95 % certainty";
    BELOW = "some_below_net": Shape::Word(&["yes", "no"]), "whether that is below the net mass";
}

/// The keys of `batch packs`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&PACKS, &EACH, &IN_PACKS, &LEFT, &RETAINED, &GIVEN],
    known: &[&FEWEST, &MOST, &HOLDS, &BELOW],
}];

/// The step that the packs and the rest are printed to: where figures of one unit were
/// typed, the coarsest that loses nothing of any; else five figures of all, or as many
/// more as it takes to add up.
fn step(voice: &Voice, parts: &[Mass], whole: Mass) -> f64 {
    let typed = voice.decimal(voice.last_place());
    let loses_nothing = |step: &f64| {
        parts.iter().chain([&whole]).all(|mass| {
            let steps = mass.base() / step;
            (steps - steps.round()).abs() < 1e-6
        })
    };
    let exact = (0..5)
        .map(|tenths| typed * 10_f64.powi(-tenths))
        .find(loses_nothing);
    exact.unwrap_or_else(|| say::place_of_sum(parts, whole, voice.decimal(whole.base() * 1e-4)))
}

/// Packs, said; `around` are the counts at either end of the doubt of what there
/// is to pack, where it has one.
pub fn packs(
    packing: &Packing,
    packs: &Packs,
    around: Option<(u32, u32)>,
    typed: &Reading,
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = Voice::of(typed, scale);
    let parts = [packs.in_packs, packing.retain, packs.left_over];
    let step = step(&voice, &parts, packing.mass);
    let adding = |mass: Mass| voice.mass_to(mass, step);
    let count = f64::from(packs.count);
    let word = say::of_count(count, "pack", "packs");
    let mut answer = Answer::new(
        "batch packs",
        format!(
            "{} {word} of {}: {} in them, {} left over.",
            packs.count,
            voice.mass(packs.each),
            adding(packs.in_packs),
            adding(packs.left_over)
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
        adding(packs.in_packs),
        adding(packing.retain),
        adding(packs.left_over),
        adding(packing.mass)
    );
    if let Some((fewest, most)) = around {
        answer.put_number(&FEWEST, f64::from(fewest));
        answer.put_number(&MOST, f64::from(most));
        if fewest < most {
            answer.doubt.push(format!(
                "what there is to pack fills {fewest} to {most} packs, by its doubt (95\u{a0}%)"
            ));
        }
    }
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
        let holds = packs.each - Mass::of_base(half);
        answer.put_exact(&HOLDS, holds.base());
        answer.put_word(&BELOW, if is_enough { "no" } else { "yes" });
        answer.doubt.push(format!(
            "a pack that is filled to {} on this scale holds {} or more with 95\u{a0}% certainty{}",
            voice.mass(packs.each),
            voice.mass(holds),
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
