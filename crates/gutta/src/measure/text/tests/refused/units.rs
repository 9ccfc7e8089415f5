//! Units that are not known, not clear, or not asked for.

use super::super::ALL;
use super::{DOSE, MASS, TEMPERATURE, refused};
use crate::error::ErrorKind;
use crate::measure::text::{Kind, read_leading};

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
fn no_suggestion_is_far_fetched() {
    let dose = &[Kind::Drops, Kind::Mass, Kind::Volume, Kind::Share];
    refused(
        dose,
        ErrorKind::UnknownUnit,
        &[
            // A unit as it stands is no slip for another one.
            (
                "5 mL/kg",
                "mL/kg",
                "`mL/kg` is not a unit known here",
                "write g/kg or mg/kg",
            ),
            (
                "5 drops/kg",
                "drops/kg",
                "`drops/kg` is not a unit known here",
                "write g/kg or mg/kg",
            ),
            (
                "5 grms/kg",
                "grms/kg",
                "`grms/kg` is not a unit known here",
                "did you mean grams/kg?",
            ),
        ],
    );
    refused(
        &[Kind::Mass, Kind::Volume, Kind::Drops],
        ErrorKind::UnknownUnit,
        &[(
            "5 water",
            "water",
            "`water` is not a unit known here",
            "write g, mL or drops",
        )],
    );
    refused(
        &[Kind::Mass],
        ErrorKind::UnknownUnit,
        &[(
            "5 g/kilo",
            "g/kilo",
            "`g/kilo` is not a unit known here",
            "write g, oz, lb, kg or mg",
        )],
    );
}

/// Of `5 water` the unit is missing when words may follow, and water is one.
#[test]
fn a_name_behind_a_bare_number_is_no_unit() {
    let amounts = &[Kind::Mass, Kind::Volume, Kind::Drops];
    let leading = |text: &str| {
        let error = read_leading(text, amounts).unwrap_err();
        let place = error.place().cloned().unwrap();
        let spot = text[place.at..place.at + place.len].to_owned();
        (spot, error.to_string(), error.hint().map(str::to_owned))
    };
    let said = |spot: &str, message: &str, hint: &str| {
        (spot.to_owned(), message.to_owned(), Some(hint.to_owned()))
    };
    assert_eq!(
        leading("5 water"),
        said("5", "`5` has no unit", "write 5 g, 5 mL or 5 drops")
    );
    assert_eq!(
        leading("5 gramz casing"),
        said(
            "gramz",
            "`gramz` is not a unit known here",
            "did you mean gram?"
        )
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
