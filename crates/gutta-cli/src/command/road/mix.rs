//! `gutta moisture mix`: lots together, and two lots to a moisture.

use clap::Args;

use gutta::matter::Mixing;
use gutta::measure::Reading;

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
        let mut named: Vec<String> = Vec::new();
        for (i, text) in self.lots.iter().enumerate() {
            let (flag, name) = (Flag::new(LOT, text), format!("lot {}", i + 1));
            let typed = lot(flag, &name, scale, shelf, &mut assumed)?;
            // A lot of the book has one moisture, however many heaps lie of it.
            if let Some(entry) = typed.entry {
                if named.contains(&entry) {
                    return Err(flag
                        .wrong("duplicate", "this lot stands twice")
                        .hint("add its two masses, and type it once: its moisture is one figure"));
                }
                named.push(entry);
            }
            lots.push(typed.lot);
            first.get_or_insert(typed.mass);
        }
        let to = Flag::of("--to", self.to.as_ref())
            .map(|flag| flag.target())
            .transpose()?;
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
