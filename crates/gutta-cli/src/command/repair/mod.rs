//! `gutta repair`: what to add to a blend that went wrong.

mod flavour;
mod ratio;
mod soaked;
mod top_up;
mod wet;

use clap::Subcommand;

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;

const RATIO_EXAMPLES: &str = "\
Examples:
  gutta repair ratio \"36.8g flue-cured 46%\" \"17.6g oriental 22%\" \\
    \"14.4g stoved 18%\" \"13.9g fire-cured 14%\"
  gutta repair ratio \"107.1g base 7 parts\" \"42.9g condiment 2 parts\"
  gutta repair ratio \"50g bright 70% at 12%, 30g left\" \"30g dark 30% at 16%\" --basis dry

With a formula of the book the shares are its own:
  gutta --book demo-data repair ratio --formula evening \"13.9g fire-cured\"

Each component is what lies in the pan, its name, and the share that the formula
gives it; at 12% is its moisture, 30g left what there is of it.";

const TOP_UP_EXAMPLES: &str = "\
Examples:
  gutta repair top-up --pile 215g --share 22% --to 28%";

const FLAVOUR_EXAMPLES: &str = "\
Examples:
  gutta repair flavour --leaf 500g --dose 18g/kg --to 12g/kg";

const SOAKED_EXAMPLES: &str = "\
Examples:
  gutta repair soaked --batch 500g --component 90g --flavouring 3.0g";

const WET_EXAMPLES: &str = "\
Examples:
  gutta repair wet --pile 500g --at \"18% ± 1%\" --to 15% --with 11%";

/// What went wrong.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum RepairVerb {
    /// One component over-weighed, or all of them in the wrong ratio
    #[command(after_long_help = RATIO_EXAMPLES)]
    Ratio(ratio::RatioArgs),
    /// One share of a mixed pile is to be raised
    #[command(after_long_help = TOP_UP_EXAMPLES)]
    TopUp(top_up::TopUpArgs),
    /// Too much flavour: plain leaf brings it down
    #[command(after_long_help = FLAVOUR_EXAMPLES)]
    Flavour(flavour::FlavourArgs),
    /// All of the flavouring went onto one component
    #[command(after_long_help = SOAKED_EXAMPLES)]
    Soaked(soaked::SoakedArgs),
    /// It came out too wet: more of the same blend, drier, or air
    #[command(after_long_help = WET_EXAMPLES)]
    Wet(wet::WetArgs),
}

impl RepairVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Ratio(args) => args.answer(shelf),
            Self::TopUp(args) => args.answer(shelf),
            Self::Flavour(args) => args.answer(shelf),
            Self::Soaked(args) => args.answer(shelf),
            Self::Wet(args) => args.answer(shelf),
        }
    }
}
