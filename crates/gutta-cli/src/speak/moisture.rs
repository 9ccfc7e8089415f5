//! Moisture in sentences: both bases, and the two sides of an addition.

use gutta::bench::{Advice, KnownAddition, LeafWeighed, Moistened};
use gutta::measure::{Combined, Mass, Measured, Reading, Scalar, Scale, Unit, number};
use gutta::{Caution, DryBasis, Estimate, Moisture};

use super::{keys, mould};
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    WET = "wet": PERCENT, "water over total mass";
    DRY = "dry": PERCENT, "water over dry matter";
    IF_AGREED = "moisture_if_agreed": PERCENT, "the moisture with its doubt as if the estimates agreed, wet basis";
    CHI = "chi_squared": Shape::Number, "the sum of squared deviations, each over its variance";
    LIMIT = "chi_squared_limit": Shape::Number, "the 95 % point of chi squared";
    AGREE = "agree": Shape::Word(&["yes", "no"]), "whether chi squared keeps to its 95 % point";
    MOISTURE = "moisture": PERCENT, "the moisture asked for, wet basis";
    FINAL = "final_mass": Shape::Quantity(JsonUnit::Gram), "the leaf at that moisture";
}

/// The keys of `moisture basis`.
pub static BASIS_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&WET, &DRY],
    known: &[],
}];

/// The keys of `moisture combine`.
pub static COMBINE_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &IF_AGREED, &CHI, &LIMIT, &AGREE],
    known: &[],
}];

/// The keys of `moisture before` and `moisture after`.
pub static KNOWN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &FINAL],
    known: &[],
}];

/// Everything typed about a known addition, read.
pub struct Question {
    /// The leaf that was weighed.
    pub leaf: Weight,
    /// The moisture that is known, as it was typed.
    pub at: Reading,
    /// The water, as it was typed.
    pub added: Reading,
    /// The scale, where it is known.
    pub scale: Option<Scale>,
    /// The question to the library.
    pub known: KnownAddition,
    /// What is taken for granted.
    pub assumed: Assumed,
}

/// A moisture as it was typed, on both bases.
pub fn basis(reading: &Reading, wet: &Measured<Moisture>) -> Answer {
    let dry = wet.through::<DryBasis>(Moisture::on_dry_basis);
    let (wet, dry) = (wet.estimate("moisture"), dry.estimate("moisture"));
    let mut answer = Answer::new(
        "moisture basis",
        format!(
            "{} of total weight (wet basis) is {} of dry matter (dry basis).",
            say::estimate(&wet, Unit::PERCENT),
            say::estimate(&dry, Unit::PERCENT)
        ),
    );
    answer.check = dried_out(&wet);
    answer.cautions.extend(mould(wet.best(), false));
    answer.put(&WET, &wet);
    answer.put(&DRY, &dry);
    if wet.u() > 0.0 {
        answer.doubt.push(format!(
            "wet basis {}, dry basis {} (95\u{a0}%)",
            say::with_doubt(&wet, Unit::PERCENT),
            say::with_doubt(&dry, Unit::PERCENT)
        ));
    }
    let mut assumed = Assumed::default();
    if reading.basis().is_none() {
        assumed.line("the moisture typed is on wet basis: write db behind it for dry basis");
    }
    assumed.exact_if(
        reading.is_exact(),
        format!("moisture {}", reading.unbroken()),
    );
    assumed.settle(&mut answer);
    answer
        .working
        .push("X = m/(1 − m), m = X/(1 + X)".to_owned());
    answer
}

/// What a person can verify with an oven.
pub fn dried_out(moisture: &Estimate<Moisture>) -> String {
    let hundred = Mass::of_base(0.1);
    let left = moisture
        .measured()
        .through::<Mass>(|at| hundred.lift() * at.dry_share());
    format!(
        "{} of such leaf, dried out, then weigh {}",
        say::base(hundred.base(), Unit::GRAM),
        say::estimate(&left.estimate("moisture"), Unit::GRAM)
    )
}

/// Several estimates of one moisture, brought together.
pub fn combine(estimates: &[(&str, Measured<Moisture>)], both: &Combined<Moisture>) -> Answer {
    let together = say::with_doubt(&both.estimate, Unit::PERCENT);
    let headline = if both.agree {
        format!("Together {together} (95\u{a0}%); the estimates agree.")
    } else {
        format!(
            "They disagree; together {together} (95\u{a0}%), widened from {} as if they agreed.",
            say::with_doubt(&both.as_if_agreed, Unit::PERCENT)
        )
    };
    let mut answer = Answer::new("moisture combine", headline);
    answer.check = dried_out(&both.estimate);
    answer.put(&MOISTURE, &both.estimate);
    answer.put(&IF_AGREED, &both.as_if_agreed);
    answer.put_number(&CHI, both.chi_squared);
    answer.put_number(&LIMIT, both.limit);
    answer.put_word(&AGREE, if both.agree { "yes" } else { "no" });
    answer
        .assumed
        .push("the estimates share no reading, scale or dish".to_owned());
    answer.doubt.push(format!(
        "the {} estimates differ by {} than their doubts explain: chi squared {}, at most {} in 95\u{a0}% of all cases",
        estimates.len(),
        if both.agree { "no more" } else { "more" },
        number(both.chi_squared, 2),
        number(both.limit, 2)
    ));
    answer.doubt.push(say::drivers(&answer.budget));
    if !both.agree {
        answer.next.push(
            "look for a mistake before you go by it: another leaf, an unstirred jar, a dish not dried out; then measure again".to_owned(),
        );
    }
    answer.cautions.extend(mould(both.estimate.best(), false));
    for (name, moisture) in estimates {
        answer.working.push(format!(
            "{name}: u = {}, its weight 1/u²",
            say::base(moisture.u(), Unit::PERCENT)
        ));
    }
    answer
}

/// The command that looks back.
const BEFORE: &str = "moisture before";

impl Question {
    /// The moisture before the water, said.
    pub fn before(self, before: &Moistened, weighed: LeafWeighed) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let moisture = say::estimate(&before.moisture, Unit::PERCENT);
        let headline = format!(
            "The leaf was at {moisture} before {} of water went on.",
            self.added.unbroken_value()
        );
        let check = format!(
            "the scale read {} before the water, at {moisture} of total weight, and the leaf is at {} now",
            voice.reading(&before.mass),
            self.at.unbroken_value()
        );
        let advice = self.known.advice_before(weighed);
        self.say(BEFORE, headline, check, before, advice.ok().flatten())
    }

    /// The moisture with the water on, said.
    pub fn after(self, after: &Moistened) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let moisture = say::estimate(&after.moisture, Unit::PERCENT);
        let headline = format!(
            "With {} of water on it, {} of leaf at {} is at {moisture}.",
            self.added.unbroken_value(),
            self.leaf.reading.unbroken_value(),
            self.at.unbroken_value()
        );
        let check = format!(
            "the scale then reads {}, at {moisture} of total weight",
            voice.reading(&after.mass)
        );
        let advice = self.known.advice_after().ok().flatten();
        let mut answer = self.say("moisture after", headline, check, after, advice);
        answer.cautions.insert(0, Caution::CleanWater.to_string());
        answer
    }

    fn say(
        self,
        command: &'static str,
        headline: String,
        check: String,
        other: &Moistened,
        advice: Option<Advice>,
    ) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let mut answer = Answer::new(command, headline);
        answer.check = check;
        answer.put(&MOISTURE, &other.moisture);
        answer.put(&FINAL, &other.mass);
        if other.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture {} (95\u{a0}%): {}",
                say::with_doubt(&other.moisture, Unit::PERCENT),
                say::drivers(&answer.budget)
            ));
        } else {
            answer.doubt.push(say::DOUBT_NOT_KNOWN.to_owned());
        }
        // Another oven dish of cased leaf is another upper bound.
        let advice = advice.filter(|_| !self.assumed.is_upper_bound());
        let line = advice.and_then(|a| say::advice(&a, "the moisture", Unit::PERCENT));
        answer.next.extend(line);
        answer.cautions = vec![Caution::WetLeaf.to_string()];
        // Of the two moistures the leaf is at the one with the water on it.
        let now = if command == BEFORE {
            self.known.moisture.value()
        } else {
            other.moisture.best()
        };
        answer
            .cautions
            .extend(mould(now, self.assumed.is_upper_bound()));
        answer.working.push(format!(
            "water added {}; dry matter {}, the same before and after",
            voice.mass(other.water.best()),
            voice.mass(other.mass.best() * other.moisture.best().dry_share())
        ));
        self.assumed.settle(&mut answer);
        answer
    }
}
