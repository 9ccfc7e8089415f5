//! `gutta formula premix`.

use clap::Args;

use gutta::blend::formula::Premix;
use gutta::measure::{Mass, Ratio, SHARE, Scalar, Scale, TOLERANCE};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};
use crate::speak::premix as speak;

/// A condiment too small to weigh, by a pre-mix with the base.
#[derive(Debug, Args)]
pub struct PremixArgs {
    /// All leaf of the trial, as weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// The condiment's share of it, as weighed
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    share: Option<String>,
    /// The base leaf's share of it, as weighed
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    base: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// How far the condiment may be off [2%]
    #[arg(
        long,
        value_name = "SHARE",
        allow_hyphen_values = true,
        conflicts_with = "condiment"
    )]
    tolerance: Option<String>,
    /// The condiment in a pre-mix of your own
    #[arg(
        long,
        value_name = "MASS",
        allow_hyphen_values = true,
        requires = "with"
    )]
    condiment: Option<String>,
    /// The base leaf in it
    #[arg(
        long,
        value_name = "MASS",
        allow_hyphen_values = true,
        requires = "condiment"
    )]
    with: Option<String>,
}

impl PremixArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?.ok_or_else(|| {
            Failure::missing("--scale", "the scale is missing")
                .hint("type its smallest step, such as --scale 0.1g: it is what makes the share too small")
        })?;
        let needed = |name, what, text, hint| Flag::needed(name, what, text, hint);
        let batch = needed(
            "--batch",
            "the leaf of the trial",
            self.batch.as_ref(),
            "type all leaf of it, such as --batch 20g",
        )?;
        let trial = batch.mass(None)?;
        if !trial.reading.is_exact() {
            return Err(batch
                .wrong("doubt", "the size of a batch is a plain figure")
                .hint("type it alone, such as --batch 20g"));
        }
        let share = needed(
            "--share",
            "the condiment's share",
            self.share.as_ref(),
            "type it as weighed, such as --share 3.5%",
        )?;
        let base = needed(
            "--base",
            "the base leaf's share",
            self.base.as_ref(),
            "type it as weighed, such as --base 52%",
        )?;
        let shares = (share.exact_share(&SHARE)?, base.exact_share(&SHARE)?);
        assumed.line("the pre-mix is tossed until it is even");
        let own = Flag::of("--condiment", self.condiment.as_ref())
            .zip(Flag::of("--with", self.with.as_ref()));
        let (premix, plan) = match own {
            Some((condiment, with)) => {
                let premix = Premix {
                    trial: trial.mass.value(),
                    condiment_share: shares.0,
                    base_share: shares.1,
                    condiment: condiment.mass(None)?.mass.value(),
                    base: with.mass(None)?.mass.value(),
                    scale,
                };
                let plan = premix.plan().map_err(|error| {
                    let message = error.to_string();
                    let flag = if message.contains("shares") {
                        base
                    } else {
                        with
                    };
                    flag.fail(error)
                })?;
                (premix, plan)
            }
            None => self.advised(trial.mass.value(), shares, scale, share)?,
        };
        Ok(speak::premix(&premix, &plan, &trial.reading, assumed))
    }

    /// The smallest pre-mix that does.
    fn advised(
        &self,
        trial: Mass,
        (condiment, base): (Ratio, Ratio),
        scale: Scale,
        flag: Flag<'_>,
    ) -> Outcome<(Premix, gutta::blend::formula::PremixPlan)> {
        let tolerance = match Flag::of("--tolerance", self.tolerance.as_ref()) {
            Some(flag) => flag.exact_share(&TOLERANCE)?,
            None => Ratio::of_base(gutta::bench::WEIGHING_TOLERANCE),
        };
        Premix::smallest(trial, condiment, base, &scale, tolerance).ok_or_else(|| {
            Failure::refused("no pre-mix brings this share within the tolerance on this scale")
                .about(flag.name)
                .pointing(flag.text, 0, flag.text.len())
                .hint("make a larger batch, take a finer scale, or allow more with --tolerance")
        })
    }
}
