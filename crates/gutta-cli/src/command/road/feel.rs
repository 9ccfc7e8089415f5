//! `gutta moisture feel`: a guess by hand, as a range.

use clap::Args;

use gutta::matter::Feel;

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::speak::road::feel;

const EXAMPLES: &str = "\
Examples:
  gutta moisture feel supple
  gutta moisture feel crisp

A feel is a guess: the ranges are common practice, and hands differ.";

/// A moisture by feel, as a range.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct FeelArgs {
    /// How it feels: brittle, crisp, supple, soft or damp
    #[arg(value_name = "GRADE")]
    grade: Option<String>,
}

impl FeelArgs {
    /// The range of a grade; without one the grades are listed.
    pub fn answer(&self) -> Outcome<Answer> {
        let Some(flag) = Flag::of("GRADE", self.grade.as_ref()) else {
            return Err(Failure::missing("GRADE", "how the leaf feels is missing").hint(grades()));
        };
        let feel = flag.one_of(
            Feel::named(flag.text),
            Feel::ALL.map(Feel::name),
            "unknown-name",
            format!("`{}` is no grade of feel", flag.text),
            grades,
        )?;
        Ok(feel::say(feel))
    }
}

/// The grades, each with its sign.
fn grades() -> String {
    let each = Feel::ALL.map(|feel| format!("{} ({})", feel.name(), feel.sign()));
    format!("it is {}", each.join(", "))
}
