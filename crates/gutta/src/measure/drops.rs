//! Drops are counted; only a calibration makes a mass or a volume of them.
//!
//! # Why not a unit of volume?
//!
//! A drop of spirit weighs a third of a drop of water from the same tip. A
//! count of drops is therefore its own type: it becomes a mass through a
//! [`DropMass`], never by itself.
//!
//! ```
//! use gutta::measure::{DropMass, Drops, Mass};
//! use uom::si::mass::{gram, milligram};
//! let one = DropMass::new(Mass::new::<milligram>(47.8));
//! let eight: Mass = one * Drops::new(8.0);
//! assert!((eight.get::<gram>() - 0.3824).abs() < 1e-12);
//! ```
//!
//! ```compile_fail
//! use gutta::measure::{Drops, Mass};
//! fn weigh(drops: Drops) -> Mass { drops }
//! ```
//!
//! ```compile_fail
//! use gutta::measure::Drops;
//! fn count(drops: Drops) -> f64 { drops + 1.0 }
//! ```
//!
//! ```compile_fail
//! use gutta::measure::{DropMass, Mass};
//! // One drop is not the heap of them.
//! fn heap(one: DropMass) -> Mass { one }
//! ```

use std::ops::{Div, Mul};

use uom::si::{SI, Units};

use super::quantity::from_base;
use super::{Density, Mass, Real, Volume, scalar_newtype};

/// A count of drops; whole when counted, any number when worked out.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Drops<V = f64>(V);

/// The mass of one drop, weighed in air; kilograms inside.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DropMass<V = f64>(V);

/// The volume of one drop; cubic metres inside.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DropVolume<V = f64>(V);

/// How many drops a volume takes; per cubic metre inside.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DropsPerVolume<V = f64>(V);

scalar_newtype!(Drops);
scalar_newtype!(DropMass);
scalar_newtype!(DropVolume);
scalar_newtype!(DropsPerVolume);

impl<V: Real> Drops<V> {
    /// A count of drops.
    pub const fn new(count: V) -> Self {
        Self(count)
    }

    /// The count.
    pub const fn count(self) -> V {
        self.0
    }
}

/// A count worked out to a whole one from just below is taken as that whole
/// one: eight drops typed as water come back as eight, and one is not less than one.
const GRACE: f64 = 1e-9;

impl Drops {
    /// The whole drops that do not overshoot, none included: ⌊x + 10⁻⁹⌋.
    #[must_use]
    pub fn whole_below(self) -> Self {
        Self((self.0 + GRACE).floor().max(0.0))
    }

    /// The nearest whole number of drops: ⌊x + ½⌋.
    #[must_use]
    pub fn nearest_whole(self) -> Self {
        Self((self.0 + 0.5).floor().max(0.0))
    }

    /// The nearest whole number of drops that can be counted out; none under one
    /// drop, which is diluted and never rounded to none or one.
    ///
    /// ```
    /// use gutta::measure::Drops;
    /// assert_eq!(Drops::new(1.6).countable(), Some(Drops::new(2.0)));
    /// assert_eq!(Drops::new(0.9).countable(), None);
    /// // One drop, as a division may come to it.
    /// assert_eq!(Drops::new(0.999_999_999_999_999_9).countable(), Some(Drops::new(1.0)));
    /// ```
    pub fn countable(self) -> Option<Self> {
        (self.whole_below().count() >= 1.0).then(|| self.nearest_whole())
    }

    /// The count as a whole number, what is behind the mark cut off.
    pub fn whole(self) -> u64 {
        // No bench counts beyond 2⁶⁴ drops; a negative count is none.
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the cast saturates, which is what is meant"
        )]
        let count = self.0 as u64;
        count
    }
}

impl<V: Real> DropMass<V>
where
    SI<V>: Units<V>,
{
    /// One drop of this mass.
    pub fn new(one: Mass<V>) -> Self {
        Self(one.value)
    }

    /// The mass of one drop.
    pub fn mass(self) -> Mass<V> {
        from_base(self.0)
    }
}

impl<V: Real> DropVolume<V>
where
    SI<V>: Units<V>,
{
    /// One drop of this volume.
    pub fn new(one: Volume<V>) -> Self {
        Self(one.value)
    }

    /// The volume of one drop.
    pub fn volume(self) -> Volume<V> {
        from_base(self.0)
    }

    /// How many such drops a volume takes.
    pub fn rate(self) -> DropsPerVolume<V> {
        DropsPerVolume(V::one() / self.0)
    }
}

impl<V: Real> DropsPerVolume<V> {
    /// The volume of one drop.
    pub fn drop_volume(self) -> DropVolume<V> {
        DropVolume(V::one() / self.0)
    }
}

impl<V: Real> Mul<Drops<V>> for DropMass<V>
where
    SI<V>: Units<V>,
{
    type Output = Mass<V>;

    fn mul(self, drops: Drops<V>) -> Mass<V> {
        from_base(self.0 * drops.0)
    }
}

impl<V: Real> Mul<Density<V>> for DropVolume<V>
where
    SI<V>: Units<V>,
{
    type Output = DropMass<V>;

    fn mul(self, density: Density<V>) -> DropMass<V> {
        DropMass(self.0 * density.value)
    }
}

impl<V: Real> Div<Density<V>> for DropMass<V>
where
    SI<V>: Units<V>,
{
    type Output = DropVolume<V>;

    fn div(self, density: Density<V>) -> DropVolume<V> {
        DropVolume(self.0 / density.value)
    }
}

/// How many drops of a mass a larger mass makes.
impl<V: Real> Div<DropMass<V>> for Mass<V>
where
    SI<V>: Units<V>,
{
    type Output = Drops<V>;

    fn div(self, one: DropMass<V>) -> Drops<V> {
        Drops(self.value / one.0)
    }
}
