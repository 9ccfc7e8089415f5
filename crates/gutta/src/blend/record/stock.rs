//! A lot through its takings: what is on hand of it, as weighed and dry.

use uom::si::{SI, Units};

use super::Moment;
use super::jar::together;
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

impl LotEvent {
    /// Whether its moisture is found anew with it.
    pub const fn sets_moisture(&self) -> bool {
        matches!(self, Self::In(_) | Self::Weighed { at: Some(_), .. })
    }
}

/// Something that happened to a lot, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LotStep {
    /// When.
    pub at: Moment,
    /// What.
    pub event: LotEvent,
}

/// A lot from when it first came in, in the order of time.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::record::{LotEvent, LotHistory, LotStep, Moment};
/// use gutta::matter::LotOfLeaf;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let at = Measured::exact(Moisture::new(Ratio::new::<percent>(12.0))?);
/// let on = |day: i64, event| LotStep { at: Moment::of_seconds(day * 86_400), event };
/// let lot = LotHistory(vec![
///     on(0, LotEvent::In(LotOfLeaf { mass: grams(500.0), at })),
///     on(7, LotEvent::Taken(grams(60.0))),
/// ]);
/// let now = lot.now()?;
/// assert!((now.as_weighed.best().get::<gram>() - 440.0).abs() < 1e-9);
/// assert!((now.dry.best().get::<gram>() - 440.0 * 0.88).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LotHistory(pub Vec<LotStep>);

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
    /// As of [`fault`](Self::fault).
    pub fn now(&self) -> Result<LotNow> {
        if let Some((_, error)) = self.fault() {
            return Err(error);
        }
        Ok(self.worked_out(&self.fold()))
    }

    /// What is on hand by the steps that count.
    pub(super) fn worked_out(&self, steps: &[LotStep]) -> LotNow {
        let (inputs, table) = lay(&self.0);
        let best = inputs.best(&table);
        let is_used_up = best.pile.total().base() <= USED_UP * best.came_in.base();
        let (inputs, table) = lay(steps);
        let run = inputs.propagate(&table);
        LotNow {
            as_weighed: run.estimate(|f| f.pile.total()),
            dry: run.estimate(|f| f.pile.dry_matter()),
            moisture: (!is_used_up).then(|| run.estimate(|f| f.pile.moisture())),
        }
    }

    /// What cannot be, if anything cannot: which step, the first being 0, and why.
    /// That is a mass that is not above 0, nothing that came in before something
    /// was taken or weighed without a moisture, and more taken than was there.
    pub fn fault(&self) -> Option<(usize, Error)> {
        let first = self.0.first();
        if !first.is_some_and(|step| step.event.sets_moisture()) {
            let error = Error::new(ErrorKind::Missing, "nothing of this lot has come in yet");
            return Some((
                0,
                error.with_hint("write down what came in, with its moisture"),
            ));
        }
        for (at, step) in self.0.iter().enumerate() {
            let mass = match step.event {
                LotEvent::In(leaf) => leaf.mass,
                LotEvent::Taken(mass) | LotEvent::Weighed { mass, .. } => mass,
            };
            if let Err(error) = MASS.check_base(mass.value().base()) {
                return Some((at, error));
            }
        }
        let (inputs, mut table) = lay(&self.0);
        table.keeps_piles = true;
        let best = inputs.best(&table);
        let came_in = best.came_in.base();
        // Written so that what is taken of nothing is refused, too.
        let is_there = |pile: &Pile<f64>| pile.total().base() >= -USED_UP * came_in;
        let at = best.piles.iter().position(|pile| !is_there(pile))?;
        let error = Error::new(
            ErrorKind::Refused,
            "more was taken of this lot than there was",
        );
        Some((
            at,
            error.with_hint("weigh what is left of it, and write that down"),
        ))
    }

    /// The steps that the figures hang on, with all others left out: once all of it
    /// is weighed, what was taken before tells no more; where its moisture is found
    /// again too, nothing before does. What was taken one after another is taken
    /// together. The figures and their doubts stay what they were.
    pub(super) fn fold(&self) -> Vec<LotStep> {
        let mut kept: Vec<LotStep> = Vec::new();
        for step in &self.0 {
            match step.event {
                LotEvent::In(_) => {}
                LotEvent::Taken(more) => {
                    if let Some(LotEvent::Taken(all)) = kept.last_mut().map(|last| &mut last.event)
                        && together(all, &more)
                    {
                        continue;
                    }
                }
                LotEvent::Weighed { at: Some(_), .. } => kept.clear(),
                LotEvent::Weighed { at: None, .. } => {
                    let is_as_it_was = |step: &LotStep| {
                        matches!(
                            step.event,
                            LotEvent::Taken(_) | LotEvent::Weighed { at: None, .. }
                        )
                    };
                    while kept.last().is_some_and(is_as_it_was) {
                        kept.pop();
                    }
                }
            }
            kept.push(*step);
        }
        kept
    }
}

fn lay(steps: &[LotStep]) -> (Inputs, Table) {
    let mut inputs = Inputs::new();
    let each = steps.iter().map(|step| {
        let day = step.at;
        match &step.event {
            LotEvent::In(leaf) => Slots::In(
                inputs.add(format!("leaf that came in on {day}"), &leaf.mass),
                inputs.add(format!("moisture of what came in on {day}"), &leaf.at),
            ),
            LotEvent::Taken(mass) => Slots::Taken(inputs.add(format!("leaf taken on {day}"), mass)),
            LotEvent::Weighed { mass, at } => {
                let mass = inputs.add(format!("weighing of {day}"), mass);
                let at = at.as_ref();
                Slots::Weighed(
                    mass,
                    at.map(|at| inputs.add(format!("moisture found on {day}"), at)),
                )
            }
        }
    });
    let table = Table {
        steps: each.collect(),
        keeps_piles: false,
    };
    (inputs, table)
}

enum Slots {
    In(Slot<Mass>, Slot<Moisture>),
    Taken(Slot<Mass>),
    Weighed(Slot<Mass>, Option<Slot<Moisture>>),
}

struct Table {
    steps: Vec<Slots>,
    /// Whether what there was after each step is kept. Not where a formula is run
    /// many times: a long history would be kept each time.
    keeps_piles: bool,
}

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
        let mut piles = Vec::new();
        for slots in &self.steps {
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
            if self.keeps_piles {
                piles.push(pile);
            }
        }
        Figures {
            pile,
            came_in,
            piles,
        }
    }
}
