use gutta::matter::water::density;
use gutta::measure::{Scalar, Temperature, Unit};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

/// Tanaka 2001 at whole degrees, air-free water.
#[test]
fn the_density_of_water_is_the_recommended_one() {
    for row in table("water/tanaka-2001.csv") {
        let at = Temperature::of_base(Unit::CELSIUS.to_base(row.number("t_degC")));
        assert_close(
            &row.to_string(),
            density(at).value,
            row.number("tanaka_airfree_kg_m3"),
            row.number("tolerance_airfree_kg_m3"),
        );
    }
}

/// Another formulation altogether, IAPWS-95 by a general-purpose library: the
/// two published columns themselves differ by up to 0.0012 kg/m³ (at 40 °C),
/// and are printed to 0.0001.
#[test]
fn another_formulation_agrees() {
    for row in table("water/tanaka-2001.csv") {
        let at = Temperature::of_base(Unit::CELSIUS.to_base(row.number("t_degC")));
        assert_close(
            &row.to_string(),
            density(at).value,
            row.number("iapws95_coolprop_kg_m3"),
            0.0012 + 0.0001,
        );
    }
}
