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
    /// What that is in a day.
    pub lost_per_day: Option<Estimate<Mass>>,
    history: JarHistory,
}

impl JarHistory {
    /// The jar as it is now. What lay in it at one weighing is the pile that the
    /// next goes by: only water leaves on the way.
    ///
    /// # Errors
    /// As of [`fault`](Self::fault).
    pub fn now(&self) -> Result<JarNow> {
        if let Some((_, error)) = self.fault() {
            return Err(error);
        }
        Ok(self.worked_out(&self.fold()))
    }

    /// How it is, by the steps that count.
    pub(super) fn worked_out(&self, steps: &[JarStep]) -> JarNow {
        let (inputs, table) = self.lay(steps, None);
        let run = inputs.propagate(&table);
        JarNow {
            moisture: run.estimate(|f| f.pile.moisture()),
            dry_matter: run.estimate(|f| f.pile.dry_matter()),
            net: run.estimate(|f| f.pile.total()),
            gross: run.estimate(|f| f.gross),
            weighed: self.weighed(),
            rate: run.estimate_if(|f| f.rate),
            lost_per_day: run.estimate_if(|f| f.rate.map(|rate| rate * day())),
            history: self.clone(),
        }
    }

    /// When it was weighed last.
    fn weighed(&self) -> Moment {
        let mut backwards = self.steps.iter().rev();
        let last = backwards.find(|step| matches!(step.event, JarEvent::Weighed(_)));
        last.map_or(self.filled, |step| step.at)
    }

    /// What cannot be, if anything cannot: 0 for the filling, else the number of
    /// the step, the first being 1; and why. That is a mass that is not above 0, a
    /// step that was before the one in front of it, a weighing of less than the
    /// jar and its dry leaf, and more taken than was there.
    pub fn fault(&self) -> Option<(usize, Error)> {
        self.unreal().or_else(|| {
            let (inputs, mut table) = self.lay(&self.steps, None);
            table.keeps_piles = true;
            let is_possible =
                |pile: &Pile<f64>| pile.water().base() >= 0.0 && pile.dry_matter().base() > 0.0;
            let piles = inputs.best(&table).piles;
            let number = piles.iter().position(|pile| !is_possible(pile))?;
            let step = number.checked_sub(1).and_then(|at| self.steps.get(at));
            Some((number, impossible(step.map(|step| &step.event))))
        })
    }

    /// The first mass that is none, or step that is out of the order of time.
    fn unreal(&self) -> Option<(usize, Error)> {
        let is_mass = |mass: Measured<Mass>| MASS.check_base(mass.value().base()).err();
        if let Some(error) = is_mass(self.tare).or_else(|| is_mass(self.gross)) {
            return Some((0, error));
        }
        let mut before = self.filled;
        for (at, step) in self.steps.iter().enumerate() {
            let mass = match step.event {
                JarEvent::Weighed(mass) | JarEvent::Taken(mass) | JarEvent::Water(mass) => mass,
                JarEvent::Put(leaf) => leaf.mass,
            };
            if let Some(error) = is_mass(mass) {
                return Some((at + 1, error));
            }
            if step.at < before {
                let error = Error::new(
                    ErrorKind::OutOfRange,
                    "what happened to a jar is not in the order of time",
                );
                let error = error.with_hint("give each step the moment at which it was");
                return Some((at + 1, error));
            }
            before = step.at;
        }
        None
    }

    /// The steps that the figures hang on, with all others left out.
    ///
    /// A weighing says how much lies in the jar, whatever was known of that before:
    /// of the dry matter it says nothing. So a weighing counts where leaf was taken
    /// before the next one, and the last two count, which the rate is from; water
    /// counts where one of these follows, or nothing. What was taken in one go after
    /// another is taken together. The figures and their doubts stay what they were,
    /// and a jar that was weighed for years is worked out as fast as a new one.
    pub(super) fn fold(&self) -> Vec<JarStep> {
        let mut kept: Vec<JarStep> = Vec::new();
        // Backwards: whether what is in the jar is still asked for there.
        let mut weighings = 0;
        let mut is_asked = true;
        for step in self.steps.iter().rev() {
            match step.event {
                JarEvent::Weighed(_) => {
                    if is_asked || weighings < 2 {
                        kept.push(*step);
                    }
                    weighings += 1;
                    // The last weighing is compared with what was there before it.
                    is_asked = weighings == 1;
                }
                JarEvent::Taken(_) => {
                    is_asked = true;
                    kept.push(*step);
                }
                JarEvent::Water(_) => {
                    if is_asked {
                        kept.push(*step);
                    }
                }
                JarEvent::Put(_) => kept.push(*step),
            }
        }
        kept.reverse();
        kept.dedup_by(|next, step| match (&mut step.event, &next.event) {
            (JarEvent::Taken(all), JarEvent::Taken(more)) => together(all, more),
            _ => false,
        });
        kept
    }

    fn lay(&self, steps: &[JarStep], limit: Option<Moisture>) -> (Inputs, Table) {
        let mut inputs = Inputs::new();
        let table = Table {
            tare: inputs.add("tare", &self.tare),
            gross: inputs.add("first weighing", &self.gross),
            moisture: inputs.add("first moisture", &self.moisture),
            filled: self.filled,
            steps: steps
                .iter()
                .map(|step| {
                    let day = step.at;
                    let slots = match &step.event {
                        JarEvent::Weighed(mass) => {
                            Slots::Weighed(inputs.add(format!("weighing of {day}"), mass))
                        }
                        JarEvent::Taken(mass) => {
                            Slots::Taken(inputs.add(format!("leaf taken on {day}"), mass))
                        }
                        JarEvent::Water(mass) => {
                            Slots::Water(inputs.add(format!("water of {day}"), mass))
                        }
                        JarEvent::Put(leaf) => Slots::Put(
                            inputs.add(format!("leaf put in on {day}"), &leaf.mass),
                            inputs.add(format!("moisture of leaf put in on {day}"), &leaf.at),
                        ),
                    };
                    (step.at, slots)
                })
                .collect(),
            limit,
            keeps_piles: false,
        };
        (inputs, table)
    }
}

/// Why a step cannot be; none for the filling.
fn impossible(step: Option<&JarEvent>) -> Error {
    let (message, hint) = match step {
        None => (
            "the jar weighed no more with its leaf than empty",
            "check its tare and its weight",
        ),
        Some(JarEvent::Taken(_)) => (
            "more was taken out of the jar than was in it",
            "weigh the jar, then say what was taken",
        ),
        Some(_) => (
            "the jar weighed less than itself and the dry leaf in it",
            "check the weighing and the tare; leaf that was taken out is said with jar take",
        ),
    };
    Error::new(ErrorKind::Refused, message).with_hint(hint)
}

/// Adds a mass to another, their doubts along, where both are known as if from
/// ever so many readings; says whether it has.
pub(super) fn together(all: &mut Measured<Mass>, more: &Measured<Mass>) -> bool {
    let is_sure = all.dof().is_infinite() && more.dof().is_infinite();
    if is_sure {
        let u = all.u().hypot(more.u());
        *all = Measured::new(all.value() + more.value(), u, f64::INFINITY);
    }
    is_sure
}

impl JarNow {
    /// How long from the last weighing until the jar is as dry as a limit, if it
    /// goes on as it did; none where it does not dry, or is there already.
    pub fn reaches(&self, limit: Moisture) -> Option<Estimate<Time>> {
        self.rate.as_ref().filter(|rate| rate.best().base() > 0.0)?;
        let (inputs, table) = self.history.lay(&self.history.fold(), Some(limit));
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
    /// Whether what lay in it after each step is kept. Not where a formula is run
    /// many times: a long history would be kept each time.
    keeps_piles: bool,
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
        let mut piles = Vec::new();
        let mut keep = |pile| {
            if self.keeps_piles {
                piles.push(pile);
            }
        };
        keep(pile);
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
            keep(pile);
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

/// Twenty-four hours.
fn day<V: Real>() -> Time<V>
where
    SI<V>: Units<V>,
{
    <Time as Scalar>::of_base(86_400.0).lift::<V>()
}
