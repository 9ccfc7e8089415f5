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

/// Journals of more and more notes.
fn journals(c: &mut Criterion) {
    let mut group = c.benchmark_group("journal by its entries");
    group.sample_size(10);
    for count in [1_000_usize, 10_000, 100_000, 1_000_000] {
        let folder = book();
        let entries: Vec<NewEntry> = (0..count)
            .map(|i| {
                let text = format!("\"turned, jar {i}\"");
                let text = serde_json::from_str(&text).expect("a text");
                NewEntry {
                    at: Moment::of_seconds(1_790_000_000 + i as i64),
                    kind: kind::NOTE.to_owned(),
                    fields: [("text".to_owned(), text)].into_iter().collect(),
                }
            })
            .collect();
        Journal::add(folder.path(), &entries).expect("a book");
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function(BenchmarkId::from_parameter(count), |b| {
            // Of a million identifiers some stand twice, which is an error once all
            // of it is read.
            b.iter(|| Journal::read(folder.path()).map(|journal| journal.counted().count()));
        });
    }
    group.finish();
}

criterion_group!(benches, lots, journals);
criterion_main!(benches);
