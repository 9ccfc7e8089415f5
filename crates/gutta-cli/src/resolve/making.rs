//! Trials and batches of the journal: found by their identifier, and as the
//! library asks about them.

use gutta::Moisture;
use gutta::bench::{Added, Brought, Drop, LeafBasis, Rate, RateOf};
use gutta::blend::formula::{Amounts, DoseLine, RateLine, Shares};
use gutta::blend::record::{Identifier, LiquidUse, MadeLeaf, MadeLiquid, Making, MakingNow};
use gutta::matter::{DensityOf, Liquid};
use gutta::measure::{DropMass, Drops, Kind, Ratio, Reading, Scalar, Unit, read};
use gutta_book::{LiquidDone, MakingRecord, WRITE_ANEW, kind};

use super::formula::Formula;
use super::shelf::Shelf;
use super::{Assumed, Flag, is_water};
use crate::failure::{Failure, Outcome};

/// The identifier that a flag has.
pub fn identifier(flag: Flag<'_>) -> Outcome<Identifier> {
    flag.text.trim().parse().map_err(|error| flag.fail(error))
}

/// The trial or batch that a flag names.
pub fn found<'a>(
    flag: Flag<'_>,
    all: &'a [MakingRecord],
    shelf: &Shelf,
) -> Outcome<&'a MakingRecord> {
    let id = identifier(flag).map_err(|failure| {
        match shelf.formula_if(flag.text) {
            Ok(Some(_)) => failure.hint(format!(
                "{} is a formula: gutta trial list and gutta batch list show what was made of it, by identifiers",
                flag.text
            )),
            _ => failure,
        }
    })?;
    if let Some(found) = all.iter().find(|one| one.id == id) {
        return Ok(found);
    }
    let journal = shelf.journal()?;
    let message = match journal.entry(&id) {
        Some(entry) if [kind::TRIAL, kind::BATCH].contains(&entry.kind.as_str()) => {
            format!("{id} is not counted: a later entry made it void")
        }
        Some(entry) => format!("{id} is no trial and no batch: its entry is {}", entry.kind),
        None => format!("the journal has no trial and no batch {id}"),
    };
    Err(flag
        .wrong("unknown-name", message)
        .hint("gutta trial list and gutta batch list show them with their identifiers"))
}

/// What a trial or a batch is; nothing before any leaf was weighed.
pub fn now(record: &MakingRecord) -> Outcome<Option<MakingNow>> {
    if record.leaf.is_empty() {
        return Ok(None);
    }
    let leaf = record.leaf.iter().map(|leaf| MadeLeaf {
        name: leaf.name.clone(),
        source: leaf.lot.clone().unwrap_or_else(|| leaf.name.clone()),
        mass: leaf.mass,
        at: leaf.moisture,
    });
    let liquids = record.liquids.iter().map(brought);
    let making = Making {
        leaf: leaf.collect(),
        liquids: liquids.collect::<Outcome<Vec<_>>>()?,
    };
    let now = making
        .now()
        .map_err(|error| Failure::from(error).called(record.id.to_string()))?;
    Ok(Some(now))
}

/// A liquid that went on, with what was in it then.
fn brought(done: &LiquidDone) -> Outcome<MadeLiquid> {
    let is_water = done.use_for == LiquidUse::Water || is_water(&done.name);
    let composition = if is_water {
        Liquid::water().composition
    } else {
        done.composition.clone()
    };
    let of_composition = composition.as_ref().map(DensityOf::composition);
    let density = match done.density {
        Some(density) => DensityOf::Measured(density),
        None => of_composition.unwrap_or(DensityOf::Unknown),
    };
    let amount = amount(done)?;
    Ok(MadeLiquid {
        is_known: composition.is_some(),
        liquid: Brought {
            name: done.name.clone(),
            amount,
            composition: composition.unwrap_or_default(),
            density,
        },
    })
}

/// How much of it: what the bottle lost where that is known, since that is what
/// was really given; else what was counted or weighed.
fn amount(done: &LiquidDone) -> Outcome<Added> {
    if let Some(mass) = done.loss.or(done.mass) {
        return Ok(Added::Mass(mass));
    }
    if done.amount.kind() == Kind::Drops {
        let drops = Drops::of_base(done.amount.base());
        let each = done.each.as_ref().and_then(Reading::mass);
        let Some(each) = each else {
            return Err(Failure::unreadable(
                "missing-field",
                format!(
                    "entry {} counts drops and does not say what one weighs",
                    done.id
                ),
            )
            .hint(WRITE_ANEW));
        };
        let each = each.through::<DropMass>(DropMass::new);
        return Ok(Added::Drops(drops, Drop::calibrated(each, done.scatter)));
    }
    done.amount
        .volume()
        .map(Added::Volume)
        .ok_or_else(|| Failure::unreadable("quantity", format!("entry {} has no amount", done.id)))
}

/// The trial or batch that is called like this, where it is among these.
pub fn called<'a>(name: &str, all: &'a [MakingRecord]) -> Option<&'a MakingRecord> {
    let id = name.trim().parse::<Identifier>().ok()?;
    all.iter().find(|one| one.id == id)
}

/// What was made as a formula to be made again: its shares, doses and rates as they
/// really were, on dry leaf where all moistures are known.
pub fn as_formula(
    flag: Flag<'_>,
    record: &MakingRecord,
    assumed: &mut Assumed,
) -> Outcome<Formula> {
    let Some(now) = now(record)? else {
        return Err(
            Failure::refused(format!("nothing is weighed of {} yet", record.id))
                .about(flag.name)
                .hint("name the formula that it is of, or write down what was done"),
        );
    };
    let (basis, word) = match now.dry_leaf {
        Some(_) => (LeafBasis::Dry, "dry leaf"),
        None => (LeafBasis::AsWeighed, "leaf as weighed"),
    };
    assumed.line(format!(
        "shares and doses are those of {} {} as it was made, of {word}",
        record.kind.word(),
        record.id
    ));
    let names: Vec<&str> = now.shares.iter().map(|share| share.name.as_str()).collect();
    let parts = now.shares.iter().map(|share| {
        let share = share.dry.as_ref().unwrap_or(&share.as_weighed);
        share.best().base()
    });
    let leaf =
        Shares::new(&names, &Amounts::Parts(parts.collect())).map_err(|error| flag.fail(error))?;
    let (mut flavours, mut casings) = (Vec::new(), Vec::new());
    for given in &now.given {
        let done = record.liquids.iter().find(|one| one.name == given.name);
        let given_as = given.on_dry.as_ref().unwrap_or(&given.on_leaf);
        let (share, u) = (given_as.best(), given_as.u());
        let written = |unit: &Unit| {
            // Two figures of its doubt; four decimals are finer than anything is
            // given.
            let decimals = match unit.from_base(u) {
                u if u > 0.0 => (1.0 - u.log10().floor()).clamp(0.0, 4.0),
                _ => 4.0,
            };
            let step = 10_f64.powf(decimals);
            let number = (unit.from_base(share.base()) * step).round() / step;
            let text = format!("{number} {}", unit.symbol());
            read(&text, &[Kind::Share]).map_err(|error| flag.fail(error))
        };
        let liquid = (given.name.clone(), 0);
        match done.map(|done| done.use_for) {
            Some(LiquidUse::Flavour) => {
                let typed = written(Unit::GRAM_PER_KILOGRAM)?;
                flavours.push(DoseLine {
                    dose: given_as.measured(),
                    typed,
                    basis,
                    liquid,
                });
            }
            Some(LiquidUse::Casing) => {
                let typed = written(Unit::PERCENT)?;
                let (share, of) = (Ratio::of_base(typed.base()), RateOf::Liquid);
                casings.push(RateLine {
                    rate: Rate { share, of, basis },
                    typed,
                    liquid,
                });
            }
            // The water goes by the moisture of the lots of the day.
            Some(LiquidUse::Water) | None => {}
        }
    }
    let to = record.to.as_deref().and_then(|text| {
        let typed = read(text, &[Kind::Share]).ok()?;
        let moisture = Moisture::read(&typed).ok()?.value();
        Some((typed, moisture))
    });
    Ok(Formula {
        title: format!("{} {}, {}", record.kind.word(), record.id, record.title),
        name: Some(record.id.to_string()),
        written: leaf.clone(),
        leaf,
        basis,
        flavours,
        casings,
        to,
        band: None,
        tolerance: None,
        rest: record.rest.clone(),
        note: record.note.clone(),
    })
}
