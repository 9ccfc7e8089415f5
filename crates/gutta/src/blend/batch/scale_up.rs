//! A formula at the size of a batch: cost, stock, the limiting lot.

use crate::blend::sheet::{Planned, Sheet};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{Estimate, Mass, Measured, Ratio, Scalar};

use super::{Money, Price};

/// What rounding leaves of a stock that just reaches.
const REACHES: f64 = 1e-9;

/// A lot that a component is weighed from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supply {
    /// What it is called. Components of one lot share its stock.
    pub lot: String,
    /// What it costs as weighed, where that is known.
    pub price: Option<Price>,
    /// What is on hand as weighed, where that is known.
    pub stock: Option<Mass>,
}

/// A formula with its lots, for a batch.
#[derive(Clone, Debug)]
pub struct ScaleUp {
    /// What is weighed: size, moistures, liquids, water.
    pub sheet: Sheet,
    /// The lot of each component, in the order of the shares.
    pub supplies: Vec<Supply>,
    /// What is lost on the way, as a ratio of what is finished; below 1.
    pub loss: Ratio,
}

/// A batch that is worked out.
#[derive(Clone, Debug)]
pub struct ScaledUp {
    /// What is weighed.
    pub planned: Planned,
    /// What it takes of each component, in the order of the shares.
    pub needed: Vec<Needed>,
    /// What is finished, without loss: at the moisture wanted, carrier gone; as it
    /// goes into the bowl where no moisture is wanted.
    pub finished: Mass,
    /// What it costs, where every price is known.
    pub cost: Option<Cost>,
    /// The lots of which the stock is known, that which is used up first in front.
    pub limits: Vec<Limit>,
}

impl ScaledUp {
    /// The lot that is used up first, where any stock is known.
    pub fn limit(&self) -> Option<&Limit> {
        self.limits.first()
    }
}

/// What a batch takes of one component.
#[derive(Clone, Debug)]
pub struct Needed {
    /// As weighed.
    pub mass: Estimate<Mass>,
    /// What that costs.
    pub cost: Option<Money>,
    /// What a kilogram of its dry matter costs.
    pub price_of_dry: Option<Estimate<Price>>,
}

/// What a batch costs: its leaf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// All of it.
    pub total: Money,
    /// For what is finished.
    pub of_finished: Price,
    /// The same where some is lost on the way: over 1 − loss.
    pub with_loss: Price,
    /// For the dry matter of the leaf, and the same with the loss, where the
    /// moistures are known.
    pub of_dry: Option<(Price, Price)>,
}

/// How far the stock of a lot reaches.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The first component that it is for, in the order of the shares.
    pub component: usize,
    /// The lot.
    pub lot: String,
    /// What is on hand.
    pub stock: Mass,
    /// What the batch takes of it, all components together.
    pub needed: Mass,
    /// The largest batch that it reaches for, of what the size was said of.
    pub largest: Mass,
}

impl Limit {
    /// What is missing of the lot; nothing below none.
    pub fn short_by(&self) -> Option<Mass> {
        let short = self.needed - self.stock;
        (short.base() > REACHES * self.needed.base()).then_some(short)
    }
}

impl ScaleUp {
    /// Works the batch out. The largest batch is the size times the least of
    /// stock over need: all that is weighed is in proportion to the size.
    ///
    /// # Errors
    /// As [`Sheet::plan`]; when there is not one lot for each component, or the
    /// loss is not at least 0 and below 100 %.
    pub fn plan(&self) -> Result<ScaledUp> {
        self.sheet.shares.check_lots(self.supplies.len())?;
        if !(0.0..1.0).contains(&self.loss.base()) {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                "the loss must be at least 0 % and below 100 %",
            )
            .with_hint("type what is lost on the way, such as 4 %"));
        }
        let planned = self.sheet.plan()?;
        let needed = self.needed(&planned);
        let finished = match &planned.water {
            Some((_, water)) => water.final_mass().best(),
            None => planned.before_water - planned.carrier,
        };
        Ok(ScaledUp {
            cost: self.cost(&needed, finished, planned.dry_matter.as_ref()),
            limits: self.limits(&needed),
            needed,
            finished,
            planned,
        })
    }

    fn needed(&self, planned: &Planned) -> Vec<Needed> {
        let each = self.supplies.iter().enumerate().map(|(component, supply)| {
            let line = planned
                .lines
                .iter()
                .find(|line| line.component == component);
            let none = || Estimate::exact(Mass::of_base(0.0));
            let mass = line.map_or_else(none, |line| line.mass.clone());
            let at = self.sheet.lots.get(component).copied().flatten();
            Needed {
                cost: supply.price.map(|price| price * mass.best()),
                price_of_dry: supply.price.zip(at).map(|(price, at)| {
                    price_of_dry(price, &at).estimate(&format!(
                        "moisture of {}",
                        self.sheet.shares.lines()[component].name()
                    ))
                }),
                mass,
            }
        });
        each.collect()
    }

    fn cost(
        &self,
        needed: &[Needed],
        finished: Mass,
        dry: Option<&Estimate<Mass>>,
    ) -> Option<Cost> {
        let costs: Option<Vec<Money>> = needed.iter().map(|line| line.cost).collect();
        let total = costs?
            .into_iter()
            .fold(Money::new(0.0), |sum, cost| sum + cost);
        let left = Ratio::of_base(1.0 - self.loss.base());
        let of_dry = dry.map(|dry| (total / dry.best(), total / (dry.best() * left)));
        Some(Cost {
            total,
            of_finished: total / finished,
            with_loss: total / (finished * left),
            of_dry,
        })
    }

    fn limits(&self, needed: &[Needed]) -> Vec<Limit> {
        let is_first = |component: usize, lot: &str| {
            self.supplies[..component]
                .iter()
                .all(|supply| supply.lot != lot)
        };
        let supplies = self.supplies.iter().enumerate();
        let limits = supplies.filter(|(component, supply)| is_first(*component, &supply.lot));
        let limits = limits.filter_map(|(component, supply)| {
            let of_it = self.supplies.iter().zip(needed);
            let of_it = of_it.filter(|(other, _)| other.lot == supply.lot);
            let needed: Mass = of_it.map(|(_, line)| line.mass.best()).sum();
            let stock = supply.stock?;
            Some(Limit {
                component,
                lot: supply.lot.clone(),
                stock,
                needed,
                largest: self.sheet.size.mass() * (stock / needed),
            })
        });
        let mut limits: Vec<Limit> = limits.collect();
        // Those alike stay in the order of the formula.
        limits.sort_by(|a, b| a.largest.base().total_cmp(&b.largest.base()));
        limits
    }
}

/// The price of the dry matter of leaf at a moisture, with its doubt.
pub(super) fn price_of_dry(price: Price, at: &Measured<Moisture>) -> Measured<Price> {
    at.through::<Price>(|at| price.lift().of_dry(at))
}
