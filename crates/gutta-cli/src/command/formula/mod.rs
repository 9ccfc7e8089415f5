//! `gutta formula`: what a formula is, at any size and in any way of writing.

pub mod args;
mod change;
mod compare;
mod show;

use clap::Subcommand;

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta formula show \"9 parts flue-cured\" \"4 parts oriental\" \"2 parts stoved\" \\
    \"1 part fire-cured\" --batch 28.0g
  gutta formula show \"46 % flue-cured\" \"54 % oriental\" --shares dry \\
    --lot \"flue-cured = 12.4%\" --lot \"oriental = 11%\" --dry 500g";

const COMPARE_EXAMPLES: &str = "\
Examples:
  gutta formula compare \"46 % flue-cured\" \"54 % oriental\" \\
    --with \"40 % flue-cured\" --with \"60 % oriental\"";

const CHANGE_EXAMPLES: &str = "\
Examples:
  gutta formula change \"46 % flue-cured\" \"22 % oriental\" \"18 % stoved\" \\
    \"14 % fire-cured\" --share \"oriental = 28 %\"
  gutta formula change \"46 % flue-cured\" \"22 % oriental\" \"18 % stoved\" \\
    \"14 % fire-cured\" --share \"oriental = 28 %\" --gives-way stoved";

/// What is asked of a formula.
#[derive(Debug, Subcommand)]
pub enum FormulaVerb {
    /// What a formula is: its shares in every way of writing, at any size
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(show::ShowArgs),
    /// Two formulas or versions: who was raised, who gave way
    #[command(after_long_help = COMPARE_EXAMPLES)]
    Compare(compare::CompareArgs),
    /// One share changed, and who makes room for it
    #[command(after_long_help = CHANGE_EXAMPLES)]
    Change(change::ChangeArgs),
}

impl FormulaVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Show(args) => args.answer(shelf),
            Self::Compare(args) => args.answer(shelf),
            Self::Change(args) => args.answer(shelf),
        }
    }
}
