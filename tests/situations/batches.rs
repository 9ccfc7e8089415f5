//! From a trial to a batch: cost and stock, packs, and what became of it.

use gutta::Composition;
use gutta::bench::{Brought, LeafBasis};
use gutta::blend::batch::{
    Cheapest, Choice, Offer, Packed, Packing, Price, Reconciling, ScaleUp, ScaledUp, Supply, Wanted,
};
use gutta::blend::formula::{Amounts, Shares};
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::matter::{LotOfLeaf, Part};
use gutta::measure::{Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar, Scale};
use gutta::{Moisture, WateringPlan};
use gutta_tests::assert_close;
use gutta_tests::situations::{Situation, situation};

use super::{grams, mass, moisture, percent, target};

const LEAVES: [&str; 4] = ["flue_cured", "oriental", "stoved", "fire_cured"];

#[test]
fn s16_tins_and_a_retained_sample() {
    let s = situation("S16");
    let of = |quantity| mass(&s.typed(quantity)).value();
    let packing = Packing {
        mass: of("finished"),
        net: of("tin_net"),
        overfill: of("overfill"),
        retain: of("retain"),
    };
    let packs = packing.packs().unwrap();
    s.assert_answer("tins", f64::from(packs.count));
    s.assert_answer("in_tins", grams(packs.in_packs));
    s.assert_answer("left_over", grams(packs.left_over));
    s.assert_all_held();
    // 0.6 g of each 50 g, by hand.
    assert_close("given away", packs.given_away.base(), 0.012, 1e-12);
}

fn price(number: f64) -> Price {
    Price::new(number).unwrap()
}

/// The batch with the dry shares and moistures of another situation, as this one
/// says.
fn s18(s: &Situation) -> (ScaleUp, ScaledUp) {
    let lots = situation("S13");
    let shares = LEAVES
        .iter()
        .map(|leaf| lots.given(&format!("{leaf}_dry_share")));
    let shares = Shares::new(&LEAVES, &Amounts::Percent(shares.collect())).unwrap();
    let at = |leaf: &&str| Some(moisture(&lots.typed(&format!("{leaf}_moisture"))));
    let size = SheetSize::Finished(mass(&s.typed("finished")).value());
    let scale_up = ScaleUp {
        sheet: Sheet {
            lots: LEAVES.iter().map(at).collect(),
            to: Some(target(&s.typed("target"))),
            ..Sheet::new(shares, LeafBasis::Dry, size)
        },
        supplies: LEAVES
            .iter()
            .map(|leaf| Supply {
                lot: (*leaf).to_owned(),
                price: Some(price(s.given(&format!("{leaf}_price")))),
                stock: Some(mass(&s.typed(&format!("{leaf}_stock"))).value()),
            })
            .collect(),
        loss: Ratio::of_base(s.given("process_loss") / 100.0),
    };
    let scaled = scale_up.plan().unwrap();
    (scale_up, scaled)
}

#[test]
fn s18_stock_cost_and_the_limiting_lot() {
    let s = situation("S18");
    let (scale_up, got) = s18(&s);
    for (leaf, line) in LEAVES.iter().zip(&got.needed) {
        s.assert_answer(&format!("{leaf}_as_weighed"), grams(line.mass.best()));
        s.assert_answer(&format!("{leaf}_cost"), line.cost.unwrap().sum());
    }
    s.assert_answer("leaf_total", grams(got.planned.leaf));
    let Some((_, WateringPlan::Add(water))) = &got.planned.water else {
        panic!("water is to be added");
    };
    s.assert_answer("water", grams(water.water.best()));
    let cost = got.cost.unwrap();
    s.assert_answer("cost_total", cost.total.sum());
    s.assert_answer("cost_per_kg", cost.of_finished.per_kilogram());
    s.assert_answer("cost_per_kg_with_loss", cost.with_loss.per_kilogram());
    let limit = got.limit().unwrap();
    s.assert_text("limiting_lot", &limit.lot);
    s.assert_answer("largest_batch", grams(limit.largest));
    let of_dry = |line: usize| got.needed[line].price_of_dry.as_ref().unwrap().best();
    s.assert_answer("price_per_dry_kg", of_dry(0).per_kilogram());
    let offer = price(s.given("other_offer_price"));
    let offer = offer.of_dry(moisture(&s.typed("other_offer_moisture")).value());
    s.assert_answer("price_per_dry_kg_other_offer", offer.per_kilogram());
    s.assert_all_held();
    // The whole stock of the limiting lot is what the largest batch takes.
    let mut largest = scale_up;
    largest.sheet.size = SheetSize::Finished(limit.largest);
    let again = largest.plan().unwrap();
    let stock = limit.stock.base();
    assert_close("stock", again.needed[1].mass.best().base(), stock, 1e-12);
    assert_eq!(again.limit().unwrap().short_by(), None);
    let short = limit.short_by().expect("too little oriental");
    assert_close("short", grams(short), 840.449_438 - 650.0, 5e-6);
}

/// With one lot a component and no tolerance there is nothing to choose: the
/// programme must find what the sheet weighs.
#[test]
fn the_cheapest_of_one_lot_each_is_the_sheet() {
    let s = situation("S18");
    let (scale_up, got) = s18(&s);
    let offers = scale_up.supplies.iter().enumerate();
    let mut cheapest = Cheapest {
        wanted: Wanted {
            shares: scale_up.sheet.shares.clone(),
            basis: LeafBasis::Dry,
            within: Ratio::of_base(0.0),
            finished: mass(&s.typed("finished")).value(),
            to: target(&s.typed("target")),
            may_dry: false,
        },
        offers: offers
            .map(|(component, supply)| Offer {
                lot: supply.lot.clone(),
                component,
                at: scale_up.sheet.lots[component].unwrap().value(),
                price: supply.price.unwrap(),
                stock: None,
            })
            .collect(),
    };
    let Choice::Made(taken) = cheapest.choose().unwrap() else {
        panic!("there is enough of everything");
    };
    for (line, taken) in got.needed.iter().zip(&taken.masses) {
        assert_close("grams", grams(*taken), grams(line.mass.best()), 1e-6);
    }
    assert_close(
        "cost",
        taken.cost.sum(),
        got.cost.unwrap().total.sum(),
        1e-9,
    );
    // With the stocks there is too little of one: its dry leaf is what is short.
    for (offer, supply) in cheapest.offers.iter_mut().zip(&scale_up.supplies) {
        offer.stock = supply.stock;
    }
    let Choice::Short(short) = cheapest.choose().unwrap() else {
        panic!("there is too little oriental");
    };
    let missing = got.limit().unwrap();
    let dry = (missing.needed - missing.stock) * cheapest.offers[1].at.dry_share();
    assert_eq!(short.bounds.len(), 1, "{short:?}");
    assert_eq!(short.bounds[0].0, gutta::blend::batch::Bound::Stock(1));
    assert_close("short", grams(short.total), grams(dry), 1e-6);
    let largest = short.largest.expect("some can be made");
    assert_close("largest", grams(largest), grams(missing.largest), 1e-6);
}

fn s22(s: &Situation) -> Reconciling {
    let stays = s.given("flavouring_nonvolatile") / 100.0;
    let carrier = Measured::exact(Ratio::of_base(1.0 - stays));
    let flavouring = Composition::new(&[(Part::Alcohol, carrier)]).unwrap();
    let heap = |quantity: &str| Packed {
        name: quantity.to_owned(),
        mass: mass(&s.typed(quantity)),
    };
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count"
    )]
    let tins = s.given("tins") as u32;
    Reconciling {
        leaf: Vec::new(),
        dry_leaf: Some(mass(&s.typed("dry_leaf_in"))),
        brought: vec![Brought::weighed(
            "flavouring",
            mass(&s.typed("flavouring_in")),
            flavouring,
        )],
        temperature: Measured::exact(ROOM_TEMPERATURE),
        to: target(&s.typed("target")),
        good: vec![
            Packed::alike("tins", tins, mass(&s.typed("tin_net"))),
            heap("retain"),
            heap("jar"),
        ],
        at: moisture(&s.typed("moisture_measured")),
        fines: Some(LotOfLeaf {
            mass: mass(&s.typed("fines")),
            at: moisture(&s.typed("fines_moisture")),
        }),
    }
}

#[test]
fn s22_what_became_of_a_batch() {
    let s = situation("S22");
    let got = s22(&s).reconcile().unwrap();
    for (quantity, mass) in [
        ("nonwater_in", &got.dry_in),
        ("theoretical", &got.theoretical),
        ("good_out", &got.good),
        ("dry_accounted", &got.dry_accounted),
        ("gap", &got.gap),
        ("gap_moisture", &got.moisture),
        ("gap_fines", &got.fines),
        ("gap_unexplained", &got.unexplained),
    ] {
        s.assert_answer(quantity, grams(mass.best()));
    }
    for (quantity, ratio) in [
        ("yield_as_weighed", &got.yield_as_weighed),
        ("yield_at_target_moisture", &got.yield_at_target),
        ("dry_recovery", &got.dry_recovery),
    ] {
        s.assert_answer(quantity, ratio.best().base() * 100.0);
    }
    s.assert_all_held();
    // Nothing was said of scales or moistures.
    assert_eq!(got.is_more_than_explained(), None);
    assert!(percent(s22(&s).to) > 0.0);
}

/// By hand: the slope of (N − G(1 − m) − …)/(1 − t) to m is G/(1 − t) = 3832.6 g/0.85,
/// so that half a point (k = 1) is 22.545 g, of which 1.959964 are 44.187 g, less than
/// the 98.4 g. Of 2.6 points it is 230 g, more than them.
#[test]
fn whether_the_scales_explain_it_is_said() {
    let s = situation("S22");
    let with = |u: f64| {
        let mut batch = s22(&s);
        batch.at = Measured::new(Moisture::of_base(0.141), u, f64::INFINITY);
        batch.reconcile().unwrap()
    };
    let sure = with(0.005);
    assert_close("u", sure.unexplained.u() * 1e3, 22.545, 5e-4);
    assert_close("within", grams(sure.explained_within()), 44.187, 2e-3);
    assert_eq!(sure.is_more_than_explained(), Some(true));
    assert_eq!(with(0.026).is_more_than_explained(), Some(false));
    // Tins weighed one by one on a scale of 0.1 g: √72 of √2·0.1 g/√12.
    let scale = Scale::new(Mass::of_base(1e-4)).unwrap();
    let tins = Packed::each_weighed("tins", 72, Mass::of_base(50.3e-3), scale);
    assert_close(
        "u",
        tins.mass.u() * 1e3,
        (72.0_f64 / 6.0).sqrt() * 0.1,
        1e-12,
    );
}
