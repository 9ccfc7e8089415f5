//! What holds for every text.

use proptest::prelude::*;

use super::{demo, pages};
use crate::book::Book;

/// Texts that come near to files of a book.
fn near_toml() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "format = 1\n",
        "[[scale]]\n",
        "[[liquid]]\n",
        "[[dropper]]\n",
        "name = ",
        "division = ",
        "weighings = ",
        "date = ",
        "\"a\"\n",
        "\"0.01 g\"\n",
        "[\"20 = 1 g\"]\n",
        "2026-02-03\n",
        "=",
        "[",
        "]",
        "\"",
        "'",
        "\n",
        "\r",
        "#",
        "ä",
        "\u{feff}",
        "1",
        "\"\"\"",
        "{",
        "}",
        ",",
    ]);
    prop::collection::vec(piece, 0..30).prop_map(|pieces| pieces.concat())
}

fn near_csv() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "name", "moisture", "leaf", ",", ",", "\n", "\"", "\r\n", "a", "11%", "ä", ";", "\u{feff}",
        " ",
    ]);
    prop::collection::vec(piece, 0..30).prop_map(|pieces| pieces.concat())
}

/// Whatever stands in a file: a book, or errors that point into it.
fn opens_or_points(name: &str, text: &str) -> Result<(), TestCaseError> {
    if let Err(errors) = Book::of(pages(name, text)) {
        for error in errors.iter() {
            let place = error.place();
            prop_assert!(place.is_some(), "{error:?}");
            if let Some(place) = place {
                prop_assert!(place.text.is_char_boundary(place.at), "{error:?}");
                prop_assert!(
                    place.text.is_char_boundary(place.at + place.len),
                    "{error:?}"
                );
                let text = text.strip_prefix('\u{feff}').unwrap_or(text);
                let line = text.split('\n').nth(place.line - 1).unwrap_or_default();
                let line = line.strip_suffix('\r').unwrap_or(line);
                prop_assert_eq!(&place.text, line, "{:?}", error);
                let before = place.text[..place.at].chars().count();
                prop_assert_eq!(place.column, before + 1, "{:?}", error);
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn no_text_makes_a_loader_panic(text in any::<String>()) {
        for name in ["book.toml", "scales.toml", "liquids.toml", "droppers.toml", "lots.csv"] {
            opens_or_points(name, &text)?;
        }
    }

    #[test]
    fn no_near_toml_makes_a_loader_panic(text in near_toml()) {
        for name in ["book.toml", "scales.toml", "liquids.toml", "droppers.toml"] {
            opens_or_points(name, &text)?;
        }
    }

    #[test]
    fn no_near_csv_makes_a_loader_panic(text in near_csv()) {
        opens_or_points("lots.csv", &text)?;
    }

    #[test]
    fn no_slip_of_the_hand_makes_a_loader_panic(
        file in prop::sample::select(vec!["scales.toml", "liquids.toml", "droppers.toml", "lots.csv"]),
        at in any::<prop::sample::Index>(),
        gone in 0..12_usize,
        put in "[\\[\\]\"',=#.0-9 g%±ä\n\r]{0,3}",
    ) {
        let text = std::fs::read_to_string(demo().join(file)).unwrap();
        let mut letters: Vec<char> = text.chars().collect();
        let at = at.index(letters.len());
        let end = (at + gone).min(letters.len());
        letters.splice(at..end, put.chars());
        opens_or_points(file, &letters.into_iter().collect::<String>())?;
    }
}
