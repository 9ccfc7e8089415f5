//! A calibration in sentences: the drop, its doubt, what was left out.

use gutta::bench::{Advice, Calibrating, Calibration, CountedDrops, Finding, Readings};
use gutta::measure::{Digits, DropMass, Kind, Mass, Reading, Scalar, Scale, Unit, quantity};
use gutta::{Caution, Estimate};

use super::book::as_word;
use super::keys;
use crate::answer::{Answer, Figure, JsonUnit, Key, Shape, Value};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say;

const MILLIGRAMS: Shape = Shape::Quantity(JsonUnit::Milligram);

keys! {
    MASS = "drop_mass": MILLIGRAMS, "one drop as weighed in air, miscounts left out";
    VOLUME = "drop_volume": Shape::Quantity(JsonUnit::Millilitre), "one drop's volume";
    RATE = "drops_per_ml": Shape::Quantity(JsonUnit::DropPerMillilitre), "drops in a millilitre";
    SPREAD = "spread": Shape::Quantity(JsonUnit::Percent), "the spread of the weighings, relative to their mean";
    FOR_1 = "drops_for_1_percent": Shape::Quantity(JsonUnit::Drop), "how many drops to weigh at once to know the drop within 2 % (95 %)";
    ALL = "drop_mass_all": MILLIGRAMS, "one drop with everything as typed";
    RECOUNTED = "drop_mass_recounted": MILLIGRAMS, "one drop with the corrected counts";
    SUSPECTS = "suspects": Shape::Suspects, "weighings that read as another whole number of drops";
    TIP = "tip_diameter": Shape::Quantity(JsonUnit::Millimetre), "the outer diameter of the tip, as the drops of water say it, or as it was typed";
    SAVED = "saved": Shape::Text, "the name of the book that it is kept by";
    SAVED_IN = "saved_in": Shape::Text, "the file that it is kept in";
    THEN_MASS = "then_drop_mass": MILLIGRAMS, "one drop of the other liquid, worked out by surface tension";
    THEN_VOLUME = "then_drop_volume": Shape::Quantity(JsonUnit::Millilitre), "that drop's volume";
    THEN_RATE = "then_drops_per_ml": Shape::Quantity(JsonUnit::DropPerMillilitre), "drops of the other liquid in a millilitre";
}

/// The keys of a calibration.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MASS, &VOLUME, &RATE, &SUSPECTS],
    known: &[
        &SPREAD,
        &FOR_1,
        &ALL,
        &RECOUNTED,
        &TIP,
        &SAVED,
        &SAVED_IN,
        &THEN_MASS,
        &THEN_VOLUME,
        &THEN_RATE,
    ],
}];

/// Everything that was typed, read.
pub struct Question {
    /// The weighings as they were typed.
    pub typed: Vec<CountedDrops>,
    /// The question to the library.
    pub calibrating: Calibrating,
    /// What is taken for granted.
    pub assumed: Assumed,
}

impl Question {
    /// The answer, said.
    pub fn say(self, calibration: &Calibration) -> Answer {
        let mass = &calibration.drop_mass;
        let suspects: Vec<(usize, u64)> = calibration.miscounts().collect();
        let headline = format!(
            "One drop weighs {}{} ({}, {}).",
            say::estimate(mass, say::MILLIGRAM),
            left_out(&suspects, &self.calibrating.readings),
            say::estimate(&calibration.drop_volume, Unit::MILLILITRE),
            say::estimate(&calibration.drops_per_volume, Unit::DROP_PER_MILLILITRE),
        );
        let mut answer = Answer::new("dropper", headline);
        if let (Some(recounted), Some(all)) =
            (calibration.drop_mass_recounted, calibration.drop_mass_all)
        {
            answer.details.push(format!(
                "With the corrected count {}; with everything as typed {}.",
                say::base(recounted.base(), say::MILLIGRAM),
                say::base(all.base(), say::MILLIGRAM),
            ));
        }
        answer.check = check(mass);
        figures(&mut answer, calibration, suspects);
        doubt(&mut answer, calibration, &self.calibrating.readings);
        next(
            &mut answer,
            calibration,
            &self.calibrating.readings,
            self.calibrating.advice().ok().flatten().as_ref(),
        );
        let mut cautions = Vec::new();
        for finding in &calibration.findings {
            if let Finding::Odd { weighing } = *finding {
                cautions.push(Caution::OddWeighing { weighing });
            }
        }
        if calibration.blind_to_one_drop {
            cautions.push(Caution::BlindToOneDrop);
        }
        if calibration.unusual_size {
            cautions.push(Caution::UnusualDrop);
        }
        answer.cautions = cautions.iter().map(ToString::to_string).collect();
        self.working(&mut answer, calibration);
        self.assumed.settle(&mut answer);
        answer
    }

    fn working(&self, answer: &mut Answer, calibration: &Calibration) {
        let kept = |i: usize| {
            calibration
                .miscounts()
                .all(|(weighing, _)| weighing != i + 1)
        };
        let running = matches!(self.calibrating.readings, Readings::Running(_));
        let sum = self
            .typed
            .iter()
            .enumerate()
            .filter(|(i, _)| kept(*i) && (!running || i + 1 == self.typed.len()));
        let (amounts, drops): (Vec<String>, Vec<String>) = sum
            .map(|(_, counted)| (counted.amount().unbroken(), counted.drops().to_string()))
            .unzip();
        let mass = say::base(calibration.drop_mass.best().base(), say::MILLIGRAM);
        let (sum, count) = (amounts.join(" + "), drops.join(" + "));
        answer.working.push(match self.calibrating.readings {
            Readings::ToMark(_) => format!(
                "drop = ({sum}) / ({count}) = {}; by the density {mass}",
                say::base(calibration.drop_volume.best().base(), Unit::MILLILITRE)
            ),
            Readings::Singly(_) | Readings::Running(_) => {
                format!("drop = ({sum}) / ({count}) = {mass}")
            }
        });
        if let Some(scatter) = calibration.scatter {
            answer.working.push(format!(
                "scatter of one drop, s₁ = {}",
                say::base(scatter.one.base(), say::MILLIGRAM)
            ));
        }
    }
}

/// Which weighings are left out of the figure, and what they read as.
fn left_out(suspects: &[(usize, u64)], readings: &Readings) -> String {
    // Of a running total it is the step to a reading that is miscounted.
    let what = match readings {
        Readings::Running(_) => "the step to weighing",
        Readings::Singly(_) => "weighing",
        Readings::ToMark(_) => "filling",
    };
    let each: Vec<String> = suspects
        .iter()
        .map(|(weighing, reads_as)| {
            format!("{what}\u{a0}{weighing} left out, it reads as\u{a0}{reads_as}")
        })
        .collect();
    match each.as_slice() {
        [] => String::new(),
        _ => format!(", {}", each.join(", ")),
    }
}

/// Says that a calibration is kept.
pub fn say_kept(answer: &mut Answer, name: &str, file: &str, has_scale: bool) {
    for (key, text) in [(&SAVED, name), (&SAVED_IN, file)] {
        answer.figures.push(Figure {
            key,
            value: Value::Text(text.to_owned()),
        });
    }
    answer.details.push(format!(
        "Its weighings are kept in {file} as dropper {name}."
    ));
    // By its name it brings its doubt along.
    answer.next.retain(|line| !line.starts_with("type it as"));
    answer
        .next
        .push(format!("call it by its name: --dropper {}", as_word(name)));
    if !has_scale {
        answer.cautions.push(
            "it is kept without a scale: the doubt of its readings is not counted".to_owned(),
        );
    }
}

/// The first weighing with finer decimals than its scale shows.
pub fn finer(typed: &[CountedDrops], scale: Option<Scale>) -> Option<Caution> {
    let is_finer = |reading: &Reading, scale: Scale| {
        reading.kind() == Kind::Mass && reading.last_place() < 0.999 * scale.division().base()
    };
    let scale = scale?;
    let finer = |c: &&CountedDrops| is_finer(c.amount(), scale);
    let weighing = typed.iter().position(|c| finer(&c))?;
    Some(Caution::FinerThanScale {
        weighing: weighing + 1,
        others: typed.iter().filter(finer).count() - 1,
    })
}

/// What a person can verify on the scale.
pub fn check(mass: &Estimate<DropMass>) -> String {
    let twenty = Estimate::exact(Mass::of_base(20.0 * mass.best().base()));
    format!("20 drops then weigh {}", say::estimate(&twenty, Unit::GRAM))
}

fn figures(answer: &mut Answer, calibration: &Calibration, suspects: Vec<(usize, u64)>) {
    answer.put(&MASS, &calibration.drop_mass);
    answer.put(&VOLUME, &calibration.drop_volume);
    answer.put(&RATE, &calibration.drops_per_volume);
    if let Some(spread) = calibration.spread {
        answer.put_exact(&SPREAD, spread.base());
    }
    if let Some(drops) = calibration.drops_for_1_percent {
        answer.put_exact(&FOR_1, drops.count());
    }
    if let Some(all) = calibration.drop_mass_all {
        answer.put_exact(&ALL, all.base());
    }
    if let Some(recounted) = calibration.drop_mass_recounted {
        answer.put_exact(&RECOUNTED, recounted.base());
    }
    answer.figures.push(Figure {
        key: &SUSPECTS,
        value: Value::Suspects(suspects),
    });
}

fn doubt(answer: &mut Answer, calibration: &Calibration, calibrated_by: &Readings) {
    let mass = &calibration.drop_mass;
    if mass.u() > 0.0 {
        answer.doubt.push(format!(
            "the drop {} (95\u{a0}%), within {}: {}",
            say::with_doubt(mass, say::MILLIGRAM),
            within(mass),
            say::drivers(&answer.budget)
        ));
    } else {
        let how = match (calibrated_by, calibration.spread) {
            (Readings::ToMark(_), None) => {
                "fill twice or more, or type the doubt of the mark, such as \"40 = 2.5mL ± 0.1mL\""
            }
            (Readings::ToMark(_), Some(_)) => {
                "type the doubt of the mark, such as \"40 = 2.5mL ± 0.1mL\""
            }
            (_, None) => "weigh twice or more, or say the scale's step, such as --scale 0.01g",
            (_, Some(_)) => {
                "the weighings are all alike; say the scale's step, such as --scale 0.01g"
            }
        };
        answer.doubt.push(format!("not known: {how}"));
    }
    match calibration.spread {
        Some(spread) => answer.doubt.push(format!(
            "spread of the weighings {} (k\u{a0}=\u{a0}1)",
            quantity(spread.base(), Unit::PERCENT, Digits::Significant(2))
        )),
        None => answer
            .doubt
            .push("one weighing alone: the scatter from drop to drop is unknown".to_owned()),
    }
}

/// The half-width of a drop at 95 %, in per cent of it.
pub fn within(mass: &Estimate<DropMass>) -> String {
    let part = say::half_width(mass) / mass.best().base();
    quantity(part, Unit::PERCENT, Digits::Significant(2))
}

fn next(
    answer: &mut Answer,
    calibration: &Calibration,
    readings: &Readings,
    advice: Option<&Advice>,
) {
    if calibration.spread.is_none() {
        answer.next.push(match readings {
            Readings::ToMark(_) => {
                "fill with as many drops once or twice more: only several fillings show the scatter"
                    .to_owned()
            }
            Readings::Singly(_) | Readings::Running(_) => {
                "weigh as many drops once or twice more: only several weighings show the scatter"
                    .to_owned()
            }
        });
    } else if let Some(advice) = advice {
        let line = say::advice(advice, "the drop", say::MILLIGRAM);
        answer.next.extend(line.map(|line| {
            if advice.is_enough {
                format!("{line}, within 2\u{a0}%")
            } else {
                format!("{line}, still not within 2\u{a0}%")
            }
        }));
        if advice.is_enough && advice.action.is_none() {
            answer
                .next
                .push("known within 2\u{a0}%: good enough to count with".to_owned());
        }
    }
    if let Some(drops) = calibration.seeing_one_drop() {
        answer.next.push(format!(
            "count {} or fewer at a time, and a miss of one shows",
            say::whole_drops(drops)
        ));
    }
    // One of an unusual size is not taken as it is: its counts are in question.
    if !calibration.unusual_size {
        answer
            .next
            .push(format!("type it as {}", as_flag(&calibration.drop_mass)));
    }
}

/// The drop as it is typed, with its doubt where one is known.
pub fn as_flag(mass: &Estimate<DropMass>) -> String {
    let tight = |text: String| text.replace("\u{a0}mg", "mg");
    if mass.u() > 0.0 {
        format!(
            "--drop \"{}\"",
            tight(say::with_doubt(mass, say::MILLIGRAM))
        )
    } else {
        format!(
            "--drop {}",
            tight(say::base(mass.best().base(), say::MILLIGRAM))
        )
    }
}
