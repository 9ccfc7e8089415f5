//! Limits that stand, as far as they can as ends of columns: it is rows that take time.

use microlp::ComparisonOp;

use super::{Program, Terms};
use crate::bench::LeafBasis;
use crate::measure::Scalar;

impl Program<'_> {
    /// The rows where no limit is let out and the batch has its size.
    pub(super) fn firm(&mut self) {
        let wanted = &self.asked.wanted;
        let mut of_it: Vec<Terms> = vec![Vec::new(); wanted.shares.lines().len()];
        let mut all = Terms::with_capacity(self.leaf.len());
        // A lot stands in two rows: in that of its component as it counts for shares,
        // and in that of all lots as it does not.
        for (offer, leaf) in self.asked.offers.iter().zip(&self.leaf) {
            let dry = offer.at.dry_share().base();
            let (counts, other) = match wanted.basis {
                LeafBasis::Dry => (dry, 1.0),
                LeafBasis::AsWeighed => (1.0, dry),
            };
            of_it[offer.component].push((*leaf, counts));
            all.push((*leaf, other));
        }
        match wanted.basis {
            LeafBasis::Dry => self.firm_dry(of_it, all),
            LeafBasis::AsWeighed => self.firm_as_weighed(of_it, all),
        }
    }

    /// Σ(1 − m)x of a component as a column between its ends; together B(1 − t).
    fn firm_dry(&mut self, of_it: Vec<Terms>, weighed: Terms) {
        let all = self.dry_of_batch();
        let mut sums = Terms::new();
        for (component, mut row) in of_it.into_iter().enumerate() {
            let (least, most) = self.asked.wanted.ends(component);
            let sum = self.problem.add_var(0.0, (all * least, all * most));
            row.push((sum, -1.0));
            self.problem.add_constraint(row, ComparisonOp::Eq, 0.0);
            sums.push((sum, 1.0));
        }
        self.problem.add_constraint(sums, ComparisonOp::Eq, all);
        if !self.asked.wanted.may_dry {
            self.problem.add_constraint(weighed, ComparisonOp::Le, 1.0);
        }
    }

    /// All leaf as a column that ends at the batch; Σx of a component its least share of
    /// that and what it has beyond, which is a column of its own.
    fn firm_as_weighed(&mut self, of_it: Vec<Terms>, dry: Terms) {
        let most = if self.asked.wanted.may_dry {
            f64::INFINITY
        } else {
            1.0
        };
        let all = self.problem.add_var(0.0, (0.0, most));
        let mut beyond = Terms::new();
        let mut open = 1.0;
        for (component, mut row) in of_it.into_iter().enumerate() {
            let (least, most) = self.asked.wanted.ends(component);
            row.push((all, -least));
            open -= least;
            if most > least {
                let more = self.problem.add_var(0.0, (0.0, f64::INFINITY));
                row.push((more, -1.0));
                beyond.push((more, 1.0));
                let end = vec![(more, 1.0), (all, least - most)];
                self.problem.add_constraint(end, ComparisonOp::Le, 0.0);
            }
            self.problem.add_constraint(row, ComparisonOp::Eq, 0.0);
        }
        // Without a tolerance the shares are all there is by themselves.
        if !beyond.is_empty() {
            beyond.push((all, -open));
            self.problem.add_constraint(beyond, ComparisonOp::Eq, 0.0);
        }
        let all_dry = self.dry_of_batch();
        self.problem.add_constraint(dry, ComparisonOp::Eq, all_dry);
    }
}
