//! `gutta spoons`: a recipe in spoonfuls, as grams.

use clap::Args;

use gutta::blend::spoons::{SpoonLine, SpoonRecipe};
use gutta::measure::{Kind, Mass, Reading, Scalar, leading_number, read};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, moved};
use crate::speak::spoons as speak;

const EXAMPLES: &str = "\
Examples:
  gutta spoons \"8 flue-cured: 10=21.4g\" \"4 oriental: 10=17.9g\" \\
    \"3 stoved: 10=26.2g\" \"1 fire-cured: 10=20.5g\" --scale 0.1g
  gutta spoons \"2 bright: 10=21.4g, 10=22.0g, 10=21.1g\" \"1 dark: 10=26g\"

Each line is the spoonfuls of the recipe and the leaf, then what ten spoonfuls of
it weighed, once or several times. Any spoon will do, if it is always the same.";

/// A recipe in spoonfuls, as grams and shares.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct SpoonsArgs {
    /// A leaf: "8 flue-cured: 10=21.4g", the recipe's spoonfuls and what ten weighed
    #[arg(value_name = "LINE")]
    lines: Vec<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

/// What a line is called in a complaint.
const LINE: &str = "LINE";

const FORM: &str = "type the spoonfuls of the recipe and the leaf, and behind a colon what ten \
     spoonfuls of it weighed: \"8 flue-cured: 10=21.4g\"";

/// The words that a spoonful may be called by.
const SPOONS: [&str; 8] = [
    "spoonfuls",
    "spoonful",
    "spoons",
    "spoon",
    "tbsp",
    "tsp",
    "tablespoons",
    "teaspoons",
];

impl SpoonsArgs {
    /// Reads the lines, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        if self.lines.is_empty() {
            return Err(Failure::missing(LINE, "no leaf was given").hint(FORM));
        }
        let mut lines: Vec<SpoonLine> = Vec::new();
        let mut first = None;
        for text in &self.lines {
            let flag = Flag::new(LINE, text);
            let (line, typed) = line(flag)?;
            if lines.iter().any(|one| one.name == line.name) {
                return Err(flag
                    .wrong("duplicate", format!("{} stands twice", line.name))
                    .hint("add its spoonfuls, and type it once"));
            }
            first.get_or_insert(typed);
            lines.push(line);
        }
        if scale.is_none() && lines.iter().all(|line| line.weighings.len() == 1) {
            assumed.line("every weighing is taken as exact: say the scale, or weigh ten more");
        }
        let recipe = SpoonRecipe { lines, scale };
        let grams = recipe
            .weighed()
            .map_err(|error| Failure::from(error).about(LINE))?;
        Ok(speak::spoons(&recipe, &grams, first, assumed))
    }
}

/// `8 flue-cured: 10=21.4g, 10=21.8g`.
fn line(flag: Flag<'_>) -> Outcome<(SpoonLine, Reading)> {
    let Some((head, weighings)) = flag.text.split_once(':') else {
        return Err(flag
            .wrong("unreadable", "there is no : in front of the weighings")
            .hint(FORM));
    };
    let (spoons, end) = leading_number(head)
        .map_err(|error| moved(flag, error, 0))?
        .ok_or_else(|| {
            flag.wrong(
                "missing",
                "it is not said how many spoonfuls the recipe has",
            )
            .hint(FORM)
        })?;
    let mut name = head[end..].trim();
    for word in SPOONS {
        let rest = name.strip_prefix(word).filter(|rest| rest.starts_with(' '));
        if let Some(rest) = rest {
            let rest = rest.trim();
            name = rest.strip_prefix("of ").unwrap_or(rest).trim();
            break;
        }
    }
    if name.is_empty() {
        return Err(flag.wrong("missing", "the leaf has no name").hint(FORM));
    }
    if !(spoons > 0.0 && spoons.is_finite()) {
        return Err(flag
            .wrong(
                "out-of-range",
                format!("the spoonfuls of {name} must be above 0"),
            )
            .hint("leave out what does not go in"));
    }
    let mut line = SpoonLine {
        name: name.to_owned(),
        spoons,
        in_a_weighing: 0,
        weighings: Vec::new(),
    };
    let mut first = None;
    let mut at = head.len() + 1;
    for piece in weighings.split(", ") {
        let (count, typed, mass) = weighing(flag, piece, at)?;
        if line.in_a_weighing != 0 && line.in_a_weighing != count {
            return Err(flag
                .wrong(
                    "clash",
                    format!(
                        "{} and {count} spoonfuls of {name} were weighed",
                        line.in_a_weighing
                    ),
                )
                .hint("weigh the same number each time, ten of them"));
        }
        line.in_a_weighing = count;
        line.weighings.push(mass);
        first.get_or_insert(typed);
        at += piece.len() + 2;
    }
    match first {
        Some(first) => Ok((line, first)),
        None => Err(flag
            .wrong("missing", format!("no spoonful of {name} was weighed"))
            .hint(FORM)),
    }
}

/// `10=21.4g`: how many spoonfuls, and what they weighed.
fn weighing(flag: Flag<'_>, piece: &str, at: usize) -> Outcome<(u32, Reading, Mass)> {
    let Some((count, mass)) = piece.split_once('=') else {
        return Err(flag
            .wrong("unreadable", format!("there is no = in `{}`", piece.trim()))
            .hint(FORM));
    };
    let count = count.trim();
    let spoonfuls = count
        .parse::<u32>()
        .ok()
        .filter(|n| *n > 0)
        .ok_or_else(|| {
            flag.wrong(
                "number",
                format!("`{count}` is no whole count of spoonfuls"),
            )
            .hint("write the count, = and what they weigh, such as 10=21.4g")
        })?;
    let behind = at + piece.len() - mass.len();
    let blanks = mass.len() - mass.trim_start().len();
    let reading =
        read(mass.trim(), &[Kind::Mass]).map_err(|error| moved(flag, error, behind + blanks))?;
    if !reading.is_exact() {
        return Err(flag
            .wrong("doubt", "a weighing stands without ±")
            .hint("the doubt is that of --scale, and of several weighings"));
    }
    let mass = Flag::new(flag.name, flag.text).weight(reading.clone(), None)?;
    Ok((spoonfuls, reading, Mass::of_base(mass.mass.value().base())))
}
