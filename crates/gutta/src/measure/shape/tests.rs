//! Each sampler against its distribution: at fixed seeds, with tolerances of five
//! standard deviations of what so many draws leave open.

use statrs::distribution::{ChiSquared, ContinuousCDF, Normal, StudentsT};

use super::*;
use crate::measure::streams;
use crate::measure::wide::by_each_width;

/// How many draws of each: whole columns.
const DRAWS: usize = 512 * TOGETHER;

fn random(seed: u64) -> Random {
    Random::new(streams(seed).next().unwrap())
}

fn draws(sampler: Sampler, seed: u64) -> Vec<f64> {
    let samplers = [sampler];
    let mut drawn = Drawn::new(&samplers, &[]);
    let mut random = random(seed);
    let mut out = Vec::new();
    for _ in 0..DRAWS / TOGETHER {
        drawn.draw(&mut random);
        out.extend_from_slice(&drawn.values[0]);
    }
    out
}

/// Of a standard deviation of one and this kurtosis: the mean and the variance.
fn moments_are_kept(name: &str, draws: &[f64], kurtosis: f64) {
    let count = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / count;
    let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (count - 1.0);
    assert!(mean.abs() < 5.0 / count.sqrt(), "{name}: {mean}");
    let open = ((kurtosis - 1.0) / count).sqrt();
    assert!((variance - 1.0).abs() < 5.0 * open, "{name}: {variance}");
}

/// The share of the draws below each quantile is its probability.
fn quantiles_are_kept(name: &str, draws: &[f64], quantile: impl Fn(f64) -> f64) {
    let count = draws.len() as f64;
    for p in [
        1e-4, 1e-3, 0.01, 0.025, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.975,
        0.99, 0.999, 0.9999,
    ] {
        let at = quantile(p);
        let share = draws.iter().filter(|&&x| x < at).count() as f64 / count;
        let open = (p * (1.0 - p) / count).sqrt();
        assert!((share - p).abs() < 5.0 * open, "{name}: {p} {share}");
    }
}

fn neighbours_are_independent(name: &str, draws: &[f64]) {
    // Within a column the second half is made with the first, and eight lanes stand
    // side by side.
    let count = draws.len() as f64;
    for lag in [1, 2, 4, 8, 16, TOGETHER / 2, TOGETHER] {
        let pairs = draws.iter().zip(&draws[lag..]);
        let (sum, squares) = pairs.fold((0.0, 0.0), |(sum, squares), (x, y)| {
            (sum + x * y, squares + x * x * y * y)
        });
        let open = f64::sqrt(squares);
        assert!(sum.abs() < 5.0 * open, "{name}: {lag} {}", sum / count);
    }
}

#[test]
fn normal_draws_are_normal() {
    let sampler = Sampler::new(0.0, 1.0, f64::INFINITY, Shape::Normal);
    let draws = draws(sampler, 1);
    moments_are_kept("normal", &draws, 3.0);
    quantiles_are_kept("normal", &draws, |p| Normal::standard().inverse_cdf(p));
    neighbours_are_independent("normal", &draws);
    // Not only each by itself: the square too.
    let squares: Vec<f64> = draws.iter().map(|x| x * x - 1.0).collect();
    neighbours_are_independent("normal, squared", &squares);
    // As any table prints them: 15.87 % and 2.275 % lie above u and 2 u.
    let above = |u: f64| draws.iter().filter(|&&x| x > u).count() as f64 / draws.len() as f64;
    assert!((above(1.0) - 0.1587).abs() < 0.0051, "{}", above(1.0));
    assert!((above(2.0) - 0.02275).abs() < 0.0021, "{}", above(2.0));
}

#[test]
fn rectangular_draws_are_rectangular() {
    let sampler = Sampler::new(0.0, 1.0, f64::INFINITY, Shape::Rectangular);
    let draws = draws(sampler, 2);
    let half = 3.0_f64.sqrt();
    moments_are_kept("rectangular", &draws, 1.8);
    quantiles_are_kept("rectangular", &draws, |p| half * (2.0 * p - 1.0));
    neighbours_are_independent("rectangular", &draws);
    assert!(draws.iter().all(|x| x.abs() < half));
}

#[test]
fn triangular_draws_are_triangular() {
    for (seed, peak) in [(3, 0.0), (4, 0.25), (5, 0.5), (6, 1.0)] {
        let sampler = Sampler::new(0.0, 1.0, f64::INFINITY, Shape::Triangular(peak));
        let draws = draws(sampler, seed);
        let name = format!("triangular, {peak}");
        // The kurtosis of any triangle is 12/5.
        moments_are_kept(&name, &draws, 2.4);
        let width = (18.0 / (1.0 - peak + peak * peak)).sqrt();
        let low = -width * (1.0 + peak) / 3.0;
        quantiles_are_kept(&name, &draws, |p| {
            let at = if p < peak {
                (p * peak).sqrt()
            } else {
                1.0 - ((1.0 - p) * (1.0 - peak)).sqrt()
            };
            low + width * at
        });
        neighbours_are_independent(&name, &draws);
    }
}

#[test]
fn arcsine_draws_are_arcsine() {
    let sampler = Sampler::new(0.0, 1.0, f64::INFINITY, Shape::Arcsine);
    let draws = draws(sampler, 7);
    let half = 2.0_f64.sqrt();
    moments_are_kept("arcsine", &draws, 1.5);
    quantiles_are_kept("arcsine", &draws, |p| {
        half * (std::f64::consts::PI * (p - 0.5)).sin()
    });
    neighbours_are_independent("arcsine", &draws);
}

#[test]
fn draws_of_few_readings_are_students() {
    for (seed, dof) in [
        (8, 1.0),
        (9, 2.0),
        (10, 3.5),
        (11, 4.0),
        (12, 9.0),
        (13, 40.0),
        (14, 700.0),
    ] {
        let draws = draws(Sampler::new(0.0, 1.0, dof, Shape::Normal), seed);
        let t = StudentsT::new(0.0, 1.0, dof).unwrap();
        let name = format!("Student, {dof}");
        quantiles_are_kept(&name, &draws, |p| t.inverse_cdf(p));
        if dof > 4.0 {
            // Variance ν/(ν − 2) and kurtosis 3 + 6/(ν − 4).
            let one = ((dof - 2.0) / dof).sqrt();
            let scaled: Vec<f64> = draws.iter().map(|x| x * one).collect();
            moments_are_kept(&name, &scaled, 3.0 + 6.0 / (dof - 4.0));
        }
        let bounded: Vec<f64> = draws.iter().map(|x| x.atan()).collect();
        neighbours_are_independent(&name, &bounded);
    }
    // Table G.2 of JCGM 100:2008: 95 % of t with 4 degrees of freedom within 2.78,
    // with 9 within 2.26, two decimals; 0.01 beside the end is 0.05 % of them.
    for (seed, dof, within) in [(15, 4.0, 2.78), (16, 9.0, 2.26)] {
        let draws = draws(Sampler::new(0.0, 1.0, dof, Shape::Normal), seed);
        let share = draws.iter().filter(|x| x.abs() < within).count() as f64 / DRAWS as f64;
        assert!((share - 0.95).abs() < 0.003 + 0.0005, "{dof}: {share}");
    }
}

#[test]
fn with_very_many_readings_students_are_normal() {
    for dof in [1e6, 1e9, 1e15] {
        let draws = draws(Sampler::new(0.0, 1.0, dof, Shape::Normal), 17);
        moments_are_kept("Student, many", &draws, 3.0);
        quantiles_are_kept("Student, many", &draws, |p| {
            Normal::standard().inverse_cdf(p)
        });
    }
}

/// The share of draws above `at`, when the numbers that radii are made of are drawn
/// below `among` alone: no other reaches there.
fn above(among: f64, at: f64, values: impl Fn(&Column, &Column, &mut Column)) -> f64 {
    let mut random = random(18);
    let (mut count, mut all) = (0, 0);
    let mut evens = [[0.0; TOGETHER]; 2];
    let mut column = [0.0; TOGETHER];
    for _ in 0..DRAWS / TOGETHER {
        random.fill(&mut evens);
        let [mut radii, turns] = evens;
        for u in &mut radii {
            *u *= among;
        }
        values(&radii, &turns, &mut column);
        count += column.iter().filter(|&&x| x > at).count();
        all += TOGETHER;
    }
    among * f64::from(u32::try_from(count).unwrap()) / all as f64
}

#[test]
fn the_tails_are_as_long_as_they_should_be() {
    // A draw beyond x has a radius beyond x, and so a number below e^(−x²/2), or
    // (1 + t²/ν)^(−ν/2), which is less than twenty times the tail here: drawn below
    // that alone, one of a million is one of twenty.
    let open = |p: f64| (20.0 * p * p / DRAWS as f64).sqrt();
    let normals = |radii: &Column, turns: &Column, values: &mut Column| {
        let half = TOGETHER / 2;
        let (mut even, mut made) = ([0.0; TOGETHER], [0.0; TOGETHER]);
        for (from, to) in [(0, half), (half, TOGETHER)] {
            even[..half].copy_from_slice(&radii[from..to]);
            even[half..].copy_from_slice(&turns[from..to]);
            normal(&even, &mut made);
            values[from..to].copy_from_slice(&made[..half]);
        }
    };
    // Upper points of the normal distribution, as printed in any table.
    for (p, x) in [(1e-4, 3.719_016), (1e-5, 4.264_891), (1e-6, 4.753_424)] {
        let seen = above(20.0 * p, x, normals);
        assert!((seen - p).abs() < 5.0 * open(p), "{p} {seen}");
    }
    for dof in [1.0, 4.0, 9.0, 30.0] {
        let t = StudentsT::new(0.0, 1.0, dof).unwrap();
        for p in [1e-4, 1e-5, 1e-6] {
            // By its lower point, since 1 − p has lost its digits.
            let seen = above(20.0 * p, -t.inverse_cdf(p), |radii, turns, values| {
                student(dof, radii, turns, values);
            });
            assert!((seen - p).abs() < 5.0 * open(p), "{dof}: {p} {seen}");
        }
    }
}

#[test]
fn what_few_readings_widen_by_is_chi_squared() {
    for (seed, dof) in [
        (19, 1.0),
        (20, 2.0),
        (21, 5.0),
        (22, 20.0),
        (23, 7.5),
        (24, 33.0),
    ] {
        let factors = [Widening::new(dof)];
        let mut drawn = Drawn::new(&[], &factors);
        let mut random = random(seed);
        let mut squares = Vec::new();
        for _ in 0..DRAWS / TOGETHER {
            drawn.draw(&mut random);
            squares.extend(drawn.widths[0].iter().map(|width| dof / (width * width)));
        }
        let chi = ChiSquared::new(dof).unwrap();
        let name = format!("χ², {dof}");
        quantiles_are_kept(&name, &squares, |p| chi.inverse_cdf(p));
        // Mean ν, variance 2 ν, kurtosis 3 + 12/ν.
        for square in &mut squares {
            *square = (*square - dof) / (2.0 * dof).sqrt();
        }
        moments_are_kept(&name, &squares, 3.0 + 12.0 / dof);
    }
}

/// A block of draws of everything there is.
struct Everything<'a>(Drawn<'a>);

impl Loops for Everything<'_> {
    type Output = Vec<u64>;

    #[inline(always)]
    fn run(mut self) -> Vec<u64> {
        let mut random = random(25);
        let mut bits = Vec::new();
        for _ in 0..8 {
            Drawing {
                drawn: &mut self.0,
                random: &mut random,
            }
            .run();
            bits.extend(self.0.values.as_flattened().iter().map(|x| x.to_bits()));
        }
        bits
    }
}

#[test]
fn all_widths_of_registers_make_the_same_bits() {
    let shapes = [
        Shape::Normal,
        Shape::Rectangular,
        Shape::Triangular(0.3),
        Shape::Arcsine,
    ];
    let mut samplers = shapes
        .map(|shape| Sampler::new(3.0, 0.7, f64::INFINITY, shape))
        .to_vec();
    samplers.extend([1.0, 4.5, 1e7].map(|dof| Sampler::new(3.0, 0.7, dof, Shape::Normal)));
    samplers.extend([0, 1, 2].map(|factor| Sampler::Widened {
        best: 3.0,
        u: 0.7,
        factor,
    }));
    let factors = [4.0, 9.0, 7.5].map(Widening::new);
    let all = by_each_width(|| Everything(Drawn::new(&samplers, &factors)));
    for bits in &all {
        assert_eq!(bits.len(), 8 * TOGETHER * samplers.len());
        assert!(*bits == all[0]);
    }
}
