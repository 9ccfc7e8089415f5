//! Liquids poured together: what is in them, and what they measure.
//!
//! # Why does the volume not add up?
//!
//! Alcohol and water draw together: 50 mL and 50 mL make 96. Masses add, and so
//! does what is in them; the volume is that mass over the density of the
//! mixture, where one is known. Of other mixtures the volumes are added, and
//! the doubt says so.

use uom::si::{SI, Units};

use super::brought::{Brought, BroughtSlots};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{DensityOf, Part, Solute, alcohol, water};
use crate::measure::{
    Density, Estimate, Formula, Inputs, Mass, Measured, Point, ROOM_TEMPERATURE, Ratio, Real,
    Scalar, Simulation, Slot, Temperature, Volume,
};

/// Liquids poured together.
///
/// ```
/// use gutta::bench::{Brought, Mixture};
/// use gutta::matter::{Composition, Liquid};
/// use gutta::measure::{Mass, Measured};
/// use uom::si::{mass::gram, volume::milliliter};
///
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let spirit = Liquid::named("alcohol 96% vol")?.expect("a known name");
/// let liquids = vec![
///     Brought::of(&spirit, grams(58.8755))?,
///     Brought::weighed("water", grams(29.6805), Composition::water()),
/// ];
/// let mixed = Mixture::new(liquids).mixed()?;
/// // 100 mL of 70 % by volume.
/// let volume = mixed.volume.expect("alcohol and water are known").best();
/// assert!((volume.get::<milliliter>() - 100.0).abs() < 5e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Mixture {
    /// What is poured together.
    pub liquids: Vec<Brought>,
    /// Their temperature, and that of the volume.
    pub temperature: Measured<Temperature>,
}

/// A mixture of liquids.
#[derive(Clone, Debug)]
pub struct MixedLiquids {
    /// What it weighs.
    pub mass: Estimate<Mass>,
    /// Each part that is in it, by mass.
    pub shares: Vec<(Part, Estimate<Ratio>)>,
    /// Its strength by volume at 20 °C, where it is alcohol and water alone.
    pub strength: Option<Estimate<Ratio>>,
    /// Its density, where it or those of all its parts are known.
    pub density: Option<Estimate<Density>>,
    /// Its volume, where the density is known.
    pub volume: Option<Estimate<Volume>>,
    /// What it measures less than its liquids apart, where that is known.
    pub contraction: Option<Estimate<Volume>>,
    /// Whether the volumes of the liquids were simply added.
    pub is_added_up: bool,
}

/// The relative standard uncertainty of volumes that are simply added: alcohol
/// and water, which draw together most, make up to 3.7 % less.
const ADDED_UP_U: f64 = 0.02;

impl Brought {
    /// A liquid with a name that was weighed.
    ///
    /// # Errors
    /// When it is not known what is in it.
    pub fn of(liquid: &crate::matter::Liquid, mass: Measured<Mass>) -> Result<Self> {
        let Some(composition) = liquid.composition.clone() else {
            return Err(Error::new(
                ErrorKind::Missing,
                format!("it is not known what is in {}", liquid.name),
            )
            .with_hint("say its shares by mass"));
        };
        Ok(Self {
            density: liquid.density,
            ..Self::weighed(liquid.name.clone(), mass, composition)
        })
    }
}

impl Mixture {
    /// Liquids at 20 °C.
    pub const fn new(liquids: Vec<Brought>) -> Self {
        Self {
            liquids,
            temperature: Measured::exact(ROOM_TEMPERATURE),
        }
    }

    /// What they are together.
    ///
    /// # Errors
    /// When there is none, an amount is not above 0, or its density is needed
    /// and not known.
    pub fn mixed(&self) -> Result<MixedLiquids> {
        let (inputs, formula) = self.lay()?;
        let run = inputs.propagate(&formula);
        let best = inputs.best(&formula);
        let shares = Part::ALL.into_iter().enumerate();
        let is_spirit = matches!(formula.together, Together::Solution(Solute::Alcohol, _));
        Ok(MixedLiquids {
            mass: run.estimate(|f| f.mass),
            shares: shares
                .filter(|(i, _)| best.shares[*i].base() > 1e-12)
                .map(|(i, part)| (part, run.estimate(|f| f.shares[i])))
                .collect(),
            strength: is_spirit.then(|| run.estimate(|f| f.strength)),
            density: run.estimate_if(|f| f.volume.map(|v| f.mass / v)),
            volume: run.estimate_if(|f| f.volume),
            contraction: run.estimate_if(|f| f.contraction),
            is_added_up: matches!(formula.together, Together::AddedUp(_)),
        })
    }

    /// The mixture ready to be run on draws. A draw is outside when a share is
    /// below none.
    ///
    /// # Errors
    /// As [`mixed`](Self::mixed).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let or_nan = |x: Option<f64>| x.unwrap_or(f64::NAN);
            row.copy_from_slice(&[
                f.mass.base(),
                or_nan(f.volume.map(Scalar::base)),
                or_nan(f.volume.map(|v| (f.mass / v).base())),
                or_nan(f.contraction.map(Scalar::base)),
                f.strength.base(),
            ]);
            f.shares.iter().all(|share| share.base() >= 0.0)
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    fn lay(&self) -> Result<(Inputs, Poured)> {
        if self.liquids.is_empty() {
            return Err(
                Error::new(ErrorKind::Missing, "there is no liquid").with_hint("name one or more")
            );
        }
        let at = self.temperature.value();
        for liquid in &self.liquids {
            liquid.check(at)?;
        }
        let mut inputs = Inputs::new();
        let liquids = self
            .liquids
            .iter()
            .map(|liquid| liquid.add_measured_to(&mut inputs));
        let mut formula = Poured {
            liquids: liquids.collect(),
            temperature: inputs.add_once("temperature", &self.temperature),
            together: Together::Unknown,
        };
        let shares = inputs.best(&formula).shares;
        formula.together = self.together(&shares, &mut inputs);
        Ok((inputs, formula))
    }

    /// What the volume of the mixture goes by.
    fn together(&self, shares: &[Ratio; PARTS], inputs: &mut Inputs) -> Together {
        let at = self.temperature.value();
        let dissolved: Vec<(Part, Ratio)> = Part::ALL
            .into_iter()
            .zip(*shares)
            .filter(|(part, share)| *part != Part::Water && share.base() > 1e-12)
            .collect();
        let known = |solute: Solute, share: Ratio| {
            solute.temperatures().check_base(at.base()).is_ok()
                && solute.shares().check_base(share.base()).is_ok()
        };
        match dissolved.as_slice() {
            [] => return Together::Water,
            // Honey is sugar and water too, and has a density of its own.
            [(part, share)] if self.liquids.iter().all(Brought::is_plain) => {
                if let Some(solute) = Solute::of(*part).filter(|s| known(*s, *share)) {
                    return Together::Solution(solute, solute.table(inputs));
                }
            }
            _ => {}
        }
        let all_known = self.liquids.iter().all(|liquid| {
            let density = &liquid.density;
            density.check(&liquid.name, &liquid.composition, at).is_ok()
        });
        if !all_known {
            return Together::Unknown;
        }
        if self.liquids.len() == 1 {
            return Together::Alone;
        }
        let one = Measured::new(Ratio::of_base(1.0), ADDED_UP_U, f64::INFINITY);
        Together::AddedUp(inputs.add("volumes simply added", &one))
    }
}

const PARTS: usize = Part::ALL.len();

/// The figures of a simulated mixture, in the order of its rows.
const FIGURES: &[&str] = &["mass", "volume", "density", "contraction", "strength"];

/// What the volume of a mixture goes by.
#[derive(Clone, Copy, Debug)]
enum Together {
    Water,
    /// One thing in water, and what its table may be off by.
    Solution(Solute, Option<Slot<Ratio>>),
    /// One liquid alone: its own density.
    Alone,
    /// The volumes of the liquids, simply added, and how far that may be off.
    AddedUp(Slot<Ratio>),
    Unknown,
}

struct Poured {
    liquids: Vec<BroughtSlots>,
    temperature: Slot<Temperature>,
    together: Together,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    mass: Mass<V>,
    shares: [Ratio<V>; PARTS],
    strength: Ratio<V>,
    volume: Option<Volume<V>>,
    contraction: Option<Volume<V>>,
}

impl Formula for Poured {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let temperature = point.get(self.temperature);
        let each = || {
            self.liquids
                .iter()
                .map(|one| (one, one.mass(point, temperature)))
        };
        let mass: Mass<V> = each().map(|(_, mass)| mass).sum();
        let shares = Part::ALL.map(|part| {
            let of_part: Mass<V> = each()
                .map(|(one, mass)| mass * one.share(part, point))
                .sum();
            of_part / mass
        });
        let share = |solute: Solute| {
            let at = Part::ALL.iter().position(|part| *part == solute.part());
            at.map_or_else(|| Ratio::from(V::zero()), |at| shares[at])
        };
        let apart = || -> Volume<V> {
            each()
                .map(|(one, mass)| mass / one.density(point, temperature))
                .sum()
        };
        let density = match self.together {
            Together::Water => Some(water::density(temperature)),
            Together::Solution(solute, table) => {
                let density = solute.density(share(solute), temperature);
                Some(table.map_or(density, |slot| density * point.get(slot)))
            }
            Together::Alone | Together::AddedUp(_) | Together::Unknown => None,
        };
        let volume = match (density, self.together) {
            (Some(density), _) => Some(mass / density),
            (None, Together::Alone) => Some(apart()),
            (None, Together::AddedUp(slot)) => Some(apart() * point.get(slot)),
            (None, _) => None,
        };
        let is_known = density.is_some() && self.liquids.len() > 1;
        Figures {
            mass,
            strength: alcohol::share_by_volume(share(Solute::Alcohol)),
            contraction: volume.filter(|_| is_known).map(|volume| apart() - volume),
            volume,
            shares,
        }
    }
}

impl Brought {
    /// Whether its density is that of what is in it.
    fn is_plain(&self) -> bool {
        self.density == DensityOf::composition(&self.composition)
    }
}
