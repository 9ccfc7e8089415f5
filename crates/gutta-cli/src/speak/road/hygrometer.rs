//! A hygrometer over salts, in sentences.

use gutta::matter::{Check, Corrected, Salt};
use gutta::measure::{Measured, Ratio, Scalar, Temperature, Unit};

use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say;
use crate::speak::keys;

const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    LICL = "lithium_chloride": PERCENT, "the relative humidity over saturated lithium chloride";
    MGCL = "magnesium_chloride": PERCENT, "the relative humidity over saturated magnesium chloride";
    KCO = "potassium_carbonate": PERCENT, "the relative humidity over saturated potassium carbonate";
    NACL = "sodium_chloride": PERCENT, "the relative humidity over saturated sodium chloride";
    KCL = "potassium_chloride": PERCENT, "the relative humidity over saturated potassium chloride";
    KSO = "potassium_sulfate": PERCENT, "the relative humidity over saturated potassium sulfate";
    CORRECTION = "correction": PERCENT, "what is added to the reading, in points";
    HUMIDITY = "humidity": PERCENT, "the reading put right; of the first check where none was asked about";
}

/// The keys of `moisture hygrometer`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[],
    known: &[
        &LICL,
        &MGCL,
        &KCO,
        &NACL,
        &KCL,
        &KSO,
        &CORRECTION,
        &HUMIDITY,
    ],
}];

const fn key(salt: Salt) -> &'static Key {
    match salt {
        Salt::LithiumChloride => &LICL,
        Salt::MagnesiumChloride => &MGCL,
        Salt::PotassiumCarbonate => &KCO,
        Salt::SodiumChloride => &NACL,
        Salt::PotassiumChloride => &KCL,
        Salt::PotassiumSulfate => &KSO,
    }
}

/// A check, with its salt.
pub struct Checked {
    /// The salt.
    pub salt: Salt,
    /// What was shown over it, and what should have been.
    pub check: Check,
}

/// What a hygrometer should read over each salt.
pub fn salts(temperature: &Measured<Temperature>, assumed: Assumed) -> Answer {
    let known: Vec<_> = Salt::ALL
        .into_iter()
        .filter_map(|salt| Some((salt, salt.humidity(temperature).ok()?)))
        .collect();
    let sodium = known.iter().find(|(salt, _)| *salt == Salt::SodiumChloride);
    let headline = match sodium {
        Some((_, humidity)) => format!(
            "Over saturated table salt a hygrometer should show {}.",
            say::with_doubt(humidity, Unit::PERCENT)
        ),
        None => "No salt is known at this temperature: 15 to 35\u{a0}°C are.".to_owned(),
    };
    let mut answer = Answer::new("moisture hygrometer", headline);
    for (salt, humidity) in &known {
        answer.details.push(format!(
            "{} ({}): {}.",
            salt.name(),
            salt.formula(),
            say::with_doubt(humidity, Unit::PERCENT)
        ));
        answer.put(key(*salt), humidity);
    }
    answer.check = String::from(
        "leave it a night in a closed box over a paste of the salt, at one temperature",
    );
    answer
        .next
        .push("type what it showed: gutta moisture hygrometer \"sodium chloride 77%\"".to_owned());
    answer.cautions.push(DEFER.to_owned());
    assumed.settle(&mut answer);
    answer
}

/// Salts are chemicals.
const DEFER: &str = "salts are for the box, not for the leaf: keep them apart from it, and read the label; lithium chloride is harmful";

/// Everything that was typed, read.
pub struct Question {
    /// The checks.
    pub checked: Vec<Checked>,
    /// The reading to be put right, where one was asked about.
    pub reading: Option<Measured<Ratio>>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, corrected: &Corrected) -> Answer {
        let correction = &corrected.correction;
        let signed = if correction.best().base() < 0.0 {
            say::figures(&correction.negated(), Unit::PERCENT, 2) + " less"
        } else {
            say::figures(correction, Unit::PERCENT, 2) + " more"
        };
        let signed = signed.replace('%', "points");
        let headline = match &self.reading {
            Some(reading) => format!(
                "A reading of {} is {} in truth: {signed}.",
                say::base(reading.value().base(), Unit::PERCENT),
                said(&corrected.humidity)
            ),
            None => format!("The air is at {signed} than this hygrometer shows."),
        };
        let mut answer = Answer::new("moisture hygrometer", headline);
        for one in &self.checked {
            answer.details.push(format!(
                "Over {} it should show {}, and showed {}.",
                one.salt.name(),
                say::with_doubt(&one.check.should.estimate("salt"), Unit::PERCENT),
                say::base(one.check.shows.value().base(), Unit::PERCENT)
            ));
            answer.put(key(one.salt), &one.check.should.estimate("salt"));
        }
        answer.put(&CORRECTION, correction);
        answer.put(&HUMIDITY, &corrected.humidity);
        // The budget is that of the figure that was asked for.
        answer.budget = say::budget(&corrected.humidity);
        answer.check = String::from("check it again over the salt, and in a season");
        if correction.u() > 0.0 {
            answer.doubt.push(format!(
                "the correction {} (95\u{a0}%): {}",
                say::with_doubt(correction, Unit::PERCENT).replace('%', "points"),
                say::drivers(&say::budget(correction))
            ));
        }
        answer.next.push(match self.checked.len() {
            1 => "one check shifts every reading alike; a second salt on the other side of the reading does better".to_owned(),
            _ => format!(
                "use it as --humidity \"{}\"",
                said(&corrected.humidity).replace("\u{a0}%", "%")
            ),
        });
        answer.cautions.push(DEFER.to_owned());
        answer
            .working
            .push("correction = should − shown; between two checks in a straight line".to_owned());
        self.assumed.settle(&mut answer);
        answer
    }
}

fn said(humidity: &gutta::Estimate<Ratio>) -> String {
    if humidity.u() > 0.0 {
        say::with_doubt(humidity, Unit::PERCENT)
    } else {
        say::estimate(humidity, Unit::PERCENT)
    }
}
