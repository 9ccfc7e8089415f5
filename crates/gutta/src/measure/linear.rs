//! A number with its slope to each doubtful input.

use std::cmp::Ordering;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Rem, Sub};

use num_traits::{Num, One, Signed, Zero};
use uom::{Conversion, ConversionFactor};

use super::Real;

/// A best estimate and `N` terms: the slope to an independent input times the
/// standard uncertainty (k = 1) of that input.
///
/// Arithmetic is first-order propagation (JCGM 100:2008, 5.1.2): values are
/// computed as `f64` computes them, terms by the chain rule. Since the terms
/// keep their sign and their place, correlation through a shared input is
/// exact: `m − m` has no doubt.
///
/// It is `Copy` and allocates nothing. It counts as equal or ordered by its
/// best estimate alone.
///
/// ```
/// use gutta::measure::Linear;
/// let m = Linear::<2>::input(10.0, 0.1, 0);
/// let n = Linear::<2>::input(10.0, 0.1, 1);
/// assert_eq!((m - m).variance(), 0.0);
/// assert!(((m - n).variance() - 0.02).abs() < 1e-15);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Linear<const N: usize> {
    best: f64,
    terms: [f64; N],
}

impl<const N: usize> Linear<N> {
    /// The input in lane `lane` with its standard uncertainty `u` (k = 1), in
    /// the unit of `best`. A lane beyond `N` makes it an exact number.
    pub fn input(best: f64, u: f64, lane: usize) -> Self {
        let mut input = Self::exact(best);
        input.doubt(lane, u);
        input
    }

    /// Puts the standard uncertainty of an input into its lane, if there is one.
    #[inline]
    pub(super) fn doubt(&mut self, lane: usize, u: f64) {
        if let Some(term) = self.terms.get_mut(lane) {
            *term = u;
        }
    }

    /// Slope times standard uncertainty, a term for each input.
    pub const fn terms(&self) -> &[f64; N] {
        &self.terms
    }

    /// The squared standard uncertainty: the terms are independent.
    pub fn variance(&self) -> f64 {
        self.terms.iter().map(|t| t * t).sum()
    }

    /// A value with the terms scaled by its slope to this number.
    #[inline]
    fn chain(self, best: f64, slope: f64) -> Self {
        Self {
            best,
            terms: self.terms.map(|t| t * slope),
        }
    }

    /// A value of two numbers with its slope to each.
    #[inline]
    fn chain2(self, other: Self, best: f64, slope: f64, other_slope: f64) -> Self {
        let terms = if N > IN_PLACE {
            summed_apart(&self.terms, &other.terms, slope, other_slope)
        } else {
            summed(&self.terms, &other.terms, slope, other_slope)
        };
        Self { best, terms }
    }
}

/// How many terms are worked out where they stand in a formula, and may be widened
/// with a loop around it.
const IN_PLACE: usize = 4;

/// The terms of a value of two numbers.
#[inline(always)]
fn summed<const N: usize>(
    terms: &[f64; N],
    others: &[f64; N],
    slope: f64,
    other_slope: f64,
) -> [f64; N] {
    let mut out = [0.0; N];
    for ((out, term), other) in out.iter_mut().zip(terms).zip(others) {
        let (a, b) = (term * slope, other * other_slope);
        let sum = a + b;
        // What two equal terms leave by rounding alone is nothing: it would
        // pass for a doubt.
        let is_nothing = sum.abs() <= RESIDUE * a.abs();
        *out = if is_nothing { 0.0 } else { sum };
    }
    out
}

/// The same, once for all formulas: a formula with so many terms at each of its steps
/// would be large, and no faster.
#[inline(never)]
fn summed_apart<const N: usize>(
    terms: &[f64; N],
    others: &[f64; N],
    slope: f64,
    other_slope: f64,
) -> [f64; N] {
    summed(terms, others, slope, other_slope)
}

/// What two terms that cancel may leave of either, by the roundings of a
/// formula on the way to them.
const RESIDUE: f64 = 1e-14;

impl<const N: usize> Real for Linear<N> {
    #[inline]
    fn exact(x: f64) -> Self {
        Self {
            best: x,
            terms: [0.0; N],
        }
    }

    #[inline]
    fn best(self) -> f64 {
        self.best
    }

    #[inline]
    fn exp(self) -> Self {
        let e = self.best.exp();
        self.chain(e, e)
    }

    #[inline]
    fn ln(self) -> Self {
        self.chain(self.best.ln(), self.best.recip())
    }

    #[inline]
    fn powf(self, exponent: f64) -> Self {
        self.chain(
            self.best.powf(exponent),
            exponent * self.best.powf(exponent - 1.0),
        )
    }
}

impl<const N: usize> PartialEq for Linear<N> {
    fn eq(&self, other: &Self) -> bool {
        self.best == other.best
    }
}

impl<const N: usize> PartialOrd for Linear<N> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        self.best.partial_cmp(&other.best)
    }
}

impl<const N: usize> Add for Linear<N> {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        self.chain2(other, self.best + other.best, 1.0, 1.0)
    }
}

impl<const N: usize> Sub for Linear<N> {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self.chain2(other, self.best - other.best, 1.0, -1.0)
    }
}

impl<const N: usize> Mul for Linear<N> {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        self.chain2(other, self.best * other.best, other.best, self.best)
    }
}

impl<const N: usize> Div for Linear<N> {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        let best = self.best / other.best;
        self.chain2(other, best, other.best.recip(), -best / other.best)
    }
}

impl<const N: usize> Rem for Linear<N> {
    type Output = Self;
    #[inline]
    fn rem(self, other: Self) -> Self {
        let whole = (self.best / other.best).trunc();
        self.chain2(other, self.best % other.best, 1.0, -whole)
    }
}

impl<const N: usize> Neg for Linear<N> {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        self.chain(-self.best, -1.0)
    }
}

impl<const N: usize> AddAssign for Linear<N> {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> Sum for Linear<N> {
    fn sum<I: Iterator<Item = Self>>(numbers: I) -> Self {
        numbers.fold(Self::zero(), Add::add)
    }
}

impl<const N: usize> Zero for Linear<N> {
    fn zero() -> Self {
        Self::exact(0.0)
    }

    fn is_zero(&self) -> bool {
        self.best == 0.0
    }
}

impl<const N: usize> One for Linear<N> {
    fn one() -> Self {
        Self::exact(1.0)
    }
}

impl<const N: usize> Num for Linear<N> {
    type FromStrRadixErr = <f64 as Num>::FromStrRadixErr;

    fn from_str_radix(text: &str, radix: u32) -> Result<Self, Self::FromStrRadixErr> {
        f64::from_str_radix(text, radix).map(Self::exact)
    }
}

impl<const N: usize> Signed for Linear<N> {
    fn abs(&self) -> Self {
        self.chain(self.best.abs(), self.best.signum())
    }

    fn abs_sub(&self, other: &Self) -> Self {
        if self.best <= other.best {
            Self::zero()
        } else {
            *self - *other
        }
    }

    fn signum(&self) -> Self {
        Self::exact(self.best.signum())
    }

    fn is_positive(&self) -> bool {
        self.best > 0.0
    }

    fn is_negative(&self) -> bool {
        self.best < 0.0
    }
}

// What uom asks of a stored number. Quantities of `Linear` are made from base
// units only, so that no factor but one is ever used.

impl<const N: usize> Conversion<Self> for Linear<N> {
    type T = Self;

    fn conversion(&self) -> Self {
        *self
    }
}

impl<const N: usize> ConversionFactor<Self> for Linear<N> {
    fn powi(self, e: i32) -> Self {
        self.chain(
            self.best.powi(e),
            f64::from(e) * self.best.powi(e.saturating_sub(1)),
        )
    }

    fn value(self) -> Self {
        self
    }
}

macro_rules! base_units {
    ($($quantity:ident::$unit:ident),+ $(,)?) => {$(
        impl<const N: usize> Conversion<Linear<N>> for uom::si::$quantity::$unit {
            type T = Linear<N>;
        }
    )+};
}

base_units!(
    length::meter,
    mass::kilogram,
    time::second,
    electric_current::ampere,
    thermodynamic_temperature::kelvin,
    amount_of_substance::mole,
    luminous_intensity::candela,
);
