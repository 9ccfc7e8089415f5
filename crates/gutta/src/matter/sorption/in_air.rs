//! The two questions: what leaf comes to in air, and what air keeps it.

use uom::si::ratio::percent;
use uom::si::{SI, Units};

use super::isotherm::{CurveSlots, Isotherm};
use super::mould::mould_line;
use crate::caution::Caution;
use crate::error::Result;
use crate::matter::Moisture;
use crate::measure::{
    Estimate, Formula, HELD_MOISTURE, Inputs, LEAF_HUMIDITY, LEAF_TEMPERATURE, Measured, Point,
    Ratio, Real, Scalar, Simulation, Slot, Temperature,
};

/// Leaf at rest in air: what moisture it comes to.
///
/// ```
/// use gutta::matter::sorption::{InAir, Isotherm, LEAF_REFERENCE, Leaf};
/// use gutta::measure::{Measured, Ratio};
/// use uom::si::ratio::percent;
/// let air = Measured::with_half_width(Ratio::new::<percent>(60.0), 0.03);
/// let at = Measured::exact(LEAF_REFERENCE);
/// let leaf = InAir::new(Isotherm::of(Leaf::Burley), air, at).moisture()?;
/// assert!((leaf.best().ratio().get::<percent>() - 12.68).abs() < 5e-3);
/// assert_eq!(leaf.budget()[0].0, "isotherm");
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct InAir {
    isotherm: Isotherm,
    humidity: Measured<Ratio>,
    temperature: Measured<Temperature>,
}

/// Leaf of a known moisture: what air keeps it there.
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::sorption::{Isotherm, KeptBy, LEAF_REFERENCE, Leaf};
/// use gutta::measure::{Measured, Ratio};
/// use uom::si::ratio::percent;
/// let leaf = Measured::exact(Moisture::new(Ratio::new::<percent>(13.0))?);
/// let at = Measured::exact(LEAF_REFERENCE);
/// let air = KeptBy::new(Isotherm::of(Leaf::FlueCured), leaf, at).humidity()?;
/// let air = air.estimate().expect("within 35 to 75 %");
/// assert!((air.best().get::<percent>() - 57.5).abs() < 0.05);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct KeptBy {
    isotherm: Isotherm,
    moisture: Measured<Moisture>,
    temperature: Measured<Temperature>,
}

/// The relative humidity of the air that leaf is at rest with.
#[derive(Clone, Debug, PartialEq)]
pub enum Equivalent {
    /// Below 35 %: the curves end there, and no figure is given.
    Below,
    /// From 35 to 75 %, with its doubt.
    Within(Estimate<Ratio>),
    /// Above 75 %: the curves end there, and no figure is given.
    Above,
}

impl Equivalent {
    /// The figure, where there is one.
    pub const fn estimate(&self) -> Option<&Estimate<Ratio>> {
        match self {
            Self::Within(estimate) => Some(estimate),
            Self::Below | Self::Above => None,
        }
    }

    /// What the mould line says of uncased leaf.
    pub fn mould_line(&self) -> Option<Caution> {
        match self {
            Self::Below => None,
            Self::Within(estimate) => mould_line(estimate.best()),
            Self::Above => Some(Caution::BeyondTheCurves),
        }
    }
}

/// The temperature of air and leaf, as a budget shows it.
const TEMPERATURE: &str = "temperature";

impl InAir {
    /// Leaf of a curve in air of a relative humidity (35 to 75 %) and a
    /// temperature (5 to 40 °C).
    pub const fn new(
        isotherm: Isotherm,
        humidity: Measured<Ratio>,
        temperature: Measured<Temperature>,
    ) -> Self {
        Self {
            isotherm,
            humidity,
            temperature,
        }
    }

    /// The moisture that the leaf comes to, given time. Its doubt is that of the
    /// curve, named "isotherm", of the "relative humidity" and of the
    /// "temperature".
    ///
    /// # Errors
    /// A refusal when the humidity is outside 35 to 75 % or the temperature
    /// outside 5 to 40 °C; the hint has the moisture at the nearest humidity.
    pub fn moisture(&self) -> Result<Estimate<Moisture>> {
        let (inputs, formula) = self.lay()?;
        Ok(inputs.propagate(&formula).estimate(|moisture| *moisture))
    }

    /// The moisture ready to be run on draws. A draw is outside when no leaf
    /// can hold it.
    ///
    /// # Errors
    /// As [`moisture`](Self::moisture).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |moisture: &Moisture, row: &mut [f64]| {
            row[0] = moisture.base();
            HELD_MOISTURE.check_base(moisture.base()).is_ok()
        };
        Ok(inputs.simulate(formula, &["moisture"], pick))
    }

    /// What the mould line says of uncased leaf in this air.
    pub fn mould_line(&self) -> Option<Caution> {
        mould_line(self.humidity.value())
    }

    fn lay(&self) -> Result<(Inputs, AirToLeaf)> {
        let (humidity, temperature) = (self.humidity.value(), self.temperature.value());
        LEAF_TEMPERATURE.check_base(temperature.base())?;
        LEAF_HUMIDITY.check_base(humidity.base()).map_err(|error| {
            let nearest = Ratio::of_base(LEAF_HUMIDITY.nearest_base(humidity.base()));
            let held = self.isotherm.moisture(nearest, temperature);
            error.with_hint(format!(
                "the curves of leaf end there: the nearest that can be said is {:.0} %, \
                 where this leaf holds {:.1} %",
                nearest.get::<percent>(),
                held.ratio().get::<percent>()
            ))
        })?;
        let mut inputs = Inputs::new();
        let slot = inputs.add(TEMPERATURE, &self.temperature);
        let formula = AirToLeaf {
            curve: self
                .isotherm
                .add_to(&mut inputs, humidity, &self.temperature, slot)?,
            humidity: inputs.add("relative humidity", &self.humidity),
            temperature: slot,
        };
        Ok((inputs, formula))
    }
}

impl KeptBy {
    /// Leaf of a curve at a moisture (above 0, below 100 %) and a temperature (5
    /// to 40 °C).
    pub const fn new(
        isotherm: Isotherm,
        moisture: Measured<Moisture>,
        temperature: Measured<Temperature>,
    ) -> Self {
        Self {
            isotherm,
            moisture,
            temperature,
        }
    }

    /// The relative humidity that keeps the leaf at this moisture: of a closed
    /// jar that it has come to rest in, too. Its doubt is that of the curve,
    /// named "isotherm", of the "moisture" and of the "temperature".
    ///
    /// # Errors
    /// When the moisture is not above 0; a refusal when the temperature is
    /// outside 5 to 40 °C. That no figure is known is no error.
    pub fn humidity(&self) -> Result<Equivalent> {
        let best = self.best()?;
        if LEAF_HUMIDITY.check_base(best.base()).is_err() {
            let nearest = LEAF_HUMIDITY.nearest_base(best.base());
            return Ok(if best.base() < nearest {
                Equivalent::Below
            } else {
                Equivalent::Above
            });
        }
        let (inputs, formula) = self.lay(best)?;
        let run = inputs.propagate(&formula);
        Ok(Equivalent::Within(run.estimate(|humidity| *humidity)))
    }

    /// The relative humidity ready to be run on draws; none where no figure is
    /// known. A draw is outside when it is not within 0 to 100 %.
    ///
    /// # Errors
    /// As [`humidity`](Self::humidity).
    pub fn simulate(&self) -> Result<Option<Simulation>> {
        let best = self.best()?;
        if LEAF_HUMIDITY.check_base(best.base()).is_err() {
            return Ok(None);
        }
        let (inputs, formula) = self.lay(best)?;
        let pick = |humidity: &Ratio, row: &mut [f64]| {
            row[0] = humidity.base();
            (0.0..=1.0).contains(&humidity.base())
        };
        Ok(Some(inputs.simulate(formula, &["humidity"], pick)))
    }

    fn best(&self) -> Result<Ratio> {
        HELD_MOISTURE.check_base(self.moisture.value().base())?;
        LEAF_TEMPERATURE.check_base(self.temperature.value().base())?;
        Ok(self
            .isotherm
            .humidity(self.moisture.value(), self.temperature.value()))
    }

    fn lay(&self, best: Ratio) -> Result<(Inputs, LeafToAir)> {
        let mut inputs = Inputs::new();
        let slot = inputs.add(TEMPERATURE, &self.temperature);
        let formula = LeafToAir {
            curve: self
                .isotherm
                .add_to(&mut inputs, best, &self.temperature, slot)?,
            moisture: inputs.add("moisture", &self.moisture),
            temperature: slot,
        };
        Ok((inputs, formula))
    }
}

struct AirToLeaf {
    curve: CurveSlots,
    humidity: Slot<Ratio>,
    temperature: Slot<Temperature>,
}

impl Formula for AirToLeaf {
    type Figures<V: Real>
        = Moisture<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Moisture<V>
    where
        SI<V>: Units<V>,
    {
        let (humidity, temperature) = (point.get(self.humidity), point.get(self.temperature));
        self.curve.moisture(point, humidity, temperature)
    }
}

struct LeafToAir {
    curve: CurveSlots,
    moisture: Slot<Moisture>,
    temperature: Slot<Temperature>,
}

impl Formula for LeafToAir {
    type Figures<V: Real>
        = Ratio<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let (moisture, temperature) = (point.get(self.moisture), point.get(self.temperature));
        self.curve.humidity(point, moisture, temperature)
    }
}
