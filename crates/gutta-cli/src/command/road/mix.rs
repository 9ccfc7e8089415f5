//! `gutta moisture mix`: lots together, and two lots to a moisture.

use clap::Args;

use gutta::Moisture;
use gutta::matter::Mixing;
use gutta::measure::{Kind, Reading};

use crate::answer::Answer;
use crate::command::draws::DrawArgs;
use crate::failure::{Failure, Outcome};
use crate::resolve::lot::{FORM, lot};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};
use crate::speak::road::mix::Question;

const EXAMPLES: &str = "\
Examples:
  gutta moisture mix \"460g 9.6%\" \"290g 17.8%\"
  gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 13%
  gutta moisture mix \"460g 9.6% ± 0.5%\" \"290g 17.8% ± 0.5%\" --to 15% --scale 1g

Each lot is its mass and its moisture; with a book, the name of a lot stands for
its moisture.";

/// Lots together, and two lots to a moisture.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct MixArgs {
    /// A lot: its mass and its moisture, such as "460g 9.6%"
    #[arg(value_name = "LOT")]
    lots: Vec<String>,
    /// The moisture wanted
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

/// What a lot is called in a complaint.
const LOT: &str = "LOT";

impl MixArgs {
    /// Reads the lots, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        if self.lots.is_empty() {
            return Err(Failure::missing(LOT, "no lot was given").hint(FORM));
        }
        let mut lots = Vec::with_capacity(self.lots.len());
        let mut first: Option<Reading> = None;
        // A lot of the book has one moisture, however many heaps lie of it.
        let named = |text: &str| {
            let word = text.split_whitespace().last().unwrap_or_default();
            word.starts_with(char::is_alphabetic)
                .then(|| word.to_lowercase())
        };
        let words: Vec<_> = self.lots.iter().map(|text| named(text)).collect();
        let twice =
            (1..words.len()).find(|&i| words[i].is_some() && words[..i].contains(&words[i]));
        if let Some(i) = twice {
            return Err(Flag::new(LOT, &self.lots[i])
                .wrong("duplicate", "this lot stands twice")
                .hint("add its two masses, and type it once: its moisture is one figure"));
        }
        for (i, text) in self.lots.iter().enumerate() {
            let name = format!("lot {}", i + 1);
            let (typed, one) = lot(Flag::new(LOT, text), &name, scale, shelf, &mut assumed)?;
            lots.push(one);
            first.get_or_insert(typed);
        }
        let to = match Flag::of("--to", self.to.as_ref()) {
            Some(flag) => {
                let reading = flag.read(&[Kind::Share])?;
                let to = Moisture::read_target(&reading).map_err(|error| flag.fail(error))?;
                Some((reading, to))
            }
            None => None,
        };
        let mixing = Mixing {
            lots,
            to: to.as_ref().map(|(_, to)| *to),
        };
        let mixed = mixing
            .mixed()
            .map_err(|error| match Flag::of("--to", self.to.as_ref()) {
                Some(flag) => flag.fail(error),
                None => Failure::from(error).about(LOT),
            })?;
        let question = Question {
            first,
            lots: mixing.lots.clone(),
            to: to.map(|(reading, _)| reading),
            scale,
            assumed,
        };
        let mut answer = question.say(&mixed);
        self.draws.add(&mut answer, || mixing.simulate())?;
        Ok(answer)
    }
}
