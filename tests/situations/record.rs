//! What a record says of jars and lots.

use gutta::bench::Brought;
use gutta::blend::record::{
    JarEvent, JarHistory, JarStep, LotEvent, LotHistory, LotStep, MadeLeaf, MadeLiquid, Making,
    Moment,
};
use gutta::matter::LotOfLeaf;
use gutta::measure::{Mass, Measured, Ratio, Scalar};
use gutta::{Composition, Moisture, Part};
use gutta_tests::assert_close;
use gutta_tests::situations::situation;
use uom::si::mass_rate::MassRate;

use super::{grams, mass, moisture, percent, target};

fn exact<S: Scalar>(value: S) -> Measured<S> {
    Measured::exact(value)
}

/// Two days between the weighings are ours: the situation has none.
#[test]
fn s19_a_jar_through_its_weighings() {
    let s = situation("S19");
    let jar = JarHistory {
        tare: mass(&s.typed("jar_tare")),
        filled: Moment::of_seconds(0),
        gross: mass(&s.typed("gross_then")),
        moisture: moisture(&s.typed("moisture_then")),
        steps: vec![JarStep {
            at: Moment::of_seconds(2 * 86_400),
            event: JarEvent::Weighed(mass(&s.typed("gross_now"))),
        }],
    };
    let now = jar.now().unwrap();
    s.assert_answer("dry_matter", grams(now.dry_matter.best()));
    s.assert_answer("net_now", grams(now.net.best()));
    s.assert_answer("moisture_now", percent(now.moisture.best()));
    let rate: MassRate<_, f64> = now.rate.as_ref().expect("two weighings").best();
    s.assert_answer("lost", rate.base() * 2.0 * 86_400.0 * 1e3);
    // The water back to the target is that of the leaf that is there.
    let to: Moisture = target(&s.typed("target"));
    let m = now.moisture.best().base();
    let water = now.net.best() * ((to.base() - m) / (1.0 - to.base()));
    s.assert_answer("water_to_restore", grams(water));
    s.assert_all_held();
}

/// By hand: 100 g at 20 % are 80 g dry. 10 g go in a day; of the 90 g at 1/9 half
/// is taken, 5 g of water go on, and 20 g at 10 % are put in: 40 + 18 g dry and
/// 5 + 5 + 2 g of water.
#[test]
fn what_comes_and_goes_is_in_the_balance() {
    let gram = |g: f64| exact(Mass::of_base(g * 1e-3));
    let leaf = LotOfLeaf {
        mass: gram(20.0),
        at: exact(Moisture::of_base(0.1)),
    };
    let day = |n: i64, event| JarStep {
        at: Moment::of_seconds(n * 86_400),
        event,
    };
    let mut jar = JarHistory {
        tare: gram(300.0),
        filled: Moment::of_seconds(0),
        gross: gram(400.0),
        moisture: exact(Moisture::of_base(0.2)),
        steps: vec![
            day(1, JarEvent::Weighed(gram(390.0))),
            day(1, JarEvent::Taken(gram(45.0))),
            day(2, JarEvent::Water(gram(5.0))),
            day(2, JarEvent::Put(leaf)),
        ],
    };
    let now = jar.now().unwrap();
    assert_close("dry", grams(now.dry_matter.best()), 58.0, 1e-12);
    assert_close("net", grams(now.net.best()), 70.0, 1e-12);
    assert_close("gross", grams(now.gross.best()), 370.0, 1e-12);
    assert_close(
        "moisture",
        percent(now.moisture.best()),
        1200.0 / 70.0,
        1e-12,
    );
    assert_eq!(now.weighed, Moment::of_seconds(86_400));
    // 10 g in a day; 12 g of water down to 6.444 g at 10 % take 0.5556 days.
    let until = now.reaches(Moisture::of_base(0.1)).expect("it dries");
    assert_close(
        "until",
        until.best().base() / 86_400.0,
        (12.0 - 58.0 / 9.0) / 10.0,
        1e-12,
    );
    assert!(now.reaches(Moisture::of_base(0.5)).is_none());
    jar.steps.push(day(3, JarEvent::Taken(gram(71.0))));
    assert_eq!(
        jar.now().unwrap_err().to_string(),
        "more was taken out of the jar than was in it"
    );
    assert_eq!(jar.fault().map(|(number, _)| number), Some(5));
    jar.steps.pop();
    // 58 g of dry leaf and the jar of 300 g.
    jar.steps.push(day(3, JarEvent::Weighed(gram(357.0))));
    assert_eq!(
        jar.now().unwrap_err().to_string(),
        "the jar weighed less than itself and the dry leaf in it"
    );
    jar.steps.pop();
    jar.gross = gram(300.0);
    assert_eq!(
        jar.now().unwrap_err().to_string(),
        "the jar weighed no more with its leaf than empty"
    );
    jar.gross = gram(400.0);
    jar.steps.push(day(1, JarEvent::Weighed(gram(365.0))));
    assert_eq!(
        jar.now().unwrap_err().to_string(),
        "what happened to a jar is not in the order of time"
    );
}

/// The tare is one input, used in every weighing: an error of it moves both alike.
/// By hand, with u = 1 g of the tare alone: m = 1 − (1 − m₀)(g₀ − t)/(g₁ − t),
/// dm/dt = (1 − m₀)((g₁ − t) − (g₀ − t))/(g₁ − t)² = −0.8·10/90² a gram.
#[test]
fn the_tare_is_one_input() {
    let gram = |g: f64| exact(Mass::of_base(g * 1e-3));
    let jar = JarHistory {
        tare: Measured::new(Mass::of_base(0.3), 1e-3, f64::INFINITY),
        filled: Moment::of_seconds(0),
        gross: gram(400.0),
        moisture: exact(Moisture::of_base(0.2)),
        steps: vec![JarStep {
            at: Moment::of_seconds(86_400),
            event: JarEvent::Weighed(gram(390.0)),
        }],
    };
    let now = jar.now().unwrap();
    assert_close("u", now.moisture.u(), 0.8 * 10.0 / 8100.0, 1e-9);
}

/// By hand: 500 g at 12 % less 60 g, weighed again at 425 g and 10 %, less 25 g.
#[test]
fn a_lot_through_its_takings() {
    let gram = |g: f64| exact(Mass::of_base(g * 1e-3));
    let at = |m: f64| exact(Moisture::of_base(m));
    let on = |n: i64, event| LotStep {
        at: Moment::of_seconds(n * 86_400),
        event,
    };
    let leaf = LotOfLeaf {
        mass: gram(500.0),
        at: at(0.12),
    };
    let mut lot = LotHistory(vec![
        on(0, LotEvent::In(leaf)),
        on(1, LotEvent::Taken(gram(60.0))),
    ]);
    let now = lot.now().unwrap();
    assert_close("as weighed", grams(now.as_weighed.best()), 440.0, 1e-12);
    assert_close("dry", grams(now.dry.best()), 387.2, 1e-12);
    let weighed = LotEvent::Weighed {
        mass: gram(425.0),
        at: Some(at(0.10)),
    };
    lot.0.push(on(2, weighed));
    lot.0.push(on(3, LotEvent::Taken(gram(25.0))));
    let now = lot.now().unwrap();
    assert_close("as weighed", grams(now.as_weighed.best()), 400.0, 1e-12);
    assert_close("dry", grams(now.dry.best()), 360.0, 1e-12);
    lot.0.push(on(4, LotEvent::Taken(gram(400.0))));
    let now = lot.now().unwrap();
    assert!(grams(now.as_weighed.best()).abs() < 1e-9 && now.moisture.is_none());
    lot.0.push(on(5, LotEvent::Taken(gram(1.0))));
    assert_eq!(
        lot.now().unwrap_err().to_string(),
        "more was taken of this lot than there was"
    );
    assert_eq!(lot.fault().map(|(at, _)| at), Some(5));
    assert_eq!(
        LotHistory::default().now().unwrap_err().to_string(),
        "nothing of this lot has come in yet"
    );
}

/// The bottle says what was really given; the count says what was meant.
#[test]
fn s26_a_trial_with_miscounted_drops() {
    let s = situation("S26");
    let loss = mass(&s.typed("bottle_loss"));
    let drop = mass(&s.typed("drop"));
    let made = |given: Measured<Mass>| Making {
        leaf: vec![MadeLeaf {
            name: "the trial".to_owned(),
            source: "a lot".to_owned(),
            mass: mass(&s.typed("trial")),
            at: None,
        }],
        liquids: vec![MadeLiquid {
            liquid: Brought::weighed("flavouring", given, Composition::default()),
            is_known: false,
        }],
    };
    let dose = |given| {
        let now = made(given).now().unwrap();
        now.given[0].on_leaf.best().base() * 1e3
    };
    let really = loss.value().base() / drop.value().base();
    s.assert_answer("drops_really", really);
    s.assert_answer("drops_rounded", really.round());
    s.assert_answer("dose_real", dose(loss));
    let counted = drop.value() * s.given("planned_drops");
    s.assert_answer("dose_planned", dose(exact(counted)));
    s.assert_all_held();
}

/// By hand: 30 g at 10 % are 27 g dry, 10 g at 20 % are 8 g dry; 2 g of a casing,
/// half water, half solids, and 1 g of water go on: 36 g dry, 7 g of water.
#[test]
fn what_was_made_is_a_balance() {
    let gram = |g: f64| exact(Mass::of_base(g * 1e-3));
    let leaf = |name: &str, source: &str, g, at: f64| MadeLeaf {
        name: name.to_owned(),
        source: source.to_owned(),
        mass: gram(g),
        at: Some(exact(Moisture::of_base(at))),
    };
    let half = [(Part::Water, exact(Ratio::of_base(0.5)))];
    let known = |name: &str, g, composition| MadeLiquid {
        liquid: Brought::weighed(name, gram(g), composition),
        is_known: true,
    };
    let water = Composition::new(&[(Part::Water, exact(Ratio::of_base(1.0)))]).unwrap();
    let mut making = Making {
        leaf: vec![
            leaf("red", "red-23c", 20.0, 0.1),
            leaf("oriental", "sun-25", 10.0, 0.2),
            leaf("red", "red-23c", 10.0, 0.1),
        ],
        liquids: vec![
            known("casing", 2.0, Composition::new(&half).unwrap()),
            known("water", 1.0, water),
        ],
    };
    let now = making.now().unwrap();
    assert_close("leaf", grams(now.leaf.best()), 40.0, 1e-12);
    assert_close("total", grams(now.total.best()), 43.0, 1e-12);
    let moisture = now.moisture.as_ref().expect("all is known");
    assert_close("moisture", percent(moisture.best()), 700.0 / 43.0, 1e-12);
    let shares: Vec<(&str, f64, f64)> = now
        .shares
        .iter()
        .map(|share| {
            let dry = share.dry.as_ref().expect("all is known");
            (
                share.name.as_str(),
                share.as_weighed.best().base(),
                dry.best().base(),
            )
        })
        .collect();
    assert_eq!(shares[0].0, "red");
    assert_close("red", shares[0].1, 0.75, 1e-12);
    assert_close("red, dry", shares[0].2, 27.0 / 35.0, 1e-12);
    assert_close("oriental, dry", shares[1].2, 8.0 / 35.0, 1e-12);
    // One moisture that is not known leaves out all that goes by it, and no more.
    making.leaf[1].at = None;
    let now = making.now().unwrap();
    assert!(now.dry_leaf.is_none() && now.moisture.is_none());
    assert!(now.shares[0].dry.is_none() && now.given[0].on_dry.is_none());
    assert_close("red", now.shares[0].as_weighed.best().base(), 0.75, 1e-12);
    making.leaf.clear();
    assert_eq!(
        making.now().unwrap_err().to_string(),
        "no leaf was weighed yet"
    );
}

/// Two weighings of one lot share its moisture: with u = 1 point of it alone, the
/// moisture of both together has 1 point, not 1/√2.
#[test]
fn leaf_of_one_lot_has_one_moisture() {
    let leaf = |source: &str| MadeLeaf {
        name: "red".to_owned(),
        source: source.to_owned(),
        mass: exact(Mass::of_base(0.01)),
        at: Some(Measured::new(Moisture::of_base(0.12), 0.01, f64::INFINITY)),
    };
    let u = |sources: [&str; 2]| {
        let making = Making {
            leaf: sources.map(leaf).to_vec(),
            liquids: Vec::new(),
        };
        let now = making.now().unwrap();
        now.moisture.expect("it is known").u()
    };
    assert_close("one lot", u(["red-23c", "red-23c"]), 0.01, 1e-12);
    assert_close(
        "two lots",
        u(["red-23c", "red-24a"]),
        0.01 / 2_f64.sqrt(),
        1e-12,
    );
}
