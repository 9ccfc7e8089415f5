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
