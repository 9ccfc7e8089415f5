//! How a doubtful input is spread about its best value.

use rand_distr::{ChiSquared, Distribution};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::curves::{growth, ln, sine, sine_and_cosine};
use super::stream::{Column, Random, TOGETHER};
use super::{Loops, widest};

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
        dof: f64,
    },
    /// Student's t with others from the same readings: normal, its u widened
    /// by the factor that all of them have in common.
    Widened {
        best: f64,
        u: f64,
        factor: usize,
    },
}

/// What several doubts from the same few readings are widened by: √(ν/χ²) is drawn,
/// which makes Student's t of each normal draw.
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

    /// How many columns of even draws one column takes.
    pub fn evens(&self) -> usize {
        match *self {
            Self::One | Self::Any { .. } => 0,
            Self::Whole { pairs, is_odd, .. } => pairs as usize + usize::from(is_odd),
        }
    }

    /// Fills a column with draws made of even ones, or else of numbers one by one.
    #[inline(always)]
    pub fn fill(&self, evens: &[Column], alone: &mut Xoshiro256PlusPlus, widths: &mut Column) {
        let dof = match *self {
            Self::One => return widths.fill(1.0),
            Self::Whole { dof, pairs, is_odd } => {
                widths.fill(1.0);
                for even in &evens[..pairs as usize] {
                    for (width, even) in widths.iter_mut().zip(even) {
                        *width *= even;
                    }
                }
                // A product of ten is above 1e-160.
                for width in widths.iter_mut() {
                    *width = -2.0 * ln(*width);
                }
                if is_odd {
                    let mut more = [0.0; TOGETHER];
                    normal(&evens[pairs as usize], &mut more);
                    for (width, more) in widths.iter_mut().zip(&more) {
                        *width += more * more;
                    }
                }
                dof
            }
            Self::Any { dof, chi_squared } => {
                for width in widths.iter_mut() {
                    *width = chi_squared.sample(alone);
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
            return Self::Student { best, u, dof };
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

    /// How many columns of even draws one column takes.
    pub fn evens(&self) -> usize {
        match self {
            Self::Exact(_) => 0,
            Self::Student { .. } => 2,
            _ => 1,
        }
    }

    /// Fills a column with draws made of even ones; `widths` are those of each factor
    /// for the same draws.
    #[inline(always)]
    pub fn fill(&self, evens: &[Column], widths: &[Column], values: &mut Column) {
        match *self {
            Self::Exact(best) => values.fill(best),
            Self::Normal { best, u } => {
                normal(&evens[0], values);
                for value in values {
                    *value = best + u * *value;
                }
            }
            Self::Rectangular { low, width } => {
                for (value, even) in values.iter_mut().zip(&evens[0]) {
                    *value = low + width * even;
                }
            }
            Self::Triangular { low, width, peak } => {
                for (value, &even) in values.iter_mut().zip(&evens[0]) {
                    // One root on either side of the peak. As products, since of a
                    // choice the compiler makes two roots.
                    let before = f64::from(u8::from(even < peak));
                    let behind = 1.0 - before;
                    let part = before * (even * peak) + behind * ((1.0 - even) * (1.0 - peak));
                    let root = part.sqrt();
                    *value = low + width * (before * root + behind * (1.0 - root));
                }
            }
            Self::Arcsine { best, half } => {
                for (value, even) in values.iter_mut().zip(&evens[0]) {
                    *value = best + half * sine(even - 0.5);
                }
            }
            Self::Student { best, u, dof } => {
                student(dof, &evens[0], &evens[1], values);
                for value in values {
                    *value = best + u * *value;
                }
            }
            Self::Widened { best, u, factor } => {
                normal(&evens[0], values);
                for (value, width) in values.iter_mut().zip(&widths[factor]) {
                    *value = best + u * width * *value;
                }
            }
        }
    }
}

/// The draws of all causes that are made together, and room for making them.
pub(super) struct Drawn<'a> {
    samplers: &'a [Sampler],
    factors: &'a [Widening],
    evens: Vec<Column>,
    widths: Vec<Column>,
    /// A column for each cause.
    pub values: Vec<Column>,
}

impl<'a> Drawn<'a> {
    pub fn new(samplers: &'a [Sampler], factors: &'a [Widening]) -> Self {
        let of_factors = factors.iter().map(Widening::evens);
        let evens: usize = of_factors.chain(samplers.iter().map(Sampler::evens)).sum();
        let room = |columns| vec![[0.0; TOGETHER]; columns];
        Self {
            samplers,
            factors,
            evens: room(evens),
            widths: room(factors.len()),
            values: room(samplers.len()),
        }
    }

    /// Makes the next of them.
    pub fn draw(&mut self, random: &mut Random) {
        widest(Drawing {
            drawn: self,
            random,
        });
    }
}

struct Drawing<'a, 'b> {
    drawn: &'a mut Drawn<'b>,
    random: &'a mut Random,
}

impl Loops for Drawing<'_, '_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        let (drawn, random) = (self.drawn, self.random);
        random.fill(&mut drawn.evens);
        let mut evens = &drawn.evens[..];
        for (widths, factor) in drawn.widths.iter_mut().zip(drawn.factors) {
            factor.fill(evens, &mut random.alone, widths);
            evens = &evens[factor.evens()..];
        }
        for (values, sampler) in drawn.values.iter_mut().zip(drawn.samplers) {
            sampler.fill(evens, &drawn.widths, values);
            evens = &evens[sampler.evens()..];
        }
    }
}

/// Fills a column with standard normal draws: r cos φ and r sin φ with r = √(−2 ln U)
/// and an even angle φ, U the first half of a column and φ the second.
///
/// Source: Box G. E. P. and Muller M. E., A note on the generation of random normal
/// deviates, Annals of Mathematical Statistics 29 (1958) 610–611 (from memory).
#[inline(always)]
fn normal(even: &Column, values: &mut Column) {
    let (radii, turns) = even.split_at(TOGETHER / 2);
    let (first, second) = values.split_at_mut(TOGETHER / 2);
    let pairs = first.iter_mut().zip(second);
    for ((first, second), (radius, turn)) in pairs.zip(radii.iter().zip(turns)) {
        let r = (-2.0 * ln(*radius)).sqrt();
        // Of half the angle, which goes from −π/2 to π/2, and of all of it.
        let (sin, cos) = sine_and_cosine(turn - 0.5);
        *first = r * (cos * cos - sin * sin);
        *second = r * (2.0 * sin * cos);
    }
}

/// Fills a column with draws of Student's t: √(ν (U^(−2/ν) − 1)) cos φ with an even
/// angle φ, for any number of degrees of freedom. It is what Box and Muller's normal
/// draws become when ν is finite.
///
/// Source: Bailey R. W., Polar generation of random variates with the t-distribution,
/// Mathematics of Computation 62 (1994) 779–781 (from memory).
#[inline(always)]
fn student(dof: f64, radii: &Column, turns: &Column, values: &mut Column) {
    let power = -2.0 / dof;
    // In two loops: in one, a draw would be too long a chain of steps for the next to
    // be begun beside it.
    for (value, radius) in values.iter_mut().zip(radii) {
        *value = (power * ln(*radius)).min(MOST_GROWTH);
    }
    for (value, turn) in values.iter_mut().zip(turns) {
        // The sine of a half turn has the same distribution as the cosine of a whole.
        *value = (dof * growth(*value)).sqrt() * sine(turn - 0.5);
    }
}

/// As far as [`growth`] goes: what a tenth of a degree of freedom draws beyond it has
/// no place among numbers.
const MOST_GROWTH: f64 = 700.0;

#[cfg(test)]
mod tests;
