//! Monte Carlo: the same formula, run on draws of its inputs.
//!
//! Source: JCGM 101:2008 (Supplement 1 to the Guide to the expression of
//! uncertainty in measurement).
//!
//! # Why blocks?
//!
//! Each block of [`BLOCK`] draws has a stream of its own, which no other meets, and
//! writes to its own place. The digits are the same for any number
//! of cores, and this crate needs no threads.
//!
//! # Why keep draws outside a formula's range?
//!
//! A wide doubt about a small moisture draws some below zero. To leave them out
//! would shift the mean; they are kept, and their share is said.

use super::coverage::{COVERAGE_95, coverage_95};
use super::stream::{Random, Stream, streams};
use super::{Loops, widest};

/// How many draws share one stream of random numbers.
pub const BLOCK: usize = 1 << 14;

type Run = dyn Fn(&mut Random, &mut [f64]) -> usize + Send + Sync;

/// A formula ready to be run on draws.
///
/// Figures stand side by side: a draw is one row of [`names`](Self::names).
pub struct Simulation {
    names: &'static [&'static str],
    run: Box<Run>,
}

impl Simulation {
    pub(super) fn new(names: &'static [&'static str], run: Box<Run>) -> Self {
        Self { names, run }
    }

    /// What the figures are, in the order of a row.
    pub const fn names(&self) -> &'static [&'static str] {
        self.names
    }

    /// Fills rows with the draws of one block, at most [`BLOCK`] rows, and says
    /// how many of them were outside the formula's range.
    pub fn fill(&self, stream: Stream, rows: &mut [f64]) -> usize {
        (self.run)(&mut Random::new(stream), rows)
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
        (self.split(rows), outside)
    }

    /// Rows as a column for each figure.
    pub fn split(&self, rows: Vec<f64>) -> Vec<Vec<f64>> {
        let width = self.names.len();
        if width == 1 {
            return vec![rows];
        }
        (0..width)
            .map(|figure| rows.chunks_exact(width).map(|row| row[figure]).collect())
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
    /// Sums up the draws of one figure; not a number when none is finite. Draws that
    /// are not finite are taken out.
    pub fn of(draws: &mut Vec<f64>) -> Self {
        let all = draws.len();
        let mut sum = Sums::of(draws, 0.0).0;
        if !sum.is_finite() {
            draws.retain(|x| x.is_finite());
            sum = Sums::of(draws, 0.0).0;
        }
        let count = draws.len() as f64;
        let mean = sum / count;
        let squares = Sums::of(draws, mean).1;
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

/// Sums over draws, in lanes whose number is the same on every machine: so they can
/// be widened, and lose less than one long sum.
struct Sums<'a> {
    draws: &'a [f64],
    from: f64,
}

/// How many sums are kept side by side.
const SIDE_BY_SIDE: usize = 32;

impl<'a> Sums<'a> {
    /// Σ (x − from) and Σ (x − from)².
    fn of(draws: &'a [f64], from: f64) -> (f64, f64) {
        widest(Self { draws, from })
    }
}

impl Loops for Sums<'_> {
    type Output = (f64, f64);

    #[inline(always)]
    fn run(self) -> (f64, f64) {
        let mut sums = [0.0; SIDE_BY_SIDE];
        let mut squares = [0.0; SIDE_BY_SIDE];
        let (whole, rest) = self.draws.as_chunks::<SIDE_BY_SIDE>();
        for lanes in whole {
            for ((sum, square), x) in sums.iter_mut().zip(&mut squares).zip(lanes) {
                let off = x - self.from;
                *sum += off;
                *square += off * off;
            }
        }
        for ((sum, square), x) in sums.iter_mut().zip(&mut squares).zip(rest) {
            let off = x - self.from;
            *sum += off;
            *square += off * off;
        }
        (sums.iter().sum(), squares.iter().sum())
    }
}

/// The shortest interval [y(r), y(r + q)] of the ordered draws that holds 95 % of
/// them: q = ⌊0.95 M + ½⌋ (JCGM 101:2008, 7.7.4). Only the two tails are put in
/// order.
fn shortest_95(draws: &[f64]) -> (f64, f64) {
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
    let (mut lower, mut upper) = far_out(draws, tail);
    lower.select_nth_unstable_by(tail - 1, f64::total_cmp);
    lower.truncate(tail);
    lower.sort_unstable_by(f64::total_cmp);
    let from = upper.len() - tail;
    upper.select_nth_unstable_by(from, f64::total_cmp);
    let upper = &mut upper[from..];
    upper.sort_unstable_by(f64::total_cmp);
    lower
        .iter()
        .zip(upper.iter())
        .map(|(&low, &high)| (low, high))
        .min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        .unwrap_or((f64::NAN, f64::NAN))
}

/// How many draws show roughly where the tails begin.
const SHOWN: usize = 4096;

/// The draws that lie low, and those that lie high: so many as asked for or more of
/// each, the outermost among them.
fn far_out(draws: &[f64], tail: usize) -> (Vec<f64>, Vec<f64>) {
    if draws.len() >= 4 * SHOWN {
        let mut shown: Vec<f64> = draws.iter().step_by(draws.len() / SHOWN).copied().collect();
        shown.sort_unstable_by(f64::total_cmp);
        // A twentieth, and 4 √(n/20) more: so that too few lie beyond hardly ever.
        let rank = shown.len() / 20 + shown.len().isqrt();
        let (low, high) = (shown[rank], shown[shown.len() - 1 - rank]);
        let room = 2 * tail;
        let (mut lower, mut upper) = (Vec::with_capacity(room), Vec::with_capacity(room));
        for &x in draws {
            if x <= low {
                lower.push(x);
            }
            if x >= high {
                upper.push(x);
            }
        }
        if lower.len().min(upper.len()) >= tail {
            return (lower, upper);
        }
    }
    (draws.to_vec(), draws.to_vec())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::wide::by_each_width;
    use crate::measure::{Formula, Inputs, Mass, Measured, Point, Real, SI, Scalar, Slot};
    use uom::si::Units;

    #[test]
    fn the_shortest_interval_is_found_by_brute_force() {
        // A skewed lot of a prime number of draws, in no order.
        let draws: Vec<f64> = (0..997_u32)
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
        assert_eq!(shortest_95(&draws), brute);
    }

    /// Many draws, where the tails are looked for: in no order, in order, with many
    /// alike, and so that those shown are not like the others.
    #[test]
    fn the_shortest_interval_of_many_is_found_in_any_order() {
        const COUNT: u32 = 65_537;
        let mixed = |i: u32| u64::from(i) * 40_503 % u64::from(COUNT);
        let skewed = |i: u32| (mixed(i) as f64 / f64::from(COUNT)).powi(3);
        let alike = |i: u32| (mixed(i) / 9000) as f64;
        let step = COUNT / 4096;
        let periodic = |i: u32| {
            if i.is_multiple_of(step) {
                1e6
            } else {
                skewed(i)
            }
        };
        let all: [Vec<f64>; 5] = [
            (0..COUNT).map(skewed).collect(),
            (0..COUNT).map(f64::from).collect(),
            (0..COUNT).map(alike).collect(),
            (0..COUNT).map(periodic).collect(),
            vec![1.5; COUNT as usize],
        ];
        for draws in all {
            let mut sorted = draws.clone();
            sorted.sort_by(f64::total_cmp);
            // ⌊0.95 · 65537 + ½⌋ by hand.
            let held = 62_260;
            let brute = (0..sorted.len() - held)
                .map(|r| (sorted[r], sorted[r + held]))
                .min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
                .unwrap();
            assert_eq!(shortest_95(&draws), brute);
        }
    }

    #[test]
    fn all_widths_of_registers_make_the_same_sums() {
        let draws: Vec<f64> = (0..1003).map(|i| f64::from(i).sin() * 1e3).collect();
        let all = by_each_width(|| Sums {
            draws: &draws,
            from: 0.3,
        });
        assert!(all.iter().all(|sums| *sums == all[0]));
        let plain: f64 = draws.iter().map(|x| (x - 0.3).powi(2)).sum();
        // A thousand additions of 1.1e-16 each.
        assert!((all[0].1 / plain - 1.0).abs() < 1e-13, "{}", all[0].1);
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

    struct Itself(Slot<Mass>);

    impl Formula for Itself {
        type Figures<V: Real>
            = Mass<V>
        where
            SI<V>: Units<V>;

        fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Mass<V>
        where
            SI<V>: Units<V>,
        {
            inputs.get(self.0)
        }
    }

    #[test]
    fn the_noise_of_the_ends_is_about_the_cube_root() {
        // Sixty-four runs of 4000 normal draws: how the lower ends of their
        // shortest intervals scatter.
        let mut inputs = Inputs::new();
        let mass = Measured::new(Mass::of_base(0.0), 1.0, f64::INFINITY);
        let itself = Itself(inputs.add("mass", &mass));
        let simulation = inputs.simulate(itself, &["mass"], |mass, row| {
            row[0] = mass.value;
            true
        });
        let ends: Vec<f64> = streams(5)
            .take(64)
            .map(|stream| {
                let mut draws = vec![0.0; 4000];
                simulation.fill(stream, &mut draws);
                shortest_95(&draws).0
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
