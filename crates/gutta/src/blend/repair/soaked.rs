//! All of the flavouring went onto one component: it is mixed in step by step.

use uom::si::{SI, Units};

use crate::bench::{DoseAsWeighed, LeafAsWeighed};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Slot};

/// A component with all of the flavouring of a batch on it.
///
/// ```
/// use gutta::blend::repair::Soaked;
/// use gutta::measure::{Mass, Measured};
/// use uom::si::mass::gram;
///
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let soaked = Soaked {
///     batch: grams(500.0),
///     component: grams(90.0),
///     flavouring: grams(3.0),
/// };
/// let steps: Vec<f64> = soaked
///     .spread()?
///     .steps
///     .iter()
///     .map(|step| step.get::<gram>().round())
///     .collect();
/// assert_eq!(steps, [90.0, 180.0, 360.0, 500.0]);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Soaked {
    /// All leaf of the batch, as weighed.
    pub batch: Measured<Mass>,
    /// The component that the flavouring went onto, as weighed.
    pub component: Measured<Mass>,
    /// The flavouring.
    pub flavouring: Measured<Mass>,
}

/// How the flavouring is spread.
#[derive(Clone, Debug)]
pub struct Spread {
    /// The dose on the component alone.
    pub local: Estimate<DoseAsWeighed>,
    /// The dose on all of the batch: nothing is lost.
    pub batch: Estimate<DoseAsWeighed>,
    /// The leaf in the bowl after each step: doubled each time by as much plain
    /// leaf as there is in it, so that each toss mixes like with like.
    pub steps: Vec<Mass>,
}

impl Soaked {
    /// The doses, and the steps to mix it in by.
    ///
    /// # Errors
    /// When a mass is not above 0, or the component is more than the batch.
    pub fn spread(&self) -> Result<Spread> {
        for mass in [&self.batch, &self.component, &self.flavouring] {
            MASS.check_base(mass.value().base())?;
        }
        let (all, first) = (self.batch.value(), self.component.value());
        if first > all {
            return Err(Error::new(
                ErrorKind::Refused,
                "the component is more than the batch that it is part of",
            )
            .with_hint("the batch is all of the leaf, the soaked component among it"));
        }
        let mut inputs = Inputs::new();
        let table = Table {
            batch: inputs.add("batch", &self.batch),
            component: inputs.add("component", &self.component),
            flavouring: inputs.add("flavouring", &self.flavouring),
        };
        let run = inputs.propagate(&table);
        let mut steps = vec![first];
        let mut there = first;
        while there < all {
            there = if (there + there) < all {
                there + there
            } else {
                all
            };
            steps.push(there);
        }
        Ok(Spread {
            local: run.estimate(|f| f.0),
            batch: run.estimate(|f| f.1),
            steps,
        })
    }
}

struct Table {
    batch: Slot<Mass>,
    component: Slot<Mass>,
    flavouring: Slot<Mass>,
}

impl Formula for Table {
    /// The dose on the component, and on the batch.
    type Figures<V: Real>
        = (DoseAsWeighed<V>, DoseAsWeighed<V>)
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> (DoseAsWeighed<V>, DoseAsWeighed<V>)
    where
        SI<V>: Units<V>,
    {
        let flavouring = point.get(self.flavouring);
        let on = |leaf: Slot<Mass>| flavouring / LeafAsWeighed::new(point.get(leaf));
        (on(self.component), on(self.batch))
    }
}
