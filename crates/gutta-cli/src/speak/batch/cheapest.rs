//! The cheapest lots that make a batch.

use gutta::bench::{LeafBasis, Watering};
use gutta::blend::batch::{Cheapest, Taken};
use gutta::matter::{LotOfLeaf, Mixing};
use gutta::measure::{
    Digits, Kind, Mass, Measured, Reading, Scalar, Scale, Term, Unit, quantity, read,
};
use gutta::{Caution, Estimate, Moisture, WateringPlan};

use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::resolve::supply::OfferedLeaf;
use crate::say::{self, Voice, money};
use crate::speak::{keys, mould};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    COST = "cost_total": Shape::Number, "what the leaf costs, money";
    PER_KG = "cost_per_kg": Shape::Number, "the same for a kilogram of leaf and its water, money";
    PER_DRY = "cost_per_dry_kg": Shape::Number, "the same for a kilogram of dry leaf, money";
    LEAF = "leaf": GRAMS, "all leaf as weighed";
    MOISTURE = "moisture": PERCENT, "the moisture of the lots together, wet basis";
    WATER = "water": GRAMS, "the water to add, in full; below 0 what must be dried off";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    LOT = "lot": Shape::Text, "the lot";
    MASS = "mass": GRAMS, "what to take of it, as weighed";
    LOTS = "lots": Shape::Rows { always: &[&COMPONENT, &LOT, &MASS, &COST_OF], known: &[] }, "the lots that are taken";
    COST_OF = "cost": Shape::Number, "what that costs, money";
    WANTED = "share_wanted": PERCENT, "its share, as the formula has it";
    SHARE = "share": PERCENT, "its share then, on the same basis";
    SHARES = "shares": Shape::Rows { always: &[&COMPONENT, &WANTED, &SHARE], known: &[] }, "the components";
}

/// The keys of `batch cheapest`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &COST, &PER_KG, &PER_DRY, &LEAF, &MOISTURE, &WATER, &LOTS, &SHARES,
    ],
    known: &[],
}];

/// What was asked.
pub struct Asked<'a> {
    /// What the formula is called.
    pub title: String,
    /// The question to the library.
    pub cheapest: &'a Cheapest,
    /// The lots, as they are said.
    pub offers: &'a [OfferedLeaf],
    /// The size, as it was typed.
    pub size: &'a Reading,
    /// The moisture wanted, as it was typed.
    pub to: &'a Reading,
    /// The scale at hand.
    pub scale: Option<Scale>,
    /// The flags that a sheet of it needs beside the leaf.
    pub carried: String,
}

/// More figures than a sum of masses of four has.
const SUM_FIGURES: u32 = 12;

/// What a solver leaves of nothing is not taken.
const SOME: f64 = 1e-7;

/// The cheapest lots, said.
pub fn cheapest(asked: &Asked<'_>, taken: &Taken, assumed: Assumed) -> gutta::Result<Answer> {
    let wanted = &asked.cheapest.wanted;
    let voice = Voice::plain(asked.scale);
    let name = |component: usize| wanted.shares.lines()[component].name();
    let lots: Vec<(&OfferedLeaf, Mass)> = asked
        .offers
        .iter()
        .zip(taken.masses.iter().copied())
        .filter(|(_, mass)| mass.base() > SOME * wanted.finished.base())
        .collect();
    let (moisture, water) = mixed(asked, taken, &lots)?;
    let count = lots.len();
    let mut answer = Answer::new(
        "batch cheapest",
        format!(
            "{} for {}: {} in money, {}\u{a0}/kg, from {count} {} and {}.",
            asked.title,
            asked.size.unbroken(),
            money(taken.cost.sum()),
            money((taken.cost / wanted.finished).per_kilogram()),
            say::of_count(count as f64, "lot", "lots"),
            match &water {
                Some(water) => format!(
                    "{} of water{}",
                    voice.mass_shown(Mass::of_base(water.best().base().abs())),
                    if water.best().base() < 0.0 {
                        " to air off"
                    } else {
                        ""
                    }
                ),
                None => "no water".to_owned(),
            }
        ),
    );
    answer.put_number(&COST, taken.cost.sum());
    answer.put_number(&PER_KG, (taken.cost / wanted.finished).per_kilogram());
    answer.put_number(
        &PER_DRY,
        (taken.cost / taken.leaf.dry_matter()).per_kilogram(),
    );
    answer.put_exact(&LEAF, taken.leaf.total().base());
    answer.put(&MOISTURE, &moisture);
    match &water {
        Some(water) => answer.put(&WATER, water),
        None => answer.put_exact(&WATER, 0.0),
    }
    let price = |offer: &OfferedLeaf, mass: Mass| (offer.price * mass).sum();
    let rows = lots.iter().map(|(offer, mass)| {
        Row::default()
            .with_text(&COMPONENT, name(offer.component).to_owned())
            .with_text(&LOT, offer.name.clone())
            .with_exact(&MASS, mass.base())
            .with_number(&COST_OF, price(offer, *mass))
    });
    answer.put_rows(&LOTS, rows.collect());
    let shares = wanted.shares.lines().iter().zip(&taken.shares);
    let rows = shares.clone().map(|(line, share)| {
        Row::default()
            .with_text(&COMPONENT, line.name().to_owned())
            .with_exact(&WANTED, line.share().base())
            .with_exact(&SHARE, share.base())
    });
    answer.put_rows(&SHARES, rows.collect());
    let cells = lots.iter().map(|(offer, mass)| {
        vec![
            format!(
                "{} ({}, {})",
                name(offer.component),
                offer.name,
                offer.typed
            ),
            voice.mass_shown(*mass),
            offer
                .stock
                .map_or_else(String::new, |stock| voice.mass(stock)),
            money(price(offer, *mass)),
            money(offer.price.of_dry(offer.at.value()).per_kilogram()),
        ]
    });
    answer.table = Some(Grid {
        is_words: false,
        columns: vec!["", "take", "there is", "costs", "a dry kg"],
        rows: cells.collect(),
    });
    let on = match wanted.basis {
        LeafBasis::Dry => "dry leaf",
        LeafBasis::AsWeighed => "leaf as weighed",
    };
    let said: Vec<String> = shares
        .map(|(line, share)| {
            let (was, is) = (line.share().base(), share.base());
            let percent = |share| say::base(share, Unit::PERCENT);
            if (was - is).abs() < 1e-6 {
                format!("{} {}", line.name(), percent(is))
            } else {
                format!(
                    "{} {} in place of {}",
                    line.name(),
                    percent(is),
                    percent(was)
                )
            }
        })
        .collect();
    answer
        .details
        .push(format!("Shares of {on}: {}.", said.join(", ")));
    let unused: Vec<&str> = asked
        .offers
        .iter()
        .filter(|offer| !lots.iter().any(|(lot, _)| std::ptr::eq(*lot, *offer)))
        .map(|offer| offer.name.as_str())
        .collect();
    if !unused.is_empty() {
        answer
            .details
            .push(format!("Not taken: {}.", unused.join(", ")));
    }
    answer.check = format!(
        "all leaf on the scale reads {}; at the end {} at {} of total weight",
        voice.mass_shown(taken.leaf.total()),
        asked.size.unbroken(),
        asked.to.unbroken()
    );
    if moisture.u() > 0.0 {
        answer.doubt.push(format!(
            "the moisture of the lots together {} (95\u{a0}%); the grams go by their best figures",
            say::with_doubt(&moisture, Unit::PERCENT)
        ));
    } else {
        answer
            .doubt
            .push("not known: give the lots' moistures with their ±".to_owned());
    }
    let small = say::below_least(
        lots.iter()
            .map(|(offer, mass)| (offer.name.as_str(), *mass)),
        asked.scale,
    );
    answer.cautions.extend(small);
    answer.cautions.push(Caution::CleanWater.to_string());
    answer.cautions.push(Caution::WetLeaf.to_string());
    answer
        .cautions
        .extend(mould(wanted.to, assumed.is_upper_bound()));
    again(&mut answer, asked, &lots);
    let water = water.map_or(0.0, |water| water.best().base());
    working(&mut answer, asked, taken, &lots, Mass::of_base(water));
    assumed.settle(&mut answer);
    Ok(answer)
}

/// The moisture of the lots together and the water, with the doubts of the lots.
fn mixed(
    asked: &Asked<'_>,
    taken: &Taken,
    lots: &[(&OfferedLeaf, Mass)],
) -> gutta::Result<(Estimate<Moisture>, Option<Estimate<Mass>>)> {
    let weighed = |mass: Mass| match asked.scale {
        Some(scale) => scale.weighed(mass),
        None => Measured::exact(mass),
    };
    let mixing = Mixing {
        lots: lots
            .iter()
            .map(|(offer, mass)| LotOfLeaf {
                mass: weighed(*mass),
                at: offer.at,
            })
            .collect(),
        to: None,
    };
    let moisture = called(&mixing.mixed()?.moisture, lots);
    let leaf = Measured::exact(taken.leaf.total());
    let plan = Watering::new(leaf, moisture.measured(), asked.cheapest.wanted.to).plan()?;
    let water = match plan {
        WateringPlan::Add(plan) => Some(plan.water),
        WateringPlan::Dry(plan) => Some(plan.water.negated()),
        WateringPlan::Nothing(_) => None,
    };
    Ok((moisture, water))
}

/// The doubts of lots that are numbered, by the names of the lots.
fn called(moisture: &Estimate<Moisture>, lots: &[(&OfferedLeaf, Mass)]) -> Estimate<Moisture> {
    let mut terms = moisture.terms().to_vec();
    for (number, (offer, _)) in (1..).zip(lots) {
        for what in ["", "moisture of "] {
            let numbered = format!("{what}lot {number}");
            let is_it = |term: &&mut Term| term.input == numbered;
            for term in terms.iter_mut().filter(is_it) {
                term.input = format!("{what}{}", offer.name).into();
            }
        }
    }
    Estimate::new(moisture.best(), terms)
}

/// The same lots as a formula of their own, for a sheet: of all that the lines are
/// together as they are printed, so that each is weighed as it stands there.
fn again(answer: &mut Answer, asked: &Asked<'_>, lots: &[(&OfferedLeaf, Mass)]) {
    let masses = lots
        .iter()
        .map(|(_, mass)| say::base(mass.base(), Unit::GRAM).replace('\u{a0}', ""));
    let masses: Vec<String> = masses.collect();
    let printed = |text: &String| read(text, &[Kind::Mass]).map_or(0.0, |mass| mass.base());
    let all = masses.iter().map(printed).sum();
    let lines = lots
        .iter()
        .zip(&masses)
        .map(|((offer, _), mass)| format!("\"{mass} {}\"", offer.name));
    let moistures = lots
        .iter()
        .filter(|(offer, _)| !offer.is_of_book)
        .map(|(offer, _)| {
            format!(
                "--lot \"{} = {}\"",
                offer.name,
                offer.typed.replace('\u{a0}', " ")
            )
        });
    let words: Vec<String> = lines.chain(moistures).collect();
    answer.next.push(format!(
        "weigh them by a sheet: gutta sheet {} --shares as-weighed --batch {} --to {}{}",
        words.join(" "),
        quantity(all, Unit::GRAM, Digits::AtMost(SUM_FIGURES)).replace('\u{a0}', ""),
        say::typeable(asked.to),
        asked.carried
    ));
}

fn working(
    answer: &mut Answer,
    asked: &Asked<'_>,
    taken: &Taken,
    lots: &[(&OfferedLeaf, Mass)],
    water: Mass,
) {
    let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
    for (offer, mass) in lots {
        answer.working.push(format!(
            "{} = {} × {}\u{a0}/kg = {}",
            offer.name,
            grams(*mass),
            money(offer.price.per_kilogram()),
            money((offer.price * *mass).sum())
        ));
    }
    let to = asked.to.unbroken_value();
    answer.working.push(format!(
        "water = {} dry × {to} / (1 − {to}) − {} of water there = {}",
        grams(taken.leaf.dry_matter()),
        grams(taken.leaf.water()),
        grams(water)
    ));
}
