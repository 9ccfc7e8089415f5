//! Curves that draws are bent by, without a branch, so that loops over them are
//! widened.
//!
//! # Why not those of the standard library?
//!
//! Its `ln` and `sin` are calls, one number at a time. These are Taylor series,
//! carried on until the next term is below the last bit; how near they are to those
//! of the standard library is held by the tests.

use std::f64::consts::{LN_2, LOG2_E, PI, SQRT_2};

/// Σ aₖ xᵏ by Horner's rule, the last coefficient first.
#[inline(always)]
fn series<const N: usize>(x: f64, coefficients: [f64; N]) -> f64 {
    let mut sum = 0.0;
    for a in coefficients {
        sum = sum * x + a;
    }
    sum
}

/// 1/(first·(first + 1)⋯) by steps of two factors, with signs that alternate: the
/// coefficients of sine (from 1!) and cosine (from 0!) in x², the last first.
const fn swinging<const N: usize>(first: usize) -> [f64; N] {
    let mut out = [1.0; N];
    let mut i = N - 1;
    let mut a = 1.0;
    let mut n = first;
    while i > 0 {
        i -= 1;
        a = -a / ((n + 1) * (n + 2)) as f64;
        n += 2;
        out[i] = a;
    }
    out
}

/// 1/(2k + 1), the last first: artanh.
const ODD: [f64; 11] = {
    let mut out = [0.0; 11];
    let mut k = 0;
    while k < 11 {
        out[10 - k] = 1.0 / (2 * k + 1) as f64;
        k += 1;
    }
    out
};

/// 1/(k + 1)!, the last first: (eˣ − 1)/x.
const RISING: [f64; 13] = {
    let mut out = [1.0; 13];
    let mut k = 12;
    while k > 0 {
        k -= 1;
        out[k] = out[k + 1] / (13 - k) as f64;
    }
    out
};

const SINE: [f64; 11] = swinging(1);
const COSINE: [f64; 12] = swinging(0);

/// The sine and cosine of π t, −½ ≤ t ≤ ½; off by 4e-16 at most.
#[inline(always)]
pub fn sine_and_cosine(t: f64) -> (f64, f64) {
    let x = PI * t;
    let square = x * x;
    (x * series(square, SINE), series(square, COSINE))
}

/// The sine of π t, −½ ≤ t ≤ ½; off by 4e-16 at most.
#[inline(always)]
pub fn sine(t: f64) -> f64 {
    let x = PI * t;
    x * series(x * x, SINE)
}

/// The natural logarithm of a normal number above zero; off by 4e-16 of itself at
/// most.
///
/// x = m 2ᵉ with m from √½ to √2, and ln m = 2 artanh((m − 1)/(m + 1)).
#[inline(always)]
pub fn ln(x: f64) -> f64 {
    const MANTISSA: u64 = (1 << 52) - 1;
    // 2⁵² with a whole number in its last bits.
    const WHOLE: f64 = (1_u64 << 52) as f64;
    let bits = x.to_bits();
    let one = 1.0_f64.to_bits();
    let wide = f64::from_bits((bits & MANTISSA) | one);
    let is_wide = wide > SQRT_2;
    let m = if is_wide { 0.5 * wide } else { wide };
    let exponent = f64::from_bits((bits >> 52) | WHOLE.to_bits()) - (WHOLE + 1023.0);
    let exponent = if is_wide { exponent + 1.0 } else { exponent };
    let s = (m - 1.0) / (m + 1.0);
    2.0 * s * series(s * s, ODD) + exponent * LN_2
}

/// eˣ − 1, 0 ≤ x ≤ 700; off by 1e-15 of itself at most.
///
/// x = k ln 2 + r with the least r, and eˣ − 1 = 2ᵏ (eʳ − 1) + (2ᵏ − 1).
#[inline(always)]
pub fn growth(x: f64) -> f64 {
    // Added to a number it leaves its whole part in the last bits.
    const WHOLE: f64 = 1.5 * (1_u64 << 52) as f64;
    // ln 2 in two: the first has zeros enough behind it that k times it is exact.
    const LN_2_HIGH: f64 = f64::from_bits(0x3fe6_2e42_fee0_0000);
    const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    let shifted = x * LOG2_E + WHOLE;
    let k = shifted - WHOLE;
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    let power = f64::from_bits((shifted.to_bits() << 52).wrapping_add(1.0_f64.to_bits()));
    power * (r * series(r, RISING)) + (power - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 0 to 1 in so many steps, both ends left out.
    fn steps(count: u32) -> impl Iterator<Item = f64> {
        (1..count).map(move |i| f64::from(i) / f64::from(count))
    }

    #[test]
    fn logarithms_are_those_of_the_standard_library() {
        // All that draws may be, a product of ten of them, and close to one.
        let least = f64::EPSILON / 2.0;
        let small = (0..1022).map(|i| 1.7 * 2.0_f64.powi(-i));
        let near_one = (1..2000).map(|i| 1.0 - f64::from(i) * least);
        for x in steps(100_003)
            .chain(small)
            .chain(near_one)
            .chain([least, 1.0, 2.0])
        {
            // Two roundings of 1.1e-16 each, and those of the series.
            let (own, other) = (ln(x), x.ln());
            let off = (own - other).abs();
            assert!(off <= 4.5e-16 * other.abs(), "{x}: {own} {other}");
        }
    }

    #[test]
    fn sine_and_cosine_are_those_of_the_standard_library() {
        for t in steps(100_003).map(|t| t - 0.5).chain([-0.5, 0.0, 0.5]) {
            let (sin, cos) = sine_and_cosine(t);
            let (other_sin, other_cos) = (PI * t).sin_cos();
            assert!((sin - other_sin).abs() < 4.5e-16, "{t}: {sin}");
            assert!((cos - other_cos).abs() < 4.5e-16, "{t}: {cos}");
            assert_eq!(sine(t), sin);
        }
    }

    #[test]
    fn growth_is_that_of_the_standard_library() {
        let small = (0..60).map(|i| 1.3 * 10.0_f64.powi(-i));
        for x in steps(100_003)
            .map(|x| 700.0 * x * x * x)
            .chain(small)
            .chain([0.0, 700.0])
        {
            let (own, other) = (growth(x), x.exp_m1());
            assert!((own - other).abs() <= 1e-15 * other, "{x}: {own} {other}");
        }
    }

    #[test]
    fn the_two_parts_of_the_logarithm_of_two_are_all_of_it() {
        let (high, low) = (
            f64::from_bits(0x3fe6_2e42_fee0_0000),
            1.908_214_929_270_587_7e-10,
        );
        assert_eq!(high + low, LN_2);
    }
}
