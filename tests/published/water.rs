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

/// Other formulations altogether: IAPWS-95 by two general-purpose libraries, and
/// the older scale of OIML R 22 at no alcohol. The README beside the table says
/// how far apart they are over it, 0.0012 and 0.0073 kg/m³; they are printed to
/// 0.0001.
#[test]
fn other_formulations_agree() {
    for row in table("water/tanaka-2001.csv") {
        let at = Temperature::of_base(Unit::CELSIUS.to_base(row.number("t_degC")));
        for (column, apart) in [
            ("iapws95_coolprop_kg_m3", 0.0012),
            ("iapws95_iapws_kg_m3", 0.0012),
            ("oiml_r22_water_kg_m3", 0.0073),
        ] {
            assert_close(
                &format!("{row} {column}"),
                density(at).value,
                row.number(column),
                apart + 0.0001,
            );
        }
    }
}
