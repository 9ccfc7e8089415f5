use std::fs;

use super::*;
use crate::Book;

#[test]
fn the_nearest_book_is_found_upwards() {
    let top = tempfile::tempdir().unwrap();
    let deep = top.path().join("a/b");
    fs::create_dir_all(&deep).unwrap();
    assert_eq!(
        nearest_book(&deep).filter(|p| p.starts_with(top.path())),
        None
    );
    fs::write(top.path().join(FRONT), "format = 1").unwrap();
    assert_eq!(nearest_book(&deep), fs::canonicalize(top.path()).ok());
    fs::write(deep.join(FRONT), "format = 1").unwrap();
    assert_eq!(nearest_book(&deep), fs::canonicalize(&deep).ok());
    assert_eq!(nearest_book(&top.path().join("nowhere")), None);
}

fn first(dir: &Path) -> (String, String, Option<String>) {
    let errors = Book::open(dir).unwrap_err();
    let first = errors.first();
    (
        first.file().to_owned(),
        first.to_string(),
        first.hint().map(str::to_owned),
    )
}

#[test]
fn what_is_no_book_is_said() {
    let top = tempfile::tempdir().unwrap();
    let hint = Some("a bench book is a folder with a book.toml in it".to_owned());
    let nowhere = top.path().join("nowhere");
    assert_eq!(
        first(&nowhere),
        (
            nowhere.display().to_string(),
            "there is no such folder".to_owned(),
            hint.clone()
        )
    );
    let file = top.path().join("file");
    fs::write(&file, "").unwrap();
    assert_eq!(
        first(&file),
        (
            file.display().to_string(),
            "this is a file, not a folder".to_owned(),
            hint
        )
    );
    let front = top.path().join(FRONT);
    assert_eq!(
        first(top.path()),
        (
            front.display().to_string(),
            "there is no such file".to_owned(),
            Some(
                "a bench book begins with a file book.toml that holds the line format = 1"
                    .to_owned()
            )
        )
    );
    fs::create_dir(&front).unwrap();
    assert_eq!(first(top.path()).1, "this is a folder, not a file");
}

#[test]
fn what_is_no_text_is_pointed_at() {
    let top = tempfile::tempdir().unwrap();
    fs::write(top.path().join(FRONT), b"format = 1\nname = \"b\xffd\"\n").unwrap();
    let errors = Book::open(top.path()).unwrap_err();
    let error = errors.first();
    assert_eq!(error.to_string(), "this is not text in UTF-8");
    assert_eq!((error.line(), error.column()), (Some(2), Some(10)));
}

#[test]
#[cfg(unix)]
fn a_page_takes_the_place_of_no_device_and_no_link() {
    use std::os::unix::fs::{FileTypeExt, symlink};

    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let page = "<!doctype html>\n<p>new\n";
    // What is a pipe is neither read nor replaced.
    let made = std::process::Command::new("mkfifo")
        .arg(at("pipe"))
        .status();
    assert!(made.unwrap().success());
    let error = write_page(&at("pipe"), page).unwrap_err();
    assert_eq!(error.to_string(), "this is a device or a pipe, not a file");
    assert!(fs::metadata(at("pipe")).unwrap().file_type().is_fifo());
    let error = super::page(folder.path(), "pipe").unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("this is a device or a pipe, not a file")
    );
    // Behind a link the file is.
    fs::write(at("real.html"), "<!doctype html>\n<p>old\n").unwrap();
    symlink(at("real.html"), at("link.html")).unwrap();
    write_page(&at("link.html"), page).unwrap();
    assert_eq!(fs::read_to_string(at("real.html")).unwrap(), page);
    assert!(fs::symlink_metadata(at("link.html")).unwrap().is_symlink());
    fs::write(at("words.txt"), "words").unwrap();
    let error = write_page(&at("words.txt"), page).unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("this file is there already, and is no page of HTML")
    );
}
