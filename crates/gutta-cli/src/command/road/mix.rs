//! `gutta moisture mix`: lots together, and two lots to a moisture.

use clap::Args;

use gutta::Moisture;
use gutta::matter::{LotOfLeaf, Mixing};
use gutta::measure::{Kind, Reading, read_leading};

use crate::answer::Answer;
use crate::command::draws::DrawArgs;
use crate::failure::{Failure, Outcome};
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

/// What to type for a lot.
const FORM: &str = "type each lot as mass and moisture in quotes: \"460g 9.6%\"";

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
        for (i, text) in self.lots.iter().enumerate() {
            let flag = Flag::new(LOT, text);
            let (reading, len) =
                read_leading(text, &[Kind::Mass]).map_err(|error| flag.fail(error))?;
            let weight = flag.weight(reading, scale)?;
            let rest = text[len..].trim_start_matches([' ', ',', '\u{a0}']);
            let number = i + 1;
            assumed.exact_if(
                weight.mass.is_exact(),
                format!("lot {number} {}", weight.reading.unbroken()),
            );
            lots.push(LotOfLeaf {
                mass: weight.mass,
                at: moisture(flag, rest, number, shelf, &mut assumed)?,
            });
            first.get_or_insert(weight.reading);
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

/// The moisture of a lot: typed behind its mass, or that of a lot of the book.
fn moisture(
    flag: Flag<'_>,
    text: &str,
    number: usize,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<gutta::Measured<Moisture>> {
    if text.is_empty() {
        return Err(flag.wrong("missing", "the lot has no moisture").hint(FORM));
    }
    if text.starts_with(char::is_alphabetic) {
        let lot = shelf.lot(Flag::new(flag.name, text))?;
        assumed.line(format!(
            "lot {number}, {}: {}",
            lot.name,
            lot.typed.unbroken()
        ));
        return Ok(lot.moisture);
    }
    let offset = flag.text.len() - text.len();
    let reading = gutta::measure::read(text, &[Kind::Share])
        .map_err(|error| resolve::moved(flag, error, offset))?;
    let moisture = Moisture::read(&reading).map_err(|error| resolve::moved(flag, error, offset))?;
    assumed.exact_if(
        moisture.is_exact(),
        format!("moisture of lot {number} {}", reading.unbroken()),
    );
    Ok(moisture)
}
