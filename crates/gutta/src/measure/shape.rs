//! How a doubtful input is spread about its best value.

use std::f64::consts::TAU;

use rand_distr::{ChiSquared, Distribution, StandardNormal};
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
        chi: Widening,
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
///
/// χ² with two degrees of freedom is −2 ln of an even draw, and sums of χ² are χ²:
/// so are most of them drawn, by one logarithm of a product.
#[derive(Clone, Copy, Debug)]
pub(super) enum Widening {
    /// None at all.
    One,
    /// A whole number of degrees of freedom: so many pairs, and one more or not.
    Whole { dof: f64, pairs: u32, is_odd: bool },
    /// Any other number of them.
    Any {
        dof: f64,
        chi_squared: ChiSquared<f64>,
    },
}

/// The most degrees of freedom that are drawn pair by pair.
const MOST_PAIRED: f64 = 20.0;

impl Widening {
    pub fn new(dof: f64) -> Self {
        if dof.fract() == 0.0 && (1.0..=MOST_PAIRED).contains(&dof) {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a whole number up to 20"
            )]
            let whole = dof as u32;
            return Self::Whole {
                dof,
                pairs: whole / 2,
                is_odd: whole % 2 == 1,
            };
        }
        let chi_squared = ChiSquared::new(dof);
        chi_squared.map_or(Self::One, |chi_squared| Self::Any { dof, chi_squared })
    }

    /// Fills a column with draws.
    pub fn fill(&self, random: &mut Xoshiro256PlusPlus, widths: &mut [f64]) {
        let dof = match *self {
            Self::One => return widths.fill(1.0),
            Self::Whole { dof, pairs, is_odd } => {
                for width in widths.iter_mut() {
                    // Each above 0 and up to 1.
                    *width = (0..pairs).fold(1.0, |product, _| product * (1.0 - unit(random)));
                }
                for width in widths.iter_mut() {
                    *width = -2.0 * width.ln();
                }
                if is_odd {
                    for width in widths.iter_mut() {
                        *width += normal(random).powi(2);
                    }
                }
                dof
            }
            Self::Any { dof, chi_squared } => {
                for width in widths.iter_mut() {
                    *width = chi_squared.sample(random);
                }
                dof
            }
        };
        for width in widths {
            *width = (dof / *width).sqrt();
        }
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
            let chi = Widening::new(dof);
            return Self::Student { best, u, chi };
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

    /// Fills a column with draws; `widths` are those of each factor for the same
    /// draws.
    pub fn fill<const N: usize>(
        &self,
        random: &mut Xoshiro256PlusPlus,
        widths: &[[f64; N]],
        values: &mut [f64],
    ) {
        match *self {
            Self::Exact(best) => values.fill(best),
            Self::Normal { best, u } => {
                for value in values {
                    *value = best + u * normal(random);
                }
            }
            Self::Rectangular { low, width } => {
                for value in values {
                    *value = low + width * unit(random);
                }
            }
            Self::Triangular { low, width, peak } => {
                for value in values.iter_mut() {
                    *value = unit(random);
                }
                for value in values {
                    // One root on either side of the peak; both sides are worked out,
                    // since a branch would be guessed wrong every other time.
                    let p = *value;
                    let before = f64::from(u8::from(p < peak));
                    let behind = 1.0 - before;
                    let part = before * (p * peak) + behind * ((1.0 - p) * (1.0 - peak));
                    let root = part.sqrt();
                    *value = low + width * (before * root + behind * (1.0 - root));
                }
            }
            Self::Arcsine { best, half } => {
                for value in values {
                    *value = best + half * (TAU * unit(random)).sin();
                }
            }
            Self::Student { best, u, chi } => {
                chi.fill(random, values);
                for value in values {
                    *value = best + u * *value * normal(random);
                }
            }
            Self::Widened { best, u, factor } => {
                for (value, width) in values.iter_mut().zip(&widths[factor]) {
                    *value = best + u * width * normal(random);
                }
            }
        }
    }

    /// One draw.
    #[cfg(test)]
    pub fn sample(&self, random: &mut Xoshiro256PlusPlus) -> f64 {
        let mut value = [0.0];
        self.fill::<1>(random, &[], &mut value);
        value[0]
    }
}

#[inline]
fn normal(random: &mut Xoshiro256PlusPlus) -> f64 {
    StandardNormal.sample(random)
}

/// A number from 0 up to, and without, 1: the upper 53 bits.
#[inline]
fn unit(random: &mut Xoshiro256PlusPlus) -> f64 {
    const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
    (random.next_u64() >> 11) as f64 * STEP
}
