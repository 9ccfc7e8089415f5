//! `gutta batch plan`.

use clap::Args;

use gutta::blend::batch::{Loading, Loads};

use super::args::BatchArgs;
use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::Flag;
use crate::resolve::shelf::Shelf;
use crate::resolve::supply::{OfferedLeaf, offered};
use crate::speak::batch::{Asking, plan as speak};

/// A batch, and what it is made in.
#[derive(Debug, Args)]
pub struct PlanArgs {
    #[command(flatten)]
    batch: BatchArgs,
    /// What the vessel holds of the blend, such as 1.5kg: the batch in loads alike
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    vessel: Option<String>,
    /// Leaf to compare with by its dry matter: "flue-cured = 36.50 /kg, 14.8 %"
    #[arg(long, value_name = "COMPONENT = OFFER")]
    offer: Vec<String>,
}

impl PlanArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut asking = self.batch.read(shelf)?;
        let leaf = asking.scale_up.sheet.shares.clone();
        let offers = self.offer.iter().enumerate().map(|(i, text)| {
            let flag = Flag::new("--offer", text);
            offered(flag, &leaf, i + 1, &mut asking.question.assumed)
        });
        let offers = offers.collect::<Outcome<Vec<OfferedLeaf>>>()?;
        let loads = match Flag::of("--vessel", self.vessel.as_ref()) {
            Some(flag) => Some(loads(flag, &asking)?),
            None => None,
        };
        Ok(speak::plan(asking, loads.as_ref(), &offers))
    }
}

/// The loads of a batch: its leaf, line by line, then its liquids.
fn loads(flag: Flag<'_>, asking: &Asking) -> Outcome<Loads> {
    let scale = asking.scale_up.sheet.scale;
    let vessel = flag.mass(scale)?.mass.value();
    let plan = &asking.scaled.planned;
    let leaf = asking.scaled.needed.iter().map(|line| line.mass.best());
    let casings = plan.casings.iter().map(|casing| casing.mass.best());
    let flavours = plan
        .flavours
        .iter()
        .map(gutta::blend::sheet::Flavoured::goes_on);
    // With the water and all that goes on, before anything has aired off.
    let wet = asking.scaled.finished + plan.carrier;
    let loading = Loading {
        lines: leaf
            .chain(casings)
            .chain(flavours)
            .chain(asking.water_to_add())
            .collect(),
        fullest: if wet > plan.before_water {
            wet
        } else {
            plan.before_water
        },
        vessel,
        // Liquids are weighed on another scale than leaf by the kilogram.
        scale: None,
    };
    let mut split = loading.loads().map_err(|error| flag.fail(error))?;
    if scale.is_some() {
        let leaf = asking.scaled.needed.len();
        let of_leaf = Loading {
            lines: loading.lines[..leaf].to_vec(),
            scale,
            ..loading
        };
        let of_leaf = of_leaf.loads().map_err(|error| flag.fail(error))?;
        for (load, lines) in split.each.iter_mut().zip(of_leaf.each) {
            load.splice(..leaf, lines);
        }
    }
    Ok(split)
}
