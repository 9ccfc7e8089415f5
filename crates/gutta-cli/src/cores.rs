//! Work spread over the cores; the digits do not depend on their number.

use std::num::NonZero;
use std::thread;

use gutta::measure::{BLOCK, Simulation, streams};

/// Runs a simulation on all cores: a column for each figure, and how many
/// draws were outside the formula's range.
pub fn draw(simulation: &Simulation, draws: usize, seed: u64) -> (Vec<Vec<f64>>, usize) {
    let width = simulation.names().len();
    let mut rows = vec![0.0; draws * width];
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let mut piles: Vec<Vec<_>> = (0..cores).map(|_| Vec::new()).collect();
    let blocks = streams(seed).zip(rows.chunks_mut(BLOCK * width));
    for (i, block) in blocks.enumerate() {
        piles[i % cores].push(block);
    }
    let outside = thread::scope(|scope| {
        let workers: Vec<_> = piles
            .into_iter()
            .map(|pile| {
                scope.spawn(move || {
                    pile.into_iter()
                        .map(|(stream, block)| simulation.fill(stream, block))
                        .sum::<usize>()
                })
            })
            .collect();
        workers
            .into_iter()
            // A worker that panicked panics here: nothing is hidden.
            .map(|worker| {
                worker
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            })
            .sum()
    });
    (simulation.split(&rows), outside)
}

#[cfg(test)]
mod tests {
    use super::*;
    use gutta::bench::{Asked, Dosing, Drop, LeafBasis};
    use gutta::measure::{DropMass, Drops, Measured, Scalar};

    /// On this machine's cores and on one, digit for digit, over several
    /// blocks and a part of one.
    #[test]
    fn the_digits_do_not_depend_on_the_cores() {
        let drop = Measured::new(DropMass::of_base(47.8e-6), 1e-6, f64::INFINITY);
        let dosing = Dosing {
            drop: Some(Drop::of_mass(drop).unwrap()),
            ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::AsWeighed)
        };
        let simulation = dosing.simulate().unwrap();
        let draws = 5 * BLOCK + 123;
        let (all, outside) = draw(&simulation, draws, 7);
        let (one, outside_too) = simulation.columns(draws, 7);
        // What is not known is not a number, and unequal to itself.
        let bits = |columns: &[Vec<f64>]| -> Vec<u64> {
            columns.iter().flatten().map(|x| x.to_bits()).collect()
        };
        assert_eq!(bits(&all), bits(&one));
        assert_eq!(outside, outside_too);
    }
}
