use gutta::matter::vapour::{absolute_humidity, dew_point, humidity_at, saturation_pressure};
use gutta::measure::{HALF, Ratio, Scalar, Temperature, Unit};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

fn celsius(t: f64) -> Temperature {
    Temperature::of_base(Unit::CELSIUS.to_base(t))
}

#[test]
fn humid_air_is_that_of_the_tables() {
    let mut pressures = 0;
    for row in table("vapour/humid-air.csv") {
        let (t, rh) = (row.number("t_degC"), row.number("rh_pct"));
        let (at, humidity) = (celsius(t), Ratio::of_base(rh / 100.0));
        let sensor = |warmer: f64| humidity_at(humidity, at, celsius(t + warmer)).base() * 100.0;
        let got = match row.text("quantity") {
            "saturation_pressure" => {
                pressures += 1;
                saturation_pressure(at).base()
            }
            "absolute_humidity" => absolute_humidity(humidity, at).base() * 1000.0,
            "dew_point" => Unit::CELSIUS.from_base(dew_point(humidity, at).unwrap().base()),
            "sensor_1_K_warmer" => sensor(1.0),
            "sensor_1_K_colder" => sensor(-1.0),
            other => panic!("{row}: {other}"),
        };
        let (expected, tolerance) = (row.number("expected"), row.number("tolerance"));
        assert_close(&row.to_string(), got, expected, tolerance);
    }
    assert_eq!(pressures, 15);
}

/// Two values that IAPWS prints to check a program by (recalled): 611.657 Pa at
/// 273.16 K, to half of the last digit, and 0.101325 MPa at 373.1243 K, whose last
/// digit is worth 0.4 Pa. They lie outside the table, and two digits that change
/// places in a coefficient move the first by 0.01 Pa and more.
#[test]
fn the_equation_is_that_of_its_check_values() {
    for (kelvin, pascal, tolerance) in [(273.16, 611.657, 5e-4), (373.1243, 101_325.0, 0.2)] {
        let got = saturation_pressure(Temperature::of_base(kelvin)).base();
        assert_close("pressure", got, pascal, tolerance);
    }
}

/// By definition: saturated air is at its dew point. At 5 °C half of the vapour
/// is less than there is over water at 0 °C.
#[test]
fn the_dew_point_of_saturated_air_is_its_temperature() {
    let all = Ratio::of_base(1.0);
    for t in [0.0, 12.0, 40.0] {
        // The last bits of the halving.
        let dew = dew_point(all, celsius(t)).unwrap();
        assert_close("dew point", dew.base(), celsius(t).base(), 1e-10);
    }
    let error = dew_point(HALF, celsius(5.0)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the dew point of this air is below 0 °C, where frost forms instead"
    );
    assert!(error.is_refusal());
    assert!(dew_point(HALF, celsius(41.0)).is_err());
    assert!(dew_point(Ratio::of_base(1.01), celsius(20.0)).is_err());
}
