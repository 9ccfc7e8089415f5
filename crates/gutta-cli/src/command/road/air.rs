//! `gutta moisture air`: what leaf comes to in air of a humidity.

use clap::Args;

use gutta::matter::InAir;
use gutta::measure::RELATIVE_HUMIDITY;

use super::curve::CurveArgs;
use crate::answer::Answer;
use crate::command::draws::DrawArgs;
use crate::failure::Outcome;
use crate::resolve::{Assumed, Flag};
use crate::speak::road::air::Question;

const EXAMPLES: &str = "\
Examples:
  gutta moisture air --humidity 60% --type burley
  gutta moisture air --humidity \"62% ± 2%\" --temp 18°C
  gutta moisture air --humidity 65% --type oriental --own \"58% 12.6% ± 0.3%\"

For the hygrometer of a closed jar, once its leaf has come to rest. Known from
35 to 75 % relative humidity; one own reading makes it much surer.";

/// A moisture from the air that the leaf has come to rest in.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct AirArgs {
    /// The relative humidity of the air, such as 60% or "60% ± 3%"
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    humidity: Option<String>,
    #[command(flatten)]
    curve: CurveArgs,
    #[command(flatten)]
    draws: DrawArgs,
}

impl AirArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let flag = Flag::needed(
            "--humidity",
            "the relative humidity of the air",
            self.humidity.as_ref(),
            "type what a checked hygrometer shows in the closed jar, such as --humidity 60%",
        )?;
        let humidity = flag.humidity(&RELATIVE_HUMIDITY)?;
        let curve = self.curve.read(&mut assumed)?;
        assumed.exact_if(
            humidity.is_exact(),
            format!("relative humidity {}", flag.text.trim()),
        );
        let air = InAir::new(curve.isotherm.clone(), humidity, curve.temperature);
        let moisture = air.moisture().map_err(|error| flag.fail(error))?;
        let question = Question {
            humidity,
            curve,
            is_cased: self.curve.cased,
            mould: air.mould_line(),
            assumed,
        };
        let mut answer = question.say(&moisture);
        self.draws.add(&mut answer, || air.simulate())?;
        Ok(answer)
    }
}
