//! Numbers that cannot be read, and numbers without a unit.

use super::{DOSE, MASS, SHARE, TEMPERATURE, refused};
use crate::error::ErrorKind;
use crate::measure::text::{Kind, read};

#[test]
fn nothing_is_no_quantity() {
    for text in ["", "  ", "\u{a0}\n"] {
        refused(
            MASS,
            ErrorKind::Empty,
            &[(
                text,
                "",
                "nothing stands here",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            )],
        );
    }
}

#[test]
fn a_bare_number_names_the_likely_units() {
    refused(
        MASS,
        ErrorKind::NoUnit,
        &[
            (
                "10",
                "10",
                "`10` has no unit",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            (
                " -½ ",
                "-½",
                "`-½` has no unit",
                "write -½ g, -½ oz, -½ lb, -½ kg or -½ mg",
            ),
            (
                "11-13",
                "11-13",
                "`11-13` has no unit",
                "write 11-13 g, 11-13 oz, 11-13 lb, 11-13 kg or 11-13 mg",
            ),
            (
                "10 ± 2",
                "10 ± 2",
                "`10 ± 2` has no unit",
                "write 10 ± 2 g, 10 ± 2 oz, 10 ± 2 lb, 10 ± 2 kg or 10 ± 2 mg",
            ),
            // The percentage can only be the doubt's.
            (
                "10 ± 5%",
                "10",
                "`10` has no unit",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            (
                "1 lb 6",
                "6",
                "`6` has no unit",
                "write 6 g, 6 oz, 6 lb, 6 kg or 6 mg",
            ),
            (
                "1-2 lb 6 oz",
                "1",
                "`1` has no unit",
                "write 1 g, 1 oz, 1 lb, 1 kg or 1 mg",
            ),
            (
                "10, 5 g",
                "10",
                "`10` has no unit",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            ("10 g - 12", "12", "`12` has no unit", "write 12 g"),
            (
                "10 g ± 0.5",
                "0.5",
                "the doubt `0.5` has no unit",
                "write ± 0.5 g",
            ),
            (
                "1 lb 6 oz ± 1",
                "1",
                "the doubt `1` has no unit",
                "write ± 1 oz",
            ),
        ],
    );
    let bare = |accepts: &[Kind], number: &str| {
        let error = read(number, accepts).unwrap_err();
        (error.to_string(), error.hint().unwrap().to_owned())
    };
    for (accepts, number, hint) in [
        (SHARE, "11.2", "write 11.2 %"),
        (TEMPERATURE, "70", "write 70 °C or 70 °F"),
        (&[Kind::DropsPerVolume], "20", "write 20 drops/mL"),
        (
            &[Kind::Mass, Kind::DropsPerVolume],
            "20",
            "write 20 g, 20 oz or 20 drops/mL",
        ),
        (DOSE, "7", "write 7 drops, 7 g, 7 mL or 7 %"),
    ] {
        let message = format!("`{number}` has no unit");
        assert_eq!(bare(accepts, number), (message, hint.to_owned()));
    }
    refused(
        SHARE,
        ErrorKind::NoUnit,
        &[
            (
                "11.2% ± 0.5",
                "0.5",
                "the doubt `0.5` has no unit",
                "write ± 0.5 %",
            ),
            (
                "11.2 ± 5% rel",
                "11.2",
                "`11.2` has no unit",
                "write 11.2 %",
            ),
        ],
    );
}

#[test]
fn a_number_with_two_readings_names_both() {
    refused(
        MASS,
        ErrorKind::Number,
        &[
            (
                "1,250 g",
                "1,250",
                "`1,250` can be read in two ways",
                "write 1.250 g or 1250 g",
            ),
            (
                "12,500fl. oz.",
                "12,500",
                "`12,500` can be read in two ways",
                "write 12.500 fl oz or 12500 fl oz",
            ),
            (
                "1250,250",
                "1250,250",
                "`1250,250` can be read in two ways",
                "write 1250.250 or 1250250",
            ),
            (
                "1.234,5 g",
                "1.234,5",
                "`1.234,5` has a comma and a point",
                "write 1234.5 g or 1.2345 g",
            ),
            (
                "1,234.5 g",
                "1,234.5",
                "`1,234.5` has a comma and a point",
                "write 1234.5 g or 1.2345 g",
            ),
            (
                "1,000,000 g",
                "1,000,000",
                "`1,000,000` has more than one decimal mark",
                "write 1000000 g if the marks only group the digits",
            ),
            (
                "1.000.000 g",
                "1.000.000",
                "`1.000.000` has more than one decimal mark",
                "write 1000000 g if the marks only group the digits",
            ),
            (
                "1 lb,6 oz",
                "1 lb,6",
                "`1 lb,6` can be read in two ways",
                "write 1 lb 6 oz or 1 lb 0.6 oz",
            ),
            (
                "1 lb.6 oz",
                "1 lb.6",
                "`1 lb.6` can be read in two ways",
                "write 1 lb 6 oz or 1 lb 0.6 oz",
            ),
        ],
    );
}

#[test]
fn what_is_no_number_is_not_read() {
    refused(
        MASS,
        ErrorKind::Number,
        &[
            (
                "g",
                "g",
                "`g` does not begin with a number",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            (
                " about 10 g",
                "about",
                "`about` does not begin with a number",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            (
                "--5 g",
                "--5",
                "`--5` does not begin with a number",
                "write 10 g, 10 oz, 10 lb, 10 kg or 10 mg",
            ),
            (
                "NaN g",
                "NaN",
                "`NaN` is no number to measure",
                "write it in digits",
            ),
            (
                "-inf g",
                "-inf",
                "`-inf` is no number to measure",
                "write it in digits",
            ),
            (
                "∞ g",
                "∞",
                "`∞` is no number to measure",
                "write it in digits",
            ),
            (
                "10 g ± NaN g",
                "NaN",
                "`NaN` is no number to measure",
                "write it in digits",
            ),
            (
                "1_000 g",
                "1_000",
                "`1_000` has its digits in groups",
                "write 1000",
            ),
            (
                "1'000'000 g",
                "1'000'000",
                "`1'000'000` has its digits in groups",
                "write 1000000",
            ),
            (
                "1\u{202f}250 g",
                "1\u{202f}250",
                "`1 250` is two numbers",
                "write one number, or a unit behind each",
            ),
            (
                "1/0 g",
                "1/0",
                "`1/0` is not a fraction",
                "write a fraction of whole numbers, as in 1 1/2 or ½",
            ),
            (
                "1.5/2 g",
                "1.5/2",
                "`1.5/2` is not a fraction",
                "write a fraction of whole numbers, as in 1 1/2 or ½",
            ),
            (
                "1.5½ g",
                "1.5½",
                "`1.5½` is not a fraction",
                "write a fraction of whole numbers, as in 1 1/2 or ½",
            ),
            (
                "1 3/2 g",
                "1 3/2",
                "`1 3/2` is not a fraction",
                "write a fraction of whole numbers, as in 1 1/2 or ½",
            ),
        ],
    );
}

#[test]
fn a_number_must_be_held() {
    const SMALLER: &str = "write a larger unit and a smaller number";
    const LARGER: &str = "write a smaller unit and a larger number";
    refused(
        MASS,
        ErrorKind::OutOfRange,
        &[
            ("1e999 g", "1e999", "`1e999` is too large a number", SMALLER),
            (
                "1e308 Mg",
                "1e308 Mg",
                "`1e308 Mg` is too large a number",
                SMALLER,
            ),
            (
                "-1e308 Mg",
                "-1e308 Mg",
                "`-1e308 Mg` is too large a number",
                SMALLER,
            ),
            ("0e400 g", "0e400", "`0e400` is too large a number", SMALLER),
            (
                "-1e308 kg to 1e308 kg",
                "-1e308 kg to 1e308 kg",
                "`-1e308 kg to 1e308 kg` is too large a number",
                SMALLER,
            ),
            (
                "1e300 kg ± 1e300 %",
                "1e300 %",
                "`1e300 %` is too large a number",
                SMALLER,
            ),
            (
                "1e-400 g",
                "1e-400",
                "`1e-400` is too small a number",
                LARGER,
            ),
            (
                "1e-323 mg",
                "1e-323 mg",
                "`1e-323 mg` is too small a number",
                LARGER,
            ),
        ],
    );
}
