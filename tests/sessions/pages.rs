//! The page of a sheet: what stands on it, and that it prints on one leaf of paper.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

use super::program::{command, run};

/// A folder for a page, and what is written about a formula in it.
pub struct Workshop {
    folder: TempDir,
}

impl Workshop {
    /// A book with the liquids of the demo and some formulas.
    pub fn new(formulas: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let put = |name: &str, text: &str| {
            fs::write(folder.path().join(name), text).expect("written");
        };
        put("book.toml", "format = 1\nname = \"The test bench\"\n");
        put("formulas.toml", &format!("format = 1\n{formulas}"));
        let liquids = gutta_tests::root().join("demo-data/liquids.toml");
        fs::copy(liquids, folder.path().join("liquids.toml")).expect("copied");
        Self { folder }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes the page of a sheet into the folder.
    fn page(&self, name: &str, args: &[&str]) -> String {
        let (book, file) = (self.folder.path(), self.path(name));
        let mut all = vec!["--book", book.to_str().expect("UTF-8"), "sheet"];
        all.extend(args);
        all.extend(["--html", file.to_str().expect("UTF-8")]);
        let run = run(&all);
        assert_eq!(run.code, 0, "{args:?}\n{}", run.err);
        fs::read_to_string(&file).expect("a page in UTF-8")
    }
}

/// A formula of the book with so many lines; with a note of so many sentences it has
/// all that can stand on a sheet.
pub fn formula(name: &str, lines: usize, leaf: &str, notes: Option<usize>) -> String {
    let leaf: Vec<String> = (0..lines)
        .map(|i| format!("\"{} parts {leaf}, bale {}\"", lines - i, i + 1))
        .collect();
    let mut text = format!(
        "[[formula]]\nname = \"{name}\"\nshares = \"dry\"\nleaf = [{}]\n",
        leaf.join(", ")
    );
    if let Some(notes) = notes {
        text += "casings = [\"8 % liquid on as-weighed: plum casing\"]\n";
        text += "flavours = [\"2 g/kg on dry: fig tincture\"]\n";
        text += "moisture = \"15 %\"\nrest = \"a week in the bin, turned once a day\"\n";
        text += &format!("note = \"{}\"\n", NOTE.repeat(notes));
    }
    text
}

const NOTE: &str = "judged against the version before it, by three people, and found rounder but a little short of body; the next trial takes two points of the stoved leaf back. ";

/// How often a text stands in another.
pub fn count(text: &str, what: &str) -> usize {
    text.matches(what).count()
}

#[test]
fn a_page_fetches_nothing_and_runs_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.html");
    let path = file.to_str().expect("UTF-8");
    for formula in ["evening", "harvest", "smoke ring"] {
        let run = run(&[
            "--book",
            "demo-data",
            "sheet",
            formula,
            "--batch",
            "240g",
            "--scale",
            "bench",
            "--dropper",
            "glass",
            "--tray",
            "612g",
            "--html",
            path,
        ]);
        assert_eq!(run.code, 0, "{formula}\n{}", run.err);
        assert!(run.out.contains("is the sheet to print"), "{}", run.out);
        let page = fs::read_to_string(&file).expect("a page");
        let low = page.to_lowercase();
        assert!(low.starts_with("<!doctype html>"), "{page}");
        for never in [
            "http",
            "//",
            "<script",
            "javascript",
            "src=",
            "srcset",
            "<link",
            "<a ",
            "href",
            "@import",
            "@font-face",
            "<iframe",
            "<object",
            "<embed",
            "<base",
            "http-equiv",
        ] {
            assert!(!low.contains(never), "{formula}: {never}");
        }
        for handler in ["onload", "onclick", "onerror"] {
            assert!(!low.contains(handler), "{formula}: {handler}");
        }
        // The one place that is pointed at stands in the page itself.
        let has_picture = low.contains("<svg");
        assert_eq!(count(&low, "url("), usize::from(has_picture), "{formula}");
        assert_eq!(count(&low, "url(#hatch)"), count(&low, "url("), "{formula}");
        assert_eq!(
            count(&low, "id=\"hatch\""),
            count(&low, "url("),
            "{formula}"
        );
    }
}

#[test]
fn a_page_shows_names_and_notes_as_they_are_written() {
    let odd = "<7> & \\\"Größe\\\"";
    let shop = Workshop::new(&format!(
        "[[formula]]\nname = \"odd\"\nshares = \"as-weighed\"\nleaf = [\"60 % leaf {odd}\", \"40 % b\"]\nrest = \"{odd}\"\nnote = \"{odd}\"\n"
    ));
    let page = shop.page("odd.html", &["odd", "--batch", "24g"]);
    // In the name of a line, in the rest and in the note.
    let escaped = "&lt;7&gt; &amp; &quot;Größe&quot;";
    assert_eq!(count(&page, escaped), 3, "{page}");
    assert!(
        !page.contains("<7>") && !page.contains("\"Größe\""),
        "{page}"
    );
    assert!(page.contains("<meta charset=\"utf-8\">"), "{page}");
    // What is typed is no markup either.
    let typed = shop.page(
        "typed.html",
        &[
            "60 % <b>bold</b>",
            "40 % </td></table>",
            "--batch",
            "24g",
            "--rest",
            "<i>",
        ],
    );
    assert!(
        !typed.contains("<b>bold") && count(&typed, "</table>") == 1,
        "{typed}"
    );
    assert!(typed.contains("&lt;i&gt;"), "{typed}");
}

/// A box to tick for each step, a line to write on for each reading of the scale, the
/// same steps as in the answer.
#[test]
fn a_box_for_each_step_and_a_blank_for_each_weighing() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.html");
    let run = run(&[
        "--book",
        "demo-data",
        "sheet",
        "evening",
        "--batch",
        "240g",
        "--scale",
        "bench",
        "--tray",
        "612g",
        "--html",
        file.to_str().expect("UTF-8"),
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let page = fs::read_to_string(&file).expect("a page");
    let steps = count(&run.out, "[ ]");
    assert_eq!(count(&page, "<td class=\"tick\"><i></i></td>"), steps);
    let blanks = count(&run.out, "_______");
    assert_eq!(
        count(&page, "<td class=\"blank\"><span></span></td>"),
        blanks
    );
    // Four lines of leaf, the tincture, the air, the water, the bowl and the end.
    assert_eq!(blanks, 9);
    for (i, what) in [
        "fire-cured (smoke-24, 13.6\u{a0}%)",
        "fig tincture",
        "distilled water",
    ]
    .iter()
    .enumerate()
    {
        assert!(page.contains(what), "{i} {what}\n{page}");
    }
    // What leaves no room for a reading is drawn dotted, and has no blank.
    assert_eq!(count(&page, "<tr class=\"hands\">"), steps - blanks);
    for what in ["made by", "on", "verdict"] {
        assert!(page.contains(&format!("<span>{what}</span>")), "{what}");
    }
    // Net and with the bowl: all leaf and the bowl.
    assert!(page.contains("852.00\u{a0}g with the bowl"), "{page}");
    assert!(
        page.contains("<dt>Moisture</dt><dd>15\u{a0}% within 1\u{a0}%</dd>"),
        "{page}"
    );
}

/// The numbers of an attribute of the first element that has `mark`.
fn attribute(page: &str, mark: &str, name: &str) -> f64 {
    let element = page.lines().find(|line| line.contains(mark)).expect(mark);
    let from = element.find(&format!(" {name}=\"")).expect(name) + name.len() + 3;
    let rest = &element[from..];
    rest[..rest.find('"').expect("a quote")]
        .parse()
        .expect("a number")
}

/// The picture: the target band is hatched, so that it is seen without colours; it is
/// as high as two half-widths, the axis as the doubt at both ends says.
#[test]
fn the_target_band_is_hatched() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.html");
    let page = |band: &str| {
        let run = run(&[
            "sheet",
            "1 part oriental",
            "--at",
            "11% ± 2%",
            "--to",
            "15%",
            "--batch",
            "240g",
            "--band",
            band,
            "--html",
            file.to_str().expect("UTF-8"),
        ]);
        assert_eq!(run.code, 0, "{}", run.err);
        fs::read_to_string(&file).expect("a page")
    };
    let (narrow, wide) = (page("0.5%"), page("1%"));
    for page in [&narrow, &wide] {
        assert!(page.contains("<pattern id=\"hatch\""), "{page}");
        assert!(
            page.contains("Hatched: the target band. Dashed: 95 % of the doubt."),
            "{page}"
        );
        assert!(page.contains("stroke-dasharray"), "{page}");
        // Black on white alone.
        for colour in page.split('#').skip(1) {
            let code = colour.split(|c: char| !c.is_ascii_alphanumeric()).next();
            assert!(
                matches!(code, Some("000" | "fff" | "hatch" | "9656" | "160")),
                "{code:?}"
            );
        }
        assert!(attribute(page, "url(#hatch)", "y") > 0.0);
        // The mark of 15 % stands in the middle of the band.
        let height = attribute(page, "url(#hatch)", "height");
        let middle = attribute(page, "url(#hatch)", "y") + height / 2.0;
        let mark = attribute(page, ">15.0</text>", "y") - 3.5;
        // Places are rounded to tenths.
        assert!((middle - mark).abs() <= 0.1 + 1e-9, "{middle} {mark}");
    }
    let height = |page: &str| attribute(page, "url(#hatch)", "height");
    // The axis is the same: the doubt is wider than either band.
    assert!(
        (height(&wide) - 2.0 * height(&narrow)).abs() <= 0.3,
        "{} {}",
        height(&wide),
        height(&narrow)
    );
    // No water to add, no picture.
    let none = command(&["sheet", "1 part a", "--batch", "24g", "--html"])
        .arg(&file)
        .output()
        .expect("the program starts");
    assert_eq!(none.status.code(), Some(0));
    assert!(!fs::read_to_string(&file).expect("a page").contains("<svg"));
}

/// A note for which even the smallest letters leave no room is cut, and that is said.
#[test]
fn a_note_without_room_is_cut() {
    let shop = Workshop::new(&formula("long", 14, "sun-cured leaf", Some(60)));
    let args = [
        "long",
        "--batch",
        "20g",
        "--at",
        "11% ± 2%",
        "--scale",
        "0.1g",
    ];
    let page = shop.page("long.html", &args);
    assert!(page.contains('…'), "{page}");
    assert!(
        page.contains("<li>more is said in the answer of gutta sheet</li>"),
        "{page}"
    );
    let short = Workshop::new(&formula("short", 4, "sun-cured leaf", None));
    let page = short.page("short.html", &["short", "--batch", "20g", "--at", "11%"]);
    assert!(!page.contains("more is said"), "{page}");
}

/// The browsers that print a page, whichever is there first.
pub const BROWSERS: [&str; 3] = ["/usr/bin/chromium", "chromium", "google-chrome"];

pub fn browser() -> Option<&'static str> {
    BROWSERS.into_iter().find(|name| {
        let mut asked = Command::new(name);
        asked
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        asked.status().is_ok_and(|status| status.success())
    })
}

/// How many pages a PDF has: its objects of the type Page, not Pages.
pub fn pages(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let types = text.match_indices("/Type /Page");
    types
        .filter(|(at, what)| {
            let next = text[at + what.len()..].chars().next();
            !next.is_some_and(char::is_alphanumeric)
        })
        .count()
}

/// Prints a page as a browser does, without its head and foot.
pub fn printed(browser: &str, html: &Path, profile: &Path) -> Vec<u8> {
    let pdf = html.with_extension("pdf");
    let output = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--no-pdf-header-footer",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(html)
        .output()
        .expect("the browser starts");
    fs::read(&pdf)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// The fewest and the most lines, and some between, each with other things on it.
#[test]
fn a_page_prints_on_one_leaf_of_paper() {
    let Some(browser) = browser() else {
        eprintln!("skipped: none of {BROWSERS:?} is there to print a page with");
        return;
    };
    let short = "bright";
    let long = "sun-cured oriental of the upper leaves, Größe";
    let cases = [
        (1, short, None, false, "a5", "0.1g"),
        (1, long, Some(12), true, "half-letter", "0.01g"),
        (4, short, Some(2), false, "a5", "0.01g"),
        (7, long, Some(12), true, "half-letter", "0.1g"),
        (10, short, None, true, "a5", "0.01g"),
        (12, long, None, false, "half-letter", "0.1g"),
        (14, short, Some(2), false, "half-letter", "0.1g"),
        (14, long, Some(12), true, "a5", "0.1g"),
        (14, long, Some(12), true, "a4", "0.1g"),
        // More than there is room for.
        (14, long, Some(60), true, "half-letter", "0.1g"),
    ];
    let profile = tempfile::tempdir().expect("a folder");
    for (lines, leaf, notes, tray, paper, scale) in cases {
        let shop = Workshop::new(&formula("house", lines, leaf, notes));
        let mut args = vec!["house", "--batch", "20g", "--at", "11% ± 2%", "--to", "15%"];
        args.extend(["--scale", scale, "--paper", paper]);
        if tray {
            args.extend(["--tray", "612.35g"]);
        }
        shop.page("sheet.html", &args);
        let pdf = printed(browser, &shop.path("sheet.html"), profile.path());
        assert_eq!(pages(&pdf), 1, "{lines} lines, {args:?}");
        // The paper is what was asked for, in points of a 72nd of an inch.
        let text = String::from_utf8_lossy(&pdf);
        let size: &[&str] = match paper {
            "a5" => &["/MediaBox [0 0 419", "/MediaBox [0 0 420"],
            "a4" => &["/MediaBox [0 0 594", "/MediaBox [0 0 595"],
            _ => &["/MediaBox [0 0 396"],
        };
        assert!(size.iter().any(|size| text.contains(size)), "{paper}");
    }
}
