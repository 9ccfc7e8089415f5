//! A recipe in spoonfuls, as grams.
//!
//! # Why weigh ten spoonfuls?
//!
//! Cut leaf lies loose in one spoon and close in another. A spoonful weighed
//! once for each leaf, ten at a time, turns the recipe into shares; from then on
//! the scale is used and the spoon is not.

use uom::si::{SI, Units};

use super::formula::{Amounts, Shares};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, Scalar, Scale, Slot,
};

/// One line of a recipe in spoonfuls, and what its spoonfuls weigh.
#[derive(Clone, Debug, PartialEq)]
pub struct SpoonLine {
    /// The leaf.
    pub name: String,
    /// Spoonfuls in the recipe, above 0.
    pub spoons: f64,
    /// How many spoonfuls lay on the scale in each weighing, at least 1.
    pub in_a_weighing: u32,
    /// What they weighed, once or several times.
    pub weighings: Vec<Mass>,
}

/// A recipe in spoonfuls.
///
/// ```
/// use gutta::blend::spoons::{SpoonLine, SpoonRecipe};
/// use gutta::measure::Mass;
/// use uom::si::{mass::gram, ratio::percent};
/// let line = |name: &str, spoons, ten| SpoonLine {
///     name: name.into(),
///     spoons,
///     in_a_weighing: 10,
///     weighings: vec![Mass::new::<gram>(ten)],
/// };
/// let lines = vec![line("flue-cured", 3.0, 20.0), line("stoved", 1.0, 40.0)];
/// let grams = SpoonRecipe { lines, scale: None }.weighed()?;
/// assert!((grams.total.best().get::<gram>() - 10.0).abs() < 1e-12);
/// assert!((grams.shares[0].best().get::<percent>() - 60.0).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct SpoonRecipe {
    /// The lines.
    pub lines: Vec<SpoonLine>,
    /// The scale they were weighed on.
    pub scale: Option<Scale>,
}

/// A spoon recipe in grams. The doubt is that of the mean spoonful, not of what
/// the next spoonful happens to hold.
#[derive(Clone, Debug)]
pub struct SpoonGrams {
    /// The mass of each line, in the order of the recipe.
    pub lines: Vec<Estimate<Mass>>,
    /// All of them.
    pub total: Estimate<Mass>,
    /// The share of each line as weighed.
    pub shares: Vec<Estimate<Ratio>>,
    /// The recipe as a formula, as weighed.
    pub formula: Shares,
}

impl SpoonLine {
    /// The mass of one spoonful: the mean of the weighings over the spoonfuls in
    /// each. Several weighings give u = s/√k, with k − 1 degrees of freedom, but
    /// no less than the scale's own; one alone has the scale's, or none.
    ///
    /// # Errors
    /// When there is no weighing, one is not above 0, or it is of no spoonful.
    pub fn one_spoonful(&self, scale: Option<&Scale>) -> Result<Measured<Mass>> {
        if self.weighings.is_empty() || self.in_a_weighing == 0 {
            return Err(Error::new(
                ErrorKind::Missing,
                format!("no spoonful of {} was weighed", self.name),
            )
            .with_hint("weigh ten spoonfuls of it together"));
        }
        for mass in &self.weighings {
            MASS.check_base(mass.base())?;
        }
        let (k, spoons) = (self.weighings.len() as f64, f64::from(self.in_a_weighing));
        let mean = self.weighings.iter().map(|m| m.base()).sum::<f64>() / k;
        let one = Mass::of_base(mean / spoons);
        let of_scale = scale.map_or(0.0, |scale| scale.u_net().base());
        let squares = |m: &Mass| (m.base() - mean).powi(2);
        let scatter = if self.weighings.len() > 1 {
            (self.weighings.iter().map(squares).sum::<f64>() / (k - 1.0) / k).sqrt()
        } else {
            0.0
        };
        Ok(if scatter > of_scale {
            Measured::new(one, scatter / spoons, k - 1.0)
        } else {
            Measured::new(one, of_scale / spoons, f64::INFINITY)
        })
    }
}

impl SpoonRecipe {
    /// The recipe in grams and shares as weighed.
    ///
    /// # Errors
    /// As [`SpoonLine::one_spoonful`] and [`Shares::new`], and when a line has
    /// spoonfuls not above 0.
    pub fn weighed(&self) -> Result<SpoonGrams> {
        let mut inputs = Inputs::new();
        let mut lines = Vec::with_capacity(self.lines.len());
        for line in &self.lines {
            if !(line.spoons.is_finite() && line.spoons > 0.0) {
                return Err(Error::new(
                    ErrorKind::OutOfRange,
                    format!("the spoonfuls of {} must be above 0", line.name),
                )
                .with_hint("leave out what does not go in"));
            }
            let one = line.one_spoonful(self.scale.as_ref())?;
            let slot = inputs.add(format!("spoonful of {}", line.name), &one);
            lines.push((Ratio::of_base(line.spoons), slot));
        }
        let table = Table { lines };
        let names: Vec<&str> = self.lines.iter().map(|line| line.name.as_str()).collect();
        let formula = Shares::new(&names, &Amounts::Masses(inputs.best(&table).lines))?;
        let run = inputs.propagate(&table);
        let each = 0..self.lines.len();
        Ok(SpoonGrams {
            lines: each.clone().map(|i| run.estimate(|f| f.lines[i])).collect(),
            total: run.estimate(|f| f.total),
            shares: each
                .map(|i| run.estimate(|f| f.lines[i] / f.total))
                .collect(),
            formula,
        })
    }
}

struct Table {
    lines: Vec<(Ratio, Slot<Mass>)>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    lines: Vec<Mass<V>>,
    total: Mass<V>,
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
        let lines = self.lines.iter();
        let lines: Vec<Mass<V>> = lines
            .map(|(spoons, one)| point.get(*one) * spoons.lift::<V>())
            .collect();
        let none = <Mass as Scalar>::of_base(0.0).lift::<V>();
        Figures {
            total: lines.iter().fold(none, |sum, mass| sum + *mass),
            lines,
        }
    }
}
