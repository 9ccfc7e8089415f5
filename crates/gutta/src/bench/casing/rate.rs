//! A rate of casing, with what it is of.

use uom::si::{SI, Units};

use crate::bench::dose::{DoseAsWeighed, DoseDry, LeafAsWeighed, LeafBasis};
use crate::matter::{Moisture, Pile};
use crate::measure::{Mass, Ratio, Real, Scalar};

/// What of a casing a rate counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RateOf {
    /// All of it, as it is poured.
    Liquid,
    /// What stays and is not water: all but water and alcohol.
    Solids,
}

impl RateOf {
    /// The word for it behind a rate.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Liquid => "liquid",
            Self::Solids => "solids",
        }
    }
}

/// A rate of casing: how much, of what, on which leaf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Casing over leaf, by mass: above 0 and at most 1. It is exact.
    pub share: Ratio,
    /// What of the casing it counts.
    pub of: RateOf,
    /// The leaf that it is counted on.
    pub basis: LeafBasis,
}

impl Rate {
    /// Every reading of a rate that what is known of it leaves open, the liquid
    /// and leaf as weighed first: one to four.
    pub fn readings(share: Ratio, of: Option<RateOf>, basis: Option<LeafBasis>) -> Vec<Self> {
        let ofs = of.map_or_else(|| vec![RateOf::Liquid, RateOf::Solids], |of| vec![of]);
        let bases = basis.map_or_else(
            || vec![LeafBasis::AsWeighed, LeafBasis::Dry],
            |basis| vec![basis],
        );
        let each = ofs.into_iter().flat_map(|of| {
            let bases = bases.iter();
            bases.map(move |&basis| Self { share, of, basis })
        });
        each.collect()
    }

    /// The liquid that it makes of a recipe, for leaf at a moisture:
    /// rate × basis, over the share of solids where it is of these.
    pub(super) fn liquid<V: Real>(
        &self,
        leaf: Mass<V>,
        at: Moisture<V>,
        recipe: &Pile<V>,
    ) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        let leaf = LeafAsWeighed::new(leaf);
        let share = self.share.lift::<V>();
        let counted = match self.basis {
            LeafBasis::AsWeighed => DoseAsWeighed::new(share) * leaf,
            LeafBasis::Dry => DoseDry::new(share) * leaf.dry(at),
        };
        match self.of {
            RateOf::Liquid => counted,
            RateOf::Solids => counted * (recipe.total() / recipe.dry_matter()),
        }
    }
}
