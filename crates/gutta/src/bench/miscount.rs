//! A drop too few or too many: what a set of weighings gives away.

use super::weighings::Counted;
use crate::measure::{Drops, MAD_FACTOR, ODD_Z, median, median_deviation};

/// From how many weighings on a miscount can be told.
const ENOUGH: usize = 4;

/// How near a whole number of drops the gap must be, in drops.
const NEAR: f64 = 0.25;

/// What a weighing gives away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Finding {
    /// It reads as another whole number of drops, and is left out.
    Miscount {
        /// Which weighing, the first typed being 1.
        weighing: usize,
        /// The count that it reads as.
        reads_as: u64,
    },
    /// It lies far from the others without a gap of whole drops; it is kept.
    Odd {
        /// Which weighing, the first typed being 1.
        weighing: usize,
    },
}

/// The weighings that stand out: modified z = 0.6745 |r − median r| / MAD
/// beyond 3.5, r the residual from the median drop, MAD not below what the
/// scale's steps alone make.
pub(super) fn find(counted: &Counted) -> Vec<Finding> {
    if counted.drops.len() < ENOUGH {
        return Vec::new();
    }
    let each: Vec<f64> = counted
        .amounts
        .iter()
        .zip(&counted.drops)
        .map(|(x, n)| x / n)
        .collect();
    let one = median(&each);
    let residuals: Vec<f64> = counted
        .amounts
        .iter()
        .zip(&counted.drops)
        .map(|(x, n)| x - n * one)
        .collect();
    let deviation = median_deviation(&residuals).max(MAD_FACTOR * counted.floor);
    residuals
        .iter()
        .enumerate()
        .filter(|(_, r)| MAD_FACTOR * r.abs() / deviation > ODD_Z)
        .map(|(i, r)| {
            let gap = r / one;
            let whole = gap.round();
            let reads_as = counted.drops[i] + whole;
            if whole != 0.0 && (gap - whole).abs() <= NEAR && reads_as >= 1.0 {
                Finding::Miscount {
                    weighing: i + 1,
                    reads_as: Drops::new(reads_as).whole(),
                }
            } else {
                Finding::Odd { weighing: i + 1 }
            }
        })
        .collect()
}
