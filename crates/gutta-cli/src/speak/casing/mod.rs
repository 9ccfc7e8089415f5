//! Casing in sentences: what to weigh out, and each stage on the scale.

mod open;
mod working;

pub use open::Open;

use gutta::bench::{Cased, Casing, InBulk, LeafBasis, OnScale, Rate};
use gutta::measure::{Basis, Mass, Reading, Scalar, Scale, Unit};
use gutta::{Caution, Estimate, Moisture};

use super::{keys, mould};
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    RATE = "rate": Shape::Word(&["named", "open"]), "whether the rate is named in full, or several readings are open";
    RATE_OF = "rate_of": Shape::Word(&["liquid", "solids"]), "what of the casing the rate counts";
    BASIS = "basis": Shape::Word(&["as-weighed", "dry"]), "the leaf that the rate is counted on";
    CASING = "casing": GRAMS, "the casing to weigh out";
    SOLIDS = "casing_solids": GRAMS, "its solids: all but water and alcohol";
    WATER = "casing_water": GRAMS, "the water that it brings";
    PARTS = "parts": Shape::Quantities(JsonUnit::Gram), "what to weigh of each ingredient, where there are several";
    AFTER = "moisture_after": PERCENT, "the moisture of the cased leaf, wet basis, carrier gone";
    MASS_AFTER = "mass_after": GRAMS, "the mass of the cased leaf, carrier gone";
    GROSS_AFTER = "gross_after": GRAMS, "the mass of the cased leaf, carrier gone, with the tray";
    AT_ONCE = "mass_at_once": GRAMS, "the mass right after casing, carrier still there";
    GROSS_AT_ONCE = "gross_at_once": GRAMS, "the mass right after casing, with the tray";
    BULK_WATER = "bulk_water": GRAMS, "the water to add to the bulking moisture; 0 when the casing has brought enough";
    BULK_MOISTURE = "bulk_moisture": Shape::Quantity(JsonUnit::Percent), "the moisture in bulk, with the water as it is weighed out, wet basis";
    BULK_MASS = "bulk_mass": GRAMS, "the mass in bulk, with the water as it is weighed out";
    BULK_GROSS = "bulk_gross": GRAMS, "the mass in bulk, with the tray";
    FINAL = "final_mass": GRAMS, "the mass to stop at when it is dried back";
    FINAL_GROSS = "final_gross": GRAMS, "the mass to stop at, with the tray";
    TO_LOSE = "water_to_lose": GRAMS, "the water to dry off for it";
    READINGS = "readings": Shape::Rows { always: &[&RATE_OF, &BASIS, &CASING, &AFTER], known: &[] }, "each reading of the rate that is left open";
}

/// The keys of a rate that is named in full, and of one that is not.
pub static FORMS: &[Form] = &[
    Form {
        word: Some("named"),
        always: &[
            &RATE,
            &RATE_OF,
            &BASIS,
            &CASING,
            &SOLIDS,
            &WATER,
            &AFTER,
            &MASS_AFTER,
        ],
        known: &[
            &PARTS,
            &GROSS_AFTER,
            &AT_ONCE,
            &GROSS_AT_ONCE,
            &BULK_WATER,
            &BULK_MOISTURE,
            &BULK_MASS,
            &BULK_GROSS,
            &FINAL,
            &FINAL_GROSS,
            &TO_LOSE,
        ],
    },
    Form {
        word: Some("open"),
        always: &[&RATE, &READINGS],
        known: &[],
    },
];

/// Everything that was typed, read.
pub struct Question {
    /// The leaf, where it was weighed.
    pub leaf: Weight,
    /// The moisture now, as it was typed.
    pub at: Reading,
    /// The rate, as it was typed.
    pub rate: String,
    /// The bulking moisture, as it was typed.
    pub bulk: Option<Reading>,
    /// The moisture to dry back to, as it was typed.
    pub to: Option<Reading>,
    /// The question to the library.
    pub casing: Casing,
    /// The scale, where it is known.
    pub scale: Option<Scale>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

const fn of_word(rate: Rate) -> &'static str {
    rate.of.name()
}

const fn basis_word(rate: Rate) -> &'static str {
    match rate.basis {
        LeafBasis::AsWeighed => "as-weighed",
        LeafBasis::Dry => "dry",
    }
}

/// `liquid on leaf as weighed`.
fn in_words(rate: Rate) -> String {
    let leaf = match rate.basis {
        LeafBasis::AsWeighed => "leaf as weighed",
        LeafBasis::Dry => "dry leaf",
    };
    format!("{} on {leaf}", of_word(rate))
}

/// A moisture that is off by more than this, at 95 %, is too loosely known to be
/// watered to at once: the target band of a point.
const LOOSE: f64 = 0.01;

/// From so many of its steps on a mass is said as the scale shows it: rounded to
/// fewer, what goes into a casing would not add up to it.
const STEPS: f64 = 20.0;

/// The moisture of the leaf, as the library calls it in a budget.
const MOISTURE_NOW: &str = "moisture now";

/// What makes the moisture in bulk loose: what was measured, or the scale.
fn why_loose(bulk: &InBulk) -> &'static str {
    let budget = say::budget(&bulk.moisture);
    let worst = budget.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    if worst.is_some_and(|(input, _)| input == MOISTURE_NOW) {
        "loosely is the moisture known"
    } else {
        "coarsely is it weighed"
    }
}

/// Whether leaf that is at the bulking moisture is there within its doubt, too.
fn is_reached(bulk: &InBulk, wanted: &Reading) -> bool {
    bulk.moisture.best().base() - say::half_width(&bulk.moisture) >= wanted.base()
}

impl Question {
    fn voice(&self) -> Voice {
        Voice::of(&self.leaf.reading, self.scale)
    }

    /// `2500 g of leaf at 12.5 %`, as they were typed.
    fn leaf_now(&self) -> String {
        format!(
            "{} of leaf at {}",
            self.leaf.reading.unbroken_value(),
            self.at.unbroken_value()
        )
    }

    /// A mass to weigh out, or one that is in it; one that the scale would show
    /// as a few of its steps, as it is.
    fn shown(&self, mass: &Estimate<Mass>) -> String {
        let is_shown = |scale: Scale| mass.best() >= scale.division() * STEPS;
        if self.scale.is_none_or(is_shown) {
            self.voice().weight(mass)
        } else {
            self.voice().mass(mass.best())
        }
    }

    /// `2700 g (3312 g with the tray)`.
    fn reading(&self, mass: &OnScale) -> String {
        let net = self.voice().reading(&mass.net);
        match &mass.gross {
            Some(gross) => format!("{net} ({} with the tray)", self.voice().reading(gross)),
            None => net,
        }
    }

    /// The answer where the rate is named in full; `only_liquid` where it was not
    /// said to be of the liquid, and can be of nothing else.
    pub fn say(mut self, cased: &Cased, only_liquid: bool) -> Answer {
        let rate = self.casing.rate;
        let mut answer = Answer::new(
            "casing",
            format!(
                "Weigh {} of casing ({} {}) for {}.",
                self.shown(&cased.casing),
                self.rate,
                in_words(rate),
                self.leaf_now()
            ),
        );
        answer.put_word(&RATE, "named");
        answer.put_word(&RATE_OF, of_word(rate));
        answer.put_word(&BASIS, basis_word(rate));
        figures(&mut answer, cased);
        self.stages(&mut answer, cased);
        answer.check = self.check(cased);
        self.doubt(&mut answer, cased);
        self.next(&mut answer, cased);
        self.cautions(&mut answer, cased);
        self.working(&mut answer, cased);
        self.settle(&mut answer, only_liquid);
        answer
    }

    /// What it is made of, and each stage as the scale shows it.
    fn stages(&self, answer: &mut Answer, cased: &Cased) {
        let brings = format!(
            "{} of solids and {} of water",
            self.shown(&cased.solids),
            self.shown(&cased.water)
        );
        if let [_, _, ..] = cased.parts[..] {
            let parts = cased.parts.iter().zip(&self.casing.recipe);
            let parts: Vec<String> = parts
                .map(|(mass, part)| format!("{} of {}", self.shown(mass), part.name))
                .collect();
            answer
                .details
                .push(format!("Made of {}; it brings {brings}.", and(&parts)));
        } else {
            answer.details.push(format!("It brings {brings}."));
        }
        let moisture = say::estimate(&cased.moisture, Unit::PERCENT);
        let after = self.reading(&cased.mass);
        answer.details.push(match &cased.at_once {
            Some(at_once) => format!(
                "Cased: the scale reads {} right after, and {after} once the alcohol is gone, at {moisture}.",
                self.reading(at_once)
            ),
            None => format!("Cased: the scale reads {after}, at {moisture}."),
        });
        if let (Some(bulk), Some(wanted)) = (&cased.bulk, &self.bulk) {
            answer.details.push(self.in_bulk(bulk, wanted));
        }
        if let (Some(dried), Some(to)) = (&cased.dried, &self.to) {
            let stop = self.reading(&dried.mass);
            answer.details.push(if dried.water.best().base() > 0.0 {
                format!(
                    "Dry back: stop when the scale reads {stop}, at {}; {} of water to lose.",
                    to.unbroken(),
                    self.shown(&dried.water)
                )
            } else {
                format!("Dry back: nothing, it is at {} already.", to.unbroken())
            });
        }
    }

    fn in_bulk(&self, bulk: &InBulk, wanted: &Reading) -> String {
        let reading = self.reading(&bulk.mass);
        match &bulk.water {
            Some(water) if say::half_width(&bulk.moisture) > LOOSE => format!(
                "In bulk: {} of water would bring it to {}, and so {} that it may come to {} (95\u{a0}%): add a part of it, let it rest, and measure; with all of it the scale reads {reading}.",
                self.shown(water),
                wanted.unbroken(),
                why_loose(bulk),
                say::with_doubt(&bulk.moisture, Unit::PERCENT)
            ),
            Some(water) => format!(
                "In bulk: add {} of water, and the scale reads {reading}, at {}.",
                self.shown(water),
                wanted.unbroken()
            ),
            None if bulk.moisture.u() > 0.0 => format!(
                "In bulk: add no water, it is at {} (95\u{a0}%) already ({} was wanted){}; the scale reads {reading}.",
                say::with_doubt(&bulk.moisture, Unit::PERCENT),
                wanted.unbroken(),
                if is_reached(bulk, wanted) {
                    ""
                } else {
                    ", or short of it: let it rest, and measure"
                }
            ),
            None => format!(
                "In bulk: add no water, it is at {} already ({} was wanted); the scale reads {reading}.",
                say::estimate(&bulk.moisture, Unit::PERCENT),
                wanted.unbroken()
            ),
        }
    }

    /// The last reading of the scale that was asked for.
    fn check(&self, cased: &Cased) -> String {
        match (&cased.dried, &cased.bulk, &self.to) {
            (Some(dried), _, Some(to)) => format!(
                "dried back the scale reads {}, at {}",
                self.reading(&dried.mass),
                of_total(to)
            ),
            (_, Some(bulk), _) => format!(
                "in bulk the scale reads {}, at {} of total weight",
                self.reading(&bulk.mass),
                say::estimate(&bulk.moisture, Unit::PERCENT)
            ),
            _ => format!(
                "the scale then reads {}, at {} of total weight",
                self.reading(&cased.mass),
                say::estimate(&cased.moisture, Unit::PERCENT)
            ),
        }
    }

    fn doubt(&self, answer: &mut Answer, cased: &Cased) {
        let mass = |what: &str, mass: &Estimate<Mass>| {
            format!(
                "{what} {} (95\u{a0}%): {}",
                self.voice().with_doubt(mass),
                say::drivers(&say::budget(mass))
            )
        };
        let is_known = |estimate: &&Estimate<Mass>| estimate.u() > 0.0;
        if let Some(casing) = Some(&cased.casing).filter(is_known) {
            answer.doubt.push(mass("the casing", casing));
        }
        if cased.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture after casing {} (95\u{a0}%): {}",
                say::with_doubt(&cased.moisture, Unit::PERCENT),
                say::drivers(&say::budget(&cased.moisture))
            ));
        }
        let water = cased.bulk.as_ref().and_then(|bulk| bulk.water.as_ref());
        if let Some(water) = water.filter(is_known) {
            answer.doubt.push(mass("the water to bulk", water));
        }
        if let Some(dried) = &cased.dried {
            let stop = dried.mass.gross.as_ref().unwrap_or(&dried.mass.net);
            if stop.u() > 0.0 {
                answer.doubt.push(mass("the reading to stop at", stop));
            }
        }
        if self.casing.at.is_exact() {
            answer.doubt.push(if cased.moisture.u() > 0.0 {
                "without that of the leaf's moisture: type it too, such as --at \"11.2% ± 0.5%\""
                    .to_owned()
            } else {
                format!("of the moisture after casing {}", say::DOUBT_NOT_KNOWN)
            });
        }
    }

    fn next(&self, answer: &mut Answer, cased: &Cased) {
        let next = &mut answer.next;
        next.push(if cased.at_once.is_some() {
            "put it on evenly, and air it until the alcohol is gone before anything is warmed"
                .to_owned()
        } else {
            "put it on evenly, a part at a time".to_owned()
        });
        if let Some(bulk) = &cased.bulk {
            next.push(if bulk.water.is_some() {
                "add the water in steps, then let it rest covered in bulk until it is taken up evenly"
                    .to_owned()
            } else {
                "let it rest covered in bulk until it is taken up evenly".to_owned()
            });
        }
        if cased
            .dried
            .as_ref()
            .is_some_and(|d| d.water.best().base() > 0.0)
        {
            next.push(
                "then dry it back to the weight to stop at, weighing as it dries: do not chase it past that"
                    .to_owned(),
            );
        }
        if cased.bulk.is_none() && cased.dried.is_none() {
            next.push(
                "for the water to bulk and the weight to stop at, type --bulk and --to".to_owned(),
            );
        }
        let goes_on = cased.bulk.is_some() || cased.dried.is_some();
        if self.assumed.is_upper_bound() && goes_on {
            next.push(
                "the moisture is an upper bound, so the water to bulk is the least that is needed, and the weight to stop at is the lowest: check before you reach it"
                    .to_owned(),
            );
        }
    }

    fn cautions(&self, answer: &mut Answer, cased: &Cased) {
        always(answer);
        // The moisture that it is kept at: the last that was asked for.
        let kept = match (self.casing.to, &cased.bulk) {
            (Some(to), _) => to,
            (None, Some(bulk)) => bulk.moisture.best(),
            (None, None) => cased.moisture.best(),
        };
        answer.cautions.extend(self.mould(kept, &cased.solids));
        answer.cautions.splice(0..0, self.too_little(cased));
    }

    /// What the scale cannot weigh well of all that is to be weighed out.
    fn too_little(&self, cased: &Cased) -> Option<String> {
        let several = cased.parts.len() > 1;
        let parts = cased.parts.iter().zip(&self.casing.recipe);
        let parts = parts
            .filter(|_| several)
            .map(|(mass, part)| (part.name.as_str(), mass.best()));
        let casing = std::iter::once(("casing", cased.casing.best()));
        let water = cased.bulk.as_ref().and_then(|bulk| bulk.water.as_ref());
        let water = water.map(|water| ("water to bulk", water.best()));
        say::below_least(casing.chain(parts).chain(water), self.scale)
    }

    fn mould(&self, kept: Moisture, solids: &Estimate<Mass>) -> Vec<String> {
        let is_cased = solids.best().base() > 0.0 || self.assumed.is_upper_bound();
        mould(kept, is_cased)
    }

    /// Hands over what is taken for granted.
    fn settle(&mut self, answer: &mut Answer, only_liquid: bool) {
        let mut assumed = std::mem::take(&mut self.assumed);
        if only_liquid {
            assumed.line("the rate is of the liquid: nothing in this casing stays");
        }
        assumed.line("the rate and the recipe are your own: none is taken for granted");
        assumed.settle(answer);
    }
}

/// A moisture as it was typed, over total weight.
fn of_total(typed: &Reading) -> String {
    match (typed.basis(), Moisture::read_target(typed)) {
        (Some(Basis::Dry), Ok(wet)) => format!(
            "{} ({} of total weight)",
            typed.unbroken(),
            say::base(wet.base(), Unit::PERCENT)
        ),
        _ => format!("{} of total weight", typed.unbroken()),
    }
}

/// `60 g of honey, 20 g of syrup and 30 g of water`.
fn and(parts: &[String]) -> String {
    match parts {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        all => all.concat(),
    }
}

fn figures(answer: &mut Answer, cased: &Cased) {
    answer.put(&CASING, &cased.casing);
    answer.put(&SOLIDS, &cased.solids);
    answer.put(&WATER, &cased.water);
    if cased.parts.len() > 1 {
        answer.put_each(&PARTS, cased.parts.iter().cloned());
    }
    answer.put(&AFTER, &cased.moisture);
    answer.put(&MASS_AFTER, &cased.mass.net);
    answer.put_if(&GROSS_AFTER, cased.mass.gross.as_ref());
    if let Some(mass) = &cased.at_once {
        answer.put(&AT_ONCE, &mass.net);
        answer.put_if(&GROSS_AT_ONCE, mass.gross.as_ref());
    }
    if let Some(bulk) = &cased.bulk {
        match &bulk.water {
            Some(water) => answer.put(&BULK_WATER, water),
            None => answer.put_exact(&BULK_WATER, 0.0),
        }
        answer.put(&BULK_MOISTURE, &bulk.moisture);
        answer.put(&BULK_MASS, &bulk.mass.net);
        answer.put_if(&BULK_GROSS, bulk.mass.gross.as_ref());
    }
    if let Some(dried) = &cased.dried {
        answer.put(&FINAL, &dried.mass.net);
        answer.put_if(&FINAL_GROSS, dried.mass.gross.as_ref());
        answer.put(&TO_LOSE, &dried.water);
    }
}

/// The cautions of every casing.
fn always(answer: &mut Answer) {
    let cautions = [Caution::CleanWater, Caution::WetLeaf, Caution::FoodGrade];
    answer.cautions = cautions.iter().map(ToString::to_string).collect();
}
