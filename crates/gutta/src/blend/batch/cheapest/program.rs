//! The linear programme: what is wanted as rows, lots as columns.
//!
//! Masses are parts of the batch, so that every row is of order one.

mod firm;

use microlp::{
    ComparisonOp, Error as LpError, OptimizationDirection, Problem, SolveOptions, Variable,
};

use super::{Bound, Cheapest};
use crate::bench::LeafBasis;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::Scalar;

/// What is looked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Goal {
    /// The least cost.
    Cost,
    /// Any lots that make it.
    Any,
    /// The least that limits must be let out.
    Slack,
    /// The largest part of the batch.
    Batch,
}

/// Where a programme ends.
pub(super) struct Point {
    /// What is taken of each offer, as a part of the batch.
    pub leaf: Vec<f64>,
    /// By how much each limit is let out.
    pub slacks: Vec<(Bound, f64)>,
    /// The part of the batch that is made.
    pub batch: f64,
}

/// How near a limit is met, as a part of the batch.
const FEASIBLE: f64 = 1e-9;

/// A row: its terms.
type Terms = Vec<(Variable, f64)>;

/// No lots, no answer: what cannot be.
pub(super) fn no_answer() -> Error {
    Error::new(
        ErrorKind::OutOfRange,
        "the cheapest lots cannot be told: the figures are too far apart",
    )
    .with_hint("leave out lots of which there is next to nothing")
}

struct Program<'a> {
    asked: &'a Cheapest,
    goal: Goal,
    problem: Problem,
    leaf: Vec<Variable>,
    slacks: Vec<(Bound, Variable)>,
    batch: Option<Variable>,
}

/// Solves for a goal; none where no lots meet all limits.
pub(super) fn solve(asked: &Cheapest, goal: Goal) -> Result<Option<Point>> {
    let direction = match goal {
        Goal::Batch => OptimizationDirection::Maximize,
        _ => OptimizationDirection::Minimize,
    };
    let mut program = Program {
        asked,
        goal,
        problem: Problem::new(direction),
        leaf: Vec::new(),
        slacks: Vec::new(),
        batch: None,
    };
    program.lay();
    program.solve()
}

impl Program<'_> {
    fn lay(&mut self) {
        let (asked, batch) = (self.asked, self.asked.wanted.finished);
        // Prices of order one, too.
        let prices = asked.offers.iter().map(|offer| offer.price.per_kilogram());
        let dearest = prices.fold(0.0, f64::max);
        let scale = if dearest > 0.0 { 1.0 / dearest } else { 1.0 };
        for offer in &asked.offers {
            let cost = match self.goal {
                Goal::Cost => offer.price.per_kilogram() * scale,
                _ => 0.0,
            };
            let most = offer
                .stock
                .map_or(f64::INFINITY, |stock| (stock / batch).base());
            self.leaf.push(self.problem.add_var(cost, (0.0, most)));
        }
        if self.is_firm() {
            self.firm();
            return;
        }
        if self.goal == Goal::Batch {
            self.batch = Some(self.problem.add_var(1.0, (0.0, 1.0)));
        }
        let components = asked.wanted.shares.lines().len();
        // What is missing of a component counts as its driest lot.
        let missing: Vec<Option<(Variable, f64)>> = (0..components)
            .map(|component| {
                let slack = self.slack(Bound::Stock(component))?;
                let of_it = asked
                    .offers
                    .iter()
                    .filter(|offer| offer.component == component);
                let dry = of_it.map(|offer| offer.at.dry_share().base());
                Some((slack, 1.0 / dry.fold(0.0, f64::max)))
            })
            .collect();
        let mut dry: Vec<Terms> = vec![Vec::new(); components];
        let mut weighed: Vec<Terms> = vec![Vec::new(); components];
        for (offer, leaf) in asked.offers.iter().zip(&self.leaf) {
            dry[offer.component].push((*leaf, offer.at.dry_share().base()));
            weighed[offer.component].push((*leaf, 1.0));
        }
        for (component, missing) in missing.iter().enumerate() {
            if let Some((slack, as_weighed)) = missing {
                dry[component].push((*slack, 1.0));
                weighed[component].push((*slack, *as_weighed));
            }
        }
        // The sum of a component as a column of its own: each lot then stands in two
        // rows, however many are about its component.
        let counted = match asked.wanted.basis {
            LeafBasis::Dry => &mut dry,
            LeafBasis::AsWeighed => &mut weighed,
        };
        for terms in counted {
            let sum = self.problem.add_var(0.0, (0.0, f64::INFINITY));
            terms.push((sum, -1.0));
            let row = std::mem::replace(terms, vec![(sum, 1.0)]);
            self.problem.add_constraint(row, ComparisonOp::Eq, 0.0);
        }
        self.dry_matter(&dry);
        self.water(&weighed);
        match asked.wanted.basis {
            LeafBasis::Dry => self.shares_of_dry(&dry),
            LeafBasis::AsWeighed => self.shares_as_weighed(&weighed),
        }
    }

    /// Whether limits stand, and the batch has its size.
    fn is_firm(&self) -> bool {
        matches!(self.goal, Goal::Cost | Goal::Any)
    }

    /// A limit that may be let out, where that is looked for.
    fn slack(&mut self, bound: Bound) -> Option<Variable> {
        (self.goal == Goal::Slack).then(|| {
            let slack = self.problem.add_var(1.0, (0.0, f64::INFINITY));
            self.slacks.push((bound, slack));
            slack
        })
    }

    /// A row whose right side grows with the batch.
    fn row(&mut self, mut terms: Terms, than: ComparisonOp, of_batch: f64) {
        let right = match self.batch {
            Some(batch) => {
                terms.push((batch, -of_batch));
                0.0
            }
            None => of_batch,
        };
        self.problem.add_constraint(terms, than, right);
    }

    fn dry_of_batch(&self) -> f64 {
        self.asked.wanted.to.dry_share().base()
    }

    /// Σ(1 − m)x = B(1 − t).
    fn dry_matter(&mut self, dry: &[Terms]) {
        self.row(dry.concat(), ComparisonOp::Eq, self.dry_of_batch());
    }

    /// Σx ≤ B: what is left is water.
    fn water(&mut self, weighed: &[Terms]) {
        if self.asked.wanted.may_dry {
            return;
        }
        let mut terms = weighed.concat();
        if let Some(slack) = self.slack(Bound::Water) {
            terms.push((slack, -1.0));
        }
        self.row(terms, ComparisonOp::Le, 1.0);
    }

    fn shares_of_dry(&mut self, dry: &[Terms]) {
        let all = self.dry_of_batch();
        for (component, terms) in dry.iter().enumerate() {
            let (least, most) = self.asked.wanted.ends(component);
            if least == most {
                let mut terms = terms.clone();
                for (bound, sign) in [
                    (Bound::Under(component), 1.0),
                    (Bound::Over(component), -1.0),
                ] {
                    terms.extend(self.slack(bound).map(|slack| (slack, sign)));
                }
                self.row(terms, ComparisonOp::Eq, all * least);
                continue;
            }
            let mut under = terms.clone();
            under.extend(
                self.slack(Bound::Under(component))
                    .map(|slack| (slack, 1.0)),
            );
            self.row(under, ComparisonOp::Ge, all * least);
            let mut over = terms.clone();
            over.extend(
                self.slack(Bound::Over(component))
                    .map(|slack| (slack, -1.0)),
            );
            self.row(over, ComparisonOp::Le, all * most);
        }
    }

    fn shares_as_weighed(&mut self, weighed: &[Terms]) {
        // All leaf as a column of its own keeps the rows short.
        let all = self.problem.add_var(0.0, (0.0, f64::INFINITY));
        let mut sum = weighed.concat();
        sum.push((all, -1.0));
        self.problem.add_constraint(sum, ComparisonOp::Eq, 0.0);
        for (component, terms) in weighed.iter().enumerate() {
            let (least, most) = self.asked.wanted.ends(component);
            let mut under = terms.clone();
            under.push((all, -least));
            under.extend(
                self.slack(Bound::Under(component))
                    .map(|slack| (slack, 1.0)),
            );
            self.problem.add_constraint(under, ComparisonOp::Ge, 0.0);
            let mut over = terms.clone();
            over.push((all, -most));
            over.extend(
                self.slack(Bound::Over(component))
                    .map(|slack| (slack, -1.0)),
            );
            self.problem.add_constraint(over, ComparisonOp::Le, 0.0);
        }
    }

    fn solve(self) -> Result<Option<Point>> {
        let mut options = SolveOptions::default();
        options.tolerances.feasibility = FEASIBLE;
        // Of few rows that say nothing twice there is nothing to be found out first.
        options.presolve = !self.is_firm();
        let solution = match self.problem.solve_with(options) {
            Ok(outcome) => outcome.into_solution().map_err(|_| no_answer())?,
            Err(LpError::Infeasible) => return Ok(None),
            Err(_) => return Err(no_answer()),
        };
        let of = |variable: &Variable| solution.var_value(*variable);
        Ok(Some(Point {
            leaf: self.leaf.iter().map(of).collect(),
            slacks: self
                .slacks
                .iter()
                .map(|(bound, slack)| (*bound, of(slack)))
                .collect(),
            batch: self.batch.as_ref().map_or(1.0, of),
        }))
    }
}
