//! `gutta moisture oven`: dishes weighed empty, with leaf, and dried out.

use clap::Args;

use gutta::matter::{OvenDish, OvenTest};
use gutta::measure::{Kind, MASS, Reading, Scalar, read_leading};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};
use crate::speak::road::oven::Question;

const EXAMPLES: &str = "\
Examples:
  gutta moisture oven \"21.846g 26.902g 26.214g\" \"22.115g 27.241g 26.537g\"
  gutta moisture oven \"20.00g 25.00g 24.35g\" --scale 0.01g
  gutta moisture oven \"20.00g, 25.00g, 24.35g\" \"20.11g, 25.08g, 24.40g\" --cased

Each dish: empty, with leaf, and dried out. Usual is 5 g of leaf for 3 hours at
100 °C, cooled under cover. What the oven drives off is not all water.";

/// A moisture from oven dishes.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct OvenArgs {
    /// A dish: three weighings, empty, with leaf, and dried out
    #[arg(value_name = "DISH")]
    dishes: Vec<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// The leaf carries casing, humectant or flavouring
    #[arg(long)]
    cased: bool,
}

/// What a dish is called in a complaint.
const DISH: &str = "DISH";

/// What to type for a dish.
const FORM: &str = "type the three weighings of a dish in quotes: \"21.846g 26.902g 26.214g\", empty, with leaf, dried out";

impl OvenArgs {
    /// Reads the dishes, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        if self.dishes.is_empty() {
            return Err(Failure::missing(DISH, "no dish was given").hint(FORM));
        }
        let typed = self
            .dishes
            .iter()
            .map(|text| weighings(Flag::new(DISH, text)))
            .collect::<Outcome<Vec<_>>>()?;
        let grams = |reading: &Reading| Scalar::of_base(reading.base());
        let test = OvenTest {
            dishes: typed
                .iter()
                .map(|[tare, wet, dry]| OvenDish {
                    tare: grams(tare),
                    wet: grams(wet),
                    dry: grams(dry),
                })
                .collect(),
            scale,
        };
        let found = test.volatiles().map_err(|error| {
            // Named where one dish alone is wrong.
            let alone = |(i, _): &(usize, &String)| {
                let test = OvenTest {
                    dishes: vec![test.dishes[*i]],
                    scale,
                };
                test.volatiles().is_err()
            };
            let wrong = self.dishes.iter().enumerate().find(alone);
            match wrong {
                Some((_, text)) => Flag::new(DISH, text).fail(error),
                None => Failure::from(error).about(DISH),
            }
        })?;
        if scale.is_none() {
            assumed.line("the scale's steps are not counted: say --scale 0.01g to count them");
        }
        Ok(Question {
            test,
            is_cased: self.cased,
            assumed,
        }
        .say(&found))
    }
}

/// The three weighings of a dish, apart by blanks or by a comma and a blank.
fn weighings(flag: Flag<'_>) -> Outcome<[Reading; 3]> {
    let mut found = Vec::with_capacity(3);
    let mut at = 0;
    while !flag.text[at..].trim().is_empty() {
        let rest = &flag.text[at..];
        let one = resolve::behind(rest);
        at += rest.len() - one.len();
        let (reading, len) =
            read_leading(one, &[Kind::Mass]).map_err(|error| resolve::moved(flag, error, at))?;
        flag.within(&MASS, &reading)?;
        if !reading.is_exact() {
            return Err(flag
                .wrong("doubt", "a weighing of a dish is a plain reading")
                .hint("type it alone; the doubt of the scale goes to --scale"));
        }
        found.push(reading);
        at += len;
    }
    let count = found.len();
    <[Reading; 3]>::try_from(found).map_err(|_| {
        flag.wrong(
            "missing",
            format!("a dish is three weighings, and these are {count}"),
        )
        .hint(FORM)
    })
}
