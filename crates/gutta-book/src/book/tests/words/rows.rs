//! Columns and rows.

use super::check;

#[test]
fn a_row_is_pointed_into() {
    check(&[
        (
            "lots.csv",
            "name;moisture
a;11%
",
            "lots.csv:1:1: the columns are not separated by commas
  name;moisture
  ^^^^^^^^^^^^^
hint: begin the file with name,leaf,moisture,method,date,price,stock,note",
        ),
        (
            "lots.csv",
            "name,moisture,name
a,11%,b
",
            "lots.csv:1:15: name: column `name` stands twice
  name,moisture,name
                ^^^^
hint: leave one of them",
        ),
        (
            "lots.csv",
            "name,moisture,colour
a,11%,b
",
            "lots.csv:1:15: colour: there is no column `colour`
  name,moisture,colour
                ^^^^^^
hint: the columns are name, leaf, moisture, method, date, price, stock and note",
        ),
        (
            "lots.csv",
            r#"name,moisture
"a,11%
b,12%
"#,
            r#"lots.csv:2:1: this quote is never closed
  "a,11%
  ^
hint: put a quote behind the text, and write a quote inside it twice"#,
        ),
        (
            "lots.csv",
            r#"name,moisture
"a
b",12%
"#,
            r#"lots.csv:2:2: name: the name has a line break or another character that does not show
  "a
   ^
hint: write the name on one line"#,
        ),
        (
            "lots.csv",
            r#"name,moisture
a,"11 ""x"""
,,
,
c,
"#,
            r#"lots.csv:2:3: moisture: `"x"` is not a unit known here
  a,"11 ""x"""
    ^^^^^^^^^^
hint: write %
lots.csv:5:3: moisture: this row has no moisture
  c,
    ^
hint: write one, such as 10.8% ± 1.0%"#,
        ),
        (
            "lots.csv",
            "name,moisture
a,-1%
b,12 g
c,12% ± 120%
",
            "lots.csv:2:3: moisture: a moisture must be at least 0 % and below 100 %, not -1 %
  a,-1%
    ^^^
hint: moisture is water over total weight: type a figure such as 11.2 %, or 17.6 % db on dry basis
lots.csv:3:3: moisture: `12 g` is a mass, and a share is asked for
  b,12 g
    ^^^^
hint: write it in %",
        ),
        (
            "lots.csv",
            "note
x
",
            "lots.csv:1:5: name: there is no column name
  note
      ^
hint: begin the file with name,leaf,moisture,method,date,price,stock,note
lots.csv:1:5: moisture: there is no column moisture
  note
      ^
hint: begin the file with name,leaf,moisture,method,date,price,stock,note",
        ),
    ]);
}
