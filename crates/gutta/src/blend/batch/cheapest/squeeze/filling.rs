//! The cheapest leaf at a price on what all lots share.
//!
//! Leaf counts as the shares do: dry, or as weighed. Of each component its cheapest
//! lots are taken in their turn, its least share first; what is left goes to the
//! cheapest front of all. On shares as weighed how much leaf there is in all is open:
//! what it costs is convex in that, straight from corner to corner.

use super::super::Cheapest;
use crate::bench::LeafBasis;
use crate::measure::Scalar;

/// What rounding leaves of nothing, as a part of all.
const ROUNDING: f64 = 1e-12;

/// How near a cost must come to what two straight lines foretell.
const CORNER: f64 = 1e-14;

/// So many lots are put in order at once.
const FEW: usize = 16;

/// More steps to the best total are not made; each passes a corner of the cost.
const STEPS: usize = 100;

/// A question with one limit on all lots: what is tied of them must not be more.
pub(super) struct Question {
    lines: Vec<Line>,
    lots: usize,
    /// Least and most of all leaf, as it counts.
    total: (f64, f64),
    /// The limit: the leaf of the batch; on shares as weighed less than nothing, all
    /// its dry leaf being tied with the opposite sign.
    limit: f64,
}

/// A component: its lots, its least share and its most.
struct Line {
    lots: Vec<Lot>,
    least: f64,
    most: f64,
}

/// A lot; of all of it and of a kilogram as it counts.
struct Lot {
    offer: usize,
    /// All of it as weighed.
    whole: f64,
    /// What of a kilogram as weighed counts.
    counts: f64,
    cost: f64,
    tied: f64,
}

/// What is taken at a price on what is tied.
pub(super) struct Choice {
    /// Of each lot, as weighed.
    pub taken: Vec<f64>,
    /// What of it is tied.
    pub tied: f64,
    /// What it costs, the price not counted.
    pub cost: f64,
}

impl Question {
    /// None where there is not leaf enough at any moisture.
    pub(super) fn of(asked: &Cheapest) -> Option<Self> {
        let wanted = &asked.wanted;
        let batch = wanted.finished.base();
        let dry = batch * wanted.to.dry_share().base();
        let mut lines: Vec<Line> = (0..wanted.shares.lines().len())
            .map(|component| {
                let (least, most) = wanted.ends(component);
                Line {
                    lots: Vec::new(),
                    least,
                    most,
                }
            })
            .collect();
        let (mut moistest, mut driest) = (1.0_f64, 0.0_f64);
        for (i, offer) in asked.offers.iter().enumerate() {
            let whole = offer.stock.map_or(f64::INFINITY, Scalar::base);
            if whole <= 0.0 {
                continue;
            }
            let dry_share = offer.at.dry_share().base();
            (moistest, driest) = (moistest.min(dry_share), driest.max(dry_share));
            let price = offer.price.per_kilogram();
            let (counts, tied) = match wanted.basis {
                LeafBasis::Dry => (dry_share, 1.0 / dry_share),
                LeafBasis::AsWeighed => (1.0, -dry_share),
            };
            lines[offer.component].lots.push(Lot {
                offer: i,
                whole,
                counts,
                cost: price / counts,
                tied,
            });
        }
        let limit = match wanted.basis {
            LeafBasis::Dry if wanted.may_dry => f64::INFINITY,
            LeafBasis::Dry => batch,
            LeafBasis::AsWeighed => -dry,
        };
        let least = match wanted.basis {
            LeafBasis::Dry => dry,
            LeafBasis::AsWeighed => dry / driest,
        };
        let most = match wanted.basis {
            LeafBasis::Dry => dry,
            LeafBasis::AsWeighed if wanted.may_dry => dry / moistest,
            LeafBasis::AsWeighed => batch.min(dry / moistest),
        };
        let most = there_is(&lines, most);
        // A total that must be just so is so but for rounding.
        (most >= least * (1.0 - ROUNDING)).then(|| Self {
            lines,
            lots: asked.offers.len(),
            total: (least.min(most), most),
            limit,
        })
    }

    /// By how much more is tied than may be; nothing where that is rounding.
    pub(super) fn over(&self, choice: &Choice) -> f64 {
        let over = choice.tied - self.limit;
        if over.abs() <= ROUNDING * self.limit.abs() {
            return 0.0;
        }
        over
    }

    /// A least cost, by weak duality.
    pub(super) fn bound(&self, choice: &Choice, price: f64) -> f64 {
        choice.cost + price * (choice.tied - self.limit)
    }

    /// The cheapest leaf within the shares, so much more paid for what is tied; none
    /// where there is not enough.
    pub(super) fn at(&self, price: f64) -> Option<Choice> {
        let fronts = self
            .lines
            .iter()
            .map(|line| line.front(price, self.total.1));
        let fronts: Vec<Front> = fronts.collect();
        let filled = least_of(&fronts, self.total)?;
        let mut choice = Choice {
            taken: vec![0.0; self.lots],
            tied: 0.0,
            cost: 0.0,
        };
        let lines = self.lines.iter().zip(&fronts);
        for ((line, front), part) in lines.zip(&filled.parts) {
            for (i, step) in front.steps.iter().enumerate().take(part.at + 1) {
                let lot = &line.lots[step.lot];
                // All of it, to the last digit.
                let taken = if i < part.at || part.amount >= step.end {
                    lot.whole
                } else {
                    (part.amount - step.start) / lot.counts
                };
                choice.taken[lot.offer] = taken;
                choice.tied += taken * lot.counts * lot.tied;
                choice.cost += taken * lot.counts * lot.cost;
            }
        }
        Some(choice)
    }
}

/// The most leaf that stocks and shares allow, up to so much: T that no component is
/// too small for, S_i ≥ least_i·T, and that all together make, Σ min(S_i, most_i·T) ≥
/// T. What they make beyond T is concave in T and nothing at nothing, so that from
/// above each straight piece leads no further than to the end sought.
fn there_is(lines: &[Line], most: f64) -> f64 {
    let stock = |line: &Line| line.lots.iter().map(|lot| lot.whole * lot.counts).sum();
    let stocks: Vec<f64> = lines.iter().map(stock).collect();
    let each = || lines.iter().zip(&stocks);
    let least = each().filter(|(line, _)| line.least > 0.0);
    let mut total = least.fold(most, |most, (line, stock)| most.min(stock / line.least));
    loop {
        let is_short = |(line, stock): &(&Line, &f64)| **stock < line.most * total;
        let (short, enough): (Vec<_>, Vec<_>) = each().partition(is_short);
        let there: f64 = short.iter().map(|(_, stock)| **stock).sum();
        let share: f64 = enough.iter().map(|(line, _)| line.most).sum();
        if short.is_empty() || there + share * total >= total * (1.0 - ROUNDING) {
            return total;
        }
        total = there / (1.0 - share);
    }
}

/// The lots of a component, the cheapest first.
struct Front {
    steps: Vec<Step>,
    least: f64,
    most: f64,
}

/// A lot in its turn, in kilograms as they count.
struct Step {
    lot: usize,
    /// What a kilogram costs, with the price on what is tied.
    dear: f64,
    /// What there is before it, and with it.
    start: f64,
    end: f64,
    /// What all before it costs.
    before: f64,
}

impl Line {
    /// No more lots than are needed for the greatest total.
    fn front(&self, price: f64, greatest: f64) -> Front {
        let dear = |lot: &Lot| lot.cost + price * lot.tied;
        let mut order: Vec<(f64, usize)> = self.lots.iter().map(dear).zip(0..).collect();
        // Of lots that cost alike, in the order that they were offered in.
        let in_turn = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
        let mut front = Front {
            steps: Vec::new(),
            least: self.least,
            most: self.most,
        };
        let (mut start, mut before) = (0.0, 0.0);
        let mut rest = &mut order[..];
        while !rest.is_empty() && start <= self.most * greatest {
            // The cheapest are put in order, and more of them only where they are needed.
            let few = rest.len().min(FEW.max(rest.len() / 4));
            if few < rest.len() {
                rest.select_nth_unstable_by(few, in_turn);
            }
            let (cheapest, others) = rest.split_at_mut(few);
            cheapest.sort_unstable_by(in_turn);
            for (dear, lot) in cheapest {
                let there = self.lots[*lot].whole * self.lots[*lot].counts;
                let end = start + there;
                front.steps.push(Step {
                    lot: *lot,
                    dear: *dear,
                    start,
                    end,
                    before,
                });
                (start, before) = (end, before + there * *dear);
                if end > self.most * greatest {
                    break;
                }
            }
            rest = others;
        }
        front
    }
}

/// How far a component is used up.
struct Part {
    /// The step that it ends in.
    at: usize,
    amount: f64,
    /// What may still be taken of it.
    room: f64,
    is_least: bool,
}

/// A total, and what of each component makes it.
struct Filled {
    total: f64,
    parts: Vec<Part>,
    cost: f64,
    /// What a kilogram more in all costs.
    slope: f64,
}

impl Filled {
    fn line(&self, total: f64) -> f64 {
        self.cost + self.slope * (total - self.total)
    }
}

/// The total within its ends that costs least.
fn least_of(fronts: &[Front], (least, most): (f64, f64)) -> Option<Filled> {
    let mut low = fill(fronts, least)?;
    if low.slope >= 0.0 || least == most {
        return Some(low);
    }
    let mut high = fill(fronts, most)?;
    if high.slope <= 0.0 {
        return Some(high);
    }
    let steps = fronts.iter().flat_map(|front| &front.steps);
    let dearest = steps.map(|step| step.dear.abs()).fold(0.0, f64::max);
    for _ in 0..STEPS {
        // Where the straight lines from both sides meet.
        let total = (high.line(0.0) - low.line(0.0)) / (low.slope - high.slope);
        let middle = fill(fronts, total.clamp(low.total, high.total))?;
        if middle.cost <= low.line(middle.total) + CORNER * dearest * most {
            return Some(middle);
        }
        if middle.slope < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    None
}

/// So much leaf in all; none where there is not enough.
fn fill(fronts: &[Front], total: f64) -> Option<Filled> {
    let mut parts: Vec<Part> = fronts.iter().map(|front| front.least_of(total)).collect();
    let mut left = total - parts.iter().map(|part| part.amount).sum::<f64>();
    let mut last = None;
    while left > CORNER * total {
        let mut next: Option<(f64, usize)> = None;
        for (i, (front, part)) in fronts.iter().zip(&mut parts).enumerate() {
            front.turn(part);
            let open = front
                .steps
                .get(part.at)
                .filter(|step| step.end > part.amount);
            if let Some(step) = open.filter(|_| part.room > 0.0)
                && next.is_none_or(|(dear, _)| step.dear < dear)
            {
                next = Some((step.dear, i));
            }
        }
        let Some((dear, i)) = next else {
            break;
        };
        let part = &mut parts[i];
        let step = &fronts[i].steps[part.at];
        let piece = (step.end - part.amount).min(part.room).min(left);
        part.amount = if piece == step.end - part.amount {
            step.end
        } else {
            part.amount + piece
        };
        part.room -= piece;
        part.is_least = false;
        left -= piece;
        last = Some(dear);
    }
    (left <= ROUNDING * total).then(|| Filled {
        total,
        cost: fronts
            .iter()
            .zip(&parts)
            .map(|(front, part)| front.cost(part))
            .sum(),
        slope: slope(fronts, &parts, last),
        parts,
    })
}

/// What a kilogram more in all costs: at the front that the last one came from, or,
/// where shares leave nothing open, at the cheapest; more for what components at their
/// least take of it, less for those at their most.
fn slope(fronts: &[Front], parts: &[Part], last: Option<f64>) -> f64 {
    let each = || {
        fronts.iter().zip(parts).filter_map(|(front, part)| {
            let step = front.steps.get(part.at)?;
            Some((front, part, step.dear))
        })
    };
    let cheapest = || {
        each()
            .map(|(_, _, dear)| dear)
            .fold(f64::INFINITY, f64::min)
    };
    let last = last.unwrap_or_else(cheapest);
    let more = |(front, part, dear): (&Front, &Part, f64)| {
        if part.is_least {
            front.least * (dear - last).max(0.0)
        } else if part.room <= 0.0 {
            front.most * (dear - last).min(0.0)
        } else {
            0.0
        }
    };
    last + each().map(more).sum::<f64>()
}

impl Front {
    /// The least share of so much in all.
    fn least_of(&self, total: f64) -> Part {
        let amount = self.least * total;
        let at = self.steps.partition_point(|step| step.end < amount);
        Part {
            at: at.min(self.steps.len().saturating_sub(1)),
            amount,
            room: (self.most - self.least) * total,
            is_least: true,
        }
    }

    /// The next lot, where one is used up.
    fn turn(&self, part: &mut Part) {
        while part.at + 1 < self.steps.len() && self.steps[part.at].end <= part.amount {
            part.at += 1;
        }
    }

    fn cost(&self, part: &Part) -> f64 {
        let step = self.steps.get(part.at);
        step.map_or(0.0, |step| {
            step.before + step.dear * (part.amount - step.start)
        })
    }
}
