//! What stands in which room.

use std::fs;
use std::path::{Path, PathBuf};

use gutta_tests::root;

use super::paths::{bare, paths_from, without_tests};

/// All files of the repository that are not built or fetched.
fn files() -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![root()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            let name = path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            // In a second worktree it is a file that says where the first is.
            if name == ".git" {
                continue;
            }
            if path.is_dir() {
                if !name.starts_with("target") {
                    folders.push(path);
                }
            } else {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

fn name(path: &Path) -> String {
    let inner = path.strip_prefix(root()).unwrap_or(path);
    inner.display().to_string().replace('\\', "/")
}

fn sources() -> Vec<(String, String)> {
    files()
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .map(|path| (name(&path), fs::read_to_string(&path).expect("text")))
        .collect()
}

/// What only one place may touch of the world, and which that is.
const ROOMS: [(&str, &[&str]); 9] = [
    ("std::fs", &["crates/gutta-book/src/store.rs"]),
    ("std::env", &["crates/gutta-program/src/main.rs"]),
    ("std::process", &["crates/gutta-program/src/main.rs"]),
    ("std::io::stdin", &["crates/gutta-program/src/main.rs"]),
    ("std::io::stdout", &["crates/gutta-program/src/main.rs"]),
    ("std::io::stderr", &["crates/gutta-program/src/main.rs"]),
    ("std::thread", &["crates/gutta-cli/src/cores.rs"]),
    ("std::time", &["crates/gutta-program/src/main.rs"]),
    ("std::net", &[]),
];

/// What prints without being handed a stream.
const PRINTING: [&str; 5] = ["print!", "println!", "eprint!", "eprintln!", "dbg!"];

/// What a file touches of the world without being the room for it.
fn touched(file: &str, text: &str) -> Vec<String> {
    let text = without_tests(&bare(text));
    let mut touched = Vec::new();
    for path in paths_from(&text, &["std", "io"]) {
        // `io::stdout` behind a `use std::io`.
        let within = if path.segments[0] == "io" {
            "std::"
        } else {
            ""
        };
        let said = format!("{within}{}", path.segments.join("::"));
        let room = ROOMS
            .iter()
            .find(|(part, _)| said == *part || said.starts_with(&format!("{part}::")));
        let is_open = room.is_none_or(|(_, rooms)| rooms.contains(&file));
        if !is_open || said == "std::*" {
            touched.push(format!("{file}:{} touches {said}", path.line));
        }
    }
    let words = text.split(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '!')));
    let printing = words.filter(|word| PRINTING.contains(word));
    touched.extend(printing.map(|word| format!("{file} prints by {word}")));
    touched
}

#[test]
fn the_world_is_touched_in_its_own_rooms_only() {
    let sources: Vec<(String, String)> = sources()
        .into_iter()
        .filter(|(file, _)| {
            let product = ["gutta/", "gutta-book/", "gutta-cli/", "gutta-program/"];
            let is_in = |room: &&str| file.starts_with(&format!("crates/{room}"));
            product.iter().any(is_in)
        })
        // Tests beside the code may make files of their own.
        .filter(|(file, _)| !file.contains("/tests/") && !file.ends_with("/tests.rs"))
        .collect();
    assert!(sources.len() > 60, "only {} files were read", sources.len());
    let touched: Vec<String> = sources
        .iter()
        .flat_map(|(file, text)| touched(file, text))
        .collect();
    assert_eq!(touched, [] as [&str; 0]);
    // A room that is gone would be an open door.
    for room in ROOMS.iter().flat_map(|(_, rooms)| *rooms) {
        assert!(sources.iter().any(|(file, _)| file == room), "no {room}");
    }
}

#[test]
fn what_is_touched_elsewhere_is_found() {
    let file = "crates/gutta/src/lib.rs";
    for (text, found) in [
        ("use std::fs;", "1 touches std::fs"),
        ("use std::{fmt,\n fs::File};", "1 touches std::fs::File"),
        ("\nf(std::env::var(x))", "2 touches std::env::var"),
        (
            "f(::std::time::UNIX_EPOCH)",
            "1 touches std::time::UNIX_EPOCH",
        ),
        ("f(io::stdout())", "1 touches std::io::stdout"),
        ("use std::thread;", "1 touches std::thread"),
        ("use std::*;", "1 touches std::*"),
        (
            "#[cfg(test)]\nmod tests; use std::net;",
            "2 touches std::net",
        ),
    ] {
        assert_eq!(touched(file, text), [format!("{file}:{found}")], "{text}");
    }
    let printing = touched(file, "f(); println!()");
    assert_eq!(printing, [format!("{file} prints by println!")]);
    for text in [
        "use std::fmt; use std::io::{self, Write};",
        "/// use std::fs;\nlet x = \"std::env::var\";",
        "#[cfg(test)] mod tests { use std::fs; }",
        "let x = my_std::fs::f();",
    ] {
        assert_eq!(touched(file, text), [] as [&str; 0], "{text}");
    }
    let store = "crates/gutta-book/src/store.rs";
    assert_eq!(touched(store, "use std::fs;"), [] as [&str; 0]);
    assert_eq!(touched(store, "use std::env;").len(), 1);
}

/// Source lines that are code: no blank lines, comments, docs or tests.
fn code_lines(text: &str) -> usize {
    without_tests(&bare(text))
        .lines()
        .filter(|line| !line.trim().is_empty())
        .count()
}

#[test]
fn lines_of_code_are_counted() {
    let text = "//! a\n\nuse b;\n/* c\nd */\nfn e() {\n    // f\n}\n#[cfg(test)]\nmod tests {\n    fn g() {}\n}\nfn h() {}\n";
    assert_eq!(code_lines(text), 4);
}

#[test]
fn no_file_is_longer_than_a_reader_can_hold() {
    let mut lengths: Vec<(usize, String)> = sources()
        .into_iter()
        .filter(|(file, _)| file.starts_with("crates/") && !file.contains("/tests/"))
        .map(|(file, text)| (code_lines(&text), file))
        .collect();
    lengths.sort();
    let (longest, file) = lengths.last().expect("files");
    assert!(*longest <= 600, "{file} has {longest} lines");
    let (median, _) = lengths[lengths.len() / 2];
    assert!(median < 150, "the median file has {median} lines");
}

#[test]
fn reference_data_says_where_it_is_from() {
    let topics: Vec<PathBuf> = fs::read_dir(root().join("reference-data"))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_dir())
        .collect();
    assert!(topics.len() >= 8, "{} topics", topics.len());
    for topic in topics {
        let has = |ending: &str| {
            fs::read_dir(&topic).expect("a folder").any(|e| {
                e.expect("an entry")
                    .path()
                    .to_string_lossy()
                    .ends_with(ending)
            })
        };
        for ending in ["README.md", ".bib", ".csv"] {
            assert!(has(ending), "{} has no {ending}", name(&topic));
        }
    }
    for room in ["reference-data", "demo-data"] {
        assert!(root().join(room).join("README.md").is_file(), "{room}");
    }
}

/// A table is told of in the README beside it, and its sources stand in the
/// bibliography beside it.
#[test]
fn every_table_is_told_of_and_its_sources_are_known() {
    let mut tables = 0;
    let is_table = |path: &PathBuf| path.extension().is_some_and(|e| e == "csv");
    for path in files().into_iter().filter(is_table) {
        let file = name(&path);
        let Some(table) = file.strip_prefix("reference-data/") else {
            continue;
        };
        let beside = |name: &str| fs::read_to_string(path.with_file_name(name)).expect(name);
        let own = path.file_name().unwrap_or_default().to_string_lossy();
        assert!(beside("README.md").contains(&format!("`{own}`")), "{file}");
        let sources = beside("sources.bib");
        for row in gutta_tests::reference::table(table) {
            for key in row.optional("source").unwrap_or_default().split("; ") {
                let is_known = key.is_empty() || sources.contains(&format!("{{{key},"));
                assert!(is_known, "{row}: {key}");
            }
        }
        tables += 1;
    }
    assert!(tables > 20, "only {tables} tables");
}

#[test]
fn every_bad_book_says_what_is_wrong_with_it() {
    let mut stages = 0;
    for stage in fs::read_dir(root().join("demo-data/bad")).expect("a folder") {
        let stage = stage.expect("an entry").path();
        let expected = fs::read_to_string(stage.join("expected.txt")).expect("expected.txt");
        assert!(expected.contains("hint: "), "{}", name(&stage));
        stages += 1;
    }
    assert!(stages >= 8, "{stages} stages");
}

/// What must stand in no line: ways out of the repository, places of one
/// machine, hosts that packages are fetched from. Written in parts, so that
/// this file is not its own find.
fn ways_out() -> Vec<String> {
    let machine = [
        "home", "root", "work", "tmp", "Users", "opt", "var", "mnt", "srv",
    ];
    let machine = machine.map(|place| format!("/{place}/"));
    let hosts = [
        ("crates", "io"),
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("proxy.golang", "org"),
    ];
    let hosts = hosts.map(|(name, end)| format!("{name}.{end}"));
    let others = ["..".to_owned() + "/shared", "C:".to_owned() + "\\"];
    machine.into_iter().chain(hosts).chain(others).collect()
}

/// The way out that a line of a file shows.
fn way_out(file: &str, line: &str) -> Option<String> {
    let lock = format!(
        "source = \"registry+https://github.com/rust-lang/crates.{}-index\"",
        "io"
    );
    // A lock file names the one registry by its public address.
    if file.ends_with("Cargo.lock") && line == lock {
        return None;
    }
    ways_out().into_iter().find(|way| {
        line.match_indices(way.as_str()).any(|(at, _)| {
            // `https://a.example/home/b` and `tests/work/c` are not of a machine.
            let before = line[..at].chars().next_back();
            let goes_on =
                before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '.' | '-' | '_'));
            !(way.starts_with('/') && goes_on)
        })
    })
}

#[test]
fn no_file_points_out_of_the_repository() {
    let mut found = Vec::new();
    let mut read = 0;
    for path in files() {
        let file = name(&path);
        let Ok(text) = fs::read_to_string(&path) else {
            panic!("{file} is not text");
        };
        for (i, line) in text.lines().enumerate() {
            if let Some(way) = way_out(&file, line) {
                found.push(format!("{file}:{} shows {way}", i + 1));
            }
        }
        read += 1;
    }
    assert_eq!(found, [] as [&str; 0]);
    assert!(read > 100, "only {read} files were read");
}

#[test]
fn a_way_out_is_found() {
    for way in ways_out() {
        assert!(way_out("README.md", &way).is_some(), "{way}");
        assert!(
            way_out("README.md", &format!("see \"{way}x\"")).is_some(),
            "{way}"
        );
    }
    let other = "source = \"registry+https://mirror.example/index\"";
    let lock = other.replace(
        "mirror.example/index",
        &format!("github.com/rust-lang/crates.{}-index", "io"),
    );
    assert_eq!(way_out("Cargo.lock", &lock), None);
    assert!(way_out("README.md", &lock).is_some());
    for line in [
        "https://example.org/home/x",
        "a/tmp/b",
        "#!/usr/bin/env bash",
        "g/kg",
    ] {
        assert_eq!(way_out("README.md", line), None, "{line}");
    }
}

/// The top level is a short list.
#[test]
fn the_top_level_stays() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "crates",
        "tests",
        "reference-data",
        "demo-data",
    ];
    for entry in fs::read_dir(root()).expect("a folder") {
        let name = entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            allowed.contains(&name.as_str()) || name.starts_with('.') || name == "target",
            "{name} stands at the top"
        );
    }
}
