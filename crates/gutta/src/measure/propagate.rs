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

use std::borrow::Cow;
use std::marker::PhantomData;

use uom::si::{SI, Units};

use super::shape::{Drawn, Sampler, Widening};
use super::stream::{Column, Random, TOGETHER};
use super::{Estimate, Linear, Measured, Real, Scalar, Shape, Simulation, Term};
use crate::error::{Error, ErrorKind, Result};

/// How many doubtful inputs are carried in one run of a formula: as many as one has, as
/// a rule.
pub const LANES: usize = 12;

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

/// The inputs of a formula: independent ones, and groups that go together.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// A cause for each slot.
    causes: Vec<Cause>,
    /// The slots that stand for more than their own cause.
    mixed: Vec<Mixed>,
}

/// An independent cause of doubt.
#[derive(Clone, Debug)]
struct Cause {
    name: Cow<'static, str>,
    best: f64,
    u: f64,
    dof: f64,
    shape: Shape,
    /// Which readings its u is from: the index of the first cause of them.
    readings: usize,
}

/// An input of a group: a best value, and a slope to each cause of the group up to
/// its own.
#[derive(Clone, Debug)]
struct Mixed {
    slot: usize,
    best: f64,
    first: usize,
    slopes: Vec<f64>,
}

/// Which input: a typed handle.
#[derive(Debug)]
pub struct Slot<S> {
    index: usize,
    quantity: PhantomData<S>,
}

impl<S> Slot<S> {
    const fn at(index: usize) -> Self {
        Self {
            index,
            quantity: PhantomData,
        }
    }
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
    /// From one input to the next in `values`, and from the first of an input on.
    stride: usize,
    row: usize,
}

impl<'a, V> Point<'a, V> {
    /// A value for each input.
    #[inline(always)]
    const fn of(values: &'a [V]) -> Self {
        Self {
            values,
            stride: 1,
            row: 0,
        }
    }
}

impl<V: Real> Point<'_, V>
where
    SI<V>: Units<V>,
{
    /// The quantity in a slot.
    #[inline]
    pub fn get<S: Scalar>(&self, slot: Slot<S>) -> S::In<V> {
        S::from_base(self.values[slot.index * self.stride + self.row])
    }
}

impl Inputs {
    /// No inputs yet.
    pub const fn new() -> Self {
        Self {
            causes: Vec::new(),
            mixed: Vec::new(),
        }
    }

    /// Adds an independent input under the name that a budget shows.
    pub fn add<S: Scalar>(
        &mut self,
        name: impl Into<Cow<'static, str>>,
        input: &Measured<S>,
    ) -> Slot<S> {
        let readings = self.causes.len();
        self.add_cause(name.into(), input, readings)
    }

    /// Adds an independent input that may be there already: one of the same
    /// name and the same value is the same input, such as a dropper that two
    /// amounts are counted with.
    pub fn add_once<S: Scalar>(
        &mut self,
        name: impl Into<Cow<'static, str>>,
        input: &Measured<S>,
    ) -> Slot<S> {
        let name = name.into();
        let is_it = |cause: &Cause| {
            cause.name == name
                && cause.best == input.value().base()
                && cause.u == input.u()
                && cause.dof == input.dof()
                && cause.shape == input.shape()
        };
        let mut slots = 0..self.causes.len();
        match slots.find(|&slot| is_it(&self.causes[slot]) && !self.is_mixed(slot)) {
            Some(index) => Slot::at(index),
            None => self.add(name, input),
        }
    }

    /// Adds an independent input whose u is from the same few readings as that
    /// of another: they share their degrees of freedom.
    pub fn add_beside<S: Scalar, T>(
        &mut self,
        other: Slot<T>,
        name: impl Into<Cow<'static, str>>,
        input: &Measured<S>,
    ) -> Slot<S> {
        let readings = if self.is_mixed(other.index) {
            self.causes.len()
        } else {
            self.causes[other.index].readings
        };
        self.add_cause(name.into(), input, readings)
    }

    fn is_mixed(&self, slot: usize) -> bool {
        self.mixed.iter().any(|mixed| mixed.slot == slot)
    }

    fn add_cause<S: Scalar>(
        &mut self,
        name: Cow<'static, str>,
        input: &Measured<S>,
        readings: usize,
    ) -> Slot<S> {
        if self.causes.is_empty() {
            self.causes.reserve(LANES);
        }
        self.causes.push(Cause {
            name,
            best: input.value().base(),
            u: input.u(),
            dof: input.dof(),
            shape: input.shape(),
            readings,
        });
        Slot::at(self.causes.len() - 1)
    }

    /// Adds inputs that were read together, such as readings taken in turn: a
    /// best value each, the covariance between them (SI base units), and the
    /// degrees of freedom they share. A budget shows them under one name.
    ///
    /// The covariance is split into independent causes by Cholesky's method:
    /// each input is its best value and a slope to the causes up to its own.
    ///
    /// # Errors
    /// When the covariance is not a square of the size of the values,
    /// symmetric, and that of any real readings (positive semidefinite).
    pub fn add_group<S: Scalar>(
        &mut self,
        name: &str,
        best: &[S],
        covariance: &[Vec<f64>],
        dof: f64,
    ) -> Result<Vec<Slot<S>>> {
        let slopes = cholesky(best.len(), covariance).ok_or_else(|| {
            Error::new(
                ErrorKind::OutOfRange,
                format!("the covariance of {name} is not that of any readings"),
            )
            .with_hint("it is square, symmetric, and no correlation is beyond one")
        })?;
        let first = self.causes.len();
        self.causes.extend(best.iter().map(|_| Cause {
            name: Cow::Owned(name.to_owned()),
            best: 0.0,
            u: 1.0,
            dof,
            shape: Shape::Normal,
            readings: first,
        }));
        let slots = first..self.causes.len();
        self.mixed.extend(
            slots
                .clone()
                .zip(best)
                .zip(slopes)
                .map(|((slot, best), slopes)| Mixed {
                    slot,
                    best: best.base(),
                    first,
                    slopes,
                }),
        );
        Ok(slots.map(Slot::at).collect())
    }

    /// The figures at the best estimates.
    pub fn best<F: Formula>(&self, formula: &F) -> F::Figures<f64> {
        let mut values: Vec<f64> = self.causes.iter().map(|c| c.best).collect();
        for mixed in &self.mixed {
            values[mixed.slot] = mixed.best;
        }
        formula.at(&Point::of(&values))
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
        let (samplers, factors) = self.samplers();
        let mixed = self.mixed.clone();
        let width = names.len();
        let run = move |random: &mut Random, rows: &mut [f64]| {
            let mut drawn = Drawn::new(&samplers, &factors);
            let mut outside = 0;
            for rows in rows.chunks_mut(width * TOGETHER) {
                drawn.draw(random);
                mix(&mixed, &mut drawn.values);
                let values = drawn.values.as_flattened();
                for (row, figures) in rows.chunks_exact_mut(width).enumerate() {
                    let point = Point {
                        values,
                        stride: TOGETHER,
                        row,
                    };
                    outside += usize::from(!pick(&formula.at(&point), figures));
                }
            }
            outside
        };
        Simulation::new(names, Box::new(run))
    }

    /// A sampler for each cause, and what the doubt of those from the same few
    /// readings is to be widened by in common.
    fn samplers(&self) -> (Vec<Sampler>, Vec<Widening>) {
        let is_few = |c: &&Cause| c.u > 0.0 && c.dof.is_finite();
        let mut of: Vec<usize> = Vec::new();
        let mut factors = Vec::new();
        for cause in self.causes.iter().filter(is_few) {
            let sharing = self.causes.iter().filter(is_few);
            let sharing = sharing.filter(|c| c.readings == cause.readings).count();
            if sharing > 1 && !of.contains(&cause.readings) {
                of.push(cause.readings);
                factors.push(Widening::new(cause.dof));
            }
        }
        let samplers = self.causes.iter().map(|c| {
            match of.iter().position(|&r| r == c.readings && is_few(&c)) {
                Some(factor) => Sampler::Widened {
                    best: c.best,
                    u: c.u,
                    factor,
                },
                None => Sampler::new(c.best, c.u, c.dof, c.shape),
            }
        });
        (samplers.collect(), factors)
    }

    /// Runs a formula with the doubts of all inputs, to first order.
    pub fn propagate<'a, F: Formula>(&'a self, formula: &F) -> Propagated<'a, F> {
        let doubtful = self.doubtful().count();
        let mut values = Vec::with_capacity(self.causes.len());
        let runs = (0..doubtful.div_ceil(LANES).max(1))
            .map(|pass| {
                values.clear();
                values.extend(self.causes.iter().map(|cause| Linear::exact(cause.best)));
                // Behind all of them: a term is not read in a vector while it is
                // still on its way to memory.
                let mut lane = (pass * LANES).wrapping_neg();
                for (value, cause) in values.iter_mut().zip(&self.causes) {
                    if cause.u > 0.0 {
                        value.doubt(lane, cause.u);
                        lane = lane.wrapping_add(1);
                    }
                }
                // From the last: each is made of those before it.
                for mixed in self.mixed.iter().rev() {
                    let causes = &values[mixed.first..];
                    values[mixed.slot] = causes
                        .iter()
                        .zip(&mixed.slopes)
                        .map(|(&cause, &slope)| cause * Real::exact(slope))
                        .fold(Linear::exact(mixed.best), std::ops::Add::add);
                }
                formula.at(&Point::of(&values))
            })
            .collect();
        Propagated {
            inputs: self,
            doubtful,
            runs,
        }
    }

    /// The causes that bring doubt, in the order of their lanes.
    fn doubtful(&self) -> impl Iterator<Item = &Cause> {
        self.causes.iter().filter(|cause| cause.u > 0.0)
    }
}

/// Puts the inputs of groups into the places of their causes.
fn mix(mixed: &[Mixed], values: &mut [Column]) {
    // From the last: each is made of those before it.
    for mixed in mixed.iter().rev() {
        let mut sum = [mixed.best; TOGETHER];
        for (cause, slope) in values[mixed.first..].iter().zip(&mixed.slopes) {
            for (sum, x) in sum.iter_mut().zip(cause) {
                *sum += slope * x;
            }
        }
        values[mixed.slot] = sum;
    }
}

/// The lower triangle L with L Lᵀ = `covariance`, row by row; none when there
/// is no such triangle.
fn cholesky(size: usize, covariance: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let is_square = covariance.len() == size && covariance.iter().all(|row| row.len() == size);
    if !is_square {
        return None;
    }
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(size);
    for (i, line) in covariance.iter().enumerate() {
        let mut row = vec![0.0; i + 1];
        for j in 0..=i {
            let (a, b) = (line[j], covariance[j][i]);
            // A covariance worked out in floats is symmetric to its last bits.
            if (a - b).abs() > 1e-12 * a.abs().max(b.abs()) || !a.is_finite() {
                return None;
            }
            if i == j {
                let rest = a - row[..j].iter().map(|x| x * x).sum::<f64>();
                // What is left by rounding alone is nothing.
                let nothing = 1e-12 * a.abs();
                if rest < -nothing {
                    return None;
                }
                row[j] = if rest > nothing { rest.sqrt() } else { 0.0 };
            } else {
                let done: f64 = row[..j].iter().zip(&rows[j]).map(|(x, y)| x * y).sum();
                let pivot = rows[j][j];
                row[j] = if pivot > 0.0 { (a - done) / pivot } else { 0.0 };
            }
        }
        rows.push(row);
    }
    Some(rows)
}

/// A formula that has been run with the doubts of its inputs.
pub struct Propagated<'a, F: Formula> {
    inputs: &'a Inputs,
    doubtful: usize,
    runs: Vec<F::Figures<Linear<LANES>>>,
}

impl<F: Formula> Propagated<'_, F> {
    /// The estimate of one figure, picked from what the formula yields.
    pub fn estimate<S: Scalar>(
        &self,
        pick: impl Fn(&F::Figures<Linear<LANES>>) -> S::In<Linear<LANES>>,
    ) -> Estimate<S> {
        self.gather(self.runs.iter().map(|f| S::to_base(pick(f))))
    }

    /// The estimate of a figure that the formula may not yield.
    pub fn estimate_if<S: Scalar>(
        &self,
        pick: impl Fn(&F::Figures<Linear<LANES>>) -> Option<S::In<Linear<LANES>>>,
    ) -> Option<Estimate<S>> {
        let numbers: Option<Vec<_>> = self.runs.iter().map(|f| pick(f).map(S::to_base)).collect();
        numbers.map(|numbers| self.gather(numbers))
    }

    fn gather<S: Scalar>(&self, numbers: impl IntoIterator<Item = Linear<LANES>>) -> Estimate<S> {
        let mut best = f64::NAN;
        let mut terms = Vec::with_capacity(self.doubtful);
        let mut doubtful = self.inputs.doubtful();
        for number in numbers {
            // The same in each run.
            best = number.best();
            for (&contribution, cause) in number.terms().iter().zip(doubtful.by_ref()) {
                terms.push(Term {
                    input: cause.name.clone(),
                    contribution,
                    dof: cause.dof,
                    readings: cause.readings,
                });
            }
        }
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

    #[test]
    fn readings_that_go_together_keep_their_covariance() {
        let mut inputs = Inputs::new();
        let best = [Mass::of_base(1.0), Mass::of_base(2.0)];
        // Fully against each other: their sum has no doubt.
        let covariance = vec![vec![0.04, -0.04], vec![-0.04, 0.04]];
        let slots = inputs.add_group("pair", &best, &covariance, 4.0).unwrap();
        let total: Estimate<Mass> = inputs.propagate(&Total(slots.clone())).estimate(|m| *m);
        assert!((total.best().base() - 3.0).abs() < 1e-15);
        assert!(total.u() < 1e-15);
        let one: Estimate<Mass> = inputs.propagate(&Total(vec![slots[1]])).estimate(|m| *m);
        assert!((one.u() - 0.2).abs() < 1e-15);
        assert!((one.dof() - 4.0).abs() < 1e-12);
        assert_eq!(one.budget(), [("pair", 1.0)]);
    }

    #[test]
    fn what_is_no_covariance_is_refused() {
        let best = [Mass::of_base(1.0), Mass::of_base(2.0)];
        for wrong in [
            vec![vec![1.0, 2.0], vec![2.0, 1.0]],
            vec![vec![1.0, 0.1], vec![0.2, 1.0]],
            vec![vec![1.0]],
            vec![vec![-1.0, 0.0], vec![0.0, 1.0]],
        ] {
            let error = Inputs::new()
                .add_group("pair", &best, &wrong, 4.0)
                .unwrap_err();
            assert_eq!(
                error.to_string(),
                "the covariance of pair is not that of any readings"
            );
        }
    }
}
