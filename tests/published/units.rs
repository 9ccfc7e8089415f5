use gutta::measure::{Kind, read};
use gutta_tests::assert_close;
use gutta_tests::reference::table;

/// Units of the table that a person can type, in our spelling.
fn spelled(unit: &str) -> Option<&'static str> {
    Some(match unit {
        "pound" => "lb",
        "ounce" => "oz",
        "dram" => "dram",
        "grain" => "grain",
        "US pint" => "pint",
        "US cup" => "cup",
        "US fluid ounce" => "fl oz",
        "US tablespoon" => "tbsp",
        "US teaspoon" => "tsp",
        "metric teaspoon" => "metric tsp",
        "imperial fluid ounce" => "imp fl oz",
        _ => return None,
    })
}

fn base(text: &str) -> f64 {
    read(text, &[Kind::Mass, Kind::Volume]).unwrap().base()
}

/// 1959 international pound; 231 in³ to the US gallon; 4.54609 L to the
/// imperial one. To the last bits of an f64.
#[test]
fn customary_units_are_exact() {
    let mut read = 0;
    for row in table("units/customary.csv") {
        let Some(unit) = spelled(row.text("unit")) else {
            continue;
        };
        let got = base(&format!("1 {unit}")) / base(&format!("1 {}", row.text("to_unit")));
        let expected = row.number("factor");
        assert_close(&row.to_string(), got, expected, 4e-16 * expected);
        read += 1;
    }
    assert_eq!(read, 11);
}

#[test]
fn customary_units_are_whole_numbers_of_each_other() {
    let mut read = 0;
    for row in table("units/identities.csv") {
        let (Some(larger), Some(smaller)) =
            (spelled(row.text("larger")), spelled(row.text("smaller")))
        else {
            continue;
        };
        let one = base(&format!("1 {larger}"));
        let several = base(&format!("{} {smaller}", row.text("count")));
        assert_close(&row.to_string(), several, one, 4e-16 * one);
        read += 1;
    }
    assert_eq!(read, 7);
}

/// The seven-digit roundings that general tables carry must not come out.
#[test]
fn rounded_factors_do_not_come_out() {
    let mut read = 0;
    for row in table("units/rounded-factors.csv") {
        let Some(unit) = spelled(row.text("unit")) else {
            continue;
        };
        let got = base(&format!("1 {unit}")) / base(&format!("1 {}", row.text("to_unit")));
        let rounded = row.number("rounded_factor");
        let exact = row.number("exact_factor");
        assert_close(&row.to_string(), got, exact, 4e-16 * exact);
        assert!(!row.agrees(), "{row}");
        assert!(
            (got / rounded - 1.0).abs() > row.number("tolerance_rel"),
            "{row}: {got}"
        );
        read += 1;
    }
    assert_eq!(read, 6);
}

/// A unit that is not known is refused, and never taken for another by the
/// last of its words: no imperial pint for a US one, no troy ounce for an ounce.
#[test]
fn other_units_of_the_table_are_refused() {
    let mut refused = 0;
    for row in table("units/customary.csv") {
        let unit = row.text("unit");
        if spelled(unit).is_some() {
            continue;
        }
        for text in [
            format!("1 {unit}"),
            format!("1{unit}"),
            format!("2.5 {unit}s"),
        ] {
            let read = read(&text, &[Kind::Mass, Kind::Volume]);
            assert!(read.is_err(), "{text} is read as {read:?}");
        }
        refused += 1;
    }
    assert_eq!(refused, 10);
}
