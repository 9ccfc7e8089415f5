//! Weighings of counted drops, as plain numbers: their mean, scatter and doubt.

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    DROP_COUNT, Drops, MASS, Mass, Measured, Range, Scalar, Scale, VOLUME, Volume, rounding_u_net,
};

/// Counted drops with what they weigh, or with the mark they reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighing<Q = Mass> {
    /// How many drops were counted.
    pub drops: u32,
    /// What they weigh or fill, with the doubt typed with it.
    pub amount: Measured<Q>,
    /// One unit of the last decimal that was typed.
    pub last_place: Q,
}

/// The readings of a calibration.
#[derive(Clone, Debug, PartialEq)]
pub enum Readings {
    /// Each weighing by itself, zeroed before it.
    Singly(Vec<Weighing>),
    /// A running total: drops and mass since the one zero.
    Running(Vec<Weighing>),
    /// Drops into a graduated vessel, up to a mark.
    ToMark(Vec<Weighing<Volume>>),
}

/// The readings as plain numbers in SI base units, one an addition.
pub(super) struct Counted {
    pub drops: Vec<f64>,
    pub amounts: Vec<f64>,
    /// The standard uncertainty of each amount.
    pub doubts: Vec<f64>,
    /// The same floor for the scatter, from the last decimal without a scale.
    pub floor: f64,
    pub running: bool,
}

/// What a doubt is from that the weighings show themselves.
const SCATTERED: &str = "scatter of the weighings";

/// Drops, scatter and doubt of a set of weighings.
pub(super) struct Drawn {
    pub one: f64,
    /// How many weighings were kept.
    pub weighings: f64,
    /// The standard deviation of one drop; with two weighings or more.
    pub scatter: Option<f64>,
    /// The degrees of freedom of the scatter.
    pub scatter_dof: f64,
    pub mean_count: f64,
    pub total: f64,
    u: f64,
    dof: f64,
    /// What the doubt is from, as a budget shows it.
    pub source: &'static str,
}

impl Drawn {
    /// Whether the scatter of the weighings decides the doubt, not the scale.
    pub fn by_scatter(&self) -> bool {
        self.source == SCATTERED
    }

    /// One drop with its doubt, as what was read: a mass or a volume.
    pub fn measured<S: Scalar>(&self) -> Measured<S> {
        Measured::new(S::of_base(self.one), self.u, self.dof)
    }
}

impl Counted {
    /// d = Σx/ΣN with s₁² = Σ(x − N d)²/N/(k − 1), over the weighings kept.
    pub fn draw(&self, keep: impl Fn(usize) -> bool) -> Drawn {
        let kept: Vec<usize> = (0..self.drops.len()).filter(|&i| keep(i)).collect();
        let k = kept.len() as f64;
        let total: f64 = kept.iter().map(|&i| self.drops[i]).sum();
        let one = kept.iter().map(|&i| self.amounts[i]).sum::<f64>() / total;
        let scatter = (kept.len() > 1).then(|| {
            let squares = kept
                .iter()
                .map(|&i| (self.amounts[i] - self.drops[i] * one).powi(2) / self.drops[i]);
            (squares.sum::<f64>() / (k - 1.0)).sqrt()
        });
        let by_scatter = scatter.map_or(0.0, |s| s / total.sqrt());
        let by_scale = if self.running {
            // Of a running total each unbroken stretch is bounded by two
            // readings, whatever was read in between; without a gap by the zero
            // and the last.
            let stretches = kept
                .iter()
                .enumerate()
                .filter(|&(k, &i)| k == 0 || kept[k - 1] + 1 != i)
                .count() as f64;
            let largest = kept.iter().map(|&i| self.doubts[i]).fold(0.0, f64::max);
            stretches.sqrt() * largest / total
        } else {
            kept.iter()
                .map(|&i| self.doubts[i].powi(2))
                .sum::<f64>()
                .sqrt()
                / total
        };
        let (u, dof, source) = if by_scatter > by_scale {
            (by_scatter, k - 1.0, SCATTERED)
        } else {
            (by_scale, f64::INFINITY, "scale")
        };
        Drawn {
            one,
            weighings: k,
            scatter,
            scatter_dof: k - 1.0,
            mean_count: total / k,
            total,
            u,
            dof,
            source,
        }
    }

    /// The same set with `more` weighings of `drops` each, as scattered as those
    /// that are there: one drop with its doubt.
    pub fn weighed_on<S: Scalar>(&self, drawn: &Drawn, drops: f64, more: f64) -> Measured<S> {
        let (k, total) = (drawn.weighings + more, drawn.total + more * drops);
        let u = self.doubts.iter().fold(0.0, |m: f64, &u| m.max(u));
        let by_scatter = drawn.scatter.map_or(0.0, |s| s / total.sqrt());
        let by_scale = k.sqrt() * u / total;
        let (u, dof) = if by_scatter > by_scale {
            (by_scatter, k - 1.0)
        } else {
            (by_scale, f64::INFINITY)
        };
        Measured::new(S::of_base(drawn.one), u, dof)
    }

    /// The smallest N with √(s₁²/N + (u/N)²) ≤ 0.01 d; `None` without scatter,
    /// and where neither scatter nor scale is known to be in the way.
    pub fn drops_for_1_percent(&self, drawn: &Drawn) -> Option<Drops> {
        let scatter = drawn.scatter?;
        let aim = (0.01 * drawn.one).powi(2);
        let u = self.doubts.iter().fold(0.0, |m: f64, &u| m.max(u));
        if scatter == 0.0 && u == 0.0 {
            return None;
        }
        // s₁²/N + u²/N² = aim, solved for N and brought to the whole number.
        let n = (scatter.powi(2) + (scatter.powi(4) + 4.0 * aim * u * u).sqrt()) / (2.0 * aim);
        let enough = |n: f64| scatter.powi(2) / n + (u / n).powi(2) <= aim;
        let mut n = n.floor().max(1.0);
        // Rounding may leave the whole number one short.
        if !enough(n) {
            n += 1.0;
        }
        enough(n).then_some(Drops::new(n))
    }
}

/// Checks readings and makes plain numbers of them.
fn counted<Q: Scalar>(
    weighings: &[Weighing<Q>],
    u_net: Option<f64>,
    running: bool,
    amount: &Range,
) -> Result<Counted> {
    if weighings.is_empty() {
        return Err(
            Error::new(ErrorKind::Empty, "no weighing was given").with_hint(
                "count 20 drops onto the zeroed scale and type 20=0.974g; several weighings also show the scatter",
            ),
        );
    }
    for weighing in weighings {
        DROP_COUNT.check_base(f64::from(weighing.drops))?;
        amount.check_base(weighing.amount.value().base())?;
    }
    let coarsest = weighings
        .iter()
        .map(|w| w.last_place.base())
        .fold(0.0, f64::max);
    Ok(Counted {
        drops: weighings.iter().map(|w| f64::from(w.drops)).collect(),
        amounts: weighings.iter().map(|w| w.amount.value().base()).collect(),
        doubts: weighings
            .iter()
            .map(|w| match u_net {
                Some(u_net) if w.amount.is_exact() => u_net,
                _ => w.amount.u(),
            })
            .collect(),
        floor: u_net.unwrap_or_else(|| rounding_u_net(coarsest)),
        running,
    })
}

/// A running total as single additions; the drops count on with the mass.
fn additions(weighings: &[Weighing]) -> Result<Vec<Weighing>> {
    let mut before = (0, 0.0);
    let mut singles = Vec::with_capacity(weighings.len());
    for (i, weighing) in weighings.iter().enumerate() {
        let total = weighing.amount.value().base();
        if weighing.drops <= before.0 || total <= before.1 {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                format!("weighing {} of a running total does not rise", i + 1),
            )
            .with_hint(
                "type drops and mass since the zero, such as 20=0.612g 40=1.218g; where each weighing stands alone, it is no running total",
            ));
        }
        singles.push(Weighing {
            drops: weighing.drops - before.0,
            amount: Measured::new(
                Mass::of_base(total - before.1),
                weighing.amount.u(),
                weighing.amount.dof(),
            ),
            last_place: weighing.last_place,
        });
        before = (weighing.drops, total);
    }
    Ok(singles)
}

impl Readings {
    /// The readings as additions, each checked.
    pub(super) fn counted(&self, scale: Option<Scale>) -> Result<Counted> {
        let u_net = scale.map(|s| s.u_net().base());
        match self {
            Self::Singly(weighings) => counted(weighings, u_net, false, &MASS),
            Self::Running(weighings) => counted(&additions(weighings)?, u_net, true, &MASS),
            // A scale has no say in a volume.
            Self::ToMark(marks) => counted(marks, None, false, &VOLUME),
        }
    }
}
