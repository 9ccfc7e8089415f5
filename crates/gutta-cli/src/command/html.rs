//! The page that a sheet is printed from.

use std::path::Path;

use clap::{Args, ValueEnum};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::render::html::{self, Paper};
use crate::resolve::Flag;

/// A sheet, a record or labels as a page to print.
#[derive(Debug, Args)]
pub struct HtmlArgs {
    /// Write it as a page to print, such as sheet.html
    #[arg(long, value_name = "FILE")]
    html: Option<String>,
    /// What it is printed on [a sheet a5, records and labels a4]
    #[arg(long, value_name = "PAPER", value_enum)]
    paper: Option<PaperWord>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperWord {
    /// A5, 148 × 210 mm
    A5,
    /// Half letter, 5.5 × 8.5 inches
    HalfLetter,
    /// A4, 210 × 297 mm
    A4,
}

impl HtmlArgs {
    /// Writes the page, where one is asked for, and says so.
    pub fn write(&self, answer: &mut Answer, folder: &Path) -> Outcome<()> {
        let Some(flag) = Flag::of("--html", self.html.as_ref()) else {
            return match self.paper {
                Some(_) => Err(Failure::missing(
                    "--html",
                    "--paper is about the page to print, and none is asked for",
                )
                .hint("name the file to write, such as --html sheet.html, or leave --paper out")),
                None => Ok(()),
            };
        };
        if flag.text.trim().is_empty() {
            return Err(Failure::missing(flag.name, "no file is named")
                .hint("type --html and then the file to write, such as sheet.html"));
        }
        let paper = self.paper.map(|paper| match paper {
            PaperWord::A5 => Paper::A5,
            PaperWord::HalfLetter => Paper::HalfLetter,
            PaperWord::A4 => Paper::A4,
        });
        let (page, what) = if let Some(document) = &answer.document {
            let paper = paper.unwrap_or(Paper::A5);
            (html::page(document, paper)?, "sheet")
        } else if let Some(record) = &answer.record {
            let paper = paper.unwrap_or(Paper::A4);
            (html::record(record, paper)?, "record")
        } else if let Some(labels) = &answer.labels {
            let paper = paper.unwrap_or(Paper::A4);
            (html::labels(labels, paper)?, "sheet of labels")
        } else {
            return Ok(());
        };
        gutta_book::write_page(&folder.join(flag.text), &page).map_err(|error| {
            let failure = flag.wrong("io", error.to_string());
            match error.hint() {
                Some(hint) => failure.hint(hint),
                None => failure,
            }
        })?;
        answer
            .next
            .push(format!("{} is the {what} to print", flag.text));
        Ok(())
    }
}
