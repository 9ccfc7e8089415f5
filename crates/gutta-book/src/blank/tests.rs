use std::fs;

use super::*;
use crate::Book;

/// A text with its examples put to use: prose stands behind `# `.
fn used(text: &str) -> String {
    let each = text.lines().map(|line| match line.strip_prefix('#') {
        Some(example) if !example.is_empty() && !example.starts_with(' ') => example,
        _ => line,
    });
    each.flat_map(|line| [line, "\n"]).collect()
}

fn counts(book: &Book) -> [usize; 5] {
    [
        book.scales().count(),
        // Water is there without being written.
        book.liquids().count() - 1,
        book.droppers().count(),
        book.lots().count(),
        book.formulas().count(),
    ]
}

/// Everything below a folder, by name.
fn below(dir: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(dir)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

const ALL: [&str; 7] = [
    ".gitattributes",
    "book.toml",
    "droppers.toml",
    "formulas.toml",
    "liquids.toml",
    "lots.csv",
    "scales.toml",
];

#[test]
fn a_new_book_opens_and_holds_nothing_yet() {
    let top = tempfile::tempdir().unwrap();
    let dir = top.path().join("a/b");
    let made = Book::create(&dir, None).unwrap();
    assert_eq!(made.last(), Some(&dir.join("book.toml")));
    assert_eq!(made.len(), 7);
    assert_eq!(below(&dir), ALL);
    let book = Book::open(&dir).unwrap();
    assert_eq!(counts(&book), [0; 5]);
    assert_eq!(book.name(), None);
}

#[test]
fn each_example_works_alone_and_all_together() {
    let top = tempfile::tempdir().unwrap();
    let all = top.path().join("all");
    Book::create(&all, None).unwrap();
    let mut together = [0; 5];
    for (at, (name, text)) in FILES.into_iter().enumerate() {
        let dir = top.path().join(name.replace('.', "-"));
        Book::create(&dir, None).unwrap();
        assert_eq!(fs::read_to_string(dir.join(name)).unwrap(), text);
        fs::write(dir.join(name), used(text)).unwrap();
        fs::write(all.join(name), used(text)).unwrap();
        let book = Book::open(&dir).unwrap_or_else(|errors| panic!("{name}: {errors:?}"));
        let mut one = [0; 5];
        // A table of columns has no comments, and so no example.
        one[at] = usize::from(name != EntryKind::Lot.file());
        assert_eq!(counts(&book), one, "{name}");
        together[at] = one[at];
    }
    fs::write(all.join(store::FRONT), used(FRONT)).unwrap();
    let book = Book::open(&all).unwrap();
    assert_eq!(counts(&book), together);
    assert_eq!(book.name(), Some("the workshop"));
    let glass = book.dropper("glass").unwrap();
    assert!(glass.calibrating.calibrate().is_ok());
}

/// A field that is added to an entry is told of in its new file too.
#[test]
fn the_prose_tells_of_every_field() {
    let fields: [(&str, &[&str]); 4] = [
        (
            "scales.toml",
            &["name", "division", "repeatability", "note"],
        ),
        (
            "liquids.toml",
            &[
                "name",
                "density",
                "water",
                "alcohol",
                "glycol",
                "glycerine",
                "sugar",
                "solids",
                "surface_tension",
                "note",
            ],
        ),
        (
            "droppers.toml",
            &[
                "name",
                "liquid",
                "date",
                "scale",
                "running",
                "temperature",
                "pressure",
                "humidity",
                "weighings",
                "note",
            ],
        ),
        (
            "formulas.toml",
            &[
                "name",
                "version",
                "shares",
                "leaf",
                "flavours",
                "casings",
                "moisture",
                "band",
                "tolerance",
                "rest",
                "note",
            ],
        ),
    ];
    for (file, fields) in fields {
        // The reader itself lists the fields when one is unknown.
        let top = tempfile::tempdir().unwrap();
        Book::create(top.path(), None).unwrap();
        let word = file.trim_end_matches("s.toml");
        let text = format!("format = 1\n[[{word}]]\nxxxxxxxxxxxxxxx = 1\n");
        fs::write(top.path().join(file), text).unwrap();
        let errors = Book::open(top.path()).unwrap_err();
        let mut hints = errors.iter().filter_map(BookError::hint);
        let listed = hints.find(|hint| hint.contains("its fields are")).unwrap();
        let known = listed.trim_start_matches("its fields are ");
        let mut known: Vec<&str> = known.split([',', ' ']).filter(|w| *w != "and").collect();
        known.retain(|word| !word.is_empty());
        let mut wanted = fields.to_vec();
        known.sort_unstable();
        wanted.sort_unstable();
        assert_eq!(known, wanted, "{file}");
        let (_, text) = FILES.into_iter().find(|(name, _)| *name == file).unwrap();
        let prose: Vec<&str> = text.lines().filter(|l| l.starts_with("# ")).collect();
        for field in fields {
            let is_told = |line: &&str| line[2..].split([' ', ',']).any(|word| word == *field);
            assert!(prose.iter().any(is_told), "{file}: {field}");
        }
    }
    let columns = FILES[3].1.trim_end().split(',');
    assert_eq!(columns.count(), 8);
}

#[test]
fn a_name_is_kept_whatever_signs_are_in_it() {
    assert!(FRONT.contains(NAMELESS));
    for name in ["The Hollow Barn", "a \"b\" \\ c #d", "Mühle\u{2003}7"] {
        let top = tempfile::tempdir().unwrap();
        Book::create(top.path(), Some(name)).unwrap();
        assert_eq!(Book::open(top.path()).unwrap().name(), Some(name));
    }
    for (name, said) in [
        (" ", "the name is empty"),
        (
            "a\nb",
            "the name has a line break or another character that does not show",
        ),
    ] {
        let top = tempfile::tempdir().unwrap();
        let error = Book::create(top.path(), Some(name)).unwrap_err();
        assert_eq!(error.to_string(), said);
        assert_eq!(
            error.hint(),
            Some("call it in a few words on one line, such as \"the workshop\"")
        );
        assert_eq!(below(top.path()), [] as [&str; 0]);
    }
}

/// Whichever file is there, nothing is made and nothing is changed.
#[test]
fn what_is_there_already_is_left_alone() {
    for name in ALL.into_iter().filter(|name| *name != ".gitattributes") {
        let top = tempfile::tempdir().unwrap();
        fs::write(top.path().join(name), "mine").unwrap();
        let error = Book::create(top.path(), None).unwrap_err();
        assert_eq!(error.kind(), BookErrorKind::Taken);
        assert_eq!(error.to_string(), "this is there already");
        assert_eq!(error.file(), top.path().join(name).display().to_string());
        assert_eq!(
            error.hint(),
            Some("name another folder; nothing was changed")
        );
        assert_eq!(below(top.path()), [name]);
        assert_eq!(fs::read_to_string(top.path().join(name)).unwrap(), "mine");
    }
}

/// A folder under version control may have attributes of its own.
#[test]
fn attributes_of_version_control_stay_as_they_are() {
    let top = tempfile::tempdir().unwrap();
    let attributes = top.path().join(".gitattributes");
    fs::write(&attributes, "*.csv -text\n").unwrap();
    let made = Book::create(top.path(), None).unwrap();
    assert_eq!(made.len(), 6);
    assert!(!made.contains(&attributes));
    assert_eq!(fs::read_to_string(&attributes).unwrap(), "*.csv -text\n");
    assert_eq!(below(top.path()), ALL);
}

#[test]
fn a_folder_with_other_things_becomes_a_book() {
    let top = tempfile::tempdir().unwrap();
    fs::write(top.path().join("photo.txt"), "mine").unwrap();
    fs::write(top.path().join(".scales.toml.1.new"), "left over").unwrap();
    Book::create(top.path(), None).unwrap();
    assert!(Book::open(top.path()).is_ok());
}

/// A text that cannot be written: its name leads through a file.
#[test]
fn half_a_book_is_removed_again() {
    let top = tempfile::tempdir().unwrap();
    let dir = top.path().join("a/b");
    let files = [("one", "1"), ("two", "2"), ("one/three", "3")];
    let error = store::make(&dir, &files).unwrap_err();
    assert_eq!(error.file(), dir.join("one/three").display().to_string());
    assert_eq!(below(top.path()), [] as [&str; 0]);
    // A folder that was there before stays, and so does what was in it.
    fs::create_dir_all(&dir).unwrap();
    fs::write(dir.join("mine"), "").unwrap();
    store::make(&dir, &files).unwrap_err();
    assert_eq!(below(&dir), ["mine"]);
}

#[test]
fn a_path_through_a_file_is_said_to_be_that() {
    let top = tempfile::tempdir().unwrap();
    fs::write(top.path().join("file"), "").unwrap();
    let error = Book::create(&top.path().join("file/book"), None).unwrap_err();
    assert_eq!(error.kind(), BookErrorKind::File);
    assert_eq!(
        error.to_string(),
        "a part of this path is a file, not a folder"
    );
    let error = Book::create(&top.path().join("file"), None).unwrap_err();
    assert_eq!(error.to_string(), "this is a file, not a folder");
}

/// Whoever may write everywhere is not held back by a folder's permissions: for
/// such a one this says nothing.
#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_to_is_refused() {
    use std::os::unix::fs::PermissionsExt;

    let top = tempfile::tempdir().unwrap();
    let set = |mode| fs::set_permissions(top.path(), fs::Permissions::from_mode(mode));
    set(0o555).unwrap();
    let may_write = fs::write(top.path().join("probe"), "").is_ok();
    let made = Book::create(&top.path().join("book"), None);
    set(0o755).unwrap();
    if may_write {
        eprintln!("not held back by permissions: nothing was tested");
        return;
    }
    let error = made.unwrap_err();
    assert_eq!(error.to_string(), "this may not be written to");
    assert_eq!(below(top.path()), [] as [&str; 0]);
}
