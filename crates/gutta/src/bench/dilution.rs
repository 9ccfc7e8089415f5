//! Less than a drop: a flavouring diluted, so that a dose comes to a whole
//! number of drops.
//!
//! # Why not half a drop?
//!
//! There is none: a count of drops is whole, and a dose below one drop would be
//! none or too much. Weighed out once into a carrier, the same dose is a few
//! drops that can be counted.

use uom::si::{SI, Units};

use super::before_water::LEAF;
use super::dose::{DoseAsWeighed, DoseDry, LeafAsWeighed, LeafBasis};
use super::dosing::MOISTURE;
use super::drop::{Drop, DropSlots};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, CompositionSlots, Moisture, Pile};
use crate::measure::{
    DILUTION, DOSE, DROP_COUNT, Density, DropMass, Drops, Estimate, Formula, Inputs, MASS, Mass,
    Measured, Point, Ratio, Real, Scalar, Scale, Simulation, Slot, TOLERANCE, number,
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
    /// How strong the dilution is, or is to be.
    pub strong: Strong,
    /// What is in the carrier, where that is known.
    pub carrier: Option<Composition>,
    /// The scale that flavouring and carrier are weighed on.
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
}

impl Diluted {
    /// The whole doses that the dilution makes.
    pub fn whole_doses(&self) -> Option<f64> {
        // A stock made for 100 doses is not one for 99 by a rounding.
        self.doses.map(|doses| (doses * (1.0 + 1e-12)).floor())
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
    /// that is there takes more than [`MOST_DROPS`], or a weighing is below the
    /// scale's division.
    pub fn plan(&self) -> Result<Diluted> {
        let laid = self.lay()?;
        let run = laid.inputs.propagate(&laid.table);
        let one = laid.best.one.mass();
        let stock = laid.weighed.map(|(neat, carrier)| neat + carrier);
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
            neat: laid.weighed.map(|(neat, _)| neat),
            carrier: laid.weighed.map(|(_, carrier)| carrier),
            stock,
            doses: stock
                .zip(laid.table.whole)
                .map(|(stock, whole)| (stock / (one * whole.count())).base()),
            drops_exact: run.estimate(|f| f.drops_exact),
            counted,
            too_fine: self.too_fine(laid.weighed),
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
        if self.drop.weighed_mass().is_none() {
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
        }
    }

    fn lay(&self) -> Result<Laid> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut table = Table::lay(self, &mut inputs);
        let asked = inputs.best(&table);
        let weighed = match self.strong {
            Strong::Ready(_) => None,
            Strong::ToMake { drops, neat } => {
                let drops = drops.nearest_whole();
                let share = strength(asked.flavour, asked.one * drops);
                let carrier = self.carrier_for(neat, share, drops, &asked)?;
                table.strength = Strength::Weighed(
                    inputs.add("flavouring", &self.weighing(neat)),
                    inputs.add("carrier", &self.weighing(carrier)),
                );
                table.whole = Some(drops);
                Some((neat, carrier))
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

    /// The carrier for a strength, where that is one and can be weighed.
    fn carrier_for(
        &self,
        neat: Mass,
        share: Ratio,
        drops: Drops,
        asked: &Figures<f64>,
    ) -> Result<Mass> {
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
        let carrier = neat / share - neat;
        let least = self.scale.map(|scale| scale.division());
        for (what, mass) in [("flavouring", neat), ("carrier", carrier)] {
            if let Some(division) = least.filter(|division| mass < *division) {
                return Err(Error::new(
                    ErrorKind::Refused,
                    format!("so little {what} is below the scale's division"),
                )
                .with_hint(format!(
                    "weigh {} times as much flavouring, or use a finer scale",
                    (division / mass).base().ceil()
                )));
            }
        }
        Ok(carrier)
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

/// What can be done where there is nothing to dilute.
fn instead(asked: &Figures<f64>) -> String {
    let least = (asked.flavour / asked.one).count().floor() + 1.0;
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
    /// The flavouring and the carrier to weigh.
    weighed: Option<(Mass, Mass)>,
}

/// The figures of a simulated dilution, in the order of its rows.
const FIGURES: &[&str] = &[
    "flavour_needed",
    "neat_drops",
    "strength",
    "drops_exact",
    "dose_reached",
    "dose_reached_dry",
    "carrier_in_trial",
    "carrier_share",
    "moisture_after",
];

/// Leaf, drops and dilution, as a formula.
struct Table {
    dose: Slot<Ratio>,
    basis: LeafBasis,
    leaf: Slot<Mass>,
    at: Option<Slot<Moisture>>,
    neat_drop: Option<DropSlots>,
    drop: DropSlots,
    strength: Strength,
    parts: Option<CompositionSlots>,
    whole: Option<Drops>,
}

#[derive(Clone, Copy)]
enum Strength {
    /// Not made yet: as if it were neat.
    Open,
    Weighed(Slot<Mass>, Slot<Mass>),
    Known(Slot<Ratio>),
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    flavour: Mass<V>,
    neat_drops: Option<Drops<V>>,
    one: DropMass<V>,
    strength: Ratio<V>,
    drops_exact: Drops<V>,
    counted: Mass<V>,
    dose: DoseAsWeighed<V>,
    dose_dry: Option<DoseDry<V>>,
    carrier: Mass<V>,
    carrier_share: Ratio<V>,
    moisture: Option<Moisture<V>>,
}

/// The liquid that the drops of a dilution are of, as a budget shows it.
const DILUTED: &str = "the dilution";

impl Table {
    fn lay(question: &Dilution, inputs: &mut Inputs) -> Self {
        Self {
            dose: inputs.add("dose", &question.dose),
            basis: question.basis,
            leaf: inputs.add(LEAF, &question.leaf),
            at: question.at.map(|at| inputs.add(MOISTURE, &at)),
            neat_drop: question.neat_drop.map(|drop| drop.add_to(inputs, None)),
            drop: question.drop.add_to(inputs, Some(DILUTED)),
            strength: match &question.strong {
                Strong::ToMake { .. } => Strength::Open,
                Strong::Ready(share) => Strength::Known(inputs.add("strength", share)),
            },
            parts: question
                .carrier
                .as_ref()
                .map(|carrier| carrier.add_to(inputs, "the carrier")),
            whole: None,
        }
    }
}

impl Formula for Table {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let leaf = LeafAsWeighed::new(point.get(self.leaf));
        let dry = self.at.map(|at| leaf.dry(point.get(at)));
        let dose = point.get(self.dose);
        let flavour = match (self.basis, dry) {
            (LeafBasis::Dry, Some(dry)) => DoseDry::new(dose) * dry,
            _ => DoseAsWeighed::new(dose) * leaf,
        };
        // A drop known by its volume is one of the dilution, which is mostly
        // carrier; typed and calibrated drops have a mass of their own.
        let none: Option<Density<V>> = None;
        let one = self
            .drop
            .one_if(point, none)
            .unwrap_or_else(|| DropMass::from_base(V::exact(f64::NAN)));
        let strength = match self.strength {
            Strength::Open => Ratio::from(V::one()),
            Strength::Known(slot) => point.get(slot),
            Strength::Weighed(neat, carrier) => {
                let neat = point.get(neat);
                neat / (neat + point.get(carrier))
            }
        };
        let whole = self.whole.unwrap_or(Drops::new(0.0));
        let counted = self
            .drop
            .counted_if(point, none, whole)
            .unwrap_or_else(|| one * whole.lift::<V>());
        let given = counted * strength;
        let carrier = counted - given;
        let moisture = self.parts.as_ref().zip(self.at).map(|(parts, at)| {
            // What the flavouring is made of is not known: it stays.
            let flavouring = crate::matter::Fractions {
                water: Ratio::from(V::zero()),
                carrier: Ratio::from(V::zero()),
                humectant: Ratio::from(V::zero()),
            };
            Pile::leaf(leaf.mass(), point.get(at))
                .with_liquid(carrier, parts.at(point))
                .with_liquid(given, flavouring)
                .moisture()
        });
        Figures {
            neat_drops: self
                .neat_drop
                .and_then(|drop| drop.one_if(point, none))
                .map(|neat| flavour / neat),
            drops_exact: flavour / strength / one,
            dose: given / leaf,
            dose_dry: dry.map(|dry| given / dry),
            carrier_share: carrier / leaf.mass(),
            carrier,
            flavour,
            one,
            strength,
            counted,
            moisture,
        }
    }
}
