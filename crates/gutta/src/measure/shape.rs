//! How a doubtful input is spread about its best value.

use std::f64::consts::TAU;

use rand_distr::{ChiSquared, Distribution, StandardNormal, StudentT};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::Rng;

/// The distribution of a doubtful input, its mean and standard deviation being
/// the best value and u.
///
/// Source: JCGM 101:2008, table 1, for what is assigned when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Normal: a typed ±, and a sum of many small causes.
    Normal,
    /// Rectangular: a range, or the rounding of one reading; the half-width is
    /// √3 u.
    Rectangular,
    /// Triangular, its peak at this fraction of the width, 0 to 1: at ½ it is
    /// the difference of two rounded readings.
    Triangular(f64),
    /// Arcsine: something that swings to and fro; the half-width is √2 u.
    Arcsine,
}

/// Draws one input.
#[derive(Clone, Copy, Debug)]
pub(super) enum Sampler {
    Exact(f64),
    Normal {
        best: f64,
        u: f64,
    },
    Rectangular {
        low: f64,
        width: f64,
    },
    Triangular {
        low: f64,
        width: f64,
        peak: f64,
    },
    Arcsine {
        best: f64,
        half: f64,
    },
    Student {
        best: f64,
        u: f64,
        t: StudentT<f64>,
    },
    /// Student's t with others from the same readings: normal, its u widened
    /// by the factor that all of them have in common.
    Widened {
        best: f64,
        u: f64,
        factor: usize,
    },
}

/// What few readings widen a doubt by: √(ν/χ²) is drawn, which makes Student's
/// t of a normal draw.
#[derive(Clone, Copy, Debug)]
pub(super) struct Widening {
    dof: f64,
    chi_squared: Option<ChiSquared<f64>>,
}

impl Widening {
    pub fn new(dof: f64) -> Self {
        Self {
            dof,
            chi_squared: ChiSquared::new(dof).ok(),
        }
    }

    #[inline]
    pub fn sample(&self, random: &mut Xoshiro256PlusPlus) -> f64 {
        self.chi_squared
            .map_or(1.0, |chi| (self.dof / chi.sample(random)).sqrt())
    }
}

impl Sampler {
    /// The sampler of an input. Few readings make it Student's t (JCGM
    /// 101:2008, 6.4.9), whatever the shape.
    pub fn new(best: f64, u: f64, dof: f64, shape: Shape) -> Self {
        if u == 0.0 {
            return Self::Exact(best);
        }
        if dof.is_finite() {
            return StudentT::new(dof).map_or(Self::Normal { best, u }, |t| Self::Student {
                best,
                u,
                t,
            });
        }
        match shape {
            Shape::Normal => Self::Normal { best, u },
            Shape::Rectangular => {
                let half = 3.0_f64.sqrt() * u;
                Self::Rectangular {
                    low: best - half,
                    width: 2.0 * half,
                }
            }
            Shape::Triangular(peak) => {
                // Variance w² (1 − k + k²)/18 and mean a + w (1 + k)/3.
                let width = u * (18.0 / (1.0 - peak + peak * peak)).sqrt();
                Self::Triangular {
                    low: best - width * (1.0 + peak) / 3.0,
                    width,
                    peak,
                }
            }
            Shape::Arcsine => Self::Arcsine {
                best,
                half: 2.0_f64.sqrt() * u,
            },
        }
    }

    #[inline]
    pub fn sample(&self, random: &mut Xoshiro256PlusPlus, widths: &[f64]) -> f64 {
        match *self {
            Self::Exact(best) => best,
            Self::Normal { best, u } => {
                let z: f64 = StandardNormal.sample(random);
                best + u * z
            }
            Self::Rectangular { low, width } => low + width * unit(random),
            Self::Triangular { low, width, peak } => {
                let p = unit(random);
                let x = if p < peak {
                    (p * peak).sqrt()
                } else {
                    1.0 - ((1.0 - p) * (1.0 - peak)).sqrt()
                };
                low + width * x
            }
            Self::Arcsine { best, half } => best + half * (TAU * unit(random)).sin(),
            Self::Student { best, u, t } => best + u * t.sample(random),
            Self::Widened { best, u, factor } => {
                let z: f64 = StandardNormal.sample(random);
                best + u * widths[factor] * z
            }
        }
    }
}

/// A number from 0 up to, and without, 1: the upper 53 bits.
#[inline]
fn unit(random: &mut Xoshiro256PlusPlus) -> f64 {
    const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
    (random.next_u64() >> 11) as f64 * STEP
}
