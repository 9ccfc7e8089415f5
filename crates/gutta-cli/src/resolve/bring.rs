//! What else goes onto the leaf: `AMOUNT NAME[, PERCENT PART]…`.

use gutta::Composition;
use gutta::bench::{Added, Brought, Drop};
use gutta::matter::{DensityOf, Liquid, Part, Strength, alcohol, liquids};
use gutta::measure::{
    Kind, Measured, Ratio, Reading, Scalar, Scale, Temperature, Unit, VOLUME, read_leading,
};

use super::drop::for_liquid;
use super::shelf::Shelf;
use super::{AMOUNTS, Assumed, Flag, by_temperature, is_water, liquid, moved, share_of};
use crate::failure::{Failure, Outcome};
use crate::say;

/// What a text of `--bring` is read with.
#[derive(Debug)]
pub struct Around<'a> {
    /// The bench book.
    pub shelf: &'a Shelf,
    /// The scale that the amount was weighed on.
    pub scale: Option<Scale>,
    /// The drop of water, when one is known.
    pub drop: Option<Drop>,
    /// The temperature that volumes are measured at.
    pub temperature: Temperature,
    /// The flag that the temperature was typed with, where it was.
    pub typed_temperature: Option<Flag<'a>>,
}

/// Reads one `--bring`.
pub fn bring(flag: Flag<'_>, around: &Around<'_>, assumed: &mut Assumed) -> Outcome<Brought> {
    check_commas(flag)?;
    let mut segments = Segments::new(flag.text);
    let (at, head) = segments.next().unwrap_or((0, ""));
    let (typed, name) = amount_and_name(flag, at, head)?;
    if name.is_empty() {
        return Err(flag
            .wrong("missing", "the liquid has no name")
            .hint("type amount and name, and what is in it, all in one pair of quotes: \"60g casing, 35% water\""));
    }
    let parts: Vec<(usize, &str)> = segments.collect();
    // However it is spelled, one liquid of the book is one.
    let liquid = if parts.is_empty() {
        let at = head.find(name).map_or(at, |behind| at + behind);
        liquid::find(flag, name, at, around.shelf, assumed)?
    } else {
        let entry = around.shelf.liquid_if(name)?;
        if entry.is_none() {
            check_says_nothing(flag, name)?;
        }
        let name = entry.map_or(name, |entry| entry.name.as_str());
        let composition = typed_composition(flag, name, &parts, assumed)?;
        if let Some(caution) = liquids::flammable(&composition) {
            assumed.caution(caution);
        }
        let density = entry.and_then(|entry| entry.density);
        Some(Liquid::own(name, Some(composition), density))
    };
    let Some(Liquid {
        name,
        composition: Some(composition),
        density,
        ..
    }) = liquid
    else {
        return Err(unknown(flag, name, around.shelf)?);
    };
    let known = || match density {
        DensityOf::Unknown => Err(flag
            .wrong("missing", format!("the density of {name} is not known"))
            .hint(format!("weigh it, and type its mass: \"… g {name}\""))),
        _ => density
            .check(&name, &composition, around.temperature)
            .map_err(|error| by_temperature(around.typed_temperature, flag, &error).fail(error)),
    };
    let amount = measured(flag, &typed, &name, known, around, assumed)?;
    Ok(Brought {
        name,
        amount,
        composition,
        density,
    })
}

/// What a share is of, by the words behind it.
enum By {
    Unsaid,
    Volume,
    Mass,
    Other,
}

impl By {
    fn of(words: &str) -> Self {
        match words.to_lowercase().as_str() {
            "" => Self::Unsaid,
            "vol" | "vol." | "v/v" | "by volume" => Self::Volume,
            "w/w" | "m/m" | "by mass" => Self::Mass,
            _ => Self::Other,
        }
    }
}

/// The parts of a text between commas that are followed by a blank, each with
/// its byte offset, trimmed.
struct Segments<'a> {
    text: &'a str,
    at: Option<usize>,
}

impl<'a> Segments<'a> {
    const fn new(text: &'a str) -> Self {
        Self { text, at: Some(0) }
    }
}

impl<'a> Iterator for Segments<'a> {
    type Item = (usize, &'a str);

    fn next(&mut self) -> Option<(usize, &'a str)> {
        let start = self.at?;
        let rest = &self.text[start..];
        let end = rest
            .match_indices(',')
            .map(|(i, _)| i)
            .find(|i| rest[i + 1..].is_empty() || rest[i + 1..].starts_with(char::is_whitespace));
        let segment = &rest[..end.unwrap_or(rest.len())];
        self.at = end.map(|end| start + end + 1);
        let lead = segment.len() - segment.trim_start().len();
        let trimmed = segment.trim();
        if trimmed.is_empty() && self.at.is_none() && start > 0 {
            return None;
        }
        Some((start + lead, trimmed))
    }
}

/// Parts are told apart by one comma and a blank.
fn check_commas(flag: Flag<'_>) -> Outcome<()> {
    let tidy = || {
        let parts: Vec<&str> = Segments::new(flag.text)
            .map(|(_, part)| part.trim_matches(|c: char| c == ',' || c.is_whitespace()))
            .filter(|part| !part.is_empty())
            .collect();
        parts.join(", ")
    };
    for (at, part) in Segments::new(flag.text) {
        let has_comma = flag.text.contains(',');
        if has_comma && (part.is_empty() || part.starts_with(',') || part.ends_with(',')) {
            let first = flag.text[..at + part.len()].rfind(',');
            let from = first.unwrap_or(at);
            let second = first.and_then(|first| flag.text[first + 1..].find(','));
            let message = match second {
                Some(_) => "nothing stands between two commas",
                None => "nothing stands before the comma",
            };
            return Err(flag
                .wrong("empty", message)
                .pointing(flag.text, from, second.map_or(1, |second| second + 2))
                .hint(format!(
                    "parts have one comma and a blank between them: \"{}\"",
                    tidy()
                )));
        }
        // A number behind a comma that is no decimal mark begins a share; a
        // name may have commas of its own.
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let is_forgotten = |(comma, _): &(usize, &str)| {
            !digit(part[..*comma].chars().next_back()) && digit(part[comma + 1..].chars().next())
        };
        if let Some((comma, _)) = part.match_indices(',').find(is_forgotten) {
            let comma = at + comma;
            return Err(flag
                .wrong("stray", "no blank stands behind the comma")
                .pointing(flag.text, comma, 1)
                .hint(format!(
                    "parts have one comma and a blank between them: \"{}, {}\"",
                    &flag.text[..comma],
                    &flag.text[comma + 1..]
                )));
        }
    }
    Ok(())
}

/// The quantity that a text begins with, and the name behind it.
fn amount_and_name<'a>(flag: Flag<'a>, at: usize, head: &'a str) -> Outcome<(Reading, &'a str)> {
    let (amount, end) = read_leading(head, AMOUNTS).map_err(|error| moved(flag, error, at))?;
    Ok((amount, head[end..].trim()))
}

/// A name that says what is in the liquid has no parts behind it: they would
/// speak against it, or of another liquid.
fn check_says_nothing(flag: Flag<'_>, name: &str) -> Outcome<()> {
    let says = match Liquid::named(name) {
        Ok(Some(named)) => !matches!(named.strength, Strength::Usual(_)),
        Ok(None) | Err(_) => false,
    };
    if !says {
        return Ok(());
    }
    Err(flag
        .wrong("clash", format!("`{name}` says what is in it already"))
        .hint("leave the shares out, or give the liquid a name of its own: \"1g mine, 20% water\""))
}

/// What is in a liquid that has no parts behind its name.
fn unknown(flag: Flag<'_>, name: &str, shelf: &Shelf) -> Outcome<Failure> {
    let near = match shelf.liquid_near(name)? {
        Some(near) => format!("did you mean `{near}`? if not, "),
        None => String::new(),
    };
    let typed = flag.text.trim().trim_end_matches(',');
    Ok(flag
        .wrong("unknown-name", format!("say what is in it: `{name}`"))
        .hint(format!(
            "{near}type its shares by mass, such as \"{typed}, 35% water\"; the rest is solids"
        )))
}

fn typed_composition(
    flag: Flag<'_>,
    name: &str,
    parts: &[(usize, &str)],
    assumed: &mut Assumed,
) -> Outcome<Composition> {
    let mut shares = Vec::with_capacity(parts.len());
    for &(at, text) in parts {
        let (reading, end) =
            read_leading(text, &[Kind::Share]).map_err(|error| moved(flag, error, at))?;
        let mut words = text[end..].split_whitespace();
        let mut word = words.next_back().unwrap_or_default();
        let how = words.collect::<Vec<_>>().join(" ");
        // `35%water` is one word to a person in a hurry.
        word = word.trim_start_matches('%');
        if word.is_empty() {
            return Err(nameless_share(flag, at, text));
        }
        let part = Part::named(word).ok_or_else(|| unknown_part(flag, at, text, word))?;
        if reading.basis().is_some() {
            return Err(flag
                .wrong("wrong-kind", "a share in a liquid has no moisture basis")
                .hint("type the share by mass alone, such as 35% water"));
        }
        let share = share_of(&reading);
        match By::of(&how) {
            By::Volume => {
                return by_volume(flag, &reading, &share, part, parts.len(), name, assumed);
            }
            By::Unsaid | By::Mass => {}
            By::Other => {
                return Err(flag
                    .wrong("stray", format!("`{how}` before {word} cannot be read"))
                    .pointing(flag.text, at + end, text.len() - end)
                    .hint("type the share by mass, such as 35% water"));
            }
        }
        if part == Part::Alcohol && how.is_empty() {
            assumed.line(format!(
                "{} alcohol in {name} is by mass",
                reading.unbroken()
            ));
        }
        assumed.exact_if(
            share.is_exact(),
            format!("{} {} in {name}", reading.unbroken(), part.name()),
        );
        shares.push((part, share));
    }
    Composition::new(&shares).map_err(|error| flag.fail(error))
}

fn nameless_share(flag: Flag<'_>, at: usize, text: &str) -> Failure {
    let (before, behind) = flag.text.split_at(at + text.len());
    flag.wrong("missing", format!("the share {text} has no name"))
        .pointing(flag.text, at, text.len())
        .hint(format!(
            "type what it is a share of, such as \"{before} water{behind}\"; the parts are {}",
            Part::ALL.map(Part::name).join(", ")
        ))
}

fn unknown_part(flag: Flag<'_>, at: usize, text: &str, word: &str) -> Failure {
    let known = Part::ALL.map(Part::name);
    let hint = match gutta_book::nearest(word, known) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("the parts are {}", known.join(", ")),
    };
    flag.wrong("unknown-name", format!("`{word}` is no part of a liquid"))
        .pointing(flag.text, at + text.len() - word.len(), word.len())
        .hint(hint)
}

/// The strength on a bottle: % by volume at 20 °C, the rest water.
fn by_volume(
    flag: Flag<'_>,
    reading: &Reading,
    strength: &Measured<Ratio>,
    part: Part,
    parts: usize,
    name: &str,
    assumed: &mut Assumed,
) -> Outcome<Composition> {
    if part != Part::Alcohol || parts > 1 {
        return Err(flag
            .wrong("wrong-kind", "% vol is for alcohol with water alone")
            .hint("where anything else is in it, type every share by mass"));
    }
    let by_mass = alcohol::share_by_mass(strength).map_err(|error| flag.fail(error))?;
    assumed.line(format!(
        "{} vol alcohol in {name} is {} by mass (by volume at 20\u{a0}°C), the rest water",
        reading.unbroken(),
        say::base(by_mass.value().base(), Unit::PERCENT)
    ));
    Composition::spirit(by_mass).map_err(|error| flag.fail(error))
}

/// An amount of a liquid as it was measured, where its mass can be known.
fn measured(
    flag: Flag<'_>,
    typed: &Reading,
    name: &str,
    need_density: impl Fn() -> Outcome<()>,
    around: &Around<'_>,
    assumed: &mut Assumed,
) -> Outcome<Added> {
    let exact = |assumed: &mut Assumed, is_exact| {
        assumed.exact_if(is_exact, format!("{} {name}", typed.unbroken()));
    };
    if let Some(volume) = typed.volume() {
        need_density()?;
        flag.within(&VOLUME, typed)?;
        exact(assumed, volume.is_exact());
        return Ok(Added::Volume(volume));
    }
    if typed.drops().is_none() {
        let mass = flag.weight(typed.clone(), around.scale)?.mass;
        exact(assumed, mass.is_exact());
        return Ok(Added::Mass(mass));
    }
    let drop = if is_water(name) {
        around.drop
    } else {
        for_liquid(flag, name, around.shelf, assumed)?
    };
    let Some(drop) = drop else {
        return Err(flag
            .wrong("missing", format!("the drop of {name} is not known"))
            .hint(format!(
                "weigh it, and type its mass: \"… g {name}\"; or calibrate a dropper with it in the book"
            )));
    };
    let count = flag.count(typed)?;
    if drop.weighed_mass().is_none() {
        need_density()?;
    }
    Ok(Added::Drops(count, drop))
}
