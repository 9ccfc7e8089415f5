//! Less than a drop: a flavouring diluted, so that a dose comes to a whole
//! number of drops.
//!
//! # Why not half a drop?
//!
//! There is none: a count of drops is whole, and a dose below one drop would be
//! none or too much. Weighed out once into a carrier, the same dose is a few
//! drops that can be counted.

mod stock;
mod table;

pub use stock::{MOST_STOCK, TwoSteps, Weaker};

use uom::si::{SI, Units};

use self::stock::{carrier, is_too_much, least_neat};
use self::table::{CARRIER, FIGURES, Figures, NEAT, Strength, Table};
use super::dose::{DoseAsWeighed, DoseDry, LeafBasis};
use super::drop::Drop;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, Moisture};
use crate::measure::{
    DILUTION, DOSE, DROP_COUNT, Density, Digits, DropMass, Drops, Estimate, Inputs, MASS, Mass,
    Measured, Ratio, Real, Scalar, Scale, Simulation, TOLERANCE, Unit, number, quantity,
};

/// A dose of less than a drop, and what it is to be diluted with.
///
/// ```
/// use gutta::bench::{Dilution, Drop, LeafBasis, Strong};
/// use gutta::measure::{DropMass, Drops, Mass, Measured, Ratio};
/// use uom::si::mass::{gram, milligram};
/// use uom::si::ratio::per_mille;
///
/// let drop = DropMass::new(Mass::new::<milligram>(29.0));
/// let plan = Dilution::new(
///     Measured::exact(Ratio::new::<per_mille>(0.9)),
///     LeafBasis::AsWeighed,
///     Measured::exact(Mass::new::<gram>(10.0)),
///     Drop::of_mass(Measured::exact(drop))?,
///     Strong::ToMake { drops: Drops::new(4.0), neat: Mass::new::<gram>(0.8) },
/// )
/// .plan()?;
/// assert!((plan.carrier.expect("it is to be made").get::<gram>() - 9.511).abs() < 5e-4);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Dilution {
    /// The dose wanted, on its basis.
    pub dose: Measured<Ratio>,
    /// What the dose is counted on.
    pub basis: LeafBasis,
    /// Leaf as weighed.
    pub leaf: Measured<Mass>,
    /// Its moisture.
    pub at: Option<Measured<Moisture>>,
    /// One drop of the flavouring itself.
    pub neat_drop: Option<Drop>,
    /// One drop of the dilution; a weak one drops like its carrier.
    pub drop: Drop,
    /// The carrier's density, which stands for that of the dilution where its
    /// drop is known by the volume.
    pub density: Option<Measured<Density>>,
    /// How strong the dilution is, or is to be.
    pub strong: Strong,
    /// What is in the carrier, where that is known.
    pub carrier: Option<Composition>,
    /// The scale that leaf, flavouring and carrier are weighed on.
    pub scale: Option<Scale>,
    /// What a weighing may be off by.
    pub tolerance: Ratio,
}

/// How strong a dilution is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strong {
    /// It is to be made: so strong that the dose is this many whole drops.
    ToMake {
        /// The drops.
        drops: Drops,
        /// The flavouring to weigh for it.
        neat: Mass,
    },
    /// The same, of as little flavouring as the scale weighs well, and its carrier
    /// too.
    LeastToMake {
        /// The drops.
        drops: Drops,
    },
    /// It is there, of this share of flavouring by mass.
    Ready(Measured<Ratio>),
}

/// A dose by drops of a dilution.
#[derive(Clone, Debug)]
pub struct Diluted {
    /// The flavouring that the dose asks for.
    pub flavour: Estimate<Mass>,
    /// The same in drops of the flavouring itself, not rounded.
    pub neat_drops: Option<Estimate<Drops>>,
    /// Whole drops of the flavouring itself that come near enough, so that
    /// nothing need be diluted.
    pub neat_counted: Option<CountedNeat>,
    /// One drop of the dilution.
    pub one: Estimate<DropMass>,
    /// The flavouring in the dilution, by mass, as it is weighed.
    pub strength: Estimate<Ratio>,
    /// The flavouring to weigh, where it is to be made.
    pub neat: Option<Mass>,
    /// The carrier to weigh, where it is to be made.
    pub carrier: Option<Mass>,
    /// What that makes.
    pub stock: Option<Mass>,
    /// How many such doses are in it.
    pub doses: Option<f64>,
    /// The drops of the dilution that give the dose, not rounded.
    pub drops_exact: Estimate<Drops>,
    /// What the whole drops really give; none under one drop.
    pub counted: Option<CountedDilution>,
    /// What the scale may be off by in the smaller of the two weighings,
    /// relative, where that is more than the least weighing allows.
    pub too_fine: Option<Ratio>,
    /// The flavouring of which the scale weighs both well, where it is to be made
    /// and the scale is known.
    pub well_weighed: Option<Mass>,
    /// Whether it is more than the flavouring alone needs, for the carrier's sake.
    pub for_the_carrier: bool,
    /// Two dilutions in place of a weak one.
    pub two_steps: Option<TwoSteps>,
    /// What makes a dilution that is there weak enough, where a dose is less than
    /// a drop of it: then [`USUAL_DROPS`] of it are the dose.
    pub weaker: Option<Weaker>,
}

impl Diluted {
    /// The whole doses that the dilution makes.
    pub fn whole_doses(&self) -> Option<f64> {
        // A stock made for 100 doses is not one for 99 by a rounding.
        self.doses.map(|doses| (doses * (1.0 + 1e-12)).floor())
    }
}

/// What whole drops of the flavouring itself give.
#[derive(Clone, Debug)]
pub struct CountedNeat {
    /// The whole drops.
    pub drops: Drops,
    /// The dose they reach, on leaf as weighed.
    pub dose: Estimate<DoseAsWeighed>,
    /// The dose they reach, on dry leaf.
    pub dose_dry: Option<Estimate<DoseDry>>,
}

impl Diluted {
    /// Whether the carrier is more than is made for a count of drops.
    pub fn is_too_much(&self) -> bool {
        self.carrier.is_some_and(is_too_much)
    }
}

/// What whole drops of a dilution really give.
#[derive(Clone, Debug)]
pub struct CountedDilution {
    /// The whole drops.
    pub drops: Drops,
    /// What they weigh.
    pub mass: Estimate<Mass>,
    /// The dose they reach, on leaf as weighed.
    pub dose: Estimate<DoseAsWeighed>,
    /// The dose they reach, on dry leaf.
    pub dose_dry: Option<Estimate<DoseDry>>,
    /// The carrier that comes with it.
    pub carrier: Estimate<Mass>,
    /// That, over the leaf as weighed.
    pub carrier_share: Estimate<Ratio>,
    /// The moisture then, once the carrier's alcohol is gone; the flavouring
    /// itself counted as bringing none.
    pub moisture: Option<Estimate<Moisture>>,
}

/// The drops that a dose is made of unless it is said: few enough to count, and
/// a miss of one is seen (common practice).
pub const USUAL_DROPS: f64 = 4.0;

/// The most drops that a dose is counted in; more is weighed.
pub const MOST_DROPS: f64 = 1000.0;

/// The tolerance of a weighing unless another is wanted: 2 %.
pub const WEIGHING_TOLERANCE: f64 = 0.02;

/// Whole drops of the flavouring itself are near enough when they miss the dose
/// by no more than a rounding of [`USUAL_DROPS`] can: half a drop in four.
const NEAR_ENOUGH: f64 = 0.5 / USUAL_DROPS;

/// Below this strength, one part in two hundred, two steps take less carrier.
const WEAK: f64 = 0.005;

/// The strength that makes a mass of flavouring a number of drops: both over
/// each other.
pub fn strength<V: Real>(flavour: Mass<V>, drops: Mass<V>) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    flavour / drops
}

impl Dilution {
    /// A dose on leaf, with a drop of the dilution, and nothing else known.
    pub fn new(
        dose: Measured<Ratio>,
        basis: LeafBasis,
        leaf: Measured<Mass>,
        drop: Drop,
        strong: Strong,
    ) -> Self {
        Self {
            dose,
            basis,
            leaf,
            at: None,
            neat_drop: None,
            drop,
            density: None,
            strong,
            carrier: None,
            scale: None,
            tolerance: Ratio::of_base(WEIGHING_TOLERANCE),
        }
    }

    /// Works it out.
    ///
    /// # Errors
    /// When something is outside its range, or a dose on dry leaf has no
    /// moisture; a refusal when the drops hold less than the dose, a dilution
    /// that is there takes more than [`MOST_DROPS`], a weighing is below the
    /// scale's division, or the least that the scale weighs well comes to more
    /// than [`MOST_STOCK`].
    pub fn plan(&self) -> Result<Diluted> {
        let laid = self.lay()?;
        let run = laid.inputs.propagate(&laid.table);
        let one = laid.best.one.mass();
        let weighed = laid.weighed.map(|w| (w.neat, w.carrier));
        let stock = weighed.map(|(neat, carrier)| neat + carrier);
        let neat_counted = laid.table.neat_whole.and_then(|drops| {
            Some(CountedNeat {
                drops,
                dose: run.estimate_if(|f| f.neat_dose)?,
                dose_dry: run.estimate_if(|f| f.neat_dose_dry),
            })
        });
        let share = laid.best.strength;
        let counted = laid.table.whole.map(|drops| CountedDilution {
            drops,
            mass: run.estimate(|f| f.counted),
            dose: run.estimate(|f| f.dose),
            dose_dry: run.estimate_if(|f| f.dose_dry),
            carrier: run.estimate(|f| f.carrier),
            carrier_share: run.estimate(|f| f.carrier_share),
            moisture: run.estimate_if(|f| f.moisture),
        });
        Ok(Diluted {
            flavour: run.estimate(|f| f.flavour),
            neat_drops: run.estimate_if(|f| f.neat_drops),
            strength: run.estimate(|f| f.strength),
            neat_counted,
            one: run.estimate(|f| f.one),
            neat: weighed.map(|(neat, _)| neat),
            carrier: weighed.map(|(_, carrier)| carrier),
            stock,
            doses: stock
                .zip(laid.table.whole)
                .map(|(stock, whole)| (stock / (one * whole.count())).base()),
            drops_exact: run.estimate(|f| f.drops_exact),
            counted,
            too_fine: self.too_fine(weighed),
            well_weighed: laid.weighed.and_then(|w| w.well),
            for_the_carrier: laid.weighed.is_some_and(|w| w.for_the_carrier),
            two_steps: laid.weighed.and_then(|w| w.two_steps(share)),
            weaker: self.weaker(&laid),
        })
    }

    /// The plan's formula ready to be run on draws, weights and whole drops held
    /// as planned. A draw is outside when a drop has no mass.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn simulate(&self) -> Result<Simulation> {
        let laid = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let or_nan = |x: Option<f64>| x.unwrap_or(f64::NAN);
            row.copy_from_slice(&[
                f.flavour.base(),
                or_nan(f.neat_drops.map(Scalar::base)),
                f.strength.base(),
                f.drops_exact.base(),
                f.dose.base(),
                or_nan(f.dose_dry.map(Scalar::base)),
                f.carrier.base(),
                f.carrier_share.base(),
                or_nan(f.moisture.map(Scalar::base)),
            ]);
            f.one.base() > 0.0 && f.strength.base() > 0.0
        };
        Ok(laid.inputs.simulate(laid.table, FIGURES, pick))
    }

    fn check(&self) -> Result<()> {
        DOSE.check_base(self.dose.value().base())?;
        MASS.check_base(self.leaf.value().base())?;
        if self.drop.weighed_mass().is_none() && self.density.is_none() {
            return Err(Error::new(
                ErrorKind::Missing,
                "the mass of a drop of the dilution is missing",
            )
            .with_hint("weigh 20 drops of it, or of the carrier: a drop has that mass over 20"));
        }
        TOLERANCE.check_base(self.tolerance.base())?;
        if self.basis == LeafBasis::Dry && self.at.is_none() {
            return Err(
                Error::new(ErrorKind::Missing, "the moisture of the leaf is missing")
                    .with_hint("a dose on dry leaf needs it"),
            );
        }
        match &self.strong {
            Strong::Ready(share) => DILUTION.check_base(share.value().base()),
            Strong::ToMake { drops, neat } => {
                DROP_COUNT.check_base(drops.count())?;
                MASS.check_base(neat.base())
            }
            Strong::LeastToMake { drops } => {
                DROP_COUNT.check_base(drops.count())?;
                match self.scale {
                    Some(_) => Ok(()),
                    None => Err(Error::new(ErrorKind::Missing, "the scale is missing")
                        .with_hint("its division says how little it weighs well")),
                }
            }
        }
    }

    fn lay(&self) -> Result<Laid> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut table = Table::lay(self, &mut inputs);
        let asked = inputs.best(&table);
        table.neat_whole = asked.neat_drops.and_then(near_enough);
        let to_make = match self.strong {
            Strong::Ready(_) => None,
            Strong::ToMake { drops, neat } => Some((drops, Some(neat))),
            Strong::LeastToMake { drops } => Some((drops, None)),
        };
        let weighed = match to_make {
            None => None,
            Some((drops, neat)) => {
                let drops = drops.nearest_whole();
                let weighed = self.to_weigh(neat, drops, &asked)?;
                table.strength = Strength::Weighed(
                    inputs.add(NEAT, &self.weighing(weighed.neat)),
                    inputs.add(CARRIER, &self.weighing(weighed.carrier)),
                );
                table.whole = Some(drops);
                Some(weighed)
            }
        };
        if weighed.is_none() {
            let found = inputs.best(&table);
            if found.drops_exact.count() > MOST_DROPS {
                return Err(too_many(&found));
            }
            table.whole = found.drops_exact.countable();
        }
        let best = inputs.best(&table);
        Ok(Laid {
            inputs,
            table,
            best,
            weighed,
        })
    }

    /// Flavouring and carrier, where they are a dilution and can be weighed.
    fn to_weigh(&self, neat: Option<Mass>, drops: Drops, asked: &Figures<f64>) -> Result<Weighed> {
        let share = strength(asked.flavour, asked.one * drops);
        if share.base() >= 1.0 {
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "the dose is more than {}: there is nothing to dilute",
                    match drops.count() {
                        1.0 => "1 drop of the dilution weighs".to_owned(),
                        count => format!("{count} drops of the dilution weigh"),
                    }
                ),
            )
            .with_hint(instead(asked)));
        }
        let well = self
            .scale
            .map(|scale| least_neat(scale, self.tolerance, share));
        let is_typed = neat.is_some();
        let neat = neat
            .or(well)
            .ok_or_else(|| Error::new(ErrorKind::Missing, "the scale is missing"))?;
        let carrier = carrier(neat, share);
        for (what, mass) in [("flavouring", neat), ("carrier", carrier)] {
            let is_below = |step: &Mass| mass.base() < step.base() * (1.0 - 1e-9);
            let step = self.scale.map(|scale| scale.division());
            if let Some(step) = step.filter(is_below) {
                return Err(Error::new(
                    ErrorKind::Refused,
                    format!("so little {what} is below the scale's division"),
                )
                .with_hint(format!(
                    "weigh {} times as much flavouring, or use a finer scale",
                    (step / mass).base().ceil()
                )));
            }
        }
        if !is_typed && is_too_much(neat) {
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "it takes {} of flavouring for so little carrier to be weighed well",
                    said(neat.base(), Unit::KILOGRAM)
                ),
            )
            .with_hint(instead(asked)));
        }
        if !is_typed && is_too_much(carrier) {
            return Err(self.too_weak(share, neat, drops));
        }
        Ok(Weighed {
            neat,
            carrier,
            well,
            for_the_carrier: !is_typed && share.base() > 0.5,
        })
    }

    /// What can be done where a dilution takes more carrier than anybody makes.
    fn too_weak(&self, share: Ratio, neat: Mass, drops: Drops) -> Error {
        let mut ways = Vec::new();
        if let Some(steps) = TwoSteps::to(share, neat) {
            let dose = self.dose.value().base() * steps.parts;
            ways.push(format!(
                "dilute twice: first {} of flavouring with {} of carrier, 1 in {}; then ask for {} with that as the flavouring",
                said(steps.neat.base(), Unit::GRAM),
                said(steps.carrier.base(), Unit::GRAM),
                steps.parts,
                said(dose, Unit::GRAM_PER_KILOGRAM),
            ));
        }
        // The carrier goes with the drops, all but the flavouring's own mass.
        let of_one = (neat / (share * drops.count())).base();
        let fewer = ((MOST_STOCK + neat.base()) / of_one).floor();
        if (1.0..drops.count()).contains(&fewer) {
            ways.push(match fewer {
                1.0 => "take 1 drop of the dilution".to_owned(),
                fewer => format!("take {fewer} drops of the dilution or fewer"),
            });
        }
        ways.push("use a finer scale".to_owned());
        Error::new(
            ErrorKind::Refused,
            format!(
                "so weak a dilution takes {} of carrier for {} of flavouring, the least that the scale weighs well",
                said(carrier(neat, share).base(), Unit::KILOGRAM),
                said(neat.base(), Unit::GRAM)
            ),
        )
        .with_hint(ways.join("; or "))
    }

    /// How a dilution that is there is made weak enough to be counted.
    fn weaker(&self, laid: &Laid) -> Option<Weaker> {
        let Strong::Ready(share) = self.strong else {
            return None;
        };
        if laid.table.whole.is_some() {
            return None;
        }
        let times = USUAL_DROPS / laid.best.drops_exact.count();
        let well = self.scale.map(|scale| (scale, self.tolerance));
        Weaker::of(share.value(), times, well)
    }

    fn weighing(&self, mass: Mass) -> Measured<Mass> {
        self.scale
            .map_or(Measured::exact(mass), |scale| scale.weighed(mass))
    }

    fn too_fine(&self, weighed: Option<(Mass, Mass)>) -> Option<Ratio> {
        let (scale, (neat, carrier)) = self.scale.zip(weighed)?;
        let smaller = if neat < carrier { neat } else { carrier };
        let least = scale.least_weighing(self.tolerance);
        (smaller.base() < least.base() * (1.0 - 1e-9)).then(|| self.tolerance * (least / smaller))
    }
}

/// Whole drops that miss a count by little.
fn near_enough(exact: Drops) -> Option<Drops> {
    let whole = exact.countable()?;
    let off = (whole.count() - exact.count()).abs();
    (off <= NEAR_ENOUGH * exact.count() && whole.count() <= MOST_DROPS).then_some(whole)
}

/// A figure in a sentence, to be typed again.
fn said(base: f64, unit: &Unit) -> String {
    quantity(base, unit, Digits::AtMost(4)).replace('\u{a0}', " ")
}

/// What can be done where there is nothing to dilute: twice the drops are as much
/// carrier as flavouring, so that both are weighed well.
fn instead(asked: &Figures<f64>) -> String {
    let least = ((asked.flavour / asked.one).count() * 2.0).ceil();
    let neat = asked.neat_drops.map(|neat| neat.nearest_whole().count());
    let dilute = format!("take {least} drops of the dilution or more");
    match neat {
        _ if least > MOST_DROPS => format!(
            "weigh {} g of the flavouring itself: so much is not counted",
            number(asked.flavour.base() * 1e3, 1)
        ),
        // A drop of the flavouring is more than twice the dose.
        Some(0.0) => dilute,
        Some(1.0) => format!("count 1 drop of the flavouring itself, or {dilute}"),
        Some(neat) => format!("count {neat} drops of the flavouring itself, or {dilute}"),
        None => format!("count drops of the flavouring itself, or {dilute}"),
    }
}

fn too_many(found: &Figures<f64>) -> Error {
    Error::new(
        ErrorKind::Refused,
        format!("the dose is more than {MOST_DROPS} drops of this dilution: nobody counts so many"),
    )
    .with_hint(format!(
        "weigh {} g of it, or take a stronger one",
        number((found.flavour / found.strength).base() * 1e3, 1)
    ))
}

struct Laid {
    inputs: Inputs,
    table: Table,
    best: Figures<f64>,
    weighed: Option<Weighed>,
}

/// What is weighed for a dilution.
#[derive(Clone, Copy)]
struct Weighed {
    neat: Mass,
    carrier: Mass,
    /// The flavouring of which the scale weighs both well.
    well: Option<Mass>,
    /// Whether that is more than the flavouring alone needs.
    for_the_carrier: bool,
}

impl Weighed {
    /// Two dilutions in place of a weak one, each of as much flavouring, or of the
    /// least that is weighed well where that is too much.
    fn two_steps(&self, share: Ratio) -> Option<TwoSteps> {
        if is_too_much(self.carrier) {
            TwoSteps::to(share, self.well.unwrap_or(self.neat))
        } else if share.base() < WEAK {
            TwoSteps::to(share, self.neat)
        } else {
            None
        }
    }
}
