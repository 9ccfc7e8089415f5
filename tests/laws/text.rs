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

/// Quantities as people type them.
fn typed() -> impl Strategy<Value = String> {
    let unit = prop::sample::select(vec![
        "g", "kg", "oz", "mL", "tsp", "fl oz", "g/mL", "%", "‰", "g/kg", "hPa", "drops", "/mL",
    ]);
    let doubt = prop::sample::select(vec!["", " ± 5%", "±2 %", " +- 0.5%"]);
    (0..100_000_u32, 0..4_usize, unit, doubt).prop_map(|(number, decimals, unit, doubt)| {
        let number = f64::from(number) / 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
        format!("{number:.decimals$} {unit}{doubt}")
    })
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
