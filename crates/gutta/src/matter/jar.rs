//! A jar weighed twice: the scale as a moisture meter.
//!
//! # Why does one weighing give a moisture?
//!
//! What dries is water; the dry matter stays. Known once, it turns every later
//! weighing of the same jar into a moisture: m = 1 − (1 − m_then) net_then /
//! net_now. It holds while only water leaves or comes: not while alcohol is
//! still airing.

use uom::si::{SI, Units};

use super::{LotOfLeaf, Moisture, Pile};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Real, Scalar, Simulation, Slot,
};

/// A jar, weighed when its moisture was known and again now.
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::Jar;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let then = Moisture::new(Ratio::new::<percent>(15.0))?;
/// let jar = Jar {
///     tare: Some(grams(400.0)),
///     ..Jar::new(grams(500.0), Measured::exact(then), grams(495.0))
/// };
/// // 85 g of dry matter in 95 g.
/// let now = jar.weighed()?.moisture.best().ratio().get::<percent>();
/// assert!((now - 100.0 * 10.0 / 95.0).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jar {
    /// What the scale showed then: with the jar where there is a tare, else net.
    pub then: Measured<Mass>,
    /// The moisture then.
    pub at: Measured<Moisture>,
    /// What the scale shows now.
    pub now: Measured<Mass>,
    /// The empty jar: one weighing, used for both.
    pub tare: Option<Measured<Mass>>,
    /// Leaf that was taken out in between, while it was at the moisture of then.
    pub taken: Option<Measured<Mass>>,
    /// Leaf that was put in in between.
    pub put: Option<LotOfLeaf>,
    /// The moisture that is wanted.
    pub to: Option<Moisture>,
}

/// What the second weighing says.
#[derive(Clone, Debug)]
pub struct Weighed {
    /// The moisture now.
    pub moisture: Estimate<Moisture>,
    /// The dry matter in it.
    pub dry_matter: Estimate<Mass>,
    /// The leaf in it now.
    pub net: Estimate<Mass>,
    /// The water that has gone; negative where some has come.
    pub lost: Estimate<Mass>,
    /// The water to the moisture wanted; negative where water must go.
    pub water: Option<Estimate<Mass>>,
    /// What the scale shows then, with the jar where there is a tare.
    pub reading: Option<Estimate<Mass>>,
}

impl Jar {
    /// A jar weighed net.
    pub const fn new(then: Measured<Mass>, at: Measured<Moisture>, now: Measured<Mass>) -> Self {
        Self {
            then,
            at,
            now,
            tare: None,
            taken: None,
            put: None,
            to: None,
        }
    }

    /// Works the moisture out.
    ///
    /// # Errors
    /// When a mass is not above 0, or the jar weighs no more than empty; a
    /// refusal when more has gone than there was water, or more was taken than
    /// there was leaf.
    pub fn weighed(&self) -> Result<Weighed> {
        let (inputs, table) = self.lay()?;
        let run = inputs.propagate(&table);
        Ok(Weighed {
            moisture: run.estimate(|f| f.pile.moisture()),
            dry_matter: run.estimate(|f| f.pile.dry_matter()),
            net: run.estimate(|f| f.pile.total()),
            lost: run.estimate(|f| f.lost),
            water: run.estimate_if(|f| f.water),
            reading: run.estimate_if(|f| f.reading),
        })
    }

    /// The moisture ready to be run on draws. A draw is outside when the jar
    /// has water below none or no dry matter.
    ///
    /// # Errors
    /// As [`weighed`](Self::weighed).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, table) = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let or_nan = |mass: Option<Mass>| mass.map_or(f64::NAN, Scalar::base);
            row.copy_from_slice(&[
                f.pile.moisture().base(),
                f.pile.dry_matter().base(),
                f.pile.total().base(),
                f.lost.base(),
                or_nan(f.water),
            ]);
            f.pile.water().base() >= 0.0 && f.pile.dry_matter().base() > 0.0
        };
        Ok(inputs.simulate(table, FIGURES, pick))
    }

    fn lay(&self) -> Result<(Inputs, Table)> {
        let put = self.put.map(|put| put.mass);
        let masses = [Some(self.then), Some(self.now), self.tare, self.taken, put];
        for mass in masses.into_iter().flatten() {
            MASS.check_base(mass.value().base())?;
        }
        let mut inputs = Inputs::new();
        let table = Table {
            then: inputs.add("weighing then", &self.then),
            at: inputs.add("moisture then", &self.at),
            now: inputs.add("weighing now", &self.now),
            tare: self.tare.map(|tare| inputs.add("tare", &tare)),
            taken: self.taken.map(|taken| inputs.add("leaf taken", &taken)),
            put: self.put.map(|put| {
                (
                    inputs.add("leaf put in", &put.mass),
                    inputs.add("moisture of leaf put in", &put.at),
                )
            }),
            to: self.to,
        };
        let best = inputs.best(&table);
        let tare = self.tare.map_or(0.0, |tare| tare.value().base());
        for (when, gross) in [("then", self.then), ("now", self.now)] {
            if gross.value().base() <= tare {
                return Err(Error::new(
                    ErrorKind::OutOfRange,
                    format!("the jar weighed no more {when} than it does empty"),
                )
                .with_hint("weigh the jar with its leaf, and the tare without"));
            }
        }
        if best.pile.dry_matter().base() <= 0.0 {
            return Err(
                Error::new(ErrorKind::Refused, "more leaf was taken out than there was")
                    .with_hint("check what was taken, and the weighing then"),
            );
        }
        if best.pile.water().base() < 0.0 {
            return Err(Error::new(
                ErrorKind::Refused,
                "the jar has lost more than the water that was in it",
            )
            .with_hint(
                "say what leaf was taken out in between, and check the tare and the moisture then",
            ));
        }
        Ok((inputs, table))
    }
}

/// The figures of a simulated jar, in the order of its rows.
const FIGURES: &[&str] = &[
    "moisture",
    "dry_matter",
    "final_mass",
    "water_lost",
    "water",
];

struct Table {
    then: Slot<Mass>,
    at: Slot<Moisture>,
    now: Slot<Mass>,
    tare: Option<Slot<Mass>>,
    taken: Option<Slot<Mass>>,
    put: Option<(Slot<Mass>, Slot<Moisture>)>,
    to: Option<Moisture>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pile: Pile<V>,
    lost: Mass<V>,
    water: Option<Mass<V>>,
    reading: Option<Mass<V>>,
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
        let tare = self.tare.map(|slot| point.get(slot));
        let net = |gross: Mass<V>| tare.map_or(gross, |tare| gross - tare);
        let then = net(point.get(self.then));
        let left = self.taken.map_or(then, |slot| then - point.get(slot));
        let kept = Pile::leaf(left, point.get(self.at));
        let before = self.put.map_or(kept, |(mass, at)| {
            kept.mix(Pile::leaf(point.get(mass), point.get(at)))
        });
        let lost = before.total() - net(point.get(self.now));
        let pile = before.with_water(-lost);
        let to = self.to.map(Scalar::lift::<V>);
        let gross = |net: Mass<V>| tare.map_or(net, |tare| net + tare);
        Figures {
            pile,
            lost,
            water: to.map(|to| pile.water_to(to)),
            reading: to.map(|to| gross(pile.at_moisture(to).total())),
        }
    }
}
