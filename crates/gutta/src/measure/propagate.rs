//! From doubtful inputs through a formula to an estimate.
//!
//! # Why are inputs handed over one by one?
//!
//! Each independent reading, calibration or typed number is one input with one
//! name. A formula that uses it twice uses the same input, so nothing is
//! counted double and nothing that should cancel stays.
//!
//! # What if there are more inputs than lanes?
//!
//! The formula is run again for each further [`LANES`] doubtful inputs. The
//! terms are the same as if all had been carried at once.

use std::marker::PhantomData;

use uom::si::{SI, Units};

use rand_xoshiro::Xoshiro256PlusPlus;

use super::shape::Sampler;
use super::{Estimate, Linear, Measured, Real, Scalar, Shape, Simulation, Term};

/// How many doubtful inputs are carried in one run of a formula.
pub const LANES: usize = 8;

/// A formula over named inputs, written once for every [`Real`].
///
/// ```
/// use gutta::measure::{Estimate, Formula, Inputs, Mass, Measured, Point, Real, SI, Slot};
/// use uom::si::{Units, mass::gram};
///
/// struct Net { gross: Slot<Mass>, tare: Slot<Mass> }
///
/// impl Formula for Net {
///     type Figures<V: Real> = Mass<V> where SI<V>: Units<V>;
///
///     fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Mass<V>
///     where
///         SI<V>: Units<V>,
///     {
///         inputs.get(self.gross) - inputs.get(self.tare)
///     }
/// }
///
/// let grams = |g| Measured::new(Mass::new::<gram>(g), 3e-6, f64::INFINITY);
/// let mut inputs = Inputs::new();
/// let net = Net {
///     gross: inputs.add("gross", &grams(622.0)),
///     tare: inputs.add("tare", &grams(612.0)),
/// };
/// let answer: Estimate<Mass> = inputs.propagate(&net).estimate(|m| *m);
/// assert!((answer.best().get::<gram>() - 10.0).abs() < 1e-9);
/// assert!((answer.u() - 3e-6 * 2f64.sqrt()).abs() < 1e-12);
/// ```
pub trait Formula {
    /// What the formula yields, in any number.
    type Figures<V: Real>
    where
        SI<V>: Units<V>;

    /// The figures at one point of the inputs. Total: no refusal, no decision.
    fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Self::Figures<V>
    where
        SI<V>: Units<V>;
}

/// The independent inputs of a formula.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    sources: Vec<Source>,
}

#[derive(Clone, Debug)]
struct Source {
    name: String,
    best: f64,
    u: f64,
    dof: f64,
    shape: Shape,
}

/// Which input: a typed handle.
#[derive(Debug)]
pub struct Slot<S> {
    index: usize,
    quantity: PhantomData<S>,
}

impl<S> Clone for Slot<S> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<S> Copy for Slot<S> {}

/// The inputs at one point, in one kind of number.
#[derive(Debug)]
pub struct Point<'a, V> {
    values: &'a [V],
}

impl<V: Real> Point<'_, V>
where
    SI<V>: Units<V>,
{
    /// The quantity in a slot.
    #[inline]
    pub fn get<S: Scalar>(&self, slot: Slot<S>) -> S::In<V> {
        S::from_base(self.values[slot.index])
    }
}

impl Inputs {
    /// No inputs yet.
    pub const fn new() -> Self {
        Self {
            sources: Vec::new(),
        }
    }

    /// Adds an independent input under the name that a budget shows.
    pub fn add<S: Scalar>(&mut self, name: impl Into<String>, input: &Measured<S>) -> Slot<S> {
        self.sources.push(Source {
            name: name.into(),
            best: input.value().base(),
            u: input.u(),
            dof: input.dof(),
            shape: input.shape(),
        });
        Slot {
            index: self.sources.len() - 1,
            quantity: PhantomData,
        }
    }

    /// The figures at the best estimates.
    pub fn best<F: Formula>(&self, formula: &F) -> F::Figures<f64> {
        let values: Vec<f64> = self.sources.iter().map(|s| s.best).collect();
        formula.at(&Point { values: &values })
    }

    /// A formula ready to be run on draws of the inputs. `pick` writes the
    /// figures of one draw in the order of `names`, and says whether the draw
    /// was within the formula's range.
    pub fn simulate<F>(
        &self,
        formula: F,
        names: &'static [&'static str],
        pick: impl Fn(&F::Figures<f64>, &mut [f64]) -> bool + Send + Sync + 'static,
    ) -> Simulation
    where
        F: Formula + Send + Sync + 'static,
    {
        let samplers: Vec<Sampler> = self
            .sources
            .iter()
            .map(|s| Sampler::new(s.best, s.u, s.dof, s.shape))
            .collect();
        let values = vec![0.0; samplers.len()];
        let width = names.len();
        let run = move |samplers: &[Sampler], random: &mut Xoshiro256PlusPlus, rows: &mut [f64]| {
            let mut values = values.clone();
            let mut outside = 0;
            for row in rows.chunks_exact_mut(width) {
                for (value, sampler) in values.iter_mut().zip(samplers) {
                    *value = sampler.sample(random);
                }
                let figures = formula.at(&Point { values: &values });
                outside += usize::from(!pick(&figures, row));
            }
            outside
        };
        Simulation::new(samplers, names, Box::new(run))
    }

    /// Runs a formula with the doubts of all inputs, to first order.
    pub fn propagate<'a, F: Formula>(&'a self, formula: &F) -> Propagated<'a, F> {
        let doubtful: Vec<usize> = (0..self.sources.len())
            .filter(|&i| self.sources[i].u > 0.0)
            .collect();
        let passes = doubtful.len().div_ceil(LANES).max(1);
        let runs = (0..passes)
            .map(|pass| {
                let values: Vec<Linear<LANES>> = self
                    .sources
                    .iter()
                    .enumerate()
                    .map(|(i, source)| {
                        let lane = doubtful
                            .iter()
                            .skip(pass * LANES)
                            .take(LANES)
                            .position(|&d| d == i);
                        Linear::input(source.best, source.u, lane.unwrap_or(LANES))
                    })
                    .collect();
                formula.at(&Point { values: &values })
            })
            .collect();
        Propagated {
            inputs: self,
            doubtful,
            runs,
        }
    }
}

/// A formula that has been run with the doubts of its inputs.
pub struct Propagated<'a, F: Formula> {
    inputs: &'a Inputs,
    doubtful: Vec<usize>,
    runs: Vec<F::Figures<Linear<LANES>>>,
}

impl<F: Formula> Propagated<'_, F> {
    /// The estimate of one figure, picked from what the formula yields.
    pub fn estimate<S: Scalar>(
        &self,
        pick: impl Fn(&F::Figures<Linear<LANES>>) -> S::In<Linear<LANES>>,
    ) -> Estimate<S> {
        let numbers: Vec<_> = self.runs.iter().map(|f| S::to_base(pick(f))).collect();
        self.gather(&numbers)
    }

    /// The estimate of a figure that the formula may not yield.
    pub fn estimate_if<S: Scalar>(
        &self,
        pick: impl Fn(&F::Figures<Linear<LANES>>) -> Option<S::In<Linear<LANES>>>,
    ) -> Option<Estimate<S>> {
        let numbers: Option<Vec<_>> = self.runs.iter().map(|f| pick(f).map(S::to_base)).collect();
        numbers.map(|numbers| self.gather(&numbers))
    }

    fn gather<S: Scalar>(&self, numbers: &[Linear<LANES>]) -> Estimate<S> {
        let best = numbers.first().map_or(f64::NAN, |n| n.best());
        let terms = self
            .doubtful
            .iter()
            .enumerate()
            .map(|(k, &i)| Term {
                input: self.inputs.sources[i].name.clone(),
                contribution: numbers[k / LANES].terms()[k % LANES],
                dof: self.inputs.sources[i].dof,
            })
            .collect();
        Estimate::new(S::of_base(best), terms)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Mass;

    struct Total(Vec<Slot<Mass>>);

    impl Formula for Total {
        type Figures<V: Real>
            = Mass<V>
        where
            SI<V>: Units<V>;

        fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Mass<V>
        where
            SI<V>: Units<V>,
        {
            self.0.iter().map(|&slot| inputs.get(slot)).sum()
        }
    }

    #[test]
    fn more_inputs_than_lanes_are_carried_all_the_same() {
        let mut inputs = Inputs::new();
        let count = 2 * LANES + 3;
        let slots = (0..count)
            .map(|i| {
                let m = Measured::new(Mass::of_base(1.0), 0.1, f64::INFINITY);
                inputs.add(format!("m{i}"), &m)
            })
            .collect();
        let total: Estimate<Mass> = inputs.propagate(&Total(slots)).estimate(|m| *m);
        assert!((total.u() - 0.1 * (count as f64).sqrt()).abs() < 1e-15);
        assert_eq!(total.budget().len(), count);
        assert!((total.budget().iter().map(|s| s.1).sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
