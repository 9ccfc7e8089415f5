//! The leaf that a dose is counted on.

use clap::Args;

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::measure::{Kind, Measured, Reading, Scale};

use super::dose::{BasisWord, basis};
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, DOUBT_IS_SAID, Flag, Weight, leaf_moisture};

/// The leaf that a dose is counted on.
#[derive(Debug, Args)]
pub struct LeafArgs {
    /// Leaf as weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// What the dose is counted on
    #[arg(long, value_name = "BASIS", value_enum)]
    basis: Option<BasisWord>,
}

/// The leaf, read.
pub struct TypedLeaf {
    /// What it weighs.
    pub weight: Weight,
    /// Its moisture, where it is known.
    pub at: Option<Measured<Moisture>>,
    /// What a dose is counted on.
    pub basis: LeafBasis,
}

impl LeafArgs {
    /// Reads the flags.
    pub fn read(
        &self,
        hint: &str,
        scale: Option<Scale>,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<TypedLeaf> {
        let basis = basis(self.basis, self.at.is_some() || self.lot.is_some())?;
        let weight =
            Flag::needed("--leaf", "the leaf as weighed", self.leaf.as_ref(), hint)?.mass(scale)?;
        assumed.exact_if(
            weight.mass.is_exact(),
            format!("leaf {}", weight.reading.unbroken()),
        );
        let at = match (&self.at, &self.lot) {
            (None, None) => None,
            (at, lot) => {
                Some(leaf_moisture(at.as_ref(), lot.as_ref(), DOUBT_IS_SAID, shelf, assumed)?.1)
            }
        };
        Ok(TypedLeaf { weight, at, basis })
    }
}

/// A dose for each mass of leaf, not checked against its range.
pub fn dose_on_leaf(flag: Flag<'_>) -> Outcome<Reading> {
    let reading = flag.read(&[Kind::Share]).map_err(|failure| {
        // A share is a percentage to most; a dose is not.
        match failure.report().kind.as_str() {
            "no-unit" | "wrong-kind" => {
                failure.hint("type it as flavouring for each kilogram of leaf, such as 0.9g/kg")
            }
            _ => failure,
        }
    })?;
    if reading.basis().is_some() {
        return Err(flag
            .wrong("wrong-kind", "a dose has no moisture basis")
            .hint("say what it is counted on with --basis dry or --basis as-weighed"));
    }
    Ok(reading)
}
