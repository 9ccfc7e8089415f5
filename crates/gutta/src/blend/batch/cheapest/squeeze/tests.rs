//! Few lots against all of them.

use proptest::prelude::*;

use super::*;
use crate::bench::LeafBasis;
use crate::blend::batch::cheapest::{Goal, Wanted, program};
use crate::blend::formula::{Amounts, Shares};

prop_compose! {
    /// Enough lots that there is something to leave out; some without an end, and in
    /// whole percent and tens, so that they cost alike.
    fn many()(
        parts in prop::collection::vec(1.0..10.0_f64, 1..7),
        lots in prop::collection::vec((0.08..0.20_f64, 20.0..70.0_f64, prop::option::weighted(0.97, 0.0..0.4_f64)), 40..120),
        within in prop::sample::select(vec![0.0, 0.01, 0.05, 0.3]),
        to in 0.11..0.18_f64,
        basis in prop::sample::select(vec![LeafBasis::Dry, LeafBasis::AsWeighed]),
        may_dry in any::<bool>(),
        is_coarse in any::<bool>(),
    ) -> Cheapest {
        let names: Vec<String> = (0..parts.len()).map(|i| format!("leaf {i}")).collect();
        let count = parts.len();
        let lots = lots.into_iter().enumerate();
        let coarse = |figure: f64, by: f64| if is_coarse { (figure * by).round() / by } else { figure };
        Cheapest {
            wanted: Wanted {
                shares: Shares::new(&names, &Amounts::Parts(parts)).expect("parts above 0"),
                basis,
                within: Ratio::of_base(within),
                finished: Mass::of_base(4.0),
                to: Moisture::of_base(to),
                may_dry,
            },
            offers: lots
                .map(|(i, (at, price, stock))| Offer {
                    lot: format!("lot {i}"),
                    component: i % count,
                    at: Moisture::of_base(coarse(at, 100.0)),
                    price: Price::new(coarse(price, 0.1)).expect("a price"),
                    stock: stock.map(Mass::of_base),
                })
                .collect(),
        }
    }
}

fn cost(asked: &Cheapest, leaf: &[f64]) -> f64 {
    let lots = asked.offers.iter().zip(leaf);
    lots.map(|(offer, part)| offer.price.per_kilogram() * part)
        .sum()
}

proptest! {
    /// What the few lots cost is what all of them cost, and they are few; where they
    /// cannot be told, all of them make nothing either.
    #[test]
    fn few_lots_cost_what_all_of_them_do(asked in many()) {
        let all = program::solve(&asked, Goal::Cost).expect("an answer");
        // Most of them can be made.
        prop_assume!(all.is_some());
        let all = all.expect("some");
        let squeezed = squeeze(&asked);
        prop_assert!(squeezed.is_some(), "all lots make it, and few do not");
        let squeezed = squeezed.expect("some");
        let components = asked.wanted.shares.lines().len();
        // One lot settled, and two or three in question, of each.
        prop_assert!(squeezed.asked.offers.len() <= 5 * components + 5);
        let few = program::solve(&squeezed.asked, Goal::Cost).expect("an answer");
        let few = few.expect("what both sides agree on is there");
        let spread = squeezed.spread(&asked, &few.leaf);
        prop_assert!(spread.is_some(), "dearer than the least there is");
        let (got, expected) = (cost(&asked, &spread.expect("some")), cost(&asked, &all.leaf));
        prop_assert!((got - expected).abs() <= 1e-7 * expected, "{got} {expected}");
    }
}
