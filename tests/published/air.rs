use gutta::matter::{air, water};
use gutta::measure::{Pressure, Ratio, Scalar, Temperature, Unit};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

fn celsius(t: f64) -> Temperature {
    Temperature::of_base(Unit::CELSIUS.to_base(t))
}

#[test]
fn the_density_of_air_is_that_of_the_simplified_equation() {
    for row in table("air/air-density.csv") {
        let density = air::density(
            celsius(row.number("t_degC")),
            Pressure::of_base(Unit::HECTOPASCAL.to_base(row.number("p_hPa"))),
            Ratio::of_base(row.number("rh_pct") / 100.0),
        );
        assert_close(
            &row.to_string(),
            density.value,
            row.number("simplified_kg_m3"),
            row.number("tolerance_simplified_kg_m3"),
        );
    }
}

/// The simplified form keeps to 2·10⁻⁴ of the full CIPM equation in its range
/// (OIML R 111-1), plus half a digit of the printed value; and so it does of
/// what was published by other equations of that family, printed to four or five
/// decimals.
#[test]
fn the_full_equation_agrees_within_the_range_of_the_simplified_one() {
    let (mut within, mut published) = (0, 0);
    for row in table("air/air-density.csv") {
        if row.text("within_2e-4_range") != "yes" {
            continue;
        }
        let full = row.number("cipm2007_full_kg_m3");
        let density = air::density(
            celsius(row.number("t_degC")),
            Pressure::of_base(Unit::HECTOPASCAL.to_base(row.number("p_hPa"))),
            Ratio::of_base(row.number("rh_pct") / 100.0),
        );
        assert_close(&row.to_string(), density.value, full, 2e-4 * full + 5e-6);
        within += 1;
        if !row.text("published_kg_m3").is_empty() {
            let printed = row.number("published_kg_m3");
            let tolerance = 2e-4 * printed + 5e-5;
            assert_close(&row.to_string(), density.value, printed, tolerance);
            published += 1;
        }
    }
    assert!(within >= 5, "{within} rows");
    assert_eq!(published, 3);
}

/// ISO 8655-6, table A.1, at whole degrees; the row says the humidity that is
/// assumed.
#[test]
fn the_z_factors_are_reproduced() {
    let mut published = 0;
    for row in table("air/iso-8655-6.csv") {
        let t = celsius(row.number("t_degC"));
        let air = air::density(
            t,
            Pressure::of_base(Unit::KILOPASCAL.to_base(row.number("p_kPa"))),
            Ratio::of_base(row.number("rh_pct") / 100.0),
        );
        // m³/kg is mL/mg: a thousand of them are mL/g.
        let z = air::volume_per_reading(water::density(t), air).value * 1000.0;
        // Every row was also worked out by another hand: half a digit there.
        assert_close(&row.to_string(), z, row.number("Z_computed_mL_per_g"), 5e-7);
        if row.text("Z_published_mL_per_g").is_empty() {
            continue;
        }
        let tolerance = row.number("tolerance_published_mL_per_g");
        assert!(tolerance <= 6e-5, "{row}");
        assert_close(
            &row.to_string(),
            z,
            row.number("Z_published_mL_per_g"),
            tolerance,
        );
        published += 1;
    }
    assert!(published > 100, "{published} published rows");
}
