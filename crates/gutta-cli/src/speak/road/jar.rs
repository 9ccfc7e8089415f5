//! A jar weighed again, in sentences.

use gutta::matter::{Method, Weighed};
use gutta::measure::{Mass, Reading, Scalar, Scale, Unit};
use gutta::{Caution, Moisture};

use super::as_flag;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};
use crate::speak::{keys, mould};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "the moisture now, wet basis";
    DRY = "dry_matter": GRAMS, "the dry matter in the jar";
    NET = "final_mass": GRAMS, "the leaf in the jar now";
    LOST = "water_lost": GRAMS, "the water that has gone; negative where some has come";
    WATER = "water": GRAMS, "the water that restores the moisture wanted; negative where water must go";
    GROSS = "final_gross": GRAMS, "what the scale shows at the moisture wanted, with the jar where there is a tare";
}

/// The keys of `moisture jar`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &DRY, &NET, &LOST],
    known: &[&WATER, &GROSS],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The jar then.
    pub then: Weight,
    /// The moisture then, as it was typed.
    pub at: Reading,
    /// The moisture wanted, as it was typed.
    pub to: Option<Reading>,
    /// Whether the jar stands on the scale.
    pub has_tare: bool,
    /// The scale, where it is known.
    pub scale: Option<Scale>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, weighed: &Weighed) -> Answer {
        let voice = Voice::of(&self.then.reading, self.scale);
        let moisture = say::estimate(&weighed.moisture, Unit::PERCENT);
        let lost = weighed.lost.best();
        let went = if lost.base() == 0.0 {
            "no water has gone or come".to_owned()
        } else if lost.base() < 0.0 {
            format!(
                "{} of water has come",
                voice.weight(&weighed.lost.negated())
            )
        } else {
            format!("{} of water has gone", voice.weight(&weighed.lost))
        };
        let headline = format!(
            "The leaf is at {moisture} now: {went} since it was at {}.",
            self.at.unbroken_value()
        );
        let mut answer = Answer::new("moisture jar", headline);
        answer.check = format!(
            "{} of leaf in the jar, {} of it dry matter that stays",
            voice.reading(&weighed.net),
            voice.weight(&weighed.dry_matter)
        );
        answer.put(&MOISTURE, &weighed.moisture);
        answer.put(&DRY, &weighed.dry_matter);
        answer.put(&NET, &weighed.net);
        answer.put(&LOST, &weighed.lost);
        if let (Some(to), Some(water), Some(reading)) = (&self.to, &weighed.water, &weighed.reading)
        {
            answer.put(&WATER, water);
            answer.put(&GROSS, reading);
            let shows = format!(
                "until the scale shows {}{}",
                voice.reading(reading),
                if self.has_tare { " with the jar" } else { "" }
            );
            let best: Mass = water.best();
            answer.details.push(if best.base() < 0.0 {
                format!(
                    "To {}: dry it by {}, {shows}.",
                    to.unbroken(),
                    voice.weight(&water.negated())
                )
            } else {
                format!(
                    "To {}: add {}, {shows}.",
                    to.unbroken(),
                    voice.weight(water)
                )
            });
        }
        if weighed.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture {} (95\u{a0}%): {}",
                say::with_doubt(&weighed.moisture, Unit::PERCENT),
                say::drivers(&answer.budget)
            ));
        } else {
            answer.doubt.push(say::DOUBT_NOT_KNOWN.to_owned());
        }
        let method = self.assumed.method_by(Method::Jar);
        answer.next.push(as_flag(&weighed.moisture, Some(method)));
        if self.assumed.is_upper_bound() && self.to.is_some() {
            answer.next.push(
                "the moisture then was an upper bound, and so is this: water to add is the least, to lose the most; check"
                    .to_owned(),
            );
        }
        answer.cautions = vec![Caution::WetLeaf.to_string()];
        // The wetter of what it is at and what is wanted.
        let wanted = self
            .to
            .as_ref()
            .and_then(|to| Moisture::read_target(to).ok());
        let kept_at = wanted.filter(|to| *to > weighed.moisture.best());
        answer.cautions.extend(mould(
            kept_at.unwrap_or(weighed.moisture.best()),
            self.assumed.is_upper_bound(),
        ));
        answer.working.push(format!(
            "m = 1 − dry matter / net now = 1 − {} / {} = {moisture}",
            voice.mass(weighed.dry_matter.best()),
            voice.mass(weighed.net.best())
        ));
        self.assumed.settle(&mut answer);
        answer
    }
}
