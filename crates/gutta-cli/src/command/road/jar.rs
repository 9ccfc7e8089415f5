//! `gutta moisture jar`: a jar weighed again.

use clap::Args;

use gutta::matter::Jar;
use gutta::measure::{Mass, Measured, Scale};

use crate::answer::Answer;
use crate::command::draws::DrawArgs;
use crate::failure::Outcome;
use crate::resolve::lot::lot;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, DOUBT_IS_SAID, Flag, Weight, leaf_moisture};
use crate::speak::road::jar::Question;

const EXAMPLES: &str = "\
Examples:
  gutta moisture jar --tare 412.6g --then 866.1g --at 15.2% --now 851.9g
  gutta moisture jar --tare 412.6g --then 866.1g --at 15.2% --now 851.9g --to 14.5%
  gutta moisture jar --then 453.5g --at \"15.2% ± 0.5%\" --now 419.3g --taken 20g --scale 0.1g
  gutta moisture jar --then 453.5g --at 15.2% --now 468.0g --put \"20g 14%\"

It holds while only water comes or goes: not while alcohol is still airing.";

/// A moisture from a jar weighed again.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct JarArgs {
    /// What the jar weighed when its moisture was known; net without --tare
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    then: Option<String>,
    /// The moisture then
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for the moisture then
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// What it weighs now
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    now: Option<String>,
    /// The empty jar
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tare: Option<String>,
    /// Leaf taken out in between, while it was at the moisture of then
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    taken: Option<String>,
    /// Leaf put in in between, its mass and moisture: "20g 14%"
    #[arg(long, value_name = "LOT", allow_hyphen_values = true)]
    put: Option<String>,
    /// The moisture wanted
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

impl JarArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let then_flag = Flag::needed(
            "--then",
            "the weight of the jar then",
            self.then.as_ref(),
            "type what the jar weighed when its moisture was known, such as --then 866.1g",
        )?;
        let now_flag = Flag::needed(
            "--now",
            "the weight of the jar now",
            self.now.as_ref(),
            "type what the jar weighs now, such as --now 851.9g",
        )?;
        // With a tare the scale is read once for each; without, each is net.
        let has_tare = self.tare.is_some();
        let weighed = |flag: Flag<'_>| flag.mass(None).map(|w| with_scale(w, scale, has_tare));
        let then = weighed(then_flag)?;
        let now = weighed(now_flag)?;
        let (at_reading, at) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            DOUBT_IS_SAID,
            shelf,
            &mut assumed,
        )?;
        let tare = Flag::of("--tare", self.tare.as_ref())
            .map(weighed)
            .transpose()?;
        let taken = Flag::of("--taken", self.taken.as_ref())
            .map(|flag| flag.mass(scale))
            .transpose()?;
        let put = Flag::of("--put", self.put.as_ref())
            .map(|flag| lot(flag, "leaf put in", scale, shelf, &mut assumed))
            .transpose()?;
        for (what, weight) in [
            ("then", Some(&then)),
            ("now", Some(&now)),
            ("tare", tare.as_ref()),
            ("taken", taken.as_ref()),
        ] {
            if let Some(weight) = weight {
                assumed.exact_if(
                    weight.mass.is_exact(),
                    format!("{what} {}", weight.reading.unbroken()),
                );
            }
        }
        let to = Flag::of("--to", self.to.as_ref())
            .map(|flag| flag.target())
            .transpose()?;
        let jar = Jar {
            tare: tare.as_ref().map(|w| w.mass),
            taken: taken.as_ref().map(|w| w.mass),
            put: put.map(|put| put.lot),
            to: to.as_ref().map(|(_, to)| *to),
            ..Jar::new(then.mass, at, now.mass)
        };
        let weighed = jar.weighed().map_err(|error| {
            // The library says what contradicts; here it gets its flag.
            let said = error.to_string();
            let flag = if said.contains("taken out") {
                Flag::of("--taken", self.taken.as_ref()).unwrap_or(now_flag)
            } else if said.contains("no more then") {
                then_flag
            } else {
                now_flag
            };
            flag.fail(error)
        })?;
        assumed.line("only water came or went, and no alcohol was airing");
        let question = Question {
            then,
            at: at_reading,
            to: to.map(|(reading, _)| reading),
            has_tare,
            scale,
            assumed,
        };
        let mut answer = question.say(&weighed);
        self.draws.add(&mut answer, || jar.simulate())?;
        Ok(answer)
    }
}

/// A weight with the doubt of the scale where none is typed: of one reading
/// where a tare is taken off, else of a net weight.
fn with_scale(weight: Weight, scale: Option<Scale>, has_tare: bool) -> Weight {
    let mass: Measured<Mass> = match scale {
        Some(scale) if weight.reading.is_exact() && has_tare => scale.read(weight.mass.value()),
        Some(scale) if weight.reading.is_exact() => scale.weighed(weight.mass.value()),
        _ => weight.mass,
    };
    Weight { mass, ..weight }
}
