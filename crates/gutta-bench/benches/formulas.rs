//! What a formula costs, and what its units and its doubt add to it.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use gutta::bench::{
    Brought, Calibrating, Casing, Dilution, Drop, Dropped, Falling, LeafBasis, Rate, RateOf,
    Readings, Strong, Weighing,
};
use gutta::blend::batch::Choice;
use gutta::matter::{Liquid, alcohol};
use gutta::measure::{
    DropMass, Drops, Kind, Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar, read,
};
use gutta::{Composition, Moisture, Pile, Watering};
use gutta_bench::lots::lots;

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

/// What is asked of liquids: a name, a density by all of its coefficients, the
/// drop of another liquid, less than a drop, casing.
fn liquids(c: &mut Criterion) {
    c.bench_function("read alcohol 70% vol", |b| {
        b.iter(|| Liquid::named(black_box("alcohol 70% vol")));
    });
    let room = Measured::exact(ROOM_TEMPERATURE);
    let share = Ratio::of_base(0.62386);
    c.bench_function("density of alcohol and water", |b| {
        b.iter(|| alcohol::density(black_box(share), black_box(ROOM_TEMPERATURE)));
    });
    let spirit = Liquid::named("alcohol 70% ± 1% vol")
        .expect("a strength")
        .expect("a known name");
    c.bench_function("a density with its doubt", |b| {
        b.iter(|| black_box(&spirit).density(&room));
    });
    let weighing = Weighing {
        drops: 20,
        amount: Measured::exact(Mass::of_base(0.974e-3)),
        last_place: Mass::of_base(1e-6),
    };
    let falling = Falling {
        from: Calibrating::new(Readings::Singly(vec![weighing; 5]), Dropped::Water),
        to: spirit.clone(),
    };
    c.bench_function("the drop of another liquid", |b| {
        b.iter(|| black_box(&falling).predict());
    });
    let drop = DropMass::of_base(29e-6);
    let dilution = Dilution::new(
        Measured::exact(Ratio::of_base(0.9e-3)),
        LeafBasis::AsWeighed,
        Measured::new(Mass::of_base(0.01), 4e-6, f64::INFINITY),
        Drop::of_mass(Measured::new(drop, 5e-7, f64::INFINITY)).expect("a usual size"),
        Strong::ToMake {
            drops: Drops::new(4.0),
            neat: Mass::of_base(0.8e-3),
        },
    );
    c.bench_function("a dilution for less than a drop", |b| {
        b.iter(|| black_box(&dilution).plan());
    });
    let honey = Liquid::named("honey 17% water")
        .expect("its water")
        .expect("a known name");
    let recipe = vec![
        Brought::of(&honey, Measured::exact(Mass::of_base(0.06))).expect("what is in it"),
        Brought::weighed(
            "water",
            Measured::exact(Mass::of_base(0.03)),
            Composition::water(),
        ),
    ];
    let rate = Rate {
        share: Ratio::of_base(0.08),
        of: RateOf::Solids,
        basis: LeafBasis::Dry,
    };
    let mut casing = Casing::new(
        Measured::new(Mass::of_base(2.5), 4e-4, f64::INFINITY),
        Measured::new(Moisture::of_base(0.125), 0.004, f64::INFINITY),
        recipe,
        rate,
    );
    casing.bulk = Some(Moisture::of_base(0.20));
    casing.to = Some(Moisture::of_base(0.14));
    c.bench_function("casing, to bulk and dried back", |b| {
        b.iter(|| black_box(&casing).cased());
    });
}

fn cheapest(c: &mut Criterion) {
    for (basis, shares) in [
        (LeafBasis::Dry, "dry shares"),
        (LeafBasis::AsWeighed, "shares as weighed"),
    ] {
        for count in [30, 300, 3000] {
            let asked = lots(basis, count);
            assert!(matches!(asked.choose(), Ok(Choice::Made(_))));
            c.bench_function(&format!("the cheapest of {count} lots, {shares}"), |b| {
                b.iter(|| black_box(&asked).choose());
            });
        }
    }
}

criterion_group!(benches, water, plan, text, liquids, cheapest);
criterion_main!(benches);
