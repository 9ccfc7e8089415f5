//! How much water first, when the moisture is in doubt.
//!
//! # Why not simply all of it?
//!
//! Water can be added and not taken back. The first addition is the largest
//! that passes the top of the target band with no more than the risk; the rest
//! follows a reading.

use crate::matter::Moisture;
use crate::measure::{Drops, Measured, Ratio, Scalar, student_quantile};

/// Bisections of 0…1: the last bit of the share.
const HALVINGS: u32 = 52;

/// Whether a moisture keeps below the top of the band at a risk, one-sided:
/// y + t(1 − r, ν) u(y) ≤ T.
pub(super) fn is_within(y: &Measured<Moisture>, top: Ratio, risk: Ratio) -> bool {
    let factor = student_quantile(1.0 - risk.base(), y.dof().floor().max(1.0));
    y.value().base() + factor * y.u() <= top.base()
}

/// The largest share of the water, 0 to 1, for which `within` holds; `within`
/// holds up to some share and not beyond, since each gram of water raises the
/// moisture by more than it lowers the doubt.
pub(super) fn largest(within: impl Fn(f64) -> bool) -> f64 {
    if within(1.0) {
        return 1.0;
    }
    if !within(0.0) {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if within(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// The largest whole number of drops up to `most` for which `within` holds.
pub(super) fn largest_whole(most: Drops, within: impl Fn(Drops) -> bool) -> Drops {
    if within(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most.count());
    while high - low > 1.0 {
        let middle = f64::midpoint(low, high).floor();
        if within(Drops::new(middle)) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Drops::new(low)
}
