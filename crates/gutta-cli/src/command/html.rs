//! The page that a sheet is printed from.

use std::path::Path;

use clap::{Args, ValueEnum};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::render::html::{self, Paper};
use crate::resolve::Flag;

/// A sheet as a page to print.
#[derive(Debug, Args)]
pub struct HtmlArgs {
    /// Write the sheet as a page to print, such as sheet.html
    #[arg(long, value_name = "FILE")]
    html: Option<String>,
    /// What it is printed on [a5]
    #[arg(long, value_name = "PAPER", value_enum)]
    paper: Option<PaperWord>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperWord {
    /// A5, 148 × 210 mm
    A5,
    /// Half letter, 5.5 × 8.5 inches
    HalfLetter,
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
        let Some(document) = &answer.document else {
            return Ok(());
        };
        let paper = match self.paper {
            Some(PaperWord::HalfLetter) => Paper::HalfLetter,
            Some(PaperWord::A5) | None => Paper::A5,
        };
        let page = html::page(document, paper)?;
        gutta_book::write_page(&folder.join(flag.text), &page).map_err(|error| {
            let failure = flag.wrong("io", error.to_string());
            match error.hint() {
                Some(hint) => failure.hint(hint),
                None => failure,
            }
        })?;
        answer
            .next
            .push(format!("{} is the sheet to print", flag.text));
        Ok(())
    }
}
