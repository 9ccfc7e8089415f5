//! Water in sentences: what to add, when to stop drying, what to check.

use gutta::bench::{Added, Adding, Drying, FirstRule, Resting, SecondStep};
use gutta::matter::{Part, Pile};
use gutta::measure::{Basis, Doubt, Mass, Reading, Scalar, Scale, Unit, number};
use gutta::{Caution, Estimate, Watering};

use super::{keys, mould};
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

/// From this volume on, an eighth of a teaspoon, spoons are of use.
const SPOONED_FROM: f64 = 0.6e-6;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);

keys! {
    PLAN = "plan": Shape::Word(&["add", "dry", "nothing"]), "what is to be done";
    WATER = "water": GRAMS, "the water to add, in full";
    WATER_VOLUME = "water_volume": Shape::Quantity(JsonUnit::Millilitre), "the water as a volume at its temperature";
    SPOONS = "spoons": Shape::Quantity(JsonUnit::Teaspoon), "the water in US teaspoons";
    DROPS_EXACT = "drops_exact": DROPS, "the water in drops, not rounded";
    WHOLE = "drops": DROPS, "the whole drops that do not overshoot";
    DROPS_MASS = "drops_mass": GRAMS, "what the whole drops weigh";
    REACHED = "moisture_reached": PERCENT, "the moisture reached, wet basis, carrier gone";
    FIRST = "first_addition": GRAMS, "the water to add before the first check";
    FIRST_DROPS = "first_drops": DROPS, "the first addition in whole drops";
    FINAL = "final_mass": GRAMS, "the mass at the target, carrier gone";
    GROSS = "final_gross": GRAMS, "the mass at the target, with the tray";
    EXPECTED = "moisture_expected": PERCENT, "the moisture to expect after the first addition, wet basis";
    NOW = "moisture_now": PERCENT, "the moisture after the first addition that the plan goes by, wet basis";
    AGREE = "agree": Shape::Word(&["yes", "no"]), "whether expectation and reading agree";
    AT_ONCE = "mass_at_once": GRAMS, "the mass right after mixing, carrier still there";
    TO_LOSE = "water_to_lose": GRAMS, "the water to dry off";
}

/// The keys of the three plans.
pub static FORMS: &[Form] = &[
    Form {
        word: Some("add"),
        always: &[
            &PLAN,
            &WATER,
            &WATER_VOLUME,
            &SPOONS,
            &DROPS_EXACT,
            &FINAL,
            &WHOLE,
            &DROPS_MASS,
            &REACHED,
            &FIRST,
            &FIRST_DROPS,
        ],
        known: &[&GROSS, &AT_ONCE, &EXPECTED, &NOW, &AGREE],
    },
    Form {
        word: Some("dry"),
        always: &[&PLAN, &TO_LOSE, &FINAL],
        known: &[&GROSS, &AT_ONCE, &EXPECTED, &NOW, &AGREE],
    },
    Form {
        word: Some("nothing"),
        always: &[&PLAN, &WATER, &FINAL, &REACHED],
        known: &[&GROSS, &AT_ONCE, &EXPECTED, &NOW, &AGREE],
    },
];

/// A first addition that has gone on, and where things stand after it.
pub struct Second {
    /// The addition, as it was typed.
    pub added: Reading,
    /// The moisture read after it, as it was typed.
    pub reading: Option<Reading>,
    /// What is expected, and what is left to do.
    pub step: SecondStep,
}

/// Everything that was typed, read.
pub struct Question {
    /// The first addition, where there was one.
    pub second: Option<Second>,
    /// The leaf, where it was weighed.
    pub leaf: Weight,
    /// The moisture now, as it was typed.
    pub at: Reading,
    /// The target, as it was typed.
    pub to: Reading,
    /// The question to the library.
    pub watering: Watering,
    /// The scale, where it is known.
    pub scale: Option<Scale>,
    /// What is taken for granted of the drop, where it is counted with.
    pub of_drop: Assumed,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    fn voice(&self) -> Voice {
        Voice::of(&self.leaf.reading, self.scale)
    }

    /// `10.00 g of leaf at 11.2 %`, as they were typed; after a first addition
    /// as they are now.
    fn leaf_now(&self) -> String {
        if self.second.is_some() {
            return format!(
                "{} of leaf at {}",
                self.voice().reading(&self.watering.leaf.estimate("leaf")),
                say::estimate(&self.watering.at.estimate("moisture"), Unit::PERCENT)
            );
        }
        format!(
            "{} of leaf at {}",
            self.leaf.reading.unbroken_value(),
            self.at.unbroken_value()
        )
    }

    /// Whether something that holds water is brought.
    fn has_humectant(&self) -> bool {
        let holds =
            |(part, _): &(Part, _)| matches!(part, Part::Glycol | Part::Glycerine | Part::Sugar);
        let mut brought = self.watering.brought.iter();
        brought.any(|brought| brought.composition.parts().iter().any(holds))
    }

    /// Whether the scale, where one is known, shows so little.
    fn shows(&self, mass: Mass) -> bool {
        self.scale.is_none_or(|scale| mass >= scale.division())
    }

    /// The target as it was typed, and over total weight.
    fn target_of_total(&self) -> String {
        let wet = self.watering.to.ratio().base();
        match self.to.basis() {
            Some(Basis::Dry) => format!(
                "{} ({})",
                self.to.unbroken(),
                of_total(&say::base(wet, Unit::PERCENT))
            ),
            Some(Basis::Wet) | None => of_total(&self.to.unbroken()),
        }
    }

    /// The worst input, and what would help, worked out with the same formula.
    fn advise(&self, answer: &mut Answer) {
        // Another oven dish of cased leaf is another upper bound.
        if self.assumed.is_upper_bound() {
            return;
        }
        let Ok(Some(advice)) = self.watering.advice() else {
            return;
        };
        let band = say::base(self.watering.band.base(), Unit::PERCENT);
        let line = say::advice(&advice, "the moisture reached", Unit::PERCENT);
        answer.next.extend(line.map(|line| {
            let side = if advice.is_enough {
                "inside"
            } else {
                "still outside"
            };
            format!("{line}, {side} the band of ±\u{a0}{band}")
        }));
    }

    /// What the moisture should read after the first addition.
    fn should_read(&self, plan: &Adding, counted: bool) -> String {
        let added = match (plan.first.drops, self.watering.drop) {
            (Some(drops), Some(drop)) if counted => Added::Drops(drops, drop),
            _ => self
                .watering
                .weighed(self.voice().at_most(plan.first.water)),
        };
        match self.watering.second_step(&added, None) {
            Ok(step) if step.expected.u() > 0.0 => format!(
                "it should read {} (95\u{a0}%)",
                say::with_doubt(&step.expected, Unit::PERCENT)
            ),
            Ok(step) => format!(
                "it should read {}",
                say::estimate(&step.expected, Unit::PERCENT)
            ),
            Err(_) => "see what it reads".to_owned(),
        }
    }

    /// Where things stand after a first addition, in figures and in words.
    fn stand(&self, answer: &mut Answer) {
        let Some(second) = &self.second else { return };
        let expected = &second.step.expected;
        answer.put(&EXPECTED, expected);
        let now = self.watering.at.estimate(EXPECTED_OR_READ);
        answer.put(&NOW, &now);
        let expectation = format!(
            "After {} the moisture is expected at {} (95\u{a0}%)",
            second.added.unbroken_value(),
            say::with_doubt(expected, Unit::PERCENT)
        );
        let line = match (&second.reading, &second.step.together) {
            (None, _) => format!("{expectation}: read it, and ask again with --reading."),
            (Some(reading), None) => format!("{expectation}, and read as {}.", reading.unbroken()),
            (Some(reading), Some(both)) => {
                answer.put_word(&AGREE, if both.agree { "yes" } else { "no" });
                let together = say::with_doubt(&both.estimate, Unit::PERCENT);
                if both.agree {
                    format!(
                        "{expectation}, and read as {}: together {together}.",
                        reading.unbroken()
                    )
                } else {
                    answer.cautions.push(
                        "reading and expectation disagree: look for a mistake, stir the jar and read again before you add more".to_owned(),
                    );
                    format!(
                        "{expectation}, and read as {}: they disagree; together {together}, widened.",
                        reading.unbroken()
                    )
                }
            }
        };
        answer.details.push(line);
    }

    /// The plan, said.
    pub fn adding(mut self, plan: &Adding) -> Answer {
        let voice = self.voice();
        let drops = plan.drops.as_ref();
        let counted = plan.counted();
        self.assumed.join(std::mem::take(&mut self.of_drop));
        let water = voice.weight(&plan.water);
        let mut measured = say::figures(&plan.volume, Unit::MILLILITRE, 3);
        if plan.volume.best().base() >= SPOONED_FROM {
            let spoons = say::figures(&plan.volume, Unit::TEASPOON, 2);
            measured = format!("{measured}, {spoons}");
        }
        let headline = match (counted, drops) {
            _ if plan.first.rule == FirstRule::TooCoarse => format!(
                "Add no water by this scale: {} would bring {} to {}, and it cannot weigh so little well enough.",
                voice.mass(plan.water.best()),
                self.leaf_now(),
                self.to.unbroken()
            ),
            _ if plan.first.rule == FirstRule::TooLoose => format!(
                "Add no water yet: leaf at {} is too loosely known to water by; {} of water would bring {} of it to {}.",
                self.moisture_with_doubt(),
                voice.with_doubt(&plan.water),
                voice.reading(&self.watering.leaf.estimate("leaf")),
                self.to.unbroken()
            ),
            (Some(d), _) => format!(
                "Add {} of water{} ({}): that brings {} to {}.",
                say::whole_drops(d.whole),
                Self::of_it_first(voice, plan, true),
                voice.mass(d.mass.best()),
                self.leaf_now(),
                say::estimate(&d.moisture, Unit::PERCENT)
            ),
            (None, Some(d)) if d.whole.count() == 0.0 => format!(
                "Add {water} of water, less than one drop: weigh it or take a part of a spoon ({measured})."
            ),
            _ => format!(
                "Add {water} of water{} ({measured}): that brings {} to {}.",
                Self::of_it_first(voice, plan, false),
                self.leaf_now(),
                self.to.unbroken()
            ),
        };
        let mut answer = Answer::new("water", headline);
        if let Some(d) = counted {
            let water = if self.shows(plan.water.best()) {
                water
            } else {
                voice.mass(plan.water.best())
            };
            answer.details.push(format!(
                "To {} exactly: {water}, {measured}, {}.",
                self.to.unbroken(),
                say::drops_exactly(&d.exact)
            ));
        }
        answer.check = match counted {
            _ if matches!(plan.first.rule, FirstRule::TooLoose | FirstRule::TooCoarse) => format!(
                "nothing goes on yet: the scale stays at {}",
                voice.reading(&self.watering.leaf.estimate("leaf"))
            ),
            Some(d) => {
                scale_reads(
                    voice,
                    &d.final_mass,
                    d.final_gross.as_ref(),
                    d.mass_at_once.as_ref(),
                    &of_total(&say::estimate(&d.moisture, Unit::PERCENT)),
                ) + if self.shows(d.mass.best()) {
                    ""
                } else {
                    "; it is too coarse to show the drops"
                }
            }
            None => scale_reads(
                voice,
                &plan.final_mass,
                plan.final_gross.as_ref(),
                plan.mass_at_once.as_ref(),
                &self.target_of_total(),
            ),
        };
        figures_of_adding(&mut answer, plan);
        self.doubt(&mut answer, "the water", &plan.water);
        if let Some(d) = counted.filter(|d| d.moisture.u() > 0.0) {
            answer.doubt.push(format!(
                "after {} {} (95\u{a0}%)",
                say::whole_drops(d.whole),
                say::with_doubt(&d.moisture, Unit::PERCENT)
            ));
        }
        answer.next.push(match drops {
            Some(d) if d.whole.count() == 0.0 => {
                "less than one drop cannot be counted: weigh it on a finer scale, or water more leaf at once".to_owned()
            }
            _ => self.first(voice, plan, counted.is_some()),
        });
        self.advise(&mut answer);
        if self.assumed.is_upper_bound() {
            answer.next.push(
                "the moisture is an upper bound, so this water is the least that is needed: check when it has rested, and add more"
                    .to_owned(),
            );
        }
        self.cautions(&mut answer);
        self.stand(&mut answer);
        self.working_of_adding(&mut answer, plan);
        self.assumed.settle(&mut answer);
        answer
    }

    /// `10.8 % ± 8.0 % (95 %)`, or a range as it was typed.
    fn moisture_with_doubt(&self) -> String {
        match self.at.doubt() {
            Doubt::Range { .. } if self.second.is_none() => self.at.unbroken(),
            _ => format!(
                "{} (95\u{a0}%)",
                say::with_doubt(&self.watering.at.estimate("moisture"), Unit::PERCENT)
            ),
        }
    }

    /// What goes on first, where the doubt of the moisture asks for two steps.
    fn of_it_first(voice: Voice, plan: &Adding, counted: bool) -> String {
        match plan.first.rule {
            FirstRule::WithinBand if counted => match plan.first.drops {
                Some(drops) => format!(", {} of them first", number(drops.count(), 0)),
                None => String::new(),
            },
            FirstRule::WithinBand => {
                format!(", {} of it first", first_amount(voice, plan, counted))
            }
            _ => String::new(),
        }
    }

    /// The next step: what to add before the first check.
    fn first(&self, voice: Voice, plan: &Adding, counted: bool) -> String {
        let amount = first_amount(voice, plan, counted);
        let top = say::base(
            (self.watering.to.ratio() + self.watering.band).base(),
            Unit::PERCENT,
        );
        let risk = say::base(self.watering.risk.base(), Unit::PERCENT);
        match plan.first.rule {
            FirstRule::ThreeQuarters
                if counted && plan.first.drops.is_some_and(|n| n.count() == 0.0) =>
            {
                format!(
                    "one drop is not to be parted: add it, let it rest, and check ({})",
                    self.should_read(plan, counted)
                )
            }
            FirstRule::ThreeQuarters => format!(
                "add {amount} first, about three quarters; let it rest, check ({}), then add the rest",
                self.should_read(plan, counted)
            ),
            FirstRule::WithinBand => format!(
                "{amount} first: with more, the chance to pass {top} is above {risk}; let it rest, measure again ({}), and ask for the rest with --added and --reading",
                self.should_read(plan, counted)
            ),
            FirstRule::AllAtOnce => {
                format!("all of it in one step: the chance to pass {top} stays within {risk}")
            }
            FirstRule::TooCoarse => format!(
                "this scale is too coarse for so little: with any of it weighed here, the chance to pass {top} is above {risk}; use a finer scale, or water more leaf at once"
            ),
            FirstRule::TooLoose => format!(
                "the chance to be above {top} already is more than {risk}: dry a dish in the oven or re-weigh a jar whose moisture you knew, and ask again"
            ),
        }
    }

    fn working_of_adding(&self, answer: &mut Answer, plan: &Adding) {
        let voice = self.voice();
        self.working_of_water(answer, &plan.pile, plan.water.best());
        let Some(d) = &plan.drops else { return };
        answer.working.push(format!(
            "drops = {} / {} = {}; the whole drops below: {}",
            voice.mass(plan.water.best()),
            say::base(d.one.best().base(), say::MILLIGRAM),
            say::base(d.exact.best().base(), Unit::DROP),
            say::whole_drops(d.whole)
        ));
        answer.working.push(format!(
            "moisture = ({} + {}) / ({} + {}) = {}",
            voice.mass(plan.pile.water()),
            voice.mass(d.mass.best()),
            voice.mass(plan.pile.aired().total()),
            voice.mass(d.mass.best()),
            say::base(d.moisture.best().base(), Unit::PERCENT)
        ));
    }

    /// The balance in numbers.
    fn working_of_water(&self, answer: &mut Answer, pile: &Pile, water: Mass) {
        let voice = self.voice();
        let (dry, wet) = (voice.mass(pile.dry_matter()), voice.mass(pile.water()));
        let t = self.watering.to.ratio().base();
        let t = number(t, if t < 0.1 { 5 } else { 4 });
        answer.working.push(format!(
            "dry matter A = {dry}, water there B = {wet}, of all that goes on"
        ));
        answer.working.push(format!(
            "W = A t/(1 − t) − B = {dry} × {t}/(1 − {t}) − {wet} = {}",
            voice.mass(water)
        ));
    }

    /// The plan, said.
    pub fn drying(self, plan: &Drying) -> Answer {
        let voice = self.voice();
        let stop = voice.reading(&plan.final_mass);
        let lose = voice.weight(&plan.water);
        let at = match &plan.final_gross {
            Some(gross) => format!("{} with the tray ({stop} net)", voice.reading(gross)),
            None => stop,
        };
        let headline = format!(
            "Dry until the scale reads {at}: {lose} of water to lose, from {} to {}.",
            self.leaf_now(),
            self.to.unbroken()
        );
        let mut answer = Answer::new("water", headline);
        if !self.watering.brought.is_empty() {
            let at_once = plan.mass_at_once.as_ref().map_or_else(String::new, |mass| {
                format!(
                    ": the scale reads {} right after mixing",
                    voice.reading(mass)
                )
            });
            answer.details.push(format!(
                "What goes on brings it to {} first{at_once}.",
                say::base(plan.pile.aired().moisture().base(), Unit::PERCENT)
            ));
        }
        answer.check = scale_reads(
            voice,
            &plan.final_mass,
            plan.final_gross.as_ref(),
            None,
            &self.target_of_total(),
        );
        answer.put_word(&PLAN, "dry");
        answer.put(&TO_LOSE, &plan.water);
        answer.put(&FINAL, &plan.final_mass);
        answer.put_if(&GROSS, plan.final_gross.as_ref());
        answer.put_if(&AT_ONCE, plan.mass_at_once.as_ref());
        self.doubt(&mut answer, "the water to lose", &plan.water);
        let stop = plan.final_gross.as_ref().unwrap_or(&plan.final_mass);
        if stop.u() > 0.0 {
            answer.doubt.push(format!(
                "the reading to stop at {} (95\u{a0}%): {}",
                voice.with_doubt(stop),
                say::drivers(&say::budget(stop))
            ));
        }
        answer
            .next
            .push("spread it thin, weigh as it dries, and stop at that reading".to_owned());
        if self.assumed.is_upper_bound() {
            answer.next.push(
                "the moisture is an upper bound, so this is the most that is to lose: stop well before, and check"
                    .to_owned(),
            );
        }
        self.advise(&mut answer);
        self.cautions(&mut answer);
        self.stand(&mut answer);
        self.working_of_water(&mut answer, &plan.pile, -plan.water.best());
        self.assumed.settle(&mut answer);
        answer
    }

    /// The plan, said.
    pub fn resting(self, plan: &Resting) -> Answer {
        let voice = self.voice();
        let with = if self.watering.brought.is_empty() {
            ""
        } else {
            " with all that goes on"
        };
        let headline = format!(
            "Add nothing, {} of water: {} is at its target of {}{with}.",
            say::base(0.0, Unit::GRAM),
            self.leaf_now(),
            self.to.unbroken()
        );
        let mut answer = Answer::new("water", headline);
        answer.check = scale_reads(
            voice,
            &plan.final_mass,
            plan.final_gross.as_ref(),
            plan.mass_at_once.as_ref(),
            &self.target_of_total(),
        );
        answer.put_word(&PLAN, "nothing");
        answer.put_exact(&WATER, 0.0);
        answer.put(&FINAL, &plan.final_mass);
        answer.put_if(&GROSS, plan.final_gross.as_ref());
        answer.put_if(&AT_ONCE, plan.mass_at_once.as_ref());
        answer.put(&REACHED, &plan.moisture);
        if plan.moisture.u() > 0.0 {
            answer.doubt.push(format!(
                "the moisture {} (95\u{a0}%): {}",
                say::with_doubt(&plan.moisture, Unit::PERCENT),
                say::drivers(&say::budget(&plan.moisture))
            ));
        } else {
            answer.doubt.push(say::DOUBT_NOT_KNOWN.to_owned());
        }
        self.advise(&mut answer);
        self.cautions(&mut answer);
        self.stand(&mut answer);
        self.assumed.settle(&mut answer);
        answer
    }

    fn doubt(&self, answer: &mut Answer, what: &str, mass: &Estimate<Mass>) {
        if mass.u() > 0.0 {
            answer.doubt.push(format!(
                "{what} {} (95\u{a0}%): {}",
                self.voice().with_doubt(mass),
                say::drivers(&answer.budget)
            ));
        } else {
            answer
                .doubt
                .push(format!("of {what} {}", say::DOUBT_NOT_KNOWN));
        }
    }

    fn cautions(&self, answer: &mut Answer) {
        let cautions = [Caution::CleanWater, Caution::WetLeaf];
        answer.cautions = cautions.iter().map(ToString::to_string).collect();
        // The moisture that is aimed at is the one the leaf will be kept at.
        let is_cased = self.has_humectant() || self.assumed.is_upper_bound();
        answer.cautions.extend(mould(self.watering.to, is_cased));
    }
}

fn figures_of_adding(answer: &mut Answer, plan: &Adding) {
    answer.put_word(&PLAN, "add");
    answer.put(&WATER, &plan.water);
    answer.put(&WATER_VOLUME, &plan.volume);
    answer.put(&SPOONS, &plan.volume);
    if let Some(d) = &plan.drops {
        answer.put(&DROPS_EXACT, &d.exact);
    }
    answer.put(&FINAL, &plan.final_mass);
    answer.put_if(&GROSS, plan.final_gross.as_ref());
    answer.put_if(&AT_ONCE, plan.mass_at_once.as_ref());
    if let Some(d) = &plan.drops {
        answer.put_exact(&WHOLE, d.whole.count());
        answer.put(&DROPS_MASS, &d.mass);
        answer.put(&REACHED, &d.moisture);
    }
    answer.put_exact(&FIRST, plan.first.water.base());
    if let Some(first) = plan.first.drops {
        answer.put_exact(&FIRST_DROPS, first.count());
    }
}

/// What to add before the first check, as it is measured out.
fn first_amount(voice: Voice, plan: &Adding, counted: bool) -> String {
    match plan.first.drops {
        Some(drops) if counted => say::whole_drops(drops),
        _ => voice.mass_shown(voice.at_most(plan.first.water)),
    }
}

/// The moisture after a first addition, as an estimate of its own.
const EXPECTED_OR_READ: &str = "moisture now";

/// `14.5 % of total weight`.
fn of_total(moisture: &str) -> String {
    format!("{moisture} of total weight")
}

/// The check line: what the scale shows when it is done.
fn scale_reads(
    voice: Voice,
    net: &Estimate<Mass>,
    gross: Option<&Estimate<Mass>>,
    at_once: Option<&Estimate<Mass>>,
    moisture: &str,
) -> String {
    let reading = match gross {
        Some(gross) => format!(
            "{} with the tray, {} net",
            voice.reading(gross),
            voice.reading(net)
        ),
        None => voice.reading(net),
    };
    match at_once {
        Some(at_once) => format!(
            "the scale reads {} net right after mixing, and {reading} once the alcohol is gone, at {moisture}",
            voice.reading(at_once)
        ),
        None => format!("the scale then reads {reading}, at {moisture}"),
    }
}
