//! Leaf in air: there and back, curves through own points, and their doubt.

use gutta::matter::sorption::{
    Fit, InAir, Isotherm, KeptBy, LEAF_REFERENCE, Leaf, OwnPoint, OwnReading, at_temperature, held,
};
use gutta::measure::{Measured, Ratio, Scalar, Spread, Temperature, coverage_95};
use gutta::{ErrorKind, Estimate, Moisture};
use proptest::prelude::*;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;

fn exact<S: Scalar>(x: f64) -> Measured<S> {
    Measured::exact(S::of_base(x))
}

fn leaf() -> impl Strategy<Value = Leaf> {
    prop::sample::select(&Leaf::ALL[..])
}

/// Leaf of a curve of A and B at 22 °C, read in air at another temperature.
fn points(leaf: Leaf, truth: (f64, f64), at: Temperature, humidities: &[f64]) -> Vec<OwnPoint> {
    let point = |&humidity: &f64| {
        let humidity = Ratio::of_base(humidity);
        let a = at_temperature(humidity, leaf.heat(), at, LEAF_REFERENCE);
        let (level, exponent) = (Ratio::of_base(truth.0), Ratio::of_base(truth.1));
        OwnPoint {
            humidity,
            moisture: held(level, exponent, a).on_wet_basis(),
        }
    };
    humidities.iter().map(point).collect()
}

/// What comes back from a curve differs by the roundings of a few logarithms
/// and exponentials.
fn comes_back(
    isotherm: Isotherm,
    humidity: f64,
    at: Measured<Temperature>,
) -> Result<(), TestCaseError> {
    let there = InAir::new(isotherm.clone(), exact(humidity), at);
    let held = there.moisture().expect("within the range").best();
    let back = KeptBy::new(isotherm, Measured::exact(held), at);
    let back = back.humidity().expect("a usual moisture");
    let back = back.estimate().expect("within the range").best().base();
    prop_assert!((back - humidity).abs() < 1e-12, "{humidity} {back}");
    Ok(())
}

proptest! {
    #[test]
    fn air_to_leaf_and_back(
        leaf in leaf(), humidity in 0.3501..0.7499, t in 278.2..313.1,
        anchor in 0.36..0.74, read in 0.08..0.2, read_at in 278.2..313.1,
        level in 0.08..0.2, exponent in 0.3..0.8,
    ) {
        let at = exact(t);
        comes_back(Isotherm::of(leaf), humidity, at)?;
        let reading = OwnReading {
            humidity: exact(anchor),
            moisture: Measured::new(Moisture::of_base(read), 0.01, f64::INFINITY),
            temperature: exact(read_at),
        };
        let own = Isotherm::anchored(leaf, reading).expect("a usual reading");
        // The curve goes through what was read.
        let there = InAir::new(own.clone(), exact(anchor), exact(read_at));
        let got = there.moisture().expect("within the range").best().base();
        prop_assert!((got - read).abs() < 1e-12, "{read} {got}");
        comes_back(own, humidity, at)?;
        let points = points(leaf, (level, exponent), at.value(), &[0.4, 0.5, 0.6, 0.7]);
        let fit = Fit::to(leaf, &points, at.value()).expect("a curve");
        comes_back(Isotherm::fitted(fit), humidity, at)?;
    }

    /// Damper air, wetter leaf; warmer leaf in the same air, drier leaf.
    #[test]
    fn moisture_rises_with_humidity_and_falls_with_warmth(
        leaf in leaf(), humidity in 0.35..0.74, t in 278.2..312.0,
    ) {
        let held = |humidity: f64, t: f64| {
            let question = InAir::new(Isotherm::of(leaf), exact(humidity), exact(t));
            question.moisture().expect("within the range").best()
        };
        let here = held(humidity, t);
        prop_assert!(held(humidity + 0.005, t) > here);
        prop_assert!(held(humidity, t + 1.0) < here);
    }

    /// Points of a curve give the curve back, to the tolerance of the search,
    /// and without scatter there is no doubt.
    #[test]
    fn a_fit_finds_the_curve_of_its_points(
        leaf in leaf(), level in 0.06..0.25, exponent in 0.2..1.0, t in 278.2..313.1,
        first in 0.35..0.45, step in 0.04..0.09,
    ) {
        let humidities: Vec<f64> = (0..4).map(|i| first + step * f64::from(i)).collect();
        let at = Temperature::of_base(t);
        let points = points(leaf, (level, exponent), at, &humidities);
        let fit = Fit::to(leaf, &points, at).expect("a curve");
        prop_assert!((fit.level().value().base() / level - 1.0).abs() < 1e-9);
        prop_assert!((fit.exponent().value().base() / exponent - 1.0).abs() < 1e-9);
        prop_assert!(fit.scatter() < 1e-10);
        prop_assert_eq!(fit.dof(), 2.0);
        prop_assert_eq!(fit.span().1.base(), humidities[3]);
    }

    /// No curve nearby is nearer to the points, however wildly they scatter.
    #[test]
    fn a_fit_is_the_least_of_squares(seed in any::<u64>(), wild in 1.0..6.0) {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
        let mut points = noisy(&mut random);
        let smooth = points_at(&HUMIDITIES);
        for (point, true_one) in points.iter_mut().zip(&smooth) {
            let off = point.moisture.base() - true_one.moisture.base();
            point.moisture = Moisture::of_base(true_one.moisture.base() + wild * off);
        }
        let fit = match Fit::to(Leaf::Generic, &points, LEAF_REFERENCE) {
            Ok(fit) => fit,
            // So wild that a point is below nothing, or that the moisture falls.
            Err(error) => {
                let is_leaf = points.iter().all(|point| point.moisture.base() > 0.0);
                let kind = if is_leaf {
                    ErrorKind::Refused
                } else {
                    ErrorKind::OutOfRange
                };
                prop_assert_eq!(error.kind(), kind, "{:?}", points);
                return Ok(());
            }
        };
        let squares = |level: f64, exponent: f64| -> f64 {
            let (level, exponent) = (Ratio::of_base(level), Ratio::of_base(exponent));
            points
                .iter()
                .map(|point| {
                    let on_curve = held(level, exponent, point.humidity).on_wet_basis();
                    (on_curve.base() - point.moisture.base()).powi(2)
                })
                .sum()
        };
        let (a, b) = (fit.level().value().base(), fit.exponent().value().base());
        let least = squares(a, b);
        prop_assert!((fit.scatter().powi(2) * fit.dof() / least - 1.0).abs() < 1e-9);
        for (by_a, by_b) in [(1.001, 1.0), (0.999, 1.0), (1.0, 1.001), (1.0, 0.999)] {
            prop_assert!(squares(a * by_a, b * by_b) > least);
        }
    }

    /// The order of the points is nothing to the curve.
    #[test]
    fn a_fit_does_not_know_the_order_of_its_points(seed in any::<u64>()) {
        let mut points = noisy(&mut Xoshiro256PlusPlus::seed_from_u64(seed));
        let one = Fit::to(Leaf::Generic, &points, LEAF_REFERENCE).expect("a curve");
        points.reverse();
        let other = Fit::to(Leaf::Generic, &points, LEAF_REFERENCE).expect("a curve");
        // The tolerance of the search is of the sum of squares: its root for the
        // parameters.
        for (a, b) in [(one.level(), other.level()), (one.exponent(), other.exponent())] {
            prop_assert!((a.value().base() - b.value().base()).abs() < 1e-6 * a.u());
            prop_assert!((a.u() / b.u() - 1.0).abs() < 1e-6);
        }
    }
}

/// The truth of the noisy points: A, B, and the scatter of a reading.
const TRUTH: (f64, f64) = (0.128, 0.56);
const NOISE: f64 = 0.004;
const HUMIDITIES: [f64; 6] = [0.40, 0.47, 0.54, 0.61, 0.68, 0.75];

fn points_at(humidities: &[f64]) -> Vec<OwnPoint> {
    points(Leaf::Generic, TRUTH, LEAF_REFERENCE, humidities)
}

fn noisy(random: &mut Xoshiro256PlusPlus) -> Vec<OwnPoint> {
    let mut points = points_at(&HUMIDITIES);
    for point in &mut points {
        let z: f64 = StandardNormal.sample(random);
        point.moisture = Moisture::of_base(point.moisture.base() + NOISE * z);
    }
    points
}

/// A, B, and the moisture and the humidity by the curve, lie within their stated
/// 95 % as often as is said: not fewer by three standard deviations of a count,
/// not more than 97 %.
#[test]
fn a_fit_is_as_sure_as_it_says() {
    const BENCHES: u32 = 3000;
    let mut random = Xoshiro256PlusPlus::seed_from_u64(22);
    let mut held_true = [0_u32; 4];
    let mut scatter = 0.0;
    for _ in 0..BENCHES {
        let fit = Fit::to(Leaf::Generic, &noisy(&mut random), LEAF_REFERENCE).unwrap();
        scatter += fit.scatter().powi(2);
        let (level, exponent) = (fit.level(), fit.exponent());
        let own = Isotherm::fitted(fit);
        let at = Measured::exact(LEAF_REFERENCE);
        let truth = points_at(&[0.57])[0];
        let moisture = InAir::new(own.clone(), exact(0.57), at).moisture().unwrap();
        assert_eq!(moisture.dof(), 4.0);
        let air = KeptBy::new(own, Measured::exact(truth.moisture), at);
        let air = air.humidity().unwrap();
        let air = air.estimate().unwrap().measured();
        let moisture = moisture.measured();
        for (count, (got, half, truth)) in held_true.iter_mut().zip([
            (level.value().base(), level.half_width_95(), TRUTH.0),
            (exponent.value().base(), exponent.half_width_95(), TRUTH.1),
            (
                moisture.value().base(),
                moisture.half_width_95(),
                truth.moisture.base(),
            ),
            (air.value().base(), air.half_width_95(), 0.57),
        ]) {
            *count += u32::from((got - truth).abs() <= half);
        }
    }
    let sd = (0.95 * 0.05 / f64::from(BENCHES)).sqrt();
    for count in held_true {
        let share = f64::from(count) / f64::from(BENCHES);
        assert!(share >= 0.95 - 3.0 * sd, "{held_true:?}");
        assert!(share <= 0.97, "{held_true:?}");
    }
    // s² is that of the readings: 12 000 degrees of freedom know it to 1.3 %,
    // three times that are asked.
    let ratio = scatter / f64::from(BENCHES) / NOISE.powi(2);
    assert!((ratio - 1.0).abs() < 0.04, "{ratio}");
}

#[test]
fn a_fit_that_cannot_be_is_refused() {
    let good = points(Leaf::Burley, TRUTH, LEAF_REFERENCE, &[0.4, 0.55, 0.7]);
    let with = |change: fn(&mut Vec<OwnPoint>)| {
        let mut points = good.clone();
        change(&mut points);
        Fit::to(Leaf::Burley, &points, LEAF_REFERENCE)
    };
    for (got, kind, message) in [
        (
            with(|points| points.truncate(2)),
            ErrorKind::Missing,
            "a curve of one's own needs at least 3 points, not 2",
        ),
        (
            with(|points| points[1].humidity = Ratio::of_base(0.80)),
            ErrorKind::Refused,
            "the relative humidity must be from 35 % to 75 %, not 80 %",
        ),
        (
            with(|points| points[1].moisture = Moisture::of_base(0.0)),
            ErrorKind::OutOfRange,
            "the moisture that leaf holds must be above 0 % and below 100 %, not 0 %",
        ),
        (
            with(|points| {
                for point in points {
                    point.humidity = Ratio::of_base(0.6);
                }
            }),
            ErrorKind::Refused,
            "all points were read in the same air",
        ),
        (
            with(|points| {
                let driest = points[0].moisture;
                points[0].moisture = points[2].moisture;
                points[2].moisture = driest;
            }),
            ErrorKind::Refused,
            "the moisture of these points does not rise with the humidity",
        ),
    ] {
        let error = got.unwrap_err();
        assert_eq!((error.kind(), error.to_string().as_str()), (kind, message));
        assert!(error.hint().is_some(), "{message}");
    }
    with(|_| {}).unwrap();
}

/// The best value, u, and what the half-width at 95 % lies between. For normal
/// terms both are 1.96 u. Where some are Student's t Welch–Satterthwaite is a
/// little narrow, and each term with its own quantile, in squares, a little
/// wide. And whether all of them are normal.
fn drawn<S: Scalar>(estimate: &Estimate<S>) -> (f64, f64, [f64; 2], bool) {
    let measured = estimate.measured();
    let squares = estimate
        .terms()
        .iter()
        .map(|term| (coverage_95(term.dof) * term.contribution).powi(2));
    let wide = squares.sum::<f64>().sqrt();
    (
        estimate.best().base(),
        measured.u(),
        [measured.half_width_95(), wide],
        estimate.least_dof().is_infinite(),
    )
}

/// Draws of the same inputs through the same formula: what first order says of
/// the spread holds to the curvature, and no draw is impossible.
#[test]
fn draws_agree_with_first_order() {
    let at = Measured::new(LEAF_REFERENCE, 1.0, f64::INFINITY);
    let air = Measured::new(Ratio::of_base(0.6), 0.015, f64::INFINITY);
    let reading = OwnReading {
        humidity: Measured::new(Ratio::of_base(0.5), 0.01, f64::INFINITY),
        moisture: Measured::new(Moisture::of_base(0.12), 0.004, f64::INFINITY),
        temperature: at,
    };
    let fit = {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(3);
        Fit::to(Leaf::Generic, &noisy(&mut random), LEAF_REFERENCE).unwrap()
    };
    let leaf = Measured::new(Moisture::of_base(0.125), 0.003, f64::INFINITY);
    for isotherm in [
        Isotherm::of(Leaf::Generic),
        Isotherm::anchored(Leaf::Generic, reading).unwrap(),
        Isotherm::fitted(fit),
    ] {
        let there = InAir::new(isotherm.clone(), air, at);
        let back = KeptBy::new(isotherm, leaf, at);
        let equivalent = back.humidity().unwrap();
        for (simulation, (best, u, [narrow, wide], is_normal)) in [
            (there.simulate().unwrap(), drawn(&there.moisture().unwrap())),
            (
                back.simulate().unwrap().unwrap(),
                drawn(equivalent.estimate().unwrap()),
            ),
        ] {
            let (mut columns, outside) = simulation.columns(100_000, 7);
            let spread = Spread::of(&mut columns[0]);
            assert_eq!((outside, spread.not_finite), (0, 0));
            // Curvature moves the middle by up to a tenth of u and widens by up to
            // a twentieth here; over the wider reach of Student's t by twice that.
            let (low, high) = spread.shortest_95;
            let middle = 0.5 * (low + high);
            let reach = if is_normal { 0.1 } else { 0.2 };
            assert!((middle - best).abs() < reach * u, "{spread:?} {best} {u}");
            let half = 0.5 * (high - low);
            assert!(
                half > 0.94 * narrow && half < 1.06 * wide,
                "{spread:?} {narrow} {wide}"
            );
            // The logarithms of a fit are Student's t: the draws of its powers
            // have no standard deviation to hold.
            if is_normal {
                assert!((spread.mean - best).abs() < 0.1 * u, "{spread:?} {best}");
                assert!((spread.u / u - 1.0).abs() < 0.06, "{spread:?} {u}");
            }
        }
    }
}
