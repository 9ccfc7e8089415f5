//! A jar through its weighings: its moisture now, how fast it dries, and when it
//! will reach a limit.
//!
//! # Why is every weighing an entry, and the moisture none?
//!
//! The moisture is worked out from the first known one and all that came after.
//! Kept beside the weighings it could only disagree with them.

use uom::si::{SI, Units};

use super::Moment;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{LotOfLeaf, Moisture, Pile};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, MassRate, Measured, Point, Real, Scalar, Slot, Time,
};

/// What happened to a jar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JarEvent {
    /// It was weighed, with its leaf.
    Weighed(Measured<Mass>),
    /// Leaf was taken out, at the moisture that the jar had.
    Taken(Measured<Mass>),
    /// Leaf was put in.
    Put(LotOfLeaf),
    /// Water went on.
    Water(Measured<Mass>),
}

/// Something that happened to a jar, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JarStep {
    /// When.
    pub at: Moment,
    /// What.
    pub event: JarEvent,
}

/// A jar from when it was filled.
///
/// ```
/// use gutta::Moisture;
/// use gutta::blend::record::{JarEvent, JarHistory, JarStep, Moment};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent, time::hour};
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let jar = JarHistory {
///     tare: grams(400.0),
///     filled: Moment::of_seconds(0),
///     gross: grams(500.0),
///     moisture: Measured::exact(Moisture::new(Ratio::new::<percent>(15.0))?),
///     steps: vec![JarStep {
///         at: Moment::of_seconds(10 * 3600),
///         event: JarEvent::Weighed(grams(495.0)),
///     }],
/// };
/// let now = jar.now()?;
/// // 85 g of dry matter in 95 g; 5 g went in ten hours.
/// assert!((now.moisture.best().ratio().get::<percent>() - 1000.0 / 95.0).abs() < 1e-9);
/// let limit = Moisture::new(Ratio::new::<percent>(8.0))?;
/// let reached = now.reaches(limit).unwrap();
/// assert!((reached.best().get::<hour>() - 2.0 * (10.0 - 85.0 * 8.0 / 92.0)).abs() < 1e-6);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct JarHistory {
    /// The empty jar.
    pub tare: Measured<Mass>,
    /// When it was filled.
    pub filled: Moment,
    /// What it weighed then, with its leaf.
    pub gross: Measured<Mass>,
    /// The moisture of the leaf then.
    pub moisture: Measured<Moisture>,
    /// What happened since, in its order.
    pub steps: Vec<JarStep>,
}

/// A jar as it is now.
#[derive(Clone, Debug)]
pub struct JarNow {
    /// The moisture at the last weighing, with what came and went since.
    pub moisture: Estimate<Moisture>,
    /// The dry matter.
    pub dry_matter: Estimate<Mass>,
    /// The leaf.
    pub net: Estimate<Mass>,
    /// What the scale shows.
    pub gross: Estimate<Mass>,
    /// When it was weighed last.
    pub weighed: Moment,
    /// How fast it lost water from the weighing before to the last; negative
    /// where it gained. None with one weighing alone.
    pub rate: Option<Estimate<MassRate>>,
    history: JarHistory,
}

impl JarHistory {
    /// The jar as it is now. What lay in it at one weighing is the pile that the
    /// next goes by: only water leaves on the way.
    ///
    /// # Errors
    /// When a mass is not above 0, the steps are not in the order of time, the jar
    /// weighed no more than empty, or more was taken out or lost than was in it.
    pub fn now(&self) -> Result<JarNow> {
        self.check()?;
        let (inputs, table) = self.lay(None);
        Self::check_piles(&inputs.best(&table))?;
        let run = inputs.propagate(&table);
        Ok(JarNow {
            moisture: run.estimate(|f| f.pile.moisture()),
            dry_matter: run.estimate(|f| f.pile.dry_matter()),
            net: run.estimate(|f| f.pile.total()),
            gross: run.estimate(|f| f.gross),
            weighed: self.weighed(),
            rate: run.estimate_if(|f| f.rate),
            history: self.clone(),
        })
    }

    /// When it was weighed last.
    fn weighed(&self) -> Moment {
        let mut backwards = self.steps.iter().rev();
        let last = backwards.find(|step| matches!(step.event, JarEvent::Weighed(_)));
        last.map_or(self.filled, |step| step.at)
    }

    fn check(&self) -> Result<()> {
        let of_steps = self.steps.iter().map(|step| match step.event {
            JarEvent::Weighed(mass) | JarEvent::Taken(mass) | JarEvent::Water(mass) => mass,
            JarEvent::Put(leaf) => leaf.mass,
        });
        for mass in [self.tare, self.gross].into_iter().chain(of_steps) {
            MASS.check_base(mass.value().base())?;
        }
        let mut before = self.filled;
        for step in &self.steps {
            if step.at < before {
                return Err(Error::new(
                    ErrorKind::OutOfRange,
                    "what happened to a jar is not in the order of time",
                )
                .with_hint("give each step the moment at which it was"));
            }
            before = step.at;
        }
        Ok(())
    }

    fn check_piles(best: &Figures<f64>) -> Result<()> {
        let is_possible =
            |pile: &Pile<f64>| pile.water().base() >= 0.0 && pile.dry_matter().base() > 0.0;
        if best.piles.iter().all(is_possible) {
            return Ok(());
        }
        Err(Error::new(
            ErrorKind::Refused,
            "more was taken out of the jar, or lost by it, than was in it",
        )
        .with_hint("check its tare, its weighings, and what was taken"))
    }

    fn lay(&self, limit: Option<Moisture>) -> (Inputs, Table) {
        let mut inputs = Inputs::new();
        let table = Table {
            tare: inputs.add("tare", &self.tare),
            gross: inputs.add("first weighing", &self.gross),
            moisture: inputs.add("first moisture", &self.moisture),
            filled: self.filled,
            steps: self
                .steps
                .iter()
                .enumerate()
                .map(|(at, step)| {
                    let number = at + 1;
                    let slots = match &step.event {
                        JarEvent::Weighed(mass) => {
                            Slots::Weighed(inputs.add(format!("weighing of step {number}"), mass))
                        }
                        JarEvent::Taken(mass) => {
                            Slots::Taken(inputs.add(format!("leaf taken in step {number}"), mass))
                        }
                        JarEvent::Water(mass) => {
                            Slots::Water(inputs.add(format!("water of step {number}"), mass))
                        }
                        JarEvent::Put(leaf) => Slots::Put(
                            inputs.add(format!("leaf put in by step {number}"), &leaf.mass),
                            inputs.add(format!("moisture of leaf of step {number}"), &leaf.at),
                        ),
                    };
                    (step.at, slots)
                })
                .collect(),
            limit,
        };
        (inputs, table)
    }
}

impl JarNow {
    /// How long from the last weighing until the jar is as dry as a limit, if it
    /// goes on as it did; none where it does not dry, or is there already.
    pub fn reaches(&self, limit: Moisture) -> Option<Estimate<Time>> {
        self.rate.as_ref().filter(|rate| rate.best().base() > 0.0)?;
        let (inputs, table) = self.history.lay(Some(limit));
        let time = inputs.propagate(&table).estimate_if(|f| f.until);
        time.filter(|time: &Estimate<Time>| time.best().base() > 0.0)
    }
}

enum Slots {
    Weighed(Slot<Mass>),
    Taken(Slot<Mass>),
    Water(Slot<Mass>),
    Put(Slot<Mass>, Slot<Moisture>),
}

struct Table {
    tare: Slot<Mass>,
    gross: Slot<Mass>,
    moisture: Slot<Moisture>,
    filled: Moment,
    steps: Vec<(Moment, Slots)>,
    limit: Option<Moisture>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pile: Pile<V>,
    gross: Mass<V>,
    rate: Option<MassRate<V>>,
    until: Option<Time<V>>,
    /// What lay in it after each step.
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
        let tare = point.get(self.tare);
        let mut pile = Pile::leaf(point.get(self.gross) - tare, point.get(self.moisture));
        let mut weighed = self.filled;
        let mut rate = None;
        let mut piles = vec![pile];
        for (at, slots) in &self.steps {
            match slots {
                Slots::Weighed(gross) => {
                    let net = point.get(*gross) - tare;
                    let lost = pile.total() - net;
                    let time = at.since(weighed);
                    // Two weighings at one moment have no rate.
                    rate = (time.base() > 0.0).then(|| lost / time.lift::<V>());
                    pile = pile.with_water(-lost);
                    weighed = *at;
                }
                Slots::Taken(mass) => {
                    let left: Mass<V> = pile.total() - point.get(*mass);
                    pile = pile.share(left / pile.total());
                }
                Slots::Water(mass) => pile = pile.with_water(point.get(*mass)),
                Slots::Put(mass, at) => {
                    pile = pile.mix(Pile::leaf(point.get(*mass), point.get(*at)));
                }
            }
            piles.push(pile);
        }
        let to_lose = self.limit.map(|limit| -pile.water_to(limit.lift::<V>()));
        Figures {
            until: to_lose.zip(rate).map(|(to_lose, rate)| to_lose / rate),
            gross: pile.total() + tare,
            pile,
            rate,
            piles,
        }
    }
}
