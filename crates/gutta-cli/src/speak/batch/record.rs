//! The record of a batch: a frozen copy of the formula, with blanks.
//!
//! Its blocks are those that good manufacturing practice asks of a batch record:
//! what it is made after, materials with their lots and limits, what is done step
//! by step with what is to be read, checks, what went otherwise, the yield, and who
//! did it when.

use gutta::bench::LeafBasis;
use gutta::matter::{Composition, Part};
use gutta::measure::{Scalar, Unit};
use gutta::{Moisture, Pile};

use super::Asking;
use super::plan::finish;
use crate::answer::{Answer, JsonUnit, Key, Row, Shape};
use crate::document::{Block, Cell, Doing, Record, Step};
use crate::render::json::Form;
use crate::say;
use crate::speak::keys;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    NUMBER = "number": Shape::Text, "the number of the batch";
    TITLE = "formula": Shape::Text, "the formula and its version";
    BASIS = "basis": Shape::Word(&["as-weighed", "dry"]), "what the shares are of";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    SHARE = "share": Shape::Quantity(JsonUnit::Percent), "its share";
    LOT = "lot": Shape::Text, "the lot that it is weighed from";
    AT = "moisture": Shape::Text, "the moisture of the lot, as it is written";
    MASS = "mass": GRAMS, "what to weigh";
    LEAST = "least": GRAMS, "the least that is within the tolerance";
    MOST = "most": GRAMS, "the most that is within the tolerance";
    MATERIALS = "materials": Shape::Rows { always: &[&COMPONENT, &SHARE, &MASS, &LEAST, &MOST], known: &[&LOT, &AT] }, "the leaf, in the order that it is weighed";
    LIQUID = "liquid": Shape::Text, "the liquid";
    VOLUME = "volume": Shape::Quantity(JsonUnit::Millilitre), "the same as a volume";
    DENSITY = "density": Shape::Quantity(JsonUnit::GramPerMillilitre), "its density";
    HOLDS = "holds": Shape::Text, "what is in it, by mass";
    LIQUIDS = "liquids": Shape::Rows { always: &[&LIQUID, &MASS], known: &[&VOLUME, &DENSITY, &HOLDS] }, "casings and flavourings, in the order they go on";
    ITEM = "item": Shape::Text, "what of the formula";
    TEXT = "text": Shape::Text, "as it stands today";
    MASTER = "master": Shape::Rows { always: &[&ITEM, &TEXT], known: &[] }, "a copy of the formula, frozen";
    STEP = "step": Shape::Number, "the step, the first being 1";
    WHAT = "what": Shape::Text, "what is done";
    READS = "reads": Shape::Text, "what the scale then reads, where something is read";
    HOLD = "hold": Shape::Word(&["yes", "no"]), "whether the work waits for a reading";
    STEPS = "steps": Shape::Rows { always: &[&STEP, &WHAT, &HOLD], known: &[&READS] }, "what is done, in its order";
    CHECK = "check": Shape::Text, "what is checked";
    LIMITS = "limits": Shape::Text, "what it must be";
    CHECKS = "checks": Shape::Rows { always: &[&CHECK, &LIMITS], known: &[] }, "what is checked before it is released";
    THEORETICAL = "theoretical": GRAMS, "what should come of it, without loss";
}

/// The keys of `batch record`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &TITLE,
        &BASIS,
        &MASTER,
        &MATERIALS,
        &STEPS,
        &CHECKS,
        &THEORETICAL,
    ],
    known: &[&NUMBER, &LIQUIDS],
}];

/// Lines left for what went otherwise.
const DEVIATIONS: usize = 3;

/// The record, said.
pub fn record(asking: Asking, number: Option<String>) -> Answer {
    let question = &asking.question;
    let title = format!("{}: {}", question.title, question.size_said());
    let mut answer = Answer::new(
        "batch record",
        format!("The record of {title}, to be filled in while it is made."),
    );
    answer.put_text(&TITLE, question.title.clone());
    answer.put_word(
        &BASIS,
        match question.sheet.basis {
            LeafBasis::AsWeighed => "as-weighed",
            LeafBasis::Dry => "dry",
        },
    );
    if let Some(number) = &number {
        answer.put_text(&NUMBER, number.clone());
    }
    let steps = question.steps(&asking.scaled.planned);
    let blocks = [
        Some(master(&mut answer, &asking)),
        Some(materials(&mut answer, &asking)),
        liquids(&mut answer, &asking),
        Some(self::steps(&mut answer, &steps)),
        Some(checks(&mut answer, &asking)),
        Some(empty(
            "What went otherwise",
            vec!["step", "what, and what was done about it", "by, when"],
            DEVIATIONS,
        )),
        Some(yields(&mut answer, &asking)),
        Some(people()),
    ];
    answer.check = match &asking.scaled.planned.water {
        Some((_, water)) => format!(
            "at the end the scale reads {}, at {} of total weight",
            question.voice().mass_shown(water.final_mass().best()),
            question.target()
        ),
        None => format!(
            "at the end the scale reads {}",
            question
                .voice()
                .mass_shown(asking.scaled.planned.before_water)
        ),
    };
    question.doubt(&mut answer, &asking.scaled.planned);
    answer.next.push(
        "hold what went in against what came out when it is done: gutta batch reconcile".to_owned(),
    );
    finish(asking.question, &asking.scaled.planned, &mut answer);
    // What holds for the figures must lie beside them.
    let known = |lines: &[String], what: &str| -> Vec<Vec<Cell>> {
        lines
            .iter()
            .map(|line| vec![text(what), text(line)])
            .collect()
    };
    let known = Block {
        title: "What the figures go by",
        columns: vec!["", ""],
        rows: [
            known(&answer.assumed, "assumed"),
            known(&answer.doubt, "doubt"),
        ]
        .concat(),
    };
    answer.record = Some(Record {
        title,
        number,
        blocks: blocks.into_iter().flatten().collect(),
        known: Some(known),
        cautions: answer.cautions.clone(),
    });
    answer
}

fn text(text: impl Into<String>) -> Cell {
    Cell::Text(text.into())
}

fn empty(title: &'static str, columns: Vec<&'static str>, rows: usize) -> Block {
    Block {
        title,
        rows: vec![vec![Cell::Blank; columns.len()]; rows],
        columns,
    }
}

/// What it is made after: all that the formula says, as it stands today.
fn master(answer: &mut Answer, asking: &Asking) -> Block {
    let (question, sheet) = (&asking.question, &asking.scale_up.sheet);
    let percent = |base: f64| say::base(base, Unit::PERCENT);
    let on = match sheet.basis {
        LeafBasis::AsWeighed => "of leaf as weighed",
        LeafBasis::Dry => "of dry leaf",
    };
    let leaf = sheet.shares.lines().iter();
    let leaf = leaf.map(|line| format!("{} {}", percent(line.share().base()), line.name()));
    let mut rows = vec![
        ("formula", question.title.clone()),
        (
            "leaf",
            format!("{}; shares {on}", leaf.collect::<Vec<_>>().join(", ")),
        ),
    ];
    for line in &sheet.casings {
        rows.push((
            "casing",
            format!(
                "{} {} {}: {}",
                percent(line.rate.share.base()),
                line.rate.of.name(),
                line.rate.basis.name(),
                line.liquid.name
            ),
        ));
    }
    for line in &sheet.flavours {
        rows.push((
            "flavouring",
            format!(
                "{} {}: {}",
                say::base(line.dose.value().base(), Unit::GRAM_PER_KILOGRAM),
                line.basis.name(),
                line.liquid.name
            ),
        ));
    }
    if let Some(to) = &question.to {
        let band = percent(sheet.band.base());
        rows.push(("moisture", format!("{} ± {band} at the end", to.unbroken())));
    }
    rows.push(("size", question.size_said()));
    rows.push((
        "weighings",
        format!("within {}", percent(sheet.tolerance.base())),
    ));
    rows.extend(question.rest.clone().map(|rest| ("rest", rest)));
    rows.extend(question.note.clone().map(|note| ("note", note)));
    let json = rows.iter().map(|(what, said)| {
        Row::default()
            .with_text(&ITEM, (*what).to_owned())
            .with_text(&TEXT, said.clone())
    });
    answer.put_rows(&MASTER, json.collect());
    let row = |(what, said): (&str, String)| vec![text(what), text(said)];
    Block {
        title: "What it is made after",
        columns: vec!["", ""],
        rows: rows.into_iter().map(row).collect(),
    }
}

fn materials(answer: &mut Answer, asking: &Asking) -> Block {
    let (question, voice) = (&asking.question, asking.question.voice());
    let shares = asking.scale_up.sheet.shares.lines();
    let (mut json, mut rows) = (Vec::new(), Vec::new());
    for line in &asking.scaled.planned.lines {
        let lot = &question.lots[line.component];
        let best = line.mass.best();
        let (least, most) = (best - line.tolerance, best + line.tolerance);
        let mut row = Row::default()
            .with_text(&COMPONENT, question.name(line.component).to_owned())
            .with_exact(&SHARE, shares[line.component].share().base())
            .with(&MASS, &line.mass)
            .with_exact(&LEAST, least.base())
            .with_exact(&MOST, most.base());
        if let Some(lot) = &lot.name {
            row = row.with_text(&LOT, lot.clone());
        }
        if let Some(at) = &lot.moisture {
            row = row.with_text(&AT, at.clone());
        }
        json.push(row);
        rows.push(vec![
            text(question.name(line.component)),
            lot.name.clone().map_or(Cell::Blank, Cell::Text),
            lot.moisture.clone().map_or(Cell::Blank, Cell::Text),
            text(voice.mass_shown(best)),
            text(voice.between(least, best, most)),
            Cell::Blank,
            Cell::Blank,
        ]);
    }
    answer.put_rows(&MATERIALS, json);
    Block {
        title: "Leaf",
        columns: vec!["leaf", "lot", "moisture", "weigh", "limits", "actual", "by"],
        rows,
    }
}

/// `45 % alcohol, 46 % water`.
fn holds(composition: &Composition) -> Option<String> {
    let parts = [
        (Part::Water, "water"),
        (Part::Alcohol, "alcohol"),
        (Part::Glycol, "glycol"),
        (Part::Glycerine, "glycerine"),
        (Part::Sugar, "sugar"),
    ];
    let parts = parts.map(|(part, name)| (composition.share(part).base(), name));
    let said: Vec<String> = parts
        .iter()
        .filter(|(share, _)| *share > 0.0)
        .map(|(share, name)| format!("{} {name}", say::base(*share, Unit::PERCENT)))
        .collect();
    (!said.is_empty()).then(|| said.join(", "))
}

fn liquids(answer: &mut Answer, asking: &Asking) -> Option<Block> {
    let (question, plan) = (&asking.question, &asking.scaled.planned);
    let sheet = &asking.scale_up.sheet;
    let (mut json, mut rows) = (Vec::new(), Vec::new());
    let casings = plan.casings.iter().zip(&sheet.casings);
    let casings = casings.map(|(casing, line)| (&line.liquid, &casing.mass, None));
    let flavours = plan.flavours.iter().zip(&sheet.flavours);
    let flavours = flavours.map(|(flavour, line)| {
        let dosed = &flavour.dosed;
        (&line.liquid, &dosed.mass, dosed.volume.as_ref())
    });
    for (liquid, mass, volume) in casings.chain(flavours) {
        let density = liquid.density(&sheet.temperature).ok();
        let holds = liquid.composition.as_ref().and_then(holds);
        let mut row = Row::default()
            .with_text(&LIQUID, liquid.name.clone())
            .with(&MASS, mass)
            .with_if(&VOLUME, volume)
            .with_if(&DENSITY, density.as_ref());
        if let Some(holds) = &holds {
            row = row.with_text(&HOLDS, holds.clone());
        }
        json.push(row);
        rows.push(vec![
            text(liquid.name.clone()),
            Cell::Blank,
            holds.map_or(Cell::Blank, Cell::Text),
            density.map_or(Cell::Blank, |density| {
                Cell::Text(say::estimate(&density, Unit::GRAM_PER_MILLILITRE))
            }),
            text(question.liquid(mass.best())),
            Cell::of(volume.map(|volume| say::estimate(volume, Unit::MILLILITRE))),
            Cell::Blank,
            Cell::Blank,
        ]);
    }
    if rows.is_empty() {
        return None;
    }
    answer.put_rows(&LIQUIDS, json);
    Some(Block {
        title: "Liquids",
        columns: vec![
            "liquid",
            "bottle",
            "holds, by mass",
            "density",
            "weigh",
            "or measure",
            "actual",
            "by",
        ],
        rows,
    })
}

fn steps(answer: &mut Answer, steps: &[Step]) -> Block {
    let said = |step: &Step| {
        let amount = step.amount.as_ref().map(|amount| format!("{amount} "));
        let remark = step.remark.as_ref().map(|remark| format!("; {remark}"));
        format!(
            "{}{}{}",
            amount.unwrap_or_default(),
            step.what,
            remark.unwrap_or_default()
        )
    };
    let (mut json, mut rows) = (Vec::new(), Vec::new());
    for (i, step) in steps.iter().enumerate() {
        let is_hold = step.doing == Doing::Hold;
        let reads = step.readings();
        let mut row = Row::default()
            .with_number(&STEP, (i + 1) as f64)
            .with_text(&WHAT, said(step))
            .with_word(&HOLD, if is_hold { "yes" } else { "no" });
        if let Some(reads) = &reads {
            row = row.with_text(&READS, reads.clone());
        }
        json.push(row);
        rows.push(vec![
            text((i + 1).to_string()),
            text(if is_hold {
                format!("HOLD: {}", said(step))
            } else {
                said(step)
            }),
            Cell::of(reads),
            if step.has_blank() {
                Cell::Blank
            } else {
                Cell::None
            },
            Cell::Blank,
        ]);
    }
    answer.put_rows(&STEPS, json);
    Block {
        title: "Steps",
        columns: vec!["", "what is done", "scale reads", "actual", "by, when"],
        rows,
    }
}

fn checks(answer: &mut Answer, asking: &Asking) -> Block {
    let (question, plan) = (&asking.question, &asking.scaled.planned);
    let voice = question.voice();
    let mut checks = vec![
        (
            "vessel, scale and tools".to_owned(),
            "clean and dry, nothing of another batch".to_owned(),
        ),
        (
            "scale, with a known mass".to_owned(),
            match question.sheet.scale {
                Some(scale) => format!("within {}", say::base(scale.division().base(), Unit::GRAM)),
                None => "within one division".to_owned(),
            },
        ),
        (
            "leaf, before it goes in".to_owned(),
            "no mould, nothing that is no leaf".to_owned(),
        ),
    ];
    if let (Some(to), Some((_, water))) = (&question.to, &plan.water) {
        let band = say::base(question.sheet.band.base(), Unit::PERCENT);
        checks.push((
            "moisture at the end".to_owned(),
            format!("{} ± {band}", to.unbroken()),
        ));
        // The band in moisture is one in mass: what is dry stays.
        let (end, off) = (water.final_mass().best(), question.sheet.band.base());
        let at = |off: f64| {
            let wanted = question.sheet.to.unwrap_or(Moisture::of_base(0.0));
            let other = Moisture::of_base(wanted.base() + off);
            Pile::leaf(end, wanted).at_moisture(other).total()
        };
        checks.push((
            "mass at the end".to_owned(),
            voice.between(at(-off), end, at(off)),
        ));
    }
    checks.push((
        "judged".to_owned(),
        "as the trial, or as was agreed".to_owned(),
    ));
    let rows = checks.iter().map(|(check, limits)| {
        Row::default()
            .with_text(&CHECK, check.clone())
            .with_text(&LIMITS, limits.clone())
    });
    answer.put_rows(&CHECKS, rows.collect());
    Block {
        title: "Checks",
        columns: vec!["what", "limits", "found", "by, when"],
        rows: checks
            .into_iter()
            .map(|(check, limits)| vec![text(check), text(limits), Cell::Blank, Cell::Blank])
            .collect(),
    }
}

fn yields(answer: &mut Answer, asking: &Asking) -> Block {
    let finished = asking.scaled.finished;
    answer.put_exact(&THEORETICAL, finished.base());
    let voice = asking.question.voice();
    let loss = asking.scale_up.loss;
    let mut rows = vec![vec![
        text("should come of it"),
        text(voice.mass_shown(finished)),
    ]];
    if loss.base() > 0.0 {
        rows.push(vec![
            text(format!(
                "with {} lost",
                say::base(loss.base(), Unit::PERCENT)
            )),
            text(voice.mass_shown(finished - finished * loss)),
        ]);
    }
    for what in [
        "good, as weighed",
        "its moisture",
        "packs, and what each holds",
        "sample kept",
        "fines, and their moisture",
        "yield as weighed, and at the moisture wanted",
        "unexplained",
    ] {
        rows.push(vec![text(what), Cell::Blank]);
    }
    Block {
        title: "Yield",
        columns: vec!["what", "how much"],
        rows,
    }
}

fn people() -> Block {
    let row = |what: &str| vec![text(what), Cell::Blank, Cell::Blank, Cell::Blank];
    Block {
        title: "Who and when",
        columns: vec!["", "name", "signed", "day and hour"],
        rows: ["made by", "checked by", "released, or not, by"]
            .map(row)
            .into(),
    }
}
