use gutta::matter::alcohol::{density, share_by_mass, share_by_volume};
use gutta::measure::{Measured, ROOM_TEMPERATURE, Ratio, Scalar, Temperature};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

/// Strength by volume to share by mass and density, as computed from OIML R 22
/// and as printed in a dilution table.
#[test]
fn a_strength_by_volume_is_a_share_by_mass() {
    for row in table("alcohol/ethanol-volume-strength.csv") {
        let strength = Ratio::of_base(row.number("ethanol_vol_pct") / 100.0);
        let by_mass = share_by_mass(&Measured::exact(strength)).unwrap().value();
        let tolerance = row.number("tolerance_computed");
        assert_close(
            &row.to_string(),
            by_mass.value * 100.0,
            row.number("ethanol_mass_pct"),
            tolerance,
        );
        let density = density(by_mass, ROOM_TEMPERATURE).value;
        assert_close(
            &row.to_string(),
            density,
            row.number("rho20_oiml_kg_m3"),
            tolerance,
        );
        if row.agrees() {
            assert_close(
                &row.to_string(),
                density,
                row.number("rho20_printed_kg_m3"),
                row.number("tolerance_printed_kg_m3"),
            );
        }
        // The way back is the identity, to the last bits of the halving.
        assert_close(
            &row.to_string(),
            share_by_volume(by_mass).value,
            strength.value,
            1e-12,
        );
    }
}

/// The sum of all 54 published coefficients, term by term and not by Horner's
/// rule, is the density, at every fifth degree: no coefficient is mistyped, and
/// none has its digits swapped, which would show away from 20 °C only.
#[test]
fn the_coefficients_are_those_of_oiml_r_22() {
    let rows = table("alcohol/oiml-r22-1975.csv");
    assert_eq!(rows.len(), 54);
    let whole = |text: &str| text.parse::<i32>().ok();
    // The powers of the share and of the degrees above 20 °C.
    let terms: Vec<(i32, i32, f64)> = rows
        .iter()
        .map(|row| {
            let k = whole(row.text("k")).unwrap();
            let (share, warmer) = match row.text("term") {
                "A" => (k - 1, 0),
                "B" => (0, k),
                _ => (k, whole(row.text("i")).unwrap()),
            };
            (share, warmer, row.number("coefficient"))
        })
        .collect();
    for percent in (0..=100).step_by(2) {
        let p = f64::from(percent) / 100.0;
        for celsius in (-20..=40).step_by(5) {
            let warmer = f64::from(celsius) - 20.0;
            let sum: f64 = terms
                .iter()
                .map(|&(i, j, c)| c * p.powi(i) * warmer.powi(j))
                .sum();
            let temperature = Temperature::of_base(f64::from(celsius) + 273.15);
            // The terms reach 7·10⁵ and cancel: 1e-9 of that is rounding.
            assert_close(
                &format!("{percent} % at {celsius} °C"),
                density(Ratio::of_base(p), temperature).value,
                sum,
                1e-7,
            );
        }
    }
}

/// By definition: what holds no alcohol holds none by mass, and all is all.
#[test]
fn no_spirit_and_nothing_but_spirit_are_exact() {
    for share in [0.0, 1.0] {
        let strength = Measured::exact(Ratio::of_base(share));
        assert_eq!(share_by_mass(&strength).unwrap().value().base(), share);
    }
}
