//! `gutta moisture keep`: what air keeps leaf at a moisture.

use clap::Args;

use gutta::matter::KeptBy;

use super::curve::CurveArgs;
use crate::answer::Answer;
use crate::command::draws::DrawArgs;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, DOUBT_IS_SAID, Flag, leaf_moisture};
use crate::speak::road::keep::Question;

const EXAMPLES: &str = "\
Examples:
  gutta moisture keep --at 13% --type flue-cured
  gutta moisture keep --at \"13.5% ± 0.5%\" --temp 30°C
  gutta moisture keep --at 14% --type burley --own \"58% 12.6%\"

The air of a closed jar that the leaf has come to rest in, too.";

/// What air keeps leaf at a moisture.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct KeepArgs {
    /// The moisture of the leaf
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    #[command(flatten)]
    curve: CurveArgs,
    #[command(flatten)]
    draws: DrawArgs,
}

impl KeepArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let (reading, moisture) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            DOUBT_IS_SAID,
            shelf,
            &mut assumed,
        )?;
        let curve = self.curve.read(&mut assumed)?;
        let kept = KeptBy::new(curve.isotherm.clone(), moisture, curve.temperature);
        let flag = Flag::of("--at", self.at.as_ref());
        let air = kept.humidity().map_err(|error| match flag {
            Some(flag) => flag.fail(error),
            None => error.into(),
        })?;
        let mut answer = Question {
            reading,
            moisture,
            curve,
            is_cased: self.curve.cased || assumed.is_upper_bound(),
            assumed,
        }
        .say(&air);
        // Where no figure is known there is nothing to draw.
        if let Some(simulation) = kept.simulate().ok().flatten() {
            self.draws.add(&mut answer, || Ok(simulation))?;
        }
        Ok(answer)
    }
}
