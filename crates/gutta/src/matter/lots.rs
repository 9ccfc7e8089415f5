//! Several lots together, and two lots to a moisture (alligation).

use uom::si::{SI, Units};

use super::{MET, Moisture, Pile};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, Scalar, Simulation, Slot,
};

/// Leaf at a moisture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LotOfLeaf {
    /// As weighed.
    pub mass: Measured<Mass>,
    /// Its moisture.
    pub at: Measured<Moisture>,
}

/// Lots to be mixed, and the moisture wanted.
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::{LotOfLeaf, Mixing};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let lot = |g, m| Ok::<_, gutta::Error>(LotOfLeaf {
///     mass: Measured::exact(Mass::new::<gram>(g)),
///     at: Measured::exact(Moisture::new(Ratio::new::<percent>(m))?),
/// });
/// let to = Moisture::target(Ratio::new::<percent>(13.0))?;
/// let mixed = Mixing { lots: vec![lot(100.0, 10.0)?, lot(100.0, 17.0)?], to: Some(to) }.mixed()?;
/// // Four parts of the dry lot to three of the moist one.
/// let parts = mixed.parts.unwrap();
/// assert!((parts[1].best().get::<gram>() - 75.0).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Mixing {
    /// The lots, at least one.
    pub lots: Vec<LotOfLeaf>,
    /// The moisture wanted.
    pub to: Option<Moisture>,
}

/// What lots make together.
#[derive(Clone, Debug)]
pub struct Mixed {
    /// The moisture of all of them together.
    pub moisture: Estimate<Moisture>,
    /// Their mass.
    pub mass: Estimate<Mass>,
    /// The water that brings all of them to the moisture wanted; negative where
    /// water must go.
    pub water: Option<Estimate<Mass>>,
    /// What to take of each of two lots, within what is there, so that they
    /// make the moisture wanted without water.
    pub parts: Option<Vec<Estimate<Mass>>>,
    /// Which of two lots is used up, the first being 0, and how much more of it
    /// would use all of the other.
    pub short_of: Option<(usize, Estimate<Mass>)>,
}

impl Mixing {
    /// Mixes the lots.
    ///
    /// Two lots a and b make a moisture t between theirs where
    /// x_b = x_a (t − m_a)/(m_b − t).
    ///
    /// # Errors
    /// When there is no lot or a mass is not above 0; a refusal when the
    /// moisture wanted lies outside those of the lots.
    pub fn mixed(&self) -> Result<Mixed> {
        let (inputs, table) = self.lay()?;
        let run = inputs.propagate(&table);
        Ok(Mixed {
            moisture: run.estimate(|f| f.pile.moisture()),
            mass: run.estimate(|f| f.pile.total()),
            water: run.estimate_if(|f| f.water),
            parts: table
                .plan
                .map(|_| (0..2).map(|i| run.estimate(|f| f.alligation(i))).collect()),
            short_of: table
                .plan
                .and_then(|plan| Some((plan.scarcer, run.estimate_if(|f| f.short_of)?))),
        })
    }

    /// The mixture ready to be run on draws. A draw is outside when there is no
    /// dry matter or water below none.
    ///
    /// # Errors
    /// As [`mixed`](Self::mixed).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, table) = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let or_nan = |mass: Option<Mass>| mass.map_or(f64::NAN, Scalar::base);
            row.copy_from_slice(&[
                f.pile.moisture().base(),
                f.pile.total().base(),
                or_nan(f.water),
                or_nan(f.short_of),
            ]);
            f.pile.water().base() >= 0.0 && f.pile.dry_matter().base() > 0.0
        };
        Ok(inputs.simulate(table, FIGURES, pick))
    }

    fn lay(&self) -> Result<(Inputs, Table)> {
        if self.lots.is_empty() {
            return Err(Error::new(ErrorKind::Empty, "no lot was given")
                .with_hint("type each lot as mass and moisture: \"460g 9.6%\""));
        }
        let mut inputs = Inputs::new();
        let mut lots = Vec::with_capacity(self.lots.len());
        for (i, lot) in self.lots.iter().enumerate() {
            MASS.check_base(lot.mass.value().base())?;
            let number = i + 1;
            lots.push((
                inputs.add(format!("lot {number}"), &lot.mass),
                inputs.add(format!("moisture of lot {number}"), &lot.at),
            ));
        }
        let mut table = Table {
            lots,
            to: self.to,
            plan: None,
        };
        if let Some(to) = self.to {
            self.check_within(to, &inputs.best(&table))?;
            table.plan = self.plan(to);
        }
        Ok((inputs, table))
    }

    /// The moisture wanted lies between those of the lots.
    fn check_within(&self, to: Moisture, best: &Figures<f64>) -> Result<()> {
        let at = || self.lots.iter().map(|lot| lot.at.value().base());
        let low = at().fold(f64::INFINITY, f64::min);
        let high = at().fold(f64::NEG_INFINITY, f64::max);
        let t = to.base();
        if (low..=high).contains(&t) {
            return Ok(());
        }
        let percent = |m: f64| format!("{} %", (m * 1e4).round() / 1e2);
        let grams = |m: f64| format!("{} g", (m * 1e5).round() / 1e2);
        let water = best.water.map_or(0.0, Scalar::base);
        let (nearest, hint) = if t > high {
            (
                high,
                format!("mixed, they need {} of water for it", grams(water)),
            )
        } else {
            (
                low,
                format!("mixed, they must lose {} of water for it", grams(-water)),
            )
        };
        Err(Error::new(
            ErrorKind::Refused,
            format!(
                "lots at {} to {} do not make {} by mixing; the nearest they reach is {}",
                percent(low),
                percent(high),
                percent(t),
                percent(nearest)
            ),
        )
        .with_hint(hint))
    }

    /// Which of two lots is used up, where they differ.
    fn plan(&self, to: Moisture) -> Option<Plan> {
        let [a, b] = self.lots.as_slice() else {
            return None;
        };
        // What rounding leaves of a moisture that is met is nothing.
        let off = |lot: &LotOfLeaf| {
            let off = lot.at.value().base() - to.base();
            if off.abs() <= MET { 0.0 } else { off }
        };
        let (of_a, of_b) = (off(a), off(b));
        if of_a == 0.0 && of_b == 0.0 {
            return None;
        }
        // All of the first with |of_a| over |of_b| of the second: is it there?
        let (all_of_a, all_of_b) = (
            a.mass.value().base() * of_a.abs(),
            b.mass.value().base() * of_b.abs(),
        );
        let first_is_scarcer = all_of_a <= all_of_b;
        Some(Plan {
            scarcer: usize::from(!first_is_scarcer),
            // A lot at the moisture wanted takes none of the other.
            // Two lots that go up in each other leave nothing to want.
            is_open: of_a != 0.0
                && of_b != 0.0
                && (all_of_a - all_of_b).abs() > MET * all_of_a.max(all_of_b),
        })
    }
}

/// What of leaf at one moisture brings leaf at another to a third between them:
/// x (t − m)/(m′ − t), for x at m.
pub(crate) fn alligation<V: Real>(
    mass: Mass<V>,
    at: Moisture<V>,
    other: Moisture<V>,
    to: Moisture<V>,
) -> Mass<V>
where
    SI<V>: Units<V>,
{
    let off = |at: Moisture<V>| -> Ratio<V> { to.ratio() - at.ratio() };
    mass * (off(at) / -off(other))
}

/// The figures of simulated lots, in the order of their rows.
const FIGURES: &[&str] = &["moisture", "final_mass", "water", "short_of"];

/// Which of two lots is used up.
#[derive(Clone, Copy)]
struct Plan {
    scarcer: usize,
    is_open: bool,
}

struct Table {
    lots: Vec<(Slot<Mass>, Slot<Moisture>)>,
    to: Option<Moisture>,
    plan: Option<Plan>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pile: Pile<V>,
    water: Option<Mass<V>>,
    parts: Option<[Mass<V>; 2]>,
    short_of: Option<Mass<V>>,
}

impl<V: Real> Figures<V>
where
    SI<V>: Units<V>,
{
    /// Asked only where there is a plan for two lots.
    fn alligation(&self, lot: usize) -> Mass<V> {
        self.parts
            .map(|parts| parts[lot])
            .expect("two lots are planned")
    }
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
        let lot = |&(mass, at): &(Slot<Mass>, Slot<Moisture>)| (point.get(mass), point.get(at));
        let piles = self.lots.iter().map(lot);
        let pile = piles
            .map(|(mass, at)| Pile::leaf(mass, at))
            .fold(Pile::empty(), Pile::mix);
        let to = self.to.map(Scalar::lift::<V>);
        let (mut parts, mut short_of) = (None, None);
        if let (Some(plan), Some(to)) = (self.plan, to) {
            let (all, at) = lot(&self.lots[plan.scarcer]);
            let (stock, other_at) = lot(&self.lots[1 - plan.scarcer]);
            // What goes with all of the scarcer lot.
            let other = alligation(all, at, other_at, to);
            parts = Some(match plan.scarcer {
                0 => [all, other],
                _ => [other, all],
            });
            short_of = plan
                .is_open
                .then(|| alligation(stock, other_at, at, to) - all);
        }
        Figures {
            pile,
            water: to.map(|to| pile.water_to(to)),
            parts,
            short_of,
        }
    }
}
