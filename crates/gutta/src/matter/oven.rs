//! An oven dish: what its weighings can know.

use super::Moisture;
use crate::measure::{Mass, Measured, Scalar};

/// The doubt of one oven dish from the steps of its scale alone, the three
/// readings tare, wet and dry each rounded to `division`:
/// u = (D/√12) √(1 + (1 − m)² + m²) / net wet mass (JCGM 100:2008, 5.1.2, on
/// m = (wet − dry)/(wet − tare)).
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::dish;
/// use gutta::measure::{Mass, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let at = Moisture::new(Ratio::new::<percent>(12.0)).unwrap();
/// // One 5 g dish on a 0.01 g scale: about ±0.15 points at 95 %.
/// let known = dish(at, Mass::new::<gram>(5.0), Mass::new::<gram>(0.01));
/// assert!((known.half_width_95() - 0.0015).abs() < 1e-4);
/// ```
pub fn dish(at: Moisture, net_wet: Mass, division: Mass) -> Measured<Moisture> {
    let m = at.base();
    let reading = division.base() / 12.0_f64.sqrt();
    let u = reading * (1.0 + (1.0 - m).powi(2) + m * m).sqrt() / net_wet.base();
    Measured::new(at, u, f64::INFINITY)
}
