//! How much whole leaf gives this much strip.

use uom::si::{SI, Units};

use crate::error::Result;
use crate::matter::Moisture;
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, STEM, Scalar, Slot,
};

/// The strip that is wanted: lamina without its stem, counted dry.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::Strip;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let strip = Strip {
///     dry: Measured::exact(Mass::new::<gram>(750.0)),
///     stem: Measured::exact(Ratio::new::<percent>(22.0)),
///     at: Measured::exact(Moisture::new(Ratio::new::<percent>(11.5))?),
/// };
/// assert!((strip.whole_leaf()?.as_weighed.best().get::<gram>() - 1086.48).abs() < 5e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Strip {
    /// The dry matter of the strip.
    pub dry: Measured<Mass>,
    /// The stem in the dry matter of the whole leaf.
    pub stem: Measured<Ratio>,
    /// The moisture of the whole leaf, stem and lamina alike.
    pub at: Measured<Moisture>,
}

/// The whole leaf for a strip.
#[derive(Clone, Debug)]
pub struct WholeLeaf {
    /// What to weigh of it.
    pub as_weighed: Estimate<Mass>,
    /// Its dry matter: strip/(1 − stem).
    pub dry: Estimate<Mass>,
    /// The dry matter of the stem.
    pub stem: Estimate<Mass>,
}

impl Strip {
    /// The whole leaf to weigh; stem and lamina at one moisture.
    ///
    /// # Errors
    /// When the strip is not above 0, or the stem not from 0 to below 100 %.
    pub fn whole_leaf(&self) -> Result<WholeLeaf> {
        MASS.check_base(self.dry.value().base())?;
        STEM.check_base(self.stem.value().base())?;
        let mut inputs = Inputs::new();
        let table = Table {
            dry: inputs.add("strip", &self.dry),
            stem: inputs.add("stem", &self.stem),
            at: inputs.add("moisture", &self.at),
        };
        let run = inputs.propagate(&table);
        Ok(WholeLeaf {
            as_weighed: run.estimate(|f| f.as_weighed),
            dry: run.estimate(|f| f.dry),
            stem: run.estimate(|f| f.stem),
        })
    }
}

struct Table {
    dry: Slot<Mass>,
    stem: Slot<Ratio>,
    at: Slot<Moisture>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    as_weighed: Mass<V>,
    dry: Mass<V>,
    stem: Mass<V>,
}

impl Formula for Table {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let strip = point.get(self.dry);
        let dry = strip / (Ratio::from(V::one()) - point.get(self.stem));
        Figures {
            as_weighed: dry / point.get(self.at).dry_share(),
            stem: dry - strip,
            dry,
        }
    }
}
