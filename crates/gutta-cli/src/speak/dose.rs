//! A dose in sentences: what the flavouring comes to, and for the batch.

use gutta::bench::{
    Asked, BatchValue, CountedDose, DoseAsWeighed, DoseDry, Dosed, GivenDose, LeafBasis,
    USUAL_DROPS, is_counted, strength,
};
use gutta::measure::{Drops, Mass, Measured, Reading, Scalar, Unit, Volume, number};
use gutta::{Caution, Dosing, Estimate, Moisture};
use uom::si::mass::gram;

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const MILLILITRES: Shape = Shape::Quantity(JsonUnit::Millilitre);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);
const PER_KILOGRAM: Shape = Shape::Quantity(JsonUnit::GramPerKilogram);

keys! {
    MASS = "mass": GRAMS, "the flavouring that was asked for";
    VOLUME = "volume": MILLILITRES, "the flavouring that was asked for, as a volume";
    DOSE = "dose": PER_KILOGRAM, "the dose on leaf as weighed";
    DOSE_DRY = "dose_dry": PER_KILOGRAM, "the dose on dry leaf";
    ML_PER_KG = "ml_per_kg": Shape::Quantity(JsonUnit::MillilitrePerKilogram), "the volume for each kilogram of leaf as weighed";
    DROPS_EXACT = "drops_exact": DROPS, "the flavouring that was asked for in drops, not rounded";
    WHOLE = "drops": DROPS, "the nearest whole number of drops; left out under one";
    MASS_REACHED = "mass_reached": GRAMS, "what the whole drops weigh";
    DOSE_REACHED = "dose_reached": PER_KILOGRAM, "the dose that they reach on leaf as weighed";
    DOSE_REACHED_DRY = "dose_reached_dry": PER_KILOGRAM, "the dose that they reach on dry leaf";
    GIVEN = "drops_given": DROPS, "the drops really given by the bottle's loss, the nearest whole number";
    GIVEN_EXACT = "drops_given_exact": DROPS, "the drops really given by the bottle's loss, not rounded";
    DOSE_GIVEN = "dose_given": PER_KILOGRAM, "the dose really given by the bottle's loss, on leaf as weighed";
    DOSE_GIVEN_DRY = "dose_given_dry": PER_KILOGRAM, "the dose really given by the bottle's loss, on dry leaf";
    FOR_MASS = "for_mass": GRAMS, "the flavouring for the batch";
    FOR_VOLUME = "for_volume": MILLILITRES, "the flavouring for the batch, as a volume of the bottle at hand";
    FOR_DROPS = "for_drops": DROPS, "the flavouring for the batch in drops of the bottle at hand, not rounded";
}

/// The keys of a dose.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MASS],
    known: &[
        &VOLUME,
        &DOSE,
        &DOSE_DRY,
        &ML_PER_KG,
        &DROPS_EXACT,
        &WHOLE,
        &MASS_REACHED,
        &DOSE_REACHED,
        &DOSE_REACHED_DRY,
        &GIVEN,
        &GIVEN_EXACT,
        &DOSE_GIVEN,
        &DOSE_GIVEN_DRY,
        &FOR_MASS,
        &FOR_VOLUME,
        &FOR_DROPS,
    ],
}];

/// Everything that was typed, read.
pub struct Question {
    /// What was asked for, as it was typed.
    pub asked: Reading,
    /// The leaf, where it was weighed.
    pub leaf: Option<Weight>,
    /// The flags that say how a dose is counted on it.
    pub counted_on: String,
    /// The leaf of the batch, where there is one.
    pub batch: Option<Weight>,
    /// The question to the library.
    pub dosing: Dosing,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, dosed: &Dosed) -> Answer {
        let voice = Voice::of(self.leaf.as_ref().map_or(&self.asked, |w| &w.reading), None);
        let trial = self.trial(voice, dosed);
        let mut answer = match &dosed.batch {
            None => Answer::new("dose", trial),
            Some(batch) => {
                let headline = format!(
                    "Weigh {} of flavouring{} for the batch of {}: {}.",
                    voice.weight(&batch.mass),
                    in_brackets(batch.volume.as_ref()),
                    self.batch
                        .as_ref()
                        .map_or_else(String::new, |w| w.reading.unbroken()),
                    self.dose_in_words(dosed)
                );
                let mut answer = Answer::new("dose", headline);
                answer.details.push(format!("The trial: {trial}"));
                answer
            }
        };
        if let Some(given) = &dosed.given {
            answer.details.push(self.really_given(dosed, given));
        }
        answer.check = self.check(voice, dosed);
        figures(&mut answer, dosed);
        doubt(&mut answer, voice, dosed);
        if let (None, Some(exact)) = (&dosed.counted, &dosed.drops_exact) {
            answer.next.push(self.diluted(exact, dosed));
        }
        next(&mut answer, dosed);
        if let Ok(Some(advice)) = self.dosing.advice() {
            let line = say::advice(&advice, "the flavouring", Unit::GRAM);
            let side = if advice.is_enough {
                "inside"
            } else {
                "still outside"
            };
            answer
                .next
                .extend(line.map(|line| format!("{line}, {side} ±\u{a0}2\u{a0}%")));
        }
        let miscounted = self.miscounted(dosed).map(|given| {
            format!(
                "count and loss disagree, {} against {}: go by the loss, and look for a drop missed or spilt{}",
                self.asked.unbroken(),
                say::whole_drops(given),
                if dosed.batch.is_some() {
                    "; the batch is worked out from the count"
                } else {
                    ""
                }
            )
        });
        answer.cautions = [Caution::FoodGrade, Caution::Restricted]
            .iter()
            .map(ToString::to_string)
            .collect();
        answer.cautions.splice(0..0, miscounted);
        self.working(&mut answer, voice, dosed);
        self.assumed.settle(&mut answer);
        answer
    }

    /// The dose on the basis of the question, as it is.
    fn dose_in_words(&self, dosed: &Dosed) -> String {
        let mut said = match self.dosing.basis {
            LeafBasis::Dry => on_each_basis(None, dosed.dose_dry.as_ref()),
            LeafBasis::AsWeighed => on_each_basis(dosed.dose.as_ref(), None),
        };
        said.next().unwrap_or_default()
    }

    /// What was asked for, in a sentence.
    fn trial(&self, voice: Voice, dosed: &Dosed) -> String {
        let mass = voice.weight(&dosed.mass);
        let volume = in_brackets(dosed.volume.as_ref());
        let doses: Vec<String> =
            on_each_basis(dosed.dose.as_ref(), dosed.dose_dry.as_ref()).collect();
        let doses = if doses.is_empty() {
            String::new()
        } else {
            format!(": {}", doses.join(", "))
        };
        match (&self.dosing.asked, &dosed.counted, &dosed.drops_exact) {
            (Asked::Drops(n), _, _) if n.count().fract() == 0.0 => format!(
                "{} of flavouring {} {mass}{volume}{doses}.",
                self.asked.unbroken(),
                if n.count() == 1.0 { "weighs" } else { "weigh" }
            ),
            (_, Some(counted), Some(exact)) => format!(
                "{mass} of flavouring{volume}{doses}. That is {}: {} {} {}.",
                say::drops(exact),
                say::whole_drops(counted.drops),
                if counted.drops.count() == 1.0 {
                    "reaches"
                } else {
                    "reach"
                },
                reached(voice, counted)
            ),
            (_, None, Some(exact)) => format!(
                "{mass} of flavouring{volume}{doses}. That is {}, less than one.",
                say::drops(exact)
            ),
            _ => format!("{mass} of flavouring{volume}{doses}."),
        }
    }

    /// What to dilute, where a dose is less than a drop: so that a few drops,
    /// each as large as these, are the dose; and the question that works it out.
    fn diluted(&self, exact: &Estimate<Drops>, dosed: &Dosed) -> String {
        let flavouring = dosed.mass.best();
        let few = Drops::new(USUAL_DROPS);
        let drops = flavouring * (few.count() / exact.best().count());
        let share = strength(flavouring, drops);
        let one_gram = Mass::new::<gram>(1.0);
        format!(
            "{} cannot be counted: dilute the flavouring to {} by mass, {} with {} of carrier, and {} of that, each as large as these, are the dose; {}",
            say::drops(exact),
            say::base(share.base(), Unit::PERCENT),
            say::base(one_gram.base(), Unit::GRAM),
            say::base((one_gram / share - one_gram).base(), Unit::GRAM),
            say::whole_drops(few),
            self.dilute(dosed)
        )
    }

    /// What is typed for the dilution, where there is leaf that it is dosed on.
    fn dilute(&self, dosed: &Dosed) -> String {
        let dose = match (&self.dosing.asked, self.dosing.basis) {
            (Asked::Dose(_), _) => Some(self.asked.unbroken_value()),
            (_, LeafBasis::AsWeighed) => dosed.dose.as_ref().map(per_kilogram),
            (_, LeafBasis::Dry) => dosed.dose_dry.as_ref().map(per_kilogram),
        };
        match dose.zip(self.leaf.as_ref()) {
            Some((dose, leaf)) => format!(
                "for your scale and the dilution's own drop: gutta dilute \"{}\" --leaf {}{} --dilution-drop … --scale …",
                dose.replace('\u{a0}', " "),
                say::typeable(&leaf.reading),
                self.counted_on
            ),
            None => {
                "gutta dilute works it out for your leaf, your scale and the dilution's own drop"
                    .to_owned()
            }
        }
    }

    /// What the bottle's loss says.
    fn really_given(&self, dosed: &Dosed, given: &GivenDose) -> String {
        let drops = given.drops_exact.as_ref().map(|exact| {
            let planned = match self.dosing.asked {
                Asked::Drops(n) if self.miscounted(dosed).is_some() => {
                    format!(", not {}", number(n.count(), 0))
                }
                _ => String::new(),
            };
            let whole = say::whole_drops(exact.best().nearest_whole());
            let by_weight = if exact.u() > 0.0 {
                format!("{} (95\u{a0}%)", say::with_doubt(exact, Unit::DROP))
            } else {
                say::drops_exactly(exact)
            };
            format!("{whole}, by weight {by_weight}{planned}")
        });
        let doses = on_each_basis(given.dose.as_ref(), given.dose_dry.as_ref());
        let said: Vec<String> = drops.into_iter().chain(doses).collect();
        format!("Really given, by the bottle's loss: {}.", said.join(", "))
    }

    /// The drops that the bottle's loss makes, where they are not those counted.
    fn miscounted(&self, dosed: &Dosed) -> Option<Drops> {
        let Asked::Drops(counted) = self.dosing.asked else {
            return None;
        };
        let given = dosed.given.as_ref()?;
        let exact = given.drops_exact.as_ref()?;
        // Within its doubt the loss says nothing against the count.
        let off = (exact.best().count() - counted.count()).abs();
        let whole = given.drops()?;
        (whole != counted && off > say::half_width(exact)).then_some(whole)
    }

    /// What a person can verify on the scale.
    fn check(&self, voice: Voice, dosed: &Dosed) -> String {
        let more = |mass: String| format!("the scale then reads {mass} more");
        if let Some(batch) = &dosed.batch {
            return more(voice.weight(&batch.mass));
        }
        match (&self.dosing.bottle_loss, &dosed.counted) {
            // What the bottle lost lies on the leaf, whatever was counted.
            (Some(loss), _) => more(voice.weight(&loss.estimate("loss"))),
            (None, Some(counted)) => more(voice.weight(&counted.mass)),
            (None, None) => more(voice.weight(&dosed.mass)),
        }
    }

    fn working(&self, answer: &mut Answer, voice: Voice, dosed: &Dosed) {
        if let (Asked::Drops(n), Some(one)) = (
            &self.dosing.asked,
            self.dosing.drop.and_then(|drop| drop.weighed_mass()),
        ) {
            answer.working.push(format!(
                "mass = {} × {} = {}",
                n.count(),
                say::base(one.base(), say::MILLIGRAM),
                voice.mass(dosed.mass.best())
            ));
        }
        let dry = |leaf: &Measured<Mass>, at: &Measured<Moisture>| {
            let dry = leaf.value() * at.value().dry_share();
            format!(
                "{} × (1 − {}) = {}",
                voice.mass(leaf.value()),
                say::base(at.value().base(), Unit::PERCENT),
                voice.mass(dry)
            )
        };
        if let (Some(leaf), Some(at)) = (&self.dosing.leaf, &self.dosing.at) {
            answer.working.push(format!("dry leaf = {}", dry(leaf, at)));
        }
        if let Some(batch) = &self.dosing.batch {
            if let BatchValue::Own(at) = &batch.at {
                answer
                    .working
                    .push(format!("dry leaf of the batch = {}", dry(&batch.leaf, at)));
            }
            if let Some(for_batch) = &dosed.batch {
                answer.working.push(format!(
                    "for the batch = {} × its leaf = {}",
                    self.dose_in_words(dosed),
                    voice.mass(for_batch.mass.best())
                ));
            }
        }
        if answer.working.is_empty() {
            answer.working.push(format!(
                "mass = {}, dose = mass / leaf",
                voice.mass(dosed.mass.best())
            ));
        }
    }
}

fn per_kilogram<S: Scalar>(dose: &Estimate<S>) -> String {
    say::estimate(dose, Unit::GRAM_PER_KILOGRAM)
}

/// The doses that are known, each with its basis.
fn on_each_basis(
    dose: Option<&Estimate<DoseAsWeighed>>,
    dry: Option<&Estimate<DoseDry>>,
) -> impl Iterator<Item = String> + use<> {
    let said = |dose: String, basis: LeafBasis| format!("{dose} {}", basis.name());
    let as_weighed = dose.map(|dose| said(per_kilogram(dose), LeafBasis::AsWeighed));
    let dry = dry.map(|dose| said(per_kilogram(dose), LeafBasis::Dry));
    as_weighed.into_iter().chain(dry)
}

fn in_brackets(volume: Option<&Estimate<Volume>>) -> String {
    volume.map_or_else(String::new, |volume| {
        format!(" ({})", say::estimate(volume, Unit::MILLILITRE))
    })
}

/// What whole drops reach: a dose where leaf is known, else a mass.
fn reached(voice: Voice, counted: &CountedDose) -> String {
    match (&counted.dose_dry, &counted.dose) {
        (Some(dry), Some(dose)) => {
            format!("{}, {} of dry leaf", per_kilogram(dose), per_kilogram(dry))
        }
        (None, Some(dose)) => per_kilogram(dose),
        _ => voice.weight(&counted.mass),
    }
}

fn figures(answer: &mut Answer, dosed: &Dosed) {
    answer.put(&MASS, &dosed.mass);
    answer.put_if(&VOLUME, dosed.volume.as_ref());
    answer.put_if(&DOSE, dosed.dose.as_ref());
    answer.put_if(&DOSE_DRY, dosed.dose_dry.as_ref());
    answer.put_if(&ML_PER_KG, dosed.volume_per_leaf.as_ref());
    answer.put_if(&DROPS_EXACT, dosed.drops_exact.as_ref());
    if let Some(counted) = &dosed.counted {
        answer.put_exact(&WHOLE, counted.drops.count());
        answer.put(&MASS_REACHED, &counted.mass);
        answer.put_if(&DOSE_REACHED, counted.dose.as_ref());
        answer.put_if(&DOSE_REACHED_DRY, counted.dose_dry.as_ref());
    }
    if let Some(given) = &dosed.given {
        if let Some(drops) = given.drops() {
            answer.put_exact(&GIVEN, drops.count());
        }
        answer.put_if(&GIVEN_EXACT, given.drops_exact.as_ref());
        answer.put_if(&DOSE_GIVEN, given.dose.as_ref());
        answer.put_if(&DOSE_GIVEN_DRY, given.dose_dry.as_ref());
    }
    if let Some(batch) = &dosed.batch {
        answer.put(&FOR_MASS, &batch.mass);
        answer.put_if(&FOR_VOLUME, batch.volume.as_ref());
        answer.put_if(&FOR_DROPS, batch.drops.as_ref());
    }
}

fn doubt(answer: &mut Answer, voice: Voice, dosed: &Dosed) {
    let line = |what: &str, said: String, shares: &[(String, f64)]| {
        format!("{what} {said} (95\u{a0}%): {}", say::drivers(shares))
    };
    let mut lines = Vec::new();
    let mut mass = |what: &str, mass: &Estimate<Mass>| {
        if mass.u() > 0.0 {
            lines.push(line(what, voice.with_doubt(mass), &say::budget(mass)));
        }
    };
    mass("the flavouring", &dosed.mass);
    if let Some(batch) = &dosed.batch {
        mass("for the batch", &batch.mass);
    }
    // An amount without doubt may still come to a doubtful dose or count.
    if dosed.mass.u() == 0.0 {
        if let Some(dose) = dosed.dose_dry.as_ref().filter(|d| d.u() > 0.0) {
            let said = say::with_doubt(dose, Unit::GRAM_PER_KILOGRAM);
            let what = format!("the dose {}", LeafBasis::Dry.name());
            lines.push(line(&what, said, &say::budget(dose)));
        } else if let Some(dose) = dosed.dose.as_ref().filter(|d| d.u() > 0.0) {
            let said = say::with_doubt(dose, Unit::GRAM_PER_KILOGRAM);
            lines.push(line("the dose", said, &say::budget(dose)));
        }
        if let Some(exact) = dosed.drops_exact.as_ref().filter(|n| n.u() > 0.0) {
            let said = say::with_doubt(exact, Unit::DROP);
            lines.push(line("the drops", said, &say::budget(exact)));
        }
        if let Some(volume) = dosed.volume.as_ref().filter(|v| v.u() > 0.0) {
            let said = say::with_doubt(volume, Unit::MILLILITRE);
            lines.push(line("the volume", said, &say::budget(volume)));
        }
    }
    let for_batch = dosed.batch.as_ref().and_then(|batch| batch.drops.as_ref());
    if let Some(drops) = for_batch.filter(|n| lines.is_empty() && n.u() > 0.0) {
        let said = say::with_doubt(drops, Unit::DROP);
        lines.push(line("the drops for the batch", said, &say::budget(drops)));
    }
    if lines.is_empty() {
        lines
            .push("not known: type it behind a figure, such as --drop \"21.4mg ± 1mg\"".to_owned());
    }
    answer.doubt = lines;
}

fn next(answer: &mut Answer, dosed: &Dosed) {
    let volume = match &dosed.batch {
        Some(batch) => batch.volume.as_ref(),
        None => dosed.volume.as_ref(),
    };
    if volume.is_some_and(|v| !is_counted(v.best())) {
        answer
            .next
            .push("weigh it: this is more than is counted in drops".to_owned());
    }
    if let Some(batch) = &dosed.batch {
        if let Some(drops) = &batch.drops {
            answer.next.push(format!(
                "do not count the {}: weigh",
                say::whole_drops(drops.best().nearest_whole())
            ));
        }
    } else if dosed.counted.is_some() && dosed.given.is_none() {
        answer
            .next
            .push("flavour only when the leaf is mixed; toss, rest, judge".to_owned());
    }
}
