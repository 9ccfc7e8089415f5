//! A line that says what was done, as an entry of the journal.

use gutta::Moisture;
use gutta::blend::record::{LeafStep, LiquidStep, LiquidUse, Step};
use gutta::matter::DensityOf;
use gutta::measure::{
    COVERAGE_95, DROP_COUNT, DropMass, Kind, MASS, Measured, Reading, Scalar, Unit, VOLUME,
};
use gutta_book::{MakingRecord, PlanLine, field, kind};
use serde_json::Value;

use crate::command::making::add::Bench;
use crate::failure::Outcome;
use crate::resolve::record::Draft;
use crate::resolve::{Assumed, Flag, drop, is_water, liquid, lots};

/// The entry that says it.
pub fn entry(
    flag: Flag<'_>,
    step: &Step,
    record: &MakingRecord,
    bench: &Bench<'_>,
    assumed: &mut Assumed,
) -> Outcome<Draft> {
    match step {
        Step::Leaf(leaf) => self::leaf(flag, leaf, record, bench, assumed),
        Step::Liquid(liquid) => self::liquid(flag, liquid, record, bench, assumed),
        Step::Weighed { mass, at } => {
            let mut draft = bench.reading(kind::MADE_WEIGHED, record);
            flag.within(&MASS, mass)?;
            draft.put(field::MASS, mass.to_string());
            if let Some(at) = at {
                draft.put(field::MOISTURE, moisture(flag, at)?);
            }
            Ok(draft)
        }
        Step::Score {
            what,
            score,
            out_of,
        } => {
            let mut draft = bench.draft(kind::MADE_SCORE, record);
            draft.put(field::NAME, what.as_str());
            draft.put_value(field::SCORE, (*score).into());
            if let Some(best) = out_of {
                draft.put_value(field::BEST, (*best).into());
            }
            Ok(draft)
        }
        Step::Deviation { what, repair } => {
            let mut draft = bench.draft(kind::MADE_DEVIATION, record);
            draft.put(field::TEXT, what.as_str());
            if let Some(repair) = repair {
                draft.put(field::REPAIR, repair.as_str());
            }
            Ok(draft)
        }
        Step::Note(words) => {
            let mut draft = Draft::new(kind::NOTE, bench.when.clone());
            draft.put(field::TEXT, words.as_str());
            draft.put(field::ABOUT, record.id.to_string());
            Ok(draft)
        }
    }
}

fn moisture(flag: Flag<'_>, at: &Reading) -> Outcome<String> {
    Moisture::read(at).map_err(|error| flag.fail(error))?;
    Ok(at.to_string())
}

/// The planned line of a name.
fn planned<'a>(
    record: &'a MakingRecord,
    liquid: Option<LiquidUse>,
    name: &str,
) -> Option<&'a PlanLine> {
    let mut lines = record.plan.iter();
    lines.find(|line| line.liquid == liquid && line.name.eq_ignore_ascii_case(name))
}

fn leaf(
    flag: Flag<'_>,
    leaf: &LeafStep,
    record: &MakingRecord,
    bench: &Bench<'_>,
    assumed: &mut Assumed,
) -> Outcome<Draft> {
    flag.within(&MASS, &leaf.mass)?;
    let planned = planned(record, None, &leaf.name);
    let is_said = leaf.lot.is_some() || leaf.at.is_some();
    let mut of_plan = record.plan.iter().filter(|line| line.liquid.is_none());
    if planned.is_none() && !is_said && of_plan.next().is_some() {
        let names = record.plan.iter().filter(|line| line.liquid.is_none());
        let names: Vec<&str> = names.map(|line| line.name.as_str()).collect();
        let instead = "what was not planned is written with its lot: leaf 3 g NAME, of LOT";
        let failure = flag.wrong(
            "unknown-name",
            format!("`{}` is not what was planned", leaf.name),
        );
        return Err(failure.hint(
            match gutta_book::nearest(&leaf.name, names.iter().copied()) {
                Some(near) => format!("did you mean {near}? {instead}"),
                None => format!("planned are {}; {instead}", names.join(", ")),
            },
        ));
    }
    let name = planned.map_or(leaf.name.as_str(), |line| line.name.as_str());
    let mut draft = bench.reading(kind::MADE_LEAF, record);
    draft.put(field::NAME, name);
    draft.put(field::MASS, leaf.mass.to_string());
    let lot = leaf.lot.as_deref();
    let lot = lot.or_else(|| planned.and_then(|line| line.lot.as_deref()));
    if let Some(at) = &leaf.at {
        // It is of its lot all the same, at a moisture of its own.
        if let Some(lot) = lot {
            let known = bench.shelf.lot(Flag::new(flag.name, lot))?;
            draft.put(field::LOT, known.name.as_str());
        }
        assumed.exact_if(
            at.is_exact(),
            format!("moisture of {name} {}", at.unbroken()),
        );
        draft.put(field::MOISTURE, moisture(flag, at)?);
        return Ok(draft);
    }
    let (_, said) = match lot {
        Some(lot) => {
            let flag = Flag::new(flag.name, lot);
            other_leaf(bench.shelf.lot(flag)?.leaf.as_deref(), name, lot, assumed);
            lots::of_name(flag, name, bench.shelf, assumed)?
        }
        None => lots::called(name, bench.shelf, assumed)?.unwrap_or_default(),
    };
    if let Some(lot) = &said.name {
        draft.put(field::LOT, lot.as_str());
    }
    if let Some(moisture) = &said.typed {
        draft.put(field::MOISTURE, moisture.to_string());
    }
    Ok(draft)
}

/// Says that a lot is of other leaf than the component is called.
fn other_leaf(leaf: Option<&str>, component: &str, lot: &str, assumed: &mut Assumed) {
    let is_other =
        |leaf: &&str| !leaf.eq_ignore_ascii_case(component) && !lot.eq_ignore_ascii_case(component);
    if let Some(leaf) = leaf.filter(is_other) {
        assumed.line(format!("{component} is of {lot}, which is {leaf}"));
    }
}

fn liquid(
    flag: Flag<'_>,
    step: &LiquidStep,
    record: &MakingRecord,
    bench: &Bench<'_>,
    assumed: &mut Assumed,
) -> Outcome<Draft> {
    let range = match step.amount.kind() {
        Kind::Drops => &DROP_COUNT,
        Kind::Volume => &VOLUME,
        _ => &MASS,
    };
    flag.within(range, &step.amount)?;
    if step.amount.kind() == Kind::Drops {
        flag.count(&step.amount)?;
        if step.amount.base().fract() != 0.0 {
            return Err(flag
                .wrong("number", "drops are counted whole")
                .hint("type how many there were, such as 8 drops, or weigh it"));
        }
    }
    let planned = planned(record, Some(step.use_for), &step.name);
    let name = planned.map_or(step.name.as_str(), |line| line.name.as_str());
    let mut draft = bench.reading(kind::MADE_LIQUID, record);
    draft.put(field::STEP, step.use_for.word());
    draft.put(field::NAME, name);
    draft.put(field::AMOUNT, step.amount.to_string());
    contents(&mut draft, name, step, bench, assumed)?;
    if let Some(loss) = &step.loss {
        flag.within(&MASS, loss)?;
        draft.put(field::LOSS, loss.to_string());
    }
    if step.amount.kind() != Kind::Drops {
        let stray = match (&step.dropper, &step.each) {
            (Some(_), _) => "a dropper",
            (None, Some(_)) => "the mass of a drop",
            (None, None) => return volume_is_known(flag, step, draft, bench, assumed),
        };
        return Err(flag
            .wrong("stray", format!("{stray} is said, and no drops"))
            .hint("count drops, such as \"water 8 drops, by glass\", or leave it out"));
    }
    let of_plan = planned.and_then(|line| line.dropper.as_ref());
    let of_plan = of_plan.filter(|_| step.each.is_none());
    match (step.dropper.as_ref().or(of_plan), &step.each) {
        (Some(_), Some(_)) => Err(flag
            .wrong("clash", "a dropper and the mass of a drop are both said")
            .hint("keep one of them")),
        (None, Some(each)) => {
            let mass = each
                .mass()
                .map(|mass| mass.through::<DropMass>(DropMass::new));
            let mass = mass.unwrap_or(Measured::exact(DropMass::of_base(f64::NAN)));
            gutta::bench::Drop::of_mass(mass).map_err(|error| flag.fail(error))?;
            draft.put(field::EACH, each.to_string());
            Ok(draft)
        }
        (Some(dropper), None) => {
            let entry = bench.shelf.dropper(Flag::new(flag.name, dropper))?;
            let are_water = is_water(&entry.liquid) && is_water(name);
            if !are_water && !liquid::is_alike(&entry.liquid, name) {
                return Err(flag
                    .wrong(
                        "clash",
                        format!(
                            "dropper {} is calibrated with {}, not with {name}",
                            entry.name, entry.liquid
                        ),
                    )
                    .hint("a drop of another liquid has another mass: say what it weighs, such as 21.4 mg each"));
            }
            let (name, found) = (
                entry.name.clone(),
                drop::of_book(Flag::new(flag.name, dropper), bench.shelf, assumed)?,
            );
            put_drop(&mut draft, Some(&name), &found.drop);
            Ok(draft)
        }
        (None, None) => {
            let found = drop::for_liquid(flag, name, bench.shelf, assumed)?;
            let Some(found) = found else {
                return Err(flag
                    .wrong("missing", format!("what a drop of {name} weighs is not said"))
                    .hint("name a dropper of the book, such as \"…, by amber\", or say what a drop weighs, such as \"…, 21.4 mg each\""));
            };
            put_drop(&mut draft, None, &found);
            Ok(draft)
        }
    }
}

/// What is in a liquid now: the book may say otherwise tomorrow.
fn contents(
    draft: &mut Draft,
    name: &str,
    step: &LiquidStep,
    bench: &Bench<'_>,
    assumed: &mut Assumed,
) -> Outcome<()> {
    if step.use_for == LiquidUse::Water {
        return Ok(());
    }
    let flag = Flag::new("LINE", name);
    let Some(liquid) = liquid::find(flag, name, 0, bench.shelf, assumed)? else {
        assumed.line(format!(
            "what is in {name} is not known: the moisture is not worked out with it"
        ));
        return Ok(());
    };
    if let Some(composition) = &liquid.composition {
        let parts = composition.parts().iter().map(|(part, share)| {
            let text = as_written(share.value().base(), share.u(), Unit::PERCENT);
            (part.name().to_owned(), text.into())
        });
        draft.put_value(field::COMPOSITION, Value::Object(parts.collect()));
    }
    if let DensityOf::Measured(density) = liquid.density {
        let unit = Unit::GRAM_PER_MILLILITRE;
        draft.put(
            field::DENSITY,
            as_written(density.value().base(), density.u(), unit),
        );
    }
    Ok(())
}

/// A figure with its doubt at 95 %, as the journal keeps it: nothing rounded.
fn as_written(base: f64, u: f64, unit: &Unit) -> String {
    let symbol = unit.symbol();
    let value = unit.from_base(base);
    if u > 0.0 {
        let half = unit.from_base(u * COVERAGE_95);
        format!("{value} {symbol} ± {half} {symbol}")
    } else {
        format!("{value} {symbol}")
    }
}

/// A volume needs a density to be a mass.
fn volume_is_known(
    flag: Flag<'_>,
    step: &LiquidStep,
    draft: Draft,
    bench: &Bench<'_>,
    assumed: &mut Assumed,
) -> Outcome<Draft> {
    if step.amount.kind() != Kind::Volume || step.use_for == LiquidUse::Water {
        return Ok(draft);
    }
    let of = Flag::new(flag.name, &step.name);
    let found = liquid::find(of, &step.name, 0, bench.shelf, assumed)?;
    let known =
        found.map(|liquid| liquid.density(&Measured::exact(gutta::measure::ROOM_TEMPERATURE)));
    match known {
        Some(Ok(_)) => Ok(draft),
        _ => Err(flag
            .wrong(
                "missing",
                format!(
                    "the density of {} is not known, and it is said as a volume",
                    step.name
                ),
            )
            .hint(format!(
                "weigh it, such as \"{} 0.9 g {}\"",
                step.use_for.word(),
                step.name
            ))),
    }
}

/// The drop as it is now: a dropper of the book may be calibrated anew.
fn put_drop(draft: &mut Draft, dropper: Option<&str>, drop: &gutta::bench::Drop) {
    if let Some(name) = dropper {
        draft.put(field::DROPPER, name);
    }
    if let Some(mass) = drop.measured_mass() {
        let text = as_written(mass.value().base(), mass.u(), Unit::MILLIGRAM);
        draft.put(field::EACH, text);
    }
    if let Some(scatter) = drop.scatter() {
        let text = as_written(scatter.one.base(), 0.0, Unit::MILLIGRAM);
        draft.put(field::SCATTER, text);
        draft.put_value(field::SCATTER_DOF, scatter.dof.into());
    }
}
