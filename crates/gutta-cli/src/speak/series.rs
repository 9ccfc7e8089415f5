//! A series of doses in sentences: one line a portion.

use gutta::Caution;
use gutta::bench::{CountedDose, Dosed, LeafBasis, Portions, Series};
use gutta::measure::{Reading, Scalar, Unit};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::{Assumed, Weight};
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const DROPS: Shape = Shape::Quantity(JsonUnit::Drop);
const PER_KILOGRAM: Shape = Shape::Quantity(JsonUnit::GramPerKilogram);

keys! {
    LAST = "last_dose_reached": PER_KILOGRAM, "the dose that the last portion with drops reaches on leaf as weighed: the doubt and the budget are about it";
    LAST_DRY = "last_dose_reached_dry": PER_KILOGRAM, "the same on dry leaf";
    PORTION = "portion": GRAMS, "the leaf of each portion, as weighed";
    BASIS = "basis": Shape::Word(&["as-weighed", "dry"]), "what the doses are counted on";
    DOSE = "dose": PER_KILOGRAM, "the dose wanted, on the basis; 0 is the blank";
    MASS = "mass": GRAMS, "the flavouring that it asks for";
    DROPS_EXACT = "drops_exact": DROPS, "the same in drops, not rounded";
    WHOLE = "drops": DROPS, "the nearest whole number of drops; left out under one";
    REACHED = "dose_reached": PER_KILOGRAM, "the dose that they reach on leaf as weighed";
    REACHED_DRY = "dose_reached_dry": PER_KILOGRAM, "the dose that they reach on dry leaf";
    STEPS = "steps": Shape::Rows {
        always: &[&DOSE, &MASS, &DROPS_EXACT],
        known: &[&WHOLE, &REACHED, &REACHED_DRY],
    }, "each portion, in the order of the doses";
}

/// The keys of a series.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&PORTION, &BASIS, &STEPS],
    known: &[&LAST, &LAST_DRY],
}];

/// As many doses of less than a drop are worked out in full; the rest go alike.
const MOST_HINTS: usize = 3;

/// Everything that was typed, read.
pub struct Question {
    /// The doses, as they were typed.
    pub typed: Vec<Reading>,
    /// All of the base.
    pub leaf: Weight,
    /// The flags that say how a dose is counted on it.
    pub counted_on: String,
    /// The question to the library.
    pub series: Series,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, portions: &Portions) -> Answer {
        let voice = Voice::of(&self.leaf.reading, self.series.scale);
        let on = self.series.basis.name();
        let headline = format!(
            "Split {} of base into {} portions of {}; the doses are counted on each kilogram {on}.",
            self.leaf.reading.unbroken_value(),
            portions.steps.len(),
            voice.weight(&portions.portion)
        );
        let mut answer = Answer::new("series", headline);
        let each = self.typed.iter().zip(&portions.steps);
        answer
            .details
            .extend(each.map(|(typed, step)| self.step(typed, step.as_ref())));
        answer.check = format!("each portion weighs {}", voice.reading(&portions.portion));
        self.last(&mut answer, portions);
        answer.put(&PORTION, &portions.portion);
        answer.put_word(
            &BASIS,
            match self.series.basis {
                LeafBasis::AsWeighed => "as-weighed",
                LeafBasis::Dry => "dry",
            },
        );
        let each = self.series.doses.iter().zip(&portions.steps);
        answer.put_rows(
            &STEPS,
            each.map(|(dose, step)| row(&dose.estimate("dose"), step.as_ref()))
                .collect(),
        );
        doubt(&mut answer, self.series.basis, portions);
        self.next(&mut answer, portions);
        let portion = [("leaf in each portion", portions.portion.best())];
        answer.cautions = self.twice();
        answer
            .cautions
            .extend(say::below_least(portion, self.series.scale));
        let always = [Caution::FoodGrade, Caution::Restricted];
        answer
            .cautions
            .extend(always.iter().map(ToString::to_string));
        answer.working.push(format!(
            "portion = {} / {}; drops = dose × portion / drop",
            self.leaf.reading.unbroken_value(),
            portions.steps.len()
        ));
        self.assumed.settle(&mut answer);
        answer
    }

    /// The dose that whole drops reach, on the basis.
    fn reached(&self, dosed: &Dosed) -> Option<String> {
        let counted = dosed.counted.as_ref()?;
        match self.series.basis {
            LeafBasis::Dry => counted.dose_dry.as_ref().map(per_kilogram),
            LeafBasis::AsWeighed => counted.dose.as_ref().map(per_kilogram),
        }
    }

    fn step(&self, typed: &Reading, step: Option<&Dosed>) -> String {
        let dose = typed.unbroken();
        let Some(dosed) = step else {
            return format!("{dose}: the blank, no flavouring.");
        };
        let exact = dosed
            .drops_exact
            .as_ref()
            .map_or_else(String::new, say::drops);
        match (&dosed.counted, self.reached(dosed)) {
            (Some(counted), Some(reached)) => format!(
                "{dose}: {} ({exact}), which {} {reached}.",
                say::whole_drops(counted.drops),
                say::of_count(counted.drops.count(), "reaches", "reach")
            ),
            _ => format!("{dose}: {exact}, less than one: dilute it."),
        }
    }

    /// Each portion: its place from 1, its dose as typed and what that comes to.
    fn each<'a>(
        &'a self,
        portions: &'a Portions,
    ) -> impl Iterator<Item = (usize, &'a Reading, Option<&'a Dosed>)> {
        let steps = portions.steps.iter().map(Option::as_ref);
        let each = self.typed.iter().zip(steps).enumerate();
        each.map(|(at, (typed, step))| (at + 1, typed, step))
    }

    /// The last dose that is counted leads: it is what the doubt is about.
    fn last(&self, answer: &mut Answer, portions: &Portions) {
        let Some(last) = last_counted(portions) else {
            return;
        };
        match self.series.basis {
            LeafBasis::AsWeighed => {
                answer.put_if(&LAST, last.dose.as_ref());
                answer.put_if(&LAST_DRY, last.dose_dry.as_ref());
            }
            LeafBasis::Dry => {
                answer.put_if(&LAST_DRY, last.dose_dry.as_ref());
                answer.put_if(&LAST, last.dose.as_ref());
            }
        }
    }

    /// Doses that are typed more than once, each with its portions.
    fn twice(&self) -> Vec<String> {
        let doses: Vec<f64> = self.typed.iter().map(Reading::base).collect();
        let places = |dose: f64| {
            let is_it = move |other: f64| (other - dose).abs() <= 1e-12 * dose;
            let places = doses.iter().enumerate();
            places
                .filter(move |(_, other)| is_it(**other))
                .map(|(at, _)| at)
        };
        let first = |(at, dose): &(usize, f64)| places(*dose).next() == Some(*at);
        let once = doses.iter().copied().enumerate().filter(first);
        once.filter_map(|(at, dose)| {
            let places: Vec<String> = places(dose).map(|at| (at + 1).to_string()).collect();
            let (last, others) = places.split_last()?;
            (!others.is_empty()).then(|| {
                format!(
                    "{} is typed more than once: portions {} and {last} are alike",
                    self.typed[at].unbroken(),
                    others.join(", ")
                )
            })
        })
        .collect()
    }

    /// Two doses that differ, and are counted in as many drops.
    fn counted_alike<'a>(&'a self, portions: &'a Portions) -> Option<(&'a Reading, &'a Reading)> {
        let counted: Vec<(&Reading, f64)> = self
            .each(portions)
            .filter_map(|(_, typed, step)| {
                let counted = step?.counted.as_ref()?;
                Some((typed, counted.drops.count()))
            })
            .collect();
        let differ =
            |a: &Reading, b: &Reading| (a.base() - b.base()).abs() > 1e-12 * a.base().max(b.base());
        counted.iter().enumerate().find_map(|(at, (typed, drops))| {
            let mut later = counted[at + 1..].iter();
            let same = later.find(|(other, n)| n == drops && differ(typed, other))?;
            Some((*typed, same.0))
        })
    }

    fn next(&self, answer: &mut Answer, portions: &Portions) {
        let next = &mut answer.next;
        next.push(
            "toss the base well before it is split: the portions are to differ in the dose alone"
                .to_owned(),
        );
        let mut below: Vec<&Reading> = self
            .each(portions)
            .filter(|(_, _, step)| step.is_some_and(|dosed| dosed.counted.is_none()))
            .map(|(_, typed, _)| typed)
            .collect();
        // A dose that stands twice is one to dilute.
        let mut seen: Vec<f64> = Vec::new();
        below.retain(|typed| {
            let is_new = !seen.contains(&typed.base());
            seen.push(typed.base());
            is_new
        });
        let (hinted, rest) = below.split_at(below.len().min(MOST_HINTS));
        for typed in hinted {
            next.push(format!(
                "for {}: gutta dilute \"{typed}\" --leaf {}{} --dilution-drop … --scale …",
                typed.unbroken(),
                say::base(portions.portion.best().base(), Unit::GRAM).replace('\u{a0}', ""),
                self.counted_on
            ));
        }
        if !rest.is_empty() {
            let rest: Vec<String> = rest.iter().map(|typed| typed.unbroken()).collect();
            next.push(format!("and so on for {}", rest.join(", ")));
        }
        if let Some((one, other)) = self.counted_alike(portions) {
            next.push(format!(
                "two doses come to the same whole drops, {} and {}: take larger portions, or dilute the flavouring",
                one.unbroken(),
                other.unbroken()
            ));
        }
        next.push("flavour from the weakest up, rest all alike, and judge them blind".to_owned());
    }
}

fn per_kilogram<S: Scalar>(dose: &gutta::Estimate<S>) -> String {
    say::estimate(dose, Unit::GRAM_PER_KILOGRAM)
}

fn row(dose: &gutta::Estimate<gutta::measure::Ratio>, step: Option<&Dosed>) -> Row {
    let row = Row::default().with(&DOSE, dose);
    let Some(dosed) = step else {
        return row.with_exact(&MASS, 0.0).with_exact(&DROPS_EXACT, 0.0);
    };
    let row = row
        .with(&MASS, &dosed.mass)
        .with_if(&DROPS_EXACT, dosed.drops_exact.as_ref());
    let Some(counted) = &dosed.counted else {
        return row;
    };
    row.with_exact(&WHOLE, counted.drops.count())
        .with_if(&REACHED, counted.dose.as_ref())
        .with_if(&REACHED_DRY, counted.dose_dry.as_ref())
}

fn last_counted(portions: &Portions) -> Option<&CountedDose> {
    let mut backwards = portions.steps.iter().flatten().rev();
    backwards.find_map(|dosed| dosed.counted.as_ref())
}

/// The doubt of the first figure that has one, in the order of the answer's keys.
fn doubt(answer: &mut Answer, basis: LeafBasis, portions: &Portions) {
    let other = match basis {
        LeafBasis::Dry => LeafBasis::AsWeighed,
        LeafBasis::AsWeighed => LeafBasis::Dry,
    };
    let last = last_counted(portions);
    let reached = |basis| {
        let (dose, dry) = (last?.dose.as_ref(), last?.dose_dry.as_ref());
        say::doubt_of_dose("the last dose reached", basis, dose, dry)
    };
    let said = reached(basis)
        .or_else(|| reached(other))
        .or_else(|| say::doubt_of("a portion", &portions.portion, Unit::GRAM));
    answer.doubt.push(said.unwrap_or_else(|| {
        "not known: type it behind a figure, such as --drop \"24.5mg ± 1mg\"".to_owned()
    }));
}
