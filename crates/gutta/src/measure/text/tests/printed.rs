//! Numbers for people.

use crate::measure::text::{Digits, Kind, Manner, Unit, number, quantity, read};
use crate::measure::{Mass, Scalar, Temperature, Volume};
use proptest::prelude::*;

#[test]
fn decimals_are_rounded_once_and_right() {
    for (value, decimals, printed) in [
        (16.8, 2, "16.80"),
        (0.0, 2, "0.00"),
        // Ties go to the even figure, on the exact binary value.
        (0.125, 2, "0.12"),
        (0.375, 2, "0.38"),
        (2.5, 0, "2"),
        (3.5, 0, "4"),
        // 1.005 is a hair below in binary.
        (1.005, 2, "1.00"),
        (-0.004, 2, "0.00"),
        (-0.006, 2, "-0.01"),
        (-0.0, 0, "0"),
        (1234.0, -1, "1230"),
        (1235.0, -1, "1240"),
        (1250.0, -2, "1200"),
        (1350.0, -2, "1400"),
        (96.0, -2, "100"),
        (50.0, -2, "0"),
        (50.1, -2, "100"),
        (-96.0, -2, "-100"),
        (-4.0, -1, "0"),
        (4.0, -3, "0"),
        (0.0, -1, "0"),
        (f64::INFINITY, -1, "inf"),
        (1.0, i32::MIN, "0"),
    ] {
        assert_eq!(number(value, decimals), printed, "{value} to {decimals}");
    }
}

fn grams(value: f64, digits: Digits) -> String {
    quantity(value * 1e-3, Unit::GRAM, digits).replace('\u{a0}', " ")
}

#[test]
fn figures_are_significant() {
    for (value, figures, printed) in [
        (16.804, 4, "16.80 g"),
        (0.099_96, 3, "0.100 g"),
        (9.996, 3, "10.0 g"),
        (1234.5, 2, "1200 g"),
        (0.0, 4, "0 g"),
        (5.0, 0, "5 g"),
        (-16.804, 3, "-16.8 g"),
    ] {
        assert_eq!(grams(value, Digits::Significant(figures)), printed);
    }
}

#[test]
fn a_step_is_not_lost() {
    for (step, printed) in [
        (0.01, "356.79 g"),
        (0.1, "356.8 g"),
        (0.2, "356.8 g"),
        (0.5, "356.8 g"),
        (1.0, "357 g"),
        (2.0, "357 g"),
        (10.0, "360 g"),
        (0.0, "357 g"),
    ] {
        assert_eq!(
            grams(356.789, Digits::Place(step * 1e-3)),
            printed,
            "{step}"
        );
    }
}

/// Two figures of the half-width and the value to the same place; 0.0996
/// rounds to 0.10 and keeps two.
#[test]
fn a_doubt_sets_the_place() {
    for (value, half, printed) in [
        (16.804, 4.0, "16.8 g ± 4.0 g"),
        (16.804, 0.0996, "16.80 g ± 0.10 g"),
        (16.804, 0.0994, "16.804 g ± 0.099 g"),
        (16.804, 9.96, "17 g ± 10 g"),
        (356.8, 123.0, "360 g ± 120 g"),
        (0.02, 4.0, "0.0 g ± 4.0 g"),
        // Without a doubt, four figures.
        (16.804, 0.0, "16.80 g"),
        (16.804, f64::NAN, "16.80 g"),
        (16.804, f64::INFINITY, "16.80 g"),
    ] {
        assert_eq!(grams(value, Digits::Doubt(half * 1e-3)), printed);
        let alone = printed.split(" ± ").next();
        assert_eq!(
            Some(grams(value, Digits::Within(half * 1e-3, 17)).as_str()),
            alone
        );
    }
}

#[test]
fn fixed_units_print_with_a_space_that_does_not_break() {
    for (base, unit, digits, printed) in [
        (47.8e-6, Unit::MILLIGRAM, Digits::Significant(3), "47.8 mg"),
        (0.15, Unit::PERCENT, Digits::Significant(3), "15.0 %"),
        (0.015, Unit::PER_MILLE, Digits::Significant(3), "15.0 ‰"),
        (
            0.015,
            Unit::GRAM_PER_KILOGRAM,
            Digits::Significant(2),
            "15 g/kg",
        ),
        (1.0, Unit::DROP, Digits::Significant(1), "1 drop"),
        (7.0, Unit::DROP, Digits::Significant(1), "7 drops"),
        (
            20e6,
            Unit::DROP_PER_MILLILITRE,
            Digits::Doubt(3e6),
            "20.0 drops/mL ± 3.0 drops/mL",
        ),
        // Half a degree is a difference: no zero point in the half-width.
        (
            294.65,
            Unit::CELSIUS,
            Digits::Doubt(0.5),
            "21.50 °C ± 0.50 °C",
        ),
        (
            0.112,
            Unit::PERCENT,
            Digits::Doubt(0.005),
            "11.20 % ± 0.50 %",
        ),
    ] {
        let got = quantity(base, unit, digits);
        assert_eq!(got.replace('\u{a0}', " "), printed);
        assert_eq!(
            got.matches(' ').count(),
            if got.contains('±') { 2 } else { 0 }
        );
    }
}

fn manner(typed: &str) -> Manner {
    let kinds = [Kind::Mass, Kind::Volume, Kind::Temperature, Kind::Share];
    Manner::of(&read(typed, &kinds).unwrap())
}

fn mass_as(typed: &str, grams: f64, digits: Digits) -> String {
    let mass = Mass::of_base(grams * 1e-3);
    manner(typed).mass(mass, digits).replace('\u{a0}', " ")
}

#[test]
fn a_mass_is_answered_in_the_unit_typed() {
    for (typed, grams, printed) in [
        ("11 %", 664.5, "664.5 g"),
        ("300 g", 664.5, "664.5 g"),
        ("300 g", 0.05, "0.05000 g"),
        ("1 kg", 664.5, "0.6645 kg"),
        ("1 kg", 66.45, "66.45 g"),
        ("500 mg", 0.6645, "664.5 mg"),
        ("500 mg", 66.45, "66.45 g"),
        ("2 Mg", 664_500.0, "0.6645 Mg"),
        ("2 Mg", 6645.0, "6.645 kg"),
        ("2 Mg", 66.45, "66.45 g"),
        ("10 tonnes", 348_800.0, "0.3488 tonnes"),
        ("10 tonnes", 10_348_800.0, "10.35 tonnes"),
        ("10 tonnes", 6645.0, "6.645 kg"),
        ("12 oz", 664.5, "23.44 oz"),
        ("100 grains", 6.645, "102.5 grains"),
        ("3 drams", 6.645, "3.750 drams"),
        ("2 lb", 664.5, "1 lb 7.44 oz"),
        ("1 lb 6 oz", 664.5, "1 lb 7.44 oz"),
        ("1 lb 6 oz", -664.5, "-1 lb 7.44 oz"),
        ("1 lb 6 oz", 300.0, "10.58 oz"),
        ("1 lb 6 oz", 907.184_74, "2 lb 0.00 oz"),
    ] {
        assert_eq!(
            mass_as(typed, grams, Digits::Significant(4)),
            printed,
            "{typed}"
        );
    }
}

/// 453.5 g is 15.997 oz: with one decimal a pound, with three not.
#[test]
fn sixteen_rounded_ounces_are_a_pound() {
    for (digits, printed) in [
        (Digits::Significant(3), "1 lb 0.0 oz"),
        (Digits::Significant(5), "15.997 oz"),
        (Digits::Doubt(0.004), "1 lb 0.00 oz ± 0.14 oz"),
        (Digits::Doubt(0.5), "1 lb 0 oz ± 18 oz"),
    ] {
        let got = mass_as("1 lb", 453.5, digits);
        assert_eq!(got, printed, "{digits:?}");
    }
}

#[test]
fn volumes_and_temperatures_are_answered_as_typed() {
    let volume = |typed: &str, millilitres: f64| {
        let volume = Volume::of_base(millilitres * 1e-6);
        let printed = manner(typed).volume(volume, Digits::Significant(3));
        printed.replace('\u{a0}', " ")
    };
    assert_eq!(volume("300 g", 16.8), "16.8 mL");
    assert_eq!(volume("1 L", 168.0), "0.168 L");
    assert_eq!(volume("1 L", 16.8), "16.8 mL");
    assert_eq!(volume("50 µL", 0.168), "168 µL");
    assert_eq!(volume("50 µL", 1.68), "1.68 mL");
    assert_eq!(volume("2 tsp", 16.8), "3.41 tsp");

    let temperature = Temperature::of_base(294.261_111);
    let both = manner("300 g").and(&read("70 °F", &[Kind::Temperature]).unwrap());
    assert_eq!(
        both.temperature(temperature, Digits::Place(0.1)),
        "70.0\u{a0}°F"
    );
    assert_eq!(
        both.mass(Mass::of_base(0.3), Digits::Place(0.001)),
        "300\u{a0}g"
    );
    let celsius = Manner::default().temperature(temperature, Digits::Place(0.1));
    assert_eq!(celsius, "21.1\u{a0}°C");
}

proptest! {
    /// A printed number is within half a place, and never a negative zero.
    #[test]
    fn a_printed_number_is_near(value in -1e9..1e9_f64, decimals in -6..6_i32) {
        let printed = number(value, decimals);
        let back: f64 = printed.parse().unwrap();
        let half = 0.5 * 10_f64.powi(-decimals);
        // The decimal read back is rounded to a binary number, and so is the
        // difference: an ulp of the value each.
        let ulps = 2.0 * f64::EPSILON * value.abs();
        prop_assert!((back - value).abs() <= half + ulps);
        prop_assert!(back != 0.0 || !printed.starts_with('-'));
    }

    /// What is printed with its doubt is read as a doubt of two figures.
    #[test]
    fn an_answer_can_be_the_next_question(value in 1.0..1e4_f64, half in 0.001..100.0_f64) {
        let printed = grams(value, Digits::Doubt(half * 1e-3));
        let reading = read(&printed, &[Kind::Mass]).unwrap();
        let mass = reading.mass().unwrap();
        let half = half * 1e-3;
        prop_assert!((mass.half_width_95() - half).abs() <= 0.051 * half);
        prop_assert!((mass.value().value - value * 1e-3).abs() <= 0.051 * half);
    }

    /// Pounds and ounces add up to what was printed.
    #[test]
    fn pounds_and_ounces_add_up(grams in 0.0..1e5_f64) {
        let printed = mass_as("1 lb", grams, Digits::Place(1e-6));
        let back = read(&printed, &[Kind::Mass]).unwrap().mass().unwrap();
        prop_assert!((back.value().value - grams * 1e-3).abs() < 1e-6);
        prop_assert!(!printed.contains(" 16.0"));
    }
}
