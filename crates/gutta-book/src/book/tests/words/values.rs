//! Values of the wrong type, and quantities.

use super::check;

#[test]
fn a_value_of_another_type_is_shown_with_what_to_write() {
    check(&[
        (
            "book.toml",
            "format = 1
name = 3
",
            r#"book.toml:2:8: name: `3` is a bare number, and a text is asked for
  name = 3
         ^
hint: write "3""#,
        ),
        (
            "book.toml",
            r#"format = 1
name = " "
"#,
            r#"book.toml:2:9: name: the name is empty
  name = " "
          ^
hint: write name = "the workshop""#,
        ),
        (
            "book.toml",
            r#"format = 1
name = "a\nb"
"#,
            r#"book.toml:2:8: name: the name has a line break or another character that does not show
  name = "a\nb"
         ^^^^^^
hint: write name = "the workshop""#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
[[scale]]
name = true
division = nan
"#,
            r#"scales.toml:6:8: name: `true` is a yes or no, and a text is asked for
  name = true
         ^^^^
hint: write name = "bench"
scales.toml:7:12: division: `nan` is a bare number, and a text is asked for
  division = nan
             ^^^
hint: write division = "0.01 g""#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
note = 3
"#,
            r#"scales.toml:5:8: note: `3` is a bare number, and a text is asked for
  note = 3
         ^
hint: write "3""#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = []
"#,
            r#"droppers.toml:6:13: weighings: the list of weighings is empty
  weighings = []
              ^^
hint: write weighings = ["20 = 0.974 g", "20 = 0.981 g"]"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = "20 = 0.9 g"
"#,
            r#"droppers.toml:6:13: weighings: `"20 = 0.9 g"` is a text, and a list of texts is asked for
  weighings = "20 = 0.9 g"
              ^^^^^^^^^^^^
hint: write weighings = ["20 = 0.974 g", "20 = 0.981 g"]"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = [20]
"#,
            r#"droppers.toml:6:14: weighings: `20` is a bare number, and a text is asked for
  weighings = [20]
               ^^
hint: write weighings = ["20 = 0.974 g", "20 = 0.981 g"]"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g"]
humidity = "50 % db"
"#,
            r#"droppers.toml:7:13: humidity: `50 % db` is a moisture, and a share is asked for
  humidity = "50 % db"
              ^^^^^^^
hint: write humidity = "50 %""#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02T10:00:00
weighings = ["20 = 0.9 g"]
"#,
            "droppers.toml:5:8: date: `2026-01-02T10:00:00` is a date with a time, and a date is asked for
  date = 2026-01-02T10:00:00
         ^^^^^^^^^^^^^^^^^^^
hint: write date = 2026-03-14, without a time",
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 10:00:00
weighings = ["20 = 0.9 g"]
"#,
            "droppers.toml:5:8: date: `10:00:00` is a time, and a date is asked for
  date = 10:00:00
         ^^^^^^^^
hint: write date = 2026-03-14, without a time",
        ),
        (
            "liquids.toml",
            r#"format = 1
[[liquid]]
name = "a"
water = "35 % db"
"#,
            r#"liquids.toml:4:10: water: `35 % db` is a moisture, and a share is asked for
  water = "35 % db"
           ^^^^^^^
hint: write water = "35 %""#,
        ),
        (
            "liquids.toml",
            r#"format = 1
[[liquid]]
name = "a"
density = 0.9
"#,
            r#"liquids.toml:4:11: density: `0.9` is a bare number, and a text is asked for
  density = 0.9
            ^^^
hint: write "0.9 g/mL""#,
        ),
        (
            "liquids.toml",
            r#"format = 1
[[liquid]]
name = "a"
water = 35
"#,
            r#"liquids.toml:4:9: water: `35` is a bare number, and a text is asked for
  water = 35
          ^^
hint: write "35 %""#,
        ),
    ]);
}

#[test]
fn a_quantity_is_checked_where_it_stands() {
    check(&[
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
repeatability = "0 g"
"#,
            r#"scales.toml:5:18: repeatability: a mass must be above 0 g, not 0 g
  repeatability = "0 g"
                   ^^^
hint: write the standard deviation of one reading, such as "0.008 g", or leave it out"#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
repeatability = "0.1 g ± 5%"
"#,
            r#"scales.toml:5:18: repeatability: a repeatability is exact
  repeatability = "0.1 g ± 5%"
                   ^^^^^^^^^^
hint: write it without ±: repeatability = "0.008 g""#,
        ),
        (
            "scales.toml",
            r#"format = 1
[[scale]]
name = "a"
division = "1 g"
repeatability = "0.1\u0020gr"
"#,
            r#"scales.toml:5:17: repeatability: `gr` can mean gram or grain
  repeatability = "0.1\u0020gr"
                  ^^^^^^^^^^^^^
hint: write g or grain"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
running = true
weighings = ["20 = 0.9 g", "40 = 0.8 g"]
"#,
            r#"droppers.toml:7:29: weighings: weighing 2 of a running total does not rise
  weighings = ["20 = 0.9 g", "40 = 0.8 g"]
                              ^^^^^^^^^^
hint: write drops and mass since the one zero, such as 20 = 0.612 g, 40 = 1.218 g"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
running = true
weighings = ["20 = 1 mL"]
"#,
            r#"droppers.toml:7:15: weighings: a running total is weighed, not filled
  weighings = ["20 = 1 mL"]
                ^^^^^^^^^
hint: write each volume from empty, and no running total"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = -0.9 g"]
"#,
            r#"droppers.toml:6:20: weighings: a mass must be above 0 g, not -0.9 g
  weighings = ["20 = -0.9 g"]
                     ^^^^^^
hint: type what the scale shows, such as 10.00 g"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = [
  "20 = 0.9 g",
  "20 = 0.9 gr",
]
"#,
            r#"droppers.toml:8:13: weighings: `gr` can mean gram or grain
    "20 = 0.9 gr",
              ^^
hint: write g or grain"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g"]
temperature = "50 °C"
"#,
            r#"droppers.toml:7:16: temperature: the temperature must be from 0 °C to 40 °C, not 50 °C
  temperature = "50 °C"
                 ^^^^^
hint: write the temperature of the room and the liquid, or leave it out to take 20 °C"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g"]
pressure = "2000 hPa"
"#,
            r#"droppers.toml:7:13: pressure: the air pressure must be from 500 hPa to 1100 hPa, not 2000 hPa
  pressure = "2000 hPa"
              ^^^^^^^^
hint: type the pressure of the room itself, not reduced to sea level, such as 1003 hPa"#,
        ),
        (
            "droppers.toml",
            r#"format = 1
[[dropper]]
name = "a"
liquid = "water"
date = 2026-01-02
weighings = ["20 = 0.9 g"]
humidity = "120 %"
"#,
            r#"droppers.toml:7:13: humidity: the relative humidity must be from 0 % to 100 %, not 120 %
  humidity = "120 %"
              ^^^^^
hint: type the relative humidity of the room, such as 50 %"#,
        ),
        (
            "liquids.toml",
            r#"format = 1
[[liquid]]
name = "a"
water = "120 %"
"#,
            r#"liquids.toml:4:10: water: the share of water must be from 0 % to 100 %, not 120 %
  water = "120 %"
           ^^^^^
hint: write the share by mass: water = "35 %""#,
        ),
    ]);
}
