//! A dose is flavouring for each mass of leaf, on a basis that has a name.

use std::ops::{Div, Mul};

use uom::si::{SI, Units};

use crate::matter::Moisture;
use crate::measure::{Mass, Ratio, Real, from_base, scalar_newtype};

/// What the leaf under a dose is counted as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LeafBasis {
    /// Leaf as it lies on the scale, its water included.
    AsWeighed,
    /// The dry matter of the leaf: the same for any lot.
    Dry,
}

impl LeafBasis {
    /// The words for it behind a dose.
    pub const fn name(self) -> &'static str {
        match self {
            Self::AsWeighed => "of leaf as weighed",
            Self::Dry => "of dry leaf",
        }
    }
}

/// Leaf as it lies on the scale; kilograms inside.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct LeafAsWeighed<V = f64>(V);

/// The dry matter of leaf; kilograms inside.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DryLeaf<V = f64>(V);

/// Flavouring for each mass of leaf as weighed.
///
/// A dose is not a share, and it fits leaf on its own basis only:
///
/// ```compile_fail
/// use gutta::bench::{DoseAsWeighed, DryLeaf};
/// fn flavouring(dose: DoseAsWeighed, leaf: DryLeaf) -> gutta::measure::Mass { dose * leaf }
/// ```
///
/// ```compile_fail
/// use gutta::bench::{DoseAsWeighed, DoseDry};
/// fn stronger(a: DoseAsWeighed, b: DoseDry) -> bool { a > b }
/// ```
///
/// ```compile_fail
/// use gutta::bench::DoseDry;
/// fn share(dose: DoseDry) -> gutta::measure::Ratio { dose }
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DoseAsWeighed<V = f64>(V);

/// Flavouring for each mass of dry leaf.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DoseDry<V = f64>(V);

scalar_newtype!(LeafAsWeighed);
scalar_newtype!(DryLeaf);
scalar_newtype!(DoseAsWeighed);
scalar_newtype!(DoseDry);

impl<V: Real> LeafAsWeighed<V>
where
    SI<V>: Units<V>,
{
    /// Leaf that weighs this much.
    pub fn new(mass: Mass<V>) -> Self {
        Self(mass.value)
    }

    /// What it weighs.
    pub fn mass(self) -> Mass<V> {
        from_base(self.0)
    }

    /// The dry matter of this leaf: w (1 − m).
    pub fn dry(self, at: Moisture<V>) -> DryLeaf<V> {
        DryLeaf((self.mass() * at.dry_share()).value)
    }
}

macro_rules! dose_on {
    ($dose:ident, $leaf:ident) => {
        impl<V: Real> $dose<V>
        where
            SI<V>: Units<V>,
        {
            /// A dose that is asked for, unchecked.
            pub fn new(ratio: Ratio<V>) -> Self {
                Self(ratio.value)
            }

            /// Flavouring over leaf, as a ratio.
            pub fn ratio(self) -> Ratio<V> {
                Ratio::from(self.0)
            }
        }

        /// The dose of a mass of flavouring on leaf.
        impl<V: Real> Div<$leaf<V>> for Mass<V>
        where
            SI<V>: Units<V>,
        {
            type Output = $dose<V>;

            fn div(self, leaf: $leaf<V>) -> $dose<V> {
                $dose(self.value / leaf.0)
            }
        }

        /// The flavouring that a dose asks of leaf.
        impl<V: Real> Mul<$leaf<V>> for $dose<V>
        where
            SI<V>: Units<V>,
        {
            type Output = Mass<V>;

            fn mul(self, leaf: $leaf<V>) -> Mass<V> {
                from_base(self.0 * leaf.0)
            }
        }
    };
}

dose_on!(DoseAsWeighed, LeafAsWeighed);
dose_on!(DoseDry, DryLeaf);
