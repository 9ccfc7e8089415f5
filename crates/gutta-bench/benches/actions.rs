//! What each action costs that somebody waits for.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gutta::bench::{
    Asked, Batch, BatchValue, Calibrating, Dosing, Drop, Dropped, LeafBasis, Readings, RowWater,
    Rows, Weighing,
};
use gutta::blend::formula::{Amounts, Shares};
use gutta::blend::repair::{Restoring, Weighed};
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::measure::{DropMass, Drops, Mass, Measured, Ratio, Scalar, Scale, Spread};
use gutta::{Moisture, Watering};
use gutta_bench::ten_inputs;
use gutta_book::batches::{Piece, Source, Work};

fn drop() -> Drop {
    let one = DropMass::of_base(47.8e-6);
    Drop::of_mass(Measured::new(one, 3e-7, f64::INFINITY)).expect("a usual size")
}

/// A plan by the drop, with its first addition; a dose carried to a batch.
fn plans(c: &mut Criterion) {
    let mut watering = Watering::new(
        Measured::new(Mass::of_base(0.34), 4e-5, f64::INFINITY),
        Measured::new(Moisture::of_base(0.108), 0.005, f64::INFINITY),
        Moisture::of_base(0.15),
    );
    watering.drop = Some(drop());
    c.bench_function("water by the drop, first addition", |b| {
        b.iter(|| black_box(&watering).plan());
    });
    let dosing = Dosing {
        leaf: Some(Measured::exact(Mass::of_base(0.01))),
        at: Some(Measured::new(Moisture::of_base(0.12), 0.004, f64::INFINITY)),
        drop: Some(drop()),
        batch: Some(Batch {
            leaf: Measured::exact(Mass::of_base(6.5)),
            at: BatchValue::AsInTrial,
            density: BatchValue::Unknown,
            drop: BatchValue::AsInTrial,
        }),
        ..Dosing::new(Asked::Drops(Drops::new(7.0)), LeafBasis::Dry)
    };
    c.bench_function("dose, bench to batch", |b| {
        b.iter(|| black_box(&dosing).answer());
    });
}

/// A calibration by more and more weighings.
fn calibrations(c: &mut Criterion) {
    let mut group = c.benchmark_group("calibration");
    for count in [5_u32, 50, 500] {
        let weighings = (0..count).map(|i| Weighing {
            drops: 20,
            amount: Measured::exact(Mass::of_base(0.974e-3 + 1e-6 * f64::from(i % 7))),
            last_place: Mass::of_base(1e-6),
        });
        let typed = Calibrating::new(Readings::Singly(weighings.collect()), Dropped::Water);
        group.throughput(Throughput::Elements(count.into()));
        group.bench_with_input(BenchmarkId::from_parameter(count), &typed, |b, typed| {
            b.iter(|| black_box(typed).calibrate());
        });
    }
    group.finish();
}

/// A sheet and a repair by more and more components.
fn blends(c: &mut Criterion) {
    for count in [3_usize, 30, 300] {
        let names: Vec<String> = (0..count).map(|i| format!("leaf {i}")).collect();
        let words: Vec<&str> = names.iter().map(String::as_str).collect();
        let amounts = Amounts::Parts((0..count).map(|i| 1.0 + (i % 5) as f64).collect());
        let shares = Shares::new(&words, &amounts).expect("shares");
        let at = Measured::new(Moisture::of_base(0.12), 0.004, f64::INFINITY);
        let size = SheetSize::AsWeighed(Mass::of_base(2.5));
        let mut sheet = Sheet::new(shares, LeafBasis::Dry, size);
        sheet.lots = vec![Some(at); count];
        c.bench_with_input(BenchmarkId::new("sheet", count), &sheet, |b, sheet| {
            b.iter(|| black_box(sheet).plan());
        });
        let part = |name: &String| Weighed {
            name: name.clone(),
            in_pan: Measured::new(Mass::of_base(0.04), 4e-6, f64::INFINITY),
            share: Ratio::of_base(1.0 / count as f64),
            at: None,
            source: None,
            stock: None,
        };
        let pan = Restoring {
            parts: names.iter().map(part).collect(),
            basis: LeafBasis::AsWeighed,
        };
        c.bench_with_input(BenchmarkId::new("repair", count), &pan, |b, pan| {
            b.iter(|| black_box(pan).restore());
        });
    }
}

/// The plan of ten inputs: to first order, and by draws.
fn doubts(c: &mut Criterion) {
    c.bench_function("ten inputs to first order", |b| {
        b.iter(ten_inputs::budget);
    });
    let mut group = c.benchmark_group("ten inputs by draws");
    group.sample_size(10);
    for draws in [10_000_usize, 100_000, 1_000_000] {
        group.throughput(Throughput::Elements(draws as u64));
        group.bench_with_input(BenchmarkId::from_parameter(draws), &draws, |b, draws| {
            let simulation = ten_inputs::simulation();
            b.iter(|| {
                let (mut columns, _) = simulation.columns(*draws, 1);
                Spread::of(&mut columns[0])
            });
        });
    }
    group.finish();
}

/// Rows of a table: the sum alone, and from text to text.
fn rows(c: &mut Criterion) {
    let scale = Scale::new(Mass::of_base(1e-5)).expect("a step");
    let rows = Rows::new(Some(scale));
    let row = RowWater {
        leaf: Mass::of_base(0.25),
        at: Moisture::of_base(0.112),
        u_at: Ratio::of_base(0.005),
        to: Moisture::of_base(0.145),
        drop: DropMass::of_base(47.8e-6),
        u_drop: DropMass::of_base(3e-7),
    };
    c.bench_function("the water of a row", |b| {
        b.iter(|| rows.water(black_box(&row)));
    });
    let mut group = c.benchmark_group("rows of a table");
    for count in [100_usize, 1_000, 100_000] {
        let mut table = "id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg\n".to_owned();
        for i in 0..count {
            table += &format!("B{i:06},{}.5,11.{},14.5,47.8\n", 100 + i % 900, i % 10);
        }
        group.throughput(Throughput::Elements(count as u64));
        group.bench_with_input(BenchmarkId::from_parameter(count), &table, |b, table| {
            b.iter(|| {
                let mut bytes = table.as_bytes();
                let mut source = Source::new(&mut bytes);
                let mut piece = Piece::new();
                let mut written = 0;
                source.fill(&mut piece).expect("a table");
                let work = Work::begin(&mut piece, Some(scale)).expect("a header");
                loop {
                    work.on(&mut piece);
                    written += piece.written().len();
                    if !source.fill(&mut piece).expect("a table") {
                        return written;
                    }
                }
            });
        });
    }
    group.finish();
}

criterion_group!(benches, plans, calibrations, blends, doubts, rows);
criterion_main!(benches);
