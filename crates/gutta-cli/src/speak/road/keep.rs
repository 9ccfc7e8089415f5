//! What air keeps leaf, in sentences.

use gutta::matter::KeptBy;
use gutta::matter::sorption::Equivalent;
use gutta::measure::{Digits, Measured, Ratio, Reading, Scalar, Temperature, Unit, quantity};
use gutta::{Estimate, Moisture};

use super::air::{AT_REST, OWN, cautions, of_air};
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::curve::Curve;
use crate::say;
use crate::speak::keys;

keys! {
    FIGURE = "figure": Shape::Word(&["below", "within", "above"]), "whether the humidity is within 35 to 75 %, where the curves are known";
    HUMIDITY = "humidity": Shape::Quantity(JsonUnit::Percent), "the relative humidity that keeps the leaf at its moisture";
    WATER = "water_in_air": Shape::Quantity(JsonUnit::GramPerCubicMetre), "the water in that air";
    DEW = "dew_point": Shape::Quantity(JsonUnit::Celsius), "the temperature below which that air dews; left out below 0 °C";
}

/// The keys of `moisture keep`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&FIGURE],
    known: &[&HUMIDITY, &WATER, &DEW],
}];

/// How much warmer or cooler a jar is looked at: a day in summer and in winter.
const OTHERWISE: f64 = 10.0;

/// Everything that was typed, read.
pub struct Question {
    /// The moisture, as it was typed.
    pub reading: Reading,
    /// The moisture.
    pub moisture: Measured<Moisture>,
    /// The curve that is gone by.
    pub curve: Curve,
    /// Whether the leaf carries casing or humectant.
    pub is_cased: bool,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(mut self, air: &Equivalent) -> Answer {
        let (leaf, at) = (self.curve.of_leaf(), self.reading.unbroken_value());
        let (word, headline) = match air {
            Equivalent::Within(humidity) => (
                "within",
                if self.is_cased && self.curve.is_default {
                    format!(
                        "Air of {} relative humidity keeps uncased {leaf} at {at}; cased leaf keeps drier air.",
                        say::with_doubt(humidity, Unit::PERCENT)
                    )
                } else {
                    format!(
                        "Air of {} relative humidity keeps {leaf} at {at}.",
                        say::with_doubt(humidity, Unit::PERCENT)
                    )
                },
            ),
            Equivalent::Below => (
                "below",
                format!(
                    "At {at} {leaf} keeps air below 35\u{a0}% relative humidity, where no curve is known."
                ),
            ),
            Equivalent::Above => (
                "above",
                format!(
                    "At {at} {leaf} keeps air above 75\u{a0}% relative humidity, where no curve is known."
                ),
            ),
        };
        let mut answer = Answer::new("moisture keep", headline);
        answer.check = match air.estimate() {
            Some(humidity) => format!(
                "a checked hygrometer in the closed jar comes to {}",
                say::figures(humidity, Unit::PERCENT, 2)
            ),
            None => "a checked hygrometer in the closed jar shows it".to_owned(),
        };
        answer.put_word(&FIGURE, word);
        if let Some(humidity) = air.estimate() {
            answer.put(&HUMIDITY, humidity);
            of_air(&mut answer, &WATER, &DEW, &humidity.measured(), &self.curve);
            self.elsewhere(&mut answer);
            if humidity.u() > 0.0 {
                answer.doubt.push(format!(
                    "the humidity {} (95\u{a0}%): {}",
                    say::with_doubt(humidity, Unit::PERCENT),
                    say::drivers(&answer.budget)
                ));
            } else {
                answer.doubt.push(say::DOUBT_NOT_KNOWN.to_owned());
            }
        }
        if self.curve.is_default {
            answer.next.push(OWN.to_owned());
        }
        self.assumed.line(AT_REST);
        answer.cautions = cautions(air.mould_line(), self.is_cased);
        answer
            .working
            .push("y = (X/A)^(1/B), a = y/(1 + y) at 22\u{a0}°C, X = m/(1 − m)".to_owned());
        self.assumed.settle(&mut answer);
        answer
    }

    /// What the same jar shows warmer and cooler.
    fn elsewhere(&self, answer: &mut Answer) {
        let at = |by: f64| -> Option<String> {
            let there = Temperature::of_base(self.curve.temperature.value().base() + by);
            let kept = KeptBy::new(
                self.curve.isotherm.clone(),
                Measured::exact(self.moisture.value()),
                Measured::exact(there),
            );
            let humidity: Estimate<Ratio> = kept.humidity().ok()?.estimate()?.clone();
            Some(format!(
                "{} at {}",
                quantity(humidity.best().base(), Unit::PERCENT, Digits::Place(0.01)),
                say::base(there.base(), Unit::CELSIUS)
            ))
        };
        let said: Vec<String> = [OTHERWISE, -OTHERWISE].into_iter().filter_map(at).collect();
        if !said.is_empty() {
            answer.details.push(format!(
                "The same closed jar shows {}: the reading moves with the temperature, the leaf hardly.",
                said.join(", ")
            ));
        }
    }
}
