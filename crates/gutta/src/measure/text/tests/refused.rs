//! Texts that are not read: which trouble, in which words, where.

use super::ALL;
use crate::error::ErrorKind;
use crate::measure::text::{Kind, read, read_leading};

/// Each text, the stretch pointed at, the message and the hint.
fn refused(accepts: &[Kind], kind: ErrorKind, rows: &[(&str, &str, &str, &str)]) {
    for (text, stretch, message, hint) in rows {
        let error = read(text, accepts).expect_err(text);
        let place = error.place().expect(text);
        assert_eq!(error.to_string(), *message, "{text}");
        assert_eq!(error.hint(), Some(*hint), "{text}");
        assert_eq!(error.kind(), kind, "{text}");
        assert_eq!(&text[place.at..place.at + place.len], *stretch, "{text}");
        assert_eq!(place.text, *text);
    }
}

const MASS: &[Kind] = &[Kind::Mass];
const SHARE: &[Kind] = &[Kind::Share];
const TEMPERATURE: &[Kind] = &[Kind::Temperature];
const DOSE: &[Kind] = &[Kind::Drops, Kind::Mass, Kind::Volume, Kind::Share];

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
        (
            SHARE,
            "11.2",
            "write 11.2 %, 11.2 g/kg, 11.2 ‰ or 11.2 mg/kg",
        ),
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
                "write 11.2 %, 11.2 g/kg, 11.2 ‰ or 11.2 mg/kg",
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

#[test]
fn a_unit_with_several_readings_names_them() {
    refused(
        &ALL,
        ErrorKind::AmbiguousUnit,
        &[
            (
                "10 gr",
                "gr",
                "`gr` can mean gram or grain",
                "write g or grain",
            ),
            (
                "10gr.",
                "gr.",
                "`gr.` can mean gram or grain",
                "write g or grain",
            ),
            (
                "10 GR-12 GR",
                "GR",
                "`GR` can mean gram or grain",
                "write g or grain",
            ),
            (
                "10 dr",
                "dr",
                "`dr` can mean dram, drachm or drop",
                "write dram or drops",
            ),
            (
                "10 ppt",
                "ppt",
                "`ppt` can mean parts per thousand or parts per trillion",
                "write ‰ or g/kg",
            ),
            (
                "2 t",
                "t",
                "`t` can mean tonne or teaspoon",
                "write Mg or tsp",
            ),
            (
                "2 T",
                "T",
                "`T` can mean tonne or tablespoon",
                "write Mg or tbsp",
            ),
            (
                "2 m",
                "m",
                "`m` can mean metre, milli- or minim",
                "write mL or mg",
            ),
            (
                "47.8 MG",
                "MG",
                "`MG` can mean milligram or megagram",
                "write mg or Mg",
            ),
            (
                "5 MG/KG",
                "MG/KG",
                "`MG/KG` can mean milligram or megagram per kilogram",
                "write mg/kg",
            ),
            (
                "5 Mg/g",
                "Mg/g",
                "`Mg/g` can mean milligram or megagram per gram",
                "write mg/g",
            ),
            (
                "10 g ± 5 gr",
                "gr",
                "`gr` can mean gram or grain",
                "write g or grain",
            ),
        ],
    );
}

#[test]
fn an_unknown_unit_suggests_the_nearest() {
    const LIKELY: &str = "write g, oz, lb, kg or mg";
    refused(
        MASS,
        ErrorKind::UnknownUnit,
        &[
            ("10 foo", "foo", "`foo` is not a unit known here", LIKELY),
            (
                "10 poundz",
                "poundz",
                "`poundz` is not a unit known here",
                "did you mean pound?",
            ),
            (
                "10 ounec",
                "ounec",
                "`ounec` is not a unit known here",
                "did you mean ounce?",
            ),
            (
                "10 lbz",
                "lbz",
                "`lbz` is not a unit known here",
                "did you mean lb?",
            ),
            (
                "10 kilog",
                "kilog",
                "`kilog` is not a unit known here",
                "did you mean kilogram?",
            ),
            ("0x10 g", "x10", "`x10` is not a unit known here", LIKELY),
            (
                "10 g/foo",
                "g/foo",
                "`g/foo` is not a unit known here",
                LIKELY,
            ),
            ("10#", "#", "`#` is not a unit known here", LIKELY),
            // Another kind's unit is near, and would not be taken.
            ("10 mll", "mll", "`mll` is not a unit known here", LIKELY),
            (
                "10 a\u{7}b",
                "a\u{7}b",
                "`a\u{fffd}b` is not a unit known here",
                LIKELY,
            ),
            (
                "10 averyveryverylongwordthatnobodywouldeverwrite",
                "averyveryverylongwordthatnobodywouldeverwrite",
                "`averyveryverylongwordthatnobodywouldever…` is not a unit known here",
                LIKELY,
            ),
        ],
    );
    // The case of a temperature matters.
    refused(
        TEMPERATURE,
        ErrorKind::UnknownUnit,
        &[
            (
                "70 f",
                "f",
                "`f` is not a unit known here",
                "did you mean F?",
            ),
            (
                "20 c",
                "c",
                "`c` is not a unit known here",
                "did you mean C?",
            ),
            (
                "20 °c",
                "°c",
                "`°c` is not a unit known here",
                "did you mean °C?",
            ),
            (
                "300 k",
                "k",
                "`k` is not a unit known here",
                "did you mean K?",
            ),
            (
                "20 x",
                "x",
                "`x` is not a unit known here",
                "write °C or °F",
            ),
        ],
    );
    refused(
        &[Kind::Volume],
        ErrorKind::UnknownUnit,
        &[
            (
                "2 fl",
                "fl",
                "`fl` is not a unit known here",
                "did you mean fl oz?",
            ),
            (
                "2 millilitrs",
                "millilitrs",
                "`millilitrs` is not a unit known here",
                "did you mean millilitre?",
            ),
        ],
    );
}

#[test]
fn another_kind_is_named_with_the_one_asked_for() {
    refused(
        MASS,
        ErrorKind::WrongKind,
        &[
            (
                "5 mL",
                "5 mL",
                "`5 mL` is a volume, and a mass is asked for",
                "write it in g, oz, lb, kg or mg",
            ),
            (
                "20/mL",
                "20/mL",
                "`20/mL` is a number of drops per volume, and a mass is asked for",
                "write it in g, oz, lb, kg or mg",
            ),
            (
                "11-13 %",
                "11-13 %",
                "`11-13 %` is a share, and a mass is asked for",
                "write it in g, oz, lb, kg or mg",
            ),
            (
                "7 drops ± 1 drop",
                "7 drops",
                "`7 drops` is a count of drops, and a mass is asked for",
                "write it in g, oz, lb, kg or mg",
            ),
            (
                "1 lb 5 mL",
                "5 mL",
                "`5 mL` is a volume, and stands behind a mass",
                "write one quantity",
            ),
        ],
    );
    refused(
        DOSE,
        ErrorKind::WrongKind,
        &[
            (
                "70 °F",
                "70 °F",
                "`70 °F` is a temperature, and a count of drops, a mass, a volume or a share is \
                 asked for",
                "write it in drops, g, mL or %",
            ),
            (
                "1003 hPa",
                "1003 hPa",
                "`1003 hPa` is a pressure, and a count of drops, a mass, a volume or a share is \
                 asked for",
                "write it in drops, g, mL or %",
            ),
            (
                "0.9 g/mL",
                "0.9 g/mL",
                "`0.9 g/mL` is a density, and a count of drops, a mass, a volume or a share is \
                 asked for",
                "write it in drops, g, mL or %",
            ),
        ],
    );
}

#[test]
fn a_doubt_must_make_sense() {
    const BOTH_ENDS: &str = "write both ends of the range, as in 11–13 %";
    refused(
        &ALL,
        ErrorKind::Doubt,
        &[
            (
                "± 5 g",
                "±",
                "there is no value before `±`",
                "write the value first, as in 11.2 % ± 0.5 %",
            ),
            (
                "10 g ±",
                "±",
                "there is no number behind `±`",
                "write the half-width of the 95 % interval, as in 11.2 % ± 0.5 %",
            ),
            (
                "10 g +- some",
                "+-",
                "there is no number behind `+-`",
                "write the half-width of the 95 % interval, as in 11.2 % ± 0.5 %",
            ),
            ("10 g -", "-", "there is no number behind `-`", BOTH_ENDS),
            ("10 g to", "to", "there is no number behind `to`", BOTH_ENDS),
            (
                "11% ± -1%",
                "-1%",
                "the doubt `-1%` is below zero",
                "write ± 1 %",
            ),
            (
                "10 lb ± 1 lb 2 oz",
                "1 lb 2 oz",
                "the doubt `1 lb 2 oz` has several parts",
                "write it as one number with one unit",
            ),
            (
                "10 g ± 50 mL",
                "50 mL",
                "the doubt `50 mL` is a volume, and the value is a mass",
                "write the doubt in g or %",
            ),
            (
                "10 g ± 5 ‰",
                "5 ‰",
                "the doubt `5 ‰` is a share, and the value is a mass",
                "write the doubt in g or %",
            ),
            (
                "12% ± 1 g",
                "1 g",
                "the doubt `1 g` is a mass, and the value is a share",
                "write the doubt in %",
            ),
            (
                "20 °C ± 1 g",
                "1 g",
                "the doubt `1 g` is a mass, and the value is a temperature",
                "write the doubt in °C",
            ),
            (
                "70 °F ± 5%",
                "5%",
                "the doubt `5%` is a percentage, and degrees have none",
                "write ± 1 °F",
            ),
            (
                "20 °C ± 5% rel",
                "5%",
                "the doubt `5%` is a percentage, and degrees have none",
                "write ± 1 °C",
            ),
            (
                "10 g ± 5 g rel",
                "rel",
                "`rel` makes a percentage relative, and there is none",
                "leave it out, or write ± 5 % rel",
            ),
            (
                "10 g - 12 mL",
                "12 mL",
                "`12 mL` is a volume, and the range begins with a mass",
                "write both ends in one unit, as in 11–13 %",
            ),
            (
                "13-11%",
                "13-11%",
                "the range `13-11%` runs downwards",
                "write 11–13 %",
            ),
            (
                "12 g - 900 mg",
                "12 g - 900 mg",
                "the range `12 g - 900 mg` runs downwards",
                "write 900 mg – 12 g",
            ),
            (
                "1-1/2 oz",
                "1-1/2 oz",
                "the range `1-1/2 oz` runs downwards",
                "write 1 1/2 oz, or 1/2–1 oz for a range",
            ),
            (
                "11-11% db",
                "11-11% db",
                "the range `11-11% db` has no width",
                "write 11 % db",
            ),
            (
                "11-13% ± 1%",
                "± 1%",
                "`± 1%` is a second doubt",
                "write either a range or one ±",
            ),
            (
                "11% ± 1% - 13%",
                "- 13%",
                "`- 13%` is a second doubt",
                "write either a range or one ±",
            ),
        ],
    );
}

#[test]
fn what_belongs_to_no_quantity_is_refused() {
    const BASES: &str = "write wb (of the whole), db (of the dry matter) or neither";
    refused(
        &ALL,
        ErrorKind::Stray,
        &[
            (
                "10 g foo",
                "foo",
                "`foo` stands behind the quantity",
                "write 10 g alone",
            ),
            (
                "10 g + 5 g",
                "+ 5 g",
                "`+ 5 g` stands behind the quantity",
                "write 10 g alone",
            ),
            (
                "10 g)",
                ")",
                "`)` stands behind the quantity",
                "write 10 g alone",
            ),
            (
                "10 g,",
                ",",
                "`,` stands behind the quantity",
                "write 10 g alone",
            ),
            (
                "15 g/kg db",
                "db",
                "`db` stands behind the quantity",
                "write 15 g/kg alone",
            ),
            (
                "70% vol",
                "vol",
                "`vol` behind a percentage is no basis",
                BASES,
            ),
            (
                "70% w/w",
                "w/w",
                "`w/w` behind a percentage is no basis",
                BASES,
            ),
            (
                "6 oz 1 lb",
                "1 lb",
                "`1 lb` has no smaller unit than the part before it",
                "write each unit once, the larger first, as in 1 lb 6 oz",
            ),
            (
                "1 lb 2 lb",
                "2 lb",
                "`2 lb` has no smaller unit than the part before it",
                "write each unit once, the larger first, as in 1 lb 6 oz",
            ),
            (
                "11% 13%",
                "13%",
                "`13%` stands behind another, and a share has no parts",
                "write one number, or a range such as 11–13 %",
            ),
            (
                "20 °C 5 °F",
                "5 °F",
                "`5 °F` stands behind another, and a temperature has no parts",
                "write one number, or a range such as 11–13 %",
            ),
            (
                "11% db to 13% wb",
                "11% db to 13% wb",
                "`11% db to 13% wb` is on two bases",
                "write wb or db once, at the end",
            ),
            (
                "10 g ± 5% db",
                "10 g ± 5% db",
                "`10 g ± 5% db` has a basis, and the value is no percentage",
                "leave the basis out",
            ),
            (
                "(11.2 ± 0.5% %",
                "(11.2 ± 0.5%",
                "`(11.2 ± 0.5%` has an open bracket",
                "close it, as in (11.2 ± 0.5) %",
            ),
            (
                "(10 g) mg",
                "mg",
                "`mg` is a second unit",
                "write the unit once: inside the brackets or behind them",
            ),
        ],
    );
}

#[test]
fn a_leading_quantity_is_refused_in_the_same_words() {
    for (text, message) in [
        ("", "nothing stands here"),
        ("casing", "`casing` does not begin with a number"),
        ("10 casing", "`casing` is not a unit known here"),
        ("10", "`10` has no unit"),
        ("10 gr casing", "`gr` can mean gram or grain"),
        ("1,250 g casing", "`1,250` can be read in two ways"),
        ("5 mL casing", "`5 mL` is a volume, and a mass is asked for"),
        ("10 g ± casing", "there is no number behind `±`"),
    ] {
        let error = read_leading(text, MASS).unwrap_err();
        assert_eq!(error.to_string(), message, "{text}");
    }
}
