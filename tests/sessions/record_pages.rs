//! The pages of a record and of labels: what stands on them, and how they print.

use std::fs;

use super::pages::{BROWSERS, Workshop, browser, count, formula, pages, printed};
use super::program::{run, text};

/// Writes the page of a record or of labels into the folder of a workshop.
fn page(shop: &Workshop, name: &str, args: &[&str]) -> String {
    let (book, file) = (shop.path(""), shop.path(name));
    let mut all = vec!["--book", book.to_str().expect("UTF-8"), "batch"];
    all.extend(args);
    all.extend(["--html", file.to_str().expect("UTF-8")]);
    let run = run(&all);
    assert_eq!(run.code, 0, "{args:?}\n{}", run.err);
    assert!(run.out.contains(" to print"), "{}", run.out);
    fs::read_to_string(&file).expect("a page in UTF-8")
}

const RECORD: [&str; 6] = ["record", "house", "--batch", "2kg", "--at", "11% ± 2%"];

#[test]
fn the_pages_fetch_nothing_and_run_nothing() {
    let shop = Workshop::new(&formula("house", 4, "leaf", Some(1)));
    let record = page(&shop, "record.html", &RECORD);
    let labels = page(&shop, "labels.html", &["labels", "house", "--count", "3"]);
    for page in [record, labels] {
        let low = page.to_lowercase();
        assert!(low.starts_with("<!doctype html>"), "{page}");
        for never in [
            "http",
            "//",
            "<script",
            "javascript",
            "src=",
            "<link",
            "<a ",
            "href",
            "@import",
            "@font-face",
            "<iframe",
            "<object",
            "<embed",
            "<base",
            "url(",
            "onload",
            "onerror",
        ] {
            assert!(!low.contains(never), "{never}");
        }
    }
}

#[test]
fn the_pages_show_what_is_typed_as_it_is() {
    let odd = "<7> & \\\"Größe\\\"";
    let shop = Workshop::new(&format!(
        "[[formula]]\nname = \"odd\"\nshares = \"as-weighed\"\nleaf = [\"60 % leaf {odd}\", \"40 % b\"]\nrest = \"{odd}\"\nnote = \"{odd}\"\n"
    ));
    let record = page(
        &shop,
        "record.html",
        &["record", "odd", "--batch", "24g", "--number", "</h1><b>"],
    );
    // The leaf in the formula, in its row and in its step; the rest there and as a
    // step; the note.
    let escaped = "&lt;7&gt; &amp; &quot;Größe&quot;";
    assert_eq!(count(&record, escaped), 6, "{record}");
    assert!(
        !record.contains("<7>") && !record.contains("<b>"),
        "{record}"
    );
    assert_eq!(count(&record, "</h1>"), 1, "{record}");
    let labels = page(&shop, "labels.html", &["labels", "odd", "--line", "<i>&"]);
    assert!(labels.contains("&lt;i&gt;&amp;"), "{labels}");
}

/// What is blank on the screen is blank on the page, block by block; the number of
/// the batch stands in every block, so that a leaf of paper is known by itself.
#[test]
fn a_record_has_the_same_blanks_as_the_screen() {
    let line =
        "gutta batch record evening --finished 900g --scale floor --number 26-014 --book demo-data";
    let said = text(line);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("record.html");
    text(&format!("{line} --html {}", file.display()));
    let page = fs::read_to_string(&file).expect("a page");
    let blank = "<td class=\"blank\"><span></span></td>";
    assert_eq!(count(&page, blank), count(&said, "_______"));
    // Two a row of leaf, three a row of liquid, and those of the other blocks.
    assert!(count(&page, blank) > 40, "{page}");
    let blocks = count(&page, "<section>");
    assert_eq!(blocks, 9);
    assert_eq!(count(&page, "<small>batch 26-014</small>"), blocks);
    for title in [
        "What it is made after",
        "Leaf",
        "Liquids",
        "Steps",
        "Checks",
        "What went otherwise",
        "Yield",
        "Who and when",
        "What the figures go by",
    ] {
        assert!(page.contains(&format!("<h2>{title} ")), "{title}");
    }
    assert!(page.contains("nicotine passes through skin"), "{page}");
    // Without a number it is left to be filled in.
    text(&format!(
        "gutta batch record evening --finished 900g --book demo-data --html {}",
        file.display()
    ));
    let page = fs::read_to_string(&file).expect("a page");
    assert!(page.contains("Batch <span>&#160;</span>"), "{page}");
}

#[test]
fn as_many_labels_as_are_asked_for() {
    let shop = Workshop::new(&formula("house", 2, "leaf", None));
    let labels = page(
        &shop,
        "labels.html",
        &[
            "labels", "house", "--count", "30", "--net", "50g", "--number", "7",
        ],
    );
    assert_eq!(count(&labels, "<li>"), 30);
    assert_eq!(
        count(
            &labels,
            "<li><div>house</div><div>batch 7</div><div>50\u{a0}g</div></li>"
        ),
        30
    );
}

/// The fewest and the most lines: as few leaves of paper as hold them, of the size
/// that was asked for. A page that cannot be printed would have none.
#[test]
fn records_and_labels_print() {
    let Some(browser) = browser() else {
        eprintln!("skipped: none of {BROWSERS:?} is there to print a page with");
        return;
    };
    let profile = tempfile::tempdir().expect("a folder");
    let sizes = [
        ("a4", "/MediaBox [0 0 59"),
        ("a5", "/MediaBox [0 0 4"),
        ("half-letter", "/MediaBox [0 0 396"),
    ];
    let long = "sun-cured oriental of the upper leaves, Größe";
    for (lines, leaf, notes, paper, most) in [
        (1, "bright", None, "a4", 2),
        (14, long, Some(12), "a4", 4),
        (4, "bright", Some(1), "a5", 3),
        (4, "bright", Some(1), "half-letter", 3),
    ] {
        let shop = Workshop::new(&formula("house", lines, leaf, notes));
        let mut args = RECORD.to_vec();
        args.extend(["--to", "15%", "--scale", "1g", "--paper", paper]);
        page(&shop, "record.html", &args);
        let pdf = printed(browser, &shop.path("record.html"), profile.path());
        let leaves = pages(&pdf);
        assert!(
            (1..=most).contains(&leaves),
            "{lines} lines on {paper}: {leaves}"
        );
        let printed = String::from_utf8_lossy(&pdf);
        let (_, size) = sizes
            .iter()
            .find(|(name, _)| *name == paper)
            .expect("a size");
        assert!(printed.contains(size), "{paper}");
    }
    let shop = Workshop::new(&formula("house", 2, "leaf", None));
    // Three across and eleven down on A4.
    for (count, leaves) in [("33", 1), ("34", 2)] {
        page(&shop, "labels.html", &["labels", "house", "--count", count]);
        let pdf = printed(browser, &shop.path("labels.html"), profile.path());
        assert_eq!(pages(&pdf), leaves, "{count} labels");
    }
}
