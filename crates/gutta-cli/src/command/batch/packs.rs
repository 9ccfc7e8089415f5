//! `gutta batch packs`.

use clap::Args;

use gutta::ErrorKind;
use gutta::blend::batch::Packing;
use gutta::measure::{Kind, Mass, Measured, Scalar, Unit, coverage_95};

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};
use crate::say;
use crate::speak::batch::packs as speak;

/// What is packed, and how.
#[derive(Debug, Args)]
pub struct PacksArgs {
    /// All that is finished, such as 1284g
    #[arg(value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    /// What a pack is sold as
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    net: Option<String>,
    /// What goes into each beyond that [0g]
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    overfill: Option<String>,
    /// The sample that is kept [0g]
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    retain: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl PacksArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let needed = Flag::needed(
            "MASS",
            "what is finished",
            self.mass.as_ref(),
            "type what the scale shows of the batch, such as gutta batch packs 1284g --net 50g",
        )?;
        let mass = needed.mass(scale)?;
        let net_flag = Flag::needed(
            "--net",
            "what a pack is sold as",
            self.net.as_ref(),
            "type what the label says, such as --net 50g",
        )?;
        let net = net_flag.mass(scale)?;
        if !net.reading.is_exact() {
            return Err(net_flag
                .wrong("doubt", "what a pack is sold as is a plain figure")
                .hint("type it alone, such as --net 50g"));
        }
        let mut none_or = |name, text: &Option<String>| match Flag::of(name, text.as_ref()) {
            Some(flag) => more(flag),
            None => {
                assumed.line(match name {
                    "--overfill" => "nothing is put in beyond the net mass",
                    _ => "no sample is kept",
                });
                Ok(Measured::exact(Mass::of_base(0.0)))
            }
        };
        let overfill = none_or("--overfill", &self.overfill)?;
        let retain = none_or("--retain", &self.retain)?;
        let packing = Packing {
            mass: mass.mass.value(),
            net: net.mass.value(),
            overfill: overfill.value(),
            retain: retain.value(),
        };
        let each = packing.net + packing.overfill;
        let packs = packing.packs().map_err(|error| {
            let too_many = error.kind() == ErrorKind::OutOfRange;
            match Flag::of("--retain", self.retain.as_ref()) {
                _ if too_many => net_flag.fail(error),
                // Where one pack would be full without the sample, it is the sample.
                Some(retain) if packing.mass >= each && packing.retain >= packing.mass => {
                    let most = say::not_more(packing.mass - each);
                    let most = say::base(most.base(), Unit::GRAM);
                    retain.fail(error).hint(format!(
                        "keep {most} of it at most: --retain {}",
                        most.replace('\u{a0}', "")
                    ))
                }
                _ => needed.fail(error),
            }
        })?;
        // Where it has no doubt, there is nothing to say of it.
        let half = |mass: &Measured<Mass>| coverage_95(mass.dof()) * mass.u();
        let half = half(&mass.mass).hypot(half(&retain));
        let at = |more: f64| {
            let mass = Mass::of_base(packing.mass.base() + more);
            // Less than one pack full is none.
            Packing { mass, ..packing }
                .packs()
                .map_or(0, |packs| packs.count)
        };
        let around = (half > 0.0).then(|| (at(-half), at(half)));
        Ok(speak::packs(
            &packing,
            &packs,
            around,
            &mass.reading,
            scale,
            assumed,
        ))
    }
}

/// A mass that may be nothing.
fn more(flag: Flag<'_>) -> Outcome<Measured<Mass>> {
    let reading = flag.read(&[Kind::Mass])?;
    if reading.base() == 0.0 {
        return Ok(Measured::exact(Mass::of_base(0.0)));
    }
    Ok(flag.weight(reading, None)?.mass)
}
