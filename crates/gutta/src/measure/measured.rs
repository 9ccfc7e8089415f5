//! A value with its standard uncertainty, before a formula and after it.

use std::borrow::Cow;

use super::coverage::{COVERAGE_95, coverage_95, effective_dof};
use super::{Linear, Real, Scalar, Shape};

/// A value with its standard uncertainty u (k = 1) and degrees of freedom.
///
/// The uncertainty is kept in SI base units; for a temperature it is in
/// kelvin. An exact value has u = 0.
///
/// ```
/// use gutta::measure::{Mass, Measured};
/// use uom::si::mass::gram;
/// // ±0.2 g at 95 %.
/// let leaf = Measured::with_half_width(Mass::new::<gram>(10.0), 0.2e-3);
/// assert!((leaf.u() - 0.2e-3 / 1.959964).abs() < 1e-10);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured<S> {
    value: S,
    u: f64,
    dof: f64,
    shape: Shape,
}

impl<S: Scalar> Measured<S> {
    /// A value taken as exact.
    pub const fn exact(value: S) -> Self {
        Self::new(value, 0.0, f64::INFINITY)
    }

    /// A value with standard uncertainty `u` (k = 1, SI base units, not
    /// negative) and `dof` degrees of freedom (infinite for a judged doubt).
    pub const fn new(value: S, u: f64, dof: f64) -> Self {
        Self {
            value,
            u,
            dof,
            shape: Shape::Normal,
        }
    }

    /// A value that may be anywhere within `half_width` of the middle, in SI
    /// base units: u = half-width/√3.
    pub fn rectangular(middle: S, half_width: f64) -> Self {
        Self::new(middle, half_width / 3.0_f64.sqrt(), f64::INFINITY).with_shape(Shape::Rectangular)
    }

    /// A value between `low` and `high` that is likeliest at `mode`, in SI base
    /// units: the mean is the best value.
    pub fn triangular(low: f64, mode: f64, high: f64) -> Self {
        let (width, peak) = (high - low, (mode - low) / (high - low));
        let variance = width * width * (1.0 - peak + peak * peak) / 18.0;
        let mean = S::of_base((low + mode + high) / 3.0);
        Self::new(mean, variance.sqrt(), f64::INFINITY).with_shape(Shape::Triangular(peak))
    }

    /// The same value and u with another distribution.
    #[must_use]
    pub const fn with_shape(mut self, shape: Shape) -> Self {
        self.shape = shape;
        self
    }

    /// A value with the half-width of its 95 % normal interval, in SI base
    /// units: u = half-width / 1.959964.
    pub const fn with_half_width(value: S, half_width: f64) -> Self {
        Self::new(value, half_width / COVERAGE_95, f64::INFINITY)
    }

    /// The best estimate.
    pub const fn value(&self) -> S {
        self.value
    }

    /// The standard uncertainty (k = 1) in SI base units.
    pub const fn u(&self) -> f64 {
        self.u
    }

    /// The degrees of freedom, infinite unless u comes from few readings.
    pub const fn dof(&self) -> f64 {
        self.dof
    }

    /// How it is spread about the best value. With few degrees of freedom it
    /// is Student's t, whatever the shape.
    pub const fn shape(&self) -> Shape {
        self.shape
    }

    /// Whether the value carries no doubt.
    pub fn is_exact(&self) -> bool {
        self.u == 0.0
    }

    /// The half-width of the 95 % interval in SI base units, by Student t.
    pub fn half_width_95(&self) -> f64 {
        coverage_95(self.dof) * self.u
    }

    /// This value as an estimate with one term, under the name of its input.
    pub fn estimate(&self, input: &str) -> Estimate<S> {
        let terms = if self.is_exact() {
            Vec::new()
        } else {
            vec![Term {
                input: Cow::Owned(input.to_owned()),
                contribution: self.u,
                dof: self.dof,
                readings: 0,
            }]
        };
        Estimate::new(self.value, terms)
    }

    /// This value put through a formula of one number, its doubt along with it
    /// to first order.
    #[must_use]
    pub fn through<T: Scalar>(
        &self,
        formula: impl Fn(S::In<Linear<1>>) -> T::In<Linear<1>>,
    ) -> Measured<T> {
        let input = Linear::input(self.value.base(), self.u, 0);
        let outcome = T::to_base(formula(S::from_base(input)));
        Measured::new(
            T::of_base(outcome.best()),
            outcome.variance().sqrt(),
            self.dof,
        )
        .with_shape(self.shape)
    }
}

/// One independent input's part in the doubt of an estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The name of the input.
    pub input: Cow<'static, str>,
    /// Slope times standard uncertainty of the input, in the estimate's SI
    /// base unit, with its sign.
    pub contribution: f64,
    /// The input's degrees of freedom.
    pub dof: f64,
    /// Which readings u is from: terms of one number share their degrees of
    /// freedom.
    pub readings: usize,
}

/// The outcome of a formula: best estimate and the doubt each input brings.
///
/// ```
/// use gutta::measure::{Mass, Measured};
/// use uom::si::mass::gram;
/// let leaf = Measured::with_half_width(Mass::new::<gram>(10.0), 0.2e-3);
/// let estimate = leaf.estimate("leaf");
/// assert_eq!(estimate.budget(), [("leaf", 1.0)]);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate<S> {
    best: S,
    terms: Vec<Term>,
}

impl<S: Scalar> Estimate<S> {
    /// An estimate with its terms, one for each independent doubtful input.
    pub const fn new(best: S, terms: Vec<Term>) -> Self {
        Self { best, terms }
    }

    /// An estimate without doubt.
    pub const fn exact(best: S) -> Self {
        Self::new(best, Vec::new())
    }

    /// The same with the other sign, its doubt along with it.
    #[must_use]
    pub fn negated(&self) -> Self {
        let mut terms = self.terms.clone();
        for term in &mut terms {
            term.contribution = -term.contribution;
        }
        Self::new(S::of_base(-self.best.base()), terms)
    }

    /// The best estimate.
    pub const fn best(&self) -> S {
        self.best
    }

    /// The terms, one for each independent doubtful input.
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// The standard uncertainty (k = 1) in SI base units.
    pub fn u(&self) -> f64 {
        self.variance().sqrt()
    }

    fn variance(&self) -> f64 {
        // From a plain zero: a sum of nothing would be a negative one.
        self.terms
            .iter()
            .fold(0.0, |sum, t| sum + t.contribution.powi(2))
    }

    /// Effective degrees of freedom (Welch–Satterthwaite over independent
    /// sources), infinite when no input is short of readings. Terms from the
    /// same few readings are one source.
    pub fn dof(&self) -> f64 {
        let mut sources: Vec<(usize, f64, f64)> = Vec::new();
        for term in &self.terms {
            let square = term.contribution.powi(2);
            match sources
                .iter_mut()
                .find(|(readings, _, dof)| *readings == term.readings && dof.is_finite())
            {
                Some((_, sum, _)) if term.dof.is_finite() => *sum += square,
                _ => sources.push((term.readings, square, term.dof)),
            }
        }
        effective_dof(sources.into_iter().map(|(_, sum, dof)| (sum.sqrt(), dof)))
    }

    /// The fewest degrees of freedom of any input that counts: with two or fewer
    /// the draws of a Monte Carlo run have no standard deviation, with one no
    /// mean. Infinite without doubt.
    pub fn least_dof(&self) -> f64 {
        let counting = self.terms.iter().filter(|t| t.contribution != 0.0);
        counting.map(|t| t.dof).fold(f64::INFINITY, f64::min)
    }

    /// The estimate as an input to another formula. Its correlation with
    /// other estimates from the same inputs is lost.
    pub fn measured(&self) -> Measured<S> {
        Measured::new(self.best, self.u(), self.dof())
    }

    /// The budget: each input's share of the variance, the largest first;
    /// inputs of one name together.
    /// The shares sum to one; without doubt there are none.
    pub fn budget(&self) -> Vec<(&str, f64)> {
        let variance = self.variance();
        if variance == 0.0 {
            return Vec::new();
        }
        let mut shares: Vec<(&str, f64)> = Vec::with_capacity(self.terms.len());
        for term in self.terms.iter().filter(|t| t.contribution != 0.0) {
            let share = term.contribution.powi(2) / variance;
            match shares.iter_mut().find(|(name, _)| *name == term.input) {
                Some((_, sum)) => *sum += share,
                None => shares.push((&term.input, share)),
            }
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1));
        shares
    }
}
