//! A curve of leaf, and how it is known.

use uom::si::{SI, Units};

use super::fit::Fit;
use super::leaf::{LEAF_REFERENCE, Leaf};
use super::oswin::{activity, at_temperature, held};
use crate::error::Result;
use crate::matter::Moisture;
use crate::measure::{
    HELD_MOISTURE, Inputs, LEAF_HUMIDITY, LEAF_TEMPERATURE, Measured, Point, Ratio, Real, Scalar,
    Slot, Temperature,
};

/// A curve from relative humidity to moisture.
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::sorption::{Isotherm, Leaf, OwnReading};
/// use gutta::measure::{Measured, ROOM_TEMPERATURE, Ratio};
/// use uom::si::ratio::percent;
/// let read = OwnReading {
///     humidity: Measured::exact(Ratio::new::<percent>(60.0)),
///     moisture: Measured::exact(Moisture::new(Ratio::new::<percent>(14.0))?),
///     temperature: Measured::exact(ROOM_TEMPERATURE),
/// };
/// let own = Isotherm::anchored(Leaf::Burley, read)?;
/// assert!(own.level() > Isotherm::of(Leaf::Burley).level());
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Isotherm {
    leaf: Leaf,
    known: Known,
}

#[derive(Clone, Debug, PartialEq)]
enum Known {
    Default,
    Anchored(OwnReading),
    Fitted(Box<Fit>),
}

/// One reading of one's own leaf, at rest in air of a known humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnReading {
    /// The relative humidity of the air, 35 to 75 %.
    pub humidity: Measured<Ratio>,
    /// The leaf's moisture there, by oven or from a reference.
    pub moisture: Measured<Moisture>,
    /// The temperature of both, 5 to 40 °C. Equal in value and doubt to that of
    /// the question it is taken for the same reading of it.
    pub temperature: Measured<Temperature>,
}

/// The doubt of B, by which a curve leaves its anchor (k = 1).
const U_EXPONENT: f64 = 0.10;

/// The curve, as a budget shows it.
const ISOTHERM: &str = "isotherm";

impl Isotherm {
    /// The curve of a type of leaf by default; [`Leaf`] says how weak it is.
    pub const fn of(leaf: Leaf) -> Self {
        Self {
            leaf,
            known: Known::Default,
        }
    }

    /// The curve of a type of leaf, moved to go through one reading of one's
    /// own: A = X₀ (a₀/(1 − a₀))^−B, a₀ brought to 22 °C.
    ///
    /// At another humidity it has u² = u(m₀)² + (m(1 − m) ln[(a/(1 − a))/(a₀/(1 −
    /// a₀))]·0.10)²: the doubt of the moisture read is carried as a shift by as
    /// many points, and that of B, 0.10, grows with the way from the anchor. A
    /// doubt of a₀ or its temperature comes on top by its slope, as independent
    /// of later readings.
    ///
    /// # Errors
    /// When the moisture is not above 0; a refusal when the humidity is outside
    /// 35 to 75 % or the temperature outside 5 to 40 °C.
    pub fn anchored(leaf: Leaf, reading: OwnReading) -> Result<Self> {
        LEAF_HUMIDITY.check_base(reading.humidity.value().base())?;
        HELD_MOISTURE.check_base(reading.moisture.value().base())?;
        LEAF_TEMPERATURE.check_base(reading.temperature.value().base())?;
        Ok(Self {
            leaf,
            known: Known::Anchored(reading),
        })
    }

    /// The curve through points of one's own. Its doubt is that of A and B
    /// together, with n − 2 degrees of freedom.
    pub fn fitted(fit: Fit) -> Self {
        Self {
            leaf: fit.leaf(),
            known: Known::Fitted(Box::new(fit)),
        }
    }

    /// The type of leaf: what it is by default, and its heat of sorption.
    pub const fn leaf(&self) -> Leaf {
        self.leaf
    }

    /// A of the curve: water over dry matter at 50 % relative humidity, 22 °C.
    pub fn level(&self) -> Ratio {
        match &self.known {
            Known::Default => self.leaf.level(),
            Known::Anchored(reading) => level_through(
                self.leaf,
                reading.moisture.value(),
                reading.humidity.value(),
                reading.temperature.value(),
                self.leaf.exponent(),
            ),
            Known::Fitted(fit) => fit.level().value(),
        }
    }

    /// B of the curve: how steep it is.
    pub fn exponent(&self) -> Ratio {
        match &self.known {
            Known::Fitted(fit) => fit.exponent().value(),
            Known::Default | Known::Anchored(_) => self.leaf.exponent(),
        }
    }

    /// The moisture in air of a relative humidity and a temperature, unchecked.
    pub(super) fn moisture(&self, humidity: Ratio, temperature: Temperature) -> Moisture {
        let at_reference = at_temperature(humidity, self.leaf.heat(), temperature, LEAF_REFERENCE);
        held(self.level(), self.exponent(), at_reference).on_wet_basis()
    }

    /// The relative humidity that keeps a moisture, unchecked.
    pub(super) fn humidity(&self, moisture: Moisture, temperature: Temperature) -> Ratio {
        let at_reference = activity(self.level(), self.exponent(), moisture.on_dry_basis());
        at_temperature(at_reference, self.leaf.heat(), LEAF_REFERENCE, temperature)
    }

    /// Hands the curve over as an input of a formula, with the doubt that it has
    /// in air of a relative humidity.
    pub(super) fn add_to(
        &self,
        inputs: &mut Inputs,
        humidity: Ratio,
        measured: &Measured<Temperature>,
        slot: Slot<Temperature>,
    ) -> Result<CurveSlots> {
        let temperature = measured.value();
        let exponent = self.leaf.exponent();
        let slots = match &self.known {
            // What the table gives is a doubt of the moisture. It is A that is
            // taken as doubtful, by as much: m = X/(1 + X), and X goes with A.
            Known::Default => {
                let level = self.leaf.level().base();
                let m = self.moisture(humidity, temperature);
                let slope = m.dry_share().base() * m.base() / level;
                let u = self.leaf.doubt(humidity)? / slope;
                let level = Measured::new(self.leaf.level(), u, f64::INFINITY);
                Slots::Default(inputs.add(ISOTHERM, &level))
            }
            Known::Anchored(reading) => Slots::Anchored {
                moisture: inputs.add("anchor moisture", &reading.moisture),
                read: reading.moisture.value(),
                humidity: inputs.add("anchor humidity", &reading.humidity),
                // One thermometer read once is one input.
                temperature: if reading.temperature == *measured {
                    slot
                } else {
                    inputs.add("anchor temperature", &reading.temperature)
                },
                exponent: inputs.add(
                    ISOTHERM,
                    &Measured::new(exponent, U_EXPONENT, f64::INFINITY),
                ),
            },
            Known::Fitted(fit) => {
                let slots =
                    inputs.add_group(ISOTHERM, &fit.logarithms(), &fit.covariance(), fit.dof())?;
                Slots::Fitted([slots[0], slots[1]])
            }
        };
        Ok(CurveSlots {
            leaf: self.leaf,
            slots,
        })
    }
}

/// A of the curve through one point: the Oswin form solved for A is the form
/// with X₀ for A and −B for B.
fn level_through<V: Real>(
    leaf: Leaf,
    moisture: Moisture<V>,
    humidity: Ratio<V>,
    temperature: Temperature<V>,
    exponent: Ratio<V>,
) -> Ratio<V>
where
    SI<V>: Units<V>,
{
    let reference = LEAF_REFERENCE.lift::<V>();
    let at_reference = at_temperature(humidity, leaf.heat(), temperature, reference);
    held(moisture.on_dry_basis().ratio(), -exponent, at_reference).ratio()
}

/// A curve among the inputs of a formula.
#[derive(Clone, Copy, Debug)]
pub(super) struct CurveSlots {
    leaf: Leaf,
    slots: Slots,
}

#[derive(Clone, Copy, Debug)]
enum Slots {
    Default(Slot<Ratio>),
    Anchored {
        moisture: Slot<Moisture>,
        /// The moisture that was read: the curve goes through it, and the doubt
        /// about it shifts the curve.
        read: Moisture,
        humidity: Slot<Ratio>,
        temperature: Slot<Temperature>,
        exponent: Slot<Ratio>,
    },
    /// ln A and ln B.
    Fitted([Slot<Ratio>; 2]),
}

impl CurveSlots {
    /// A, B and the shift in points.
    fn curve<V: Real>(&self, point: &Point<'_, V>) -> (Ratio<V>, Ratio<V>, Ratio<V>)
    where
        SI<V>: Units<V>,
    {
        let nothing = Ratio::from(V::zero());
        match self.slots {
            Slots::Default(level) => (point.get(level), self.leaf.exponent().lift(), nothing),
            Slots::Anchored {
                moisture,
                read,
                humidity,
                temperature,
                exponent,
            } => {
                let exponent = point.get(exponent);
                let level = level_through(
                    self.leaf,
                    read.lift::<V>(),
                    point.get(humidity),
                    point.get(temperature),
                    exponent,
                );
                let shift = point.get(moisture).ratio() - read.lift::<V>().ratio();
                (level, exponent, shift)
            }
            Slots::Fitted(logarithms) => {
                let [level, exponent] =
                    logarithms.map(|slot| Ratio::from(point.get(slot).value.exp()));
                (level, exponent, nothing)
            }
        }
    }

    /// Air → leaf.
    pub fn moisture<V: Real>(
        &self,
        point: &Point<'_, V>,
        humidity: Ratio<V>,
        temperature: Temperature<V>,
    ) -> Moisture<V>
    where
        SI<V>: Units<V>,
    {
        let (level, exponent, shift) = self.curve(point);
        let reference = LEAF_REFERENCE.lift::<V>();
        let at_reference = at_temperature(humidity, self.leaf.heat(), temperature, reference);
        let on_curve = held(level, exponent, at_reference).on_wet_basis();
        Moisture::from_base((on_curve.ratio() + shift).value)
    }

    /// Leaf → air.
    pub fn humidity<V: Real>(
        &self,
        point: &Point<'_, V>,
        moisture: Moisture<V>,
        temperature: Temperature<V>,
    ) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let (level, exponent, shift) = self.curve(point);
        let on_curve = Moisture::from_base((moisture.ratio() - shift).value);
        let at_reference = activity(level, exponent, on_curve.on_dry_basis());
        let reference = LEAF_REFERENCE.lift::<V>();
        at_temperature(at_reference, self.leaf.heat(), reference, temperature)
    }
}
