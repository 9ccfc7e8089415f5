//! A liquid by its name: one of the book, or a name that says what is in it.

use gutta::bench::Dropped;
use gutta::matter::{DensityOf, Liquid, Solute, Strength, liquids};
use gutta::measure::{Density, Measured, ROOM_TEMPERATURE, Scalar, Temperature, Unit};

use super::shelf::Shelf;
use super::{Assumed, Flag, moved};
use crate::failure::Outcome;
use crate::say;

/// The liquid of a name that stands at an offset in a flag's text, where there
/// is one. The book's own numbers win over those that go with a name.
pub fn find(
    flag: Flag<'_>,
    name: &str,
    at: usize,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Option<Liquid>> {
    let liquid = match shelf.liquid_if(name)? {
        Some(entry) => {
            let liquid = entry.liquid();
            if !liquid.is_water() && Liquid::named(name).is_ok_and(|named| named.is_some()) {
                assumed.once(format!("{}: the book's own numbers", liquid.name));
            }
            own(&liquid, assumed);
            Some(liquid)
        }
        None => {
            let named = Liquid::named(name).map_err(|error| moved(flag, error, at))?;
            if let Some(liquid) = &named {
                say_strength(liquid, assumed);
            }
            named
        }
    };
    let composition = liquid.as_ref().and_then(|l| l.composition.as_ref());
    if let Some(caution) = composition.and_then(liquids::flammable) {
        assumed.caution(caution);
    }
    Ok(liquid)
}

/// Whether two names of liquids are one, whatever their blanks and capitals.
pub fn is_alike(one: &str, other: &str) -> bool {
    let bare = |name: &str| {
        let letters = name.chars().filter(|c| !c.is_whitespace());
        letters.flat_map(char::to_lowercase).collect::<String>()
    };
    bare(one) == bare(other)
}

/// The liquid that a flag names; it must be there.
pub fn needed(flag: Flag<'_>, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Liquid> {
    if flag.text.trim().is_empty() {
        return Err(flag.wrong("empty", "the liquid has no name").hint(NAMES));
    }
    if let Some(liquid) = find(flag, flag.text, 0, shelf, assumed)? {
        return Ok(liquid);
    }
    let missing = match shelf.liquid(flag) {
        Ok(entry) => return Ok(entry.liquid()),
        Err(missing) => missing,
    };
    Err(match near(flag.text) {
        Some(near) => missing.hint(format!("did you mean {near}? {NAMES}")),
        None => missing,
    })
}

/// The known word that the words of a name may be a slip for.
pub fn near(name: &str) -> Option<&'static str> {
    let word = name
        .trim_start_matches(|c: char| !c.is_alphabetic())
        .split(|c: char| c.is_numeric())
        .next()
        .unwrap_or_default();
    gutta_book::nearest(word.trim(), Liquid::names())
}

/// What to type for a liquid.
pub const NAMES: &str = "type one of the book, or a name that says what is in it: \"alcohol 70% vol\", \
     \"glycol 50%\", \"syrup 65 Brix\" or \"honey 17% water\"";

/// The density of a liquid at a temperature, said where it is not water's.
pub fn density(
    flag: Flag<'_>,
    liquid: &Liquid,
    temperature: &Measured<Temperature>,
    assumed: &mut Assumed,
) -> Outcome<Measured<Density>> {
    let density = liquid.density(temperature).map_err(|error| {
        let missing = error.kind() == gutta::ErrorKind::Missing;
        let failure = flag.fail(error);
        if missing {
            failure.hint(format!(
                "weigh 10 mL of it: its density is that mass over 10 mL; type it as --density in place of {}",
                flag.name
            ))
        } else {
            failure
        }
    })?;
    assumed.line(format!(
        "density of {}, {}",
        liquid.name,
        say::estimate(&density, Unit::GRAM_PER_MILLILITRE)
    ));
    say_density(liquid, temperature, assumed);
    Ok(density.measured())
}

/// Says of a density what its reader should know: of honey that the table is
/// remembered, of one that was measured that it is not brought to another
/// temperature.
pub fn say_density(liquid: &Liquid, temperature: &Measured<Temperature>, assumed: &mut Assumed) {
    if liquid.density == DensityOf::Honey {
        assumed.once("the density of honey by a table as remembered".to_owned());
    }
    let is_room = (temperature.value().base() - ROOM_TEMPERATURE.base()).abs() < 0.05;
    if matches!(liquid.density, DensityOf::Measured(_)) && !is_room {
        assumed.once(format!(
            "the density of {} is as it was measured, not brought to the temperature",
            liquid.name
        ));
    }
}

/// A liquid as a calibration takes it.
pub fn dropped(
    flag: Flag<'_>,
    liquid: &Liquid,
    temperature: &Measured<Temperature>,
    assumed: &mut Assumed,
) -> Outcome<Dropped> {
    if liquid.is_water() {
        return Ok(Dropped::Water);
    }
    density(flag, liquid, temperature, assumed).map(Dropped::Other)
}

/// The shares of a liquid of the book that carry no doubt.
fn own(liquid: &Liquid, assumed: &mut Assumed) {
    let Some(composition) = &liquid.composition else {
        return;
    };
    for (part, share) in composition.parts() {
        let share_is = say::base(share.value().base(), Unit::PERCENT);
        assumed.exact_if(
            share.is_exact(),
            format!("{share_is} {} in {}", part.name(), liquid.name),
        );
    }
}

/// What a name says is in the liquid, and what is taken for granted with it.
pub fn say_strength(liquid: &Liquid, assumed: &mut Assumed) {
    let name = &liquid.name;
    let Some(composition) = &liquid.composition else {
        return;
    };
    let share = |part| say::base(composition.share(part).base(), Unit::PERCENT);
    let typed = match &liquid.strength {
        Strength::ByVolume { typed, .. }
        | Strength::ByMass(typed)
        | Strength::Brix(typed)
        | Strength::WaterOf(typed)
        | Strength::SolidsOf(typed) => Some(typed),
        Strength::Own | Strength::Unsaid | Strength::Usual(_) => None,
    };
    assumed.exact_if(
        typed.is_some_and(gutta::measure::Reading::is_exact),
        format!("strength of {name}"),
    );
    match (&liquid.strength, composition.dissolved()) {
        (Strength::ByVolume { said, .. }, Some((solute, _))) => {
            let taken = if *said {
                ""
            } else {
                ": taken by volume at 20\u{a0}°C, as on the bottle"
            };
            assumed.once(format!(
                "{name} is {} by mass, the rest water{taken}",
                share(solute.part())
            ));
        }
        (Strength::ByMass(_), _) => {
            assumed.once(format!("{name} is by mass, the rest water"));
        }
        (Strength::Brix(_), Some((Solute::Sugar, _))) => {
            assumed.once(format!(
                "{name} is {} sugar by mass, the rest water",
                share(gutta::Part::Sugar)
            ));
        }
        (Strength::Unsaid, Some((solute, _))) => {
            assumed.once(format!(
                "{name} is taken neat, all of it {}",
                solute.part().name()
            ));
        }
        (Strength::SolidsOf(_), _) => {
            assumed.once(format!(
                "{name} is {} water, the rest {}",
                share(gutta::Part::Water),
                composition.rest().name()
            ));
        }
        (Strength::WaterOf(_), _) => {
            assumed.once(format!("{name}, the rest {}", composition.rest().name()));
        }
        (Strength::Usual(one), _) => {
            let [low, high] = one.water;
            let range = if low == high {
                format!("{low}\u{a0}%")
            } else {
                format!("{low} to {high}\u{a0}%")
            };
            assumed.once(format!(
                "{name} holds {range} of water, the rest {} ({}): type your own, such as {name} {}% water",
                composition.rest().name(),
                one.source,
                one.round_water()
            ));
        }
        _ => {}
    }
}
