//! One drop of a known size, ready to be counted with.

use std::borrow::Cow;

use uom::si::{SI, Units};

use crate::error::Result;
use crate::measure::{
    COVERAGE_95, Density, DropMass, DropVolume, Drops, DropsPerVolume, Inputs, Mass, Measured,
    Point, Ratio, Real, Scalar, Slot, TYPED_DROP, Volume,
};

/// A drop whose mass is known in one of three ways: typed, calibrated, or
/// taken from the standard dropper.
///
/// ```
/// use gutta::bench::Drop;
/// use gutta::matter::water;
/// use gutta::measure::{DropMass, Mass, Measured, ROOM_TEMPERATURE};
/// use uom::si::mass::milligram;
///
/// let standard = Drop::standard().best_mass(water::density(ROOM_TEMPERATURE));
/// assert!((standard.mass().get::<milligram>() - 49.91).abs() < 5e-3);
///
/// let typed = |mg| DropMass::new(Mass::new::<milligram>(mg));
/// assert!(Drop::of_mass(Measured::exact(typed(200.0))).is_err());
/// ```
///
/// # Why is the scatter kept apart?
///
/// An error in the calibration is common to all drops and grows with their
/// number; the scatter from drop to drop averages out and grows with its root:
/// u² = (n u(d))² + n s₁².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drop {
    size: Size,
    scatter: Option<Scatter>,
    origin: Origin,
}

/// The drop of the water or of the liquid asked about, as a budget shows it.
pub(super) const DROP: &str = "drop";
/// Its scatter from drop to drop.
pub(super) const SCATTER: &str = "scatter of the drops";

/// Whether this much of a liquid is counted in drops: up to 2 mL, above it is
/// weighed (common practice).
pub fn is_counted(volume: Volume) -> bool {
    volume.base() <= 2e-6
}

/// Where the size of a drop is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Somebody typed it.
    Typed,
    /// A calibration with weighings.
    Calibrated,
    /// The standard dropper: an assumption.
    Nominal,
}

/// How one drop differs from the next, as few weighings show it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// The standard deviation of one drop's mass (k = 1).
    pub one: DropMass,
    /// Its degrees of freedom: the weighings less one.
    pub dof: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Size {
    Mass(Measured<DropMass>),
    Volume(Measured<DropVolume>),
}

impl Drop {
    /// A drop of a typed mass.
    ///
    /// # Errors
    /// A refusal outside 5 to 120 mg; from nothing down there is no drop.
    pub fn of_mass(mass: Measured<DropMass>) -> Result<Self> {
        TYPED_DROP.check_base(mass.value().base())?;
        Ok(Self {
            size: Size::Mass(mass),
            scatter: None,
            origin: Origin::Typed,
        })
    }

    /// A drop from a typed number of drops in a volume, of a liquid of a
    /// density.
    ///
    /// # Errors
    /// A refusal when the drop's mass is outside 5 to 120 mg.
    pub fn of_rate(rate: Measured<DropsPerVolume>, density: Density) -> Result<Self> {
        let volume = rate.through::<DropVolume>(DropsPerVolume::drop_volume);
        TYPED_DROP.check_base((volume.value() * density).base())?;
        Ok(Self {
            size: Size::Volume(volume),
            scatter: None,
            origin: Origin::Typed,
        })
    }

    /// A drop found by a calibration, at any size, with its scatter from drop
    /// to drop where two weighings or more show it. Where both have degrees of
    /// freedom they are those of the same weighings.
    pub fn calibrated(mass: Measured<DropMass>, scatter: Option<Scatter>) -> Self {
        Self {
            size: Size::Mass(mass),
            scatter,
            origin: Origin::Calibrated,
        }
    }

    /// The standard dropper: 20 drops of water in a millilitre, ±15 % at 95 %
    /// for the hand, common to all drops. For water only.
    ///
    /// Source: 20 drops = 1.0 mL as in ISO 8536-4:2020, 7.8, and the
    /// pharmacopoeias' dropper (USP ⟨1101⟩: 45 to 55 mg held upright, volume
    /// error at most 15 % in use).
    pub fn standard() -> Self {
        let volume = 0.05e-6;
        Self {
            size: Size::Volume(Measured::new(
                DropVolume::of_base(volume),
                0.15 * volume / COVERAGE_95,
                f64::INFINITY,
            )),
            scatter: None,
            origin: Origin::Nominal,
        }
    }

    /// Where the size is from.
    pub const fn origin(&self) -> Origin {
        self.origin
    }

    /// Whether the size carries no doubt.
    pub fn is_exact(&self) -> bool {
        match self.size {
            Size::Mass(mass) => mass.is_exact(),
            Size::Volume(volume) => volume.is_exact(),
        }
    }

    /// The best estimate of one drop's mass, of a liquid of a density.
    pub fn best_mass(&self, density: Density) -> DropMass {
        match self.size {
            Size::Mass(mass) => mass.value(),
            Size::Volume(volume) => volume.value() * density,
        }
    }

    /// How one drop differs from the next, where weighings show it.
    pub const fn scatter(&self) -> Option<Scatter> {
        self.scatter
    }

    /// One drop's mass with its doubt, where no density is needed for it.
    pub const fn measured_mass(&self) -> Option<Measured<DropMass>> {
        match self.size {
            Size::Mass(mass) => Some(mass),
            Size::Volume(_) => None,
        }
    }

    /// The best estimate of one drop's mass where no density is needed for it.
    pub fn weighed_mass(&self) -> Option<DropMass> {
        self.measured_mass().map(|mass| mass.value())
    }

    /// Hands the drop over as inputs of a formula; a budget shows `of` behind
    /// its name where it is not that of the water.
    ///
    /// The size is one input however often the drop is handed over; the scatter
    /// of each count is its own.
    pub fn add_to(&self, inputs: &mut Inputs, of: Option<&str>) -> DropSlots {
        // The words of the water's own drop are there already.
        let named = |word: &'static str| match of {
            None => Cow::Borrowed(word),
            Some(of) => Cow::Owned(format!("{word} of {of}")),
        };
        let size = match &self.size {
            Size::Mass(mass) => SizeSlot::Mass(inputs.add_once(named(DROP), mass)),
            Size::Volume(volume) => SizeSlot::Volume(inputs.add_once(named(DROP), volume)),
        };
        let scatter = self.scatter.map(|scatter| {
            let none = DropMass::of_base(0.0);
            let scatter = Measured::new(none, scatter.one.base(), scatter.dof);
            match size {
                SizeSlot::Mass(slot) => inputs.add_beside(slot, named(SCATTER), &scatter),
                SizeSlot::Volume(slot) => inputs.add_beside(slot, named(SCATTER), &scatter),
            }
        });
        DropSlots { size, scatter }
    }
}

/// A drop among the inputs of a formula.
#[derive(Clone, Copy, Debug)]
pub struct DropSlots {
    size: SizeSlot,
    scatter: Option<Slot<DropMass>>,
}

#[derive(Clone, Copy, Debug)]
enum SizeSlot {
    Mass(Slot<DropMass>),
    Volume(Slot<DropVolume>),
}

impl DropSlots {
    /// The mean mass of one drop of a liquid of this density.
    pub fn one<V: Real>(&self, point: &Point<'_, V>, density: Density<V>) -> DropMass<V>
    where
        SI<V>: Units<V>,
    {
        match self.size {
            SizeSlot::Mass(slot) => point.get(slot),
            SizeSlot::Volume(slot) => point.get(slot) * density,
        }
    }

    /// The mean mass of one drop where the liquid's density may be unknown:
    /// only a drop known by its volume needs it.
    pub fn one_if<V: Real>(
        &self,
        point: &Point<'_, V>,
        density: Option<Density<V>>,
    ) -> Option<DropMass<V>>
    where
        SI<V>: Units<V>,
    {
        match (self.size, density) {
            (SizeSlot::Mass(slot), _) => Some(point.get(slot)),
            (SizeSlot::Volume(slot), density) => density.map(|d| point.get(slot) * d),
        }
    }

    /// The mass of `n` drops where the liquid's density may be unknown.
    pub fn counted_if<V: Real>(
        &self,
        point: &Point<'_, V>,
        density: Option<Density<V>>,
        n: Drops,
    ) -> Option<Mass<V>>
    where
        SI<V>: Units<V>,
    {
        let one = self.one_if(point, density)?;
        Some(self.scattered(point, one, n))
    }

    /// The mass of `n` drops counted out: n d, and the scatter of n drops.
    pub fn counted<V: Real>(&self, point: &Point<'_, V>, density: Density<V>, n: Drops) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        self.scattered(point, self.one(point, density), n)
    }

    fn scattered<V: Real>(&self, point: &Point<'_, V>, one: DropMass<V>, n: Drops) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        let drops = one * n.lift::<V>();
        match self.scatter {
            None => drops,
            Some(slot) => {
                let root = Ratio::from(V::exact(n.count().sqrt()));
                drops + point.get(slot).mass() * root
            }
        }
    }
}
