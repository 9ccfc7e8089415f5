//! The weigh sheet: the answer in a line, the steps, and what to know.

mod doubt;
mod next;
mod picture;
mod steps;

use gutta::bench::LeafBasis;
use gutta::blend::sheet::{Flavoured, Line, Planned, Sheet, SheetSize};
use gutta::measure::{Drops, Mass, Reading, Scalar, Unit};
use gutta::{Caution, Estimate, WateringPlan};

use super::{keys, mould};
use crate::answer::{Answer, JsonUnit, Key, Row, Shape};
use crate::document::Document;
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::lots::SaidLot;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);

keys! {
    PLAN = "plan": Shape::Word(&["add", "dry", "nothing", "none"]), "what is to be done about the moisture; none where none is wanted";
    LEAF = "leaf": GRAMS, "all leaf as weighed";
    DRY = "dry_leaf": GRAMS, "the dry matter of the leaf";
    MOISTURE = "moisture": PERCENT, "the moisture of the lots together, wet basis";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    LOT = "lot": Shape::Text, "the lot that it is weighed from";
    MASS = "mass": GRAMS, "what to weigh";
    IN_BOWL = "in_bowl": GRAMS, "what of it lies in the bowl already";
    TOLERANCE = "tolerance": GRAMS, "how far it may be off";
    READS = "reads": GRAMS, "what the scale then reads, with the bowl zeroed";
    GROSS = "reads_gross": GRAMS, "what the scale then reads, with the bowl on";
    ERROR = "scale_error": PERCENT, "what the scale may be off, where it is too coarse for the line";
    TAKE = "premix_take": GRAMS, "what to take of the pre-mix in place of it";
    PREMIX = "premix_condiment": GRAMS, "what to weigh of the component for the pre-mix";
    PREMIX_BASE = "premix_base": GRAMS, "what to weigh of the largest component for the pre-mix";
    BASE_LEFT = "premix_base_to_add": GRAMS, "what is still to be added of the largest component then";
    LINES = "lines": Shape::Rows { always: &[&COMPONENT, &MASS, &TOLERANCE, &READS], known: &[&LOT, &IN_BOWL, &GROSS, &ERROR, &PREMIX, &PREMIX_BASE, &TAKE, &BASE_LEFT] }, "the weighings of leaf, in their order";
    LIQUID = "liquid": Shape::Text, "the liquid";
    VOLUME = "volume": Shape::Quantity(JsonUnit::Millilitre), "the same as a volume";
    REACHED = "dose_reached": Shape::Quantity(JsonUnit::GramPerKilogram), "the dose that the whole drops reach, on leaf as weighed";
    REACHED_DRY = "dose_reached_dry": Shape::Quantity(JsonUnit::GramPerKilogram), "the dose that they reach on dry leaf";
    COUNT = "drops": DROPS, "the whole drops, where it is counted";
    CASINGS = "casings": Shape::Rows { always: &[&LIQUID, &MASS, &READS], known: &[] }, "the casings, in the order they go on";
    FLAVOURS = "flavours": Shape::Rows { always: &[&LIQUID, &MASS, &READS], known: &[&VOLUME, &COUNT, &REACHED, &REACHED_DRY] }, "the flavourings, in the order they go on";
    WATER = "water": GRAMS, "the water to add, in full";
    WATER_DROPS = "water_drops": DROPS, "the water in whole drops, where it is counted";
    MOISTURE_REACHED = "moisture_reached": PERCENT, "the moisture that the whole drops reach, wet basis";
    FIRST = "first_addition": GRAMS, "the water to add before the first check";
    FIRST_DROPS = "first_drops": DROPS, "the same in whole drops, where it is counted";
    TO_LOSE = "water_to_lose": GRAMS, "the water to air off";
    FINAL = "final_mass": GRAMS, "the mass at the moisture wanted, carrier gone";
    FINAL_GROSS = "final_gross": GRAMS, "the same with the bowl on";
    OFF = "off_if_left": PERCENT, "how far a share of the bowl is off at most if nothing is added, in points";
    ID = "id": Shape::Text, "the identifier of the trial or batch that was begun";
    AT = "at": Shape::Text, "when it was begun, in UTC";
    SMALLEST = "smallest_batch": GRAMS, "the least leaf of which this scale weighs every line within the tolerance";
}

const LINE_KEYS: &[&Key] = &[&PLAN, &LEAF, &LINES];
const KNOWN: &[&Key] = &[
    &DRY,
    &MOISTURE,
    &CASINGS,
    &FLAVOURS,
    &SMALLEST,
    &OFF,
    &FINAL,
    &FINAL_GROSS,
];

/// The keys of a sheet, by what is done about the moisture.
pub static FORMS: &[Form] = &[
    Form {
        word: Some("add"),
        always: LINE_KEYS,
        known: &[
            &WATER,
            &WATER_DROPS,
            &MOISTURE_REACHED,
            &FIRST,
            &FIRST_DROPS,
            &DRY,
            &MOISTURE,
            &CASINGS,
            &FLAVOURS,
            &SMALLEST,
            &OFF,
            &FINAL,
            &FINAL_GROSS,
        ],
    },
    Form {
        word: Some("dry"),
        always: LINE_KEYS,
        known: &[
            &TO_LOSE,
            &DRY,
            &MOISTURE,
            &CASINGS,
            &FLAVOURS,
            &SMALLEST,
            &OFF,
            &FINAL,
            &FINAL_GROSS,
        ],
    },
    Form {
        word: Some("nothing"),
        always: LINE_KEYS,
        known: KNOWN,
    },
    Form {
        word: Some("none"),
        always: LINE_KEYS,
        known: KNOWN,
    },
];

/// The keys of a sheet that was written down as the plan of a trial or a batch;
/// without a formula there is no plan.
pub static BEGIN_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&PLAN, &ID, &AT],
    known: &[
        &LEAF,
        &LINES,
        &WATER,
        &WATER_DROPS,
        &MOISTURE_REACHED,
        &FIRST,
        &FIRST_DROPS,
        &TO_LOSE,
        &DRY,
        &MOISTURE,
        &CASINGS,
        &FLAVOURS,
        &SMALLEST,
        &OFF,
        &FINAL,
        &FINAL_GROSS,
    ],
}];

/// Everything that was typed, read.
pub struct Question {
    /// What the formula is called.
    pub title: String,
    /// What the book calls it: `evening:2`.
    pub formula: Option<String>,
    /// The question to the library.
    pub sheet: Sheet,
    /// The size, as it was typed; none where it is what the bowl asks for.
    pub size: Option<Reading>,
    /// The first mass that was typed of the bowl.
    pub typed: Option<Reading>,
    /// The lots, in the order of the shares.
    pub lots: Vec<SaidLot>,
    /// The dropper of each flavouring, where it is counted.
    pub droppers: Vec<Option<String>>,
    /// The dropper of the water.
    pub water_dropper: Option<String>,
    /// How long it rests, in the formula's words.
    pub rest: Option<String>,
    /// What the formula notes.
    pub note: Option<String>,
    /// The target, as it was typed.
    pub to: Option<Reading>,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    pub(super) fn voice(&self) -> Voice {
        // A column of weighings has one unit: ounces where they were typed, else the
        // scale's grams.
        let typed = self.size.as_ref().or(self.typed.as_ref());
        let is_customary = |typed: &&Reading| [Unit::OUNCE, Unit::POUND].contains(&typed.unit());
        match typed {
            Some(typed) if is_customary(&typed) || typed.unit() == Unit::GRAM => {
                Voice::of(typed, self.sheet.scale)
            }
            _ => Voice::plain(self.sheet.scale),
        }
    }

    pub(super) fn name(&self, component: usize) -> &str {
        self.sheet.shares.lines()[component].name()
    }

    /// `oriental (sun-25, 12 %)`.
    pub(super) fn called(&self, component: usize) -> String {
        let name = self.name(component);
        let lot = &self.lots[component];
        let of_lot = lot.name.as_deref().filter(|lot| *lot != name);
        match (of_lot, &lot.moisture) {
            (Some(lot), Some(at)) => format!("{name} ({lot}, {at})"),
            (Some(lot), None) => format!("{name} ({lot})"),
            (None, Some(at)) => format!("{name} ({at})"),
            (None, None) => name.to_owned(),
        }
    }

    /// `24 g of leaf`, by what the size is of.
    pub(super) fn size_said(&self) -> String {
        let size = match &self.size {
            Some(size) => size.unbroken(),
            None => self.voice().mass_shown(self.sheet.size.mass()),
        };
        match self.sheet.size {
            SheetSize::AsWeighed(_) => format!("{size} of leaf as weighed"),
            SheetSize::DryMatter(_) => format!("{size} of dry leaf"),
            SheetSize::Finished(_) => format!("{size} finished"),
        }
    }

    /// The sheet, said.
    pub fn say(mut self, plan: &Planned) -> Answer {
        let voice = self.voice();
        let mut answer = Answer::new("sheet", self.headline(plan));
        let water = plan.water.as_ref().map(|(_, water)| water);
        answer.put_word(
            &PLAN,
            match water {
                Some(WateringPlan::Add(_)) => "add",
                Some(WateringPlan::Dry(_)) => "dry",
                Some(WateringPlan::Nothing(_)) => "nothing",
                None => "none",
            },
        );
        self.figures(&mut answer, plan);
        if !self.sheet.in_bowl.is_empty() {
            self.leave_it(&mut answer);
        }
        answer.check = match water {
            Some(water) => {
                let end = End::of(water, &self);
                format!(
                    "at the end the scale reads {}, at {} of total weight",
                    self.with_bowl(end.net, end.gross),
                    end.moisture
                )
            }
            None => format!(
                "at the end the scale reads {}",
                voice.mass_shown(plan.before_water)
            ),
        };
        self.doubt(&mut answer, plan);
        self.next(&mut answer, plan);
        self.cautions(&mut answer, plan);
        let steps = self.steps(plan);
        let assumed = std::mem::take(&mut self.assumed);
        assumed.settle(&mut answer);
        self.working(&mut answer, plan);
        answer.document = Some(Document {
            title: format!("{}: {}", self.title, self.size_said()),
            facts: self.facts(plan),
            steps,
            notes: self
                .note
                .iter()
                .cloned()
                .chain(answer.next.iter().cloned())
                .chain(answer.doubt.iter().map(|line| format!("doubt: {line}")))
                .chain(answer.assumed.iter().map(|line| format!("assumed: {line}")))
                .collect(),
            cautions: answer.cautions.clone(),
            picture: picture::of(plan),
        });
        answer
    }

    /// What the bowl is if nothing is added to it.
    fn leave_it(&self, answer: &mut Answer) {
        let Ok(restored) = self.sheet.restored() else {
            return;
        };
        let lines = self.sheet.shares.lines().iter().zip(&restored.parts);
        let left: Vec<String> = lines
            .map(|(line, part)| {
                format!(
                    "{} {} in place of {}",
                    line.name(),
                    say::estimate(&part.share_if_left, Unit::PERCENT),
                    say::base(line.share().base(), Unit::PERCENT)
                )
            })
            .collect();
        answer.put_exact(&OFF, restored.off_if_left.base());
        answer.details.push(format!(
            "As it lies: {}; at most {} points off.",
            left.join(", "),
            say::plain(restored.off_if_left.base() * 100.0)
        ));
    }

    pub(super) fn target(&self) -> String {
        let to = self.sheet.to.map_or(0.0, |to| to.ratio().base());
        say::base(to, Unit::PERCENT)
    }

    fn with_bowl(&self, net: &Estimate<Mass>, gross: Option<&Estimate<Mass>>) -> String {
        let net = self.voice().mass_shown(net.best());
        match gross {
            Some(gross) => format!(
                "{net} ({} with the bowl)",
                self.voice().mass_shown(gross.best())
            ),
            None => net,
        }
    }

    fn headline(&self, plan: &Planned) -> String {
        let voice = self.voice();
        let count = plan.lines.len();
        let mut parts = vec![match count {
            0 => "no leaf to weigh, all of it is in the bowl".to_owned(),
            1 => "1 weighing of leaf".to_owned(),
            count => format!("{count} weighings of leaf"),
        }];
        for casing in plan.casings.iter().zip(&self.sheet.casings) {
            parts.push(format!(
                "{} of {}",
                voice.mass_shown(casing.0.mass.best()),
                casing.1.liquid.name
            ));
        }
        for (flavour, line) in plan.flavours.iter().zip(&self.sheet.flavours) {
            parts.push(format!("{} of {}", self.amount(flavour), line.liquid.name));
        }
        match plan.water.as_ref().map(|(_, water)| water) {
            Some(WateringPlan::Add(plan)) => {
                let water = match plan.counted() {
                    Some(drops) => say::whole_drops(drops.whole),
                    None => self.liquid(plan.water.best()),
                };
                parts.push(format!("{water} of water"));
            }
            Some(WateringPlan::Dry(plan)) => parts.push(format!(
                "{} of water to air off",
                voice.mass_shown(plan.water.best())
            )),
            Some(WateringPlan::Nothing(_)) => parts.push("no water".to_owned()),
            None => {}
        }
        format!(
            "{} for {}: {}.",
            self.title,
            self.size_said(),
            parts.join(", ")
        )
    }

    /// How much of a flavouring goes in: drops, or what is weighed.
    fn amount(&self, flavour: &Flavoured) -> String {
        match flavour.counted {
            Some((drops, _)) => say::whole_drops(drops),
            None => self.liquid(flavour.goes_on()),
        }
    }

    /// A mass of a liquid: as the scale shows it, or as it is where that is next
    /// to nothing.
    pub(super) fn liquid(&self, mass: Mass) -> String {
        let few = |scale: gutta::measure::Scale| mass < scale.division() * 10.0;
        if self.sheet.scale.is_some_and(few) {
            self.voice().mass(mass)
        } else {
            self.voice().mass_shown(mass)
        }
    }

    fn figures(&self, answer: &mut Answer, plan: &Planned) {
        if let Some((_, WateringPlan::Add(water))) = &plan.water {
            answer.put(&WATER, &water.water);
            answer.put_exact(&FIRST, water.first.water.base());
            if let Some(drops) = water.counted() {
                answer.put_exact(&WATER_DROPS, drops.whole.count());
                answer.put(&MOISTURE_REACHED, &drops.moisture);
                let first = water.first.drops.unwrap_or(Drops::new(0.0));
                answer.put_exact(&FIRST_DROPS, first.count());
            }
        }
        if let Some((_, WateringPlan::Dry(water))) = &plan.water {
            answer.put(&TO_LOSE, &water.water);
        }
        if let Some((_, water)) = &plan.water {
            answer.put(&FINAL, water.final_mass());
            answer.put_if(&FINAL_GROSS, water.final_gross());
        }
        answer.put_exact(&LEAF, plan.leaf.base());
        answer.put_if(&DRY, plan.dry_matter.as_ref());
        answer.put_if(&MOISTURE, plan.moisture.as_ref());
        let rows = plan.lines.iter().map(|line| self.row(line));
        answer.put_rows(&LINES, rows.collect());
        let mut on = plan.leaf;
        if !plan.casings.is_empty() {
            let rows = plan
                .casings
                .iter()
                .zip(&self.sheet.casings)
                .map(|(casing, line)| {
                    on += casing.mass.best();
                    Row::default()
                        .with_text(&LIQUID, line.liquid.name.clone())
                        .with(&MASS, &casing.mass)
                        .with_exact(&READS, on.base())
                });
            answer.put_rows(&CASINGS, rows.collect());
        }
        if !plan.flavours.is_empty() {
            let rows = plan
                .flavours
                .iter()
                .zip(&self.sheet.flavours)
                .map(|(flavour, line)| {
                    on += flavour.goes_on();
                    let row = Row::default()
                        .with_text(&LIQUID, line.liquid.name.clone())
                        .with(&MASS, &flavour.dosed.mass)
                        .with_exact(&READS, on.base())
                        .with_if(&VOLUME, flavour.dosed.volume.as_ref());
                    match flavour.counted {
                        Some((drops, _)) => row.with_exact(&COUNT, drops.count()),
                        None => row,
                    }
                });
            answer.put_rows(&FLAVOURS, rows.collect());
        }
        if let Some(smallest) = &plan.smallest {
            answer.put_exact(&SMALLEST, smallest.batch.base());
        }
    }

    fn row(&self, line: &Line) -> Row {
        let mut row = Row::default()
            .with_text(&COMPONENT, self.name(line.component).to_owned())
            .with_exact(&TOLERANCE, line.tolerance.base())
            .with_exact(&READS, line.running.base());
        row = if self.sheet.in_bowl_of(line.component).base() > 0.0 {
            row.with_exact(&MASS, line.add.base())
                .with_exact(&IN_BOWL, self.sheet.in_bowl_of(line.component).base())
        } else {
            row.with(&MASS, &line.mass)
        };
        if let Some(lot) = &self.lots[line.component].name {
            row = row.with_text(&LOT, lot.clone());
        }
        if let Some(tray) = self.sheet.tray {
            row = row.with_exact(&GROSS, (line.running + tray.value()).base());
        }
        if let Some(small) = &line.too_small {
            row = row.with_exact(&ERROR, small.error.base());
            if let Some((premix, take)) = &small.premix {
                row = row
                    .with_exact(&PREMIX, premix.condiment.base())
                    .with_exact(&PREMIX_BASE, premix.base.base())
                    .with_exact(&TAKE, take.take.base())
                    .with_exact(&BASE_LEFT, take.base_to_add.base());
            }
        }
        row
    }

    pub(super) fn facts(&self, plan: &Planned) -> Vec<(&'static str, String)> {
        let mut facts = vec![("Batch", self.size_said())];
        if let Some(to) = &self.to {
            let band = say::base(self.sheet.band.base(), Unit::PERCENT);
            facts.push(("Moisture", format!("{} within {band}", to.unbroken())));
        }
        if let Some(moisture) = &plan.moisture {
            let said = if moisture.u() > 0.0 {
                format!("{} (95\u{a0}%)", say::with_doubt(moisture, Unit::PERCENT))
            } else {
                say::estimate(moisture, Unit::PERCENT)
            };
            facts.push(("Lots together", said));
        }
        if let Some(scale) = &self.sheet.scale {
            let step = say::base(scale.division().base(), Unit::GRAM);
            facts.push(("Scale", format!("reads to {step}")));
        }
        facts
    }

    pub(super) fn cautions(&mut self, answer: &mut Answer, plan: &Planned) {
        answer.cautions.push(Caution::CleanWater.to_string());
        answer.cautions.push(Caution::WetLeaf.to_string());
        if !plan.flavours.is_empty() || !plan.casings.is_empty() {
            answer.cautions.push(Caution::FoodGrade.to_string());
        }
        if !plan.flavours.is_empty() {
            answer.cautions.push(Caution::Restricted.to_string());
        }
        let kept = self
            .sheet
            .to
            .or_else(|| plan.moisture.as_ref().map(Estimate::best));
        if let Some(kept) = kept {
            let cased = !plan.casings.is_empty() || self.assumed.is_upper_bound();
            answer.cautions.extend(mould(kept, cased));
        }
        let liquids = plan.casings.iter().zip(&self.sheet.casings);
        let liquids = liquids.map(|(casing, line)| (line.liquid.name.as_str(), casing.mass.best()));
        let weighed = plan.flavours.iter().zip(&self.sheet.flavours);
        let weighed = weighed
            .filter(|(flavour, _)| flavour.counted.is_none())
            .map(|(flavour, line)| (line.liquid.name.as_str(), flavour.goes_on()));
        let small = say::below_least(liquids.chain(weighed), self.sheet.scale);
        answer.cautions.splice(0..0, small);
    }

    fn working(&self, answer: &mut Answer, plan: &Planned) {
        let voice = self.voice();
        if let Some((watering, water)) = &plan.water {
            let pile = match water {
                WateringPlan::Add(plan) => Some(plan.pile),
                WateringPlan::Dry(plan) => Some(plan.pile),
                WateringPlan::Nothing(_) => None,
            };
            answer.working.extend(pile.map(|pile| {
                format!(
                    "water = {} dry × {} / (1 − {}) − {} of water there = {}",
                    voice.mass(pile.dry_matter()),
                    self.target(),
                    self.target(),
                    voice.mass(pile.water()),
                    voice.mass(pile.water_to(watering.to))
                )
            }));
        }
        for line in &plan.lines {
            let share = self.sheet.shares.lines()[line.component].share();
            let share = say::base(share.base(), Unit::PERCENT);
            let what = self.name(line.component);
            answer.working.push(match self.sheet.basis {
                LeafBasis::AsWeighed => format!(
                    "{what} = {share} of the leaf as weighed = {}",
                    voice.mass(line.mass.best())
                ),
                LeafBasis::Dry => format!(
                    "{what} = {share} of the dry leaf, over 1 − moisture = {}",
                    voice.mass(line.mass.best())
                ),
            });
        }
    }
}

/// What is there at the end: with the whole drops where the water is counted,
/// else with all of it.
struct End<'a> {
    net: &'a Estimate<Mass>,
    gross: Option<&'a Estimate<Mass>>,
    moisture: String,
}

impl<'a> End<'a> {
    fn of(water: &'a WateringPlan, question: &Question) -> Self {
        let counted = match water {
            WateringPlan::Add(plan) => plan.counted(),
            _ => None,
        };
        match counted {
            Some(drops) => Self {
                net: &drops.final_mass,
                gross: drops.final_gross.as_ref(),
                moisture: say::estimate(&drops.moisture, Unit::PERCENT),
            },
            None => Self {
                net: water.final_mass(),
                gross: water.final_gross(),
                moisture: question.target(),
            },
        }
    }
}
