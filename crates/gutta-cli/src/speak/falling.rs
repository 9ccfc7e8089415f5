//! A drop that was worked out by surface tension, in sentences.

use gutta::Caution;
use gutta::bench::{Falling, FromTip, Predicted};
use gutta::matter::Liquid;
use gutta::measure::{Reading, TYPED_DROP, Unit};

use super::dropper::{
    MASS, RATE, SUSPECTS, THEN_MASS, THEN_RATE, THEN_VOLUME, TIP, VOLUME, as_flag, check, within,
};
use crate::answer::{Answer, Figure, Value};
use crate::failure::Outcome;
use crate::resolve::Assumed;
use crate::resolve::shelf::Shelf;
use crate::say;

/// The droppers of the book that are calibrated with a liquid itself: what was
/// weighed wins over what is worked out.
pub fn weighed_in_book(liquid: &Liquid, shelf: &Shelf) -> Outcome<Vec<String>> {
    let droppers = shelf.droppers_of(&liquid.name)?;
    Ok(droppers.iter().map(|one| one.name.clone()).collect())
}

fn drop_in_words(predicted: &Predicted) -> String {
    format!(
        "{} ({}, {})",
        say::with_doubt(&predicted.drop_mass, say::MILLIGRAM),
        say::estimate(&predicted.drop_volume, Unit::MILLILITRE),
        say::estimate(&predicted.drops_per_volume, Unit::DROP_PER_MILLILITRE),
    )
}

/// What to do with a drop that was not weighed.
fn next(answer: &mut Answer, liquid: &str, predicted: &Predicted) {
    answer.next.push(format!(
        "better than this, and two minutes' work: count 20 drops of {liquid} onto the zeroed scale"
    ));
    // One of an unusual size is not taken as it is.
    let one = predicted.drop_mass.best().mass();
    if TYPED_DROP.check_base(one.value).is_ok() {
        answer.next.push(format!(
            "until then type it as {}",
            as_flag(&predicted.drop_mass)
        ));
    }
}

/// Adds the drop of another liquid to the answer about water.
pub fn say_then(
    answer: &mut Answer,
    falling: &Falling,
    predicted: &Predicted,
    weighed: Vec<String>,
) {
    let liquid = &falling.to.name;
    answer.details.push(format!(
        "One drop of {liquid} from the same tip then weighs about {}.",
        drop_in_words(predicted)
    ));
    answer.put(&TIP, &predicted.tip);
    answer.put(&THEN_MASS, &predicted.drop_mass);
    answer.put(&THEN_VOLUME, &predicted.drop_volume);
    answer.put(&THEN_RATE, &predicted.drops_per_volume);
    answer.doubt.push(format!(
        "the drop of {liquid} within {} (95\u{a0}%): {}",
        within(&predicted.drop_mass),
        say::drivers(&say::budget(&predicted.drop_mass))
    ));
    answer.assumed.push(format!(
        "a tip of {} outer diameter, found by the drops of water; the other drop by surface tension (Harkins and Brown, times 1.08; its correction and the tension of alcohol by tables as remembered)",
        say::estimate(&predicted.tip, Unit::MILLIMETRE)
    ));
    next(answer, liquid, predicted);
    // One that was weighed wins.
    for name in weighed {
        answer.next.push(format!(
            "dropper {name} of the book was weighed with {liquid}: where it is that dropper, go by it"
        ));
    }
    answer.working.push(format!(
        "then: m g = 2π r γ ψ(r/V^⅓) gives r = {} by water, and m = {} × 1.08 by {liquid}",
        say::base(predicted.tip.best().value / 2.0, Unit::MILLIMETRE),
        say::base(
            predicted.drop_mass.best().mass().value / 1.08,
            say::MILLIGRAM
        )
    ));
}

/// A drop from a tip that was measured, nothing weighed.
pub fn say_from_tip(
    from: &FromTip,
    typed: &Reading,
    predicted: &Predicted,
    mut assumed: Assumed,
) -> Answer {
    let liquid = &from.liquid.name;
    let headline = format!(
        "One drop of {liquid} from a tip of {} weighs about {}.",
        typed.unbroken_value(),
        drop_in_words(predicted)
    );
    let mut answer = Answer::new("dropper", headline);
    answer.check = check(&predicted.drop_mass);
    answer.put(&MASS, &predicted.drop_mass);
    answer.put(&VOLUME, &predicted.drop_volume);
    answer.put(&RATE, &predicted.drops_per_volume);
    answer.figures.push(Figure {
        key: &SUSPECTS,
        value: Value::Suspects(Vec::new()),
    });
    answer.put(&TIP, &predicted.tip);
    answer.doubt.push(format!(
        "within {} (95\u{a0}%): {}",
        within(&predicted.drop_mass),
        say::drivers(&answer.budget)
    ));
    next(&mut answer, liquid, predicted);
    assumed.line("nothing was weighed: the drop is by surface tension from the tip, held upright, wet to its rim (Harkins and Brown; its correction and the tension of alcohol by tables as remembered)");
    answer.working.push(format!(
        "m g = 2π r γ ψ(r/V^⅓) with r = {} gives m = {}",
        say::base(predicted.tip.best().value / 2.0, Unit::MILLIMETRE),
        say::base(predicted.drop_mass.best().mass().value, say::MILLIGRAM)
    ));
    let one = predicted.drop_mass.best().mass();
    if TYPED_DROP.check_base(one.value).is_err() {
        answer.cautions.push(Caution::UnusualDrop.to_string());
    }
    assumed.settle(&mut answer);
    answer
}
