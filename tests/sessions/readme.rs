//! README is held to its word: its commands run, and print what it shows.

use std::fs;

use gutta_tests::root;

use super::program::typed;

fn file(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Lines inside code fences, with the word behind the opening fence.
fn fenced(text: &str) -> Vec<(String, Vec<String>)> {
    let mut blocks = Vec::new();
    let mut open: Option<(String, Vec<String>)> = None;
    for line in text.lines() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(word), None) => open = Some((word.to_owned(), Vec::new())),
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some((_, lines))) => lines.push(line.to_owned()),
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    blocks
}

#[test]
fn the_first_twelve_lines_hold_the_job_in_one_paragraph() {
    let readme = file("README.md");
    let head: Vec<&str> = readme.lines().take(12).collect();
    let paragraph: Vec<&str> = head
        .iter()
        .copied()
        .skip_while(|line| line.is_empty() || line.starts_with('#'))
        .take_while(|line| !line.is_empty())
        .collect();
    assert!(
        head.len() > paragraph.len() + 1,
        "the paragraph must end within twelve lines"
    );
    let words = paragraph
        .iter()
        .flat_map(|line| line.split_whitespace())
        .count();
    assert!((80..=150).contains(&words), "{words} words");
}

#[test]
fn the_first_two_fenced_lines_are_the_job_and_the_tests() {
    let readme = file("README.md");
    let lines: Vec<String> = fenced(&readme)
        .into_iter()
        .flat_map(|(_, lines)| lines)
        .take(2)
        .collect();
    assert!(
        lines[0].starts_with("cargo run --release -q --bin gutta -- water --book demo-data "),
        "{}",
        lines[0]
    );
    for flag in ["--lot", "--dropper", "--scale"] {
        assert!(lines[0].contains(flag), "{flag}: {}", lines[0]);
    }
    let job = lines[0].replace("cargo run --release -q --bin gutta --", "gutta");
    let answered = typed(&job);
    assert_eq!(answered.code, 0, "{}", answered.err);
    let first = answered.out.lines().next().unwrap_or_default();
    assert!(
        first.starts_with("Add ") && first.chars().any(|c| c.is_ascii_digit()),
        "{first}"
    );

    assert!(lines[1].starts_with("cargo test"), "{}", lines[1]);
    let ci = file(".ci/run");
    assert!(
        ci.lines().any(|line| line == lines[1]),
        "the test command of README stands in .ci/run letter for letter"
    );
}

#[test]
fn every_command_of_the_tour_prints_what_is_shown() {
    let readme = file("README.md");
    let mut count = 0;
    for (word, lines) in fenced(&readme) {
        if word != "console" {
            continue;
        }
        let mut session = lines.iter().peekable();
        while let Some(line) = session.next() {
            let command = line
                .strip_prefix("$ ")
                .unwrap_or_else(|| panic!("a console block begins with a command: {line}"));
            let mut shown = String::new();
            while let Some(line) = session.next_if(|line| !line.starts_with("$ ")) {
                shown += line;
                shown.push('\n');
            }
            let run = typed(command);
            assert_eq!(run.out + &run.err, shown, "{command}");
            count += 1;
        }
    }
    assert!(count >= 5, "only {count} commands in the tour");
}
