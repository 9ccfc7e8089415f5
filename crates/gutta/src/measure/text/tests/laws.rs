//! What holds for every text and every reading.

use proptest::prelude::*;

use super::{ALL, near};
use crate::measure::text::spelling::UNITS;
use crate::measure::text::{Doubt, Kind, Reading, read, read_leading};

/// Texts of the grammar's own characters and words, in any order.
fn biased() -> impl Strategy<Value = String> {
    let pieces = [
        "0",
        "1",
        "10",
        "250",
        "1e3",
        "e",
        ".",
        ",",
        ", ",
        " ",
        "\u{a0}",
        "/",
        "½",
        "⅞",
        "±",
        "+-",
        "+/-",
        "-",
        "–",
        "−",
        "to",
        "rel",
        "(",
        ")",
        "%",
        "% db",
        "wb",
        "dry basis",
        "vol",
        "‰",
        "g",
        "kg",
        "mg",
        "Mg",
        "MG",
        "lb",
        "oz",
        "fl",
        "oz.",
        "tsp",
        "metric",
        "gr",
        "t",
        "m",
        "°",
        "°C",
        "℉",
        "K",
        "µL",
        "cm³",
        "cm3",
        "per",
        "/mL",
        "drops",
        "1 lb 6 oz",
        "NaN",
        "inf",
        "_",
        "'",
        "∞",
        "²",
        "٣",
        "𝟏",
        "\u{0}",
        "\u{301}",
        "ﬁ",
        "İ",
        "ß",
        "\n",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..12)
        .prop_map(|pieces| pieces.concat())
}

/// A number as it may be typed.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9]{1,5}",
        "[0-9]{0,3}\\.[0-9]{1,5}",
        "[0-9]{1,3},[0-9]{1,2}",
        "[1-9][eE]-?[0-9]",
        "[1-9]?[½¼¾⅓⅔⅛⅜⅝⅞]",
        "[0-9]/[1-9]",
        "[0-9]{1,2} [1-3]/[4-9]",
    ]
}

/// A quantity as it may be typed, of any kind and with any doubt.
fn quantity() -> impl Strategy<Value = String> {
    let sign = prop::sample::select(vec!["", "-", "+", "−"]);
    let unit = prop::sample::select(UNITS.to_vec());
    let blank = prop::sample::select(vec!["", " ", "\u{202f}"]);
    let spread = prop::sample::select(vec!["", "±", "+-", " – ", " to ", "rel", "basis", "shared"]);
    (sign, number(), unit, blank, spread, number()).prop_map(
        |(sign, value, unit, blank, spread, other)| {
            let unit = unit.plural();
            let typed = format!("{sign}{value}{blank}{unit}");
            match spread {
                "" => typed,
                "rel" => format!("{typed} ± {other} % rel"),
                "basis" => format!("{typed} db ± {other} %"),
                "shared" => format!("{sign}{value}±{other} {unit}"),
                _ => format!("{typed}{spread}{other}{blank}{unit}"),
            }
        },
    )
}

fn check(text: &str) -> Result<(), TestCaseError> {
    for accepts in [&ALL[..], &[Kind::Mass], &[]] {
        match read(text, accepts) {
            Ok(reading) => {
                prop_assert!(accepts.contains(&reading.kind()));
                prop_assert!(reading.base().is_finite());
                prop_assert!(reading.last_place().is_finite());
            }
            Err(error) => {
                let place = error.place().expect("an error has its place");
                prop_assert_eq!(&place.text, text);
                prop_assert!(text.get(place.at..place.at + place.len).is_some());
                prop_assert!(error.hint().is_some());
                let message = error.to_string();
                prop_assert!(!message.ends_with('.') && !message.contains(char::is_control));
            }
        }
        if let Ok((_, len)) = read_leading(text, accepts) {
            prop_assert!(text.is_char_boundary(len));
        }
    }
    Ok(())
}

/// What is printed is read as the same, whole and unbroken.
fn comes_back(reading: &Reading) -> Result<(), TestCaseError> {
    for printed in [reading.to_string(), reading.unbroken()] {
        let again = read(&printed, &[reading.kind()]);
        prop_assert_eq!(again.as_ref(), Ok(reading), "{}", printed);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_text_is_too_odd(text in any::<String>()) {
        check(&text)?;
    }

    #[test]
    fn no_mix_of_the_grammar_is_too_odd(text in biased()) {
        check(&text)?;
        if let Ok(reading) = read(&text, &ALL) {
            comes_back(&reading)?;
        }
    }

    #[test]
    fn what_is_printed_reads_back_equal(text in quantity()) {
        if let Ok(reading) = read(&text, &ALL) {
            comes_back(&reading)?;
        }
    }

    #[test]
    fn most_quantities_are_read(value in number(), which in 0..UNITS.len()) {
        let unit = UNITS[which];
        let reading = read(&format!("{value} {}", unit.plural()), &[unit.kind()]);
        prop_assert_eq!(reading.map(|r| r.unit()), Ok(unit));
    }

    /// The half-width typed is the half-width had, in any unit.
    #[test]
    fn a_doubt_survives(value in 1_u32..10_000, half in 0_u32..10_000, which in 0..UNITS.len()) {
        let unit = UNITS[which];
        let text = format!("{value} ± {half} {}", unit.plural());
        let reading = read(&text, &[unit.kind()]).expect("both have the unit");
        let want = f64::from(half) * unit.size();
        prop_assert!(matches!(reading.doubt(), Doubt::HalfWidth(got) if near(got, want)));
    }

    /// The middle of a range and its ends.
    #[test]
    fn a_range_survives(low in 0_u32..10_000, width in 1_u32..10_000, which in 0..UNITS.len()) {
        let unit = UNITS[which];
        let high = low + width;
        let text = format!("{low}-{high}{}", unit.plural());
        let reading = read(&text, &[unit.kind()]).expect("the range runs upwards");
        let (low, high) = (unit.to_base(low.into()), unit.to_base(high.into()));
        prop_assert_eq!(reading.doubt(), Doubt::Range { low, high });
        prop_assert!(near(reading.base(), low.midpoint(high)));
    }
}
