//! Arrows run down only, and never in a circle on one floor.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path as FilePath, PathBuf};

use gutta_tests::root;

use super::paths::paths;

/// The floors of the arithmetic, the lowest first.
const FLOORS: [&[&str]; 5] = [
    &["error", "caution"],
    &["measure"],
    &["matter"],
    &["bench"],
    &["blend"],
];

fn floor(module: &str) -> Option<usize> {
    FLOORS.iter().position(|floor| floor.contains(&module))
}

/// A source file as a module of the crate.
struct Source {
    /// Where it stands, for a message.
    name: String,
    /// Its path in the crate: `["measure", "text", "read"]`; a `mod.rs` is its
    /// folder.
    module: Vec<String>,
    is_folder: bool,
    text: String,
}

/// All modules of a crate but its tests.
fn sources(src: &FilePath) -> Vec<Source> {
    let mut files = Vec::new();
    let mut folders = vec![src.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                if path.file_name().is_some_and(|name| name != "tests") {
                    folders.push(path);
                }
            } else if path.extension().is_some_and(|e| e == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
        .into_iter()
        .filter(|file| !file.ends_with("lib.rs") && !file.ends_with("tests.rs"))
        .map(|file| source(src, &file))
        .collect()
}

fn source(src: &FilePath, file: &PathBuf) -> Source {
    let inner = file.strip_prefix(src).expect("below").with_extension("");
    let mut module: Vec<String> = inner
        .iter()
        .map(|part| part.to_string_lossy().into_owned())
        .collect();
    let is_folder = module.last().is_some_and(|last| last == "mod");
    if is_folder {
        module.pop();
    }
    let text = fs::read_to_string(file).expect("text");
    // Tests may look anywhere.
    let text = match text.find("#[cfg(test)]\nmod tests") {
        Some(at) => text[..at].to_owned(),
        None => text,
    };
    Source {
        name: inner.display().to_string(),
        module,
        is_folder,
        text,
    }
}

/// A path as a module path of the crate, `crate` left out; none when it leads
/// out of it.
fn absolute(source: &Source, segments: &[String]) -> Option<Vec<String>> {
    let mut module = source.module.clone();
    let mut segments = segments.iter().peekable();
    match segments.next()?.as_str() {
        "crate" => module.clear(),
        "self" => {}
        "super" => {
            module.pop()?;
            while segments.next_if(|s| *s == "super").is_some() {
                module.pop()?;
            }
        }
        _ => return None,
    }
    module.extend(segments.cloned());
    Some(module)
}

/// The names that each folder hands on, with the file they are from.
fn handed_on(sources: &[Source]) -> BTreeMap<(Vec<String>, String), String> {
    let mut names = BTreeMap::new();
    for source in sources.iter().filter(|s| s.is_folder) {
        // `pub use file::{A, B};` reads as `self::file::{A, B}`.
        let text = source
            .text
            .replace("pub use ", "use self::")
            .replace("pub(crate) use ", "use self::");
        for path in paths(&text) {
            if let [root, file, .., name] = path.segments.as_slice()
                && root == "self"
            {
                names.insert((source.module.clone(), name.clone()), file.clone());
            }
        }
    }
    names
}

/// Everything that is wrong with the arrows of these sources.
fn faults(sources: &[Source]) -> Vec<String> {
    let names = handed_on(sources);
    let modules: BTreeSet<&[String]> = sources.iter().map(|s| s.module.as_slice()).collect();
    let mut faults = Vec::new();
    // From file to file within each folder.
    let mut arrows: BTreeMap<Vec<String>, BTreeSet<(String, String)>> = BTreeMap::new();
    for source in sources {
        for path in paths(&source.text) {
            let Some(target) = absolute(source, &path.segments) else {
                continue;
            };
            let place = format!("{}:{}", source.name, path.line);
            let said = path.segments.join("::");
            let own = floor(&source.module[0]).unwrap_or_else(|| panic!("{place}: no floor"));
            let Some(first) = target.first().filter(|first| *first != "*") else {
                continue;
            };
            match floor(first) {
                None => faults.push(format!("{place}: {said} names no floor")),
                Some(other) if other > own => faults.push(format!("{place}: {said} runs up")),
                Some(_) => {}
            }
            if source.is_folder {
                continue;
            }
            // The folder in which both stand, and the two files in it.
            let shared = source
                .module
                .iter()
                .zip(&target)
                .take_while(|(a, b)| a == b)
                .count()
                .min(source.module.len() - 1);
            if shared == 0 {
                continue;
            }
            let folder = source.module[..shared].to_vec();
            let from = source.module[shared].clone();
            let Some(next) = target.get(shared) else {
                continue;
            };
            let mut inner = folder.clone();
            inner.push(next.clone());
            let to = if modules.contains(inner.as_slice()) {
                next.clone()
            } else {
                match names.get(&(folder.clone(), next.clone())) {
                    Some(file) => file.clone(),
                    None => continue,
                }
            };
            if from != to {
                arrows.entry(folder).or_default().insert((from, to));
            }
        }
    }
    for (folder, arrows) in &arrows {
        if let Some(circle) = circle(arrows) {
            faults.push(format!("{}: a circle: {circle}", folder.join("/")));
        }
    }
    faults
}

/// A circle among arrows, when there is one.
fn circle(arrows: &BTreeSet<(String, String)>) -> Option<String> {
    let mut left: BTreeSet<&(String, String)> = arrows.iter().collect();
    // What nobody points at, or what points at nobody, is in no circle.
    loop {
        let from: BTreeSet<&String> = left.iter().map(|(from, _)| from).collect();
        let to: BTreeSet<&String> = left.iter().map(|(_, to)| to).collect();
        let before = left.len();
        left.retain(|(a, b)| to.contains(a) && from.contains(b));
        if left.is_empty() {
            return None;
        }
        if left.len() == before {
            let all: Vec<String> = left.iter().map(|(a, b)| format!("{a} → {b}")).collect();
            return Some(all.join(", "));
        }
    }
}

#[test]
fn arrows_of_the_arithmetic_run_down() {
    let sources = sources(&root().join("crates/gutta/src"));
    assert!(sources.len() > 30, "only {} files were read", sources.len());
    assert_eq!(faults(&sources), [] as [&str; 0]);
}

fn made(files: &[(&str, &str)]) -> Vec<Source> {
    files
        .iter()
        .map(|(name, text)| {
            let mut module: Vec<String> = name.split('/').map(str::to_owned).collect();
            let is_folder = module.last().is_some_and(|last| last == "mod");
            if is_folder {
                module.pop();
            }
            Source {
                name: (*name).to_owned(),
                module,
                is_folder,
                text: (*text).to_owned(),
            }
        })
        .collect()
}

#[test]
fn an_arrow_that_runs_up_is_found() {
    let up = made(&[("measure/a", "use crate::{error::E,\n matter::Pile};")]);
    assert_eq!(faults(&up), ["measure/a:1: crate::matter::Pile runs up"]);
    let up = made(&[("matter/a", "\nfn f() { super::super::bench::g() }")]);
    assert_eq!(faults(&up), ["matter/a:2: super::super::bench::g runs up"]);
    let down = made(&[(
        "bench/a",
        "use crate::measure::Mass; use crate::error::Error;",
    )]);
    assert_eq!(faults(&down), [] as [&str; 0]);
}

#[test]
fn a_path_must_name_its_floor() {
    let short = made(&[("matter/a", "use crate::Pile;")]);
    assert_eq!(faults(&short), ["matter/a:1: crate::Pile names no floor"]);
}

#[test]
fn a_circle_is_found_through_what_a_folder_hands_on() {
    let folder = (
        "bench/mod",
        "mod a; mod b; pub use a::A; pub use b::{B, C};",
    );
    let circle = made(&[
        folder,
        ("bench/a", "use super::B;"),
        ("bench/b", "use super::a::A;"),
    ]);
    assert_eq!(faults(&circle), ["bench: a circle: a → b, b → a"]);
    let line = made(&[folder, ("bench/a", "use super::B;"), ("bench/b", "")]);
    assert_eq!(faults(&line), [] as [&str; 0]);
    let deep = made(&[
        ("measure/mod", "mod x; mod y;"),
        ("measure/x/mod", "mod a;"),
        ("measure/x/a", "use crate::measure::y::Y;"),
        ("measure/y", "use super::x::a::A;"),
    ]);
    assert_eq!(faults(&deep), ["measure: a circle: x → y, y → x"]);
}
