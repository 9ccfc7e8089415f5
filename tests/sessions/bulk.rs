//! A table of batches through the program.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, Stdio};

use serde_json::Value as Json;
use tempfile::TempDir;

use super::program::{Run, command, typed_in, workshop};
use super::schemas::error_holds;

const HEADER: &str = "id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg";
const ANSWERS: &str = "id,water_g,water_ml,water_drops,moisture_after_pct_wb,u_moisture_after_pct";

/// A folder with a table in it, `t.csv`.
fn table(bytes: &[u8]) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("t.csv"), bytes).expect("a file");
    folder
}

fn sent(bytes: &[u8], flags: &str) -> Run {
    let folder = table(bytes);
    typed_in(folder.path(), &format!("gutta bulk {flags} < t.csv"))
}

/// What is said about a table that is refused as a whole.
fn refused(text: &str) -> String {
    let run = sent(text.as_bytes(), "");
    assert_eq!(run.code, 2, "{text}\n{}", run.err);
    assert_eq!(run.out, "", "{text}");
    run.err
}

#[test]
fn the_demonstration_table() {
    let run = typed_in(
        workshop().path(),
        "gutta bulk --scale 0.01g < demo-data/batches.csv",
    );
    assert_eq!(run.code, 0, "{}", run.err);
    // The first row by hand: 250 (14.5 − 11.2)/(100 − 14.5) g of water, 201 drops
    // of 47.8 mg; 3 drops of 21.4 mg on 10 g are 6.42 g/kg.
    assert_eq!(
        run.out,
        "id,note,water_g,water_ml,water_drops,moisture_after_pct_wb,u_moisture_after_pct,\
         flavour_g,flavour_ml,flavour_g_per_kg\n\
         H-014,evening bowl,9.649,9.666,201,14.486,0.4819,1.6050,1.8972,6.420\n\
         H-015,\"for the fair, first half\",64.706,64.822,1353,14.998,0.3812,8.0250,9.4858,6.420\n\
         H-016,came in damp,0.000,0.000,0,16.100,1.0000,0.3424,0.4047,4.280\n\
         H-017,jar of last autumn,1.711,1.714,37,13.497,0.0004,0.0000,0.0000,0.000\n\
         H-018,\"\"\"the dark one\"\"\",12.256,12.278,265,13.998,0.2945,3.0783,3.4127,4.965\n"
    );
    assert_eq!(
        run.err,
        "gutta bulk: 1 of 5 rows is at the target or above it, and gets no water\n"
    );
}

#[test]
fn columns_stand_in_any_order_and_only_what_is_asked_is_answered() {
    let water =
        "drop_mg,id,extra,target_pct_wb,batch_g,moisture_pct_wb\n47.8,a,x y,14.5,250,11.2\n";
    let run = sent(water.as_bytes(), "");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert_eq!(
        run.out,
        "id,extra,water_g,water_ml,water_drops,moisture_after_pct_wb,u_moisture_after_pct\n\
         a,x y,9.649,9.666,201,14.486,0.0000\n"
    );
    let flavour = "flavour_density_g_per_ml,flavour_drop_mg,flavour_drops_per_10g,batch_g,id\n\
                   0.846,21.4,3,250,a\n";
    let run = sent(flavour.as_bytes(), "");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert_eq!(
        run.out,
        "id,flavour_g,flavour_ml,flavour_g_per_kg\na,1.6050,1.8972,6.420\n"
    );
}

#[test]
fn a_table_from_a_spreadsheet_is_read() {
    let marked = format!("\u{feff}{HEADER}\r\n\"a\",\"250\",11.2,14.5,47.8\r\n,,,,\r\n");
    let run = sent(marked.as_bytes(), "");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert_eq!(
        run.out,
        format!("{ANSWERS}\na,9.649,9.666,201,14.486,0.0000\n")
    );
}

const ROWS: &str = "\
a,250,11.2,14.5,47.8
b,\"250,5\",11.2,14.5,47.8
c,NaN,11.2,14.5,47.8
d,inf,11.2,14.5,47.8
e,250 g,11.2,14.5,47.8
f,-3,11.2,14.5,47.8
g,250,11.2,14.5
h,250,11.2,14.5,47.8,9
i,250,11.2,100,47.8
j,250,11.2,14.5,200
k,1e400,11.2,14.5,47.8
l,,11.2,14.5,47.8
o,1e-320,11.2,14.5,47.8
m,250,15.5,14.5,47.8
n,250,11.2,14.5,47.8
";

#[test]
fn bad_rows_are_named_and_good_ones_go_through() {
    let run = sent(format!("{HEADER}\n{ROWS}").as_bytes(), "");
    assert_eq!(run.code, 1);
    let good = "9.649,9.666,201,14.486,0.0000";
    assert_eq!(
        run.out,
        format!("{ANSWERS}\na,{good}\nm,0.000,0.000,0,15.500,0.0000\nn,{good}\n")
    );
    assert_eq!(
        run.err,
        "gutta bulk: line 3 (b): batch_g: `250,5` has a comma in it\n\
         gutta bulk: line 4 (c): batch_g: `NaN` is not a finite number\n\
         gutta bulk: line 5 (d): batch_g: `inf` is not a finite number\n\
         gutta bulk: line 6 (e): batch_g: `250 g` is not a bare number\n\
         gutta bulk: line 7 (f): batch_g: a mass must be above 0 g, not -3 g\n\
         gutta bulk: line 8 (g): this row has 4 fields, and there are 5 columns\n\
         gutta bulk: line 9 (h): this row has 6 fields, and there are 5 columns\n\
         gutta bulk: line 10 (i): target_pct_wb: the target moisture must be above 0 % and below 100 %, not 100 %\n\
         gutta bulk: line 11 (j): drop_mg: a typed drop must be from 5 mg to 120 mg, not 200 mg\n\
         gutta bulk: line 12 (k): batch_g: `1e400` is too large\n\
         gutta bulk: line 13 (l): batch_g: batch_g is blank\n\
         gutta bulk: line 14 (o): batch_g: `1e-320` is too small\n\
         gutta bulk: 1 of 15 rows is at the target or above it, and gets no water\n\
         gutta bulk: 12 of 15 rows are left out\n\
         hint: each is named above; correct it and send it through again\n"
    );
}

#[test]
fn rejects_go_into_a_file_of_their_own() {
    let folder = table(format!("{HEADER}\n{ROWS}").as_bytes());
    let line = "gutta bulk --rejects r.csv < t.csv";
    // A file of rejects is written over by the next.
    for _ in 0..2 {
        let run = typed_in(folder.path(), line);
        assert_eq!(run.code, 1);
        assert_eq!(
            run.err,
            "gutta bulk: 1 of 15 rows is at the target or above it, and gets no water\n\
             gutta bulk: 12 of 15 rows are left out\n\
             hint: r.csv names each; correct it and send it through again\n"
        );
    }
    let rejects = fs::read_to_string(folder.path().join("r.csv")).expect("a file");
    let lines: Vec<&str> = rejects.lines().collect();
    assert_eq!(lines.len(), 13);
    assert_eq!(
        lines[..3],
        [
            "line,column,reason,hint,id,text",
            "3,batch_g,\"`250,5` has a comma in it\",a decimal comma is not read in a table: write 250.5,b,\"250,5\"",
            "4,batch_g,`NaN` is not a finite number,\"write the figure alone, in g, with a decimal point\",c,NaN",
        ]
    );
    // The table itself is no such file.
    let run = typed_in(folder.path(), "gutta bulk --rejects t.csv < t.csv");
    assert_eq!(run.code, 2);
    assert_eq!(
        run.err,
        "gutta bulk: --rejects: this file is there already, and is another table\n  t.csv\n  ^^^^^\n\
         hint: name a file that is not there yet, such as rejects.csv\n"
    );
    let kept = fs::read_to_string(folder.path().join("t.csv")).expect("a file");
    assert!(kept.starts_with(HEADER));
}

#[test]
fn strictness_stops_at_the_first() {
    let run = sent(format!("{HEADER}\n{ROWS}").as_bytes(), "--strict");
    assert_eq!(run.code, 1);
    assert_eq!(
        run.out,
        format!("{ANSWERS}\na,9.649,9.666,201,14.486,0.0000\n")
    );
    assert_eq!(
        run.err,
        "gutta bulk: line 3: batch_g: `250,5` has a comma in it\n  250,5\n  ^^^^^\n\
         hint: a decimal comma is not read in a table: write 250.5\n"
    );
}

#[test]
fn a_machine_is_told_in_one_object() {
    let run = sent(format!("{HEADER}\n{ROWS}").as_bytes(), "--json");
    assert_eq!(run.code, 1);
    assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    let said: Json = serde_json::from_str(&run.err).expect("JSON");
    error_holds(&said);
    assert_eq!(said["error"]["line"], 3);
    assert_eq!(said["error"]["field"], "batch_g");
    assert_eq!(said["error"]["text"], "250,5");
    let more = said["more"].as_array().expect("a list");
    assert_eq!(more.len(), 12);
    assert_eq!(more[11]["message"], "12 of 15 rows are left out");

    let run = sent(
        format!("{HEADER}\na,250,15,14.5,47.8\n").as_bytes(),
        "--json",
    );
    assert_eq!(run.code, 0);
    let said: Json = serde_json::from_str(&run.err).expect("JSON");
    assert_eq!((&said["rows"], &said["no_water"]), (&1.into(), &1.into()));
}

#[test]
fn a_table_that_cannot_be_answered_says_why() {
    let begin = "hint: begin the table with id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg\n";
    for (text, said) in [
        ("", format!("gutta bulk: line 1: the line with the names of the columns is missing\n{begin}")),
        ("\n\n", format!("gutta bulk: line 1: the line with the names of the columns is missing\n{begin}")),
        (
            "id;batch_g\na;3\n",
            "gutta bulk: line 1: the columns are not separated by commas\nhint: save the table as CSV with commas, and with decimal points\n".to_owned(),
        ),
        (
            "id,drop_mg\n",
            format!("gutta bulk: line 1: batch_g: there is no column batch_g\n{begin}"),
        ),
        (
            "id,Batch_G,drop_mg\n",
            "gutta bulk: line 1: batch_g: there is no column batch_g\nhint: is Batch_G meant? write batch_g\n".to_owned(),
        ),
        (
            "id,batch_g\n",
            format!("gutta bulk: line 1: there is nothing to work out: the columns for water and for\n  a flavouring are missing\n{begin}"),
        ),
        (
            "id,batch_g,drop_mg\n",
            "gutta bulk: line 1: moisture_pct_wb: half of what water needs is here, and no\n  column moisture_pct_wb\nhint: water needs moisture_pct_wb, target_pct_wb, drop_mg; leave all of them out\n  to go without\n".to_owned(),
        ),
        (
            "id,batch_g,flavour_drop_mg,flavour_drops_per_10g\n",
            "gutta bulk: line 1: flavour_density_g_per_ml: half of what a flavouring needs is\n  here, and no column flavour_density_g_per_ml\nhint: a flavouring needs flavour_drops_per_10g, flavour_drop_mg,\n  flavour_density_g_per_ml; leave all of them out to go without\n".to_owned(),
        ),
        (
            "id,batch_g,drop_mg,batch_g\n",
            "gutta bulk: line 1: batch_g: column batch_g stands twice\nhint: leave one of them, or rename it\n".to_owned(),
        ),
        (
            "id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg,water_g\n",
            "gutta bulk: line 1: water_g: column water_g is one that is answered\nhint: leave it out, or give it another name\n".to_owned(),
        ),
    ] {
        assert_eq!(refused(text), said, "{text}");
    }
    let wide = sent(b"\xff\xfei\0d\0", "");
    assert_eq!(wide.code, 2);
    assert_eq!(
        wide.err,
        "gutta bulk: line 1: this is not text in UTF-8\nhint: save the table as CSV in UTF-8\n"
    );
}

#[test]
fn a_column_that_is_a_slip_away_is_pointed_out() {
    let run = sent(
        format!("{HEADER},drop_u_mgs\na,250,11.2,14.5,47.8,0.3\n").as_bytes(),
        "",
    );
    assert_eq!(run.code, 0);
    assert_eq!(
        run.err,
        "gutta bulk: column drop_u_mgs passes through unread; was drop_u_mg meant?\n"
    );
}

/// The program with many rows sent in, its answer handed to nobody.
fn with_many(out: Stdio) -> Child {
    let mut child = command(&["bulk"])
        .stdin(Stdio::piped())
        .stdout(out)
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    send(&mut child);
    child
}

/// Sends rows in from another thread: the program takes no more of them while
/// nobody reads its answer.
fn send(child: &mut Child) {
    let mut input = child.stdin.take().expect("it is piped");
    let rows = "a,250,11.2,14.5,47.8\n".repeat(100_000);
    std::thread::spawn(move || {
        let _ = input.write_all(format!("{HEADER}\n{rows}").as_bytes());
    });
}

fn said(child: Child) -> (Option<i32>, String) {
    let output = child.wait_with_output().expect("it ends");
    let text = String::from_utf8(output.stderr).expect("UTF-8");
    (output.status.code(), text)
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let mut child = with_many(Stdio::piped());
    let mut out = child.stdout.take().expect("it is piped");
    let mut some = [0; 100];
    out.read_exact(&mut some).expect("some of the answer");
    drop(out);
    assert_eq!(said(child), (Some(0), String::new()));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full");
    let full = full.expect("the device is there");
    let (code, err) = said(with_many(full.into()));
    assert_eq!(code, Some(2), "{err}");
    assert!(
        err.starts_with("gutta bulk: the answer cannot be written: "),
        "{err}"
    );
    // The file of rejects is on it.
    let folder = table(format!("{HEADER}\n{ROWS}").as_bytes());
    let run = typed_in(folder.path(), "gutta bulk --rejects /dev/full < t.csv");
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(run.err.contains("--rejects: "), "{}", run.err);
}

#[test]
fn a_folder_is_no_table() {
    let folder = fs::File::open(Path::new(".")).expect("a folder");
    let output = command(&["bulk"]).stdin(folder).output().expect("it ends");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(output.stderr).expect("UTF-8"),
        "gutta bulk: the table is a folder, not a file\nhint: send in a file that you may read\n"
    );
}
