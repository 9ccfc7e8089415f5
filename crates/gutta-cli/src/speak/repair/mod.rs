//! Repairs in sentences: what to add, and what it is if all is left.

use gutta::blend::repair::{
    Mended, OverFlavoured, Restored, Restoring, Spread, TopUp, ToppedUp, Weakened,
};
use gutta::measure::{Mass, Ratio, Reading, Scalar, Scale, Unit};
use gutta::{Caution, Estimate};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const PER_KILOGRAM: Shape = Shape::Quantity(JsonUnit::GramPerKilogram);

keys! {
    BATCH = "batch": GRAMS, "the batch once the ratio is restored, as weighed";
    NAME = "component": Shape::Text, "the component, as it was named";
    ADD_PART = "add": GRAMS, "what to add of it, as weighed";
    TOTAL = "total": GRAMS, "all of it then, as weighed";
    LEFT = "share_if_left": PERCENT, "its share if all is left as it is, on the basis of the shares";
    PARTS = "parts": Shape::Rows { always: &[&NAME, &ADD_PART, &TOTAL, &LEFT], known: &[] }, "each component, in the order of the pan";
    OFF = "off_if_left": PERCENT, "how far a share is off at most if all is left, in points";
    LEAVE = "leave_it": Shape::Word(&["yes", "no"]), "whether that is within what is put up with";
    SHORT = "short_of": GRAMS, "what is missing of the first component whose stock does not reach";
    ADD = "add": GRAMS, "what to add of the component";
    AFTER = "pile_after": GRAMS, "the pile then";
    OTHERS = "others_factor": Shape::Number, "what every other share is multiplied by";
    ADD_PLAIN = "add": GRAMS, "the plain leaf to add, on the basis of the dose";
    LEAF_AFTER = "leaf_after": GRAMS, "the leaf then";
    LOCAL = "local_dose": PER_KILOGRAM, "the dose on the component alone, as weighed";
    DOSE = "dose": PER_KILOGRAM, "the dose on all of the batch, as weighed";
    STOP = "stop_mass": GRAMS, "without adding: the mass to stop at when it is aired";
    TO_LOSE = "water_to_lose": GRAMS, "the water that goes then";
    ADD_DRIER = "add": GRAMS, "by adding: so much of the drier blend";
    PILE_AFTER = "pile_after": GRAMS, "the pile with it";
    STEPS = "steps": Shape::Quantities(JsonUnit::Gram), "the leaf in the bowl after each step";
}

/// The keys of `repair ratio`.
pub static RATIO_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&BATCH, &PARTS, &OFF, &LEAVE],
    known: &[&SHORT],
}];

/// The keys of `repair top-up`.
pub static TOP_UP_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ADD, &AFTER, &OTHERS],
    known: &[],
}];

/// The keys of `repair flavour`.
pub static FLAVOUR_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&ADD_PLAIN, &LEAF_AFTER],
    known: &[],
}];

/// The keys of `repair soaked`.
pub static SOAKED_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&LOCAL, &DOSE, &STEPS],
    known: &[],
}];

/// The keys of `repair wet`.
pub static WET_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&STOP, &TO_LOSE],
    known: &[&ADD_DRIER, &PILE_AFTER],
}];

/// What follows every repair.
const FOLLOWS: &str = "flavour and water follow the new size: ask for them again";

fn doubt(answer: &mut Answer, voice: Voice, what: &str, mass: &Estimate<Mass>, how: &str) {
    if mass.u() > 0.0 {
        answer.doubt.push(format!(
            "{what} {} (95\u{a0}%): {}",
            voice.with_doubt(mass),
            say::drivers(&say::budget(mass))
        ));
    } else {
        answer.doubt.push(format!("not known: type {how}"));
    }
}

/// A ratio restored.
pub fn ratio(
    restoring: &Restoring,
    restored: &Restored,
    tolerance: Ratio,
    first: Option<Reading>,
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = first.map_or_else(|| Voice::plain(scale), |first| Voice::of(&first, scale));
    let names = restoring.parts.iter().map(|part| part.name.as_str());
    let nothing = 1e-9 * restored.batch.best().base();
    let add: Vec<String> = names
        .clone()
        .zip(&restored.parts)
        .filter(|(_, part)| part.add.best().base() > nothing)
        .map(|(name, part)| format!("{} of {name}", voice.weight(&part.add)))
        .collect();
    let batch = voice.weight(&restored.batch);
    let is_right = add.is_empty();
    let off = restored.off_if_left;
    let leave = off.base() <= tolerance.base() * (1.0 + 1e-9);
    let short = restored.short_of.map(|(which, missing)| {
        format!(
            "; but {} of {} are missing",
            voice.mass(missing),
            restoring.parts[which].name
        )
    });
    let short = short.unwrap_or_default();
    let headline = if is_right {
        format!("Add nothing: the pan is in its ratio, {batch}.")
    } else if leave {
        format!(
            "It can be left as it is; to restore it add {}: that makes {batch}, in ratio{short}.",
            add.join(", ")
        )
    } else {
        format!(
            "Add {}: that makes {batch}, in ratio{short}.",
            add.join(", ")
        )
    };
    let mut answer = Answer::new("repair ratio", headline);
    let worst = restoring.parts.iter().zip(&restored.parts).max_by(|a, b| {
        let off = |pair: &(
            &gutta::blend::repair::Weighed,
            &gutta::blend::repair::RestoredPart,
        )| { (pair.1.share_if_left.best() - pair.0.share).base().abs() };
        off(a).total_cmp(&off(b))
    });
    if let Some((part, done)) = worst.filter(|_| !is_right) {
        answer.details.push(format!(
            "Leave it: {} is then {} in place of {}, {} points off, {} the {} put up with.",
            part.name,
            say::estimate(&done.share_if_left, Unit::PERCENT),
            say::base(part.share.base(), Unit::PERCENT),
            say::base(off.base(), Unit::PERCENT).replace("\u{a0}%", ""),
            if leave { "within" } else { "more than" },
            say::base(tolerance.base(), Unit::PERCENT).replace('%', "point")
        ));
    }
    answer.check = format!("the scale then reads {}", voice.reading(&restored.batch));
    answer.put(&BATCH, &restored.batch);
    let rows = restoring.parts.iter().zip(&restored.parts);
    answer.put_rows(
        &PARTS,
        rows.map(|(part, done)| {
            Row::default()
                .with_text(&NAME, part.name.clone())
                .with(&ADD_PART, &done.add)
                .with(&TOTAL, &done.total)
                .with(&LEFT, &done.share_if_left)
        })
        .collect(),
    );
    answer.put_exact(&OFF, off.base());
    answer.put_word(&LEAVE, if leave { "yes" } else { "no" });
    if let Some((which, missing)) = restored.short_of {
        answer.put_exact(&SHORT, missing.base());
        answer.cautions.push(format!(
            "the stock of {} does not reach: {} are missing; leave it, or make it up with a like leaf",
            restoring.parts[which].name,
            voice.mass(missing)
        ));
    }
    doubt(
        &mut answer,
        voice,
        "the batch",
        &restored.batch,
        "it behind a mass, such as \"36.8g ± 0.1g flue-cured 46%\", or say the scale",
    );
    if !is_right {
        answer.next.push(
            "weigh each into its own cup first, then into the bowl, and toss well".to_owned(),
        );
        answer.next.push(FOLLOWS.to_owned());
    }
    answer.cautions.push(Caution::WetLeaf.to_string());
    let most = &restoring.parts[restored.most];
    answer.working.push(format!(
        "most for its share: {}, {} / {}",
        most.name,
        voice.mass(most.in_pan.value()),
        say::base(most.share.base(), Unit::PERCENT)
    ));
    answer
        .working
        .push("add of each = share × batch − what lies in the pan".to_owned());
    assumed.settle(&mut answer);
    answer
}

/// A share raised; the pile and all that is said of it are dry leaf where the
/// shares are of that.
pub fn top_up(
    question: &TopUp,
    topped: &ToppedUp,
    (typed, is_dry): (&Reading, bool),
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = Voice::of(typed, scale);
    let percent = |share: Ratio| say::base(share.base(), Unit::PERCENT);
    let dry = if is_dry { " of dry leaf" } else { "" };
    let mut answer = Answer::new(
        "repair top-up",
        format!(
            "Add {}{dry} of it: that raises it from {} to {} of {}.",
            voice.weight(&topped.add),
            percent(question.share),
            percent(question.to),
            voice.weight(&topped.after)
        ),
    );
    answer.details.push(format!(
        "Every other share is {} of what it was.",
        percent(topped.others)
    ));
    if is_dry {
        answer.check = format!(
            "the pile then has {} of dry leaf",
            voice.reading(&topped.after)
        );
        answer.next.push(
            "the shares are of dry leaf: type the dry leaf of the pile, and weigh what is added over one less its moisture, 17.9 g dry at 11 % as 20.1 g"
                .to_owned(),
        );
    } else {
        answer.check = format!("the scale then reads {}", voice.reading(&topped.after));
    }
    answer.put(&ADD, &topped.add);
    answer.put(&AFTER, &topped.after);
    answer.put_number(&OTHERS, topped.others.base());
    doubt(
        &mut answer,
        voice,
        "what to add",
        &topped.add,
        "it behind the pile, such as --pile \"215g ± 1g\", or say the scale",
    );
    answer.next.push(FOLLOWS.to_owned());
    answer.cautions.push(Caution::WetLeaf.to_string());
    answer.working.push(format!(
        "add = {} × ({} − {}) / (1 − {}) = {}",
        voice.mass(question.pile.value()),
        percent(question.to),
        percent(question.share),
        percent(question.to),
        voice.mass(topped.add.best())
    ));
    assumed.settle(&mut answer);
    answer
}

/// A dose brought down.
pub fn flavour(
    question: &OverFlavoured,
    weakened: &Weakened,
    (leaf, dose, to): (&Reading, &Reading, &Reading),
    scale: Option<Scale>,
    mut assumed: Assumed,
) -> Answer {
    let voice = Voice::of(leaf, scale);
    let mut answer = Answer::new(
        "repair flavour",
        format!(
            "Add {} of plain leaf, blended alike: that brings {} at {} down to {}.",
            voice.weight(&weakened.add),
            leaf.unbroken_value(),
            dose.unbroken_value(),
            to.unbroken()
        ),
    );
    answer.details.push(format!(
        "Leave it: the dose is {} in place of {}.",
        dose.unbroken_value(),
        to.unbroken()
    ));
    answer.check = format!(
        "leaf without its flavouring then makes {}",
        voice.reading(&weakened.after)
    );
    answer.put(&ADD_PLAIN, &weakened.add);
    answer.put(&LEAF_AFTER, &weakened.after);
    doubt(
        &mut answer,
        voice,
        "what to add",
        &weakened.add,
        "it behind the dose, such as --dose \"18g/kg ± 1g/kg\"",
    );
    assumed.line("leaf and dose are on one basis, as weighed or dry, and the plain leaf too");
    answer
        .next
        .push("mix it in by halves, rest, and judge again: flavour evens out slowly".to_owned());
    answer
        .next
        .push("water follows the new size: ask for it again".to_owned());
    answer.cautions = [Caution::FoodGrade, Caution::WetLeaf]
        .iter()
        .map(ToString::to_string)
        .collect();
    answer.working.push(format!(
        "add = {} × ({} / {} − 1) = {}",
        voice.mass(question.leaf.value()),
        dose.unbroken_value(),
        to.unbroken(),
        voice.mass(weakened.add.best())
    ));
    assumed.settle(&mut answer);
    answer
}

/// A soaked component spread.
pub fn soaked(spread: &Spread, batch: &Reading, scale: Option<Scale>, assumed: Assumed) -> Answer {
    let voice = Voice::of(batch, scale);
    let per_kilogram =
        |dose: &Estimate<gutta::bench::DoseAsWeighed>| say::estimate(dose, Unit::GRAM_PER_KILOGRAM);
    let steps: Vec<String> = spread.steps.iter().map(|step| voice.mass(*step)).collect();
    let headline = match steps.as_slice() {
        [_, rest @ ..] if !rest.is_empty() => format!(
            "Mix it in step by step, each time with as much plain leaf as there is: to {} in the bowl.",
            rest.join(", then to ")
        ),
        _ => "Nothing to do: it is all of the batch.".to_owned(),
    };
    let mut answer = Answer::new("repair soaked", headline);
    answer.details.push(format!(
        "The soaked leaf is at {} of leaf as weighed; all of the batch is at {}, nothing is lost.",
        per_kilogram(&spread.local),
        per_kilogram(&spread.batch)
    ));
    answer.details.push(format!(
        "Leave it: some bowls smoke at {} and the rest at nothing.",
        per_kilogram(&spread.local)
    ));
    answer.check = format!(
        "the scale then reads {} of leaf, its flavouring on top",
        batch.unbroken_value()
    );
    answer.put(&LOCAL, &spread.local);
    answer.put(&DOSE, &spread.batch);
    answer.put_each(
        &STEPS,
        spread.steps.iter().map(|step| Estimate::exact(*step)),
    );
    if spread.batch.u() > 0.0 {
        answer.doubt.push(format!(
            "the dose {} (95\u{a0}%): {}",
            say::with_doubt(&spread.batch, Unit::GRAM_PER_KILOGRAM),
            say::drivers(&say::budget(&spread.batch))
        ));
    } else {
        answer
            .doubt
            .push("not known: say the scale, such as --scale 0.1g".to_owned());
    }
    answer
        .next
        .push("toss well at each step, and let it rest closed: the flavour evens out".to_owned());
    answer.cautions = [Caution::FoodGrade, Caution::WetLeaf]
        .iter()
        .map(ToString::to_string)
        .collect();
    answer
        .working
        .push(format!("in the bowl: {}", steps.join(", ")));
    assumed.settle(&mut answer);
    answer
}

/// A pile that is too wet, mended.
pub fn wet(
    mended: &Mended,
    (pile, at, to): (&Reading, &Reading, &Reading),
    drier: Option<&Reading>,
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = Voice::of(pile, scale);
    let air = format!(
        "ir it until the scale reads {}: {} of water to lose",
        voice.reading(&mended.stop),
        voice.weight(&mended.water)
    );
    let there = format!("{} at {}", pile.unbroken_value(), at.unbroken_value());
    let headline = match (&mended.add, drier) {
        (Some(add), Some(drier)) => format!(
            "Add {} of the same blend at {}: that brings {there} to {}.",
            voice.reading(add),
            drier.unbroken_value(),
            to.unbroken()
        ),
        _ => format!("A{air}; that brings {there} to {}.", to.unbroken()),
    };
    let mut answer = Answer::new("repair wet", headline);
    if let Some(add) = &mended.add {
        answer.put(&ADD_DRIER, add);
        answer.details.push(format!("Or a{air}."));
    }
    answer.put_if(&PILE_AFTER, mended.after.as_ref());
    answer.put(&STOP, &mended.stop);
    answer.put(&TO_LOSE, &mended.water);
    answer
        .details
        .push(format!("Leave it: it stays at {}.", at.unbroken_value()));
    let then = mended.after.as_ref().unwrap_or(&mended.stop);
    answer.check = format!(
        "the scale then reads {}, at {}",
        voice.reading(then),
        to.unbroken()
    );
    let how = "it behind a moisture, such as --at \"18% ± 1%\"";
    match &mended.add {
        Some(add) => doubt(&mut answer, voice, "what to add", add, how),
        None => doubt(
            &mut answer,
            voice,
            "the reading to stop at",
            &mended.stop,
            how,
        ),
    }
    answer.next.push(if mended.add.is_some() {
        "toss, rest it closed a day, and measure again: moisture evens out slowly".to_owned()
    } else {
        "spread it thin, toss now and then, and weigh as it dries: do not chase it past that"
            .to_owned()
    });
    if mended.add.is_none() {
        answer.next.push(
            "with more of the same blend that is drier, type its moisture as --with".to_owned(),
        );
    } else {
        answer.next.push(FOLLOWS.to_owned());
    }
    answer.cautions = [Caution::CleanWater, Caution::WetLeaf]
        .iter()
        .map(ToString::to_string)
        .collect();
    assumed.settle(&mut answer);
    answer
}
