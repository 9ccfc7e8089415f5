//! `gutta series`: doses on portions of one base.

use clap::Args;

use gutta::ErrorKind;
use gutta::bench::{Drop, Series};
use gutta::matter::liquids;
use gutta::measure::{DOSE, Density, Measured, Reading};

use super::dose::bottle_of;
use super::leaf::{LeafArgs, wanted_dose};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, drop, liquid, share_of};
use crate::speak::series::Question;

const EXAMPLES: &str = "\
Examples:
  gutta series 0g/kg 5g/kg 10g/kg 15g/kg --leaf 96.0g --drop 24.5mg
  gutta series 0g/kg 10g/kg 20g/kg --leaf 60g --at 13% --drop \"24.5mg ± 1mg\" --scale 0.01g
  gutta series 0.5% 1% --leaf 40g --dropper amber --book demo-data

One base is tossed well and split into as many portions as there are doses.";

/// Doses on portions of one base.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct SeriesArgs {
    /// The doses, one a portion; 0g/kg is the blank
    #[arg(value_name = "DOSE")]
    doses: Vec<String>,
    #[command(flatten)]
    leaf: LeafArgs,
    /// One drop of this flavouring, such as 24.5mg
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// A dropper of the book, calibrated with this flavouring
    #[arg(long, value_name = "NAME", conflicts_with = "drop")]
    dropper: Option<String>,
    /// The flavouring's density, such as 0.846g/mL
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    density: Option<String>,
    /// The flavouring by its name, for its density: one of the book, or alcohol 70% vol
    #[arg(long, value_name = "NAME", conflicts_with = "density")]
    liquid: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

/// What a dose is called in a complaint.
const DOSE_WORD: &str = "DOSE";

impl SeriesArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let typed = self
            .doses
            .iter()
            .map(|text| dose(Flag::new(DOSE_WORD, text)))
            .collect::<Outcome<Vec<Reading>>>()?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let leaf = self.leaf.read(
            "type what all of the base weighs, such as --leaf 96.0g",
            scale,
            shelf,
            &mut assumed,
        )?;
        let (drop, density) = self.bottle(shelf, &mut assumed)?;
        let Some(drop) = drop else {
            return Err(
                Failure::missing("--drop", "the mass of a drop is missing").hint(drop::CALIBRATE)
            );
        };
        let series = Series {
            base: leaf.weight.mass,
            at: leaf.at,
            doses: typed.iter().map(share_of).collect(),
            basis: leaf.basis,
            drop,
            density,
            scale,
        };
        let portions = series.portions().map_err(|error| match error.kind() {
            // The doses are well said: the base is too small for the scale.
            ErrorKind::Refused => self.leaf.blame(error),
            _ => Failure::from(error).about(DOSE_WORD),
        })?;
        let question = Question {
            typed,
            leaf: leaf.weight,
            counted_on: self.leaf.counted_on(),
            series,
            assumed,
        };
        Ok(question.say(&portions))
    }

    /// The drop, and the density where it is known by its volume: nothing else
    /// here needs one, so that it is not said to be assumed.
    fn bottle(
        &self,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<(Option<Drop>, Option<Measured<Density>>)> {
        let mut with_density = Assumed::default();
        let (drop, density) = bottle_of(
            self.density.as_ref(),
            self.liquid.as_ref(),
            self.drop.as_ref(),
            self.dropper.as_ref(),
            shelf,
            &mut with_density,
        )?;
        if drop.is_none_or(|drop| drop.weighed_mass().is_none()) {
            assumed.join(with_density);
            return Ok((drop, density));
        }
        if let Some(flag) = Flag::of("--drop", self.drop.as_ref()) {
            drop::typed(flag, None, "--density", "drop", assumed)?;
        } else if let Some(flag) = Flag::of("--dropper", self.dropper.as_ref()) {
            drop::of_book(flag, shelf, assumed)?;
        }
        if let Some(flag) = Flag::of("--liquid", self.liquid.as_ref()) {
            let found = liquid::needed(flag, shelf, &mut Assumed::default())?;
            if let Some(caution) = found.composition.as_ref().and_then(liquids::flammable) {
                assumed.caution(caution);
            }
        }
        Ok((drop, None))
    }
}

/// One dose; none at all is the blank.
fn dose(flag: Flag<'_>) -> Outcome<Reading> {
    let reading = wanted_dose(
        flag,
        "the drop: --drop \"24.5mg ± 1mg\"",
        "type each as a word of its own, those with blanks in quotes:",
    )?;
    let is_blank = reading.base() == 0.0;
    if !is_blank {
        flag.within(&DOSE, &reading)?;
    }
    Ok(reading)
}
