//! A dose by drops of a dilution, in sentences.

use gutta::bench::{
    CountedDilution, Diluted, Dilution, DoseAsWeighed, DoseDry, LeafBasis, TwoSteps, USUAL_DROPS,
};
use gutta::matter::Part;
use gutta::measure::{Drops, Mass, Reading, Scalar, Unit, number};
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
    BASIS = "basis": Shape::Word(&["as-weighed", "dry"]), "what the dose is counted on";
    DOSE_REACHED = "dose_reached": PER_KILOGRAM, "the dose that the whole drops reach on leaf as weighed";
    DOSE_REACHED_DRY = "dose_reached_dry": PER_KILOGRAM, "the dose that they reach on dry leaf";
    DROPS_EXACT = "drops_exact": DROPS, "the dose in drops of the dilution, not rounded";
    WHOLE = "drops": DROPS, "the whole drops of the dilution; left out under one";
    FLAVOUR = "flavour_needed": GRAMS, "the flavouring that the dose asks for";
    NEAT_DROPS = "neat_drops": DROPS, "the same in drops of the flavouring itself, not rounded";
    NEAT_COUNT = "neat_count": DROPS, "whole drops of it that come near enough: nothing need be diluted";
    NEAT_REACHED = "neat_dose_reached": PER_KILOGRAM, "the dose that those reach on leaf as weighed";
    NEAT_REACHED_DRY = "neat_dose_reached_dry": PER_KILOGRAM, "the dose that those reach on dry leaf";
    STRENGTH = "strength": PERCENT, "the flavouring in the dilution, by mass";
    NEAT = "neat_to_weigh": GRAMS, "the flavouring to weigh for the dilution";
    BOTTLE = "bottle_to_weigh": GRAMS, "of a dilution that is there and too strong, what to weigh for a weaker one";
    WEAKER = "weaker_strength": PERCENT, "the flavouring in that weaker one, by mass";
    CARRIER = "carrier_to_weigh": GRAMS, "the carrier to weigh for the dilution, or for the weaker one";
    STOCK = "stock": GRAMS, "the dilution that it makes";
    DOSES = "doses": Shape::Number, "how many such doses are in it";
    MASS_REACHED = "mass_reached": GRAMS, "what the whole drops weigh, carrier and flavouring";
    CARRIER_IN = "carrier_in_trial": GRAMS, "the carrier that comes with them";
    CARRIER_SHARE = "carrier_share": PERCENT, "that, over the leaf as weighed";
    MOISTURE = "moisture_after": PERCENT, "the moisture then, wet basis, the carrier's alcohol gone";
}

/// The keys of `gutta dilute`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&BASIS, &DROPS_EXACT, &FLAVOUR, &STRENGTH],
    known: &[
        &DOSE_REACHED,
        &DOSE_REACHED_DRY,
        &WHOLE,
        &NEAT_DROPS,
        &NEAT_COUNT,
        &NEAT_REACHED,
        &NEAT_REACHED_DRY,
        &NEAT,
        &BOTTLE,
        &WEAKER,
        &CARRIER,
        &STOCK,
        &DOSES,
        &MASS_REACHED,
        &CARRIER_IN,
        &CARRIER_SHARE,
        &MOISTURE,
    ],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The dose, as it was typed.
    pub dose: Reading,
    /// The leaf, as it was typed.
    pub leaf: Reading,
    /// The flags that say how a dose is counted on it.
    pub counted_on: String,
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
        let by_dilution = self.by_dilution(voice, diluted);
        let needed = say::figures(&diluted.flavour, Unit::GRAM, 3);
        let mut answer = match &diluted.neat_counted {
            Some(neat) => {
                let headline = format!(
                    "Count {} of the flavouring itself, which {} {} {}: no dilution is needed.",
                    say::whole_drops(neat.drops),
                    say::of_count(neat.drops.count(), "reaches", "reach"),
                    self.reached(&neat.dose, neat.dose_dry.as_ref()),
                    self.dilution.basis.name()
                );
                let mut answer = Answer::new("dilute", headline);
                let all_the_same = by_dilution.replacen("Weigh", "weigh", 1);
                let line = format!("Diluted all the same: {all_the_same}");
                answer.details.push(line);
                answer
            }
            None => Answer::new("dilute", by_dilution),
        };
        answer.details.push(match &diluted.neat_drops {
            Some(neat) => format!(
                "The dose is {needed} of flavouring, {} of it neat.",
                say::drops(neat)
            ),
            None => format!("The dose is {needed} of flavouring."),
        });
        self.stock(&mut answer, voice, diluted);
        if let Some(counted) = &diluted.counted {
            answer.details.push(brings(counted, self.carrier()));
        }
        answer.check = check(voice, diluted);
        self.figures(&mut answer, diluted);
        doubt(&mut answer, self.dilution.basis, diluted);
        self.next(&mut answer, voice, diluted);
        answer.cautions = self.cautions(voice, diluted);
        let parts = self.dilution.carrier.as_ref();
        if let Some(parts) = parts.filter(|_| self.dilution.at.is_some()) {
            let alcohol = parts.share(Part::Alcohol).base() > 0.0;
            self.assumed.line(if alcohol {
                "the flavouring itself brings no water; all alcohol leaves while it airs"
            } else {
                "the flavouring itself brings no water"
            });
        }
        self.working(&mut answer, diluted);
        self.assumed.settle(&mut answer);
        answer
    }

    /// The carrier, by its name where it was said.
    fn carrier(&self) -> &str {
        self.carrier.as_deref().unwrap_or("carrier")
    }

    /// What to weigh and to count.
    fn by_dilution(&self, voice: Voice, diluted: &Diluted) -> String {
        let carrier = self.carrier();
        let on = self.dilution.basis.name();
        let dose = self.dose.unbroken();
        let strength = say::figures(&diluted.strength, Unit::PERCENT, 4);
        let exactly = say::drops(&diluted.drops_exact);
        match (diluted.neat.zip(diluted.carrier), &diluted.counted) {
            (Some((neat, mass)), Some(counted)) => format!(
                "Weigh {} of flavouring and {} of {carrier}: {} of that {} {dose} {on}.",
                voice.mass_shown(neat),
                voice.mass_shown(mass),
                say::whole_drops(counted.drops),
                say::of_count(counted.drops.count(), "gives", "give"),
            ),
            (_, Some(counted)) => format!(
                "{dose} {on} is {exactly} of the {strength} dilution: {} {} {}.",
                say::whole_drops(counted.drops),
                say::of_count(counted.drops.count(), "reaches", "reach"),
                self.reached(&counted.dose, counted.dose_dry.as_ref())
            ),
            (_, None) => {
                let then = match &diluted.weaker {
                    Some(weaker) => format!(
                        "weigh {} of it and {} of {carrier}, and {} of that give the dose",
                        voice.mass_shown(weaker.bottle),
                        voice.mass_shown(weaker.carrier),
                        say::whole_drops(Drops::new(USUAL_DROPS))
                    ),
                    None => "it is too strong for that".to_owned(),
                };
                format!(
                    "{dose} {on} is {exactly} of the {strength} dilution, less than one: {then}."
                )
            }
        }
    }

    /// What is made of it.
    fn stock(&self, answer: &mut Answer, voice: Voice, diluted: &Diluted) {
        let strength = say::figures(&diluted.strength, Unit::PERCENT, 4);
        if let (Some(stock), Some(doses)) = (diluted.stock, diluted.whole_doses()) {
            answer.details.push(format!(
                "That makes {} of {} dilution, enough for {} such {}.",
                voice.mass_shown(stock),
                say::with_article(&strength),
                number(doses, 0),
                say::of_count(doses, "dose", "doses")
            ));
        }
        if let Some(weaker) = &diluted.weaker {
            let share = say::base(weaker.strength.base(), Unit::PERCENT);
            answer.details.push(format!(
                "That makes {} of {} dilution, its drops taken as large as these.",
                voice.mass_shown(weaker.bottle + weaker.carrier),
                say::with_article(&share)
            ));
        }
        let least = self.dilution.scale.map(|scale| {
            let least = scale.least_weighing(self.dilution.tolerance);
            voice.mass_shown(least)
        });
        if let Some(least) = least.filter(|_| diluted.for_the_carrier) {
            answer.details.push(format!(
                "The flavouring is more than the {least} that the scale weighs within {}, so that the carrier is weighed as well.",
                say::base(self.dilution.tolerance.base(), Unit::PERCENT)
            ));
        }
    }

    fn reached(&self, dose: &Estimate<DoseAsWeighed>, dry: Option<&Estimate<DoseDry>>) -> String {
        match (self.dilution.basis, dry) {
            (LeafBasis::Dry, Some(dry)) => say::estimate(dry, Unit::GRAM_PER_KILOGRAM),
            _ => say::estimate(dose, Unit::GRAM_PER_KILOGRAM),
        }
    }

    /// The dose reached comes first: it is what the doubt is about.
    fn figures(&self, answer: &mut Answer, diluted: &Diluted) {
        let counted = diluted.counted.as_ref();
        let dry = counted.and_then(|counted| counted.dose_dry.as_ref());
        let as_weighed = counted.map(|counted| &counted.dose);
        match self.dilution.basis {
            LeafBasis::AsWeighed => {
                answer.put_word(&BASIS, "as-weighed");
                answer.put_if(&DOSE_REACHED, as_weighed);
                answer.put_if(&DOSE_REACHED_DRY, dry);
            }
            LeafBasis::Dry => {
                answer.put_word(&BASIS, "dry");
                answer.put_if(&DOSE_REACHED_DRY, dry);
                answer.put_if(&DOSE_REACHED, as_weighed);
            }
        }
        answer.put(&DROPS_EXACT, &diluted.drops_exact);
        if let Some(counted) = counted {
            answer.put_exact(&WHOLE, counted.drops.count());
        }
        answer.put(&FLAVOUR, &diluted.flavour);
        answer.put_if(&NEAT_DROPS, diluted.neat_drops.as_ref());
        if let Some(neat) = &diluted.neat_counted {
            answer.put_exact(&NEAT_COUNT, neat.drops.count());
            answer.put(&NEAT_REACHED, &neat.dose);
            answer.put_if(&NEAT_REACHED_DRY, neat.dose_dry.as_ref());
        }
        answer.put(&STRENGTH, &diluted.strength);
        let weaker = diluted.weaker.as_ref();
        if let Some(weaker) = weaker {
            answer.put_exact(&BOTTLE, weaker.bottle.base());
            answer.put_exact(&WEAKER, weaker.strength.base());
        }
        let mut mass = |key, mass: Option<Mass>| {
            if let Some(mass) = mass {
                answer.put_exact(key, mass.base());
            }
        };
        mass(&NEAT, diluted.neat);
        mass(&CARRIER, diluted.carrier.or(weaker.map(|w| w.carrier)));
        mass(
            &STOCK,
            diluted.stock.or(weaker.map(|w| w.bottle + w.carrier)),
        );
        if let Some(doses) = diluted.doses {
            answer.put_number(&DOSES, doses);
        }
        if let Some(counted) = counted {
            answer.put(&MASS_REACHED, &counted.mass);
            answer.put(&CARRIER_IN, &counted.carrier);
            answer.put(&CARRIER_SHARE, &counted.carrier_share);
            answer.put_if(&MOISTURE, counted.moisture.as_ref());
        }
    }

    fn cautions(&self, voice: Voice, diluted: &Diluted) -> Vec<String> {
        let scale = self.dilution.scale;
        let mut cautions = Vec::new();
        if let Some(carrier) = diluted.carrier.filter(|_| diluted.is_too_much()) {
            cautions.push(format!(
                "{} of carrier is more than anybody makes for a count of drops: {}",
                say::base(carrier.base(), Unit::KILOGRAM),
                match diluted.two_steps {
                    Some(_) => "dilute twice",
                    None => "weigh less flavouring, or take fewer drops",
                }
            ));
        }
        if let Some((off, well)) = diluted.too_fine.zip(diluted.well_weighed) {
            cautions.push(format!(
                "the smaller of the two weighings may be off by {} on this scale: weigh {} of flavouring or more, or use a finer scale",
                say::base(off.base(), Unit::PERCENT),
                voice.mass_shown(well)
            ));
        }
        let leaf = [("leaf", self.dilution.leaf.value())];
        let tolerance = self.dilution.tolerance;
        cautions.extend(say::below_least_within(leaf, scale, tolerance));
        let always = [Caution::FoodGrade, Caution::Restricted];
        cautions.extend(always.iter().map(ToString::to_string));
        cautions
    }

    fn next(&self, answer: &mut Answer, voice: Voice, diluted: &Diluted) {
        let next = &mut answer.next;
        if diluted.neat.is_some() || diluted.weaker.is_some() {
            next.push(
                "shake it well, label it with strength and date, and count 20 drops of it onto the scale: its own drop counts, not the carrier's"
                    .to_owned(),
            );
        }
        if let Some(steps) = &diluted.two_steps {
            next.push(self.twice(voice, steps));
        }
        if diluted.counted.is_none() && diluted.weaker.is_none() {
            next.push("leave --strength out for a dilution that comes to whole drops".to_owned());
        }
        match (&self.carrier, &self.dilution.carrier, &self.dilution.at) {
            (Some(carrier), Some(_), None) => {
                // A moisture alone would put the dose on dry leaf.
                let basis = if self.counted_on.contains("--basis") {
                    ""
                } else {
                    " --basis as-weighed"
                };
                next.push(format!(
                    "to see what {carrier} does to the moisture of the leaf, type that too, such as --at 12%{basis}"
                ));
            }
            (Some(carrier), None, _) => next.push(format!(
                "it is not known what is in {carrier}, nor what it does to the moisture: write its shares by mass into liquids.toml"
            )),
            _ => {}
        }
        next.push("flavour only when the leaf is mixed; toss, rest, judge".to_owned());
    }

    /// A dilution of a dilution, and what to type for the second.
    fn twice(&self, voice: Voice, steps: &TwoSteps) -> String {
        let dose = say::base(self.dose.base() * steps.parts, Unit::GRAM_PER_KILOGRAM);
        format!(
            "so weak a dilution takes much carrier: dilute twice, first {} of flavouring with {} of {}, 1 in {}; then, with that as the flavouring: gutta dilute \"{}\" --leaf {}{} --dilution-drop … --scale …",
            voice.mass_shown(steps.neat),
            voice.mass_shown(steps.carrier),
            self.carrier(),
            number(steps.parts, 0),
            dose.replace('\u{a0}', " "),
            say::typeable(&self.leaf),
            self.counted_on
        )
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
        let share = diluted.strength.best();
        let percent = |share: f64| say::base(share, Unit::PERCENT);
        if let (Some(neat), Some(counted)) = (diluted.neat, &diluted.counted) {
            answer.working.push(format!(
                "strength = flavouring / ({} × {}) = {}",
                say::whole_drops(counted.drops),
                say::base(diluted.one.best().base(), say::MILLIGRAM),
                percent(share.base())
            ));
            let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
            answer.working.push(format!(
                "dilution = {} / {} = {}",
                grams(neat),
                percent(share.base()),
                grams(neat / share)
            ));
        }
        if let Some(weaker) = &diluted.weaker {
            answer.working.push(format!(
                "weaker strength = {} × {} / {} = {}",
                percent(share.base()),
                say::drops(&diluted.drops_exact),
                say::whole_drops(Drops::new(USUAL_DROPS)),
                percent(weaker.strength.base())
            ));
        }
    }
}

/// What a person can verify on the scale.
fn check(voice: Voice, diluted: &Diluted) -> String {
    let weaker = diluted.weaker.as_ref();
    let stock = diluted.stock.or(weaker.map(|w| w.bottle + w.carrier));
    match (stock, &diluted.counted) {
        (Some(stock), _) => format!(
            "the scale reads {} with both in the bottle",
            voice.mass_shown(stock)
        ),
        (None, Some(counted)) => format!(
            "the scale then reads {} more",
            say::figures(&counted.mass, Unit::GRAM, 3)
        ),
        (None, None) => "nothing to weigh yet".to_owned(),
    }
}

/// The doubt of the first figure that has one, in the order of the answer's keys.
fn doubt(answer: &mut Answer, basis: LeafBasis, diluted: &Diluted) {
    let counted = diluted.counted.as_ref();
    let other = match basis {
        LeafBasis::Dry => LeafBasis::AsWeighed,
        LeafBasis::AsWeighed => LeafBasis::Dry,
    };
    let reached = |basis| {
        let counted = counted?;
        let what = "the dose reached";
        say::doubt_of_dose(what, basis, Some(&counted.dose), counted.dose_dry.as_ref())
    };
    let neat = diluted.neat_drops.as_ref();
    let moisture = counted.and_then(|counted| counted.moisture.as_ref());
    let said = reached(basis)
        .or_else(|| reached(other))
        .or_else(|| say::doubt_of("the drops", &diluted.drops_exact, Unit::DROP))
        .or_else(|| say::doubt_of("the flavouring", &diluted.flavour, Unit::GRAM))
        .or_else(|| say::doubt_of("the drops neat", neat?, Unit::DROP))
        .or_else(|| say::doubt_of("the moisture after", moisture?, Unit::PERCENT));
    answer.doubt.push(said.unwrap_or_else(|| {
        "not known: type it behind a figure, such as --dilution-drop \"29mg ± 1mg\"".to_owned()
    }));
}

/// What else the drops bring.
fn brings(counted: &CountedDilution, carrier: &str) -> String {
    let brings = say::of_count(counted.drops.count(), "brings", "bring");
    let moisture = counted
        .moisture
        .as_ref()
        .map_or_else(String::new, |moisture| {
            format!(
                ", and {brings} the leaf to {} of moisture",
                say::estimate(moisture, Unit::PERCENT)
            )
        });
    format!(
        "{} {brings} {} of {carrier} too, {} of the leaf{moisture}.",
        say::whole_drops(counted.drops),
        say::figures(&counted.carrier, Unit::GRAM, 3),
        say::figures(&counted.carrier_share, Unit::PERCENT, 3),
    )
}
