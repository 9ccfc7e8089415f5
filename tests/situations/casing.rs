//! Casing by a rate: the same figure read in two ways.

use gutta::Casing;
use gutta::bench::{Cased, LeafBasis, Rate, RateOf, known_by_solids};
use gutta::measure::{Kind, Ratio, read};
use gutta_tests::situations::{Situation, situation};

use super::{grams, mass, moisture, percent, target};

fn s21(s: &Situation, of: RateOf, basis: LeafBasis) -> Cased {
    let share = |name: &str| {
        read(&s.typed(name), &[Kind::Share])
            .unwrap()
            .share()
            .unwrap()
    };
    let rate = Rate {
        share: share("rate").value(),
        of,
        basis,
    };
    let recipe = vec![known_by_solids(&share("casing_solids")).unwrap()];
    let leaf = (mass(&s.typed("strip")), moisture(&s.typed("moisture")));
    let casing = Casing {
        bulk: Some(target(&s.typed("bulking_moisture"))),
        to: Some(target(&s.typed("dry_back_to"))),
        ..Casing::new(leaf.0, leaf.1, recipe, rate)
    };
    casing.cased().unwrap()
}

#[test]
fn s21_casing_by_a_rate_to_bulk_and_dried_back() {
    let s = situation("S21");
    let a = s21(&s, RateOf::Liquid, LeafBasis::AsWeighed);
    s.assert_answer("casing_liquid_reading_a", grams(a.casing.best()));
    s.assert_answer("moisture_after_casing_a", percent(a.moisture.best()));
    let bulk = a.bulk.as_ref().unwrap();
    let water = bulk.water.as_ref().unwrap();
    s.assert_answer("extra_water_to_bulk", grams(water.best()));
    s.assert_answer("weight_in_bulk", grams(bulk.mass.net.best()));
    let dried = a.dried.as_ref().unwrap();
    s.assert_answer("dry_back_weight", grams(dried.mass.net.best()));
    s.assert_answer("water_to_remove", grams(dried.water.best()));
    // No tray, no gross; no carrier, nothing that leaves.
    assert!(dried.mass.gross.is_none() && a.at_once.is_none());

    let b = s21(&s, RateOf::Solids, LeafBasis::Dry);
    s.assert_answer("casing_liquid_reading_b", grams(b.casing.best()));
    s.assert_answer("moisture_after_casing_b", percent(b.moisture.best()));
    let ratio: Ratio = b.casing.best() / a.casing.best();
    s.assert_answer("reading_b_over_a", ratio.value);
    s.assert_all_held();
}
