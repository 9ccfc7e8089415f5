//! The weighing instrument and what its steps do to a weight.

use super::range::{DIVISION, MASS};
use super::{COVERAGE_95, Mass, Measured, Ratio, Scalar, Shape};
use crate::error::Result;

/// A scale: its division and its repeatability.
///
/// ```
/// use gutta::measure::{Mass, Scale};
/// use uom::si::mass::gram;
/// let scale = Scale::new(Mass::new::<gram>(0.1)).unwrap();
/// // Tare and load are read once each: √2 · 0.1/√12.
/// assert!((scale.u_net().get::<gram>() - 0.040_824_829).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    division: Mass,
    repeatability: Mass,
}

impl Scale {
    /// A scale that steps by `division` and repeats perfectly.
    ///
    /// # Errors
    /// When the division is not above 0 and at most 1 kg.
    pub fn new(division: Mass) -> Result<Self> {
        DIVISION.check_base(division.base())?;
        Ok(Self {
            division,
            repeatability: Mass::of_base(0.0),
        })
    }

    /// The same scale with the standard deviation of one reading.
    ///
    /// # Errors
    /// When the repeatability is not above 0.
    pub fn with_repeatability(self, repeatability: Mass) -> Result<Self> {
        MASS.check_base(repeatability.base())?;
        Ok(Self {
            repeatability,
            ..self
        })
    }

    /// The smallest step shown.
    pub const fn division(&self) -> Mass {
        self.division
    }

    /// The standard deviation of one reading, beyond the rounding.
    pub const fn repeatability(&self) -> Mass {
        self.repeatability
    }

    /// A net weight that this scale showed. Without repeatability its doubt is
    /// that of two roundings: triangular.
    pub fn weighed(&self, net: Mass) -> Measured<Mass> {
        let weight = Measured::new(net, self.u_net().base(), f64::INFINITY);
        if self.repeatability.base() == 0.0 {
            weight.with_shape(Shape::Triangular(0.5))
        } else {
            weight
        }
    }

    /// The standard uncertainty (k = 1) of a net weight, one zero and one
    /// load: √2·√(D²/12 + s²). The rounding is rectangular (JCGM 100:2008,
    /// F.2.2.1); two readings as in EURACHEM/CITAC QUAM, example A2.
    pub fn u_net(&self) -> Mass {
        self.u_reading() * Ratio::of_base(2.0_f64.sqrt())
    }

    /// The least that is weighed within a tolerance: max(D, 1.96 u_net)/tolerance.
    /// Common practice; USP 41 has the like with 2·max(0.41 D, s) and 0.1 %.
    ///
    /// ```
    /// use gutta::measure::{Mass, Ratio, Scale};
    /// use uom::si::{mass::gram, ratio::percent};
    /// let scale = Scale::new(Mass::new::<gram>(0.1)).unwrap();
    /// let least = scale.least_weighing(Ratio::new::<percent>(2.0));
    /// assert!((least.get::<gram>() - 5.0).abs() < 1e-12);
    /// ```
    pub fn least_weighing(&self, tolerance: Ratio) -> Mass {
        let u = COVERAGE_95 * self.u_net().base();
        Mass::of_base(u.max(self.division.base())) / tolerance
    }

    /// The standard uncertainty (k = 1) of one reading: √(D²/12 + s²).
    pub fn u_reading(&self) -> Mass {
        let u = rounding_u(self.division.base()).hypot(self.repeatability.base());
        Mass::of_base(u)
    }

    /// A single reading that this scale showed, such as a gross mass that a tare
    /// is taken off. Without repeatability its doubt is that of one rounding:
    /// rectangular.
    pub fn read(&self, gross: Mass) -> Measured<Mass> {
        let reading = Measured::new(gross, self.u_reading().base(), f64::INFINITY);
        if self.repeatability.base() == 0.0 {
            reading.with_shape(Shape::Rectangular)
        } else {
            reading
        }
    }
}

/// The standard uncertainty of one reading rounded to a step: D/√12.
fn rounding_u(step: f64) -> f64 {
    step / 12.0_f64.sqrt()
}

/// The standard uncertainty of a difference of two readings rounded to a step,
/// in the unit of the step: √2·D/√12.
pub(crate) fn rounding_u_net(step: f64) -> f64 {
    2.0_f64.sqrt() * rounding_u(step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::mass::gram;

    #[test]
    fn repeatability_adds_in_squares() {
        let scale = Scale::new(Mass::new::<gram>(0.01)).unwrap();
        let worn = scale.with_repeatability(Mass::new::<gram>(0.02)).unwrap();
        let expected = 2.0_f64.sqrt() * (0.01_f64.powi(2) / 12.0 + 0.02_f64.powi(2)).sqrt();
        assert!((worn.u_net().get::<gram>() - expected).abs() < 1e-15);
    }

    #[test]
    fn a_scale_steps_by_something() {
        for division in [0.0, -0.1, f64::NAN] {
            let error = Scale::new(Mass::new::<gram>(division)).unwrap_err();
            assert!(
                error
                    .to_string()
                    .starts_with("the scale's division must be")
            );
        }
    }
}
