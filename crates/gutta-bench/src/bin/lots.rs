//! The cheapest of many lots: `lots dry|as-weighed COUNT`.
//!
//! Prints the cost and the seconds that one answer takes, the median of eleven;
//! then the question, so that another solver gets the same: batch, moisture and
//! tolerance, the share of each component, and of each lot its component, moisture,
//! price and stock.

use std::time::Instant;

use gutta::bench::LeafBasis;
use gutta::blend::batch::Choice;
use gutta::measure::{Mass, Scalar};

fn main() {
    let mut words = std::env::args().skip(1);
    let basis = match words.next().as_deref() {
        Some("dry") => LeafBasis::Dry,
        Some("as-weighed") => LeafBasis::AsWeighed,
        _ => panic!("type dry or as-weighed, then how many lots"),
    };
    let count = words.next().and_then(|n| n.parse().ok()).unwrap_or(300);
    let asked = gutta_bench::lots::lots(basis, count);
    let Ok(Choice::Made(taken)) = asked.choose() else {
        panic!("these lots do not make it");
    };
    // Some hundredths of a second together.
    let times = (10_000 / count).clamp(5, 200);
    let mut each: Vec<f64> = (0..11)
        .map(|_| {
            let begun = Instant::now();
            for _ in 0..times {
                let _ = std::hint::black_box(std::hint::black_box(&asked).choose());
            }
            begun.elapsed().as_secs_f64() / times as f64
        })
        .collect();
    each.sort_by(f64::total_cmp);
    println!("{} {}", taken.cost.sum(), each[5]);
    let wanted = &asked.wanted;
    let (batch, to, within) = (&wanted.finished, &wanted.to, &wanted.within);
    println!("{} {} {}", batch.base(), to.base(), within.base());
    for line in wanted.shares.lines() {
        print!("{} ", line.share().base());
    }
    println!();
    for offer in &asked.offers {
        let stock = offer.stock.map_or(f64::INFINITY, Mass::base);
        let (at, price) = (offer.at.base(), offer.price.per_kilogram());
        println!("{} {at} {price} {stock}", offer.component);
    }
}
