//! A hygrometer over salts, in sentences.

use gutta::Estimate;
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
    HUMIDITY = "humidity": PERCENT, "the reading put right";
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
    /// The checks, one or two.
    pub checked: Vec<Checked>,
    /// The reading to be put right, where one was asked about, and what it is.
    pub corrected: Option<(Measured<Ratio>, Corrected)>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self) -> Answer {
        let headline = match &self.corrected {
            Some((reading, right)) => format!(
                "A reading of {} is {} in truth: {}.",
                say::base(reading.value().base(), Unit::PERCENT),
                said(&right.humidity),
                signed(&right.correction)
            ),
            None => {
                let each: Vec<String> = self
                    .checked
                    .iter()
                    .map(|one| {
                        format!(
                            "{} over {}",
                            signed(&one.check.correction()),
                            one.salt.name()
                        )
                    })
                    .collect();
                format!("In truth it is {}.", each.join(", "))
            }
        };
        let mut answer = Answer::new("moisture hygrometer", headline);
        if let Some((_, right)) = &self.corrected {
            answer.put(&HUMIDITY, &right.humidity);
            answer.put(&CORRECTION, &right.correction);
        }
        for one in &self.checked {
            let should = one.check.should.estimate("salt");
            answer.details.push(format!(
                "Over {} it should show {}, and showed {}.",
                one.salt.name(),
                say::with_doubt(&should, Unit::PERCENT),
                say::base(one.check.shows.value().base(), Unit::PERCENT)
            ));
            answer.put(key(one.salt), &should);
        }
        answer.check = String::from("check it again over the salt, and in a season");
        if let Some((_, right)) = &self.corrected {
            answer.doubt.push(format!(
                "the humidity {} (95\u{a0}%): {}",
                say::with_doubt(&right.humidity, Unit::PERCENT),
                say::drivers(&answer.budget)
            ));
            answer.next.push(format!(
                "use it as --humidity \"{}\"",
                said(&right.humidity).replace("\u{a0}%", "%")
            ));
        } else {
            for one in &self.checked {
                answer.doubt.push(format!(
                    "over {} {} (95\u{a0}%)",
                    one.salt.name(),
                    say::with_doubt(&one.check.correction(), Unit::PERCENT).replace('%', "points")
                ));
            }
            answer
                .next
                .push("type a reading to be put right, such as --reads 60%".to_owned());
        }
        if self.checked.len() == 1 {
            answer.next.push("one check shifts every reading alike; a second salt on the other side of the reading does better".to_owned());
        }
        answer.cautions.push(DEFER.to_owned());
        answer
            .working
            .push("correction = should − shown; between two checks in a straight line".to_owned());
        self.assumed.settle(&mut answer);
        answer
    }
}

/// `1.6 points less`.
fn signed(correction: &Estimate<Ratio>) -> String {
    let less = correction.best().base() < 0.0;
    let size = if less {
        correction.negated()
    } else {
        correction.clone()
    };
    let (size, way) = (
        say::figures(&size, Unit::PERCENT, 2).replace('%', "points"),
        if less { "less" } else { "more" },
    );
    format!("{size} {way}")
}

fn said(humidity: &Estimate<Ratio>) -> String {
    if humidity.u() > 0.0 {
        say::with_doubt(humidity, Unit::PERCENT)
    } else {
        say::estimate(humidity, Unit::PERCENT)
    }
}
