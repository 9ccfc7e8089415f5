//! `gutta water`: water to a target moisture, or when to stop drying.

use clap::Args;

use gutta::bench::{Adding, Drop, Drying, FirstRule, Resting};
use gutta::matter::{Pile, water};
use gutta::measure::{BAND, Density, Kind, Mass, RISK, Reading, Scalar, Scale, Unit, number};
use gutta::{Caution, Estimate, Moisture, Watering, WateringPlan};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::failure::{Failure, Outcome};
use crate::render::json::Form;
use crate::resolve::bring::{Around, bring};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag, Weight, drop, leaf_moisture, scale};
use crate::say::{self, Voice};

/// Above this volume water is weighed, not counted.
const COUNTED_UP_TO: f64 = 2e-6;

/// From this volume on, an eighth of a teaspoon, spoons are of use.
const SPOONED_FROM: f64 = 0.6e-6;

const EXAMPLES: &str = "\
Examples:
  gutta water --leaf 10.00g --at 11.2% --to 14.5% --drop 47.8mg
  gutta water --leaf 340g --at \"10.8% ± 1.0%\" --to 15% --scale 0.1g
  gutta water --leaf \"1 lb 6 oz\" --at 10.5% --to 16%
  gutta water --leaf 815g --at 21.4% --to 14% --tray 612g
  gutta water --leaf 1200g --at 11.5% --to 16% --bring \"60g casing, 35% water\"

Moisture is water over total weight; write `17.6% db` for dry basis.";

/// How much water brings leaf to a moisture, or when to stop drying.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct WaterArgs {
    /// Leaf as weighed, such as 10.00g or "1 lb 6 oz"
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture now, such as 11.2%, "11.2% ± 0.5%", 11-13% or "17.6% db"
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// The moisture wanted, such as 14.5%
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// One drop of the water, such as 47.8mg or 20/mL
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// A dropper of the book, calibrated with water
    #[arg(long, value_name = "NAME", conflicts_with = "drop")]
    dropper: Option<String>,
    /// The tray that stands on the scale with the leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tray: Option<String>,
    /// What else goes on: "AMOUNT NAME[, PERCENT PART]…", by mass
    #[arg(long, value_name = "WHAT", allow_hyphen_values = true)]
    bring: Vec<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// The temperature of the water [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    /// Half-width of the target band, in points of moisture [1%]
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    band: Option<String>,
    /// The chance of passing the top of the band that is put up with [5%]
    #[arg(long, value_name = "CHANCE", allow_hyphen_values = true)]
    risk: Option<String>,
}

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);

keys! {
    PLAN = "plan": Shape::Word(&["add", "dry", "nothing"]), "what is to be done";
    WATER = "water": GRAMS, "the water to add, in full";
    WATER_VOLUME = "water_volume": Shape::Quantity(JsonUnit::Millilitre), "the same as a volume at its temperature";
    SPOONS = "spoons": Shape::Quantity(JsonUnit::Teaspoon), "the same in US teaspoons";
    DROPS_EXACT = "drops_exact": DROPS, "the same in drops, not rounded";
    WHOLE = "drops": DROPS, "the whole drops that do not overshoot";
    DROPS_MASS = "drops_mass": GRAMS, "what the whole drops weigh";
    REACHED = "moisture_reached": PERCENT, "the moisture that the whole drops give, wet basis, carrier gone";
    FIRST = "first_addition": GRAMS, "the water to add before the first check";
    FIRST_DROPS = "first_drops": DROPS, "the same in whole drops";
    FINAL = "final_mass": GRAMS, "the mass at the target, carrier gone";
    GROSS = "final_gross": GRAMS, "the same with the tray";
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
        known: &[&GROSS, &AT_ONCE],
    },
    Form {
        word: Some("dry"),
        always: &[&PLAN, &TO_LOSE, &FINAL],
        known: &[&GROSS, &AT_ONCE],
    },
    Form {
        word: Some("nothing"),
        always: &[&PLAN, &WATER, &FINAL],
        known: &[&GROSS, &AT_ONCE],
    },
];

/// Everything that was typed, read.
struct Question {
    leaf: Weight,
    at: Reading,
    to: Reading,
    watering: Watering,
    scale: Option<Scale>,
    /// Whether the drop is the user's own, not the standard one.
    counted_mine: bool,
    assumed: Assumed,
}

impl WaterArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let question = self.read(shelf)?;
        Ok(match question.watering.plan().map_err(Failure::from)? {
            WateringPlan::Add(plan) => question.adding(&plan),
            WateringPlan::Dry(plan) => question.drying(&plan),
            WateringPlan::Nothing(plan) => question.resting(&plan),
        })
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let scale = scale(self.scale.as_ref(), shelf)?;
        let leaf = Flag::needed(
            "--leaf",
            "the leaf as weighed",
            self.leaf.as_ref(),
            "weigh the leaf and type what the scale shows, such as --leaf 10.00g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            leaf.mass.is_exact(),
            format!("leaf {}", leaf.reading.unbroken()),
        );
        let (at_reading, at) =
            leaf_moisture(self.at.as_ref(), self.lot.as_ref(), shelf, &mut assumed)?;
        let to = Flag::needed(
            "--to",
            "the target moisture",
            self.to.as_ref(),
            "type the moisture wanted, such as --to 14.5%",
        )?;
        let to_reading = to.read(&[Kind::Share])?;
        let target = Moisture::read_target(&to_reading).map_err(|error| to.fail(error))?;

        let mut watering = Watering::new(leaf.mass, at, target);
        watering.scale_doubt = scale.map(|s| s.u_net());
        match Flag::of("--temp", self.temp.as_ref()) {
            Some(flag) => watering.temperature = flag.temperature()?,
            None => assumed.line("water at 20\u{a0}°C"),
        }
        if let Some(flag) = Flag::of("--band", self.band.as_ref()) {
            watering.band = flag.exact_share(&BAND)?;
        }
        if let Some(flag) = Flag::of("--risk", self.risk.as_ref()) {
            watering.risk = flag.exact_share(&RISK)?;
        }
        if let Some(flag) = Flag::of("--tray", self.tray.as_ref()) {
            let tray = flag.mass(scale)?;
            assumed.exact_if(
                tray.mass.is_exact(),
                format!("tray {}", tray.reading.unbroken()),
            );
            watering.tray = Some(tray.mass);
        }
        let density = watering.temperature.through::<Density>(water::density);
        let mine = drop::of_water(
            self.drop.as_ref(),
            self.dropper.as_ref(),
            density,
            shelf,
            &mut assumed,
        )?;
        // For water alone a drop may be taken from the standard dropper.
        watering.drop = Some(mine.unwrap_or_else(Drop::standard));
        let around = Around {
            shelf,
            scale,
            temperature: watering.temperature,
            drop: watering.drop,
        };
        for text in &self.bring {
            let flag = Flag::new("--bring", text);
            watering.brought.push(bring(flag, &around, &mut assumed)?);
        }
        if watering.has_carrier() {
            assumed.line("all alcohol leaves while it airs, and no water with it");
        }
        Ok(Question {
            leaf,
            at: at_reading,
            to: to_reading,
            watering,
            scale,
            counted_mine: mine.is_some(),
            assumed,
        })
    }
}

impl Question {
    fn voice(&self) -> Voice {
        Voice::of(&self.leaf.reading, self.scale)
    }

    /// `10.00 g of leaf at 11.2 %`, as they were typed.
    fn leaf_now(&self) -> String {
        format!(
            "{} of leaf at {}",
            self.leaf.reading.unbroken(),
            say::best(&self.at)
        )
    }

    fn adding(mut self, plan: &Adding) -> Answer {
        let voice = self.voice();
        let drops = plan.drops.as_ref();
        let counted =
            drops.filter(|d| d.whole.count() > 0.0 && plan.volume.best().base() <= COUNTED_UP_TO);
        if !self.counted_mine {
            self.assumed.line(drop::STANDARD);
        }
        let water = voice.weight(&plan.water);
        let mut measured = say::estimate(&plan.volume, Unit::MILLILITRE);
        if plan.volume.best().base() >= SPOONED_FROM {
            measured = format!(
                "{measured}, {}",
                say::estimate(&plan.volume, Unit::TEASPOON)
            );
        }
        let headline = match (counted, drops) {
            (Some(d), _) => format!(
                "Add {} of water ({}): that brings {} to {}.",
                say::whole_drops(d.whole),
                voice.mass(d.mass.best()),
                self.leaf_now(),
                say::estimate(&d.moisture, Unit::PERCENT)
            ),
            (None, Some(d)) if d.whole.count() == 0.0 => format!(
                "Add {water} of water, less than one drop: weigh it or take a part of a spoon ({measured})."
            ),
            _ => format!(
                "Add {water} of water ({measured}): that brings {} to {}.",
                self.leaf_now(),
                self.to.unbroken()
            ),
        };
        let mut answer = Answer::new("water", headline);
        if let Some(d) = counted {
            answer.details.push(format!(
                "To {} exactly: {water}, {measured}, {}.",
                self.to.unbroken(),
                say::drops(&d.exact)
            ));
        }
        answer.check = match counted {
            Some(d) => scale_reads(
                voice,
                &d.final_mass,
                d.final_gross.as_ref(),
                None,
                &say::estimate(&d.moisture, Unit::PERCENT),
            ),
            None => scale_reads(
                voice,
                &plan.final_mass,
                plan.final_gross.as_ref(),
                plan.mass_at_once.as_ref(),
                &self.to.unbroken(),
            ),
        };
        figures_of_adding(&mut answer, plan);
        answer.budget_of(&plan.water);
        self.doubt(&mut answer, "water", &plan.water);
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
        self.cautions(&mut answer);
        self.working_of_adding(&mut answer, plan);
        answer.assumed = self.assumed.into_lines();
        answer
    }

    /// The next step: what to add before the first check.
    fn first(&self, voice: Voice, plan: &Adding, counted: bool) -> String {
        let amount = match plan.first.drops {
            Some(drops) if counted => say::whole_drops(drops),
            _ => voice.at_most(plan.first.water),
        };
        let top = say::base(
            (self.watering.to.ratio() + self.watering.band).base(),
            Unit::PERCENT,
        );
        let risk = say::base(self.watering.risk.base(), Unit::PERCENT);
        let half = say::half_width_of(&self.watering.at, Unit::PERCENT);
        match plan.first.rule {
            FirstRule::ThreeQuarters => format!(
                "add {amount} first, about three quarters; let it rest, check, then add the rest"
            ),
            FirstRule::WithinBand => format!(
                "add {amount} first: with more, the chance to pass {top} is above {risk}; let it rest, measure again, then add the rest"
            ),
            FirstRule::AllAtOnce => {
                format!("all of it in one step: the chance to pass {top} stays within {risk}")
            }
            FirstRule::TooLoose => format!(
                "add no water yet: with the moisture known to ±\u{a0}{half} only (95\u{a0}%), the chance to be above {top} already is more than {risk}; dry a dish in the oven or re-weigh a jar whose moisture you knew, and ask again"
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

    fn drying(self, plan: &Drying) -> Answer {
        let voice = self.voice();
        let stop = voice.weight(&plan.final_mass);
        let lose = voice.weight(&plan.water);
        let at = match &plan.final_gross {
            Some(gross) => format!("{} with the tray ({stop} net)", voice.weight(gross)),
            None => stop,
        };
        let headline = format!(
            "Dry until the scale reads {at}: {lose} of water to lose, from {} to {}.",
            self.leaf_now(),
            self.to.unbroken()
        );
        let mut answer = Answer::new("water", headline);
        answer.check = scale_reads(
            voice,
            &plan.final_mass,
            plan.final_gross.as_ref(),
            None,
            &self.to.unbroken(),
        );
        answer.put_word(&PLAN, "dry");
        answer.put(&TO_LOSE, &plan.water);
        answer.put(&FINAL, &plan.final_mass);
        answer.put_if(&GROSS, plan.final_gross.as_ref());
        answer.put_if(&AT_ONCE, plan.mass_at_once.as_ref());
        answer.budget_of(&plan.water);
        self.doubt(&mut answer, "water to lose", &plan.water);
        answer
            .next
            .push("spread it thin, weigh as it dries, and stop at that reading".to_owned());
        self.cautions(&mut answer);
        self.working_of_water(&mut answer, &plan.pile, -plan.water.best());
        answer.assumed = self.assumed.into_lines();
        answer
    }

    fn resting(self, plan: &Resting) -> Answer {
        let voice = self.voice();
        let headline = format!(
            "Add nothing, {} of water: {} is at its target of {} with all that goes on.",
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
            &self.to.unbroken(),
        );
        answer.put_word(&PLAN, "nothing");
        answer.put_exact(&WATER, 0.0);
        answer.put(&FINAL, &plan.final_mass);
        answer.put_if(&GROSS, plan.final_gross.as_ref());
        answer.put_if(&AT_ONCE, plan.mass_at_once.as_ref());
        answer.budget_of(&plan.final_mass);
        self.cautions(&mut answer);
        answer.assumed = self.assumed.into_lines();
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
            answer.doubt.push(
                "not known: type it with the moisture, such as --at \"11.2% ± 0.5%\"".to_owned(),
            );
        }
    }

    fn cautions(&self, answer: &mut Answer) {
        let mut cautions = vec![Caution::CleanWater, Caution::WetLeaf];
        if self.watering.has_carrier() {
            cautions.push(Caution::Alcohol);
        }
        answer.cautions = cautions.iter().map(ToString::to_string).collect();
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
            voice.weight(gross),
            voice.weight(net)
        ),
        None => voice.weight(net),
    };
    match at_once {
        Some(at_once) => format!(
            "the scale reads {} net right after mixing, and {reading} once the alcohol is gone, at {moisture} of total weight",
            voice.weight(at_once)
        ),
        None => format!("the scale then reads {reading}, at {moisture} of total weight"),
    }
}
