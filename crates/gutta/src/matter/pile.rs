//! The pile: what is conserved on the table.
//!
//! # Why masses and not percentages?
//!
//! Percentages do not add. The five masses of a pile do, so that every
//! operation of a blender is a sum: mixing, adding a liquid, letting the
//! carrier go, drying, taking a share away. Moisture is derived, in one place.

use uom::si::{SI, Units};

use super::{Fractions, Moisture};
use crate::measure::{Mass, Ratio, Real, from_base};

/// Leaf and all that went onto it, as five masses.
///
/// ```
/// use gutta::{Moisture, Pile};
/// use gutta::measure::{Mass, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let at = Moisture::new(Ratio::new::<percent>(10.8)).unwrap();
/// let to = Moisture::target(Ratio::new::<percent>(15.0)).unwrap();
/// let jar = Pile::leaf(Mass::new::<gram>(340.0), at);
/// assert!((jar.water_to(to).get::<gram>() - 16.8).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pile<V: Real = f64>
where
    SI<V>: Units<V>,
{
    dry_leaf: Mass<V>,
    solids: Mass<V>,
    humectant: Mass<V>,
    water: Mass<V>,
    carrier: Mass<V>,
}

impl<V: Real> Pile<V>
where
    SI<V>: Units<V>,
{
    /// Leaf as weighed, at a moisture.
    pub fn leaf(as_weighed: Mass<V>, at: Moisture<V>) -> Self {
        let water = as_weighed * at.ratio();
        Self {
            dry_leaf: as_weighed * at.dry_share(),
            water,
            ..Self::empty()
        }
    }

    /// Nothing at all.
    pub fn empty() -> Self {
        let nothing = from_base(V::zero());
        Self {
            dry_leaf: nothing,
            solids: nothing,
            humectant: nothing,
            water: nothing,
            carrier: nothing,
        }
    }

    /// Both piles together.
    #[must_use]
    pub fn mix(self, other: Self) -> Self {
        Self {
            dry_leaf: self.dry_leaf + other.dry_leaf,
            solids: self.solids + other.solids,
            humectant: self.humectant + other.humectant,
            water: self.water + other.water,
            carrier: self.carrier + other.carrier,
        }
    }

    /// This pile with a mass of water more, or less when negative.
    #[must_use]
    pub fn with_water(self, water: Mass<V>) -> Self {
        Self {
            water: self.water + water,
            ..self
        }
    }

    /// This pile with a mass of liquid on it; what its fractions leave is
    /// solids.
    #[must_use]
    pub fn with_liquid(self, mass: Mass<V>, fractions: Fractions<V>) -> Self {
        let Fractions {
            water,
            carrier,
            humectant,
        } = fractions;
        let solids = Ratio::from(V::one()) - water - carrier - humectant;
        Self {
            dry_leaf: self.dry_leaf,
            solids: self.solids + mass * solids,
            humectant: self.humectant + mass * humectant,
            water: self.water + mass * water,
            carrier: self.carrier + mass * carrier,
        }
    }

    /// This pile once it is aired: all of the carrier gone, no water with it.
    #[must_use]
    pub fn aired(self) -> Self {
        Self {
            carrier: Self::empty().carrier,
            ..self
        }
    }

    /// A share of this pile, evenly mixed.
    #[must_use]
    pub fn share(self, share: Ratio<V>) -> Self {
        Self {
            dry_leaf: self.dry_leaf * share,
            solids: self.solids * share,
            humectant: self.humectant * share,
            water: self.water * share,
            carrier: self.carrier * share,
        }
    }

    /// This pile brought to a moisture once aired, by adding or losing water.
    #[must_use]
    pub fn at_moisture(self, to: Moisture<V>) -> Self {
        self.with_water(self.water_to(to))
    }

    /// The water that brings this pile, aired, to a moisture: A t/(1 − t) − B,
    /// A all that stays and is not water, B all water. Negative when water
    /// must go. The same as M (t − m)/(1 − t) for leaf alone.
    pub fn water_to(&self, to: Moisture<V>) -> Mass<V> {
        self.dry_matter() * to.on_dry_basis().ratio() - self.water
    }

    /// All that stays and is not water: leaf, sugars, humectants.
    pub fn dry_matter(&self) -> Mass<V> {
        self.dry_leaf + self.solids + self.humectant
    }

    /// The dry matter of the leaf alone.
    pub fn dry_leaf(&self) -> Mass<V> {
        self.dry_leaf
    }

    /// The added solids.
    pub fn solids(&self) -> Mass<V> {
        self.solids
    }

    /// The humectant.
    pub fn humectant(&self) -> Mass<V> {
        self.humectant
    }

    /// All the water.
    pub fn water(&self) -> Mass<V> {
        self.water
    }

    /// What evaporates and is not water.
    pub fn carrier(&self) -> Mass<V> {
        self.carrier
    }

    /// What the scale shows for it now.
    pub fn total(&self) -> Mass<V> {
        self.dry_matter() + self.water + self.carrier
    }

    /// Water over total, the carrier not counted.
    // Always, or the loop over the rows of a table is not made wide.
    #[inline(always)]
    pub fn moisture(&self) -> Moisture<V> {
        Moisture::of(self.water, self.dry_matter() + self.water)
    }
}
