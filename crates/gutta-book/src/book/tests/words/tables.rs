//! Slips of TOML, and what a file does not hold.

use super::check;

#[test]
fn a_slip_of_the_format_is_said_in_plain_words() {
    check(&[
        (
            "scales.toml",
            r#"format = 1
[scale]
name = "a"
[scale]
name = "b"
"#,
            "scales.toml:4:2: scale: `scale` stands twice
  [scale]
   ^^^^^
hint: a table that is there more than once has two brackets: [[scale]]",
        ),
        (
            "book.toml",
            "format: 1
",
            "book.toml:1:9: `format: 1` is no field with a value
  format: 1
          ^
hint: write = in place of :",
        ),
        (
            "book.toml",
            "<html>
",
            r#"book.toml:1:7: `<html>` is no field with a value
  <html>
        ^
hint: write name = "value""#,
        ),
        (
            "book.toml",
            r#"format = 1
name = "a\q"
"#,
            r#"book.toml:2:11: name: a backslash begins a character that is none
  name = "a\q"
            ^
hint: write the backslash twice"#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
[[scale]
name = "b"
"#,
            r#"scales.toml:5:9: this is not TOML: unclosed array table, expected `]`
  [[scale]
          ^
hint: a line is a field as in name = "value", a heading [[scale]], a comment behind # or blank"#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
[[scale]]
name = 24
division = 0,01 g
"#,
            r#"scales.toml:6:8: name: `24` is a bare number, and a text is asked for
  name = 24
         ^^
hint: write "24"
scales.toml:7:12: division: `0,01 g` stands without quotes
  division = 0,01 g
             ^^^^^^
hint: write division = "0,01 g""#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g"
scale = "a"
"#,
            r#"droppers.toml:7:1: this list does not go on or end here
  scale = "a"
  ^
hint: put a comma between two texts, and ] behind the last"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g" "20 = 0.9 g"]
"#,
            r#"droppers.toml:6:27: this list does not go on or end here
  weighings = ["20 = 0.9 g" "20 = 0.9 g"]
                            ^
hint: put a comma between two texts, and ] behind the last"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
running = tru
weighings = ["0 = 0.9 g"]
"#,
            r#"droppers.toml:6:11: running: `tru` is neither true nor false
  running = tru
            ^^^
hint: write true or false, or a text in quotes
droppers.toml:7:15: weighings: a count of drops must be above 0 drops, not 0 drops
  weighings = ["0 = 0.9 g"]
                ^
hint: type a count such as 7 drops"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-02-30
weighings = ["20 = 0.9 g"]
"#,
            "droppers.toml:5:8: date: `2026-02-30` is no date
  date = 2026-02-30
         ^^^^^^^^^^
hint: write year, month and day with all digits, such as 2026-03-14",
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-1-2
weighings = ["20 = 0.9 g"]
"#,
            "droppers.toml:5:8: date: `2026-1-2` is no date
  date = 2026-1-2
         ^^^^^^^^
hint: write year, month and day with all digits, such as 2026-03-14",
        ),
    ]);
}

/// Only a number above the one read is a newer program's.
#[test]
fn a_wrong_format_number_is_said_to_be_wrong() {
    check(&[
        (
            "book.toml",
            "format = -1
",
            "book.toml:1:10: format: the format number `-1` is wrong: formats are numbered from 1 up
  format = -1
           ^^
hint: write format = 1",
        ),
        (
            "book.toml",
            "format = 0
nam = \"a\"
",
            "book.toml:1:10: format: the format number `0` is wrong: formats are numbered from 1 up
  format = 0
           ^
hint: write format = 1
book.toml:2:1: nam: book.toml has no field `nam`
  nam = \"a\"
  ^^^
hint: did you mean `name`?",
        ),
        (
            "book.toml",
            "format = one
",
            "book.toml:1:10: format: the format `one` is no whole number
  format = one
           ^^^
hint: write format = 1",
        ),
        (
            "book.toml",
            "format = 2
",
            "book.toml:1:10: format: this file has format `2`, and this program reads format 1
  format = 2
           ^
hint: take the newer program that wrote the file",
        ),
    ]);
}

#[test]
fn what_a_file_does_not_hold_is_named() {
    check(&[
        (
            "scales.toml",
            r#"format = 1
[scale]
name = "a"
division = "1 g"
"#,
            "scales.toml:2:2: scale: `scale` is not a list of tables
  [scale]
   ^^^^^
hint: write [[scale]] above the fields of each scale",
        ),
        (
            "scales.toml",
            r#"format = 1
scale = ["a"]
"#,
            r#"scales.toml:2:10: scale: `scale` is not a list of tables
  scale = ["a"]
           ^^^
hint: write [[scale]] above the fields of each scale"#,
        ),
        (
            "scales.toml",
            r#"format = 1
name = "a"
[[scale]]
name = "b"
division = "1 g"
"#,
            r#"scales.toml:2:1: name: scales.toml has no field `name`
  name = "a"
  ^^^^
hint: the fields of a scale stand below a line [[scale]]"#,
        ),
        (
            "scales.toml",
            "format = 1
benches = 3
",
            "scales.toml:2:1: benches: scales.toml has no field `benches`
  benches = 3
  ^^^^^^^
hint: it holds a [[scale]] for each scale",
        ),
        (
            "scales.toml",
            r#"format = "1"
"#,
            r#"scales.toml:1:10: format: the format `"1"` is no whole number
  format = "1"
           ^^^
hint: write format = 1"#,
        ),
        (
            "book.toml",
            r#"format = 1
nam = "x"
"#,
            r#"book.toml:2:1: nam: book.toml has no field `nam`
  nam = "x"
  ^^^
hint: did you mean `name`?"#,
        ),
        (
            "book.toml",
            r#"format = 1
owner = "x"
"#,
            r#"book.toml:2:1: owner: book.toml has no field `owner`
  owner = "x"
  ^^^^^
hint: its fields are format and name"#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
[[scale]]
"#,
            r#"scales.toml:5:1: name: this scale has no name
  [[scale]]
  ^^^^^^^^^
hint: write name = "bench"
scales.toml:5:1: division: this scale has no division
  [[scale]]
  ^^^^^^^^^
hint: write division = "0.01 g""#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
weighings = ["20 = 0.9 g"]
"#,
            "droppers.toml:2:1: date: this dropper has no date
  [[dropper]]
  ^^^^^^^^^^^
hint: write date = 2026-03-14",
        ),
        (
            "liquids.toml",
            r#"format = 1
[[liquid]]
name = "a"
oil = "3 %"
water = "35 %"
"#,
            r#"liquids.toml:4:1: oil: a liquid has no field `oil`
  oil = "3 %"
  ^^^
hint: its fields are name, density, surface_tension, water, alcohol, glycol, glycerine, sugar, solids and note"#,
        ),
    ]);
}
