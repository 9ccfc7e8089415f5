//! Many lots, few of them in question.
//!
//! # Why not all of them into the programme?
//!
//! Of thousands of lots a batch takes the cheapest as far as they go and the rest not
//! at all; only a few are in between. On dry shares the one row that all lots share is
//! the water. A price on it, λ for a kilogram of leaf, takes the row away: then the
//! cheapest dry leaf, (c + λ)/(1 − m), is taken of each component in its turn. The best
//! price lies where the leaf just leaves room for its water. What the choices to both
//! sides of it agree on is settled; the programme chooses among the rest.
//!
//! # And on shares as weighed?
//!
//! There the row is the dry leaf, and λ is what a kilogram of it is worth: of each
//! component the leaf with the least c − λ(1 − m) is taken. How much leaf there is in
//! all is chosen with it, between what the driest lots would make and what the moistest
//! would, and no more than the batch: what has the batch's dry leaf lies there.
//!
//! # How is it known that nothing was lost?
//!
//! What is left over at any λ ≥ 0 is a least cost that no choice goes below (weak
//! duality): a choice that meets all limits is one of those compared, and what it pays
//! or gets at λ is no more than is counted back. The few lots must cost no more than
//! that, or all are asked.

mod filling;

use super::{Cheapest, Offer};
use crate::matter::{Moisture, Pile};
use crate::measure::{Mass, Ratio, Scalar};

use super::super::{Money, Price};
use filling::{Choice, Question};

/// From so many lots on it is worth while.
pub(super) const MANY: usize = 40;

/// How near a cost must come to the least there is, as a part of it.
const SURE: f64 = 1e-9;

/// More steps to the best price are not made: each passes a corner of the cost, and
/// a dozen are common.
const STEPS: usize = 100;

/// A question with fewer lots, and the least that any choice can cost.
pub(super) struct Squeezed {
    /// The question: the lots in question, and those that are settled as one lot of
    /// each component.
    pub asked: Cheapest,
    /// Which lots each of its lots is made of, in proportion.
    made_of: Vec<Vec<usize>>,
    /// The least cost.
    least: f64,
}

/// The same question with fewer lots; none where that cannot be said.
pub(super) fn squeeze(asked: &Cheapest) -> Option<Squeezed> {
    let question = Question::of(asked)?;
    let free = question.at(0.0)?;
    if question.over(&free) <= 0.0 {
        return Some(squeezed(asked, &free, &free, free.cost));
    }
    // At a price high enough as little is tied as can be.
    let mut high_price = asked
        .offers
        .iter()
        .map(|offer| offer.price.per_kilogram())
        .fold(1e-9, f64::max);
    let mut high = question.at(high_price)?;
    for _ in 0..60 {
        if question.over(&high) <= 0.0 {
            break;
        }
        high_price *= 2.0;
        high = question.at(high_price)?;
    }
    if question.over(&high) > 0.0 {
        return None;
    }
    let mut low = free;
    for _ in 0..STEPS {
        // Where the two cost the same.
        let price = (high.cost - low.cost) / (low.tied - high.tied);
        let middle = question.at(price)?;
        let (bound, line) = (question.bound(&middle, price), question.bound(&low, price));
        if bound >= line - 1e-13 * line.abs() {
            return Some(squeezed(asked, &low, &high, bound));
        }
        if question.over(&middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    None
}

fn squeezed(asked: &Cheapest, low: &Choice, high: &Choice, least: f64) -> Squeezed {
    let components = asked.wanted.shares.lines().len();
    let mut settled: Vec<Vec<usize>> = vec![Vec::new(); components];
    let mut made_of = Vec::new();
    for (lot, offer) in asked.offers.iter().enumerate() {
        let stock = offer.stock.map(Scalar::base);
        let (a, b) = (low.taken[lot], high.taken[lot]);
        if a == 0.0 && b == 0.0 {
            continue;
        }
        if stock == Some(a) && stock == Some(b) {
            settled[offer.component].push(lot);
        } else {
            made_of.push(vec![lot]);
        }
    }
    made_of.extend(settled.into_iter().filter(|lots| !lots.is_empty()));
    Squeezed {
        asked: Cheapest {
            wanted: asked.wanted.clone(),
            offers: made_of.iter().map(|lots| together(asked, lots)).collect(),
        },
        made_of,
        least,
    }
}

/// Lots of one component as one: mixed, at what they cost together.
fn together(asked: &Cheapest, lots: &[usize]) -> Offer {
    if let [lot] = lots {
        return asked.offers[*lot].clone();
    }
    let each = || lots.iter().map(|lot| &asked.offers[*lot]);
    let stock = |offer: &Offer| offer.stock.unwrap_or(Mass::of_base(0.0));
    let pile = each()
        .map(|offer| Pile::leaf(stock(offer), offer.at))
        .fold(Pile::empty(), Pile::mix);
    let cost = each()
        .map(|offer| offer.price * stock(offer))
        .fold(Money::new(0.0), |sum, cost| sum + cost);
    let price: Price = cost / pile.total();
    let at: Moisture = pile.moisture();
    Offer {
        at,
        price,
        stock: Some(pile.total()),
        ..asked.offers[lots[0]].clone()
    }
}

impl Squeezed {
    /// What is taken of each lot of the whole question, where it costs no more than
    /// any choice must.
    pub fn spread(&self, whole: &Cheapest, parts: &[f64]) -> Option<Vec<f64>> {
        let batch = self.asked.wanted.finished.base();
        let lots = self.asked.offers.iter().zip(parts);
        let cost: f64 = lots
            .map(|(offer, part)| offer.price.per_kilogram() * part * batch)
            .sum();
        if cost > self.least + SURE * self.least.abs() {
            return None;
        }
        let mut all = vec![0.0; whole.offers.len()];
        for ((offer, lots), part) in self.asked.offers.iter().zip(&self.made_of).zip(parts) {
            match lots.as_slice() {
                [lot] => all[*lot] = *part,
                several => {
                    let stock = offer.stock.unwrap_or(Mass::of_base(0.0));
                    for lot in several {
                        let own = whole.offers[*lot].stock.unwrap_or(Mass::of_base(0.0));
                        let ratio: Ratio = own / stock;
                        all[*lot] = part * ratio.base();
                    }
                }
            }
        }
        Some(all)
    }
}

#[cfg(test)]
mod tests;
