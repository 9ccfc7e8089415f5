use std::fs;

use proptest::prelude::*;

use super::*;

fn amber(name: &str) -> NewDropper {
    NewDropper {
        name: name.to_owned(),
        liquid: "water".to_owned(),
        date: Date::new(2026, 11, 25).unwrap(),
        scale: Some("bench".to_owned()),
        running: false,
        temperature: Some("21.5 °C".to_owned()),
        pressure: None,
        humidity: None,
        weighings: vec!["20=0.61g".to_owned(), "20=0.62g".to_owned()],
        note: Some("a \"new\" tip\nfrom the box".to_owned()),
    }
}

fn book(droppers: Option<&str>) -> tempfile::TempDir {
    let top = tempfile::tempdir().unwrap();
    let write = |file: &str, text: &str| fs::write(top.path().join(file), text).unwrap();
    write("book.toml", "format = 1\n");
    let scale = "format = 1\n[[scale]]\nname = \"bench\"\ndivision = \"0.01 g\"\n";
    write("scales.toml", scale);
    if let Some(text) = droppers {
        write("droppers.toml", text);
    }
    top
}

fn droppers(top: &tempfile::TempDir) -> String {
    fs::read_to_string(top.path().join("droppers.toml")).unwrap()
}

const OLD: &str = "# mine\nformat = 1\n\n[[dropper]] # the old one\nname = \"Amber\"\nliquid = \"alcohol 70% vol\" # from the tin\ndate = 2026-01-02\nhumidity = \"50 %\"\n# six of them\nweighings = [\n  \"20 = 0.5 g\", # first\n]\n\n# the last\n[[dropper]]\nname = \"other\"\nliquid = \"water\"\ndate = 2026-01-02\nweighings = [\"20 = 0.9 g\"]";

#[test]
fn a_calibration_is_kept_where_no_file_was() {
    let top = book(None);
    fs::write(top.path().join(".droppers.toml.1.new"), "left over").unwrap();
    save_dropper(top.path(), &amber("amber"), false).unwrap();
    assert_eq!(
        droppers(&top),
        "format = 1\n\n[[dropper]]\nname = \"amber\"\nliquid = \"water\"\ndate = 2026-11-25\nscale = \"bench\"\ntemperature = \"21.5 °C\"\nweighings = [\"20=0.61g\", \"20=0.62g\"]\nnote = \"a \\\"new\\\" tip\\u000Afrom the box\"\n"
    );
    let found = Book::open(top.path()).unwrap();
    let kept = found.dropper("amber").unwrap();
    assert_eq!(kept.note, amber("amber").note);
    assert_eq!(kept.typed.len(), 2);
    assert!(kept.calibrating.scale.is_some());
}

#[test]
fn a_taken_name_is_refused_and_nothing_is_changed() {
    let top = book(Some(OLD));
    let errors = save_dropper(top.path(), &amber("AMBER"), false).unwrap_err();
    let error = errors.first();
    assert_eq!(error.kind(), BookErrorKind::Taken);
    assert_eq!(error.to_string(), "there is a dropper `AMBER` already");
    assert_eq!(
        error.hint(),
        Some("give it another name, or add --replace to put it in its place")
    );
    assert_eq!(droppers(&top), OLD);
}

#[test]
fn one_is_replaced_where_it_stands_and_its_comments_stay() {
    for end in ["\n", "\r\n"] {
        let top = book(Some(&OLD.replace('\n', end)));
        save_dropper(top.path(), &amber("amber"), true).unwrap();
        let wanted = "# mine\nformat = 1\n\n[[dropper]] # the old one\nname = \"amber\"\nscale = \"bench\"\ntemperature = \"21.5 °C\"\nnote = \"a \\\"new\\\" tip\\u000Afrom the box\"\nliquid = \"water\" # from the tin\ndate = 2026-11-25\n# six of them\nweighings = [\"20=0.61g\", \"20=0.62g\"]\n\n# the last\n[[dropper]]\nname = \"other\"\nliquid = \"water\"\ndate = 2026-01-02\nweighings = [\"20 = 0.9 g\"]";
        assert_eq!(droppers(&top), wanted.replace('\n', end));
    }
}

/// What could not be read back is not written: an unknown scale, a weighing that
/// is none, a book that is faulty elsewhere.
#[test]
fn what_cannot_be_read_back_is_not_written() {
    let mut unknown = amber("amber");
    unknown.scale = Some("bank".to_owned());
    let mut none = amber("amber");
    none.weighings = vec!["twenty".to_owned()];
    for new in [unknown, none] {
        let top = book(Some("format = 1\n"));
        assert!(save_dropper(top.path(), &new, false).is_err());
        assert_eq!(droppers(&top), "format = 1\n");
    }
    let top = book(Some("format = 2\n"));
    assert!(save_dropper(top.path(), &amber("amber"), false).is_err());
    assert_eq!(droppers(&top), "format = 2\n");
    let one_line = "format = 1\ndropper = [{name = \"amber\", liquid = \"water\", date = 2026-01-02, weighings = [\"20 = 0.9 g\"]}]\n";
    for (name, replacing) in [("amber", true), ("b", false)] {
        let top = book(Some(one_line));
        assert!(save_dropper(top.path(), &amber(name), replacing).is_err());
        assert_eq!(droppers(&top), one_line);
    }
}

fn evening() -> NewFormula {
    NewFormula {
        name: "Evening".to_owned(),
        basis: LeafBasis::Dry,
        leaf: vec!["46 % flue-cured".to_owned(), "54 % oriental".to_owned()],
        flavours: vec!["2 g/kg on dry: water".to_owned()],
        casings: Vec::new(),
        moisture: Some("15 %".to_owned()),
        band: None,
        tolerance: None,
        rest: Some("48 h".to_owned()),
        note: None,
    }
}

/// The version that comes next is found by the book, however it is spelled and
/// ordered there.
#[test]
fn a_formula_is_kept_as_the_version_that_comes_next() {
    let top = book(None);
    let file = top.path().join("formulas.toml");
    assert_eq!(save_formula(top.path(), &evening()).unwrap(), 1);
    let first = "format = 1\n\n[[formula]]\nname = \"Evening\"\nversion = 1\nshares = \"dry\"\nleaf = [\"46 % flue-cured\", \"54 % oriental\"]\nflavours = [\"2 g/kg on dry: water\"]\nmoisture = \"15 %\"\nrest = \"48 h\"\n";
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
    let old = "# mine\r\nformat = 1\r\n[[formula]]\r\nname='evening'\r\nversion=7\r\nshares='dry'\r\nleaf=['1 part oriental']\r\n# old\r\n[[formula]]\r\nname='evening'\r\nshares='dry'\r\nleaf=['1 part oriental'] # end";
    fs::write(&file, old).unwrap();
    assert_eq!(save_formula(top.path(), &evening()).unwrap(), 8);
    let now = fs::read_to_string(&file).unwrap();
    assert!(now.starts_with(old), "{now}");
    assert_eq!(now.matches("\r\n").count(), now.matches('\n').count());
    let found = Book::open(top.path()).unwrap();
    assert_eq!(found.formula("evening").unwrap().version, 8);
    assert_eq!(found.formulas().count(), 3);
}

#[test]
fn a_formula_that_cannot_be_read_back_is_not_written() {
    let top = book(None);
    let mut half = evening();
    half.leaf.truncate(1);
    let mut liquid = evening();
    liquid.flavours = vec!["2 g/kg on dry: fig tincture".to_owned()];
    for new in [half, liquid] {
        assert!(save_formula(top.path(), &new).is_err(), "{new:?}");
        assert!(!top.path().join("formulas.toml").exists());
    }
    // A version past the last number is none.
    let last = "format = 1\n[[formula]]\nname='evening'\nversion=4294967295\nshares='dry'\nleaf=['1 part oriental']\n";
    let file = top.path().join("formulas.toml");
    fs::write(&file, last).unwrap();
    let errors = save_formula(top.path(), &evening()).unwrap_err();
    assert_eq!(errors.first().kind(), BookErrorKind::Duplicate);
    assert_eq!(fs::read_to_string(&file).unwrap(), last);
}

/// Two who keep at the same moment both find theirs kept.
#[test]
fn nobody_overwrites_what_another_keeps_meanwhile() {
    let top = book(None);
    std::thread::scope(|scope| {
        for at in 0..8 {
            let dir = top.path();
            scope.spawn(move || save_dropper(dir, &amber(&format!("d{at}")), false).unwrap());
        }
    });
    assert_eq!(Book::open(top.path()).unwrap().droppers().count(), 8);
}

/// Whoever may write everywhere is not held back by a folder's permissions: for
/// such a one this says nothing.
#[cfg(unix)]
#[test]
fn a_book_that_may_only_be_read_stays_as_it_is() {
    use std::os::unix::fs::PermissionsExt;

    let top = book(Some("format = 1\n"));
    let set = |mode| fs::set_permissions(top.path(), fs::Permissions::from_mode(mode)).unwrap();
    set(0o555);
    let may_write = fs::write(top.path().join("probe"), "").is_ok();
    let saved = save_dropper(top.path(), &amber("amber"), false);
    set(0o755);
    if may_write {
        eprintln!("not held back by permissions: nothing was tested");
        return;
    }
    let errors = saved.unwrap_err();
    assert_eq!(errors.first().to_string(), "this may not be written to");
    assert_eq!(droppers(&top), "format = 1\n");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever comments, line ends and last lines a text has, it stands
    /// unchanged in front of what is added.
    #[test]
    fn what_was_there_stays_byte_for_byte(
        comments in prop::collection::vec("#[ a-z°ü\\[\\]\"]{0,12}", 0..4),
        is_crlf: bool,
        is_ended: bool,
        is_marked: bool,
        has_one: bool,
    ) {
        let mut lines = comments.clone();
        lines.push("format = 1 # 1".to_owned());
        if has_one {
            lines.extend(["", "[[dropper]]", "name='b'", "liquid=\"water\"", "date=2026-01-02", "weighings=[\"20=0.9g\",]"].map(str::to_owned));
        }
        lines.extend(comments);
        let end = if is_crlf { "\r\n" } else { "\n" };
        let mut text = lines.join(end);
        if is_ended {
            text += end;
        }
        if is_marked {
            text.insert(0, '\u{feff}');
        }
        let top = book(Some(&text));
        save_dropper(top.path(), &amber("amber"), false).unwrap();
        let now = droppers(&top);
        prop_assert!(now.starts_with(&text), "{now:?}");
        prop_assert_eq!(now.matches("\r\n").count(), if is_crlf && lines.len() + usize::from(is_ended) > 1 { now.matches('\n').count() } else { 0 });
        prop_assert_eq!(Book::open(top.path()).unwrap().droppers().count(), 1 + usize::from(has_one));
    }
}
