use gutta::ErrorKind;
use gutta::matter::{Check, Hygrometer, Salt};
use gutta::measure::{Measured, Ratio, Scalar, Temperature, Unit};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

fn celsius(t: f64) -> Measured<Temperature> {
    Measured::exact(Temperature::of_base(Unit::CELSIUS.to_base(t)))
}

fn exact(rh_pct: f64) -> Measured<Ratio> {
    Measured::exact(Ratio::of_base(rh_pct / 100.0))
}

/// Greenspan's polynomials and table, and two other tables; a misprint must not
/// come out.
#[test]
fn a_saturated_salt_keeps_its_humidity() {
    let (mut agreeing, mut half_widths, mut misprints) = (0, 0, 0);
    for row in table("salts/fixed-points.csv") {
        let salt = Salt::named(row.text("salt")).unwrap();
        let air = salt.humidity(&celsius(row.number("t_degC"))).unwrap();
        let got = air.best().base() * 100.0;
        let expected = row.number("expected_rh_pct");
        // A printed value may lie at the very edge of its rounding.
        let tolerance = row.number("tolerance") + 1e-4;
        if row.agrees() {
            assert_close(&row.to_string(), got, expected, tolerance);
            agreeing += 1;
        } else {
            assert!((got - expected).abs() > tolerance, "{row}: {got}");
            misprints += 1;
        }
        if !row.text("half_width_pct").is_empty() {
            // Rectangular: the half-width over √3; the same digits.
            let u = row.number("half_width_pct") / 100.0 / 3.0_f64.sqrt();
            assert_close(&row.to_string(), air.u(), u, 1e-12);
            half_widths += 1;
        }
    }
    assert_eq!((agreeing, half_widths, misprints), (64, 16, 1));
}

/// The sum of the published coefficients, term by term and not by Horner's rule,
/// is the humidity: no coefficient is mistyped, not even in a digit that the
/// printed values do not show.
#[test]
fn the_coefficients_are_those_of_greenspan() {
    let rows = table("salts/greenspan-1977.csv");
    for salt in Salt::ALL {
        let terms: Vec<(i32, f64)> = rows
            .iter()
            .filter(|row| row.text("salt") == salt.formula())
            .map(|row| (row.text("k").parse().unwrap(), row.number("coefficient")))
            .collect();
        assert!(terms.len() >= 2, "{salt:?}");
        for t in 15..=35 {
            let t = f64::from(t);
            let sum: f64 = terms.iter().map(|&(k, a)| a * t.powi(k)).sum();
            let got = salt.relative_humidity(celsius(t).value()).base() * 100.0;
            // Rounding of a sum of four terms, and of a temperature in kelvin.
            assert_close(salt.formula(), got, sum, 1e-12);
        }
    }
}

/// The half-widths that were not read are recalled: that they go on smoothly
/// from row to row, no more than by three tenths, is all that can be asked.
#[test]
fn the_half_widths_go_on_smoothly() {
    for salt in Salt::ALL {
        let u: Vec<f64> = [15.0, 20.0, 25.0, 30.0, 35.0]
            .into_iter()
            .filter_map(|t| salt.humidity(&celsius(t)).ok().map(|air| air.u()))
            .collect();
        assert!(u.len() >= 4, "{salt:?}");
        for pair in u.windows(2) {
            assert!((0.7..=1.3).contains(&(pair[1] / pair[0])), "{salt:?} {u:?}");
        }
    }
}

/// Between two rows the half-width goes in a straight line: 0.18 % at 15 °C, 0.14
/// % at 20 °C.
#[test]
fn the_half_width_goes_straight_between_the_rows() {
    let air = Salt::SodiumChloride.humidity(&celsius(17.5)).unwrap();
    assert_close("u", air.u(), 0.0016 / 3.0_f64.sqrt(), 1e-12);
    assert_eq!(air.budget(), [("fixed point", 1.0)]);
}

/// A wrong sign that two public copies print would make it 10.89 %.
#[test]
fn lithium_chloride_is_not_the_misprint() {
    let air = Salt::LithiumChloride.humidity(&celsius(25.0)).unwrap();
    let got = air.best().base() * 100.0;
    assert!((got - 10.89).abs() > 0.4, "{got}");
}

#[test]
fn outside_its_temperatures_a_salt_is_refused() {
    for (salt, t, message) in [
        (
            Salt::SodiumChloride,
            14.0,
            "the temperature of the salt must be from 15 °C to 35 °C, not 14 °C",
        ),
        (
            Salt::PotassiumCarbonate,
            31.0,
            "the temperature of potassium carbonate must be from 15 °C to 30 °C, not 31 °C",
        ),
    ] {
        let error = salt.humidity(&celsius(t)).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Refused);
        assert_eq!(error.to_string(), message);
        assert!(error.hint().is_some());
    }
    for salt in Salt::ALL {
        salt.humidity(&celsius(30.0)).unwrap();
        assert_eq!(Salt::named(salt.name()), Some(salt));
        assert_eq!(Salt::named(salt.formula()), Some(salt));
    }
    assert_eq!(Salt::named("sugar"), None);
}

/// By hand: 33 % shown as 36 %, 75 % shown as 74 %; half-way between the two the
/// correction is the mean of −3 and +1, beyond them that of the nearer.
#[test]
fn a_hygrometer_is_put_right() {
    let low = Check {
        shows: exact(36.0),
        should: exact(33.0),
    };
    let high = Check {
        shows: exact(74.0),
        should: exact(75.0),
    };
    let one = Hygrometer::checked(low).unwrap();
    let both = [
        one.and(high).unwrap(),
        Hygrometer::checked(high).unwrap().and(low).unwrap(),
    ];
    let correction = |with: &Hygrometer, shows: f64| {
        let corrected = with.correct(&exact(shows)).unwrap();
        let correction = corrected.correction.best().base() * 100.0;
        let sum = shows + correction;
        assert_close("sum", corrected.humidity.best().base() * 100.0, sum, 1e-12);
        correction
    };
    // Rounding of percentages alone.
    for shows in [20.0, 55.0, 80.0] {
        assert_close("one", correction(&one, shows), -3.0, 1e-12);
    }
    for two in &both {
        for (shows, expected) in [
            (20.0, -3.0),
            (36.0, -3.0),
            (55.0, -1.0),
            (74.0, 1.0),
            (90.0, 1.0),
        ] {
            assert_close("two", correction(two, shows), expected, 1e-12);
        }
    }
}

/// u(c)² of one check is that of both its humidities; of two, half-way between
/// them, a quarter of the sum of all four.
#[test]
fn the_doubt_of_the_checks_is_that_of_the_correction() {
    let doubtful = |rh: f64, u: f64| Measured::new(Ratio::of_base(rh), u, f64::INFINITY);
    let check = |shows: f64, should: f64| Check {
        shows: doubtful(shows, 0.003),
        should: doubtful(should, 0.004),
    };
    let one = Hygrometer::checked(check(0.34, 0.34)).unwrap();
    let reading = doubtful(0.54, 0.012);
    let got = one.correct(&reading).unwrap();
    assert_close("correction", got.correction.u(), 0.005, 1e-15);
    assert_close("humidity", got.humidity.u(), 0.013, 1e-15);
    // With nothing to correct the reading's slope is one, and the way between the
    // checks carries no doubt of its own.
    let two = one.and(check(0.74, 0.74)).unwrap();
    let got = two.correct(&reading).unwrap();
    let u = (0.5_f64 * 0.005 * 0.005).sqrt();
    assert_close("correction", got.correction.u(), u, 1e-15);
    let names: Vec<&str> = got
        .humidity
        .budget()
        .iter()
        .map(|(name, _)| *name)
        .collect();
    assert_eq!(names.len(), 5, "{names:?}");
    assert_eq!(names[0], "reading");
}

#[test]
fn a_hygrometer_that_goes_backwards_is_refused() {
    let check = |shows, should| Check {
        shows: exact(shows),
        should: exact(should),
    };
    let first = Hygrometer::checked(check(60.0, 33.0)).unwrap();
    for second in [check(40.0, 75.0), check(60.0, 75.0), check(70.0, 33.0)] {
        let error = first.and(second).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the hygrometer does not show more in the damper air of the two"
        );
        assert!(error.is_refusal());
    }
    assert!(Hygrometer::checked(check(101.0, 75.0)).is_err());
    assert!(first.correct(&exact(-1.0)).is_err());
}
