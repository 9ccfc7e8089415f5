//! Streams, exit codes, styles and widths.

use std::io::Read;
use std::process::Stdio;

use super::program::{command, run, typed};

const WATER: &str = "gutta water --leaf 10.00g --at 11.2% --to 14.5% --drop 47.8mg";

#[test]
fn help_and_version_are_answers() {
    for line in [
        "gutta --help",
        "gutta -h",
        "gutta --version",
        "gutta water --version",
        "gutta water --help",
    ] {
        let answered = typed(line);
        assert_eq!(answered.code, 0, "{line}");
        assert_eq!(answered.err, "", "{line}");
        assert!(!answered.out.is_empty(), "{line}");
    }
}

#[test]
fn a_closed_pipe_is_no_error() {
    let mut child = command(&["schema"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let mut err = String::new();
    child
        .stderr
        .take()
        .expect("the error stream is piped")
        .read_to_string(&mut err)
        .expect("UTF-8");
    let status = child.wait().expect("the program ends");
    assert_eq!(status.code(), Some(0));
    assert_eq!(err, "");
}

/// `/dev/full` answers every write with "no space left".
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("the device is there");
    let output = command(&["moisture", "basis", "15%"])
        .stdout(full)
        .output()
        .expect("the program starts");
    let err = String::from_utf8(output.stderr).expect("UTF-8");
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(
        err.starts_with("gutta moisture basis: the answer cannot be written: "),
        "{err}"
    );
}

#[test]
fn piped_text_has_no_colour() {
    let answered = typed(WATER);
    assert!(!answered.out.contains('\u{1b}'), "{}", answered.out);
}

#[test]
fn colour_can_be_forced_and_forbidden() {
    let forced = |no_color: bool| {
        let mut program = command(&["moisture", "basis", "15%"]);
        program.env("CLICOLOR_FORCE", "1");
        if no_color {
            program.env("NO_COLOR", "1");
        }
        let output = program.output().expect("the program starts");
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    assert!(forced(false).starts_with("\u{1b}["));
    assert!(!forced(true).contains('\u{1b}'));
}

#[test]
fn narrow_lines_have_at_most_forty_columns() {
    for line in [
        WATER,
        "gutta water --leaf 1200g --at 11.5% --to 16% --bring \"60g casing, 35% water\" --working",
        "gutta dose 7drops --drop 21.4mg --leaf 10g --density 0.846g/mL --working",
        "gutta dropper 20=0.612g 20=0.606g 20=0.615g 20=0.581g --density 0.871g/mL --working",
        "gutta moisture after --leaf 10g --at \"11% ± 1%\" --added 8drops",
        "gutta water --leaf 10g --to 14.5%",
        "gutta",
    ] {
        let answered = typed(&format!("{line} --narrow"));
        let text = answered.out + &answered.err;
        for printed in text.lines() {
            let columns = printed.chars().count();
            assert!(columns <= 40, "{columns} columns: {printed}\n{line}");
        }
    }
}

#[test]
fn json_wins_over_narrow() {
    let both = typed(&format!("{WATER} --json --narrow"));
    assert_eq!(both.out, typed(&format!("{WATER} --json")).out);
}

#[test]
fn working_is_there_when_asked_for() {
    let without = super::program::json(WATER);
    assert!(without.get("working").is_none());
    let with = super::program::json(&format!("{WATER} --working"));
    let lines = with["working"].as_array().expect("a list");
    assert!(lines.len() >= 3, "{with}");
    let text = typed(&format!("{WATER} --working")).out;
    assert!(text.contains("\nWorking   "), "{text}");
}

#[test]
fn an_argument_that_is_no_text_is_refused() {
    #[cfg(unix)]
    {
        use std::ffi::OsStr;
        use std::os::unix::ffi::OsStrExt;
        let output = command(&["water", "--leaf"])
            .arg(OsStr::from_bytes(b"10\xffg"))
            .output()
            .expect("the program starts");
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(
            String::from_utf8(output.stderr).expect("UTF-8"),
            "gutta water: an argument is not UTF-8 text\nhint: type it again; letters, digits and the usual signs will do\n"
        );
    }
}

#[test]
fn nothing_is_on_the_answer_stream_when_there_is_no_answer() {
    for (line, code) in [
        ("gutta water --leaf 10g --at 11% --to 100%", 1),
        ("gutta water --leaf 0g --at 11% --to 14%", 2),
        ("gutta watr", 2),
    ] {
        let refused = typed(line);
        assert_eq!(refused.code, code, "{line}");
        assert_eq!(refused.out, "", "{line}");
        assert!(!refused.err.is_empty(), "{line}");
    }
}

#[test]
fn the_greeting_needs_no_book() {
    assert_eq!(run(&["--book", "nowhere"]).code, 0);
}
