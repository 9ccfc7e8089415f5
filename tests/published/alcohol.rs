use gutta::matter::alcohol::{density_at_20, share_by_mass, share_by_volume};
use gutta::measure::{Measured, Ratio, Scalar};
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
        let density = density_at_20(by_mass).value;
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

/// The sum of the published coefficients, term by term and not by Horner's
/// rule, is the density: no coefficient is mistyped.
#[test]
fn the_coefficients_are_those_of_oiml_r_22() {
    let terms: Vec<(i32, f64)> = table("alcohol/oiml-r22-1975.csv")
        .iter()
        .filter(|row| row.text("term") == "A")
        .map(|row| (row.text("k").parse().unwrap(), row.number("coefficient")))
        .collect();
    assert_eq!(terms.len(), 12);
    for percent in 0..=100 {
        let p = f64::from(percent) / 100.0;
        let sum: f64 = terms.iter().map(|&(k, a)| a * p.powi(k - 1)).sum();
        // The terms reach 7·10⁵ and cancel: 1e-9 of that is rounding.
        assert_close("density", density_at_20(Ratio::of_base(p)).value, sum, 1e-8);
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
