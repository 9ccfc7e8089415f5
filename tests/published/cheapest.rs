//! The cheapest lots against another solver, batch by batch.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::batch::{Cheapest, Choice, Offer, Price, Wanted};
use gutta::blend::formula::{Amounts, Shares};
use gutta::measure::{Mass, Ratio, Scalar};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};

/// Relative for a cost, in parts of the batch for a mass: the README says why.
const TOLERANCE: f64 = 1e-6;

fn percent(row: &Row, column: &str) -> f64 {
    row.number(column) / 100.0
}

fn offer(row: &Row) -> Offer {
    let stock = Some(row.text("stock_kg")).filter(|stock| !stock.is_empty());
    Offer {
        lot: row.to_string(),
        component: row.text("component").parse().expect("a component"),
        at: Moisture::of_base(percent(row, "moisture_pct_wb")),
        price: Price::new(row.number("price_per_kg")).expect("a price"),
        stock: stock.map(|_| Mass::of_base(row.number("stock_kg"))),
    }
}

fn asked(problem: &Row, offers: &[Row]) -> Cheapest {
    let parts = problem.text("shares_permille").split(' ');
    let parts: Vec<f64> = parts.map(|part| part.parse().expect("a share")).collect();
    let names: Vec<String> = (0..parts.len()).map(|i| format!("leaf {i}")).collect();
    let id = problem.text("id");
    Cheapest {
        wanted: Wanted {
            shares: Shares::new(&names, &Amounts::Parts(parts)).expect("shares"),
            basis: match problem.text("basis") {
                "dry" => LeafBasis::Dry,
                "as-weighed" => LeafBasis::AsWeighed,
                other => panic!("{problem}: {other} is no basis"),
            },
            within: Ratio::of_base(percent(problem, "within_points")),
            finished: Mass::of_base(problem.number("batch_kg")),
            to: Moisture::of_base(percent(problem, "target_pct_wb")),
            may_dry: problem.text("may_dry") == "yes",
        },
        offers: offers
            .iter()
            .filter(|row| row.text("problem") == id)
            .map(offer)
            .collect(),
    }
}

#[test]
fn the_cheapest_lots_are_those_of_another_solver() {
    let offers = table("cheapest/offers.csv");
    let (mut made, mut short) = (0, 0);
    for problem in table("cheapest/problems.csv") {
        let id = problem.text("id");
        let asked = asked(&problem, &offers);
        let batch = asked.wanted.finished.base();
        match asked.choose().expect("an answer") {
            Choice::Made(taken) => {
                assert_eq!(problem.text("outcome"), "made", "{id}");
                let cost = problem.number("cost");
                assert_close(id, taken.cost.sum(), cost, TOLERANCE * cost);
                made += 1;
            }
            Choice::Short(got) => {
                assert_eq!(problem.text("outcome"), "short", "{id}");
                let slack = problem.number("slack_kg");
                assert_close(id, got.total.base(), slack, TOLERANCE * batch);
                let largest = got.largest.map_or(0.0, Scalar::base);
                let expected = problem.number("largest_kg");
                assert_close(id, largest, expected, TOLERANCE * batch);
                short += 1;
            }
        }
    }
    // Enough of both to say something.
    assert_eq!((made, short), (36, 24));
}
