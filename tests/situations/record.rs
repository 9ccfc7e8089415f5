//! What a record says of jars and lots.

use gutta::Moisture;
use gutta::blend::record::{JarEvent, JarHistory, JarStep, LotEvent, LotHistory, LotStep, Moment};
use gutta::matter::LotOfLeaf;
use gutta::measure::{Mass, Measured, Scalar};
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
