//! Weighings of counted drops: no order among them, and one zero or many.

use gutta::bench::{
    Calibrating, Calibration, CountedDrops, Dropped, Finding, Readings, Weighing, together,
};
use gutta::matter::Air;
use gutta::measure::{Mass, Measured, Scalar, Scale, Volume};
use proptest::prelude::*;

/// Weighings of drops of 20 to 60 mg that scatter by a few per cent, with a
/// drop too many or too few in one of them now and then.
fn weighings() -> impl Strategy<Value = Vec<Weighing>> {
    let each = prop::collection::vec((15..30_u32, -0.02..0.02), 2..9);
    (
        20e-6..60e-6,
        each,
        0..16_usize,
        prop_oneof![Just(-1), Just(1)],
    )
        .prop_map(
            |(one, each, wrong, miss): (f64, Vec<(u32, f64)>, usize, i32)| {
                let weighing = |(i, &(drops, off)): (usize, &(u32, f64))| {
                    let there = f64::from(drops) + if i == wrong { f64::from(miss) } else { 0.0 };
                    Weighing {
                        drops,
                        amount: Measured::exact(Mass::of_base(there * one * (1.0 + off / 10.0))),
                        last_place: Mass::of_base(1e-6),
                    }
                };
                each.iter().enumerate().map(weighing).collect()
            },
        )
}

fn calibrate(readings: Readings, scale: Option<Scale>) -> Calibration {
    let calibrating = Calibrating {
        scale,
        ..Calibrating::new(readings, Dropped::Water)
    };
    calibrating.calibrate().expect("a calibration")
}

/// The same weighings since one zero.
fn running(weighings: &[Weighing]) -> Vec<Weighing> {
    let mut total = (0, Mass::of_base(0.0));
    weighings
        .iter()
        .map(|weighing| {
            total.0 += weighing.drops;
            total.1 += weighing.amount.value();
            Weighing {
                drops: total.0,
                amount: Measured::exact(total.1),
                ..*weighing
            }
        })
        .collect()
}

/// Sums in another order, or recovered from a running total. A scatter is made
/// of small differences: it keeps to the rounding of the drop that it is about.
fn near(a: f64, b: f64, one: f64) -> bool {
    // Two infinities are the same and have no difference.
    a == b || (a - b).abs() <= 1e-12 * one
}

proptest! {
    #[test]
    fn their_order_is_nothing(
        (weighings, order) in weighings().prop_flat_map(|weighings| {
            let order: Vec<usize> = (0..weighings.len()).collect();
            (Just(weighings), Just(order).prop_shuffle())
        }),
    ) {
        let shuffled: Vec<Weighing> = order.iter().map(|&i| weighings[i]).collect();
        let a = calibrate(Readings::Singly(weighings), None);
        let b = calibrate(Readings::Singly(shuffled), None);
        let one = a.drop_mass.best().base();
        // Sums of the same few numbers: a few roundings.
        prop_assert!((one - b.drop_mass.best().base()).abs() <= 1e-14 * one);
        for (a, b, size) in [
            (a.drop_mass.u(), b.drop_mass.u(), one),
            (a.drop_mass.dof(), b.drop_mass.dof(), 1.0),
            (a.spread.unwrap().base(), b.spread.unwrap().base(), 1.0),
            (a.scatter.unwrap().one.base(), b.scatter.unwrap().one.base(), one),
        ] {
            prop_assert!(near(a, b, size), "{a} {b}");
        }
        prop_assert_eq!(a.drops_for_1_percent, b.drops_for_1_percent);
        for (a, b) in [
            (a.drop_mass_all, b.drop_mass_all),
            (a.drop_mass_recounted, b.drop_mass_recounted),
        ] {
            let close = a.zip(b).is_none_or(|(a, b)| near(a.base(), b.base(), one));
            prop_assert!(close && a.is_some() == b.is_some());
        }
        // The same weighings stand out, each under its new number.
        let renamed = |finding: &Finding| match *finding {
            Finding::Miscount { weighing, reads_as } => (order[weighing - 1] + 1, Some(reads_as)),
            Finding::Odd { weighing } => (order[weighing - 1] + 1, None),
            _ => unreachable!("no other finding"),
        };
        let mut found: Vec<_> = b.findings.iter().map(renamed).collect();
        found.sort_unstable();
        let expected: Vec<_> = a.findings.iter().map(|finding| match *finding {
            Finding::Miscount { weighing, reads_as } => (weighing, Some(reads_as)),
            Finding::Odd { weighing } => (weighing, None),
            _ => unreachable!("no other finding"),
        }).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn a_running_total_is_the_same_weighings(weighings in weighings()) {
        let totals = running(&weighings);
        let a = calibrate(Readings::Singly(weighings), None);
        let b = calibrate(Readings::Running(totals), None);
        let one = a.drop_mass.best().base();
        prop_assert!(near(one, b.drop_mass.best().base(), one));
        prop_assert!(near(a.scatter.unwrap().one.base(), b.scatter.unwrap().one.base(), one));
        prop_assert_eq!(a.findings, b.findings);
    }

    /// Without scatter only the scale is left: √k u_net/ΣN for k zeros and
    /// u_net/ΣN for one.
    #[test]
    fn one_zero_counts_once(count in 10..40_u32, times in 2..9_usize, one in 20e-6..60e-6) {
        let weighing = Weighing {
            drops: count,
            amount: Measured::exact(Mass::of_base(f64::from(count) * one)),
            last_place: Mass::of_base(1e-6),
        };
        let weighings = vec![weighing; times];
        let scale = Scale::new(Mass::of_base(1e-5)).expect("a scale");
        let drops = f64::from(count) * times as f64;
        let u = scale.u_net().base() / drops;
        let totals = running(&weighings);
        let singly = calibrate(Readings::Singly(weighings), Some(scale)).drop_mass;
        prop_assert!(near(singly.u(), u * (times as f64).sqrt(), u));
        let running = calibrate(Readings::Running(totals), Some(scale)).drop_mass;
        prop_assert!(near(running.u(), u, u));
    }

    /// A miscount left out of the middle of a running total leaves two stretches,
    /// each between two readings of its own: √2 u_net/ΣN. At either end one is
    /// left.
    #[test]
    fn a_gap_in_a_running_total_leaves_two_stretches(
        times in 5..9_usize, which in 0..5_usize, one in 35e-6..60e-6,
    ) {
        let last_place = Mass::of_base(1e-6);
        let which = which.min(times - 1);
        let weighings: Vec<Weighing> = (0..times).map(|i| {
            // Two drops more than were counted.
            let there = if i == which { 22.0 } else { 20.0 };
            Weighing { drops: 20, amount: Measured::exact(Mass::of_base(there * one)), last_place }
        }).collect();
        let scale = Scale::new(Mass::of_base(1e-5)).expect("a scale");
        let got = calibrate(Readings::Running(running(&weighings)), Some(scale));
        prop_assert_eq!(got.miscounts().count(), 1);
        let stretches = if which == 0 || which == times - 1 { 1.0 } else { 2.0_f64 };
        let u = stretches.sqrt() * scale.u_net().base() / (20.0 * (times - 1) as f64);
        prop_assert!(near(got.drop_mass.u(), u, u), "{} {}", got.drop_mass.u(), u);
    }

    /// A drop too many in one of several good weighings is seen, and left out.
    #[test]
    fn a_miss_of_one_drop_is_found(
        one in 20e-6..60e-6, times in 4..9_usize, which in 0..4_usize, more in any::<bool>(),
    ) {
        let counted = |i: usize| {
            let there = if i != which { 20.0 } else if more { 21.0 } else { 19.0 };
            // Good weighings scatter by a tenth of a drop, here and there.
            let off = [0.1, -0.05, 0.0, -0.1][i % 4];
            Weighing {
                drops: 20,
                amount: Measured::exact(Mass::of_base((there + off) * one)),
                last_place: Mass::of_base(1e-6),
            }
        };
        let got = calibrate(Readings::Singly((0..times).map(counted).collect()), None);
        let reads_as = if more { 21 } else { 19 };
        let expected = Finding::Miscount { weighing: which + 1, reads_as };
        prop_assert_eq!(&got.findings, &[expected]);
        // All others, and nothing of the one.
        let others: Vec<Weighing> = (0..times).filter(|&i| i != which).map(counted).collect();
        let alone = calibrate(Readings::Singly(others), None);
        prop_assert!(near(got.drop_mass.best().base(), alone.drop_mass.best().base(), one));
        prop_assert!(!got.blind_to_one_drop);
    }

    /// Three weighings tell no odd one from two, and a step of the scale is no
    /// gap, however well the others agree.
    #[test]
    fn what_cannot_be_told_is_not_said(
        one in 20e-6..60e-6, times in 4..9_usize, which in 0..3_usize, up in any::<bool>(),
    ) {
        let weighing = |mass: f64| Weighing {
            drops: 20,
            amount: Measured::exact(Mass::of_base(mass)),
            last_place: Mass::of_base(1e-6),
        };
        let few = (0..3).map(|i| weighing(if i == which { 19.0 } else { 20.0 } * one));
        let got = calibrate(Readings::Singly(few.collect()), None);
        prop_assert_eq!(&got.findings, &[]);
        // One step of 0.01 g off, the others alike: the scale's, or what was typed.
        let step = if up { 1e-5 } else { -1e-5 };
        let off = |i: usize| Weighing {
            last_place: Mass::of_base(1e-5),
            ..weighing(20.0 * one + if i == which { step } else { 0.0 })
        };
        for scale in [None, Scale::new(Mass::of_base(1e-5)).ok()] {
            let got = calibrate(Readings::Singly((0..times).map(off).collect()), scale);
            prop_assert_eq!(&got.findings, &[]);
        }
    }

    /// A miss of one drop in N is lost in a scatter of a third of that.
    #[test]
    fn a_scatter_that_hides_a_drop_is_said(
        one in 20e-6..60e-6, off in 0.001..0.1_f64, count in 10..40_u32,
    ) {
        let weighing = |sign: f64| Weighing {
            drops: count,
            amount: Measured::exact(Mass::of_base(f64::from(count) * one * (1.0 + sign * off))),
            last_place: Mass::of_base(1e-6),
        };
        let got = calibrate(Readings::Singly(vec![weighing(1.0), weighing(-1.0)]), None);
        // The standard deviation of two, over their mean.
        let spread = off * 2.0_f64.sqrt();
        prop_assert!((got.spread.unwrap().base() - spread).abs() <= 1e-12);
        prop_assume!((f64::from(count).recip() - 3.0 * spread).abs() > 1e-9);
        prop_assert_eq!(got.blind_to_one_drop, f64::from(count).recip() < 3.0 * spread);
    }

    /// N for 1 %: √(s₁²/N + (u/N)²) ≤ 0.01 d, and not for one drop fewer.
    #[test]
    fn so_many_drops_are_enough_and_one_fewer_are_not(
        weighings in weighings(), division in 1e-6..1e-4,
    ) {
        let scale = Scale::new(Mass::of_base(division)).expect("a scale");
        let got = calibrate(Readings::Singly(weighings), Some(scale));
        let (one, scatter) = (got.drop_mass.best().base(), got.scatter.unwrap().one.base());
        let u = scale.u_net().base();
        let doubt = |n: f64| (scatter * scatter / n + (u / n).powi(2)).sqrt() / one;
        let n = got.drops_for_1_percent.expect("a scatter").count();
        prop_assert!(n.fract() == 0.0 && doubt(n) <= 0.01 * (1.0 + 1e-12));
        prop_assert!(n == 1.0 || doubt(n - 1.0) > 0.01 * (1.0 - 1e-12));
    }

    /// By weight and by volume a drop is the same drop, in air and without it.
    #[test]
    fn a_mark_and_a_scale_find_one_drop(
        one in 20e-6..60e-6, count in 10..40_u32, density in 750.0..1300.0, in_air in any::<bool>(),
    ) {
        let times = f64::from(count);
        let calibrating = |readings| Calibrating {
            air: in_air.then_some(Air::ROOM),
            ..Calibrating::new(readings, Dropped::Other(Measured::exact(Scalar::of_base(density))))
        };
        let by_scale = calibrating(Readings::Singly(vec![Weighing {
            drops: count,
            amount: Measured::exact(Mass::of_base(one * times)),
            last_place: Mass::of_base(1e-6),
        }]));
        let by_scale = by_scale.calibrate().expect("a calibration");
        let volume = by_scale.drop_volume.best().base();
        let by_mark = calibrating(Readings::ToMark(vec![Weighing {
            drops: count,
            amount: Measured::exact(Volume::of_base(volume * times)),
            last_place: Volume::of_base(1e-9),
        }]));
        let by_mark = by_mark.calibrate().expect("a calibration");
        prop_assert!(near(by_mark.drop_mass.best().base(), one, one));
        prop_assert!(near(by_mark.drop_volume.best().base(), volume, volume));
        prop_assert!(near(by_mark.drops_per_volume.best().base() * volume, 1.0, 1.0));
        // Air carries some of the liquid, more than of the weights.
        prop_assert_eq!(in_air, !near(volume * density, one, one));
        prop_assert!(volume * density >= one * (1.0 - 1e-12));
    }

    /// A doubt that was typed with a weight is its own, whatever the scale.
    #[test]
    fn a_typed_doubt_is_kept(one in 20e-6..60e-6, u in 1e-6..1e-4, repeats in 1e-6..1e-4) {
        let scale = Scale::new(Mass::of_base(1e-5)).expect("a scale");
        let scale = scale.with_repeatability(Mass::of_base(repeats)).expect("a scale");
        let of = |amount| vec![Weighing { drops: 20, amount, last_place: Mass::of_base(1e-6) }];
        let net = Mass::of_base(20.0 * one);
        let typed = Measured::new(net, u, f64::INFINITY);
        let got = calibrate(Readings::Singly(of(typed)), Some(scale)).drop_mass;
        prop_assert!(near(got.u(), u / 20.0, u));
        // Without one the scale's stands: √2 √(D²/12 + s²).
        let got = calibrate(Readings::Singly(of(Measured::exact(net))), Some(scale)).drop_mass;
        let u = (2.0 * (1e-10 / 12.0 + repeats * repeats)).sqrt();
        prop_assert!(near(got.u(), u / 20.0, u));
    }

    /// Marks that scatter say as much of a drop's mass as weights that do.
    #[test]
    fn the_scatter_of_marks_is_that_of_weights(weighings in weighings(), density in 750.0..1300.0) {
        let marks = |weighing: &Weighing| Weighing {
            drops: weighing.drops,
            amount: Measured::exact(Volume::of_base(weighing.amount.value().base() / density)),
            last_place: Volume::of_base(1e-9),
        };
        let marks = weighings.iter().map(marks).collect();
        let liquid = Dropped::Other(Measured::exact(Scalar::of_base(density)));
        let of = |readings| {
            let calibrating = Calibrating::new(readings, liquid);
            calibrating.calibrate().expect("a calibration")
        };
        let (a, b) = (of(Readings::Singly(weighings)), of(Readings::ToMark(marks)));
        let one = a.drop_mass.best().base();
        prop_assert!(near(one, b.drop_mass.best().base(), one));
        prop_assert!(near(a.scatter.unwrap().one.base(), b.scatter.unwrap().one.base(), one));
        prop_assert!(near(a.spread.unwrap().base(), b.spread.unwrap().base(), 1.0));
    }

    /// A running total counts on, in drops and in mass: where it does not, the
    /// weighing is named, from the text and from the numbers.
    #[test]
    fn a_running_total_that_does_not_rise_is_refused(
        times in 2..7_usize, which in 0..60_usize, in_drops in any::<bool>(),
    ) {
        // Any but the first.
        let which = 1 + which % (times - 1);
        // 20 drops of a gram more each time, but once not.
        let at = |i: usize, stuck: bool| if stuck && i == which { i - 1 } else { i } + 1;
        let texts = (0..times).map(|i| format!("{}={}g", 20 * at(i, in_drops), at(i, !in_drops)));
        let typed: Vec<CountedDrops> = texts
            .map(|text| CountedDrops::read(&text).expect("a weighing"))
            .collect();
        let misfit = together(&typed, true).expect_err("it does not rise");
        prop_assert_eq!(misfit.weighing, which);

        let weighings = (0..times).map(|i| Weighing {
            drops: u32::try_from(20 * at(i, in_drops)).expect("few drops"),
            amount: Measured::exact(Mass::of_base(1e-3 * at(i, !in_drops) as f64)),
            last_place: Mass::of_base(1e-3),
        });
        let readings = Readings::Running(weighings.collect());
        let error = Calibrating::new(readings, Dropped::Water).calibrate();
        let error = error.expect_err("it does not rise");
        prop_assert_eq!(error.kind(), misfit.error.kind());
        prop_assert_eq!(error.to_string(), misfit.error.to_string());
        // Each by itself they are weighings like others.
        prop_assert!(together(&typed, false).is_ok());
    }
}
