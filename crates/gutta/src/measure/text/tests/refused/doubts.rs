//! Doubts that make no sense, and what belongs to no quantity.

use super::super::ALL;
use super::{MASS, refused};
use crate::error::ErrorKind;
use crate::measure::text::read_leading;

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
        ("10 casing", "`10` has no unit"),
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
