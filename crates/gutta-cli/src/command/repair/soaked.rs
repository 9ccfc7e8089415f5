//! `gutta repair soaked`.

use clap::Args;

use gutta::blend::repair::Soaked;

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};
use crate::speak::repair as speak;

/// A component with all of the flavouring on it.
#[derive(Debug, Args)]
pub struct SoakedArgs {
    /// All leaf of the batch, the soaked component among it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// The component that the flavouring went onto
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    component: Option<String>,
    /// The flavouring
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    flavouring: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl SoakedArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let mut weigh = |name, what: &str, text, hint| {
            let weight = Flag::needed(name, what, text, hint)?.mass(scale)?;
            assumed.exact_if(
                weight.mass.is_exact(),
                format!(
                    "{} {}",
                    name.trim_start_matches('-'),
                    weight.reading.unbroken()
                ),
            );
            Ok::<_, Failure>(weight)
        };
        let batch = weigh(
            "--batch",
            "the leaf of the batch",
            self.batch.as_ref(),
            "type all leaf of it, such as --batch 500g",
        )?;
        let component = weigh(
            "--component",
            "the component",
            self.component.as_ref(),
            "type what the flavouring went onto, such as --component 90g",
        )?;
        let flavouring = weigh(
            "--flavouring",
            "the flavouring",
            self.flavouring.as_ref(),
            "type what went on, such as --flavouring 3.0g",
        )?;
        let soaked = Soaked {
            batch: batch.mass,
            component: component.mass,
            flavouring: flavouring.mass,
        };
        let spread = soaked.spread().map_err(|error| {
            Flag::new("--component", self.component.as_deref().unwrap_or_default()).fail(error)
        })?;
        Ok(speak::soaked(&spread, &batch.reading, scale, assumed))
    }
}
