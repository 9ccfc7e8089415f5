//! Streams of random numbers: one for each block of draws, several lanes abreast.
//!
//! # Why lanes?
//!
//! Each number of a generator is made of the one before, so that one generator
//! cannot be widened. Eight of them side by side fill the widest registers. There
//! are eight on every machine, so that the numbers are the same.
//!
//! # Where do the streams come from?
//!
//! All are parts of one sequence, Xoshiro256++ begun by SplitMix64: a block stands
//! 2¹⁹² numbers behind the one before, its lanes 2¹²⁸ numbers from each other. None
//! is ever met by another.
//!
//! Source: Blackman D. and Vigna S., Scrambled linear pseudorandom number generators,
//! ACM Transactions on Mathematical Software 47 (2021) 36; the polynomials of the two
//! jumps are those of the authors' own program (from memory, and held to
//! rand_xoshiro by the tests).

use rand_xoshiro::rand_core::{Rng, SeedableRng};
use rand_xoshiro::{SplitMix64, Xoshiro256PlusPlus};

/// How many draws are made together, input by input: one short loop for each does
/// not have to be guessed through.
pub(super) const TOGETHER: usize = 256;

/// A figure of the draws that are made together.
pub(super) type Column = [f64; TOGETHER];

/// How many generators run side by side.
const ABREAST: usize = 8;

/// The state of Xoshiro256++.
type State = [u64; 4];

/// 2¹²⁸ numbers further.
const JUMP: State = [
    0x180e_c6d3_3cfd_0aba,
    0xd5a6_1266_f0c9_392c,
    0xa958_2618_e03f_c9aa,
    0x39ab_dc45_29b1_661c,
];

/// 2¹⁹² numbers further.
const LONG_JUMP: State = [
    0x76e1_5d3e_fefd_cbbf,
    0xc500_4e44_1c52_2fb3,
    0x7771_0069_854e_e241,
    0x3910_9bb0_2acb_e635,
];

/// The beginning of one block's random numbers.
#[derive(Clone, Copy, Debug)]
pub struct Stream(State);

/// The streams of a seed, one a block.
pub fn streams(seed: u64) -> impl Iterator<Item = Stream> {
    let mut words = SplitMix64::seed_from_u64(seed);
    let mut next = [(); 4].map(|()| words.next_u64());
    std::iter::repeat_with(move || {
        let stream = Stream(next);
        next = jumped(next, LONG_JUMP);
        stream
    })
}

/// One step of a generator: its number, and its state after it.
#[inline(always)]
fn step([a, b, c, d]: State) -> (u64, State) {
    let number = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
    let (c2, d2) = (c ^ a, d ^ b);
    (number, [a ^ d2, b ^ c2, c2 ^ (b << 17), d2.rotate_left(45)])
}

fn jumped(mut state: State, by: State) -> State {
    let mut sum = [0; 4];
    for word in by {
        for bit in 0..u64::BITS {
            // All bits or none, not a branch.
            let mask = (word >> bit & 1).wrapping_neg();
            for (sum, part) in sum.iter_mut().zip(state) {
                *sum ^= part & mask;
            }
            state = step(state).1;
        }
    }
    sum
}

/// The random numbers of one block.
#[derive(Clone, Debug)]
pub(super) struct Random {
    /// The states of the lanes, word by word.
    lanes: [[u64; ABREAST]; 4],
    /// For what takes its numbers one by one: a lane behind the others.
    pub alone: Xoshiro256PlusPlus,
}

impl Random {
    pub fn new(stream: Stream) -> Self {
        let mut state = stream.0;
        let mut lanes = [[0; ABREAST]; 4];
        for lane in 0..ABREAST {
            for (word, part) in lanes.iter_mut().zip(state) {
                word[lane] = part;
            }
            state = jumped(state, JUMP);
        }
        let mut bytes = [0; 32];
        for (bytes, word) in bytes.chunks_exact_mut(8).zip(state) {
            bytes.copy_from_slice(&word.to_le_bytes());
        }
        Self {
            lanes,
            alone: Xoshiro256PlusPlus::from_seed(bytes),
        }
    }

    /// Fills columns with even draws above 0 and below 1: (k + ½)/2⁵², k from the
    /// upper 52 bits of a number; one of each lane in turn.
    #[inline(always)]
    pub fn fill(&mut self, columns: &mut [Column]) {
        let [mut a, mut b, mut c, mut d] = self.lanes;
        for abreast in columns.as_flattened_mut().as_chunks_mut::<ABREAST>().0 {
            for lane in 0..ABREAST {
                let (number, state) = step([a[lane], b[lane], c[lane], d[lane]]);
                [a[lane], b[lane], c[lane], d[lane]] = state;
                abreast[lane] = part(number);
            }
        }
        self.lanes = [a, b, c, d];
    }
}

/// The number from 0 to 1 that the upper 52 bits stand for.
#[inline(always)]
fn part(number: u64) -> f64 {
    // The bits of a number from 1 up to 2; what is taken off is exact, since the
    // difference has 53 bits.
    const HALF_A_STEP: f64 = f64::EPSILON / 2.0;
    f64::from_bits((number >> 12) | 1.0_f64.to_bits()) - (1.0 - HALF_A_STEP)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers of a state, one by one.
    fn numbers(mut state: State) -> impl Iterator<Item = u64> {
        std::iter::repeat_with(move || {
            let (number, next) = step(state);
            state = next;
            number
        })
    }

    #[test]
    fn the_streams_are_the_published_generator() {
        // Golden values of Xoshiro256++ of rand_xoshiro 0.8 for seed 42: the first
        // number, and the first after a jump.
        let first = streams(42).next().unwrap();
        assert_eq!(numbers(first.0).next(), Some(15_021_278_609_987_233_951));
        let next = jumped(first.0, JUMP);
        assert_eq!(numbers(next).next(), Some(13_886_555_598_616_206_053));
        // And the generator itself, number by number and jump by jump.
        for seed in [0, 1, 42, u64::MAX] {
            let mut behind = Xoshiro256PlusPlus::seed_from_u64(seed);
            for stream in streams(seed).take(3) {
                let mut published = behind.clone();
                for ours in numbers(stream.0).take(1000) {
                    assert_eq!(ours, published.next_u64());
                }
                behind.long_jump();
            }
        }
    }

    #[test]
    fn the_lanes_are_jumps_of_their_stream() {
        let stream = streams(7).nth(2).unwrap();
        let mut random = Random::new(stream);
        let mut columns = [[0.0; TOGETHER]; 3];
        random.fill(&mut columns);
        let mut behind = Xoshiro256PlusPlus::seed_from_u64(7);
        behind.long_jump();
        behind.long_jump();
        for lane in 0..ABREAST {
            let mut published = behind.clone();
            for drawn in columns.as_flattened().iter().skip(lane).step_by(ABREAST) {
                // (k + ½)/2⁵², exact in a float.
                let k = (published.next_u64() >> 12) as f64;
                assert_eq!(*drawn, (k + 0.5) / (1_u64 << 52) as f64);
            }
            behind.jump();
        }
        assert_eq!(random.alone.next_u64(), behind.next_u64());
    }

    #[test]
    fn no_draw_is_zero_or_one() {
        let step = 0.5_f64.powi(53);
        assert_eq!(part(0), step);
        assert_eq!(part(u64::MAX), 1.0 - step);
        assert_eq!(part(1 << 63), 0.5 + step);
    }
}
