//! Runs the program as a person would.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use gutta_tests::root;
use serde_json::Value as Json;
use tempfile::TempDir;

/// What a run printed, and how it ended.
pub struct Run {
    pub out: String,
    pub err: String,
    pub code: i32,
}

/// The commands that answer with figures.
pub const ANSWERING: [&str; 67] = [
    "water",
    "dropper",
    "dose",
    "dilute",
    "series",
    "liquid show",
    "liquid mix",
    "liquid dilute",
    "casing",
    "formula show",
    "formula compare",
    "formula change",
    "formula premix",
    "formula strip",
    "sheet",
    "spoons",
    "repair ratio",
    "repair top-up",
    "repair flavour",
    "repair soaked",
    "repair wet",
    "trial begin",
    "trial add",
    "trial show",
    "trial list",
    "trial tree",
    "trial compare",
    "batch begin",
    "batch add",
    "batch show",
    "batch list",
    "batch tree",
    "batch compare",
    "batch plan",
    "batch cheapest",
    "batch packs",
    "batch record",
    "batch labels",
    "batch reconcile",
    "jar fill",
    "jar weigh",
    "jar take",
    "jar put",
    "jar water",
    "jar show",
    "lot in",
    "lot take",
    "lot weigh",
    "lot show",
    "journal note",
    "journal list",
    "journal show",
    "journal due",
    "journal void",
    "moisture basis",
    "moisture combine",
    "moisture before",
    "moisture after",
    "moisture oven",
    "moisture jar",
    "moisture mix",
    "moisture feel",
    "moisture air",
    "moisture keep",
    "moisture hygrometer",
    "book new",
    "book check",
];

/// A command of the program, not run yet, in the root of the repository.
pub fn command(args: &[&str]) -> Command {
    command_in(&root(), args)
}

/// A command of the program, not run yet, in a folder.
pub fn command_in(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gutta-under-test"));
    command.args(args).current_dir(folder);
    for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
        command.env_remove(name);
    }
    command
}

/// Runs the program with arguments.
pub fn run(args: &[&str]) -> Run {
    ended(&mut command(args))
}

fn ended(command: &mut Command) -> Run {
    ended_with(command.output().expect("the program starts"))
}

/// What a run printed that has ended.
pub fn ended_with(output: Output) -> Run {
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program prints UTF-8");
    Run {
        out: text(output.stdout),
        err: text(output.stderr),
        code: output.status.code().expect("the program ends by itself"),
    }
}

/// Runs the program with a command line as it would be typed.
pub fn typed(line: &str) -> Run {
    typed_in(&root(), line)
}

/// Runs the program with a command line as it would be typed in a folder; `< FILE`
/// at its end sends a file in.
pub fn typed_in(folder: &Path, line: &str) -> Run {
    let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
    let args: Vec<&str> = words.iter().map(String::as_str).collect();
    match args.split_first() {
        Some((&"gutta", [args @ .., "<", file])) => {
            let file = fs::File::open(folder.join(file)).expect("a file");
            ended(command_in(folder, args).stdin(file))
        }
        Some((&"gutta", args)) => ended(&mut command_in(folder, args)),
        _ => panic!("a command line begins with gutta: {line}"),
    }
}

/// A folder of its own with the demonstration book in it: what writes files is
/// tried there, and leaves none in the repository.
pub fn workshop() -> TempDir {
    let top = tempfile::tempdir().expect("a folder");
    let book = top.path().join("demo-data");
    fs::create_dir(&book).expect("a folder");
    for entry in fs::read_dir(root().join("demo-data")).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_file() {
            let to = book.join(path.file_name().expect("a name"));
            fs::copy(&path, to).expect("a copy");
        }
    }
    top
}

/// The text that a command line answers with, as one line, so that a sentence is
/// found wherever it is broken.
pub fn text(line: &str) -> String {
    let run = typed(line);
    assert_eq!(run.code, 0, "{line}\n{}", run.err);
    joined(&run.out)
}

/// What a refused command line says to a person, broken as it is.
pub fn complaint(line: &str, code: i32) -> String {
    let run = typed(line);
    assert_eq!(run.code, code, "{line}\n{}{}", run.out, run.err);
    assert_eq!(run.out, "", "{line}");
    run.err
}

/// A text with its lines joined.
pub fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The command line that asks for JSON.
fn in_json(line: &str) -> String {
    line.replacen("gutta", "gutta --json", 1)
}

/// The JSON that a command line answers with; it must be answered, and its
/// schema must hold.
pub fn json(line: &str) -> Json {
    json_in(&root(), line)
}

/// The same of a command line that is typed in a folder.
pub fn json_in(folder: &Path, line: &str) -> Json {
    let run = typed_in(folder, &in_json(line));
    assert_eq!(run.code, 0, "{line}\n{}", run.err);
    assert_eq!(run.err, "", "{line}");
    assert!(run.out.ends_with("}\n"), "{line}\n{}", run.out);
    assert_eq!(run.out.lines().count(), 1, "{line}\n{}", run.out);
    let answer: Json = serde_json::from_str(&run.out).expect("JSON");
    super::schemas::holds(&answer);
    answer
}

/// The object that a refused command line leaves on the error stream.
pub fn refused(line: &str, code: i32) -> Json {
    refused_in(&root(), line, code)
}

/// The same of a command line that is typed in a folder.
pub fn refused_in(folder: &Path, line: &str, code: i32) -> Json {
    let run = typed_in(folder, &in_json(line));
    assert_eq!(run.code, code, "{line}\n{}{}", run.out, run.err);
    assert_eq!(run.out, "", "{line}");
    let error: Json = serde_json::from_str(&run.err).expect("JSON");
    super::schemas::error_holds(&error);
    error
}

/// The value of a quantity under `answer`, whose unit must be the one named.
pub fn value(answer: &Json, key: &str, unit: &str) -> f64 {
    let quantity = &answer["answer"][key];
    assert_eq!(quantity["unit"], unit, "{key}: {quantity}");
    quantity["value"]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} has no number: {quantity}"))
}
