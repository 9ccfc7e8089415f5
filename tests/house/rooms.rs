//! What stands in which room.

use std::fs;
use std::path::{Path, PathBuf};

use gutta_tests::root;

use super::paths::bare;

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
            if path.is_dir() {
                if !name.starts_with("target") && name != ".git" {
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

/// The parts of the world that only one place may touch.
#[test]
fn the_world_is_touched_in_its_own_rooms_only() {
    let rooms: [(&str, &[&str]); 5] = [
        ("std::fs", &["crates/gutta-book/src/store.rs"]),
        ("std::env", &["crates/gutta-cli/src/main.rs"]),
        ("std::time", &[]),
        ("std::process", &["crates/gutta-cli/src/main.rs"]),
        ("thread", &["crates/gutta-cli/src/cores.rs"]),
    ];
    let mut checked = 0;
    for (file, text) in sources() {
        let in_product = ["crates/gutta/", "crates/gutta-book/", "crates/gutta-cli/"]
            .iter()
            .any(|room| file.starts_with(room));
        if !in_product || file.contains("/tests/") || file.ends_with("/tests.rs") {
            continue;
        }
        let text = bare(&text);
        // Tests beside the code may make files of their own.
        let text = text.split("#[cfg(test)]").next().unwrap_or_default();
        let text: String = text.split_whitespace().collect();
        for (part, allowed) in rooms {
            let used = match part {
                "thread" => text.contains("std::thread") || text.contains("thread::"),
                part => text.contains(part),
            };
            assert!(
                !used || allowed.contains(&file.as_str()),
                "{file} touches {part}"
            );
        }
        checked += 1;
    }
    assert!(checked > 60, "only {checked} files were read");
}

/// Source lines that are code: no blank lines, comments, docs or tests.
fn code_lines(text: &str) -> usize {
    let text = text
        .split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or_default();
    bare(text)
        .lines()
        .filter(|line| !line.trim().is_empty())
        .count()
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

/// Nothing leads out of the repository, to one machine or to a registry.
#[test]
fn no_file_points_out_of_the_repository() {
    // Written in parts, so that this file is not its own find.
    let out = [
        ["..", "/shared"].concat(),
        ["/home", "/"].concat(),
        ["/root", "/"].concat(),
        ["/work", "/"].concat(),
        ["crates.io", "/api"].concat(),
        ["index.", "crates.io"].concat(),
    ];
    let mut read = 0;
    for path in files() {
        let file = name(&path);
        // A lock file names the registry's index by its public address.
        if file.ends_with("Cargo.lock") {
            continue;
        }
        let Ok(text) = fs::read_to_string(&path) else {
            panic!("{file} is not text");
        };
        for part in &out {
            assert!(!text.contains(part.as_str()), "{file} names {part}");
        }
        read += 1;
    }
    assert!(read > 100, "only {read} files were read");
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
