//! Leaf that came out wetter than it was to be.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::matter::{MET, Moisture, Pile, alligation};
use crate::measure::{Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Slot};

/// A pile that is too wet, and the same blend drier, where there is some.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::repair::TooWet;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let at = |p| Ok::<_, gutta::Error>(Measured::exact(Moisture::new(Ratio::new::<percent>(p))?));
/// let pile = TooWet {
///     pile: Measured::exact(Mass::new::<gram>(500.0)),
///     at: at(18.0)?,
///     to: Moisture::target(Ratio::new::<percent>(15.0))?,
///     drier: Some(at(11.0)?),
/// };
/// let mended = pile.mend()?;
/// // 500 g · 3 points over 4.
/// assert!((mended.add.unwrap().best().get::<gram>() - 375.0).abs() < 1e-9);
/// // 410 g dry, over 0.85.
/// assert!((mended.stop.best().get::<gram>() - 482.353).abs() < 1e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct TooWet {
    /// The pile as weighed.
    pub pile: Measured<Mass>,
    /// Its moisture.
    pub at: Measured<Moisture>,
    /// The moisture wanted.
    pub to: Moisture,
    /// The moisture of more of the same blend, where there is some.
    pub drier: Option<Measured<Moisture>>,
}

/// The ways back.
#[derive(Clone, Debug)]
pub struct Mended {
    /// Without adding: air it until the scale reads this, M (1 − m)/(1 − t).
    pub stop: Estimate<Mass>,
    /// The water that goes then.
    pub water: Estimate<Mass>,
    /// By adding: so much of the drier blend, M (m − t)/(t − m′).
    pub add: Option<Estimate<Mass>>,
    /// The pile with it.
    pub after: Option<Estimate<Mass>>,
}

impl TooWet {
    /// Both ways back.
    ///
    /// # Errors
    /// When the pile is not above 0; a refusal when it is not wetter than is
    /// wanted, or the drier blend is not drier than that.
    pub fn mend(&self) -> Result<Mended> {
        MASS.check_base(self.pile.value().base())?;
        let refuse = |message: String, hint: &str| {
            Err(Error::new(ErrorKind::Refused, message).with_hint(hint))
        };
        let percent = |moisture: Moisture| (moisture.base() * 1e4).round() / 1e2;
        let at = self.at.value();
        if at.base() - self.to.base() <= MET {
            return refuse(
                format!(
                    "at {} % it is no wetter than the {} % wanted",
                    percent(at),
                    percent(self.to)
                ),
                "for water to add, ask gutta water",
            );
        }
        if let Some(drier) = self
            .drier
            .filter(|drier| self.to.base() - drier.value().base() <= MET)
        {
            return refuse(
                format!(
                    "blend at {} % does not bring it down to {} %",
                    percent(drier.value()),
                    percent(self.to)
                ),
                "take drier blend, or air the pile",
            );
        }
        let mut inputs = Inputs::new();
        let table = Table {
            pile: inputs.add("pile", &self.pile),
            at: inputs.add("moisture of the pile", &self.at),
            to: self.to,
            drier: self
                .drier
                .map(|drier| inputs.add("moisture of the drier blend", &drier)),
        };
        let run = inputs.propagate(&table);
        Ok(Mended {
            stop: run.estimate(|f| f.stop),
            water: run.estimate(|f| f.water),
            add: run.estimate_if(|f| f.add),
            after: run.estimate_if(|f| f.after),
        })
    }
}

struct Table {
    pile: Slot<Mass>,
    at: Slot<Moisture>,
    to: Moisture,
    drier: Option<Slot<Moisture>>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    stop: Mass<V>,
    water: Mass<V>,
    add: Option<Mass<V>>,
    after: Option<Mass<V>>,
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
        let (mass, at, to) = (
            point.get(self.pile),
            point.get(self.at),
            self.to.lift::<V>(),
        );
        let pile = Pile::leaf(mass, at);
        let dried = pile.at_moisture(to);
        let add = self
            .drier
            .map(|drier| alligation(mass, at, point.get(drier), to));
        Figures {
            stop: dried.total(),
            water: pile.total() - dried.total(),
            add,
            after: add.map(|add| mass + add),
        }
    }
}
