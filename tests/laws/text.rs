//! Text in and text out.

use gutta::measure::{Kind, read};
use proptest::prelude::*;

const ALL: &[Kind] = &[
    Kind::Mass,
    Kind::Volume,
    Kind::Density,
    Kind::Share,
    Kind::Temperature,
    Kind::Pressure,
    Kind::Drops,
    Kind::DropsPerVolume,
];

/// Quantities as people type them: one number with or without a doubt, a range,
/// pounds with ounces, moisture on a basis.
fn typed() -> impl Strategy<Value = String> {
    let number = (0..100_000_u32, 0..4_usize).prop_map(|(digits, decimals)| {
        let power = i32::try_from(decimals).expect("a few decimals");
        format!("{:.decimals$}", f64::from(digits) / 10_f64.powi(power))
    });
    let unit = prop::sample::select(vec![
        "g", "kg", "oz", "mL", "tsp", "fl oz", "g/mL", "%", "‰", "g/kg", "hPa", "drops", "/mL",
        "°C", "°F",
    ]);
    let doubt = prop::sample::select(vec!["", " ± 5%", "±2 %", " +- 0.5%"]);
    let basis = prop::sample::select(vec!["", " db", " wb", " db ± 0.5 %", " ± 3 % rel"]);
    prop_oneof![
        (number.clone(), unit.clone(), doubt)
            // Of a temperature no percentage is taken.
            .prop_map(|(number, unit, doubt)| match unit {
                "°C" | "°F" => format!("{number} {unit}"),
                _ => format!("{number} {unit}{doubt}"),
            }),
        (1..40_u32, 1..40_u32, unit)
            .prop_map(|(low, width, unit)| format!("{low}-{} {unit}", low + width)),
        (1..10_u32, 0..16_u32, number.clone()).prop_map(|(pounds, ounces, part)| {
            let part = part.bytes().filter(u8::is_ascii_digit).take(2);
            let tenths: String = part.map(char::from).collect();
            format!("{pounds} lb {ounces}.{tenths} oz")
        }),
        (number, basis).prop_map(|(number, basis)| format!("{number}%{basis}")),
    ]
}

proptest! {
    #[test]
    fn a_typed_quantity_printed_as_entered_reads_back_equal(text in typed()) {
        let once = read(&text, ALL).unwrap();
        let twice = read(&once.to_string(), ALL).unwrap();
        prop_assert_eq!(&once, &twice);
        prop_assert_eq!(once.to_string(), twice.to_string());
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>()) {
        if let Err(error) = read(&text, ALL) {
            let place = error.place().expect("an error of a text has a place");
            prop_assert_eq!(&place.text, &text);
            prop_assert!(text.is_char_boundary(place.at));
            prop_assert!(text.is_char_boundary(place.at + place.len));
        }
    }
}
