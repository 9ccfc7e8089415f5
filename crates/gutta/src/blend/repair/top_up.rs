//! One share raised in a pile that is mixed already.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, SHARE, Scalar, Slot,
};

/// A pile, and one share of it that is to be raised.
///
/// ```
/// use gutta::blend::repair::TopUp;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let pile = TopUp {
///     pile: Measured::exact(Mass::new::<gram>(215.0)),
///     share: Ratio::new::<percent>(22.0),
///     to: Ratio::new::<percent>(28.0),
/// };
/// assert!((pile.top_up()?.add.best().get::<gram>() - 17.9167).abs() < 1e-4);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct TopUp {
    /// All of the pile, on the basis of the shares.
    pub pile: Measured<Mass>,
    /// The share that is there.
    pub share: Ratio,
    /// The share that is wanted.
    pub to: Ratio,
}

/// A pile whose share is raised.
#[derive(Clone, Debug)]
pub struct ToppedUp {
    /// What to add of the component: M (s′ − s)/(1 − s′).
    pub add: Estimate<Mass>,
    /// The pile then.
    pub after: Estimate<Mass>,
    /// What every other share is multiplied by: (1 − s′)/(1 − s).
    pub others: Ratio,
}

impl TopUp {
    /// What to add.
    ///
    /// # Errors
    /// When the pile is not above 0; a refusal when the share wanted is not
    /// above the one that is there, or is 100 %.
    pub fn top_up(&self) -> Result<ToppedUp> {
        MASS.check_base(self.pile.value().base())?;
        let one = Ratio::of_base(1.0);
        let refuse = |message: &str, hint: &str| {
            Err(Error::new(ErrorKind::Refused, message).with_hint(hint))
        };
        if self.to >= one {
            return refuse(
                "no share is raised to 100 % by adding",
                "ask for less, or start from that component alone",
            );
        }
        SHARE.check_base(self.to.base())?;
        if self.share.base() < 0.0 || self.to <= self.share {
            return refuse(
                "a top-up raises a share: nothing is taken out",
                "to lower a share, raise the others",
            );
        }
        let mut inputs = Inputs::new();
        let table = Table {
            pile: inputs.add("pile", &self.pile),
            part: (self.to - self.share) / (one - self.to),
        };
        let run = inputs.propagate(&table);
        Ok(ToppedUp {
            add: run.estimate(|f| f.0),
            after: run.estimate(|f| f.1),
            others: (one - self.to) / (one - self.share),
        })
    }
}

struct Table {
    pile: Slot<Mass>,
    part: Ratio,
}

impl Formula for Table {
    /// What to add, and the pile then.
    type Figures<V: Real>
        = (Mass<V>, Mass<V>)
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> (Mass<V>, Mass<V>)
    where
        SI<V>: Units<V>,
    {
        let pile = point.get(self.pile);
        let add = pile * self.part.lift::<V>();
        (add, pile + add)
    }
}
