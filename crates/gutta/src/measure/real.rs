//! The number that a formula is generic over.

use std::fmt::Debug;
use std::iter::Sum;
use std::ops::AddAssign;

use num_traits::Signed;
use uom::{Conversion, ConversionFactor};

/// A number that every formula of this library can be written in.
///
/// # Why generic numbers?
///
/// Each formula stands once. With `f64` it gives the answer; with
/// [`Linear`](super::Linear) the same lines give the slope to every doubtful
/// input, so that an uncertainty budget can never disagree with the formula it
/// is about.
///
/// # Why must formulas be total?
///
/// A refusal or a branch on a value has no slope. Checks are made on best
/// estimates before a formula is entered, decisions (how many drops) after it,
/// and go back in as exact numbers.
pub trait Real:
    Copy
    + Debug
    + PartialOrd
    + Signed
    + AddAssign
    + Sum
    + Conversion<Self>
    + ConversionFactor<Self>
    + 'static
{
    /// An exact number.
    fn exact(x: f64) -> Self;

    /// The best estimate, without its doubt.
    fn best(self) -> f64;

    /// e to the power of this number.
    #[must_use]
    fn exp(self) -> Self;

    /// The natural logarithm; not a number below zero.
    #[must_use]
    fn ln(self) -> Self;

    /// This number to an exact power.
    #[must_use]
    fn powf(self, exponent: f64) -> Self;
}

impl Real for f64 {
    #[inline]
    fn exact(x: f64) -> Self {
        x
    }

    #[inline]
    fn best(self) -> f64 {
        self
    }

    #[inline]
    fn exp(self) -> Self {
        Self::exp(self)
    }

    #[inline]
    fn ln(self) -> Self {
        Self::ln(self)
    }

    #[inline]
    fn powf(self, exponent: f64) -> Self {
        Self::powf(self, exponent)
    }
}
