//! Leaf in air, in sentences.

use gutta::matter::{Method, vapour};
use gutta::measure::{Density, Digits, Measured, Ratio, Scalar, Unit, quantity};
use gutta::{Caution, Estimate, Moisture};

use super::as_flag;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::curve::Curve;
use crate::say;
use crate::speak::keys;
use crate::speak::moisture::dried_out;

keys! {
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "the moisture that the leaf comes to, wet basis";
    WATER = "water_in_air": Shape::Quantity(JsonUnit::GramPerCubicMetre), "the water in that air";
    DEW = "dew_point": Shape::Quantity(JsonUnit::Celsius), "the temperature below which that air dews; left out below 0 °C";
}

/// The keys of `moisture air`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MOISTURE, &WATER],
    known: &[&DEW],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The relative humidity.
    pub humidity: Measured<Ratio>,
    /// The curve that is gone by.
    pub curve: Curve,
    /// Whether the leaf carries casing or humectant.
    pub is_cased: bool,
    /// What the mould line says.
    pub mould: Option<Caution>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// Whether the curve is for uncased leaf, and the leaf is cased.
    const fn is_bound(&self) -> bool {
        self.is_cased && self.curve.is_default
    }

    /// The answer, said.
    pub fn say(mut self, moisture: &Estimate<Moisture>) -> Answer {
        let leaf = self.curve.of_leaf();
        let humidity = say::base(self.humidity.value().base(), Unit::PERCENT);
        let mut answer = Answer::new(
            "moisture air",
            if self.is_bound() {
                format!(
                    "In air of {humidity} relative humidity uncased {leaf} comes to {} of total weight; cased leaf holds more.",
                    say::with_doubt(moisture, Unit::PERCENT)
                )
            } else {
                format!(
                    "In air of {humidity} relative humidity {leaf} comes to {} of total weight.",
                    say::with_doubt(moisture, Unit::PERCENT)
                )
            },
        );
        answer.check = dried_out(moisture);
        answer.put(&MOISTURE, moisture);
        of_air(&mut answer, &WATER, &DEW, &self.humidity, &self.curve);
        answer.doubt.push(format!(
            "the moisture {} (95\u{a0}%): {}",
            say::with_doubt(moisture, Unit::PERCENT),
            say::drivers(&answer.budget)
        ));
        if !self.is_bound() {
            answer.next.push(as_flag(moisture, Some(Method::Air)));
        }
        if self.curve.is_default {
            answer.next.push(OWN.to_owned());
        }
        self.assumed.line(AT_REST);
        answer.cautions = cautions(self.mould, self.is_cased);
        answer
            .working
            .push("X = A (a/(1 − a))^B at 22\u{a0}°C, m = X/(1 + X)".to_owned());
        self.assumed.settle(&mut answer);
        answer
    }
}

/// What makes a curve by default much surer.
pub const OWN: &str = "one reading of your own leaf at rest makes it much surer: --own \"60% 13.2% ± 0.3%\", the moisture by an oven dish";

/// What is taken for granted of leaf in air.
pub const AT_REST: &str = "leaf and air at rest, which takes days; leaf that has dried to it holds a little more than leaf that was wetted, and no figure is known";

/// The cautions of leaf in air.
pub fn cautions(mould: Option<Caution>, is_cased: bool) -> Vec<String> {
    let cased = is_cased.then_some(Caution::CasedLeaf);
    let all = mould.into_iter().chain(cased);
    all.map(|caution| caution.to_string()).collect()
}

/// What the air holds, and where it dews, with the doubt of its humidity.
pub fn of_air(
    answer: &mut Answer,
    water_key: &'static Key,
    dew_key: &'static Key,
    humidity: &Measured<Ratio>,
    curve: &Curve,
) {
    let temperature = curve.temperature.value();
    let name = "relative humidity";
    let water = humidity
        .through::<Density>(|h| vapour::absolute_humidity(h, temperature.lift()))
        .estimate(name);
    answer.put(water_key, &water);
    // A tenth of the doubt is no figure to be said.
    let loose = humidity.u() > 0.02 * humidity.value().base();
    let mut line = format!(
        "That air holds {} of water",
        JsonUnit::GramPerCubicMetre.said(water.best().base(), if loose { 2 } else { 3 })
    );
    if let Ok(dew) = vapour::dew_point(humidity.value(), temperature) {
        let u = vapour::dew_point_u(humidity, temperature);
        let dew = Measured::new(dew, u, humidity.dof()).estimate(name);
        answer.put(dew_key, &dew);
        let place = if loose { 1.0 } else { 0.1 };
        line += &format!(
            ", and dews below {}",
            quantity(dew.best().base(), Unit::CELSIUS, Digits::Place(place))
        );
    }
    answer.details.push(format!("{line}."));
}
