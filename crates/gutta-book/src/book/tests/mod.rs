mod laws;
mod words;

use std::fmt::Write;
use std::path::{Path, PathBuf};

use gutta::bench::{Dropped, Readings};
use gutta::matter::DensityOf;
use gutta::measure::Scalar;
use uom::si::mass::{gram, milligram};
use uom::si::mass_density::gram_per_cubic_centimeter;
use uom::si::ratio::percent;

use super::*;
use crate::journal::Journal;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

fn pages(name: &str, text: &str) -> Pages {
    let page = |file: &str, text: &str| Ok(Some(Page::new(file, text)));
    let mut pages = Pages {
        front: page("book.toml", "format = 1"),
        scales: Ok(None),
        liquids: Ok(None),
        droppers: Ok(None),
        lots: Ok(None),
        formulas: Ok(None),
    };
    let found = page(name, text);
    match name {
        "scales.toml" => pages.scales = found,
        "liquids.toml" => pages.liquids = found,
        "droppers.toml" => pages.droppers = found,
        "lots.csv" => pages.lots = found,
        "formulas.toml" => pages.formulas = found,
        _ => pages.front = found,
    }
    pages
}

/// All errors as they are shown, one paragraph each.
fn shown(errors: &BookErrors) -> String {
    let mut text = String::new();
    for error in errors.iter() {
        let _ = write!(text, "{}", error.file());
        if let Some(place) = error.place() {
            let _ = write!(text, ":{}:{}", place.line, place.column);
        }
        if let Some(field) = error.field() {
            let _ = write!(text, ": {field}");
        }
        let _ = writeln!(text, ": {error}");
        if let Some(place) = error.place() {
            let before = place.text[..place.at].chars().count();
            let under = place.text[place.at..place.at + place.len].chars().count();
            let _ = writeln!(text, "  {}", place.text);
            let _ = writeln!(text, "  {}{}", " ".repeat(before), "^".repeat(under.max(1)));
        }
        if let Some(hint) = error.hint() {
            let _ = writeln!(text, "hint: {hint}");
        }
    }
    text
}

fn errors_of(name: &str, text: &str) -> String {
    shown(&Book::of(pages(name, text)).unwrap_err())
}

#[test]
fn every_bad_book_is_refused_in_the_words_beside_it() {
    let bad = demo().join("bad");
    let mut count = 0;
    let mut folders: Vec<PathBuf> = std::fs::read_dir(&bad)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    folders.sort();
    for folder in folders {
        let expected = std::fs::read_to_string(folder.join("expected.txt")).unwrap();
        let checked = Book::open(&folder).and_then(|_| Journal::checked(&folder));
        let errors = checked.unwrap_err();
        let place = format!("{}/", folder.display());
        assert_eq!(shown(&errors).replace(&place, ""), expected, "{place}");
        count += 1;
    }
    assert!(count >= 8, "{count} bad books");
}

#[test]
fn the_demo_book_holds_what_stands_in_its_files() {
    let book = Book::open(&demo()).unwrap();
    assert_eq!(book.name(), Some("The Hollow Barn leaf room"));

    let bench = book.scale(" BENCH ").unwrap();
    assert!((bench.scale.division().get::<gram>() - 0.01).abs() < 1e-15);
    assert!((bench.scale.repeatability().get::<gram>() - 0.008).abs() < 1e-15);
    assert_eq!(book.scales().count(), 3);

    let tincture = book.liquid("fig tincture").unwrap();
    let density = tincture.density.unwrap();
    assert!((density.value().get::<gram_per_cubic_centimeter>() - 0.912).abs() < 1e-12);
    // ±0.004 g/mL is 4 kg/m³ at 95 %.
    assert!((density.half_width_95() - 4.0).abs() < 1e-9);
    let solids = tincture.composition.as_ref().unwrap().solids();
    assert!((solids.get::<percent>() - 9.0).abs() < 1e-12);
    assert_eq!(book.liquids().next().unwrap().name, "water");

    let glass = book.dropper("glass").unwrap();
    assert_eq!(glass.date.to_string(), "2026-10-04");
    assert_eq!(glass.calibrating.liquid, Dropped::Water);
    assert!(glass.calibrating.air.is_some());
    let drop = glass.calibrating.calibrate().unwrap().drop_mass.best();
    // 5.71 g in 120 drops.
    assert!((drop.mass().get::<milligram>() - 5710.0 / 120.0).abs() < 1e-9);
    let amber = book.dropper("amber").unwrap();
    assert!(matches!(amber.calibrating.liquid, Dropped::Other(_)));
    assert!(matches!(&amber.calibrating.readings, Readings::Singly(w) if w.len() == 6));

    let sun = book.lot("sun-25").unwrap();
    assert!((sun.moisture.value().base() - 0.12).abs() < 1e-12);
    assert!((sun.moisture.u() - 0.02 / 12.0_f64.sqrt()).abs() < 1e-12);
    let brown = book.lot("brown-24").unwrap();
    assert!((brown.moisture.value().base() - 0.131 / 1.131).abs() < 1e-12);
    assert_eq!(book.lots().count(), 6);
}

#[test]
fn a_byte_order_mark_and_line_ends_of_another_system_are_read() {
    let text =
        "\u{feff}format = 1\r\n\r\n[[scale]]\r\nname = \"kärn\"\r\ndivision = \"0.01 g\"\r\n";
    let book = Book::of(pages("scales.toml", text)).unwrap();
    assert!(book.scale("kärn").is_ok());
    let text = "\u{feff}name,moisture\r\nä,11%\r\n";
    assert!(Book::of(pages("lots.csv", text)).unwrap().lot("ä").is_ok());
}

#[test]
fn a_column_counts_characters_behind_letters_of_two_bytes() {
    assert_eq!(
        errors_of("lots.csv", "name,leaf,moisture\r\nä,öö,11gr\r\n"),
        "lots.csv:2:8: moisture: `gr` can mean gram or grain\n  ä,öö,11gr\n         ^^\nhint: write g or grain\n"
    );
}

#[test]
fn a_quoted_field_is_pointed_into() {
    assert_eq!(
        errors_of("lots.csv", "name,note,moisture\na,\"x, y\",\"11 z\"\n"),
        "lots.csv:2:14: moisture: `z` is not a unit known here\n  a,\"x, y\",\"11 z\"\n               ^\nhint: write %\n"
    );
}

#[test]
fn columns_come_in_any_order_and_some_may_be_absent() {
    let book = Book::of(pages("lots.csv", "moisture,name\n12%,a\n\n13%,b\n")).unwrap();
    assert!((book.lot("b").unwrap().moisture.value().base() - 0.13).abs() < 1e-12);
    assert_eq!(book.lot("a").unwrap().leaf, None);
}

#[test]
fn a_lot_says_how_its_moisture_was_found() {
    use gutta::matter::Method;
    let text = "name,moisture,method\na,12%,Oven-Cased\nb,13%,\n";
    let book = Book::of(pages("lots.csv", text)).unwrap();
    assert_eq!(book.lot("a").unwrap().method, Some(Method::OvenOfCased));
    assert_eq!(book.lot("b").unwrap().method, None);
    assert_eq!(
        errors_of("lots.csv", "name,moisture,method\na,12%,owen\n"),
        "lots.csv:2:7: method: `owen` is no way to find a moisture\n  a,12%,owen\n        ^^^^\nhint: did you mean oven?\n"
    );
    assert_eq!(
        errors_of("lots.csv", "name,moisture,method\na,12%,guess\n"),
        "lots.csv:2:7: method: `guess` is no way to find a moisture\n  a,12%,guess\n        ^^^^^\nhint: it is oven, oven-cased, jar, air, feel\n"
    );
}

#[test]
fn a_lot_has_a_price_and_a_stock() {
    let text = "name,moisture,price,stock\na,12%,38 /kg,2.1 kg\nb,13%,,0 g\n";
    let book = Book::of(pages("lots.csv", text)).unwrap();
    let lots: Vec<_> = book.lots().collect();
    let price = |at: usize| lots[at].price.map(gutta::blend::batch::Price::per_kilogram);
    assert_eq!((price(0), price(1)), (Some(38.0), None));
    let stock = |at: usize| lots[at].stock.map(|stock| stock.get::<gram>());
    assert!((stock(0).expect("a stock") - 2100.0).abs() < 1e-9);
    assert_eq!(stock(1), Some(0.0));
    for (row, said) in [
        (
            "a,12%,38,",
            "lots.csv:2:7: price: it is not said which mass the price buys\n  a,12%,38,\n        ^^\nhint: write a number, / and the mass that it buys, such as 38 /kg; money has no unit here\n",
        ),
        (
            "a,12%,,2 kg ± 10 g",
            "lots.csv:2:8: stock: a stock is a plain figure\n  a,12%,,2 kg ± 10 g\n         ^^^^^^^^^^^\nhint: write what there is of it alone, such as 2100 g\n",
        ),
    ] {
        let text = format!("name,moisture,price,stock\n{row}\n");
        assert_eq!(errors_of("lots.csv", &text), said);
    }
}

#[test]
fn an_empty_file_says_what_it_should_begin_with() {
    assert_eq!(
        errors_of("scales.toml", ""),
        "scales.toml:1:1: format: the format number is missing\n  \n  ^\nhint: begin the file with format = 1\n"
    );
    assert_eq!(
        errors_of("lots.csv", ""),
        "lots.csv:1:1: the line with the names of the columns is missing\n  \n  ^\nhint: begin the file with name,leaf,moisture,method,date,price,stock,note\n"
    );
}

#[test]
fn a_dropper_may_be_a_running_total_or_a_graduate() {
    let dropper = |fields: &str| {
        let text = format!(
            "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"water\"\ndate = 2026-01-02\n{fields}\n"
        );
        Book::of(pages("droppers.toml", &text))
            .unwrap()
            .dropper("a")
            .unwrap()
            .calibrating
            .readings
            .clone()
    };
    let running = dropper("running = true\nweighings = [\"20 = 0.6 g\", \"40 = 1.2 g\"]");
    assert!(matches!(running, Readings::Running(w) if w.len() == 2));
    let mark = dropper("weighings = [\"40 = 2.5 mL\"]");
    assert!(matches!(mark, Readings::ToMark(w) if w.len() == 1));
}

#[test]
fn a_liquid_without_a_density_calibrates_no_dropper() {
    let mut pages = pages(
        "droppers.toml",
        "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"syrup\"\ndate = 2026-01-02\nweighings = [\"20 = 0.6 g\"]\n",
    );
    pages.liquids = Ok(Some(Page::new(
        "liquids.toml",
        "format = 1\n[[liquid]]\nname = \"syrup\"\nwater = \"35 %\"\n",
    )));
    assert_eq!(
        shown(&Book::of(pages).unwrap_err()),
        "droppers.toml:4:11: liquid: the density of syrup is not known\n  liquid = \"syrup\"\n            ^^^^^\nhint: write it into liquids.toml: density = \"0.912 g/mL\"\n"
    );
}

#[test]
fn a_liquid_that_is_all_water_keeps_its_own_density() {
    let liquid = |text: &str| {
        let text = format!("format = 1\n[[liquid]]\nname = \"rain\"\nwater = \"100 %\"\n{text}");
        Book::of(pages("liquids.toml", &text))
            .unwrap()
            .liquid("rain")
            .unwrap()
            .liquid()
            .density
    };
    let DensityOf::Measured(density) = liquid("density = \"0.99 g/mL\"") else {
        panic!("it has a density of its own");
    };
    assert!((density.value().get::<gram_per_cubic_centimeter>() - 0.99).abs() < 1e-12);
    assert_eq!(liquid(""), DensityOf::Unknown);
    let book = Book::of(pages("book.toml", "format = 1")).unwrap();
    let water = book.liquid(" WATER ").unwrap();
    assert!(water.liquid().is_water());
    // At 20 °C, Tanaka 2001: 998.2067 kg/m³.
    assert!((water.density.unwrap().value().base() - 998.2067).abs() < 1e-3);
}

#[test]
fn the_room_is_filled_up_from_what_is_given() {
    let air = |fields: &str| {
        let text = format!(
            "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"water\"\ndate = 2026-01-02\nweighings = [\"20 = 0.9 g\"]\n{fields}"
        );
        let book = Book::of(pages("droppers.toml", &text)).unwrap();
        book.dropper("a").unwrap().calibrating.air
    };
    assert_eq!(air(""), None);
    let air = air("pressure = \"950 hPa\"").unwrap();
    assert!((air.pressure().value().base() - 95_000.0).abs() < 1e-9);
    assert_eq!(air.temperature(), gutta::matter::Air::ROOM.temperature());
    assert_eq!(air.humidity(), gutta::matter::Air::ROOM.humidity());
}

#[test]
fn a_name_on_a_line_that_cannot_be_read_is_not_called_unknown() {
    let mut pages = pages(
        "droppers.toml",
        "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"water\"\ndate = 2026-01-02\nscale = \"bench\"\nweighings = [\"20 = 0.6 g\"]\n",
    );
    pages.scales = Ok(Some(Page::new(
        "scales.toml",
        "format = 1\n[[scale]]\nname = \"bench\ndivision = \"0.01 g\"\n",
    )));
    assert_eq!(
        shown(&Book::of(pages).unwrap_err()),
        "scales.toml:3:14: name: this text has no closing quote\n  name = \"bench\n               ^\nhint: put the same quote behind it\n"
    );
}

#[test]
fn a_date_that_is_none_holds_no_other_error_back() {
    let said = errors_of(
        "droppers.toml",
        "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"water\"\ndate = 2026-02-30\nscales = \"b\"\n",
    );
    let lines: Vec<&str> = said.lines().filter(|l| l.starts_with("dropp")).collect();
    assert_eq!(
        lines,
        [
            "droppers.toml:2:1: weighings: this dropper has no weighings",
            "droppers.toml:5:8: date: `2026-02-30` is no date",
            "droppers.toml:6:1: scales: a dropper has no field `scales`",
        ]
    );
}

/// A dropper of a liquid: its density at the room's temperature, or what is
/// wrong.
fn dropper_of(liquid: &str, room: &str) -> Result<(String, f64), String> {
    let text = format!(
        "format = 1\n[[dropper]]\nname = \"a\"\nliquid = \"{liquid}\"\ndate = 2026-01-02\n{room}weighings = [\"20 = 0.4 g\"]\n"
    );
    let book = Book::of(pages("droppers.toml", &text)).map_err(|errors| shown(&errors))?;
    let dropper = book.dropper("a").unwrap();
    let Dropped::Other(density) = dropper.calibrating.liquid else {
        panic!("it is not water");
    };
    Ok((dropper.liquid.clone(), density.value().base()))
}

#[test]
fn a_name_that_says_what_is_in_it_needs_no_entry() {
    let (name, density) = dropper_of("Alcohol 70% vol", "").unwrap();
    assert_eq!(name, "alcohol 70\u{a0}% vol");
    // OIML R 22 as printed: 885.56 kg/m³ at 20 °C, and 881.375 at 25 °C.
    assert!((density - 885.56).abs() < 0.006);
    let (_, warm) = dropper_of("alcohol 70% vol", "temperature = \"25 °C\"\n").unwrap();
    assert!((warm - 881.375).abs() < 0.006);
    assert_eq!(
        dropper_of("alcohol", "").unwrap_err(),
        "droppers.toml:4:11: liquid: the strength of alcohol is missing\n  liquid = \"alcohol\"\n            ^^^^^^^\nhint: type it as on the bottle: alcohol 70% vol\n"
    );
    assert_eq!(
        dropper_of("glycol 50%", "temperature = \"5 °C\"\n").unwrap_err(),
        "droppers.toml:4:11: liquid: the temperature of glycol must be from 15 °C to 35 °C, not 5 °C\n  liquid = \"glycol 50%\"\n            ^^^^^^^^^^\nhint: the density of glycol is known here from 15 to 35 °C: weigh it, or bring it to the room's temperature\n"
    );
}

#[test]
fn a_surface_tension_is_kept_and_checked() {
    let liquid = |tension: &str| {
        let text = format!(
            "format = 1\n[[liquid]]\nname = \"oil\"\ndensity = \"0.88 g/mL\"\nsurface_tension = \"{tension}\"\n"
        );
        Book::of(pages("liquids.toml", &text))
            .map(|book| book.liquid("oil").unwrap().liquid().surface_tension)
            .map_err(|errors| shown(&errors))
    };
    let tension = liquid("28 mN/m ± 2 mN/m").unwrap().unwrap();
    assert!((tension.value().base() - 0.028).abs() < 1e-12);
    assert!((tension.half_width_95() - 0.002).abs() < 1e-9);
    assert_eq!(
        liquid("280 mN/m").unwrap_err(),
        "liquids.toml:5:20: surface_tension: a surface tension must be from 10 mN/m to 80 mN/m, not 280 mN/m\n  surface_tension = \"280 mN/m\"\n                     ^^^^^^^^\nhint: water has 73 mN/m, strong alcohol 22 mN/m: type a figure between, from a table\n"
    );
}

/// The book's own numbers win over those that go with a name.
#[test]
fn a_liquid_of_the_book_wins_over_its_name() {
    let liquid = |fields: &str| {
        let text = format!("format = 1\n[[liquid]]\nname = \"honey\"\n{fields}");
        let book = Book::of(pages("liquids.toml", &text)).unwrap();
        book.liquid("honey").unwrap().liquid()
    };
    let own = liquid("water = \"25 %\"\n");
    assert!((own.composition.unwrap().share(gutta::Part::Water).base() - 0.25).abs() < 1e-12);
    // With a density alone, what is in it is what its name says.
    let dense = liquid("density = \"1.39 g/mL\"\n");
    assert!((dense.composition.unwrap().share(gutta::Part::Water).base() - 0.1715).abs() < 1e-12);
    assert!(matches!(dense.density, DensityOf::Measured(d) if d.value().base() == 1390.0));
}
