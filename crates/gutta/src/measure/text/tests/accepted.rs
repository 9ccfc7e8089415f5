//! Texts that are read: what they mean, and how they print.

use super::{ALL, near};
use crate::measure::text::spelling::UNITS;
use crate::measure::text::{Basis, Doubt, Kind, Reading, Unit, read, read_leading};
use crate::measure::{Measured, Scalar};

fn reading(text: &str) -> Reading {
    read(text, &ALL).unwrap_or_else(|error| panic!("{text}: {error:?}"))
}

/// Each text is the value in SI base units, and prints as the last column.
fn means(rows: &[(&str, Kind, f64, &str)]) {
    for (text, kind, base, prints) in rows {
        let reading = reading(text);
        assert_eq!(reading.kind(), *kind, "{text}");
        assert!(near(reading.base(), *base), "{text}: {}", reading.base());
        assert_eq!(reading.to_string(), *prints, "{text}");
        assert!(reading.is_exact(), "{text}");
    }
}

#[test]
fn every_kind_has_its_spellings() {
    means(&[
        ("10g", Kind::Mass, 0.010, "10 g"),
        (" 10 g ", Kind::Mass, 0.010, "10 g"),
        ("10\u{a0}g", Kind::Mass, 0.010, "10 g"),
        ("10\u{202f}g", Kind::Mass, 0.010, "10 g"),
        ("10\u{2009}g", Kind::Mass, 0.010, "10 g"),
        ("10 grams", Kind::Mass, 0.010, "10 g"),
        ("10 G", Kind::Mass, 0.010, "10 g"),
        ("2 KG", Kind::Mass, 2.0, "2 kg"),
        ("47.8mg", Kind::Mass, 47.8e-6, "47.8 mg"),
        ("3 Mg", Kind::Mass, 3000.0, "3 Mg"),
        ("3 tonnes", Kind::Mass, 3000.0, "3 tonnes"),
        ("1tonne", Kind::Mass, 1000.0, "1 tonne"),
        ("3 lbs.", Kind::Mass, 3.0 * 0.453_592_37, "3 lb"),
        ("3 Pounds", Kind::Mass, 3.0 * 0.453_592_37, "3 lb"),
        ("8 oz.", Kind::Mass, 0.226_796_185, "8 oz"),
        ("7000 grains", Kind::Mass, 0.453_592_37, "7000 grains"),
        ("1 grain", Kind::Mass, 64.798_91e-6, "1 grain"),
        ("256 drams", Kind::Mass, 0.453_592_37, "256 drams"),
        ("2 ml", Kind::Volume, 2e-6, "2 mL"),
        ("2 cc", Kind::Volume, 2e-6, "2 mL"),
        ("2 cm3", Kind::Volume, 2e-6, "2 mL"),
        ("2 cm³", Kind::Volume, 2e-6, "2 mL"),
        ("2 L", Kind::Volume, 2e-3, "2 L"),
        ("2 litres", Kind::Volume, 2e-3, "2 L"),
        ("2 cl", Kind::Volume, 2e-5, "2 cL"),
        ("2 dL", Kind::Volume, 2e-4, "2 dL"),
        ("2 \u{b5}L", Kind::Volume, 2e-9, "2 µL"),
        ("2 \u{3bc}l", Kind::Volume, 2e-9, "2 µL"),
        ("2 ul", Kind::Volume, 2e-9, "2 µL"),
        ("2 fl oz", Kind::Volume, 59.147_059_125e-6, "2 fl oz"),
        ("2 fl. oz.", Kind::Volume, 59.147_059_125e-6, "2 fl oz"),
        ("2 floz", Kind::Volume, 59.147_059_125e-6, "2 fl oz"),
        ("2 tsp", Kind::Volume, 9.857_843_187_5e-6, "2 tsp"),
        ("2 Tbsp.", Kind::Volume, 29.573_529_562_5e-6, "2 tbsp"),
        ("1 cup", Kind::Volume, 236.588_236_5e-6, "1 cup"),
        ("2 cups", Kind::Volume, 473.176_473e-6, "2 cups"),
        ("1 pint", Kind::Volume, 473.176_473e-6, "1 pint"),
        ("2 metric tsp", Kind::Volume, 10e-6, "2 metric tsp"),
        ("2 metric tbsp", Kind::Volume, 30e-6, "2 metric tbsp"),
        ("2 imp fl oz", Kind::Volume, 56.826_125e-6, "2 imp fl oz"),
        ("0.871g/mL", Kind::Density, 871.0, "0.871 g/mL"),
        ("0.871 g/cm³", Kind::Density, 871.0, "0.871 g/mL"),
        ("0.871 g per cc", Kind::Density, 871.0, "0.871 g/mL"),
        ("0.871 kg/l", Kind::Density, 871.0, "0.871 kg/L"),
        ("871 kg/m3", Kind::Density, 871.0, "871 kg/m³"),
        ("871 kg / m³", Kind::Density, 871.0, "871 kg/m³"),
        ("12 %", Kind::Share, 0.12, "12 %"),
        ("12 percent", Kind::Share, 0.12, "12 %"),
        ("15‰", Kind::Share, 0.015, "15 ‰"),
        ("15 per mille", Kind::Share, 0.015, "15 ‰"),
        ("15 g/kg", Kind::Share, 0.015, "15 g/kg"),
        ("15 grams per kilogram", Kind::Share, 0.015, "15 g/kg"),
        ("15 mg/kg", Kind::Share, 15e-6, "15 mg/kg"),
        ("15 mg/g", Kind::Share, 0.015, "15 mg/g"),
        ("21.5 °C", Kind::Temperature, 294.65, "21.5 °C"),
        ("21.5 ° C", Kind::Temperature, 294.65, "21.5 °C"),
        ("21.5C", Kind::Temperature, 294.65, "21.5 °C"),
        ("21.5 degC", Kind::Temperature, 294.65, "21.5 °C"),
        ("21.5 ℃", Kind::Temperature, 294.65, "21.5 °C"),
        ("21.5 Celsius", Kind::Temperature, 294.65, "21.5 °C"),
        ("70 °F", Kind::Temperature, 529.67 / 1.8, "70 °F"),
        ("70 ℉", Kind::Temperature, 529.67 / 1.8, "70 °F"),
        ("70 degF", Kind::Temperature, 529.67 / 1.8, "70 °F"),
        ("-40F", Kind::Temperature, 233.15, "-40 °F"),
        ("300 K", Kind::Temperature, 300.0, "300 K"),
        ("1003hPa", Kind::Pressure, 100_300.0, "1003 hPa"),
        ("1003 mbar", Kind::Pressure, 100_300.0, "1003 mbar"),
        ("100.3 kPa", Kind::Pressure, 100_300.0, "100.3 kPa"),
        ("100300 Pa", Kind::Pressure, 100_300.0, "100300 Pa"),
        ("1 mmHg", Kind::Pressure, 133.322_387_415, "1 mmHg"),
        ("1 inHg", Kind::Pressure, 3_386.388_640_341, "1 inHg"),
        ("7drops", Kind::Drops, 7.0, "7 drops"),
        ("7 gtt", Kind::Drops, 7.0, "7 drops"),
        ("1 drop", Kind::Drops, 1.0, "1 drop"),
        ("20/mL", Kind::DropsPerVolume, 20e6, "20 drops/mL"),
        ("20 /ml", Kind::DropsPerVolume, 20e6, "20 drops/mL"),
        ("20 per mL", Kind::DropsPerVolume, 20e6, "20 drops/mL"),
        ("20 drops per mL", Kind::DropsPerVolume, 20e6, "20 drops/mL"),
        ("20 drops/mL", Kind::DropsPerVolume, 20e6, "20 drops/mL"),
    ]);
}

#[test]
fn numbers_are_read_as_people_write_them() {
    means(&[
        ("10.00g", Kind::Mass, 0.010, "10.00 g"),
        (".5 g", Kind::Mass, 0.0005, "0.5 g"),
        ("5. g", Kind::Mass, 0.005, "5 g"),
        ("1,5 g", Kind::Mass, 0.0015, "1.5 g"),
        ("0,250 g", Kind::Mass, 0.000_25, "0.250 g"),
        (",250 g", Kind::Mass, 0.000_25, "0.250 g"),
        ("1,2500 g", Kind::Mass, 0.001_25, "1.2500 g"),
        ("1.250 g", Kind::Mass, 0.001_25, "1.250 g"),
        ("1e3 g", Kind::Mass, 1.0, "1e3 g"),
        ("1.5E-3 kg", Kind::Mass, 0.0015, "1.5e-3 kg"),
        ("1e−3 kg", Kind::Mass, 0.001, "1e-3 kg"),
        ("+8 oz", Kind::Mass, 0.226_796_185, "8 oz"),
        ("-8 oz", Kind::Mass, -0.226_796_185, "-8 oz"),
        ("− 8 oz", Kind::Mass, -0.226_796_185, "-8 oz"),
        ("-0 g", Kind::Mass, 0.0, "0 g"),
        ("½ oz", Kind::Mass, 14.174_761_562_5e-3, "½ oz"),
        ("½ cup", Kind::Volume, 118.294_118_25e-6, "½ cup"),
        ("1/2 cup", Kind::Volume, 118.294_118_25e-6, "1/2 cup"),
        ("1½ oz", Kind::Mass, 42.524_284_687_5e-3, "1½ oz"),
        ("1 ½ oz", Kind::Mass, 42.524_284_687_5e-3, "1½ oz"),
        ("1 1/2 oz", Kind::Mass, 42.524_284_687_5e-3, "1 1/2 oz"),
        ("3⁄4 lb", Kind::Mass, 0.340_194_277_5, "3/4 lb"),
        ("(10 g)", Kind::Mass, 0.010, "10 g"),
    ]);
    for (fraction, value) in [
        ("¼", 0.25),
        ("¾", 0.75),
        ("⅓", 1.0 / 3.0),
        ("⅔", 2.0 / 3.0),
        ("⅛", 0.125),
        ("⅜", 0.375),
        ("⅝", 0.625),
        ("⅞", 0.875),
    ] {
        let drops = reading(&format!("2{fraction} drops"));
        assert!(near(drops.base(), 2.0 + value), "{fraction}");
    }
}

#[test]
fn parts_add_up() {
    let twenty_two_ounces = 22.0 / 16.0 * 0.453_592_37;
    means(&[
        ("1 lb 6 oz", Kind::Mass, twenty_two_ounces, "1 lb 6 oz"),
        ("1lb6oz", Kind::Mass, twenty_two_ounces, "1 lb 6 oz"),
        ("1 lb, 6 oz", Kind::Mass, twenty_two_ounces, "1 lb 6 oz"),
        ("1 lb. 6 oz.", Kind::Mass, twenty_two_ounces, "1 lb 6 oz"),
        ("-1 lb 6 oz", Kind::Mass, -twenty_two_ounces, "-1 lb 6 oz"),
        ("1 kg 250 g", Kind::Mass, 1.25, "1 kg 250 g"),
        (
            "1 cup 2 tbsp 1 tsp",
            Kind::Volume,
            (236.588_236_5 + 7.0 * 4.928_921_593_75) * 1e-6,
            "1 cup 2 tbsp 1 tsp",
        ),
    ]);
}

#[test]
fn a_kind_names_units_of_its_own() {
    for kind in ALL {
        assert!(!kind.likely().is_empty());
        for unit in kind.likely() {
            assert_eq!(unit.kind(), kind, "{unit:?}");
        }
    }
}

#[test]
fn no_spelling_belongs_to_two_units() {
    for unit in UNITS {
        for spelling in unit.spellings() {
            let reading = reading(&format!("3 {spelling}"));
            assert_eq!(reading.unit(), *unit, "{spelling}");
        }
        for name in [unit.symbol(), unit.plural()] {
            assert_eq!(reading(&format!("3 {name}")).unit(), *unit, "{name}");
        }
    }
}

/// Each doubt in SI base units, and how the reading prints.
fn doubts(rows: &[(&str, Doubt, &str)]) {
    for (text, doubt, prints) in rows {
        let reading = reading(text);
        let same = match (reading.doubt(), *doubt) {
            (Doubt::None, Doubt::None) => true,
            (Doubt::HalfWidth(got), Doubt::HalfWidth(want)) => near(got, want),
            (Doubt::Range { low, high }, Doubt::Range { low: l, high: h }) => {
                near(low, l) && near(high, h)
            }
            _ => false,
        };
        assert!(same, "{text}: {:?}", reading.doubt());
        assert_eq!(reading.to_string(), *prints, "{text}");
        assert!(!reading.is_exact(), "{text}");
    }
}

#[test]
fn a_half_width_is_in_the_unit_or_in_percent() {
    doubts(&[
        ("11.2% ± 0.5%", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("11.2% +- 0.5%", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("11.2%+/-0.5%", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("11.2 +/− 0.5 %", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("(11.2 ± 0.5) %", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("(11.2% ± 0.5%)", Doubt::HalfWidth(0.005), "11.2 % ± 0.5 %"),
        ("11.2% ± 0%", Doubt::HalfWidth(0.0), "11.2 % ± 0 %"),
        ("11.2% ± 2 g/kg", Doubt::HalfWidth(0.002), "11.2 % ± 2 g/kg"),
        (
            "11.2% ± 5% rel",
            Doubt::HalfWidth(0.0056),
            "11.2 % ± 5 % rel",
        ),
        (
            "11.2% ± 5% rel.",
            Doubt::HalfWidth(0.0056),
            "11.2 % ± 5 % rel",
        ),
        (
            "11.2 % ± 5 % relative",
            Doubt::HalfWidth(0.0056),
            "11.2 % ± 5 % rel",
        ),
        ("10 g ± 50 mg", Doubt::HalfWidth(5e-5), "10 g ± 50 mg"),
        ("10 ± 0.05 g", Doubt::HalfWidth(5e-5), "10 g ± 0.05 g"),
        ("10 g ± 5 %", Doubt::HalfWidth(5e-4), "10 g ± 5 %"),
        ("10 g ± 5 % rel", Doubt::HalfWidth(5e-4), "10 g ± 5 %"),
        ("-10 g ± 5 %", Doubt::HalfWidth(5e-4), "-10 g ± 5 %"),
        ("15 g/kg ± 5%", Doubt::HalfWidth(0.000_75), "15 g/kg ± 5 %"),
        ("15‰ ± 1‰", Doubt::HalfWidth(0.001), "15 ‰ ± 1 ‰"),
        ("20/mL ± 15%", Doubt::HalfWidth(3e6), "20 drops/mL ± 15 %"),
        (
            "20 ± 3 drops/mL",
            Doubt::HalfWidth(3e6),
            "20 drops/mL ± 3 drops/mL",
        ),
        (
            "1 lb 6 oz ± ½ oz",
            Doubt::HalfWidth(14.174_761_562_5e-3),
            "1 lb 6 oz ± ½ oz",
        ),
        // A doubt of a temperature is a difference: 1 °F is 5/9 K.
        ("70 °F ± 1 °F", Doubt::HalfWidth(5.0 / 9.0), "70 °F ± 1 °F"),
        ("21.5 ± 0.5 °C", Doubt::HalfWidth(0.5), "21.5 °C ± 0.5 °C"),
        ("21.5 °C ± 0.5 K", Doubt::HalfWidth(0.5), "21.5 °C ± 0.5 K"),
    ]);
}

#[test]
fn a_range_has_two_ends() {
    let eleven_to_thirteen = Doubt::Range {
        low: 0.11,
        high: 0.13,
    };
    for text in [
        "11-13%",
        "11%-13%",
        "11 – 13 %",
        "11—13%",
        "11−13%",
        "11 to 13 %",
        "11%to13%",
        "(11-13) %",
    ] {
        doubts(&[(text, eleven_to_thirteen, "11–13 %")]);
    }
    let range = |low, high| Doubt::Range { low, high };
    doubts(&[
        ("11,5-13,5%", range(0.115, 0.135), "11.5–13.5 %"),
        ("10g-12g", range(0.010, 0.012), "10–12 g"),
        ("900 g - 1.1 kg", range(0.9, 1.1), "900 g – 1.1 kg"),
        ("-5 – -3 °C", range(268.15, 270.15), "-5 °C – -3 °C"),
        ("-5--3 °C", range(268.15, 270.15), "-5 °C – -3 °C"),
        (
            "1/2-3/4 lb",
            range(0.226_796_185, 0.340_194_277_5),
            "1/2–3/4 lb",
        ),
        (
            "1 lb - 1 lb 8 oz",
            range(0.453_592_37, 0.680_388_555),
            "1 lb – 1 lb 8 oz",
        ),
    ]);
}

#[test]
fn a_percentage_has_a_basis() {
    for (text, basis, prints) in [
        ("17.6% db", Some(Basis::Dry), "17.6 % db"),
        ("17.6%db", Some(Basis::Dry), "17.6 % db"),
        ("17.6 % D.B.", Some(Basis::Dry), "17.6 % db"),
        ("17.6 % dry  basis", Some(Basis::Dry), "17.6 % db"),
        ("17.6% wb", Some(Basis::Wet), "17.6 % wb"),
        ("17.6 % w.b.", Some(Basis::Wet), "17.6 % wb"),
        ("17.6 % wet basis", Some(Basis::Wet), "17.6 % wb"),
        ("17.6%", None, "17.6 %"),
        ("17.6% db ± 0.5% db", Some(Basis::Dry), "17.6 % ± 0.5 % db"),
        ("17.6% ± 0.5% db", Some(Basis::Dry), "17.6 % ± 0.5 % db"),
        ("17.6% db ± 0.5%", Some(Basis::Dry), "17.6 % ± 0.5 % db"),
        ("17.6 ± 0.5 % db", Some(Basis::Dry), "17.6 % ± 0.5 % db"),
        ("(17.6 ± 0.5) % db", Some(Basis::Dry), "17.6 % ± 0.5 % db"),
        ("17.6% db ± 5% rel", Some(Basis::Dry), "17.6 % db ± 5 % rel"),
        ("11-13% db", Some(Basis::Dry), "11–13 % db"),
        ("11% wb to 13% wb", Some(Basis::Wet), "11–13 % wb"),
    ] {
        let reading = reading(text);
        assert_eq!(reading.basis(), basis, "{text}");
        assert_eq!(reading.to_string(), prints, "{text}");
    }
}

#[test]
fn a_quantity_is_had_as_its_own_kind_only() {
    fn base<S: Scalar>(measured: Option<Measured<S>>) -> Option<f64> {
        measured.map(|m| m.value().base())
    }
    let has = |r: &Reading| {
        [
            base(r.mass()),
            base(r.volume()),
            base(r.density()),
            base(r.share()),
            base(r.temperature()),
            base(r.pressure()),
            base(r.drops()),
            base(r.drops_per_volume()),
        ]
    };
    let texts = [
        "10 g", "2 mL", "0.9 g/mL", "12 %", "20 °C", "1003 hPa", "7 drops", "20/mL",
    ];
    for (place, text) in texts.into_iter().enumerate() {
        let reading = reading(text);
        let got = has(&reading);
        assert_eq!(got[place], Some(reading.base()), "{text}");
        assert_eq!(got.iter().flatten().count(), 1, "{text}");
    }
}

/// u of ± is the half-width over 1.959964, of a range the width over √12.
#[test]
fn a_doubt_becomes_a_standard_uncertainty() {
    let around = reading("11.2% ± 0.5%").share().unwrap();
    assert!(near(around.half_width_95(), 0.005));
    assert!((around.u() - 0.005 / 1.959_964).abs() < 1e-9);
    let range = reading("11-13%").share().unwrap();
    assert!(near(range.value().value, 0.12));
    assert!(near(range.u(), 0.02 / 12.0_f64.sqrt()));
    assert!(around.dof().is_infinite() && range.dof().is_infinite());
    assert!(reading("11%").share().unwrap().is_exact());
    assert!(reading("11% ± 0%").share().unwrap().is_exact());
}

#[test]
fn the_last_place_is_one_of_the_last_digit() {
    for (text, decimals, place) in [
        ("10 g", 0, 1e-3),
        ("10.00 g", 2, 1e-5),
        ("10.00 g ± 1 g", 2, 1e-5),
        ("0.612 g", 3, 1e-6),
        ("1.50e-2 kg", 2, 1e-4),
        ("1e3 g", 0, 1.0),
        ("1 lb 6.5 oz", 1, 2.834_952_312_5e-3),
        ("½ oz", 0, 14.174_761_562_5e-3),
        ("1 3/8 lb", 0, 0.453_592_37 / 8.0),
        ("70.5 °F", 1, 0.1 * 5.0 / 9.0),
    ] {
        let reading = reading(text);
        assert_eq!(reading.decimals(), decimals, "{text}");
        assert!(
            near(reading.last_place(), place),
            "{text}: {}",
            reading.last_place()
        );
    }
}

#[test]
fn what_follows_may_be_left_unread() {
    for (text, prints, rest) in [
        ("9.6g flavouring", "9.6 g", " flavouring"),
        ("60 g casing, 35% water", "60 g", " casing, 35% water"),
        ("35% water", "35 %", " water"),
        ("70% vol", "70 %", " vol"),
        ("17.6% db leaf", "17.6 % db", " leaf"),
        ("460g 9.6%", "460 g", " 9.6%"),
        ("1 lb 6 oz 9.6%", "1 lb 6 oz", " 9.6%"),
        ("10 g 5 spices", "10 g", " 5 spices"),
        ("2 tsp to taste", "2 tsp", " to taste"),
        ("10 g - dark", "10 g", " - dark"),
        ("10 g, dark", "10 g", ", dark"),
        ("11 ± 1 % and more", "11 % ± 1 %", " and more"),
        ("10 g", "10 g", ""),
    ] {
        let (reading, len) = read_leading(text, &ALL).unwrap();
        assert_eq!(reading.to_string(), prints, "{text}");
        assert_eq!(&text[len..], rest, "{text}");
    }
}

#[test]
fn the_unit_typed_is_known() {
    assert_eq!(reading("1 lb 6 oz").unit(), Unit::POUND);
    assert_eq!(reading("11-13 %").unit(), Unit::PERCENT);
    assert_eq!(reading("20 ± 3 drops/mL").unit(), Unit::DROP_PER_MILLILITRE);
}

#[test]
fn unbroken_text_breaks_at_the_doubt_only() {
    for (text, unbroken) in [
        ("10 g", "10_g"),
        ("1 1/2 fl oz", "1_1/2_fl_oz"),
        ("1 lb 6 oz ± ½ oz", "1_lb_6_oz ± ½_oz"),
        ("17.6 ± 0.5 % db", "17.6_% ± 0.5_%_db"),
        ("17.6% db ± 5% rel", "17.6_%_db ± 5_%_rel"),
        ("1 1/2 - 2 oz", "1_1/2–2_oz"),
        ("900 g - 1 kg", "900_g – 1_kg"),
    ] {
        assert_eq!(reading(text).unbroken(), unbroken.replace('_', "\u{a0}"));
    }
}
