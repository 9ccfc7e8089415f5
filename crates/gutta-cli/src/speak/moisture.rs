//! Moisture in sentences: both bases, and the two sides of an addition.

use gutta::bench::{KnownAddition, Moistened};
use gutta::measure::{Mass, Measured, Reading, Scalar, Scale, Unit};
use gutta::{Caution, DryBasis, Moisture};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    WET = "wet": PERCENT, "water over total mass";
    DRY = "dry": PERCENT, "water over dry matter";
    MOISTURE = "moisture": PERCENT, "the moisture asked for, wet basis";
    FINAL = "final_mass": Shape::Quantity(JsonUnit::Gram), "the leaf at that moisture";
}

/// The keys of `moisture basis`.
pub static BASIS_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&WET, &DRY],
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
    let hundred = Mass::of_base(0.1);
    answer.check = format!(
        "{} of such leaf, dried out, then weigh {}",
        say::base(hundred.base(), Unit::GRAM),
        say::base((hundred * wet.best().dry_share()).base(), Unit::GRAM)
    );
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

impl Question {
    /// The moisture before the water, said.
    pub fn before(self, before: &Moistened) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let moisture = say::estimate(&before.moisture, Unit::PERCENT);
        let headline = format!(
            "The leaf was at {moisture} before {} of water went on.",
            say::best(&self.added)
        );
        let check = format!(
            "the scale read {} before the water, at {moisture} of total weight, and the leaf is at {} now",
            voice.reading(&before.mass),
            say::best(&self.at)
        );
        self.say("moisture before", headline, check, before)
    }

    /// The moisture with the water on, said.
    pub fn after(self, after: &Moistened) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let moisture = say::estimate(&after.moisture, Unit::PERCENT);
        let headline = format!(
            "With {} of water on it, {} of leaf at {} is at {moisture}.",
            say::best(&self.added),
            say::best(&self.leaf.reading),
            say::best(&self.at)
        );
        let check = format!(
            "the scale then reads {}, at {moisture} of total weight",
            voice.reading(&after.mass)
        );
        let mut answer = self.say("moisture after", headline, check, after);
        answer.cautions.insert(0, Caution::CleanWater.to_string());
        answer
    }

    fn say(
        self,
        command: &'static str,
        headline: String,
        check: String,
        other: &Moistened,
    ) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.scale);
        let mut answer = Answer::new(command, headline);
        answer.check = check;
        answer.put(&MOISTURE, &other.moisture);
        answer.put(&FINAL, &other.mass);
        if other.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "moisture {} (95\u{a0}%): {}",
                say::with_doubt(&other.moisture, Unit::PERCENT),
                say::drivers(&answer.budget)
            ));
        }
        answer.cautions = vec![Caution::WetLeaf.to_string()];
        answer.working.push(format!(
            "water added {}; dry matter {}, the same before and after",
            voice.mass(other.water.best()),
            voice.mass(other.mass.best() * other.moisture.best().dry_share())
        ));
        self.assumed.settle(&mut answer);
        answer
    }
}
