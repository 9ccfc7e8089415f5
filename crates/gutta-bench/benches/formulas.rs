//! What a formula costs, and what its units and its doubt add to it.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use gutta::measure::{Kind, Mass, Measured, Scalar, read};
use gutta::{Moisture, Pile, Watering};

/// Leaf in kilograms with its moisture, a thousand of them.
fn leaves() -> Vec<(f64, f64)> {
    (0..1000)
        .map(|i| {
            let x = f64::from(i) / 1000.0;
            (0.01 + x, 0.08 + 0.06 * x)
        })
        .collect()
}

const TARGET: f64 = 0.15;

/// The same sum on plain floats and on quantities through the pile: the units
/// must not be slower.
fn water(c: &mut Criterion) {
    let leaves = leaves();
    let mut group = c.benchmark_group("water, 1000 leaves");
    group.bench_function("plain floats", |b| {
        b.iter(|| {
            let ratio = TARGET / (1.0 - TARGET);
            black_box(&leaves)
                .iter()
                .map(|(leaf, at)| leaf * (1.0 - at) * ratio - leaf * at)
                .sum::<f64>()
        });
    });
    group.bench_function("the pile, f64", |b| {
        b.iter(|| {
            let to = Moisture::of_base(TARGET);
            black_box(&leaves)
                .iter()
                .map(|(leaf, at)| {
                    Pile::leaf(Mass::of_base(*leaf), Moisture::of_base(*at)).water_to(to)
                })
                .sum::<Mass>()
        });
    });
    group.finish();
}

/// A whole plan with its doubt and budget, as one answer asks for it.
fn plan(c: &mut Criterion) {
    let watering = Watering::new(
        Measured::new(Mass::of_base(0.34), 4e-5, f64::INFINITY),
        Measured::new(Moisture::of_base(0.108), 0.005, f64::INFINITY),
        Moisture::of_base(TARGET),
    );
    c.bench_function("a plan with its doubt", |b| {
        b.iter(|| black_box(&watering).plan());
    });
}

/// Reading and printing a quantity.
fn text(c: &mut Criterion) {
    c.bench_function("read 11.2% ± 0.5%", |b| {
        b.iter(|| read(black_box("11.2% ± 0.5%"), &[Kind::Share]));
    });
    let reading = read("11.2% ± 0.5%", &[Kind::Share]).expect("a quantity");
    c.bench_function("print 11.2 % ± 0.5 %", |b| {
        b.iter(|| black_box(&reading).to_string());
    });
}

criterion_group!(benches, water, plan, text);
criterion_main!(benches);
