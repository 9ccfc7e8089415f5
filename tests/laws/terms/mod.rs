//! Every term of every figure, at any point: its slope, its share, its double.
//!
//! Each term of an estimate is slope times u. Moving the input by ±h and working
//! the answer out again gives the slope another way. The points are drawn, and
//! the ways of asking with them.

mod batches;
mod calibrating;
mod dosing;
mod leaf;
mod matter;
mod numbers;
mod roads;
mod watering;

use gutta::Estimate;
use gutta::bench::Drop;
use gutta::measure::{Density, DropMass, DropsPerVolume, Measured, Scalar, Term};
use proptest::prelude::*;

/// The step of a central difference, of the input's own size.
pub const STEP: f64 = 1e-5;

/// The curvature leaves h² times x² f‴/(6 f′), which is at most 5 here (the way
/// from volume to mass of spirit): 5e-10. Rounding leaves 2e-16/h, and up to a
/// hundred times that where what is moved is a hundredth of the sum it is in, or
/// a temperature, which is counted from 273 K: 2e-9.
pub const TOLERANCE: f64 = 1e-8;

/// A doubtful input of a question, in base units.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    pub name: &'static str,
    pub best: f64,
    pub u: f64,
}

impl Input {
    /// An input with its doubt as a share of it.
    pub const fn new(name: &'static str, best: f64, relative: f64) -> Self {
        Self {
            name,
            best,
            u: best * relative,
        }
    }

    pub fn measured<S: Scalar>(self) -> Measured<S> {
        Measured::new(S::of_base(self.best), self.u, f64::INFINITY)
    }
}

/// One figure of an answer.
#[derive(Debug)]
pub struct Figure {
    name: &'static str,
    best: f64,
    u: f64,
    terms: Vec<Term>,
}

/// An answer's figures, and what was decided on the way to them.
#[derive(Debug, Default)]
pub struct Answer {
    pub decided: Vec<f64>,
    figures: Vec<Figure>,
}

impl Answer {
    pub fn figure<S: Scalar>(&mut self, name: &'static str, estimate: &Estimate<S>) {
        self.figures.push(Figure {
            name,
            best: estimate.best().base(),
            u: estimate.u(),
            terms: estimate.terms().to_vec(),
        });
        // What an estimate says of its shares, held here for every figure.
        let shares: f64 = estimate.budget().iter().map(|(_, share)| share).sum();
        let expected = if estimate.u() > 0.0 { 1.0 } else { 0.0 };
        assert!((shares - expected).abs() < 1e-12, "{name}: {shares}");
    }

    /// The figure of a name.
    fn of(&self, name: &str) -> &Figure {
        let mut figures = self.figures.iter();
        let figure = figures.find(|figure| figure.name == name);
        figure.unwrap_or_else(|| panic!("no {name}"))
    }

    /// The best estimate of a figure.
    pub fn best(&self, name: &str) -> f64 {
        self.of(name).best
    }

    /// The term of an input in a figure.
    pub fn term(&self, name: &str, input: &str) -> f64 {
        term(self.of(name), input)
    }

    pub fn figure_if<S: Scalar>(&mut self, name: &'static str, estimate: Option<&Estimate<S>>) {
        if let Some(estimate) = estimate {
            self.figure(name, estimate);
        }
    }
}

/// The term of an input; an input without a term has none.
fn term(figure: &Figure, input: &str) -> f64 {
    let own = figure.terms.iter().filter(|term| term.input == input);
    own.map(|term| term.contribution).sum()
}

/// Holds every term against the central difference of its input.
pub fn hold_slopes(
    inputs: &[Input],
    answer: impl Fn(&[Input]) -> Answer,
) -> Result<(), TestCaseError> {
    let here = answer(inputs);
    prop_assert!(!here.figures.is_empty());
    for (i, input) in inputs.iter().enumerate() {
        let moved = |best: f64| {
            let mut inputs = inputs.to_vec();
            inputs[i].best = best;
            answer(&inputs)
        };
        let h = STEP * input.best;
        let (low, high) = (input.best - h, input.best + h);
        let (below, above) = (moved(low), moved(high));
        // Where a decision turns over there is no slope.
        prop_assume!(below.decided == here.decided && above.decided == here.decided);
        for ((figure, below), above) in here.figures.iter().zip(&below.figures).zip(&above.figures)
        {
            let slope = (above.best - below.best) / (high - low);
            let (got, want) = (term(figure, input.name), slope * input.u);
            // A slope that cancels is left with the rounding of the figure, and
            // a figure that cancels with that of its parts, as its doubt is.
            let size = want
                .abs()
                .max(figure.best.abs() * input.u / input.best)
                .max(figure.u);
            prop_assert!(
                (got - want).abs() <= TOLERANCE * size,
                "{}, {}: the term is {got}, the difference {want}",
                figure.name,
                input.name
            );
        }
    }
    // No term without an input: every doubt has been moved.
    for figure in &here.figures {
        for term in figure.terms.iter().filter(|term| term.contribution != 0.0) {
            prop_assert!(
                inputs.iter().any(|input| input.name == term.input),
                "{}: {} was not moved",
                figure.name,
                term.input
            );
        }
    }
    Ok(())
}

/// Doubling one doubt doubles its term, four times its square, and leaves every
/// other term as it was: exactly, since two is a power of two.
fn hold_doubles(
    inputs: &[Input],
    answer: impl Fn(&[Input]) -> Answer,
) -> Result<(), TestCaseError> {
    let here = answer(inputs);
    for (i, input) in inputs.iter().enumerate() {
        let mut doubled = inputs.to_vec();
        doubled[i].u *= 2.0;
        let doubled = answer(&doubled);
        for (was, is) in here.figures.iter().zip(&doubled.figures) {
            prop_assert_eq!(was.best, is.best);
            prop_assert_eq!(was.terms.len(), is.terms.len());
            for (before, after) in was.terms.iter().zip(&is.terms) {
                let factor = if before.input == input.name { 2.0 } else { 1.0 };
                prop_assert_eq!(
                    after.contribution,
                    factor * before.contribution,
                    "{}: {} when {} is doubled",
                    was.name,
                    before.input,
                    input.name
                );
            }
        }
    }
    Ok(())
}

pub fn hold(inputs: &[Input], answer: impl Fn(&[Input]) -> Answer) -> Result<(), TestCaseError> {
    hold_slopes(inputs, &answer)?;
    hold_doubles(inputs, &answer)
}

/// How a drop is known.
#[derive(Clone, Copy, Debug)]
pub enum Known {
    ByMass,
    ByVolume,
}

pub fn known() -> impl Strategy<Value = Known> {
    prop_oneof![Just(Known::ByMass), Just(Known::ByVolume)]
}

impl Known {
    /// A drop of about 20 to 60 mg as an input; its size is `size` of that.
    pub fn input(self, name: &'static str, size: f64) -> Input {
        match self {
            Self::ByMass => Input::new(name, (20.0 + 40.0 * size) * 1e-6, 0.01),
            Self::ByVolume => Input::new(name, (20.0 + 40.0 * size) * 1e-9, 0.02),
        }
    }

    pub fn drop(self, input: Input) -> Drop {
        match self {
            Self::ByMass => Drop::of_mass(input.measured::<DropMass>()),
            Self::ByVolume => {
                // 1/n is the volume, and u(V) = u(n)/n².
                let rate = DropsPerVolume::of_base(input.best.recip());
                let u = input.u / input.best.powi(2);
                let rate = Measured::new(rate, u, f64::INFINITY);
                Drop::of_rate(rate, Density::of_base(1000.0))
            }
        }
        .expect("a drop of a usual size")
    }
}

/// The numbers of a case, each from 0 to 1; a question stretches them.
pub fn numbers<const N: usize>() -> impl Strategy<Value = [f64; N]> {
    prop::array::uniform(0.0..1.0)
}

pub fn between(number: f64, low: f64, high: f64) -> f64 {
    low + number * (high - low)
}
