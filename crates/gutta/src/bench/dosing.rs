//! Drops, grams, millilitres and doses of a flavouring, from bench to batch.

use uom::si::specific_volume::SpecificVolume;
use uom::si::{SI, Units};

use super::before_water::LEAF;
use super::dose::{DoseAsWeighed, DoseDry, DryLeaf, LeafAsWeighed, LeafBasis};
use super::drop::{Drop, DropSlots};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Moisture, check_density};
use crate::measure::{
    DOSE, DROP_COUNT, Density, Drops, Estimate, Formula, Inputs, MASS, Mass, Measured, Point,
    Ratio, Real, Scalar, Simulation, Slot, VOLUME, Volume,
};

/// The moisture of the leaf, as a budget shows it.
pub(super) const MOISTURE: &str = "moisture";
/// The flavouring that was asked for.
pub(super) const FLAVOURING: &str = "flavouring";
/// The leaf of the batch.
pub(super) const BATCH_LEAF: &str = "leaf of the batch";
/// Its moisture.
pub(super) const BATCH_MOISTURE: &str = "moisture of the batch";

/// What was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Asked {
    /// Drops counted out.
    Drops(Drops),
    /// A mass.
    Mass(Measured<Mass>),
    /// A volume.
    Volume(Measured<Volume>),
    /// A dose on the basis.
    Dose(Measured<Ratio>),
}

/// The flavouring and the leaf that it goes onto.
///
/// ```
/// use gutta::bench::{Asked, Dosing, Drop, LeafBasis};
/// use gutta::measure::{DropMass, Drops, Mass, Measured};
/// use uom::si::mass::{gram, milligram};
///
/// let drop = Drop::of_mass(Measured::exact(DropMass::new(Mass::new::<milligram>(21.4))))?;
/// let trial = Dosing {
///     drop: Some(drop),
///     leaf: Some(Measured::exact(Mass::new::<gram>(10.0))),
///     ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::AsWeighed)
/// };
/// let answer = trial.answer()?;
/// // 14.98 g/kg of leaf as weighed.
/// assert!((answer.dose.unwrap().best().ratio().value - 0.01498).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Dosing {
    /// What was asked for.
    pub asked: Asked,
    /// The basis of a dose that was asked for, and of the way to a batch.
    pub basis: LeafBasis,
    /// Leaf as weighed.
    pub leaf: Option<Measured<Mass>>,
    /// Its moisture.
    pub at: Option<Measured<Moisture>>,
    /// One drop of the flavouring.
    pub drop: Option<Drop>,
    /// The flavouring's density.
    pub density: Option<Measured<Density>>,
    /// What the bottle weighs less after the drops than before.
    pub bottle_loss: Option<Measured<Mass>>,
    /// The batch that the dose is carried over to.
    pub batch: Option<Batch>,
}

/// The batch that a dose is carried over to.
#[derive(Clone, Copy, Debug)]
pub struct Batch {
    /// Leaf as weighed.
    pub leaf: Measured<Mass>,
    /// Its moisture; the trial's own where it is the same leaf.
    pub at: BatchValue<Measured<Moisture>>,
    /// The density of the bottle at hand.
    pub density: BatchValue<Measured<Density>>,
    /// A drop of the bottle at hand.
    pub drop: BatchValue<Drop>,
}

/// A property of the batch that may be the trial's own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BatchValue<T> {
    /// Not known.
    Unknown,
    /// The same as in the trial: one input, used twice.
    AsInTrial,
    /// Its own.
    Own(T),
}

/// What a dose comes to.
#[derive(Clone, Debug)]
pub struct Dosed {
    /// The flavouring that was asked for.
    pub mass: Estimate<Mass>,
    /// The same as a volume.
    pub volume: Option<Estimate<Volume>>,
    /// The dose on leaf as weighed.
    pub dose: Option<Estimate<DoseAsWeighed>>,
    /// The dose on dry leaf.
    pub dose_dry: Option<Estimate<DoseDry>>,
    /// The volume for each mass of leaf as weighed.
    pub volume_per_leaf: Option<Estimate<SpecificVolume<SI<f64>, f64>>>,
    /// The exact number of drops.
    pub drops_exact: Option<Estimate<Drops>>,
    /// What counting whole drops really gives; not under one drop.
    pub counted: Option<CountedDose>,
    /// What was really given, by the bottle's loss.
    pub given: Option<GivenDose>,
    /// The flavouring for the batch.
    pub batch: Option<BatchDose>,
}

/// What was really given: the bottle's loss does not miscount.
#[derive(Clone, Debug)]
pub struct GivenDose {
    /// The drops that the loss makes, not rounded; where a drop is known.
    pub drops_exact: Option<Estimate<Drops>>,
    /// The dose on leaf as weighed.
    pub dose: Option<Estimate<DoseAsWeighed>>,
    /// The dose on dry leaf.
    pub dose_dry: Option<Estimate<DoseDry>>,
}

impl GivenDose {
    /// The nearest whole number of drops, where a drop is known.
    pub fn drops(&self) -> Option<Drops> {
        self.drops_exact.as_ref().map(|n| n.best().nearest_whole())
    }
}

/// What the nearest whole number of drops really gives.
#[derive(Clone, Debug)]
pub struct CountedDose {
    /// The nearest whole number of drops.
    pub drops: Drops,
    /// What they weigh.
    pub mass: Estimate<Mass>,
    /// The dose they reach on leaf as weighed.
    pub dose: Option<Estimate<DoseAsWeighed>>,
    /// The dose they reach on dry leaf.
    pub dose_dry: Option<Estimate<DoseDry>>,
}

/// The flavouring for a batch.
#[derive(Clone, Debug)]
pub struct BatchDose {
    /// To weigh.
    pub mass: Estimate<Mass>,
    /// To measure out.
    pub volume: Option<Estimate<Volume>>,
    /// Exact drops, for curiosity only.
    pub drops: Option<Estimate<Drops>>,
}

const DROP_HINT: &str = "weigh 20 drops of this liquid: a drop has that mass over 20";
const DENSITY_HINT: &str = "weigh 10 mL of this liquid: its density is that mass over 10 mL";
const LEAF_HINT: &str = "weigh the leaf that the dose is counted on";
const DRY_HINT: &str = "a dose on dry leaf needs it";

fn missing(what: &str, hint: &str) -> Error {
    Error::new(ErrorKind::Missing, format!("{what} is missing")).with_hint(hint)
}

impl Dosing {
    /// What was asked for, on a basis, with nothing else known.
    pub const fn new(asked: Asked, basis: LeafBasis) -> Self {
        Self {
            asked,
            basis,
            leaf: None,
            at: None,
            drop: None,
            density: None,
            bottle_loss: None,
            batch: None,
        }
    }

    /// Works the dose out.
    ///
    /// # Errors
    /// When something that the question needs is missing, or a number is
    /// outside its range.
    pub fn answer(&self) -> Result<Dosed> {
        let (inputs, formula) = self.lay()?;
        let whole = formula.whole;
        let run = inputs.propagate(&formula);
        Ok(Dosed {
            mass: run
                .estimate_if(|f| f.mass)
                .ok_or_else(|| missing("the mass of a drop", DROP_HINT))?,
            volume: run.estimate_if(|f| f.volume),
            dose: run.estimate_if(|f| f.dose),
            dose_dry: run.estimate_if(|f| f.dose_dry),
            volume_per_leaf: run.estimate_if(|f| f.volume_per_leaf),
            drops_exact: run.estimate_if(|f| f.drops_exact),
            counted: whole.and_then(|whole| {
                Some(CountedDose {
                    drops: whole,
                    mass: run.estimate_if(|f| f.counted)?,
                    dose: run.estimate_if(|f| f.dose_counted),
                    dose_dry: run.estimate_if(|f| f.dose_dry_counted),
                })
            }),
            given: self.bottle_loss.map(|_| GivenDose {
                drops_exact: run.estimate_if(|f| f.given),
                dose: run.estimate_if(|f| f.dose_given),
                dose_dry: run.estimate_if(|f| f.dose_dry_given),
            }),
            batch: run
                .estimate_if(|f| f.batch.map(|b| b.mass))
                .map(|mass| BatchDose {
                    mass,
                    volume: run.estimate_if(|f| f.batch.and_then(|b| b.volume)),
                    drops: run.estimate_if(|f| f.batch.and_then(|b| b.drops)),
                }),
        })
    }

    /// The formula ready to be run on draws, the whole drops held as planned. A
    /// draw is outside when the flavouring or a drop has no mass.
    ///
    /// # Errors
    /// As [`answer`](Self::answer).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let or_nan = |x: Option<f64>| x.unwrap_or(f64::NAN);
            row.copy_from_slice(&[
                or_nan(f.mass.map(Scalar::base)),
                or_nan(f.volume.map(Scalar::base)),
                or_nan(f.dose.map(Scalar::base)),
                or_nan(f.dose_dry.map(Scalar::base)),
                or_nan(f.drops_exact.map(Scalar::base)),
                or_nan(f.counted.map(Scalar::base)),
                or_nan(f.dose_counted.map(Scalar::base)),
                or_nan(f.dose_dry_counted.map(Scalar::base)),
                or_nan(f.given.map(Scalar::base)),
                or_nan(f.dose_given.map(Scalar::base)),
                or_nan(f.dose_dry_given.map(Scalar::base)),
                or_nan(f.batch.map(|b| b.mass.base())),
                or_nan(f.batch.and_then(|b| b.volume).map(Scalar::base)),
                or_nan(f.batch.and_then(|b| b.drops).map(Scalar::base)),
            ]);
            f.mass.is_some_and(|mass| mass.base() > 0.0)
                && f.drops_exact.is_none_or(|n| n.base() > 0.0)
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    /// Checks what was typed and lays it on the table, the whole drops decided.
    fn lay(&self) -> Result<(Inputs, Table)> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut formula = Table::lay(self, &mut inputs);
        // Less than one drop is diluted, never rounded to none or one.
        formula.whole = inputs.best(&formula).drops_exact.and_then(Drops::countable);
        Ok((inputs, formula))
    }

    fn check(&self) -> Result<()> {
        match &self.asked {
            Asked::Drops(n) => {
                DROP_COUNT.check_base(n.count())?;
                if self.drop.is_none() {
                    return Err(missing("the mass of a drop", DROP_HINT));
                }
            }
            Asked::Mass(mass) => MASS.check_base(mass.value().base())?,
            Asked::Volume(volume) => {
                VOLUME.check_base(volume.value().base())?;
                if self.density.is_none() {
                    return Err(missing("the density", DENSITY_HINT));
                }
            }
            Asked::Dose(dose) => {
                DOSE.check_base(dose.value().base())?;
                if self.leaf.is_none() {
                    return Err(missing("the leaf", LEAF_HINT));
                }
            }
        }
        let masses = [self.leaf, self.bottle_loss, self.batch.map(|b| b.leaf)];
        for mass in masses.into_iter().flatten() {
            MASS.check_base(mass.value().base())?;
        }
        if let Some(density) = &self.density {
            check_density(density)?;
        }
        let on_dry = self.basis == LeafBasis::Dry;
        if on_dry && self.at.is_none() {
            return Err(missing("the moisture of the leaf", DRY_HINT));
        }
        if let Some(batch) = &self.batch {
            if let BatchValue::Own(density) = &batch.density {
                check_density(density)?;
            }
            if on_dry && batch.at == BatchValue::Unknown {
                return Err(missing("the moisture of the batch", DRY_HINT));
            }
            if self.leaf.is_none() {
                return Err(missing("the leaf", LEAF_HINT));
            }
        }
        Ok(())
    }
}

/// The figures of a simulated dose, in the order of its rows.
const FIGURES: &[&str] = &[
    "mass",
    "volume",
    "dose",
    "dose_dry",
    "drops_exact",
    "mass_reached",
    "dose_reached",
    "dose_reached_dry",
    "drops_given_exact",
    "dose_given",
    "dose_given_dry",
    "for_mass",
    "for_volume",
    "for_drops",
];

/// The table with bottle and leaf, as a formula.
struct Table {
    asked: AskedSlot,
    basis: LeafBasis,
    leaf: Option<Slot<Mass>>,
    at: Option<Slot<Moisture>>,
    drop: Option<DropSlots>,
    density: Option<Slot<Density>>,
    bottle_loss: Option<Slot<Mass>>,
    batch: Option<BatchSlots>,
    whole: Option<Drops>,
}

struct BatchSlots {
    leaf: Slot<Mass>,
    at: Option<Slot<Moisture>>,
    density: Option<Slot<Density>>,
    drop: Option<DropSlots>,
}

#[derive(Clone, Copy)]
enum AskedSlot {
    Drops(Drops),
    Mass(Slot<Mass>),
    Volume(Slot<Volume>),
    Dose(Slot<Ratio>),
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    mass: Option<Mass<V>>,
    volume: Option<Volume<V>>,
    dose: Option<DoseAsWeighed<V>>,
    dose_dry: Option<DoseDry<V>>,
    volume_per_leaf: Option<SpecificVolume<SI<V>, V>>,
    drops_exact: Option<Drops<V>>,
    counted: Option<Mass<V>>,
    dose_counted: Option<DoseAsWeighed<V>>,
    dose_dry_counted: Option<DoseDry<V>>,
    given: Option<Drops<V>>,
    dose_given: Option<DoseAsWeighed<V>>,
    dose_dry_given: Option<DoseDry<V>>,
    batch: Option<BatchFigures<V>>,
}

#[derive(Clone, Copy)]
struct BatchFigures<V: Real>
where
    SI<V>: Units<V>,
{
    mass: Mass<V>,
    volume: Option<Volume<V>>,
    drops: Option<Drops<V>>,
}

impl<T> BatchValue<T> {
    fn or_trial<S>(&self, trial: Option<S>, own: impl FnOnce(&T) -> S) -> Option<S> {
        match self {
            Self::Unknown => None,
            Self::AsInTrial => trial,
            Self::Own(value) => Some(own(value)),
        }
    }
}

impl Table {
    fn lay(dosing: &Dosing, inputs: &mut Inputs) -> Self {
        let at = dosing.at.map(|m| inputs.add(MOISTURE, &m));
        let drop = dosing.drop.map(|d| d.add_to(inputs, None));
        let density = dosing.density.map(|d| inputs.add("density", &d));
        Self {
            asked: match &dosing.asked {
                Asked::Drops(n) => AskedSlot::Drops(*n),
                Asked::Mass(mass) => AskedSlot::Mass(inputs.add(FLAVOURING, mass)),
                Asked::Volume(volume) => AskedSlot::Volume(inputs.add(FLAVOURING, volume)),
                Asked::Dose(dose) => AskedSlot::Dose(inputs.add("dose", dose)),
            },
            basis: dosing.basis,
            leaf: dosing.leaf.map(|l| inputs.add(LEAF, &l)),
            at,
            drop,
            density,
            bottle_loss: dosing.bottle_loss.map(|l| inputs.add("bottle's loss", &l)),
            batch: dosing.batch.map(|b| BatchSlots {
                leaf: inputs.add(BATCH_LEAF, &b.leaf),
                at: b.at.or_trial(at, |m| inputs.add(BATCH_MOISTURE, m)),
                density: b
                    .density
                    .or_trial(density, |d| inputs.add("density of the batch's bottle", d)),
                drop: b
                    .drop
                    .or_trial(drop, |d| d.add_to(inputs, Some("the batch's bottle"))),
            }),
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
        let density = self.density.map(|slot| point.get(slot));
        let leaf = self.leaf.map(|slot| LeafAsWeighed::new(point.get(slot)));
        let dry = leaf.zip(self.at).map(|(leaf, at)| leaf.dry(point.get(at)));
        let one = self.drop.and_then(|slots| slots.one_if(point, density));
        let drops = |n| {
            self.drop
                .and_then(|slots| slots.counted_if(point, density, n))
        };

        let mass = match self.asked {
            AskedSlot::Drops(n) => drops(n),
            AskedSlot::Mass(slot) => Some(point.get(slot)),
            AskedSlot::Volume(slot) => density.map(|density| point.get(slot) * density),
            AskedSlot::Dose(slot) => {
                let dose = point.get(slot);
                match self.basis {
                    LeafBasis::AsWeighed => leaf.map(|leaf| DoseAsWeighed::new(dose) * leaf),
                    LeafBasis::Dry => dry.map(|dry| DoseDry::new(dose) * dry),
                }
            }
        };
        let exact = match self.asked {
            AskedSlot::Drops(n) => one.map(|_| n.lift::<V>()),
            _ => mass.zip(one).map(|(mass, one)| mass / one),
        };
        let counted = self.whole.and_then(drops);
        let loss = self.bottle_loss.map(|slot| point.get(slot));
        let volume = mass.zip(density).map(|(mass, density)| mass / density);
        let batch = self
            .batch
            .as_ref()
            .and_then(|batch| batch.flavouring(point, self.basis, mass?, leaf?, dry));
        Figures {
            mass,
            volume,
            dose: mass.zip(leaf).map(|(mass, leaf)| mass / leaf),
            dose_dry: mass.zip(dry).map(|(mass, dry)| mass / dry),
            volume_per_leaf: volume.zip(leaf).map(|(volume, leaf)| volume / leaf.mass()),
            drops_exact: exact,
            counted,
            dose_counted: counted.zip(leaf).map(|(mass, leaf)| mass / leaf),
            dose_dry_counted: counted.zip(dry).map(|(mass, dry)| mass / dry),
            given: loss.zip(one).map(|(loss, one)| loss / one),
            dose_given: loss.zip(leaf).map(|(loss, leaf)| loss / leaf),
            dose_dry_given: loss.zip(dry).map(|(loss, dry)| loss / dry),
            batch,
        }
    }
}

impl BatchSlots {
    fn flavouring<V: Real>(
        &self,
        point: &Point<'_, V>,
        basis: LeafBasis,
        mass: Mass<V>,
        leaf: LeafAsWeighed<V>,
        dry: Option<DryLeaf<V>>,
    ) -> Option<BatchFigures<V>>
    where
        SI<V>: Units<V>,
    {
        let batch = LeafAsWeighed::new(point.get(self.leaf));
        let mass = match basis {
            LeafBasis::AsWeighed => (mass / leaf) * batch,
            LeafBasis::Dry => (mass / dry?) * batch.dry(point.get(self.at?)),
        };
        let density = self.density.map(|slot| point.get(slot));
        let one = self.drop.and_then(|slots| slots.one_if(point, density));
        Some(BatchFigures {
            mass,
            volume: density.map(|density| mass / density),
            drops: one.map(|one| mass / one),
        })
    }
}
