//! What a typed doubt comes to, as a standard uncertainty.

use gutta::Moisture;
use gutta::measure::{Kind, Reading, read};
use proptest::prelude::*;

/// Φ⁻¹(0.975), to the last bit: what a 95 % half-width is divided by.
const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Numbers are typed in decimals and converted: a handful of roundings.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-14 * b.abs()
}

fn reading(text: &str, kind: Kind) -> Reading {
    read(text, &[kind]).unwrap_or_else(|e| panic!("{text}: {e}"))
}

proptest! {
    #[test]
    fn behind_a_percentage_a_percentage_is_in_points(value in 5.0..40.0, half in 0.1..4.0) {
        let share = reading(&format!("{value}% ± {half}%"), Kind::Share).share().unwrap();
        prop_assert!(near(share.u(), half / 100.0 / NORMAL_95));
        let relative = reading(&format!("{value}% ± {half}% rel"), Kind::Share).share().unwrap();
        prop_assert!(near(relative.u(), value / 100.0 * half / 100.0 / NORMAL_95));
    }

    #[test]
    fn behind_anything_else_a_percentage_is_relative(value in 0.5..500.0, half in 0.1..20.0) {
        let mass = reading(&format!("{value} g ± {half}%"), Kind::Mass).mass().unwrap();
        prop_assert!(near(mass.u(), value * 1e-3 * half / 100.0 / NORMAL_95));
        let absolute = reading(&format!("{value} g ± {half} mg"), Kind::Mass).mass().unwrap();
        prop_assert!(near(absolute.u(), half * 1e-6 / NORMAL_95));
        let dose = reading(&format!("{value} g/kg ± {half}%"), Kind::Share).share().unwrap();
        prop_assert!(near(dose.u(), value * 1e-3 * half / 100.0 / NORMAL_95));
    }

    #[test]
    fn a_range_is_as_likely_anywhere(low in 5.0..20.0_f64, width in 0.5..10.0_f64) {
        // The ends as a person types them, to a tenth.
        let (low, high) = ((low * 10.0_f64).round() / 10.0, ((low + width) * 10.0).round() / 10.0);
        let share = reading(&format!("{low}-{high}%"), Kind::Share).share().unwrap();
        // The width is a difference of two converted numbers.
        let expected = (high - low) / 100.0 / 12.0_f64.sqrt();
        prop_assert!((share.u() - expected).abs() <= 1e-15);
        prop_assert!((share.value().value - (low + high) / 200.0).abs() <= 1e-15);
    }

    /// X in points comes over to m = X/(1 + X) as u/(1 + X)².
    #[test]
    fn a_doubt_on_dry_basis_shrinks_on_the_way_to_wet_basis(value in 5.0..40.0, half in 0.1..4.0) {
        let typed = reading(&format!("{value}% db ± {half}%"), Kind::Share);
        let wet = Moisture::read(&typed).unwrap();
        let x: f64 = value / 100.0;
        prop_assert!(near(wet.value().ratio().value, x / (1.0 + x)));
        prop_assert!(near(wet.u(), half / 100.0 / NORMAL_95 / (1.0 + x).powi(2)));
        // On wet basis it is what was typed.
        let typed = reading(&format!("{value}% ± {half}%"), Kind::Share);
        prop_assert!(near(Moisture::read(&typed).unwrap().u(), half / 100.0 / NORMAL_95));
    }
}
