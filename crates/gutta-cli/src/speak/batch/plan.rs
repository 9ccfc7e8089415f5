//! A batch: what it takes, what it costs, how far the stock reaches.

use gutta::WateringPlan;
use gutta::blend::batch::{Loads, Needed, Price};
use gutta::blend::sheet::SheetSize;
use gutta::measure::{Mass, Scalar, Unit};

use super::Asking;
use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::supply::OfferedLeaf;
use crate::say::{self, money};
use crate::speak::keys;
use crate::speak::sheet::Question;

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    PLAN = "plan": Shape::Word(&["add", "dry", "nothing", "none"]), "what is to be done about the moisture; none where none is wanted";
    LEAF = "leaf": GRAMS, "all leaf as weighed";
    DRY = "dry_leaf": GRAMS, "the dry matter of the leaf";
    MOISTURE = "moisture": Shape::Quantity(JsonUnit::Percent), "the moisture of the lots together, wet basis";
    FINISHED = "finished": GRAMS, "what is finished, without loss";
    COMPONENT = "component": Shape::Text, "the component, as the formula names it";
    LOT = "lot": Shape::Text, "the lot that it is weighed from";
    MASS = "mass": GRAMS, "what to weigh";
    COST = "cost": Shape::Number, "what that costs, money";
    DRY_PRICE = "price_per_dry_kg": Shape::Number, "what a kilogram of its dry matter costs, money";
    STOCK = "stock": GRAMS, "what there is of the lot, as weighed";
    LINES = "lines": Shape::Rows { always: &[&COMPONENT, &MASS], known: &[&LOT, &COST, &DRY_PRICE, &STOCK] }, "the leaf, in the order of the formula";
    LIQUID = "liquid": Shape::Text, "the liquid";
    VOLUME = "volume": Shape::Quantity(JsonUnit::Millilitre), "the same as a volume, of the bottle at hand";
    LIQUIDS = "liquids": Shape::Rows { always: &[&LIQUID, &MASS], known: &[&VOLUME] }, "casings and flavourings, in the order they go on";
    WATER = "water": GRAMS, "the water to add, in full";
    TO_LOSE = "water_to_lose": GRAMS, "the water to air off";
    TOTAL = "cost_total": Shape::Number, "what the leaf costs, money";
    PER_KG = "cost_per_kg": Shape::Number, "the same for a kilogram of what is finished, money";
    LOSSY = "cost_per_kg_with_loss": Shape::Number, "the same where some is lost on the way, money";
    PER_DRY = "cost_per_dry_kg": Shape::Number, "for a kilogram of dry leaf, money";
    DRY_LOSSY = "cost_per_dry_kg_with_loss": Shape::Number, "the same where some is lost on the way, money";
    LIMIT = "limiting_lot": Shape::Text, "the lot that is used up first";
    LARGEST = "largest_batch": GRAMS, "the largest batch that the stock reaches for, of what the size was said of";
    SHORT = "short_by": GRAMS, "what is missing of the limiting lot";
    TO_BUY = "to_buy": Shape::Rows { always: &[&LOT, &MASS], known: &[] }, "what is missing, of each lot that does not reach";
    LOAD = "load": Shape::Number, "the load, the first being 1";
    WHAT = "what": Shape::Text, "the component or the liquid";
    LOADS = "loads": Shape::Rows { always: &[&LOAD, &WHAT, &MASS], known: &[] }, "what goes into each load";
    FULLEST = "fullest_load": GRAMS, "what ever lies in the vessel at once";
    OFFERS = "offers": Shape::Rows { always: &[&COMPONENT, &LOT, &DRY_PRICE], known: &[] }, "leaf to compare with";
}

const KNOWN: &[&Key] = &[
    &DRY, &MOISTURE, &LIQUIDS, &TOTAL, &PER_KG, &LOSSY, &PER_DRY, &DRY_LOSSY, &LIMIT, &LARGEST,
    &SHORT, &TO_BUY, &LOADS, &FULLEST, &OFFERS,
];
const ALWAYS: &[&Key] = &[&PLAN, &LEAF, &FINISHED, &LINES];

/// The keys of `batch plan`, by what is done about the moisture.
pub static FORMS: &[Form] = &[
    Form {
        word: Some("add"),
        always: &[&PLAN, &LEAF, &FINISHED, &LINES, &WATER],
        known: KNOWN,
    },
    Form {
        word: Some("dry"),
        always: &[&PLAN, &LEAF, &FINISHED, &LINES, &TO_LOSE],
        known: KNOWN,
    },
    Form {
        word: Some("nothing"),
        always: ALWAYS,
        known: KNOWN,
    },
    Form {
        word: Some("none"),
        always: ALWAYS,
        known: KNOWN,
    },
];

fn per_kilogram(price: Price) -> String {
    format!("{} /kg", money(price.per_kilogram())).replace(' ', "\u{a0}")
}

/// The batch, said.
pub fn plan(asking: Asking, loads: Option<&Loads>, offers: &[OfferedLeaf]) -> Answer {
    let question = &asking.question;
    let mut answer = Answer::new("batch plan", headline(&asking));
    let plan = &asking.scaled.planned;
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
    match water {
        Some(WateringPlan::Add(water)) => answer.put(&WATER, &water.water),
        Some(WateringPlan::Dry(water)) => answer.put(&TO_LOSE, &water.water),
        _ => {}
    }
    answer.put_exact(&LEAF, plan.leaf.base());
    answer.put_exact(&FINISHED, asking.scaled.finished.base());
    answer.put_if(&DRY, plan.dry_matter.as_ref());
    answer.put_if(&MOISTURE, plan.moisture.as_ref());
    lines(&mut answer, &asking);
    liquids(&mut answer, &asking);
    cost(&mut answer, &asking);
    limit(&mut answer, &asking);
    if let Some(loads) = loads {
        self::loads(&mut answer, &asking, loads);
    }
    self::offers(&mut answer, &asking, offers);
    answer.check = match &plan.water {
        Some((_, water)) => format!(
            "all leaf on the scale reads {}; at the end {} at {} of total weight",
            question.voice().mass_shown(plan.leaf),
            question.voice().mass_shown(water.final_mass().best()),
            question.target()
        ),
        None => format!(
            "all leaf on the scale reads {}",
            question.voice().mass_shown(plan.leaf)
        ),
    };
    question.doubt(&mut answer, plan);
    working(&mut answer, &asking);
    finish(asking.question, &asking.scaled.planned, &mut answer);
    answer
}

/// Cautions and what was assumed, as a sheet has them.
pub(super) fn finish(
    mut question: Question,
    plan: &gutta::blend::sheet::Planned,
    answer: &mut Answer,
) {
    question.cautions(answer, plan);
    let assumed = std::mem::take(&mut question.assumed);
    assumed.settle(answer);
}

fn headline(asking: &Asking) -> String {
    let (question, scaled) = (&asking.question, &asking.scaled);
    let voice = question.voice();
    let mut parts = vec![format!("{} of leaf", voice.mass_shown(scaled.planned.leaf))];
    match scaled.planned.water.as_ref().map(|(_, water)| water) {
        Some(WateringPlan::Add(water)) => {
            parts.push(format!("{} of water", voice.mass_shown(water.water.best())));
        }
        Some(WateringPlan::Dry(water)) => parts.push(format!(
            "{} of water to air off",
            voice.mass_shown(water.water.best())
        )),
        Some(WateringPlan::Nothing(_)) => parts.push("no water".to_owned()),
        None => {}
    }
    if let Some(cost) = &scaled.cost {
        let with_loss = if asking.scale_up.loss.base() > 0.0 {
            " with the loss"
        } else {
            ""
        };
        parts.push(format!(
            "{} in money, {}{with_loss}",
            money(cost.total.sum()),
            per_kilogram(cost.with_loss)
        ));
    }
    format!(
        "{} for {}: {}.",
        question.title,
        question.size_said(),
        parts.join(", ")
    )
}

fn lines(answer: &mut Answer, asking: &Asking) {
    let (question, voice) = (&asking.question, asking.question.voice());
    let supplies = &asking.scale_up.supplies;
    let each = || asking.scaled.needed.iter().zip(supplies).enumerate();
    let rows = each().map(|(component, (line, supply))| {
        let mut row = Row::default()
            .with_text(&COMPONENT, question.name(component).to_owned())
            .with(&MASS, &line.mass);
        if let Some(lot) = &question.lots[component].name {
            row = row.with_text(&LOT, lot.clone());
        }
        if let Some(cost) = line.cost {
            row = row.with_number(&COST, cost.sum());
        }
        if let Some(price) = &line.price_of_dry {
            row = row.with_number(&DRY_PRICE, price.best().per_kilogram());
        }
        if let Some(stock) = supply.stock {
            row = row.with_exact(&STOCK, stock.base());
        }
        row
    });
    answer.put_rows(&LINES, rows.collect());
    let has = |what: fn(&Needed) -> bool| asking.scaled.needed.iter().any(what);
    let (costs, dry) = (
        has(|line| line.cost.is_some()),
        has(|line| line.price_of_dry.is_some()),
    );
    let stocks = supplies.iter().any(|supply| supply.stock.is_some());
    let columns = [
        ("", true),
        ("weigh", true),
        ("there is", stocks),
        ("costs", costs),
        ("a dry kg", dry),
    ];
    let cells = each().map(|(component, (line, supply))| {
        let all = [
            question.called(component),
            voice.mass_shown(line.mass.best()),
            supply
                .stock
                .map_or_else(String::new, |stock| voice.mass(stock)),
            line.cost.map_or_else(String::new, |cost| money(cost.sum())),
            line.price_of_dry
                .as_ref()
                .map_or_else(String::new, |price| money(price.best().per_kilogram())),
        ];
        let kept = all.into_iter().zip(columns).filter(|(_, (_, is))| *is);
        kept.map(|(cell, _)| cell).collect()
    });
    answer.table = Some(Grid {
        is_words: false,
        rows: cells.collect(),
        columns: columns
            .iter()
            .filter(|(_, is)| *is)
            .map(|(name, _)| *name)
            .collect(),
    });
}

fn liquids(answer: &mut Answer, asking: &Asking) {
    let (question, plan) = (&asking.question, &asking.scaled.planned);
    let mut rows = Vec::new();
    let mut said = Vec::new();
    for (casing, line) in plan.casings.iter().zip(&question.sheet.casings) {
        let name = &line.liquid.name;
        rows.push(
            Row::default()
                .with_text(&LIQUID, name.clone())
                .with(&MASS, &casing.mass),
        );
        said.push(format!("{} of {name}", question.liquid(casing.mass.best())));
    }
    for (flavour, line) in plan.flavours.iter().zip(&question.sheet.flavours) {
        let name = &line.liquid.name;
        let volume = flavour.dosed.volume.as_ref();
        rows.push(
            Row::default()
                .with_text(&LIQUID, name.clone())
                .with(&MASS, &flavour.dosed.mass)
                .with_if(&VOLUME, volume),
        );
        let volume = volume.map(|volume| format!(" ({})", say::estimate(volume, Unit::MILLILITRE)));
        said.push(format!(
            "{}{} of {name}",
            say::estimate(&flavour.dosed.mass, Unit::GRAM),
            volume.unwrap_or_default()
        ));
        if flavour.dosed.volume.is_none() {
            answer.next.push(format!(
                "for {name} in mL, give the density of the bottle at hand: --bottle \"{name} = … g/mL\""
            ));
        }
    }
    if !rows.is_empty() {
        answer.put_rows(&LIQUIDS, rows);
        answer
            .details
            .push(format!("Goes on: {}.", said.join(", ")));
    }
}

fn cost(answer: &mut Answer, asking: &Asking) {
    let Some(cost) = &asking.scaled.cost else {
        let without: Vec<&str> = asking
            .scale_up
            .supplies
            .iter()
            .enumerate()
            .filter(|(_, supply)| supply.price.is_none())
            .map(|(at, _)| asking.question.name(at))
            .collect();
        answer.next.push(format!(
            "for the cost, give the price of {}: --price \"{} = 38 /kg\"",
            without.join(", "),
            without.first().copied().unwrap_or_default()
        ));
        return;
    };
    answer.put_number(&TOTAL, cost.total.sum());
    answer.put_number(&PER_KG, cost.of_finished.per_kilogram());
    answer.put_number(&LOSSY, cost.with_loss.per_kilogram());
    let loss = asking.scale_up.loss.base();
    let for_what = |price: Price, lossy: Price, what: &str| {
        let lost = say::base(loss, Unit::PERCENT);
        let lossy = money(lossy.per_kilogram());
        let with = (loss > 0.0).then(|| format!(", {lossy} with {lost} lost"));
        format!(
            "{} of {what}{}",
            per_kilogram(price),
            with.unwrap_or_default()
        )
    };
    let what = match asking.scale_up.sheet.to {
        Some(_) => "what is finished",
        None => "the batch",
    };
    let mut said = format!(
        "The leaf costs {}",
        for_what(cost.of_finished, cost.with_loss, what)
    );
    if let Some((dry, lossy)) = cost.of_dry {
        answer.put_number(&PER_DRY, dry.per_kilogram());
        answer.put_number(&DRY_LOSSY, lossy.per_kilogram());
        said += &format!("; {}", for_what(dry, lossy, "dry leaf"));
    }
    answer.details.push(said + ".");
    if !asking.scaled.planned.flavours.is_empty() || !asking.scaled.planned.casings.is_empty() {
        answer
            .details
            .push("What goes on is not in the cost.".to_owned());
    }
}

/// `4 kg finished`: a batch of what the size was said of.
fn of_size(asking: &Asking, mass: Mass) -> String {
    let mass = say::base(say::not_more(mass).base(), Unit::GRAM);
    match asking.scale_up.sheet.size {
        SheetSize::AsWeighed(_) => format!("{mass} of leaf as weighed"),
        SheetSize::DryMatter(_) => format!("{mass} of dry leaf"),
        SheetSize::Finished(_) => format!("{mass} finished"),
    }
}

fn limit(answer: &mut Answer, asking: &Asking) {
    let Some(limit) = asking.scaled.limit() else {
        answer.next.push(
            "for the largest batch, say what there is: --stock \"COMPONENT = 650g\", or write down what came in with gutta lot in"
                .to_owned(),
        );
        return;
    };
    answer.put_text(&LIMIT, limit.lot.clone());
    answer.put_exact(&LARGEST, limit.largest.base());
    let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
    let mut said = format!(
        "{} is used up first: {} of it make {}",
        limit.lot,
        grams(limit.stock),
        of_size(asking, limit.largest)
    );
    if let Some(short) = limit.short_by() {
        answer.put_exact(&SHORT, short.base());
        said += &format!("; {} are missing", grams(short));
    }
    answer.details.push(said + ".");
    // Every lot that does not reach, not only the first.
    let limits = asking.scaled.limits.iter();
    let missing = limits.filter_map(|limit| Some((limit, limit.short_by()?)));
    let missing: Vec<_> = missing.collect();
    if missing.is_empty() {
        return;
    }
    let rows = missing.iter().map(|(limit, short)| {
        Row::default()
            .with_text(&LOT, limit.lot.clone())
            .with_exact(&MASS, short.base())
    });
    answer.put_rows(&TO_BUY, rows.collect());
    let said: Vec<String> = missing
        .iter()
        .map(|(limit, short)| format!("{} of {}", grams(*short), limit.lot))
        .collect();
    answer.next.push(format!("to buy: {}", said.join(", ")));
}

fn loads(answer: &mut Answer, asking: &Asking, loads: &Loads) {
    let question = &asking.question;
    let leaf = asking.scaled.needed.len();
    let liquids = question.sheet.casings.iter().map(|line| &line.liquid.name);
    let liquids = liquids.chain(question.sheet.flavours.iter().map(|line| &line.liquid.name));
    let names: Vec<String> = (0..leaf)
        .map(|at| question.name(at).to_owned())
        .chain(liquids.cloned())
        .chain(asking.water_to_add().map(|_| "water".to_owned()))
        .collect();
    let each = loads.each.iter().enumerate();
    let rows = each.flat_map(|(load, lines)| {
        names.iter().zip(lines).map(move |(name, mass)| {
            Row::default()
                .with_number(&LOAD, (load + 1) as f64)
                .with_text(&WHAT, name.clone())
                .with_exact(&MASS, mass.base())
        })
    });
    answer.put_rows(&LOADS, rows.collect());
    answer.put_exact(&FULLEST, loads.fullest.base());
    // Loads that are the same are said once.
    let mut alike: Vec<(Vec<usize>, String)> = Vec::new();
    for (load, lines) in loads.each.iter().enumerate() {
        let said = names
            .iter()
            .zip(lines)
            .enumerate()
            .map(|(at, (name, mass))| {
                let mass = if at < leaf {
                    question.voice().mass_shown(*mass)
                } else {
                    question.liquid(*mass)
                };
                format!("{mass} {name}")
            });
        let said = said.collect::<Vec<_>>().join(", ");
        match alike.iter_mut().find(|(_, other)| *other == said) {
            Some((loads, _)) => loads.push(load + 1),
            None => alike.push((vec![load + 1], said)),
        }
    }
    let count = loads.each.len();
    let full = say::share(loads.full.base());
    let loads_word = say::of_count(count as f64, "load", "loads");
    answer.details.push(format!(
        "{count} {loads_word}, at most {} in the vessel at once, {full} of what it holds:",
        say::base(loads.fullest.base(), Unit::GRAM)
    ));
    for (which, said) in alike {
        let which = match which.as_slice() {
            all if all.len() == count && count > 1 => "each".to_owned(),
            [one] => format!("load {one}"),
            several => {
                let numbers: Vec<String> = several.iter().map(ToString::to_string).collect();
                format!("loads {}", numbers.join(", "))
            }
        };
        answer.details.push(format!("{which}: {said}."));
    }
    if let (Some(scale), true) = (question.sheet.scale, count > 1) {
        let lines = names[..leaf].iter().zip(&loads.each[0]);
        let small = say::below_least_within(
            lines.map(|(name, mass)| (name.as_str(), *mass)),
            Some(scale),
            question.sheet.tolerance,
        );
        answer
            .cautions
            .extend(small.map(|small| format!("in a load, {small}")));
    }
}

fn offers(answer: &mut Answer, asking: &Asking, offers: &[OfferedLeaf]) {
    if offers.is_empty() {
        return;
    }
    let of_dry = |offer: &OfferedLeaf| offer.price.of_dry(offer.at.value());
    let rows = offers.iter().map(|offer| {
        Row::default()
            .with_text(&COMPONENT, asking.question.name(offer.component).to_owned())
            .with_text(&LOT, offer.name.clone())
            .with_number(&DRY_PRICE, of_dry(offer).per_kilogram())
    });
    answer.put_rows(&OFFERS, rows.collect());
    for offer in offers {
        let offered = of_dry(offer).per_kilogram();
        let line = &asking.scaled.needed[offer.component];
        let what = asking.question.called(offer.component);
        let against = line.price_of_dry.as_ref().map(|price| {
            let own = price.best().per_kilogram();
            // The doubt of either moisture is a doubt of the price of what is dry.
            let u_offer = offered * offer.at.u() / offer.at.value().dry_share().base();
            let within = gutta::measure::COVERAGE_95 * price.u().hypot(u_offer);
            let (less, more) = (offered < own, offered > own);
            let verdict = if within > 0.0 && (offered - own).abs() <= within {
                "no more apart than the doubt of the moistures"
            } else if less {
                "cheaper"
            } else if more {
                "dearer"
            } else {
                "the same"
            };
            format!(", {verdict}: {what} costs {}", money(own))
        });
        answer.details.push(format!(
            "{} ({}) costs {} for a kilogram of dry leaf{}.",
            offer.name,
            offer.typed,
            money(offered),
            against.unwrap_or_default()
        ));
    }
}

fn working(answer: &mut Answer, asking: &Asking) {
    let question = &asking.question;
    let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
    for (at, (line, supply)) in asking
        .scaled
        .needed
        .iter()
        .zip(&asking.scale_up.supplies)
        .enumerate()
    {
        let (Some(price), Some(cost)) = (supply.price, line.cost) else {
            continue;
        };
        answer.working.push(format!(
            "{} = {} × {} = {}",
            question.name(at),
            grams(line.mass.best()),
            per_kilogram(price),
            money(cost.sum())
        ));
    }
    if let Some(cost) = &asking.scaled.cost {
        answer.working.push(format!(
            "cost = {} / {} finished = {}",
            money(cost.total.sum()),
            grams(asking.scaled.finished),
            per_kilogram(cost.of_finished)
        ));
        if asking.scale_up.loss.base() > 0.0 {
            answer.working.push(format!(
                "with loss = {} / (1 − {}) = {}",
                per_kilogram(cost.of_finished),
                say::base(asking.scale_up.loss.base(), Unit::PERCENT),
                per_kilogram(cost.with_loss)
            ));
        }
    }
    if let Some(limit) = asking.scaled.limit() {
        // It is said rounded down everywhere else: what is more is not there.
        let (exact, largest) = (grams(limit.largest), grams(say::not_more(limit.largest)));
        let down = if exact == largest {
            String::new()
        } else {
            format!(", rounded down {largest}")
        };
        answer.working.push(format!(
            "largest batch = {} × {} / {} of {} = {exact}{down}",
            grams(asking.scale_up.sheet.size.mass()),
            grams(limit.stock),
            grams(limit.needed),
            limit.lot
        ));
    }
}
