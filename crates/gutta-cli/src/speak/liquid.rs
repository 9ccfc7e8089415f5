//! Liquids in sentences: what is in one, several together, one made weaker.

use gutta::bench::Added;
use gutta::bench::{Falling, MixedLiquids, Mixture, ToStrength, Weakened};
use gutta::matter::{Composition, Liquid, Part, Solute};
use gutta::measure::{
    Density, Estimate, Kind, Mass, Measured, Reading, Scalar, Scale, Temperature, Unit, Volume,
};

use super::keys;
use crate::answer::{Answer, JsonUnit, Key, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);
const MILLILITRES: Shape = Shape::Quantity(JsonUnit::Millilitre);
const PERCENT: Shape = Shape::Quantity(JsonUnit::Percent);

keys! {
    DENSITY = "density": Shape::Quantity(JsonUnit::GramPerMillilitre), "the density at the temperature";
    WATER = "water": PERCENT, "water in it, by mass";
    ALCOHOL = "alcohol": PERCENT, "alcohol in it, by mass";
    GLYCOL = "glycol": PERCENT, "propylene glycol in it, by mass";
    GLYCERINE = "glycerine": PERCENT, "glycerine in it, by mass";
    SUGAR = "sugar": PERCENT, "sugar in it, by mass";
    SOLIDS = "solids": PERCENT, "other solids in it, by mass";
    STRENGTH = "strength": PERCENT, "alcohol by volume at 20 °C, as on the bottle";
    TENSION = "surface_tension": Shape::Quantity(JsonUnit::MillinewtonPerMetre), "the surface tension at the temperature";
    FLASH = "flash_point": Shape::Quantity(JsonUnit::Celsius), "about where it can be set alight";
    MASS = "mass": GRAMS, "what the mixture weighs";
    VOLUME = "volume": MILLILITRES, "what the mixture measures";
    CONTRACTION = "contraction": MILLILITRES, "what it measures less than its liquids apart";
    STOCK = "stock": GRAMS, "the stronger liquid to take";
    STOCK_VOLUME = "stock_volume": MILLILITRES, "the stronger liquid as a volume";
    WATER_ADDED = "water": GRAMS, "the water to add";
    WATER_VOLUME = "water_volume": MILLILITRES, "the water as a volume";
    TOTAL = "total": GRAMS, "what it makes";
    TOTAL_VOLUME = "total_volume": MILLILITRES, "what it makes, as a volume";
}

/// The keys of `liquid show`.
pub static SHOW_FORMS: &[Form] = &[Form {
    word: None,
    always: &[],
    known: &[
        &DENSITY, &WATER, &ALCOHOL, &GLYCOL, &GLYCERINE, &SUGAR, &SOLIDS, &STRENGTH, &TENSION,
        &FLASH,
    ],
}];

/// The keys of `liquid mix`.
pub static MIX_FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MASS],
    known: &[
        &VOLUME,
        &DENSITY,
        &CONTRACTION,
        &WATER,
        &ALCOHOL,
        &GLYCOL,
        &GLYCERINE,
        &SUGAR,
        &SOLIDS,
        &STRENGTH,
    ],
}];

/// The keys of `liquid dilute`.
pub static DILUTE_FORMS: &[Form] = &[Form {
    word: None,
    always: &[
        &STOCK,
        &STOCK_VOLUME,
        &WATER_ADDED,
        &WATER_VOLUME,
        &TOTAL,
        &TOTAL_VOLUME,
        &CONTRACTION,
    ],
    known: &[],
}];

const fn key(part: Part) -> &'static Key {
    match part {
        Part::Water => &WATER,
        Part::Alcohol => &ALCOHOL,
        Part::Glycol => &GLYCOL,
        Part::Glycerine => &GLYCERINE,
        Part::Sugar => &SUGAR,
        Part::Solids => &SOLIDS,
    }
}

fn grams_per_ml(density: &Estimate<Density>) -> String {
    say::estimate(density, Unit::GRAM_PER_MILLILITRE)
}

/// `62.4 % alcohol, 37.6 % water`, the largest first.
fn parts(shares: &[(Part, Estimate<gutta::measure::Ratio>)]) -> String {
    let mut shares: Vec<_> = shares.iter().collect();
    shares.sort_by(|a, b| b.1.best().base().total_cmp(&a.1.best().base()));
    let said = shares
        .iter()
        .map(|(part, share)| format!("{} {}", say::estimate(share, Unit::PERCENT), part.name()));
    said.collect::<Vec<_>>().join(", ")
}

/// What is in a composition, each part with its doubt.
fn shares(composition: &Composition) -> Vec<(Part, Estimate<gutta::measure::Ratio>)> {
    let named = |part| {
        let found = composition.parts().iter().find(|(p, _)| *p == part);
        match found {
            Some((_, share)) => share.estimate(part.name()),
            // The rest is in doubt by what is named.
            None => composition.rest_share().estimate("what is named"),
        }
    };
    let each = Part::ALL.into_iter();
    each.filter(|part| composition.share(*part).base() > 1e-12)
        .map(|part| (part, named(part)))
        .collect()
}

/// A liquid, shown.
pub fn show(
    liquid: &Liquid,
    density: Option<&Estimate<Density>>,
    temperature: &Measured<Temperature>,
    assumed: Assumed,
) -> Answer {
    let inside = liquid.composition.as_ref().map(shares).unwrap_or_default();
    let headline = match (inside.is_empty(), density) {
        (false, Some(density)) => format!(
            "{}: {} by mass, {}.",
            liquid.name,
            parts(&inside),
            grams_per_ml(density)
        ),
        (false, None) => format!("{}: {} by mass.", liquid.name, parts(&inside)),
        (true, Some(density)) => format!("{}: {}.", liquid.name, grams_per_ml(density)),
        (true, None) => format!("{}: nothing more is known of it.", liquid.name),
    };
    let mut answer = Answer::new("liquid show", headline);
    let hundred = |density: &Estimate<Density>| {
        let mass: Mass = Volume::of_base(1e-4) * density.best();
        format!(
            "100\u{a0}mL of it weigh {}",
            say::estimate(&Estimate::exact(mass), Unit::GRAM)
        )
    };
    answer.check = match density {
        Some(density) => hundred(density),
        None => "weigh 10\u{a0}mL of it: its density is that mass over 10\u{a0}mL".to_owned(),
    };
    answer.put_if(&DENSITY, density);
    for (part, share) in &inside {
        answer.put(key(*part), share);
    }
    if let Some(strength) = liquid.strength_by_volume() {
        let strength = strength.estimate("strength");
        answer.details.push(format!(
            "{} by volume at 20\u{a0}°C.",
            say::estimate(&strength, Unit::PERCENT)
        ));
        answer.put(&STRENGTH, &strength);
    }
    match liquid.surface_tension_at(temperature) {
        Ok(tension) => {
            answer.put(&TENSION, &tension);
            let tension = say::estimate(&tension, Unit::MILLINEWTON_PER_METRE);
            answer.details.push(match Falling::check_unlike_water(liquid, temperature) {
                Ok(()) => format!(
                    "Surface tension {tension}: gutta dropper … --then {} works its drop out from that of water.",
                    quoted(&liquid.name)
                ),
                Err(_) => format!("Surface tension {tension}."),
            });
        }
        // What has no density here may be no liquid.
        Err(error) if density.is_some() => answer.next.extend(error.hint().map(str::to_owned)),
        Err(_) => {}
    }
    if let Some(flash) = liquid.flash_point() {
        answer.put_exact(&FLASH, flash.base());
    }
    if density.is_some_and(|d| d.u() > 0.0) {
        answer.doubt.extend(density.map(|density| {
            format!(
                "the density {} (95\u{a0}%): {}",
                say::with_doubt(density, Unit::GRAM_PER_MILLILITRE),
                say::drivers(&answer.budget)
            )
        }));
    } else if density.is_some() {
        answer.doubt.push(doubt_of_strength(liquid));
    } else {
        answer.doubt.push("the density is not known".to_owned());
    }
    for (part, share) in inside.iter().filter(|(_, share)| share.u() > 0.0) {
        answer.doubt.push(format!(
            "{} {} (95\u{a0}%)",
            part.name(),
            say::with_doubt(share, Unit::PERCENT)
        ));
    }
    if let (Some(composition), Some(density)) = (&liquid.composition, density) {
        answer.working.push(format!(
            "density by what is in it ({}) = {}",
            parts(&shares(composition)),
            grams_per_ml(density)
        ));
    }
    assumed.settle(&mut answer);
    answer
}

/// How the doubt of a strength is typed.
fn doubt_of_strength(liquid: &Liquid) -> String {
    let dissolved = liquid.composition.as_ref().and_then(Composition::dissolved);
    match dissolved {
        None => "not known".to_owned(),
        Some((Solute::Alcohol, _)) => {
            "not known: type it with the strength, such as \"alcohol 70% ± 1% vol\"".to_owned()
        }
        Some((Solute::Sugar, _)) => {
            "not known: type it with the strength, such as \"syrup 65 ± 1 Brix\"".to_owned()
        }
        Some((solute, _)) => format!(
            "not known: type it with the strength, such as \"{} 50% ± 1%\"",
            solute.part().name()
        ),
    }
}

fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace("\u{a0}%", "%"))
}

/// Liquids poured together.
pub fn mix(
    mixture: &Mixture,
    mixed: &MixedLiquids,
    scale: Option<Scale>,
    mut assumed: Assumed,
) -> Answer {
    let voice = Voice::plain(scale);
    let volume = mixed.volume.as_ref().map_or_else(String::new, |volume| {
        format!(" ({})", say::estimate(volume, Unit::MILLILITRE))
    });
    let strength = mixed
        .strength
        .as_ref()
        .map_or_else(String::new, |strength| {
            format!(", {} by volume", say::estimate(strength, Unit::PERCENT))
        });
    let mass = voice.reading(&mixed.mass);
    let headline = format!(
        "Together {mass}{volume}: {} by mass{strength}.",
        parts(&mixed.shares)
    );
    let mut answer = Answer::new("liquid mix", headline);
    answer.check = format!("the scale then reads {mass}");
    let contraction = mixed.contraction.as_ref();
    // A tenth of a microlitre is none.
    let draws_together = contraction.filter(|c| c.best().base().abs() > 1e-10);
    answer.details.extend(draws_together.map(|contraction| {
        format!(
            "That is {} less than the liquids measure apart.",
            say::estimate(contraction, Unit::MILLILITRE)
        )
    }));
    answer.put(&MASS, &mixed.mass);
    answer.put_if(&VOLUME, mixed.volume.as_ref());
    answer.put_if(&DENSITY, mixed.density.as_ref());
    answer.put_if(&CONTRACTION, mixed.contraction.as_ref());
    for (part, share) in &mixed.shares {
        answer.put(key(*part), share);
    }
    answer.put_if(&STRENGTH, mixed.strength.as_ref());
    if mixed.is_added_up {
        assumed.line("the volumes are simply added, within 4\u{a0}% (95\u{a0}%): how far this mixture draws together is not known");
    }
    match &mixed.volume {
        Some(volume) if volume.u() > 0.0 => answer.doubt.push(format!(
            "the volume {} (95\u{a0}%): {}",
            say::with_doubt(volume, Unit::MILLILITRE),
            say::drivers(&say::budget(volume))
        )),
        Some(_) => answer
            .doubt
            .push("not known: type it behind an amount, such as \"60g ± 0.1g glycol\"".to_owned()),
        None => {
            let at = mixture.temperature.value();
            let why = mixture.liquids.iter().find_map(|liquid| {
                let known = liquid.density.check(&liquid.name, &liquid.composition, at);
                known.err().map(|error| format!(" ({error})"))
            });
            answer.next.push(format!(
                "the volume is not known{}: weigh 10\u{a0}mL of the mixture for its density",
                why.unwrap_or_default()
            ));
        }
    }
    answer.next.push(
        "label it with what is in it and the date; calibrate a dropper with it: it is a liquid of its own"
            .to_owned(),
    );
    let weighed: Vec<String> = mixture
        .liquids
        .iter()
        .map(|one| match one.amount {
            Added::Mass(mass) => format!("{} of {}", voice.mass(mass.value()), one.name),
            Added::Volume(volume) => format!(
                "{} of {} by its density",
                say::base(volume.value().base(), Unit::MILLILITRE),
                one.name
            ),
            Added::Drops(n, _) => format!("{} of {}", say::whole_drops(n), one.name),
        })
        .collect();
    answer
        .working
        .push(format!("{} = {mass}", weighed.join(" + ")));
    for (part, share) in &mixed.shares {
        answer.working.push(format!(
            "{} = {} / {mass} = {}",
            part.name(),
            voice.mass(mixed.mass.best() * share.best()),
            say::estimate(share, Unit::PERCENT)
        ));
    }
    assumed.settle(&mut answer);
    answer
}

/// A liquid made weaker.
pub fn dilute(
    question: &ToStrength,
    plan: &Weakened,
    typed: &Reading,
    scale: Option<Scale>,
    assumed: Assumed,
) -> Answer {
    let voice = if typed.kind() == Kind::Mass {
        Voice::of(typed, scale)
    } else {
        Voice::plain(scale)
    };
    let millilitres = |volume: &Estimate<Volume>| say::figures(volume, Unit::MILLILITRE, 4);
    let headline = format!(
        "Weigh {} of {} ({}), and add {} of water ({}): {} of {} ({}).",
        voice.weight(&plan.stronger),
        question.stronger.name,
        millilitres(&plan.stronger_volume),
        voice.weight(&plan.water),
        millilitres(&plan.water_volume),
        voice.weight(&plan.weaker),
        question.weaker.name,
        millilitres(&plan.weaker_volume),
    );
    let mut answer = Answer::new("liquid dilute", headline);
    answer.check = format!(
        "the scale reads {} with the stronger, and {} with the water",
        voice.reading(&plan.stronger),
        voice.reading(&plan.weaker)
    );
    answer.put(&STOCK, &plan.stronger);
    answer.put(&STOCK_VOLUME, &plan.stronger_volume);
    answer.put(&WATER_ADDED, &plan.water);
    answer.put(&WATER_VOLUME, &plan.water_volume);
    answer.put(&TOTAL, &plan.weaker);
    answer.put(&TOTAL_VOLUME, &plan.weaker_volume);
    answer.put(&CONTRACTION, &plan.contraction);
    answer.details.push(format!(
        "What is poured measures {} more than what it makes: go by the scale.",
        say::figures(&plan.contraction, Unit::MILLILITRE, 3)
    ));
    if plan.stronger.u() > 0.0 {
        answer.doubt.push(format!(
            "the stronger {} (95\u{a0}%): {}",
            voice.with_doubt(&plan.stronger),
            say::drivers(&answer.budget)
        ));
    } else if plan.stronger_volume.u() > 0.0 {
        answer.doubt.push(format!(
            "its volume {} (95\u{a0}%): {}",
            say::with_doubt(&plan.stronger_volume, Unit::MILLILITRE),
            say::drivers(&say::budget(&plan.stronger_volume))
        ));
    } else {
        answer.doubt.push(doubt_of_strength(&question.stronger));
    }
    let half = say::half_width(&plan.water);
    if half > plan.water.best().base() {
        answer.cautions.push(
            "by its doubt the stronger may be no stronger than what is wanted: measure it first"
                .to_owned(),
        );
    }
    let weighed = [("the stronger", &plan.stronger), ("water", &plan.water)];
    let weighed = weighed.map(|(what, mass)| (what, mass.best()));
    answer.cautions.extend(say::below_least(weighed, scale));
    answer.next.push(
        "mix, let it come to the room's temperature, and label it with strength and date"
            .to_owned(),
    );
    answer.working.push(format!(
        "stronger = {} × {} / {} by mass",
        voice.mass(plan.weaker.best()),
        strength_by_mass(&question.weaker),
        strength_by_mass(&question.stronger),
    ));
    assumed.settle(&mut answer);
    answer
}

fn strength_by_mass(liquid: &Liquid) -> String {
    let dissolved = liquid.composition.as_ref().and_then(Composition::dissolved);
    dissolved.map_or_else(String::new, |(_, share)| {
        say::base(share.value().base(), Unit::PERCENT)
    })
}
