//! Arrows run down only, and never in a circle on one floor.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path as FilePath, PathBuf};

use gutta_tests::root;

use super::paths::{bare, paths, without_tests};

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
    // Tests may look anywhere.
    let text = without_tests(&bare(&fs::read_to_string(file).expect("text")));
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
                let handed = match name.as_str() {
                    "*" => declared(sources, &source.module, file),
                    name => vec![name.to_owned()],
                };
                for name in handed {
                    names.insert((source.module.clone(), name), file.clone());
                }
            }
        }
    }
    names
}

/// What a file beside a `mod.rs` declares for others.
fn declared(sources: &[Source], folder: &[String], file: &str) -> Vec<String> {
    const KINDS: [&str; 7] = ["const", "static", "fn", "struct", "enum", "trait", "type"];
    let module = [folder, &[file.to_owned()]].concat();
    let Some(source) = sources.iter().find(|source| source.module == module) else {
        return Vec::new();
    };
    let words: Vec<&str> = source
        .text
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .filter(|word| !word.is_empty())
        .collect();
    let names = words.windows(4).filter_map(|words| match words {
        ["pub", "const", "fn", name] => Some(*name),
        ["pub", "crate", kind, name] if KINDS.contains(kind) => Some(*name),
        ["pub", kind, name, _] if KINDS.contains(kind) => Some(*name),
        _ => None,
    });
    names.map(str::to_owned).collect()
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
            let Some(first) = target.first() else {
                continue;
            };
            match floor(first) {
                None => faults.push(format!("{place}: {said} names no floor")),
                Some(other) if other > own => faults.push(format!("{place}: {said} runs up")),
                // Two folders on one floor are siblings as files are.
                Some(other) if other == own && *first != source.module[0] => {
                    let arrow = (source.module[0].clone(), first.clone());
                    arrows.entry(Vec::new()).or_default().insert(arrow);
                }
                Some(_) => {}
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
            let folder = match folder.as_slice() {
                [] => "one floor".to_owned(),
                folder => folder.join("/"),
            };
            faults.push(format!("{folder}: a circle: {circle}"));
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
    let up = made(&[("matter/a", "macro_rules! m { () => { $crate::bench::D } }")]);
    assert_eq!(faults(&up), ["matter/a:1: crate::bench::D runs up"]);
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
    let all = made(&[
        ("matter/a", "use crate::*;"),
        ("bench/mod", "use super::*;"),
    ]);
    assert_eq!(
        faults(&all),
        [
            "matter/a:1: crate::* names no floor",
            "bench/mod:1: super::* names no floor"
        ]
    );
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
    let all = ("bench/mod", "mod a; mod b; pub use a::*; pub use b::*;");
    let circle = made(&[
        all,
        ("bench/a", "use super::B; pub struct A; impl A {}"),
        ("bench/b", "use crate::bench::A; pub enum B { C }"),
    ]);
    assert_eq!(faults(&circle), ["bench: a circle: a → b, b → a"]);
    let line = made(&[
        all,
        ("bench/a", "use super::g; pub struct A; impl A {}"),
        ("bench/b", "pub const fn g() {}"),
    ]);
    assert_eq!(faults(&line), [] as [&str; 0]);
    let line = made(&[folder, ("bench/a", "use super::B;"), ("bench/b", "")]);
    assert_eq!(faults(&line), [] as [&str; 0]);
    let deep = made(&[
        ("measure/mod", "mod x; mod y;"),
        ("measure/x/mod", "mod a;"),
        ("measure/x/a", "use crate::measure::y::Y;"),
        ("measure/y", "use super::x::a::A;"),
    ]);
    assert_eq!(faults(&deep), ["measure: a circle: x → y, y → x"]);
    let folder = made(&[
        ("measure/mod", "mod x; mod y; pub use y::Y;"),
        ("measure/x/mod", "use super::Y;"),
        ("measure/y", "use super::x;\nfn f() { x::g() }"),
    ]);
    assert_eq!(faults(&folder), ["measure: a circle: x → y, y → x"]);
}

#[test]
fn a_circle_of_two_folders_on_one_floor_is_found() {
    let circle = made(&[
        ("error/mod", "use crate::caution::Caution;"),
        ("caution/mod", "use crate::error::Error;"),
    ]);
    let found = "one floor: a circle: caution → error, error → caution";
    assert_eq!(faults(&circle), [found]);
    let line = made(&[
        ("error/mod", "use crate::caution::Caution;"),
        ("caution/mod", ""),
    ]);
    assert_eq!(faults(&line), [] as [&str; 0]);
}
