//! What is read, what is refused, and that printing and reading agree.

mod accepted;
mod laws;
mod printed;
mod refused;

use super::Kind;

const ALL: [Kind; 11] = Kind::ALL;

/// A sum, a product and a conversion round a few times at 1.1e-16 each.
fn near(got: f64, want: f64) -> bool {
    (got - want).abs() <= 1e-14 * want.abs()
}
