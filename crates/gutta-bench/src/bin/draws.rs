//! A million draws of the plan of ten inputs, summed up: as often as is asked for,
//! on as many cores as are asked for; then what one run says, and the median of
//! the seconds by the clock.

use std::sync::Mutex;
use std::thread;
use std::time::Instant;

use gutta::measure::{BLOCK, Spread, streams};
use gutta_bench::ten_inputs;

const DRAWS: usize = 1_000_000;

fn run(seed: u64, cores: usize) -> Spread {
    let simulation = ten_inputs::simulation();
    let mut draws = vec![0.0; DRAWS];
    let blocks = Mutex::new(streams(seed).zip(draws.chunks_mut(BLOCK)));
    let next = || blocks.lock().expect("no worker panics").next();
    thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                while let Some((stream, block)) = next() {
                    simulation.fill(stream, block);
                }
            });
        }
    });
    drop(blocks);
    Spread::of(&mut draws)
}

fn main() {
    let mut words = std::env::args().skip(1).filter_map(|n| n.parse().ok());
    let cores = words.next().unwrap_or(1);
    let times = words.next().unwrap_or(7);
    let mut seconds: Vec<f64> = (0..times)
        .map(|seed| {
            let begun = Instant::now();
            std::hint::black_box(run(seed as u64, cores));
            begun.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    let spread = run(1, cores);
    println!(
        "{} {} {} {} {}",
        spread.mean,
        spread.u,
        spread.shortest_95.0,
        spread.shortest_95.1,
        seconds[seconds.len() / 2]
    );
}
