//! What a weigh sheet is refused for, word for word, and what becomes of the page.

use std::fs;

use super::program::{command, typed};
use super::refusals::{Refusal, all_hold};

#[test]
fn a_formula_that_is_none_is_refused() {
    let line = "write how much and then the name, such as \"46 % flue-cured\", \"9 parts flue-cured\", \"15.75 g flue-cured\" or \"9 oz/lb flue-cured\"";
    all_hold(&[
        Refusal::new("gutta sheet", 2, "missing", "no formula is named")
            .flag("FORMULA").hint("name one of the book, such as evening, or type its lines: \"46 % flue-cured\" \"54 % oriental\""),
        Refusal::new("gutta sheet \"46 % a\" \"3 parts b\" --batch 10g", 2, "composition", "per cent and parts are mixed")
            .flag("FORMULA").under("3 parts b", "3 parts b").hint("write every line in per cent"),
        Refusal::new("gutta sheet \"46 % a\" \"53 % b\" --batch 10g", 1, "refused", "the shares sum to 99 %, not to 100 %")
            .flag("FORMULA").hint("make b 54 %, or type the same numbers as parts"),
        Refusal::new("gutta sheet \"46 %\" \"54 % b\" --batch 10g", 2, "stray", "the line has no name")
            .flag("FORMULA").under("46 %", "46 %").hint(line),
        Refusal::new("gutta sheet evening --shares dry --batch 10g --book demo-data", 2, "clash", "what the shares of evening are of stands in the book")
            .flag("--shares").hint("leave --shares out, or type the lines of the formula"),
    ]);
}

#[test]
fn a_size_is_needed_and_one_alone() {
    all_hold(&[
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\"", 2, "missing", "the size of the batch is missing")
            .flag("--batch").hint("type all leaf as weighed, such as --batch 24g; or --dry for dry leaf, --finished for what is ready at the end"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --dry 10g", 2, "clash", "--dry and --batch do not go together")
            .flag("--batch").hint("keep one of them"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --finished 10g", 2, "missing", "a finished batch needs the moisture that it is finished at")
            .flag("--to").hint("type the moisture wanted, such as --to 15%, or --batch with the leaf as weighed"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch \"10g ± 1g\"", 2, "doubt", "the size of a batch is a plain figure")
            .flag("--batch").under("10g ± 1g", "10g ± 1g").hint("type it alone, such as --batch 24g"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --tolerance 0%", 2, "out-of-range", "the tolerance of a weighing must be above 0 % and at most 20 %, not 0 %")
            .flag("--tolerance").under("0%", "0%").hint("type what a weighing may be off by, such as 2%"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --order big", 2, "unknown-value", "there is no `big`")
            .flag("--order").under("big", "big").hint("type --order smallest or base"),
    ]);
}

#[test]
fn moistures_that_are_needed_are_asked_for() {
    let type_it = "name its lot or type its moisture, such as --lot \"a = 12%\"";
    all_hold(&[
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --shares dry", 2, "missing", "the moisture of a is missing: a share of dry leaf goes by it")
            .flag("--lot").hint(type_it),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --shares dry --lot \"a = 12%\"", 2, "missing", "the moisture of b is missing: a share of dry leaf goes by it")
            .flag("--lot").hint("name its lot or type its moisture, such as --lot \"b = 12%\""),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --dry 10g", 2, "missing", "the moisture of a is missing: a size of dry leaf goes by it")
            .flag("--lot").hint(type_it),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --casing \"8 % liquid on dry: plum casing\" --book demo-data", 2, "missing", "the moisture of a is missing: casing goes by it")
            .flag("--lot").hint(type_it),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --flavour \"1 g/kg on dry: fig tincture\" --book demo-data", 2, "missing", "the moisture of a is missing: a dose on dry leaf goes by it")
            .flag("--lot").hint(type_it),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --to 15%", 2, "missing", "the moisture of a is missing: water to a moisture goes by it")
            .flag("--lot").hint(type_it),
    ]);
}

#[test]
fn lots_and_droppers_that_fit_nothing_are_refused() {
    all_hold(&[
        Refusal::new("gutta sheet evening --batch 10g --lot \"orental = 12%\" --book demo-data", 2, "unknown-name", "`orental` is not in the formula")
            .flag("--lot").under("orental = 12%", "orental = 12%").hint("did you mean oriental?"),
        Refusal::new("gutta sheet evening --batch 10g --lot \"oriental 12%\" --book demo-data", 2, "unreadable", "there is no = between component and lot")
            .flag("--lot").under("oriental 12%", "oriental 12%").hint("type the component, = and its lot or moisture, such as \"oriental = sun-25\""),
        Refusal::new("gutta sheet evening --batch 10g --lot \"oriental = 12%\" --lot \"oriental = 13%\" --book demo-data", 2, "duplicate", "oriental is given twice")
            .flag("--lot").under("oriental = 13%", "oriental = 13%").hint("keep one of them; a second lot of one leaf is a component of its own"),
        Refusal::new("gutta sheet evening --batch 10g --lot \"oriental =\" --book demo-data", 2, "missing", "no lot is named for oriental")
            .flag("--lot").under("oriental =", "oriental =").hint("type a lot of the book or a moisture behind the =, such as \"oriental = 12%\""),
        Refusal::new("gutta sheet evening --batch 10g --dropper ambre --book demo-data", 2, "unknown-name", "the book has no dropper `ambre`")
            .flag("--dropper").under("ambre", "ambre").hint("did you mean `amber`? its droppers are glass and amber"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --batch 10g --dropper amber --book demo-data", 2, "unknown-name", "dropper amber is calibrated with fig tincture, which is no flavouring of this formula")
            .flag("--dropper").under("amber", "amber").hint("name a dropper of the flavouring or of water, or leave it out: then it is weighed"),
        Refusal::new("gutta sheet evening --batch 10g --dropper glass --dropper glass --book demo-data", 2, "duplicate", "two droppers are named for water")
            .flag("--dropper").under("glass", "glass").hint("keep one of them"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --in-bowl \"6g c\"", 2, "unknown-name", "`c` is not in the formula")
            .flag("--in-bowl").under("6g c", "6g c").hint("it has a, b"),
        Refusal::new("gutta sheet \"46 % a\" \"54 % b\" --in-bowl 6g", 2, "missing", "it is not said what of the formula it is")
            .flag("--in-bowl").under("6g", "6g").hint("type mass and component, such as --in-bowl \"36.8g oriental\""),
    ]);
}

#[test]
fn pages_that_cannot_be_written_are_refused() {
    let place = "make its folder first, or name another";
    all_hold(&[
        Refusal::new(
            "gutta sheet evening --batch 10g --html no-such-folder/sheet.html --book demo-data",
            2,
            "io",
            "there is no such folder",
        )
        .flag("--html")
        .under("no-such-folder/sheet.html", "no-such-folder/sheet.html")
        .hint(place),
        Refusal::new(
            "gutta sheet evening --batch 10g --html README.md --book demo-data",
            2,
            "io",
            "this file is there already, and is no page of HTML",
        )
        .flag("--html")
        .under("README.md", "README.md")
        .hint("name a file that is not there yet, such as sheet.html"),
        Refusal::new(
            "gutta sheet evening --batch 10g --html tests --book demo-data",
            2,
            "io",
            "this is a folder, not a file",
        )
        .flag("--html")
        .under("tests", "tests")
        .hint("name a file that is not there yet, such as sheet.html"),
        Refusal::new(
            "gutta sheet evening --batch 10g --html \"\" --book demo-data",
            2,
            "missing",
            "no file is named",
        )
        .flag("--html")
        .hint("type --html and then the file to write, such as sheet.html"),
        Refusal::new(
            "gutta sheet evening --batch 10g --paper half-letter --book demo-data",
            2,
            "missing",
            "--paper is about the page to print, and none is asked for",
        )
        .flag("--html")
        .hint("name the file to write, such as --html sheet.html, or leave --paper out"),
        Refusal::new(
            "gutta sheet evening --batch 10g --paper a3 --html sheet.html --book demo-data",
            2,
            "unknown-value",
            "there is no `a3`",
        )
        .flag("--paper")
        .under("a3", "a3")
        .hint("type --paper a5, half-letter or a4"),
    ]);
    assert!(!gutta_tests::root().join("no-such-folder").exists());
    assert!(!gutta_tests::root().join("sheet.html").exists());
}

/// Nobody may make a file in `/sys`, the administrator neither.
#[cfg(target_os = "linux")]
#[test]
fn a_place_that_may_not_be_written_to_is_said() {
    all_hold(&[Refusal::new(
        "gutta sheet evening --batch 10g --html /sys/sheet.html --book demo-data",
        2,
        "io",
        "this may not be written to",
    )
    .flag("--html")
    .under("/sys/sheet.html", "/sys/sheet.html")
    .hint("nothing was changed; make room or name a place that you may write to")]);
}

/// What is no page stays byte for byte as it was; a page is replaced, and an empty
/// file filled.
#[test]
fn only_a_page_is_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.html");
    let path = file.to_str().expect("a path in UTF-8");
    let sheet = |size: &str| {
        let args = ["sheet", "1 part oriental", "--batch", size, "--html", path];
        let output = command(&args).output().expect("the program starts");
        output.status.code()
    };
    let bytes = || fs::read(&file).expect("a file");
    fs::write(&file, "my notes").expect("written");
    assert_eq!(sheet("24g"), Some(2));
    assert_eq!(bytes(), b"my notes");
    fs::write(&file, "").expect("written");
    assert_eq!(sheet("24g"), Some(0));
    let first = bytes();
    assert!(first.starts_with(b"<!doctype html>"));
    assert_eq!(sheet("25g"), Some(0));
    assert_ne!(bytes(), first);
    // Nothing lies beside it.
    let names = fs::read_dir(folder.path()).expect("a folder");
    let names: Vec<_> = names
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(names, ["sheet.html"]);
}

/// A sheet that is refused writes no page.
#[test]
fn a_refused_sheet_leaves_no_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.html");
    let line = format!(
        "gutta sheet \"46 % a\" \"53 % b\" --batch 10g --html {}",
        file.display()
    );
    assert_eq!(typed(&line).code, 1);
    assert!(!file.exists());
}
