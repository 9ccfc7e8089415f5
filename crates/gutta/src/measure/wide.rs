//! Loops over many numbers, run by the widest registers of the machine.
//!
//! # Why is this the one file with `unsafe` in it?
//!
//! A program that is to run on any machine of its kind is compiled for the oldest
//! of them: two doubles at a time. Asked while it runs, a machine of today takes
//! eight. To call what was compiled for it is sound only where it was asked before,
//! which the compiler cannot see; here both stand in one `if`, and nowhere else.
//! What is run is the same code, and since no sum is contracted or put into another
//! order, the digits are the same too.

#![allow(
    unsafe_code,
    reason = "each call stands behind the question whether the machine can"
)]

/// Loops to be run. What they call is widened only as far as it is inlined into
/// them, so that [`run`](Self::run) is to be `#[inline(always)]`.
pub trait Loops {
    /// What they leave.
    type Output;

    /// Runs them.
    fn run(self) -> Self::Output;
}

/// Runs loops as the widest registers of this machine have them.
#[inline]
pub fn widest<L: Loops>(loops: L) -> L::Output {
    #[cfg(target_arch = "x86_64")]
    {
        if has_512_bits() {
            // SAFETY: the machine has just been asked for all that is enabled.
            return unsafe { by_512_bits(loops) };
        }
        if has_256_bits() {
            // SAFETY: the same.
            return unsafe { by_256_bits(loops) };
        }
    }
    loops.run()
}

#[cfg(target_arch = "x86_64")]
fn has_256_bits() -> bool {
    is_x86_feature_detected!("avx2")
        && is_x86_feature_detected!("bmi1")
        && is_x86_feature_detected!("bmi2")
        && is_x86_feature_detected!("lzcnt")
        && is_x86_feature_detected!("popcnt")
}

#[cfg(target_arch = "x86_64")]
fn has_512_bits() -> bool {
    has_256_bits()
        && is_x86_feature_detected!("avx512f")
        && is_x86_feature_detected!("avx512bw")
        && is_x86_feature_detected!("avx512cd")
        && is_x86_feature_detected!("avx512dq")
        && is_x86_feature_detected!("avx512vl")
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2,bmi1,bmi2,lzcnt,popcnt")]
fn by_256_bits<L: Loops>(loops: L) -> L::Output {
    loops.run()
}

#[cfg(target_arch = "x86_64")]
#[target_feature(
    enable = "avx2,bmi1,bmi2,lzcnt,popcnt,avx512f,avx512bw,avx512cd,avx512dq,avx512vl"
)]
fn by_512_bits<L: Loops>(loops: L) -> L::Output {
    loops.run()
}

/// What loops leave as each width of this machine has them, the plainest first.
#[cfg(test)]
pub(super) fn by_each_width<L: Loops>(make: impl Fn() -> L) -> Vec<L::Output> {
    let mut all = vec![make().run()];
    #[cfg(target_arch = "x86_64")]
    {
        if has_256_bits() {
            // SAFETY: as above.
            all.push(unsafe { by_256_bits(make()) });
        }
        if has_512_bits() {
            // SAFETY: the same.
            all.push(unsafe { by_512_bits(make()) });
        }
    }
    all
}
