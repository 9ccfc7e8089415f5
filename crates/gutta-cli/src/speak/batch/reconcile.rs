//! What became of a batch.

use gutta::Estimate;
use gutta::blend::batch::{Reconciled, Reconciling};
use gutta::measure::{Mass, Reading, Scalar, Scale, Unit};

use crate::answer::{Answer, Grid, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};
use crate::speak::keys;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    UNEXPLAINED = "gap_unexplained": GRAMS, "what of the gap neither moisture nor fines explain; below 0 where there is too much";
    VERDICT = "more_than_scales_explain": Shape::Word(&["yes", "no", "unknown"]), "whether more is unexplained than scales and moistures can explain";
    WITHIN = "explained_within": GRAMS, "what scales and moistures can explain, 95 %";
    DRY_IN = "dry_in": GRAMS, "all that went in, stays and is not water";
    THEORETICAL = "theoretical": GRAMS, "what should have come of it at the moisture wanted";
    GOOD = "good": GRAMS, "what is good, as weighed";
    YIELD = "yield_as_weighed": PERCENT, "good over theoretical, as weighed";
    AT_TARGET = "yield_at_target": PERCENT, "the same with what is good at the moisture wanted";
    ACCOUNTED = "dry_accounted": GRAMS, "the dry matter of what is good and of the fines";
    RECOVERY = "dry_recovery": PERCENT, "that over what went in";
    GAP = "gap": GRAMS, "theoretical less good";
    MOISTURE = "gap_moisture": GRAMS, "what of the gap is moisture";
    FINES = "gap_fines": GRAMS, "what of it is fines, at the moisture wanted";
}

/// The keys of `batch reconcile`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &UNEXPLAINED,
        &VERDICT,
        &DRY_IN,
        &THEORETICAL,
        &GOOD,
        &YIELD,
        &AT_TARGET,
        &ACCOUNTED,
        &RECOVERY,
        &GAP,
        &MOISTURE,
        &FINES,
    ],
    known: &[&WITHIN],
}];

/// A batch held against what went in; `typed` are the first mass, the moisture
/// wanted and the moisture found.
pub fn reconcile(
    batch: &Reconciling,
    got: &Reconciled,
    typed: (&Reading, &Reading, &Reading),
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let (mass_typed, to, at) = typed;
    let voice = Voice::of(mass_typed, scale);
    let percent = |ratio| say::estimate(ratio, Unit::PERCENT);
    let unexplained = got.unexplained.best();
    let is_loss = unexplained.base() >= 0.0;
    let verdict = got.is_more_than_explained();
    let rest = format!(
        "{} {}",
        said(&voice, &got.unexplained),
        if is_loss { "unexplained" } else { "too much" }
    );
    let mut answer = Answer::new(
        "batch reconcile",
        format!(
            "The yield is {} as weighed and {} at {}; of the dry matter {} is accounted for. {rest}{}.",
            percent(&got.yield_as_weighed),
            percent(&got.yield_at_target),
            to.unbroken(),
            percent(&got.dry_recovery),
            match verdict {
                Some(true) => ": more than scales and moistures explain",
                Some(false) => ": no more than scales and moistures explain",
                None => "",
            }
        ),
    );
    answer.put(&UNEXPLAINED, &got.unexplained);
    answer.put_word(
        &VERDICT,
        match verdict {
            Some(true) => "yes",
            Some(false) => "no",
            None => "unknown",
        },
    );
    if verdict.is_some() {
        answer.put_exact(&WITHIN, got.explained_within().base());
    }
    let masses = [
        (&DRY_IN, &got.dry_in),
        (&THEORETICAL, &got.theoretical),
        (&GOOD, &got.good),
        (&ACCOUNTED, &got.dry_accounted),
        (&GAP, &got.gap),
        (&MOISTURE, &got.moisture),
        (&FINES, &got.fines),
    ];
    for (key, mass) in masses {
        answer.put(key, mass);
    }
    answer.put(&YIELD, &got.yield_as_weighed);
    answer.put(&AT_TARGET, &got.yield_at_target);
    answer.put(&RECOVERY, &got.dry_recovery);
    let row = |name: &str, mass: &Estimate<Mass>| {
        vec![
            name.to_owned(),
            voice.weight(mass),
            if mass.u() > 0.0 {
                let half = say::half_width(mass);
                format!("±\u{a0}{}", say::base(half, Unit::GRAM))
            } else {
                String::new()
            },
        ]
    };
    answer.table = Some(Grid {
        is_words: false,
        columns: vec!["", "mass", "95\u{a0}%"],
        rows: vec![
            row("should have come", &got.theoretical),
            row("is good", &got.good),
            row("the gap", &got.gap),
            row("of it moisture", &got.moisture),
            row("of it fines", &got.fines),
            row("of it unexplained", &got.unexplained),
        ],
    });
    answer.check = format!(
        "moisture, fines and the unexplained are the gap: {} + {} + {} = {}",
        say::base(got.moisture.best().base(), Unit::GRAM),
        say::base(got.fines.best().base(), Unit::GRAM),
        say::base(unexplained.base(), Unit::GRAM),
        say::base(got.gap.best().base(), Unit::GRAM)
    );
    match verdict {
        Some(_) => answer.doubt.push(format!(
            "scales and moistures explain {} (95\u{a0}%): {}",
            say::base(got.explained_within().base(), Unit::GRAM),
            say::drivers(&say::budget(&got.unexplained))
        )),
        None => answer.doubt.push(
            "not known, and so it is not known whether scales and moistures explain the rest: give the moistures with their ±, and the scale"
                .to_owned(),
        ),
    }
    match verdict {
        Some(true) if is_loss => answer.next.push(
            "look for it in the vessel, on the table and in the sieve; or the moisture of a lot was not what it was taken for"
                .to_owned(),
        ),
        Some(true) => answer.next.push(
            "more came out than went in: look for a weighing that was not written down, or a moisture that is off"
                .to_owned(),
        ),
        _ => {}
    }
    working(&mut answer, batch, got, (to, at));
    assumed.settle(&mut answer);
    answer
}

fn said(voice: &Voice, mass: &Estimate<Mass>) -> String {
    let size = Estimate::new(
        Mass::of_base(mass.best().base().abs()),
        mass.terms().to_vec(),
    );
    if mass.u() > 0.0 {
        voice.with_doubt(&size)
    } else {
        voice.weight(&size)
    }
}

fn working(
    answer: &mut Answer,
    batch: &Reconciling,
    got: &Reconciled,
    typed: (&Reading, &Reading),
) {
    let grams = |mass: &Estimate<Mass>| say::base(mass.best().base(), Unit::GRAM);
    let (to, at) = (typed.0.unbroken_value(), typed.1.unbroken_value());
    answer.working.extend([
        format!(
            "theoretical = {} / (1 − {to}) = {}",
            grams(&got.dry_in),
            grams(&got.theoretical)
        ),
        format!(
            "moisture = {} × ((1 − {at}) / (1 − {to}) − 1) = {}",
            grams(&got.good),
            grams(&got.moisture)
        ),
    ]);
    if let Some(fines) = &batch.fines {
        answer.working.push(format!(
            "fines = {} × (1 − {}) / (1 − {to}) = {}",
            say::base(fines.mass.value().base(), Unit::GRAM),
            say::base(fines.at.value().ratio().base(), Unit::PERCENT),
            grams(&got.fines)
        ));
    }
    answer.working.push(format!(
        "unexplained = {} − {} − {} = {}",
        grams(&got.gap),
        grams(&got.moisture),
        grams(&got.fines),
        grams(&got.unexplained)
    ));
}
