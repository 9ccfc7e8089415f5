//! The examples in the help are run.

use super::program::{ANSWERING, run, typed, typed_in, workshop};

/// The help of every command, long form.
const COMMANDS: [&str; 79] = [
    "",
    "water",
    "dropper",
    "dose",
    "dilute",
    "series",
    "liquid",
    "liquid show",
    "liquid mix",
    "liquid dilute",
    "casing",
    "formula",
    "formula show",
    "formula compare",
    "formula change",
    "formula premix",
    "formula strip",
    "sheet",
    "spoons",
    "repair",
    "repair ratio",
    "repair top-up",
    "repair flavour",
    "repair soaked",
    "repair wet",
    "trial",
    "trial begin",
    "trial add",
    "trial show",
    "trial list",
    "trial tree",
    "trial compare",
    "batch",
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
    "jar",
    "jar fill",
    "jar weigh",
    "jar take",
    "jar put",
    "jar water",
    "jar show",
    "lot",
    "lot in",
    "lot take",
    "lot weigh",
    "lot show",
    "journal",
    "journal note",
    "journal list",
    "journal show",
    "journal due",
    "journal void",
    "moisture",
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
    "book",
    "book new",
    "book check",
    "bulk",
];

fn help(command: &str) -> String {
    let line = format!("gutta {command} --help");
    let help = typed(&line);
    assert_eq!(help.code, 0, "{line}");
    assert_eq!(help.err, "", "{line}");
    help.out
}

/// The command lines below `Examples:`, the continued ones joined.
fn examples(help: &str) -> Vec<String> {
    let joined = help.replace("\\\n", " ");
    joined
        .lines()
        .map(str::trim)
        .filter(|line| line.starts_with("gutta ") && !line.contains("[OPTIONS]"))
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_example_in_the_help_is_answered() {
    let mut count = 0;
    for command in COMMANDS.iter().chain(&["schema"]) {
        for line in examples(&help(command)) {
            // Some write a file.
            let answered = typed_in(workshop().path(), &line);
            assert_eq!(answered.code, 0, "{line}\n{}", answered.err);
            assert!(!answered.out.is_empty(), "{line}");
            count += 1;
        }
    }
    assert!(count >= 20, "only {count} examples were found");
}

#[test]
fn every_command_that_answers_has_examples() {
    for command in ANSWERING.into_iter().chain(["schema"]) {
        assert!(!examples(&help(command)).is_empty(), "{command}");
    }
}

#[test]
fn short_help_is_shorter_and_ends_well() {
    // What only leads on to other commands has one help.
    let answers = |command: &&&str| ANSWERING.contains(*command);
    for command in COMMANDS.iter().filter(answers) {
        let short = typed(&format!("gutta {command} -h"));
        assert_eq!(short.code, 0);
        assert!(short.out.len() < help(command).len(), "{command}");
    }
}

#[test]
fn the_greeting_shows_three_commands_that_work() {
    let greeting = run(&[]);
    assert_eq!(greeting.code, 0);
    assert!(greeting.out.lines().count() <= 24, "{}", greeting.out);
    let tried: Vec<&str> = greeting
        .out
        .lines()
        .map(str::trim)
        .filter(|line| line.starts_with("gutta "))
        .collect();
    assert_eq!(tried.len(), 3, "{}", greeting.out);
    for line in tried {
        assert_eq!(typed(line).code, 0, "{line}");
    }
}
