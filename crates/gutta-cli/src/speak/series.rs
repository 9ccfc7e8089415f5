//! A series of doses in sentences: one line a portion.

use gutta::Caution;
use gutta::bench::{Dosed, LeafBasis, Portions, Series};
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
    known: &[],
}];

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
        answer.cautions = [Caution::FoodGrade, Caution::Restricted]
            .iter()
            .map(ToString::to_string)
            .collect();
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
                "{dose}: {} ({exact}), which reach {reached}.",
                say::whole_drops(counted.drops)
            ),
            _ => format!("{dose}: {exact}, less than one: dilute it."),
        }
    }

    fn next(&self, answer: &mut Answer, portions: &Portions) {
        let next = &mut answer.next;
        next.push(
            "toss the base well before it is split: the portions are to differ in the dose alone"
                .to_owned(),
        );
        let below = self
            .typed
            .iter()
            .zip(&portions.steps)
            .find(|(_, step)| step.as_ref().is_some_and(|dosed| dosed.counted.is_none()));
        if let Some((typed, _)) = below {
            next.push(format!(
                "for {}: gutta dilute \"{typed}\" --leaf {}{} --dilution-drop … --scale …",
                typed.unbroken(),
                say::base(portions.portion.best().base(), Unit::GRAM).replace('\u{a0}', ""),
                self.counted_on
            ));
        }
        let counts: Vec<f64> = portions
            .steps
            .iter()
            .flatten()
            .filter_map(|dosed| dosed.counted.as_ref().map(|counted| counted.drops.count()))
            .collect();
        let alike = counts.windows(2).any(|pair| pair[0] == pair[1]);
        if alike {
            next.push(
                "two doses come to the same whole drops: take larger portions, or dilute the flavouring"
                    .to_owned(),
            );
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

fn doubt(answer: &mut Answer, basis: LeafBasis, portions: &Portions) {
    let mut backwards = portions.steps.iter().flatten().rev();
    let last = backwards.find_map(|dosed| dosed.counted.as_ref());
    let said = last.and_then(|counted| {
        let what = "the last dose reached";
        say::doubt_of_dose(
            what,
            basis,
            counted.dose.as_ref(),
            counted.dose_dry.as_ref(),
        )
    });
    answer.doubt.push(said.unwrap_or_else(|| {
        "not known: type it behind a figure, such as --drop \"24.5mg ± 1mg\"".to_owned()
    }));
}
