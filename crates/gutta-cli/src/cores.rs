//! Work spread over the cores; the digits do not depend on their number.

use std::num::NonZero;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

use gutta::measure::{BLOCK, Simulation, streams};

/// Runs a simulation on all cores: a column for each figure, and how many
/// draws were outside the formula's range.
pub fn draw(simulation: &Simulation, draws: usize, seed: u64) -> (Vec<Vec<f64>>, usize) {
    let width = simulation.names().len();
    let mut rows = vec![0.0; draws * width];
    // Each core takes the next block when it is done with one: another program may
    // have one of them busy.
    let blocks = Mutex::new(streams(seed).zip(rows.chunks_mut(BLOCK * width)));
    let work = || {
        let mut outside = 0;
        loop {
            let next = blocks.lock().unwrap_or_else(PoisonError::into_inner).next();
            let Some((stream, block)) = next else {
                return outside;
            };
            outside += simulation.fill(stream, block);
        }
    };
    let outside = thread::scope(|scope| {
        let workers: Vec<_> = (0..count()).map(|_| scope.spawn(work)).collect();
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
    drop(blocks);
    (simulation.split(rows), outside)
}

/// How many cores there are to work on.
fn count() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// Works pieces through on all cores, and hands them back in their order: `next`
/// fills a piece, or says that there are no more; `work` may run anywhere; `done`
/// takes what came of it. Pieces are used again, so that no more of them are
/// there than are worked on; `first` is filled already.
///
/// # Errors
/// What `next` or `done` says first; no piece is begun after it.
pub fn in_order<P: Send, E>(
    first: P,
    make: impl Fn() -> P,
    mut next: impl FnMut(&mut P) -> Result<bool, E>,
    work: impl Fn(&mut P) + Sync,
    mut done: impl FnMut(&mut P) -> Result<(), E>,
) -> Result<(), E> {
    let mut first = first;
    let mut second = make();
    // What is one piece, or meets one core, needs no other thread.
    let is_more = next(&mut second)?;
    let cores = count();
    if !is_more || cores == 1 {
        work(&mut first);
        done(&mut first)?;
        drop(first);
        let mut is_more = is_more;
        while is_more {
            work(&mut second);
            done(&mut second)?;
            is_more = next(&mut second)?;
        }
        return Ok(());
    }
    thread::scope(|scope| {
        let work = &work;
        let workers: Vec<(SyncSender<P>, Receiver<P>)> = (0..cores)
            .map(|_| {
                let (give, take) = sync_channel::<P>(AHEAD);
                let (give_back, take_back) = sync_channel(AHEAD);
                scope.spawn(move || {
                    for mut piece in take {
                        work(&mut piece);
                        // Nobody waits for it any more: the work was broken off.
                        if give_back.send(piece).is_err() {
                            break;
                        }
                    }
                });
                (give, take_back)
            })
            .collect();
        let most = cores * AHEAD;
        let (mut begun, mut ended) = (0, 0);
        let mut filled = [Some(first), Some(second)].into_iter().flatten();
        let mut spare: Vec<P> = Vec::new();
        let mut is_more = true;
        loop {
            while is_more && begun - ended < most {
                let piece = match filled.next() {
                    Some(piece) => piece,
                    None => {
                        let mut piece = spare.pop().unwrap_or_else(&make);
                        is_more = next(&mut piece)?;
                        if !is_more {
                            break;
                        }
                        piece
                    }
                };
                // A worker that panicked is seen when its piece is waited for.
                let _ = workers[begun % cores].0.send(piece);
                begun += 1;
            }
            if ended == begun {
                return Ok(());
            }
            let Ok(mut piece) = workers[ended % cores].1.recv() else {
                // The scope hands the panic of the worker on.
                return Ok(());
            };
            ended += 1;
            done(&mut piece)?;
            spare.push(piece);
        }
    })
}

/// How many pieces lie ready for each core.
const AHEAD: usize = 2;

#[cfg(test)]
mod tests {
    use super::*;
    use gutta::bench::{Asked, Dosing, Drop, LeafBasis};
    use gutta::measure::{DropMass, Drops, Measured, Scalar};

    /// Pieces that are numbers: filled, worked on anywhere, taken in order.
    fn squares(count: u64, stop_at: Option<u64>) -> Result<Vec<u64>, u64> {
        let (mut next, mut taken) = (1, Vec::new());
        in_order(
            0,
            || 0,
            |piece| {
                *piece = next;
                next += 1;
                Ok(*piece < count)
            },
            |piece| *piece *= *piece,
            |piece| {
                taken.push(*piece);
                match stop_at {
                    Some(last) if *piece >= last => Err(*piece),
                    _ => Ok(()),
                }
            },
        )?;
        Ok(taken)
    }

    #[test]
    fn pieces_come_back_in_their_order() {
        for count in [1, 2, 3, 4, 7, 1000] {
            let expected: Vec<u64> = (0..count).map(|n| n * n).collect();
            assert_eq!(squares(count, None), Ok(expected), "{count}");
        }
    }

    #[test]
    fn what_is_said_of_a_piece_ends_the_work() {
        for count in [1, 2, 1000] {
            assert_eq!(squares(count, Some(0)), Err(0), "{count}");
        }
        assert_eq!(squares(1000, Some(100)), Err(100));
    }

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
