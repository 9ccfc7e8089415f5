//! `--save` of `gutta formula show` and `change`: a version kept in the book.

use clap::Args;

use gutta_book::{EntryKind, NewFormula, save_formula};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::formula::Formula;
use crate::resolve::shelf::{Shelf, of_book};
use crate::say;
use crate::speak::formula as speak;

/// A version to be kept.
#[derive(Debug, Args)]
#[command(next_help_heading = "Keeping it in the book")]
pub struct SaveArgs {
    /// Keep it in the book, as the next version of this name
    #[arg(long, value_name = "NAME")]
    save: Option<String>,
    /// Words kept with it
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
}

impl SaveArgs {
    /// Keeps a formula with these lines of leaf, where that is asked for, and says so.
    pub fn keep(
        &self,
        formula: &Formula,
        leaf: Vec<String>,
        shelf: &Shelf,
        answer: &mut Answer,
    ) -> Outcome<()> {
        let Some(flag) = Flag::of("--save", self.save.as_ref()) else {
            return match self.note {
                Some(_) => Err(Failure::missing(
                    "--save",
                    "--note belongs to a formula that is kept",
                )
                .hint("add --save and its name, or leave --note out")),
                None => Ok(()),
            };
        };
        let name = flag.text.trim();
        if name.is_empty() {
            return Err(Failure::missing(flag.name, "no name is given")
                .hint("type the name to keep it by, such as --save evening"));
        }
        if let Some((bare, _)) = name.split_once(':') {
            return Err(flag
                .wrong(
                    "stray",
                    "the version of a formula is counted by the program",
                )
                .hint(format!(
                    "type the name alone: --save {}",
                    say::shell_word(bare)
                )));
        }
        let Some((_, folder)) = shelf.whole()? else {
            return Err(flag
                .wrong("no-book", "there is no bench book to keep it in")
                .hint("name its folder with --book DIR; gutta book new DIR makes one"));
        };
        let new = NewFormula {
            name: name.to_owned(),
            basis: formula.basis,
            leaf,
            flavours: lines(&formula.flavours),
            casings: lines(&formula.casings),
            moisture: formula.to.as_ref().map(|(typed, _)| typed.to_string()),
            band: formula.band.map(speak::percent_written),
            tolerance: formula.tolerance.map(speak::percent_written),
            rest: formula.rest.clone(),
            note: self.note.clone(),
        };
        let version = save_formula(folder, &new).map_err(|errors| of_book(&errors))?;
        let file = folder.join(EntryKind::Formula.file());
        speak::say_kept(answer, name, version, &file.display().to_string());
        Ok(())
    }
}

fn lines<T: ToString>(lines: &[T]) -> Vec<String> {
    lines.iter().map(ToString::to_string).collect()
}
