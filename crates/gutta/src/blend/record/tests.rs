//! What is left out of a long history changes no figure and no doubt.

use super::jar::{JarEvent, JarHistory, JarStep};
use super::stock::{LotEvent, LotHistory, LotStep};
use super::{JarNow, LotNow, Moment};
use crate::matter::{LotOfLeaf, Moisture};
use crate::measure::{Estimate, Mass, Measured, Scalar};

/// Numbers that are spread well enough to try orders of steps with, always the
/// same ones.
struct Spread(u64);

impl Spread {
    fn below(&mut self, end: u64) -> u64 {
        // The constants of Knuth's MMIX generator.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }

    fn grams(&mut self, least: u64, most: u64) -> Measured<Mass> {
        let tenths = 10 * least + self.below(10 * (most - least));
        let u = 1e-6 * (1 + self.below(90)) as f64;
        Measured::new(Mass::of_base(tenths as f64 * 1e-4), u, f64::INFINITY)
    }

    fn moisture(&mut self) -> Measured<Moisture> {
        let at = Moisture::of_base(0.08 + 1e-3 * self.below(100) as f64);
        Measured::new(at, 1e-3 * (1 + self.below(9)) as f64, f64::INFINITY)
    }

    fn leaf(&mut self) -> LotOfLeaf {
        LotOfLeaf {
            mass: self.grams(1, 40),
            at: self.moisture(),
        }
    }

    /// A jar that may be: it holds hundreds of grams, and little of it goes.
    fn jar(&mut self, steps: u64) -> JarHistory {
        let mut jar = JarHistory {
            tare: self.grams(300, 301),
            filled: Moment::of_seconds(0),
            gross: self.grams(1290, 1300),
            moisture: self.moisture(),
            steps: Vec::new(),
        };
        // What the scale shows, near enough, as each step goes on from there.
        let mut shows = jar.gross.value().base();
        for number in 1..=steps {
            let event = match self.below(6) {
                0..=2 => {
                    let weighed = self.grams(0, 2);
                    shows -= weighed.value().base();
                    let all = Mass::of_base(shows);
                    JarEvent::Weighed(Measured::new(all, weighed.u(), f64::INFINITY))
                }
                3 => {
                    let taken = self.grams(3, 9);
                    shows -= taken.value().base();
                    JarEvent::Taken(taken)
                }
                4 => {
                    let water = self.grams(1, 3);
                    shows += water.value().base();
                    JarEvent::Water(water)
                }
                _ => {
                    let leaf = self.leaf();
                    shows += leaf.mass.value().base();
                    JarEvent::Put(leaf)
                }
            };
            let at = Moment::of_seconds(86_400 * number.cast_signed());
            jar.steps.push(JarStep { at, event });
        }
        jar
    }

    fn lot(&mut self, steps: u64) -> LotHistory {
        let mut lot = LotHistory(vec![LotStep {
            at: Moment::of_seconds(0),
            event: LotEvent::In(LotOfLeaf {
                mass: self.grams(900, 1000),
                at: self.moisture(),
            }),
        }]);
        for number in 1..=steps {
            let event = match self.below(8) {
                0 | 1 => LotEvent::In(self.leaf()),
                2..=5 => LotEvent::Taken(self.grams(1, 9)),
                6 => LotEvent::Weighed {
                    mass: self.grams(700, 900),
                    at: None,
                },
                _ => LotEvent::Weighed {
                    mass: self.grams(700, 900),
                    at: Some(self.moisture()),
                },
            };
            let at = Moment::of_seconds(86_400 * number.cast_signed());
            lot.0.push(LotStep { at, event });
        }
        lot
    }
}

#[track_caller]
fn same<S: Scalar>(what: &str, one: &Estimate<S>, other: &Estimate<S>) {
    // Rounding alone: sums are taken in another order.
    let is_near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-6);
    assert!(is_near(one.best().base(), other.best().base()), "{what}");
    assert!(
        is_near(one.u(), other.u()),
        "{what}: u {} and {}",
        one.u(),
        other.u()
    );
}

fn same_jar(one: &JarNow, other: &JarNow) {
    same("moisture", &one.moisture, &other.moisture);
    same("dry matter", &one.dry_matter, &other.dry_matter);
    same("net", &one.net, &other.net);
    same("gross", &one.gross, &other.gross);
    assert_eq!(one.rate.is_some(), other.rate.is_some());
    if let Some((one, other)) = one.rate.as_ref().zip(other.rate.as_ref()) {
        same("rate", one, other);
    }
}

#[test]
fn a_jar_is_what_it_was_without_what_cancels() {
    let mut spread = Spread(1);
    let mut shorter = 0;
    for case in 0..400 {
        let jar = spread.jar(case % 25);
        let kept = jar.fold();
        shorter += usize::from(kept.len() < jar.steps.len());
        let folded = jar.now().unwrap();
        same_jar(&folded, &jar.worked_out(&jar.steps));
    }
    assert!(shorter > 200, "{shorter} of 400 had something left out");
}

fn same_lot(one: &LotNow, other: &LotNow) {
    same("as weighed", &one.as_weighed, &other.as_weighed);
    same("dry", &one.dry, &other.dry);
    if let Some((one, other)) = one.moisture.as_ref().zip(other.moisture.as_ref()) {
        same("moisture", one, other);
    }
}

#[test]
fn a_lot_is_what_it_was_without_what_cancels() {
    let mut spread = Spread(2);
    let mut shorter = 0;
    for case in 0..400 {
        let lot = spread.lot(case % 25);
        shorter += usize::from(lot.fold().len() < lot.0.len());
        same_lot(&lot.now().unwrap(), &lot.worked_out(&lot.0));
    }
    assert!(shorter > 200, "{shorter} of 400 had something left out");
}

/// A jar that is weighed a hundred times a day is worked out from its filling and
/// its last two weighings.
#[test]
fn weighings_alone_cancel_but_for_two() {
    let mut spread = Spread(3);
    let mut jar = spread.jar(0);
    for number in 0..100_000_i64 {
        let shows = jar.gross.value().base() - 1e-7 * number as f64;
        let event = JarEvent::Weighed(Measured::exact(Mass::of_base(shows)));
        let at = Moment::of_seconds(number);
        jar.steps.push(JarStep { at, event });
    }
    assert_eq!(jar.fold(), jar.steps[99_998..]);
    let lost = jar.now().unwrap().lost_per_day.unwrap();
    // A tenth of a milligram in a second.
    assert!((lost.best().base() - 1e-7 * 86_400.0).abs() < 1e-6);
}

/// So many takings of a lot are one.
#[test]
fn takings_one_after_another_are_one() {
    let mut lot = Spread(4).lot(0);
    let took = Measured::new(Mass::of_base(1e-6), 2e-9, f64::INFINITY);
    for number in 1..=100_000 {
        lot.0.push(LotStep {
            at: Moment::of_seconds(number),
            event: LotEvent::Taken(took),
        });
    }
    let kept = lot.fold();
    assert_eq!(kept.len(), 2);
    let LotEvent::Taken(all) = kept[1].event else {
        panic!("{:?}", kept[1]);
    };
    assert!((all.value().base() - 0.1).abs() < 1e-9);
    // √100000 times the doubt of one.
    assert!((all.u() - 2e-9 * 1e5_f64.sqrt()).abs() < 1e-15);
}

#[test]
fn a_moment_prints_as_its_day() {
    // By `date -u -d @SECONDS +%F`.
    for (seconds, day) in [
        (0, "1970-01-01"),
        (-1, "1969-12-31"),
        (951_782_399, "2000-02-28"),
        (951_782_400, "2000-02-29"),
        (951_868_800, "2000-03-01"),
        (1_709_164_800, "2024-02-29"),
        (1_772_323_199, "2026-02-28"),
        (1_772_323_200, "2026-03-01"),
        (4_107_542_400, "2100-03-01"),
        (4_107_542_399, "2100-02-28"),
        (-2_203_891_200, "1900-03-01"),
        (253_402_300_799, "9999-12-31"),
    ] {
        assert_eq!(Moment::of_seconds(seconds).to_string(), day, "{seconds}");
    }
}
