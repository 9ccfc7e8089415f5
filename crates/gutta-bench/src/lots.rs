//! Lots enough for six components, none of them going far.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::batch::{Cheapest, Offer, Price, Wanted};
use gutta::blend::formula::{Amounts, Shares};
use gutta::measure::{Mass, Ratio, Scalar};

/// A batch of 4 kg and so many lots for it.
pub fn lots(basis: LeafBasis, count: usize) -> Cheapest {
    let components = 6;
    let names: Vec<String> = (0..components).map(|i| format!("leaf {i}")).collect();
    let parts = vec![3.0, 5.0, 2.0, 7.0, 4.0, 6.0];
    // As if drawn, and the same each time.
    let drawn = |i: usize, by: f64| (i as f64 * by).fract();
    let offers = (0..count).map(|i| Offer {
        lot: format!("lot {i}"),
        component: i % components,
        at: Moisture::of_base(0.09 + 0.11 * drawn(i + 1, 0.618_034)),
        price: Price::new(30.0 + 30.0 * drawn(i + 1, 0.414_214)).expect("a price"),
        stock: Some(Mass::of_base(
            24.0 / count as f64 * (0.5 + drawn(i + 1, 0.732_051)),
        )),
    });
    Cheapest {
        wanted: Wanted {
            shares: Shares::new(&names, &Amounts::Parts(parts)).expect("shares"),
            basis,
            within: Ratio::of_base(0.02),
            finished: Mass::of_base(4.0),
            to: Moisture::of_base(0.15),
            may_dry: false,
        },
        offers: offers.collect(),
    }
}
