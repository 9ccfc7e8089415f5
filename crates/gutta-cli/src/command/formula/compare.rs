//! `gutta formula compare`.

use clap::Args;

use gutta::blend::formula::difference;

use super::args::{FORMULA, FormulaArgs};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Assumed;
use crate::resolve::shelf::Shelf;
use crate::speak::formula as speak;

/// Two formulas.
#[derive(Debug, Args)]
pub struct CompareArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    /// What it is compared with: a formula of the book, or a line of another
    #[arg(long, value_name = "FORMULA")]
    with: Vec<String>,
}

impl CompareArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let before = self.formula.beside_another(shelf, &mut assumed)?;
        if self.with.is_empty() {
            return Err(Failure::missing("--with", "there is nothing to compare it with").hint(
                "name another formula or version, such as --with evening:1, or type its lines, each behind --with",
            ));
        }
        self.formula.refuse_shares_of_the_book(&self.with)?;
        let after = self.formula.of(&self.with, "--with", shelf, &mut assumed)?;
        if before.basis != after.basis {
            return Err(Failure::refused(format!(
                "{} counts its shares on {}, and {} on {}",
                before.title,
                speak::leaf(before.basis),
                after.title,
                speak::leaf(after.basis)
            ))
            .about(FORMULA)
            .hint("shares on two bases are no more alike than grams and drops: gutta formula show with the lots gives one of them on the other basis"));
        }
        let changes = difference(&before.leaf, &after.leaf);
        Ok(speak::compare(&before, &after, &changes, assumed))
    }
}
