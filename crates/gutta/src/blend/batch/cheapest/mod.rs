//! The cheapest set of lots that makes a batch.
//!
//! # Why as a programme and not lot by lot?
//!
//! The cheapest lot of each component may be too moist beside the others, or run
//! out. What is wanted of all lots at once (shares, stock, water) are straight
//! lines, and so is the cost: the least of it is a linear programme.
//!
//! # What if the lots do not make it?
//!
//! Then every limit is let out at a price, and the least total that must be let out
//! says which limit it is, and by how much.

mod program;
mod squeeze;

use crate::bench::LeafBasis;
use crate::blend::formula::Shares;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Moisture, Pile};
use crate::measure::{MASS, Mass, Ratio, Scalar};

use super::{Money, Price};
use program::Goal;

/// Leaf that could be taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What it is called.
    pub lot: String,
    /// Which component of the formula it is, the first being 0.
    pub component: usize,
    /// Its moisture.
    pub at: Moisture,
    /// What it costs as weighed.
    pub price: Price,
    /// What there is of it as weighed; no limit where that is not known.
    pub stock: Option<Mass>,
}

/// What is to be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The shares of leaf.
    pub shares: Shares,
    /// What they are shares of.
    pub basis: LeafBasis,
    /// How far a share may be off, in points as a ratio: 0 to below 1.
    pub within: Ratio,
    /// Leaf and its water together, without casing and flavouring.
    pub finished: Mass,
    /// Their moisture.
    pub to: Moisture,
    /// Whether leaf that is moister than wanted may be dried.
    pub may_dry: bool,
}

impl Wanted {
    /// Least and most of a component's share.
    fn ends(&self, component: usize) -> (f64, f64) {
        let share = self.shares.lines()[component].share().base();
        let within = self.within.base();
        ((share - within).max(0.0), share + within)
    }
}

/// A batch, and the lots that it could be made of.
///
/// ```
/// use gutta::Moisture;
/// use gutta::bench::LeafBasis;
/// use gutta::blend::batch::{Cheapest, Choice, Offer, Price, Wanted};
/// use gutta::blend::formula::{Amounts, Shares};
/// use gutta::measure::{Mass, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let at = |m| Moisture::new(Ratio::new::<percent>(m));
/// let offer = |lot: &str, m, price, stock: Option<f64>| Ok::<_, gutta::Error>(Offer {
///     lot: lot.to_owned(),
///     component: 0,
///     at: at(m)?,
///     price: Price::new(price)?,
///     stock: stock.map(|g| Mass::new::<gram>(g)),
/// });
/// let cheapest = Cheapest {
///     wanted: Wanted {
///         shares: Shares::new(&["flue-cured"], &Amounts::Parts(vec![1.0]))?,
///         basis: LeafBasis::Dry,
///         within: Ratio::new::<percent>(0.0),
///         finished: Mass::new::<gram>(1000.0),
///         to: at(15.0)?,
///         may_dry: false,
///     },
///     offers: vec![offer("dear", 10.0, 40.0, None)?, offer("cheap", 12.0, 30.0, Some(500.0))?],
/// };
/// let Choice::Made(taken) = cheapest.choose()? else { unreachable!() };
/// // All of the cheap lot, 440 g of dry leaf, and 410/0.9 g of the other.
/// assert!((taken.masses[1].get::<gram>() - 500.0).abs() < 1e-6);
/// assert!((taken.masses[0].get::<gram>() - 410.0 / 0.9).abs() < 1e-6);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Cheapest {
    /// What is to be made.
    pub wanted: Wanted,
    /// What it could be made of.
    pub offers: Vec<Offer>,
}

/// Whether the lots make the batch.
#[derive(Clone, Debug, PartialEq)]
pub enum Choice {
    /// They do, at least for this.
    Made(Taken),
    /// They do not, and this is why.
    Short(Short),
}

/// The lots that cost least.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// What is taken of each offer as weighed, in their order.
    pub masses: Vec<Mass>,
    /// The leaf, together.
    pub leaf: Pile,
    /// The water that goes on; below 0 what must be dried off.
    pub water: Mass,
    /// What the leaf costs.
    pub cost: Money,
    /// The share that each component then has, on the basis of the shares.
    pub shares: Vec<Ratio>,
}

/// A limit that is in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// There is too little of a component; its dry leaf is missing.
    Stock(usize),
    /// A component must have more than its share and the tolerance.
    Over(usize),
    /// A component must have less than its share and the tolerance.
    Under(usize),
    /// The leaf is too moist: water must be dried off.
    Water,
}

/// Why the lots do not make the batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Short {
    /// Each limit that must be let out, with by how much: dry leaf of a stock, leaf
    /// on the basis of the shares for a share, water.
    pub bounds: Vec<(Bound, Mass)>,
    /// All of them together: the least there is.
    pub total: Mass,
    /// The largest batch that these lots make within all limits, where there is one.
    pub largest: Option<Mass>,
    /// The least tolerance of the shares, in points as a ratio, that they make all
    /// of it within; where there is one.
    pub within: Option<Ratio>,
}

/// A part of the batch in which a limit counts as met: some of what a solver leaves.
const MET: f64 = 1e-7;

impl Cheapest {
    /// The cheapest lots: x_l ≥ 0 as weighed and within stock, w ≥ 0 water,
    /// Σx + w = B, Σ(1 − m_l)x_l = B(1 − t), each component within its share and the
    /// tolerance, Σc_l x_l the least. Where lots cost alike, one of the cheapest
    /// sets.
    ///
    /// # Errors
    /// When a component has no offer, an offer is for none, a mass is not above 0,
    /// or the tolerance is not at least 0 and below 100 %.
    pub fn choose(&self) -> Result<Choice> {
        self.check()?;
        let leaf = match self.among_few()? {
            Some(leaf) => Some(leaf),
            None => program::solve(self, Goal::Cost)?.map(|point| point.leaf),
        };
        let Some(leaf) = leaf else {
            return self.short().map(Choice::Short);
        };
        let taken = self.taken(&leaf);
        self.hold(&taken)?;
        Ok(Choice::Made(taken))
    }

    /// The choice among many lots, by those that are in question; none where they
    /// are few, or where it is not sure to be the cheapest.
    fn among_few(&self) -> Result<Option<Vec<f64>>> {
        if self.offers.len() < squeeze::MANY {
            return Ok(None);
        }
        let Some(squeezed) = squeeze::squeeze(self) else {
            return Ok(None);
        };
        let point = program::solve(&squeezed.asked, Goal::Cost)?;
        Ok(point.and_then(|point| squeezed.spread(self, &point.leaf)))
    }

    fn check(&self) -> Result<()> {
        let wanted = &self.wanted;
        MASS.check_base(wanted.finished.base())?;
        if !(0.0..1.0).contains(&wanted.within.base()) {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                "the tolerance of a share must be at least 0 % and below 100 %",
            )
            .with_hint("type points of share, such as 1 %"));
        }
        for offer in &self.offers {
            if let Some(stock) = offer.stock.filter(|stock| stock.base() != 0.0) {
                MASS.check_base(stock.base())?;
            }
            if offer.component >= wanted.shares.lines().len() {
                return Err(Error::new(
                    ErrorKind::Missing,
                    format!("{} is for no component of the formula", offer.lot),
                )
                .with_hint("offer each lot for a component that is in it"));
            }
        }
        for (component, line) in wanted.shares.lines().iter().enumerate() {
            if !self.offers.iter().any(|offer| offer.component == component) {
                return Err(Error::new(
                    ErrorKind::Missing,
                    format!("there is no lot of {}", line.name()),
                )
                .with_hint("offer one lot or more for each component"));
            }
        }
        Ok(())
    }

    fn taken(&self, leaf: &[f64]) -> Taken {
        let batch = self.wanted.finished;
        let masses: Vec<Mass> = leaf
            .iter()
            // Less than a part in 10¹² is what rounding leaves of nothing.
            .map(|part| if *part < 1e-12 { 0.0 } else { *part })
            .map(|part| batch * Ratio::of_base(part))
            .collect();
        let each = || self.offers.iter().zip(&masses);
        let leaf = each()
            .map(|(offer, mass)| Pile::leaf(*mass, offer.at))
            .fold(Pile::empty(), Pile::mix);
        let counts = |pile: &Pile| match self.wanted.basis {
            LeafBasis::Dry => pile.dry_matter(),
            LeafBasis::AsWeighed => pile.total(),
        };
        let mut of_it = vec![Pile::empty(); self.wanted.shares.lines().len()];
        for (offer, mass) in each() {
            let pile = &mut of_it[offer.component];
            *pile = pile.mix(Pile::leaf(*mass, offer.at));
        }
        Taken {
            water: leaf.water_to(self.wanted.to),
            cost: each()
                .map(|(offer, mass)| offer.price * *mass)
                .fold(Money::new(0.0), |sum, cost| sum + cost),
            shares: of_it
                .iter()
                .map(|pile| counts(pile) / counts(&leaf))
                .collect(),
            leaf,
            masses,
        }
    }

    /// Holds an answer against its own limits.
    fn hold(&self, taken: &Taken) -> Result<()> {
        let wanted = &self.wanted;
        let batch = wanted.finished.base();
        let is_met = |over: f64| over <= MET;
        let made = (taken.leaf.total() + taken.water).base();
        let stocks = self.offers.iter().zip(&taken.masses);
        let mut stocks = stocks.map(|(offer, mass)| {
            offer
                .stock
                .map_or(0.0, |stock| (*mass - stock).base() / batch)
        });
        let shares = wanted.shares.lines().iter().zip(&taken.shares);
        let mut shares =
            shares.map(|(line, share)| (*share - line.share()).base().abs() - wanted.within.base());
        let holds = is_met((made / batch - 1.0).abs())
            && (wanted.may_dry || is_met(-taken.water.base() / batch))
            && stocks.all(is_met)
            && shares.all(is_met)
            && taken.masses.iter().all(|mass| mass.base() >= 0.0);
        if holds {
            return Ok(());
        }
        Err(Error::new(
            ErrorKind::OutOfRange,
            "the cheapest lots cannot be told: the figures are too far apart",
        )
        .with_hint("leave out lots of which there is next to nothing"))
    }

    fn short(&self) -> Result<Short> {
        let batch = self.wanted.finished;
        let of = |part: f64| batch * Ratio::of_base(part);
        let point = program::solve(self, Goal::Slack)?.ok_or_else(program::no_answer)?;
        // Of a limit that is missed by a hair there is one at least.
        let most = point
            .slacks
            .iter()
            .map(|(_, part)| *part)
            .fold(0.0, f64::max);
        let counts = |part: f64| part > MET.min(most / 2.0);
        let bounds = point.slacks.iter().filter(|(_, part)| counts(*part));
        let bounds: Vec<(Bound, Mass)> = bounds.map(|(bound, part)| (*bound, of(*part))).collect();
        let total = bounds.iter().map(|(_, by)| *by).sum();
        let largest = program::solve(self, Goal::Batch)?.map(|point| point.batch);
        Ok(Short {
            bounds,
            total,
            largest: largest.filter(|part| *part > MET).map(of),
            within: self.least_within()?,
        })
    }

    /// By halving: whether the lots make it within a tolerance is never lost by a
    /// larger one.
    fn least_within(&self) -> Result<Option<Ratio>> {
        let makes = |within: f64| {
            let mut wider = self.clone();
            wider.wanted.within = Ratio::of_base(within);
            Ok::<_, Error>(program::solve(&wider, Goal::Any)?.is_some())
        };
        let (mut low, mut high) = (self.wanted.within.base(), 1.0 - 1e-9);
        if !makes(high)? {
            return Ok(None);
        }
        while high - low > 1e-6 {
            let middle = low.midpoint(high);
            if makes(middle)? {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(Some(Ratio::of_base(high)))
    }
}
