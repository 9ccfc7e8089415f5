//! Monte Carlo: the same formula, run on draws of its inputs.
//!
//! Source: JCGM 101:2008 (Supplement 1 to the Guide to the expression of
//! uncertainty in measurement).
//!
//! # Why blocks?
//!
//! Each block of [`BLOCK`] draws has a stream of its own, 2¹²⁸ numbers from the
//! next, and writes to its own place. The digits are the same for any number
//! of cores, and this crate needs no threads.
//!
//! # Why keep draws outside a formula's range?
//!
//! A wide doubt about a small moisture draws some below zero. To leave them out
//! would shift the mean; they are kept, and their share is said.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;

use super::coverage::{COVERAGE_95, coverage_95};
use super::shape::Sampler;

/// How many draws share one stream of random numbers.
pub const BLOCK: usize = 1 << 14;

/// The beginning of one block's random numbers.
#[derive(Clone, Debug)]
pub struct Stream(Xoshiro256PlusPlus);

/// The streams of a seed, one a block: Xoshiro256++ of `seed_from_u64`, each a
/// jump of 2¹²⁸ behind the one before.
pub fn streams(seed: u64) -> impl Iterator<Item = Stream> {
    let mut next = Xoshiro256PlusPlus::seed_from_u64(seed);
    std::iter::repeat_with(move || {
        let stream = Stream(next.clone());
        next.jump();
        stream
    })
}

type Run = dyn Fn(&[Sampler], &mut Xoshiro256PlusPlus, &mut [f64]) -> usize + Send + Sync;

/// A formula ready to be run on draws.
///
/// Figures stand side by side: a draw is one row of [`names`](Self::names).
pub struct Simulation {
    samplers: Vec<Sampler>,
    names: &'static [&'static str],
    run: Box<Run>,
}

impl Simulation {
    pub(super) fn new(
        samplers: Vec<Sampler>,
        names: &'static [&'static str],
        run: Box<Run>,
    ) -> Self {
        Self {
            samplers,
            names,
            run,
        }
    }

    /// What the figures are, in the order of a row.
    pub const fn names(&self) -> &'static [&'static str] {
        self.names
    }

    /// Fills rows with the draws of one block, at most [`BLOCK`] rows, and says
    /// how many of them were outside the formula's range.
    pub fn fill(&self, stream: Stream, rows: &mut [f64]) -> usize {
        let mut random = stream.0;
        (self.run)(&self.samplers, &mut random, rows)
    }

    /// All draws of a seed on this core: a column for each figure, and how many
    /// draws were outside the formula's range.
    pub fn columns(&self, draws: usize, seed: u64) -> (Vec<Vec<f64>>, usize) {
        let mut rows = vec![0.0; draws * self.names.len()];
        let mut outside = 0;
        let blocks = rows.chunks_mut(BLOCK * self.names.len());
        for (stream, block) in streams(seed).zip(blocks) {
            outside += self.fill(stream, block);
        }
        (self.split(&rows), outside)
    }

    /// Rows as a column for each figure.
    pub fn split(&self, rows: &[f64]) -> Vec<Vec<f64>> {
        let width = self.names.len();
        (0..width)
            .map(|figure| rows.iter().skip(figure).step_by(width).copied().collect())
            .collect()
    }
}

/// What the draws of one figure say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// How many draws are finite numbers.
    pub count: usize,
    /// The mean.
    pub mean: f64,
    /// The standard deviation.
    pub u: f64,
    /// The shortest interval that holds 95 % of the draws.
    pub shortest_95: (f64, f64),
    /// How many draws are no finite number; they are left out of the others.
    pub not_finite: usize,
}

impl Spread {
    /// Sums up the draws of one figure; not a number when none is finite. The
    /// draws are left in another order.
    pub fn of(draws: &mut Vec<f64>) -> Self {
        let all = draws.len();
        draws.retain(|x| x.is_finite());
        let count = draws.len() as f64;
        let mean = draws.iter().sum::<f64>() / count;
        let squares: f64 = draws.iter().map(|x| (x - mean).powi(2)).sum();
        Self {
            count: draws.len(),
            mean,
            u: (squares / (count - 1.0)).sqrt(),
            shortest_95: shortest_95(draws),
            not_finite: all - draws.len(),
        }
    }

    /// Whether first order is good enough: both ends of its 95 % interval lie
    /// within δ of the shortest interval of the draws, δ half a unit of the
    /// first significant figure of u.
    ///
    /// n draws leave these ends open by about 1.2 s n^(−1/3) (k = 1), s the
    /// half-width of the interval over 1.96: the ends of a shortest interval
    /// settle with the cube root of their number (Kim J. and Pollard D., Cube
    /// root asymptotics, Annals of Statistics 18 (1990) 191–219; from memory),
    /// and 1.2 is what normal draws show. What is within four times that is no
    /// verdict.
    ///
    /// Source: JCGM 101:2008, 8.1, with one significant figure; that the noise
    /// of the draws must be small beside δ is its 7.9.
    pub fn confirms(&self, best: f64, u: f64, dof: f64) -> Verdict {
        if u == 0.0 {
            return if self.u == 0.0 {
                Verdict::Holds
            } else {
                Verdict::Fails
            };
        }
        let half = coverage_95(dof) * u;
        let delta = 0.5 * 10_f64.powf(u.log10().floor());
        let (low, high) = self.shortest_95;
        // Few readings leave the draws without a standard deviation, and never
        // without an interval.
        let s = (high - low) / (2.0 * COVERAGE_95);
        let noise = 1.2 * s / (self.count as f64).cbrt();
        let off = (best - half - low).abs().max((best + half - high).abs());
        if off <= delta && noise <= delta {
            Verdict::Holds
        } else if off > delta + 4.0 * noise {
            Verdict::Fails
        } else {
            Verdict::Open
        }
    }
}

/// What a Monte Carlo run says of the first-order interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is good enough.
    Holds,
    /// It is not.
    Fails,
    /// The draws are too few to tell.
    Open,
}

/// The shortest interval [y(r), y(r + q)] of the ordered draws that holds 95 %
/// of them: q = ⌊0.95 M + ½⌋ (JCGM 101:2008, 7.7.4). Only the two tails are put
/// in order.
fn shortest_95(draws: &mut [f64]) -> (f64, f64) {
    let count = draws.len();
    let held = (19 * count + 10) / 20;
    let tail = count - held;
    if tail == 0 {
        let ends = draws
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &x| {
                (low.min(x), high.max(x))
            });
        return if count == 0 {
            (f64::NAN, f64::NAN)
        } else {
            ends
        };
    }
    draws.select_nth_unstable_by(tail - 1, f64::total_cmp);
    let (lower, rest) = draws.split_at_mut(tail);
    lower.sort_unstable_by(f64::total_cmp);
    let from = held - tail;
    rest.select_nth_unstable_by(from, f64::total_cmp);
    let upper = &mut rest[from..];
    upper.sort_unstable_by(f64::total_cmp);
    lower
        .iter()
        .zip(upper.iter())
        .map(|(&low, &high)| (low, high))
        .min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        .unwrap_or((f64::NAN, f64::NAN))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::rand_core::Rng;

    #[test]
    fn the_streams_are_the_published_generator() {
        // Golden values of Xoshiro256++ of rand_xoshiro 0.8 for seed 42: the
        // first number, and the first after a jump.
        let mut streams = streams(42);
        let mut first = || streams.next().unwrap().0.next_u64();
        assert_eq!(first(), 15_021_278_609_987_233_951);
        assert_eq!(first(), 13_886_555_598_616_206_053);
    }

    #[test]
    fn the_shortest_interval_is_found_by_brute_force() {
        // A skewed lot of a prime number of draws, in no order.
        let mut draws: Vec<f64> = (0..997_u32)
            .map(|i| (f64::from(i * 541 % 997) / 997.0).powi(3))
            .collect();
        let mut sorted = draws.clone();
        sorted.sort_by(f64::total_cmp);
        // ⌊0.95 · 997 + ½⌋ by hand.
        let held = 947;
        let brute = (0..997 - held)
            .map(|r| (sorted[r], sorted[r + held]))
            .min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
            .unwrap();
        assert_eq!(shortest_95(&mut draws), brute);
    }

    #[test]
    fn noise_alone_is_no_verdict() {
        // A spread as a normal figure of u = 1 has, its ends off by 0.6 each;
        // δ of u = 1 is 0.5. A thousand draws leave 0.12 open, a million 0.012.
        let verdict = |count: usize, end: f64| {
            let spread = Spread {
                count,
                mean: 0.0,
                u: 1.0,
                shortest_95: (-end, end),
                not_finite: 0,
            };
            spread.confirms(0.0, 1.0, f64::INFINITY)
        };
        assert_eq!(verdict(1_000_000, 2.56), Verdict::Fails);
        assert_eq!(verdict(1_000, 2.56), Verdict::Open);
        assert_eq!(verdict(1_000, 2.0), Verdict::Holds);
        // Two draws say nothing, whatever they show.
        assert_eq!(verdict(2, 2.0), Verdict::Open);
    }

    #[test]
    fn the_noise_of_the_ends_is_about_the_cube_root() {
        // Sixty-four runs of 4000 normal draws: how the lower ends of their
        // shortest intervals scatter.
        let sampler = Sampler::new(0.0, 1.0, f64::INFINITY, crate::measure::Shape::Normal);
        let ends: Vec<f64> = streams(5)
            .take(64)
            .map(|stream| {
                let mut random = stream.0;
                let mut draws: Vec<f64> = (0..4000).map(|_| sampler.sample(&mut random)).collect();
                shortest_95(&mut draws).0
            })
            .collect();
        let centre = ends.iter().sum::<f64>() / 64.0;
        let squares: f64 = ends.iter().map(|end| (end - centre).powi(2)).sum();
        let (seen, said) = ((squares / 63.0).sqrt(), 1.2 / 4000_f64.cbrt());
        // A standard deviation of 64 is known to 9 %: three of these.
        assert!((seen / said - 1.0).abs() < 0.27, "{said} {seen}");
    }

    #[test]
    fn what_is_no_number_is_counted_and_left_out() {
        let mut draws = vec![1.0, f64::NAN, 3.0, f64::INFINITY];
        let spread = Spread::of(&mut draws);
        assert_eq!(spread.not_finite, 2);
        assert_eq!(spread.mean, 2.0);
        assert_eq!(spread.shortest_95, (1.0, 3.0));
    }
}
