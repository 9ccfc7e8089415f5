//! A batch with too much flavour: plain leaf makes it less.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    DOSE, Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, Scalar, Slot,
};

/// Leaf with more flavour than was wanted.
///
/// ```
/// use gutta::blend::repair::OverFlavoured;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::per_mille};
///
/// let dose = |d| Ratio::new::<per_mille>(d);
/// let batch = OverFlavoured {
///     leaf: Measured::exact(Mass::new::<gram>(500.0)),
///     dose: Measured::exact(dose(18.0)),
///     to: dose(12.0),
/// };
/// assert!((batch.weaken()?.add.best().get::<gram>() - 250.0).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct OverFlavoured {
    /// The leaf that the dose is counted on, flavouring not included.
    pub leaf: Measured<Mass>,
    /// The dose that is there.
    pub dose: Measured<Ratio>,
    /// The dose that is wanted.
    pub to: Ratio,
}

/// A batch whose dose is brought down.
#[derive(Clone, Debug)]
pub struct Weakened {
    /// The plain leaf to add, on the basis of the dose: L (d/d′ − 1).
    pub add: Estimate<Mass>,
    /// The leaf then.
    pub after: Estimate<Mass>,
}

impl OverFlavoured {
    /// What to add of plain leaf, blended as the batch is.
    ///
    /// # Errors
    /// When the leaf or a dose is outside its range; a refusal when the dose
    /// wanted is not below the one that is there.
    pub fn weaken(&self) -> Result<Weakened> {
        MASS.check_base(self.leaf.value().base())?;
        DOSE.check_base(self.dose.value().base())?;
        DOSE.check_base(self.to.base())?;
        if self.to >= self.dose.value() {
            return Err(
                Error::new(ErrorKind::Refused, "plain leaf brings a dose down, not up")
                    .with_hint("for more flavour add flavouring: the dose says how much"),
            );
        }
        let mut inputs = Inputs::new();
        let table = Table {
            leaf: inputs.add("leaf", &self.leaf),
            dose: inputs.add("dose", &self.dose),
            to: self.to,
        };
        let run = inputs.propagate(&table);
        Ok(Weakened {
            add: run.estimate(|f| f.1 - f.0),
            after: run.estimate(|f| f.1),
        })
    }
}

struct Table {
    leaf: Slot<Mass>,
    dose: Slot<Ratio>,
    to: Ratio,
}

impl Formula for Table {
    /// The leaf that is there, and the leaf then.
    type Figures<V: Real>
        = (Mass<V>, Mass<V>)
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> (Mass<V>, Mass<V>)
    where
        SI<V>: Units<V>,
    {
        let leaf = point.get(self.leaf);
        (leaf, leaf * point.get(self.dose) / self.to.lift::<V>())
    }
}
