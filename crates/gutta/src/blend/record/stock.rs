//! A lot through its takings: what is on hand of it, as weighed and dry.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::matter::{LotOfLeaf, Moisture, Pile};
use crate::measure::{Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Slot};

/// What happened to a lot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LotEvent {
    /// So much of it came in, at a moisture.
    In(LotOfLeaf),
    /// So much of it was taken, as weighed, at the moisture that it had.
    Taken(Measured<Mass>),
    /// It was weighed: what was taken or lost unseen is gone, as leaf where the
    /// moisture is as it was, as water where it was found again.
    Weighed {
        /// All that is there, as weighed.
        mass: Measured<Mass>,
        /// Its moisture, where it was found again.
        at: Option<Measured<Moisture>>,
    },
}

/// A lot from when it first came in.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::record::{LotEvent, LotHistory};
/// use gutta::matter::LotOfLeaf;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let at = Measured::exact(Moisture::new(Ratio::new::<percent>(12.0))?);
/// let lot = LotHistory(vec![
///     LotEvent::In(LotOfLeaf { mass: grams(500.0), at }),
///     LotEvent::Taken(grams(60.0)),
/// ]);
/// let now = lot.now()?;
/// assert!((now.as_weighed.best().get::<gram>() - 440.0).abs() < 1e-9);
/// assert!((now.dry.best().get::<gram>() - 440.0 * 0.88).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LotHistory(pub Vec<LotEvent>);

/// What is on hand of a lot.
#[derive(Clone, Debug)]
pub struct LotNow {
    /// As weighed.
    pub as_weighed: Estimate<Mass>,
    /// Its dry matter.
    pub dry: Estimate<Mass>,
    /// Its moisture; none of a lot that is used up.
    pub moisture: Option<Estimate<Moisture>>,
}

/// What rounding leaves of a lot that is used up, as a part of all that came in.
const USED_UP: f64 = 1e-9;

impl LotHistory {
    /// What is on hand now.
    ///
    /// # Errors
    /// When a mass is not above 0, or nothing came in before something was taken; a
    /// refusal when more was taken than was there.
    pub fn now(&self) -> Result<LotNow> {
        if !matches!(
            self.0.first(),
            Some(LotEvent::In(_) | LotEvent::Weighed { at: Some(_), .. })
        ) {
            return Err(
                Error::new(ErrorKind::Missing, "nothing of this lot has come in yet")
                    .with_hint("write down what came in, with its moisture"),
            );
        }
        for event in &self.0 {
            let mass = match event {
                LotEvent::In(leaf) => leaf.mass,
                LotEvent::Taken(mass) | LotEvent::Weighed { mass, .. } => *mass,
            };
            MASS.check_base(mass.value().base())?;
        }
        let mut inputs = Inputs::new();
        let events = self.0.iter().enumerate();
        let table = Table(
            events
                .map(|(at, event)| {
                    let number = at + 1;
                    let mut mass =
                        |what: &str, mass| inputs.add(format!("{what} of entry {number}"), mass);
                    match event {
                        LotEvent::In(leaf) => {
                            let slot = mass("leaf", &leaf.mass);
                            let at = inputs.add(format!("moisture of entry {number}"), &leaf.at);
                            Slots::In(slot, at)
                        }
                        LotEvent::Taken(taken) => Slots::Taken(mass("leaf", taken)),
                        LotEvent::Weighed { mass: all, at } => {
                            let slot = mass("weighing", all);
                            let at = at
                                .as_ref()
                                .map(|at| inputs.add(format!("moisture of entry {number}"), at));
                            Slots::Weighed(slot, at)
                        }
                    }
                })
                .collect(),
        );
        let best = inputs.best(&table);
        let came_in = best.came_in.base();
        // Written so that what is taken of nothing is refused, too.
        let is_there = |pile: &Pile<f64>| pile.total().base() >= -USED_UP * came_in;
        if !best.piles.iter().all(is_there) {
            return Err(Error::new(
                ErrorKind::Refused,
                "more was taken of this lot than there was",
            )
            .with_hint("weigh what is left of it, and write that down"));
        }
        let is_used_up = best.pile.total().base() <= USED_UP * came_in;
        let run = inputs.propagate(&table);
        Ok(LotNow {
            as_weighed: run.estimate(|f| f.pile.total()),
            dry: run.estimate(|f| f.pile.dry_matter()),
            moisture: (!is_used_up).then(|| run.estimate(|f| f.pile.moisture())),
        })
    }
}

enum Slots {
    In(Slot<Mass>, Slot<Moisture>),
    Taken(Slot<Mass>),
    Weighed(Slot<Mass>, Option<Slot<Moisture>>),
}

struct Table(Vec<Slots>);

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pile: Pile<V>,
    came_in: Mass<V>,
    piles: Vec<Pile<V>>,
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
        let mut pile = Pile::<V>::empty();
        let mut came_in = pile.total();
        let mut piles = Vec::with_capacity(self.0.len());
        for slots in &self.0 {
            match slots {
                Slots::In(mass, at) => {
                    let leaf = Pile::leaf(point.get(*mass), point.get(*at));
                    came_in += leaf.total();
                    pile = pile.mix(leaf);
                }
                Slots::Taken(mass) => {
                    let left: Mass<V> = pile.total() - point.get(*mass);
                    pile = pile.share(left / pile.total());
                }
                Slots::Weighed(mass, Some(at)) => {
                    pile = Pile::leaf(point.get(*mass), point.get(*at));
                    came_in += pile.total();
                }
                Slots::Weighed(mass, None) => {
                    pile = pile.share(point.get(*mass) / pile.total());
                }
            }
            piles.push(pile);
        }
        Figures {
            pile,
            came_in,
            piles,
        }
    }
}
