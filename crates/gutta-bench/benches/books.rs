//! What it costs to read a bench book, by how much is in it.

use std::fs;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gutta::blend::record::Moment;
use gutta_book::{Book, Journal, NewEntry, kind};

fn book() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("book.toml"), "format = 1\n").expect("a file");
    folder
}

/// Books with more and more lots.
fn lots(c: &mut Criterion) {
    let mut group = c.benchmark_group("book by its lots");
    group.sample_size(10);
    for count in [10_usize, 1_000, 100_000] {
        let folder = book();
        let mut table = "name,leaf,moisture,method,date,note\n".to_owned();
        for i in 0..count {
            table += &format!("lot-{i},burley,12.{}% ± 0.6%,oven,2026-10-02,\n", i % 10);
        }
        fs::write(folder.path().join("lots.csv"), table).expect("a file");
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function(BenchmarkId::from_parameter(count), |b| {
            b.iter(|| Book::open(folder.path()).expect("a sound book"));
        });
    }
    group.finish();
}

/// How often leaf is taken from a lot before the next one comes in.
const TAKINGS: usize = 99;

fn entry(i: usize) -> NewEntry {
    let lot = i / (TAKINGS + 1);
    let (kind, fields) = match i % (TAKINGS + 1) {
        0 => (
            kind::LOT_IN,
            [("mass", "1200 g"), ("moisture", "12.4 % ± 0.6 %")],
        ),
        _ => (kind::LOT_TAKEN, [("mass", "10.2 g"), ("text", "for a jar")]),
    };
    let mut fields: serde_json::Map<_, _> = fields
        .into_iter()
        .map(|(name, text)| (name.to_owned(), text.into()))
        .collect();
    fields.insert("lot".to_owned(), format!("leaf-{lot}").into());
    fields.insert("scale".to_owned(), "0.1 g".into());
    NewEntry {
        at: Moment::of_seconds(1_790_000_000 + i as i64),
        kind: kind.to_owned(),
        fields,
    }
}

/// Journals of more and more entries, read and replayed: what is on hand of each
/// lot.
fn journals(c: &mut Criterion) {
    let mut group = c.benchmark_group("journal by its entries");
    group.sample_size(10);
    for count in [1_000_usize, 10_000, 100_000, 1_000_000] {
        let folder = book();
        let entries: Vec<NewEntry> = (0..count).map(entry).collect();
        Journal::add(folder.path(), &entries).expect("a book");
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function(BenchmarkId::new("read", count), |b| {
            b.iter(|| Journal::read(folder.path()).expect("a sound journal"));
        });
        let journal = Journal::read(folder.path()).expect("a sound journal");
        group.bench_function(BenchmarkId::new("stock", count), |b| {
            b.iter(|| {
                let lots = journal.lots().expect("lots");
                let stock = lots.iter().map(|lot| lot.history.now().expect("a stock"));
                assert_eq!(stock.count(), count / (TAKINGS + 1));
            });
        });
    }
    group.finish();
}

criterion_group!(benches, lots, journals);
criterion_main!(benches);
