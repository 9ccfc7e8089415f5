//! The first-order budget of the plan of ten inputs: the microseconds that one
//! takes, the median of eleven times a thousand.

use std::time::Instant;

fn main() {
    let mut each: Vec<f64> = (0..11)
        .map(|_| {
            let begun = Instant::now();
            for _ in 0..1000 {
                std::hint::black_box(gutta_bench::ten_inputs::budget());
            }
            begun.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    each.sort_by(f64::total_cmp);
    println!("{} {}", gutta_bench::ten_inputs::budget().0, each[5]);
}
