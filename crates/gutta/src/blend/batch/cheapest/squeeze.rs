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
//! # How is it known that nothing was lost?
//!
//! What is left over at any λ ≥ 0 is a least cost that no choice goes below (weak
//! duality). The few lots must cost no more than that, or all are asked.

use super::{Cheapest, Offer};
use crate::bench::LeafBasis;
use crate::matter::{Moisture, Pile};
use crate::measure::{Mass, Ratio, Scalar};

use super::super::{Money, Price};

/// From so many lots on it is worth while.
pub(super) const MANY: usize = 200;

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

/// What is taken at a price on leaf.
struct Choice {
    /// Of each lot, as weighed.
    taken: Vec<f64>,
    /// All leaf.
    leaf: f64,
    /// What it costs, the price on leaf not counted.
    cost: f64,
}

impl Choice {
    /// A least cost, by weak duality.
    fn bound(&self, price: f64, batch: f64) -> f64 {
        self.cost + price * (self.leaf - batch)
    }
}

/// The same question with fewer lots; none where that cannot be said.
pub(super) fn squeeze(asked: &Cheapest) -> Option<Squeezed> {
    if asked.wanted.basis != LeafBasis::Dry {
        return None;
    }
    let batch = asked.wanted.finished.base();
    let free = choose(asked, 0.0)?;
    if asked.wanted.may_dry || free.leaf <= batch {
        let least = free.cost;
        return Some(squeezed(asked, &free, &free, least));
    }
    // Dear enough leaf is the driest there is.
    let mut high_price = asked
        .offers
        .iter()
        .map(|offer| offer.price.per_kilogram())
        .fold(1e-9, f64::max);
    let mut high = choose(asked, high_price)?;
    for _ in 0..60 {
        if high.leaf <= batch {
            break;
        }
        high_price *= 2.0;
        high = choose(asked, high_price)?;
    }
    if high.leaf > batch {
        return None;
    }
    let mut low = free;
    for _ in 0..STEPS {
        // Where the two cost the same.
        let price = (high.cost - low.cost) / (low.leaf - high.leaf);
        let middle = choose(asked, price)?;
        let (bound, line) = (middle.bound(price, batch), low.bound(price, batch));
        if bound >= line - 1e-13 * line.abs() {
            return Some(squeezed(asked, &low, &high, bound));
        }
        if middle.leaf > batch {
            low = middle;
        } else {
            high = middle;
        }
    }
    None
}

/// The cheapest dry leaf within the shares, a kilogram of leaf costing so much more;
/// none where there is not enough.
fn choose(asked: &Cheapest, price: f64) -> Option<Choice> {
    let wanted = &asked.wanted;
    let all = wanted.finished.base() * wanted.to.dry_share().base();
    let lines = wanted.shares.lines();
    // What a kilogram of dry leaf costs of each lot, the cheapest of a component first.
    let mut lots: Vec<Vec<(f64, usize)>> = vec![Vec::new(); lines.len()];
    for (lot, offer) in asked.offers.iter().enumerate() {
        let dear = (offer.price.per_kilogram() + price) / offer.at.dry_share().base();
        lots[offer.component].push((dear, lot));
    }
    let mut filling = Filling {
        asked,
        taken: vec![0.0; asked.offers.len()],
    };
    let mut left = all;
    let mut fronts = Vec::with_capacity(lines.len());
    for (line, mut lots) in lines.iter().zip(lots) {
        lots.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let share = line.share().base();
        let least = (share - wanted.within.base()).max(0.0) * all;
        let mut front = Front {
            lots,
            at: 0,
            room: (share + wanted.within.base()) * all - least,
        };
        if filling.fill(&mut front, least) > SURE * all {
            return None;
        }
        left -= least;
        fronts.push(front);
    }
    while left > SURE * SURE * all {
        let open = fronts.iter_mut().filter(|front| front.room > 0.0);
        let next = open.filter_map(|front| front.dear().map(|dear| (dear, front)));
        let Some((_, front)) = next.min_by(|a, b| a.0.total_cmp(&b.0)) else {
            break;
        };
        let piece = filling.there(front).min(front.room).min(left);
        front.room -= piece;
        left -= piece;
        filling.fill(front, piece);
    }
    if left > SURE * all {
        return None;
    }
    let each = || asked.offers.iter().zip(&filling.taken);
    Some(Choice {
        leaf: filling.taken.iter().sum(),
        cost: each()
            .map(|(offer, mass)| offer.price.per_kilogram() * mass)
            .sum(),
        taken: filling.taken,
    })
}

/// The lots of a component, and how far they are used up.
struct Front {
    lots: Vec<(f64, usize)>,
    at: usize,
    /// What may still be taken beyond its least share, dry.
    room: f64,
}

impl Front {
    /// What the next kilogram costs.
    fn dear(&self) -> Option<f64> {
        self.lots.get(self.at).map(|(dear, _)| *dear)
    }
}

struct Filling<'a> {
    asked: &'a Cheapest,
    taken: Vec<f64>,
}

impl Filling<'_> {
    /// What there is still of the lot in front, dry.
    fn there(&self, front: &Front) -> f64 {
        let Some((_, lot)) = front.lots.get(front.at) else {
            return 0.0;
        };
        let offer = &self.asked.offers[*lot];
        let stock = offer.stock.map_or(f64::INFINITY, Scalar::base);
        (stock - self.taken[*lot]).max(0.0) * offer.at.dry_share().base()
    }

    /// Takes so much dry leaf from the front on; what is missing then.
    fn fill(&mut self, front: &mut Front, mut dry: f64) -> f64 {
        while dry > 0.0 {
            let Some((_, lot)) = front.lots.get(front.at) else {
                break;
            };
            let (lot, there) = (*lot, self.there(front));
            let offer = &self.asked.offers[lot];
            if there <= dry {
                dry -= there;
                // All of it, to the last digit.
                self.taken[lot] = offer.stock.map_or(0.0, Scalar::base);
                front.at += 1;
            } else {
                self.taken[lot] += dry / offer.at.dry_share().base();
                dry = 0.0;
            }
        }
        dry
    }
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
