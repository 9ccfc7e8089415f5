//! `gutta formula strip`.

use clap::Args;

use gutta::blend::Strip;
use gutta::measure::{Kind, STEM};

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, DOUBT_IS_SAID, Flag, leaf_moisture, share_of};
use crate::speak::strip as speak;

/// Strip that a formula asks for, and the whole leaf that it is stripped from.
#[derive(Debug, Args)]
pub struct StripArgs {
    /// The strip that is wanted, counted dry
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    dry: Option<String>,
    /// The stem in the dry matter of the whole leaf
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    stem: Option<String>,
    /// The moisture of the whole leaf
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
}

impl StripArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let dry = Flag::needed(
            "--dry",
            "the strip that is wanted",
            self.dry.as_ref(),
            "type it as dry matter, such as --dry 750g",
        )?
        .mass(None)?;
        assumed.exact_if(
            dry.mass.is_exact(),
            format!("dry strip {}", dry.reading.unbroken()),
        );
        let flag = Flag::needed(
            "--stem",
            "the stem of the leaf",
            self.stem.as_ref(),
            "strip a few leaves, dry and weigh both, and type the share, such as --stem 22%",
        )?;
        let stem = flag.read(&[Kind::Share])?;
        flag.within(&STEM, &stem)?;
        let share = share_of(&stem);
        assumed.exact_if(share.is_exact(), format!("stem {}", stem.unbroken()));
        let (at_typed, at) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            DOUBT_IS_SAID,
            shelf,
            &mut assumed,
        )?;
        assumed.line("stem and lamina are at one moisture");
        let strip = Strip {
            dry: dry.mass,
            stem: share,
            at,
        };
        let whole = strip.whole_leaf().map_err(|error| flag.fail(error))?;
        Ok(speak::strip(
            &whole,
            (&dry.reading, &stem, &at_typed),
            assumed,
        ))
    }
}
