//! A dose by drops of a dilution, in sentences.

use gutta::bench::{CountedDilution, Diluted, Dilution, LeafBasis};
use gutta::measure::{DropMass, Mass, Ratio, Reading, Scalar, Unit, number};
use gutta::{Caution, Estimate};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);
const PER_KILOGRAM: Shape = Shape::Quantity(JsonUnit::GramPerKilogram);

keys! {
    FLAVOUR = "flavour_needed": GRAMS, "the flavouring that the dose asks for";
    NEAT_DROPS = "neat_drops": DROPS, "the same in drops of the flavouring itself, not rounded";
    STRENGTH = "strength": PERCENT, "the flavouring in the dilution, by mass";
    NEAT = "neat_to_weigh": GRAMS, "the flavouring to weigh for the dilution";
    CARRIER = "carrier_to_weigh": GRAMS, "the carrier to weigh for it";
    STOCK = "stock": GRAMS, "the dilution that it makes";
    DOSES = "doses": Shape::Number, "how many such doses are in it";
    DROPS_EXACT = "drops_exact": DROPS, "the dose in drops of the dilution, not rounded";
    WHOLE = "drops": DROPS, "the whole drops of the dilution; left out under one";
    MASS_REACHED = "mass_reached": GRAMS, "what the whole drops weigh, carrier and flavouring";
    DOSE_REACHED = "dose_reached": PER_KILOGRAM, "the dose they reach on leaf as weighed";
    DOSE_REACHED_DRY = "dose_reached_dry": PER_KILOGRAM, "the dose they reach on dry leaf";
    CARRIER_IN = "carrier_in_trial": GRAMS, "the carrier that comes with them";
    CARRIER_SHARE = "carrier_share": PERCENT, "that, over the leaf as weighed";
    MOISTURE = "moisture_after": PERCENT, "the moisture then, wet basis, the carrier's alcohol gone";
}

/// The keys of `gutta dilute`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&FLAVOUR, &STRENGTH, &DROPS_EXACT],
    known: &[
        &NEAT_DROPS,
        &NEAT,
        &CARRIER,
        &STOCK,
        &DOSES,
        &WHOLE,
        &MASS_REACHED,
        &DOSE_REACHED,
        &DOSE_REACHED_DRY,
        &CARRIER_IN,
        &CARRIER_SHARE,
        &MOISTURE,
    ],
}];

/// Below this strength, one part in two hundred, two steps take less carrier.
const WEAK: f64 = 0.005;

/// Everything that was typed, read.
pub struct Question {
    /// The dose, as it was typed.
    pub dose: Reading,
    /// The carrier's name, where it was said.
    pub carrier: Option<String>,
    /// The question to the library.
    pub dilution: Dilution,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(mut self, diluted: &Diluted) -> Answer {
        let voice = Voice::plain(self.dilution.scale);
        let carrier = self.carrier.clone();
        let carrier = carrier.as_deref().unwrap_or("carrier");
        let on = self.dilution.basis.name();
        let dose = self.dose.unbroken();
        let strength = say::figures(&diluted.strength, Unit::PERCENT, 4);
        let counted = diluted.counted.as_ref();
        let drops = counted.map(|counted| say::whole_drops(counted.drops));
        let headline = match (diluted.neat, diluted.carrier, &drops) {
            (Some(neat), Some(mass), Some(drops)) => format!(
                "Weigh {} of flavouring and {} of {carrier}: {drops} of that give {dose} {on}.",
                voice.mass_shown(neat),
                voice.mass_shown(mass)
            ),
            (_, _, Some(drops)) => format!(
                "{dose} {on} is {} of the {strength} dilution: {drops} reach {}.",
                say::drops(&diluted.drops_exact),
                counted.map_or_else(String::new, |counted| self.reached(counted))
            ),
            (_, _, None) => format!(
                "{dose} {on} is {} of the {strength} dilution, less than one: dilute it further.",
                say::drops(&diluted.drops_exact)
            ),
        };
        let mut answer = Answer::new("dilute", headline);
        let needed = say::figures(&diluted.flavour, Unit::GRAM, 3);
        answer.details.push(match &diluted.neat_drops {
            Some(neat) => format!(
                "The dose is {needed} of flavouring, {} of it neat.",
                say::drops(neat)
            ),
            None => format!("The dose is {needed} of flavouring."),
        });
        if let (Some(stock), Some(doses)) = (diluted.stock, diluted.whole_doses()) {
            answer.details.push(format!(
                "That makes {} of a {strength} dilution, enough for {} such doses.",
                voice.mass_shown(stock),
                number(doses, 0)
            ));
        }
        if let Some(counted) = counted {
            answer.details.push(brings(counted, carrier));
        }
        answer.check = match (diluted.stock, counted) {
            (Some(stock), _) => format!(
                "the scale reads {} with both in the bottle",
                voice.mass_shown(stock)
            ),
            (None, Some(counted)) => format!(
                "the scale then reads {} more",
                say::figures(&counted.mass, Unit::GRAM, 3)
            ),
            (None, None) => "nothing to weigh yet".to_owned(),
        };
        figures(&mut answer, diluted);
        doubt(&mut answer, self.dilution.basis, diluted);
        next(&mut answer, diluted);
        answer.cautions = [Caution::FoodGrade, Caution::Restricted]
            .iter()
            .map(ToString::to_string)
            .collect();
        if let Some(off) = diluted.too_fine {
            answer.cautions.insert(
                0,
                format!(
                    "the smaller of the two weighings may be off by {} on this scale: make more of it, or use a finer scale",
                    say::base(off.base(), Unit::PERCENT)
                ),
            );
        }
        if self.dilution.carrier.is_some() && self.dilution.at.is_some() {
            self.assumed
                .line("the flavouring itself brings no water; all alcohol leaves while it airs");
        }
        self.working(&mut answer, diluted);
        self.assumed.settle(&mut answer);
        answer
    }

    fn reached(&self, counted: &CountedDilution) -> String {
        let dry = counted.dose_dry.as_ref();
        match (self.dilution.basis, dry) {
            (LeafBasis::Dry, Some(dry)) => say::estimate(dry, Unit::GRAM_PER_KILOGRAM),
            _ => say::estimate(&counted.dose, Unit::GRAM_PER_KILOGRAM),
        }
    }

    fn working(&self, answer: &mut Answer, diluted: &Diluted) {
        let dilution = &self.dilution;
        let leaf = say::base(dilution.leaf.value().base(), Unit::GRAM);
        let dry = match (dilution.basis, &dilution.at) {
            (LeafBasis::Dry, Some(at)) => {
                format!(" × (1 − {})", say::base(at.value().base(), Unit::PERCENT))
            }
            _ => String::new(),
        };
        answer.working.push(format!(
            "flavouring = {} × {leaf}{dry} = {}",
            self.dose.unbroken(),
            say::figures(&diluted.flavour, Unit::GRAM, 4)
        ));
        let one = dilution.drop.weighed_mass().map(DropMass::mass);
        if let (Some(one), Some(neat), Some(counted)) = (one, diluted.neat, &diluted.counted) {
            let share = diluted.strength.best();
            answer.working.push(format!(
                "strength = flavouring / ({} × {}) = {}",
                say::whole_drops(counted.drops),
                say::base(one.base(), say::MILLIGRAM),
                say::base(share.base(), Unit::PERCENT)
            ));
            let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
            answer.working.push(format!(
                "dilution = {} / {} = {}",
                grams(neat),
                say::base(share.base(), Unit::PERCENT),
                grams(neat / share)
            ));
        }
    }
}

fn figures(answer: &mut Answer, diluted: &Diluted) {
    let mut mass = |key, mass: Option<Mass>| {
        if let Some(mass) = mass {
            answer.put_exact(key, mass.base());
        }
    };
    mass(&NEAT, diluted.neat);
    mass(&CARRIER, diluted.carrier);
    mass(&STOCK, diluted.stock);
    if let Some(doses) = diluted.doses {
        answer.put_number(&DOSES, doses);
    }
    answer.put(&FLAVOUR, &diluted.flavour);
    answer.put_if(&NEAT_DROPS, diluted.neat_drops.as_ref());
    answer.put(&STRENGTH, &diluted.strength);
    answer.put(&DROPS_EXACT, &diluted.drops_exact);
    if let Some(counted) = &diluted.counted {
        answer.put_exact(&WHOLE, counted.drops.count());
        answer.put(&MASS_REACHED, &counted.mass);
        answer.put(&DOSE_REACHED, &counted.dose);
        answer.put_if(&DOSE_REACHED_DRY, counted.dose_dry.as_ref());
        answer.put(&CARRIER_IN, &counted.carrier);
        answer.put(&CARRIER_SHARE, &counted.carrier_share);
        answer.put_if(&MOISTURE, counted.moisture.as_ref());
    }
}

fn doubt(answer: &mut Answer, basis: LeafBasis, diluted: &Diluted) {
    let said = diluted.counted.as_ref().and_then(|counted| {
        let what = "the dose reached";
        say::doubt_of_dose(what, basis, Some(&counted.dose), counted.dose_dry.as_ref())
    });
    answer.doubt.push(said.unwrap_or_else(|| {
        "not known: type it behind a figure, such as --dilution-drop \"29mg ± 1mg\"".to_owned()
    }));
}

/// What else the drops bring.
fn brings(counted: &CountedDilution, carrier: &str) -> String {
    let moisture = counted
        .moisture
        .as_ref()
        .map_or_else(String::new, |moisture| {
            format!(
                ", and bring the leaf to {} of moisture",
                say::estimate(moisture, Unit::PERCENT)
            )
        });
    format!(
        "{} bring {} of {carrier} too, {} of the leaf{moisture}.",
        say::whole_drops(counted.drops),
        say::figures(&counted.carrier, Unit::GRAM, 3),
        say::figures(&counted.carrier_share, Unit::PERCENT, 3),
    )
}

fn next(answer: &mut Answer, diluted: &Diluted) {
    let next = &mut answer.next;
    if diluted.neat.is_some() {
        next.push(
            "shake it well, label it with strength and date, and count 20 drops of it onto the scale: its own drop counts, not the carrier's"
                .to_owned(),
        );
    }
    let share = diluted.strength.best().base();
    if diluted.neat.is_some() && share < WEAK {
        next.push(format!(
            "so weak a dilution takes much carrier: dilute twice, first to {} and then that to {}",
            say::figures(
                &Estimate::exact(Ratio::of_base(share.sqrt())),
                Unit::PERCENT,
                2
            ),
            say::figures(&diluted.strength, Unit::PERCENT, 3)
        ));
    }
    if diluted.counted.is_none() {
        next.push("leave --strength out for a dilution that comes to whole drops".to_owned());
    }
    next.push("flavour only when the leaf is mixed; toss, rest, judge".to_owned());
}
