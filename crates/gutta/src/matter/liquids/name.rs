//! Names that say what is in a liquid: `alcohol 70% vol`, `glycol 50%`, `syrup
//! 65 Brix`, `honey 17%`.

use super::ingredient::HONEY;
use super::{Composition, Ingredient, Liquid, Solute, alcohol};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    INGREDIENT_WATER, Kind, Measured, Ratio, Reading, Scalar, read, read_leading,
};

/// How a liquid's name says its strength.
#[derive(Clone, Debug, PartialEq)]
pub enum Strength {
    /// It is somebody's own: the name says nothing.
    Own,
    /// None is needed: water, and what is sold neat.
    Unsaid,
    /// By volume at 20 °C.
    ByVolume {
        /// As it was typed.
        typed: Reading,
        /// Whether it was said to be by volume, or is taken so.
        said: bool,
    },
    /// By mass.
    ByMass(Reading),
    /// Sugar by mass, as a refractometer shows it.
    Brix(Reading),
    /// The water of an ingredient was typed.
    WaterOf(Reading),
    /// What of an ingredient is not water was typed, in Brix.
    SolidsOf(Reading),
    /// The water of an ingredient is what it usually is.
    Usual(&'static Ingredient),
}

/// What a name begins with, and what that is.
#[derive(Clone, Copy)]
enum Word {
    Water,
    Solute(Solute),
    Ingredient(&'static Ingredient),
}

const WORDS: &[(&str, Word)] = &[
    ("water", Word::Water),
    ("distilled water", Word::Water),
    ("alcohol", Word::Solute(Solute::Alcohol)),
    ("ethanol", Word::Solute(Solute::Alcohol)),
    ("spirit", Word::Solute(Solute::Alcohol)),
    ("rum", Word::Solute(Solute::Alcohol)),
    ("brandy", Word::Solute(Solute::Alcohol)),
    ("whisky", Word::Solute(Solute::Alcohol)),
    ("whiskey", Word::Solute(Solute::Alcohol)),
    ("vodka", Word::Solute(Solute::Alcohol)),
    ("glycol", Word::Solute(Solute::Glycol)),
    ("propylene glycol", Word::Solute(Solute::Glycol)),
    ("pg", Word::Solute(Solute::Glycol)),
    ("glycerine", Word::Solute(Solute::Glycerine)),
    ("vegetable glycerine", Word::Solute(Solute::Glycerine)),
    ("vegetable glycerin", Word::Solute(Solute::Glycerine)),
    ("vg", Word::Solute(Solute::Glycerine)),
    ("glycerin", Word::Solute(Solute::Glycerine)),
    ("glycerol", Word::Solute(Solute::Glycerine)),
    ("syrup", Word::Solute(Solute::Sugar)),
    ("sugar syrup", Word::Solute(Solute::Sugar)),
];

static INGREDIENTS: [Ingredient; Ingredient::ALL.len()] = Ingredient::ALL;

/// The spellings of the degree Brix, the longer first.
const BRIX: [&str; 4] = ["°brix", "brix", "°bx", "bx"];

fn words() -> impl Iterator<Item = (&'static str, Word)> {
    let ingredients = INGREDIENTS
        .iter()
        .flat_map(|one| one.names().map(move |name| (name, Word::Ingredient(one))));
    WORDS.iter().copied().chain(ingredients)
}

impl Liquid {
    /// The liquid that a name says it is; none when the name is not one of
    /// those that every command reads.
    ///
    /// # Errors
    /// When the name needs a strength and has none, or the strength cannot be
    /// read or is outside 0 to 100 %. The place is within `text`.
    pub fn named(text: &str) -> Result<Option<Self>> {
        let name = text.trim();
        let Some((word, called, rest)) = split(name) else {
            return Ok(None);
        };
        let at = text.len() - text.trim_start().len() + name.len() - rest.len();
        let whole = |error: Error| error.with_place(text, at, rest.len());
        match word {
            Word::Water if rest.is_empty() => Ok(Some(Self::water())),
            Word::Water => Ok(None),
            _ if !rest.is_empty() && !is_number(rest) => Ok(None),
            Word::Solute(solute) if rest.is_empty() => neat(solute, called, text).map(Some),
            Word::Solute(Solute::Sugar) => {
                let reading = brix(rest).map_err(|error| moved(error, text, at))?;
                let share = share_of(&reading);
                solution(Solute::Sugar, called, share, Strength::Brix(reading))
                    .map(Some)
                    .map_err(|error| whole(error.with_hint("type it as syrup 65 Brix")))
            }
            Word::Solute(solute) => {
                let (reading, how) = share(rest).map_err(|error| moved(error, text, at))?;
                by_strength(solute, called, reading, how)
                    .map(Some)
                    .map_err(whole)
            }
            Word::Ingredient(one) if rest.is_empty() => {
                ingredient(one, one.usual_water(), Strength::Usual(one)).map(Some)
            }
            Word::Ingredient(one) => {
                by_water(one, rest)
                    .map(Some)
                    .map_err(|error| match error.place() {
                        Some(_) => moved(error, text, at),
                        None => whole(error),
                    })
            }
        }
    }

    /// The names that are read, each as it is typed; for a list in a hint.
    pub fn names() -> impl Iterator<Item = &'static str> {
        words().map(|(name, _)| name)
    }
}

/// The longest known word that a name begins with: what it is, the word, and
/// what stands behind it.
fn split(name: &str) -> Option<(Word, &'static str, &str)> {
    let is_at = |word: &str| {
        name.get(..word.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(word))
            && !name[word.len()..].starts_with(|c: char| c.is_alphabetic() || c == '-')
    };
    words()
        .filter(|(word, _)| is_at(word))
        .max_by_key(|(word, _)| word.len())
        .map(|(word, what)| (what, word, name[word.len()..].trim_start()))
}

fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c.is_numeric() || matches!(c, '.' | '-' | '\u{2212}' | '+'))
}

fn moved(error: Error, text: &str, by: usize) -> Error {
    match error.place().map(|place| (place.at, place.len)) {
        Some((at, len)) => error.with_place(text, by + at, len),
        None => error.with_place(text, by, text.len() - by),
    }
}

fn share(text: &str) -> Result<(Reading, &str)> {
    if text.to_lowercase().ends_with("proof") {
        return Err(Error::new(
            ErrorKind::AmbiguousUnit,
            "proof is counted in two ways, twice the strength and 1.75 times it",
        )
        .with_hint("type the strength by volume: alcohol 70% vol"));
    }
    if let Some(number) = before_vol(text) {
        let reading = read(&format!("{number}%"), &[Kind::Share])?;
        return Ok((reading, BY_VOLUME[0]));
    }
    let (reading, end) = read_leading(text, &[Kind::Share])?;
    Ok((reading, text[end..].trim()))
}

/// The number of `70 vol%`.
fn before_vol(text: &str) -> Option<&str> {
    let at = VOL_BEFORE.iter().find_map(|words| {
        let at = text.len().checked_sub(words.len())?;
        let is_there = text
            .get(at..)
            .is_some_and(|end| end.eq_ignore_ascii_case(words));
        is_there.then_some(at)
    })?;
    let number = text[..at].trim();
    (!number.is_empty() && !number.ends_with('%')).then_some(number)
}

fn share_of(reading: &Reading) -> Measured<Ratio> {
    let none = Measured::exact(Ratio::of_base(0.0));
    reading.share().unwrap_or(none)
}

/// Whether a strength is said in Brix.
fn is_brix(text: &str) -> bool {
    let lower = text.to_lowercase();
    BRIX.iter().any(|word| lower.contains(word))
}

/// A strength in Brix is one in % of sugar by mass.
fn brix(text: &str) -> Result<Reading> {
    let mut as_share = text.to_lowercase();
    for word in BRIX {
        as_share = as_share.replace(word, "%");
    }
    let number = text.trim();
    let (reading, rest) = share(&as_share).map_err(|error| {
        if error.kind() == ErrorKind::NoUnit {
            error.with_hint(format!("type it as syrup {number} Brix"))
        } else {
            error
        }
    })?;
    if rest.is_empty() {
        return Ok(reading);
    }
    Err(stray(rest).with_hint("type it as syrup 65 Brix"))
}

fn stray(words: &str) -> Error {
    Error::new(
        ErrorKind::Stray,
        format!(
            "`{}` behind the strength cannot be read",
            words.to_lowercase()
        ),
    )
}

/// What is sold neat needs no strength.
fn neat(solute: Solute, called: &str, text: &str) -> Result<Liquid> {
    let name = text.trim();
    let ask = |hint: String| {
        let error = Error::new(
            ErrorKind::Missing,
            format!("the strength of {name} is missing"),
        );
        Err(error.with_hint(hint).with_place(text, 0, text.len()))
    };
    match solute {
        Solute::Alcohol => ask(format!("type it as on the bottle: {name} 70% vol")),
        Solute::Sugar => ask(format!("type its sugar by mass: {name} 65 Brix")),
        Solute::Glycol | Solute::Glycerine => {
            let all = Measured::exact(Ratio::of_base(1.0));
            solution(solute, called, all, Strength::Unsaid)
        }
    }
}

/// A solution under the word that it was called by.
fn solution(
    solute: Solute,
    word: &str,
    share: Measured<Ratio>,
    strength: Strength,
) -> Result<Liquid> {
    let name = match &strength {
        Strength::ByVolume { typed, .. } => format!("{word} {} vol", typed.unbroken()),
        Strength::ByMass(typed) if solute == Solute::Alcohol => {
            format!("{word} {} w/w", typed.unbroken())
        }
        Strength::ByMass(typed) => format!("{word} {}", typed.unbroken()),
        Strength::Brix(typed) => {
            format!("{word} {}", typed.unbroken().replace('%', "Brix"))
        }
        _ => word.to_owned(),
    };
    Ok(Liquid {
        strength,
        ..Liquid::own(name, Some(Composition::solution(solute, share)?), None)
    })
}

/// The words behind a strength by volume, and by mass.
const BY_VOLUME: [&str; 6] = ["vol", "vol.", "v/v", "(v/v)", "abv", "by volume"];
/// Vol before its %, as bottles have it too.
const VOL_BEFORE: [&str; 2] = ["vol%", "vol %"];
const BY_MASS: [&str; 6] = ["w/w", "(w/w)", "m/m", "wt", "by mass", "by weight"];

fn by_strength(solute: Solute, called: &str, reading: Reading, how: &str) -> Result<Liquid> {
    let share = share_of(&reading);
    let by_volume = |said: bool, typed: Reading| {
        let by_mass = alcohol::share_by_mass(&share)?;
        solution(solute, called, by_mass, Strength::ByVolume { typed, said })
    };
    let how = how.to_lowercase();
    let (is_volume, is_mass) = (
        BY_VOLUME.contains(&how.as_str()),
        BY_MASS.contains(&how.as_str()),
    );
    match solute {
        Solute::Alcohol if how.is_empty() => by_volume(false, reading),
        Solute::Alcohol if is_volume => by_volume(true, reading),
        _ if is_volume => Err(Error::new(
            ErrorKind::WrongKind,
            "% vol is for alcohol with water alone",
        )
        .with_hint(format!("type its share by mass, such as {called} 50%"))),
        Solute::Alcohol if is_mass => solution(solute, called, share, Strength::ByMass(reading)),
        _ if is_mass || how.is_empty() => {
            solution(solute, called, share, Strength::ByMass(reading)).map_err(|error| {
                error.with_hint(format!("type its share by mass, such as {called} 50%"))
            })
        }
        Solute::Alcohol => Err(stray(&how).with_hint(
            "type it as alcohol 70% vol, with a doubt as alcohol 70% ± 1% vol, or alcohol 62% w/w by mass",
        )),
        _ => Err(stray(&how).with_hint(format!("type its share by mass: {called} 50%"))),
    }
}

/// An ingredient by the water in it, or by what is not water.
fn by_water(one: &'static Ingredient, text: &str) -> Result<Liquid> {
    let hint = format!(
        "type the water in it, such as {} {}% water, or its Brix",
        one.name,
        one.round_water()
    );
    if is_brix(text) {
        let reading = brix(text)?;
        let solids = share_of(&reading);
        let rest = Ratio::of_base(1.0) - solids.value();
        let water = Measured::new(rest, solids.u(), solids.dof()).with_shape(solids.shape());
        INGREDIENT_WATER.check_base(water.value().base())?;
        return ingredient(one, water, Strength::SolidsOf(reading));
    }
    let (reading, how) = share(text)?;
    let is_water = matches!(how.to_lowercase().as_str(), "water" | "of water");
    // Honey is known by its water; of the others a bare % says nothing.
    let is_honey = one.name == HONEY && how.is_empty();
    if !(is_water || is_honey) {
        let error = if how.is_empty() {
            Error::new(
                ErrorKind::Missing,
                format!("it is not said what {} of {} is", reading, one.name),
            )
        } else {
            stray(how)
        };
        return Err(error.with_hint(hint));
    }
    INGREDIENT_WATER
        .check_typed(reading.base(), &reading.unbroken())
        .map_err(|error| error.with_hint(hint))?;
    ingredient(one, share_of(&reading), Strength::WaterOf(reading))
}

fn ingredient(
    one: &'static Ingredient,
    water: Measured<Ratio>,
    strength: Strength,
) -> Result<Liquid> {
    let name = match &strength {
        Strength::WaterOf(typed) => format!("{} {} water", one.name, typed.unbroken()),
        Strength::SolidsOf(typed) => {
            format!("{} {}", one.name, typed.unbroken().replace('%', "Brix"))
        }
        _ => one.name.to_owned(),
    };
    Ok(Liquid {
        density: one.density(),
        strength,
        ..Liquid::own(name, Some(one.with_water(water)?), None)
    })
}
