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

/// What is to be looked at where there is more than there can be.
const TOO_MUCH: &str = "more came out than went in: look for leaf or a liquid that was not typed (--leaf, --bring), a weighing that was not written down, or a moisture that is off";

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
    let verdict = got.is_more_than_explained();
    let size = said(&voice, &got.unexplained);
    // What is rounded to nothing is not too much of anything.
    let value = size.split(" ± ").next().unwrap_or_default();
    let is_nothing = !value.contains(|c: char| matches!(c, '1'..='9'));
    let is_loss = unexplained.base() >= 0.0 || is_nothing;
    let rest = format!(
        "{size} {}",
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
        let said = if mass.u() > 0.0 {
            voice.with_doubt(mass)
        } else {
            voice.weight(mass)
        };
        let (value, doubt) = match said.split_once(" ± ") {
            Some((value, doubt)) => (value.to_owned(), format!("±\u{a0}{doubt}")),
            None => (said, String::new()),
        };
        vec![name.to_owned(), value, doubt]
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
        "moisture, fines and the unexplained are the gap: {}",
        sum(&voice, got)
    );
    match verdict {
        Some(_) => answer.doubt.push(format!(
            "scales and moistures explain {} (95\u{a0}%): {}",
            size.split(" ± ").last().unwrap_or_default(),
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
        Some(true) => answer.next.push(TOO_MUCH.to_owned()),
        // Without a doubt, what the last digits typed may hide is no news.
        None if -unexplained.base() > voice.last_place().max(got.theoretical.best().base() * 1e-4) => {
            answer.next.push(TOO_MUCH.to_owned());
        }
        _ => {}
    }
    working(&mut answer, batch, got, (to, at));
    assumed.settle(&mut answer);
    answer
}

/// `81.7 g + 40.5 g − 3.2 g = 119 g`: to the place that the doubt of what is
/// unexplained supports, or to what was typed, and so that it adds up as it is printed.
fn sum(voice: &Voice, got: &Reconciled) -> String {
    let parts = [&got.moisture, &got.fines, &got.unexplained].map(Estimate::best);
    let whole = got.gap.best();
    let half = say::half_width(&got.unexplained);
    let largest = parts.iter().map(|mass| mass.base().abs());
    let largest = largest.fold(0.0, f64::max);
    let step = if half > 0.0 {
        // Two figures of it.
        half * 0.1
    } else if largest > 1e-9 * got.good.best().base() {
        // Four of the largest.
        largest * 1e-3
    } else {
        voice.last_place()
    };
    let step = say::place_of_sum(&parts, whole, voice.decimal(step));
    let plain = |mass: Mass| voice.mass_to(Mass::of_base(mass.base().abs()), step);
    let is_below = |mass: Mass| (mass.base() / step).round() < 0.0;
    let sign = |mass: Mass| if is_below(mass) { "−" } else { "" };
    let [moisture, fines, unexplained] = parts;
    let mut text = format!("{}{}", sign(moisture), plain(moisture));
    for part in [fines, unexplained] {
        text += if is_below(part) { " − " } else { " + " };
        text += &plain(part);
    }
    format!("{text} = {}{}", sign(whole), plain(whole))
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
