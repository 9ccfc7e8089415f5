//! `gutta repair wet`.

use clap::Args;

use gutta::blend::repair::TooWet;

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, DOUBT_IS_SAID, Flag, leaf_moisture};
use crate::speak::repair as speak;

/// A pile that came out too wet.
#[derive(Debug, Args)]
pub struct WetArgs {
    /// All of the pile as weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    pile: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// The moisture that is wanted
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The moisture of more of the same blend, to be added
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    with: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl WetArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let pile = Flag::needed(
            "--pile",
            "the mass of the pile",
            self.pile.as_ref(),
            "weigh it, and type what the scale shows, such as --pile 500g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            pile.mass.is_exact(),
            format!("pile {}", pile.reading.unbroken()),
        );
        let (at_typed, at) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            DOUBT_IS_SAID,
            shelf,
            &mut assumed,
        )?;
        let to_flag = Flag::needed(
            "--to",
            "the moisture wanted",
            self.to.as_ref(),
            "type what it was to be, such as --to 15%",
        )?;
        let (to_typed, to) = to_flag.target()?;
        let with = Flag::of("--with", self.with.as_ref());
        let drier = with.map(|flag| flag.moisture()).transpose()?;
        if let Some((reading, moisture)) = &drier {
            assumed.exact_if(
                moisture.is_exact(),
                format!("moisture of the drier blend {}", reading.unbroken()),
            );
        }
        let wet = TooWet {
            pile: pile.mass,
            at,
            to,
            drier: drier.as_ref().map(|(_, moisture)| *moisture),
        };
        let mended = wet.mend().map_err(|error| {
            let is_drier = error.to_string().starts_with("blend at");
            with.filter(|_| is_drier).unwrap_or(to_flag).fail(error)
        })?;
        Ok(speak::wet(
            &mended,
            (&pile.reading, &at_typed, &to_typed),
            drier.as_ref().map(|(reading, _)| reading),
            scale,
            assumed,
        ))
    }
}
