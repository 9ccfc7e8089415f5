//! `gutta formula`: what a formula is, at any size and in any way of writing.

pub mod args;
mod change;
mod compare;
mod premix;
mod save;
mod show;
mod strip;

use clap::Subcommand;

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta formula show \"9 parts flue-cured\" \"4 parts oriental\" \"2 parts stoved\" \\
    \"1 part fire-cured\" --batch 28.0g
  gutta formula show \"46 % flue-cured\" \"54 % oriental\" --shares dry \\
    --lot \"flue-cured = 12.4%\" --lot \"oriental = 11%\" --dry 500g
  gutta formula show \"2 parts flue-cured\" \"1 part burley\" --shares dry \\
    --to 15% --save morning --book demo-data";

const COMPARE_EXAMPLES: &str = "\
Examples:
  gutta formula compare \"46 % flue-cured\" \"54 % oriental\" \\
    --with \"40 % flue-cured\" --with \"60 % oriental\"";

const CHANGE_EXAMPLES: &str = "\
Examples:
  gutta formula change \"46 % flue-cured\" \"22 % oriental\" \"18 % stoved\" \\
    \"14 % fire-cured\" --share \"oriental = 28 %\"
  gutta formula change \"46 % flue-cured\" \"22 % oriental\" \"18 % stoved\" \\
    \"14 % fire-cured\" --share \"oriental = 28 %\" --gives-way stoved
  gutta formula change evening --share \"oriental = 25 %\" --save evening \\
    --note \"less hay\" --book demo-data";

const PREMIX_EXAMPLES: &str = "\
Examples:
  gutta formula premix --batch 20g --share 3.5% --base 52% --scale 0.1g
  gutta formula premix --batch 20g --share 3.5% --base 52% --scale 0.1g \\
    --condiment 10g --with 90g";

const STRIP_EXAMPLES: &str = "\
Examples:
  gutta formula strip --dry 750g --stem 22% --at 11.5%";

/// What is asked of a formula.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
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
    /// A share too small for the scale, by a pre-mix with the base
    #[command(after_long_help = PREMIX_EXAMPLES)]
    Premix(premix::PremixArgs),
    /// How much whole leaf gives this much strip
    #[command(after_long_help = STRIP_EXAMPLES)]
    Strip(strip::StripArgs),
}

impl FormulaVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Show(args) => args.answer(shelf),
            Self::Compare(args) => args.answer(shelf),
            Self::Change(args) => args.answer(shelf),
            Self::Premix(args) => args.answer(shelf),
            Self::Strip(args) => args.answer(shelf),
        }
    }
}
