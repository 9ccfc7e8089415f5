//! `gutta batch`: from a trial to a batch.

mod args;
mod cheapest;
mod labels;
mod packs;
mod plan;
mod reconcile;
mod record;

use clap::Subcommand;

use gutta_book::MakingKind;

use super::html::HtmlArgs;
use super::making::MakingVerb;
use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::session::Session;

const PLAN_EXAMPLES: &str = "\
Examples:
  gutta batch plan evening --finished 900g --loss 4% --book demo-data
  gutta batch plan evening --finished 4kg --to-buy --vessel 1.5kg --book demo-data
  gutta batch plan \"70 % flue-cured\" \"30 % oriental\" --shares dry --to 15% \\
    --finished 4kg --lot \"flue-cured = 9.1%\" --lot \"oriental = 11%\" \\
    --price \"flue-cured = 38 /kg\" --price \"oriental = 61 /kg\" \\
    --stock \"oriental = 1.4 kg\" --offer \"flue-cured = 36.50 /kg, 14.8 %\"
  gutta batch plan evening --batch 800g --drops \"7 drops on 10g: fig tincture\" \\
    --dropper amber --book demo-data

Money has no unit: all prices are in one currency. Price and stock of a lot stand
in lots.csv; what the journal has on hand of it wins over that.";

const CHEAPEST_EXAMPLES: &str = "\
Examples:
  gutta batch cheapest evening --finished 1kg --within 2% --book demo-data
  gutta batch cheapest \"70 % flue-cured\" \"30 % oriental\" --shares dry --to 15% \\
    --finished 4kg --within 1% --offer \"flue-cured = a, 38 /kg, 9.1 %, 2 kg\" \\
    --offer \"flue-cured = b, 36.50 /kg, 14.8 %\" --offer \"oriental = 61 /kg, 11 %\"";

const PACKS_EXAMPLES: &str = "\
Examples:
  gutta batch packs 1284g --net 50g --overfill 0.6g --retain 30g";

const RECORD_EXAMPLES: &str = "\
Examples:
  gutta batch record evening --finished 900g --scale 1g --number 26-014 \\
    --book demo-data
  gutta batch record evening --finished 900g --scale 1g --html record.html \\
    --paper a4 --book demo-data";

const LABELS_EXAMPLES: &str = "\
Examples:
  gutta batch labels evening --number 26-014 --net 50g --count 24 --date 2026-11-20 \\
    --book demo-data
  gutta batch labels evening --number 26-014 --html labels.html --book demo-data";

const RECONCILE_EXAMPLES: &str = "\
Examples:
  gutta batch reconcile --dry 3400g --bring \"34g tincture, 60% alcohol\" --to 15% \\
    --packs \"72 of 50.3g\" --good 50g --good 161g --at 14.1% --fines \"41.5g 9%\"
  gutta batch reconcile --leaf \"1700g 12.4% ± 0.6%\" --leaf \"800g 11.2% ± 0.5%\" \\
    --to 15% --good 2540g --at \"14.6% ± 0.4%\" --scale 1g";

/// What is asked of a batch.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum BatchVerb {
    /// A formula at the size of a batch: cost, stock, the limiting lot, loads
    #[command(after_long_help = PLAN_EXAMPLES)]
    Plan(plan::PlanArgs),
    /// The cheapest lots that make it, within shares, stock and moisture
    #[command(after_long_help = CHEAPEST_EXAMPLES)]
    Cheapest(cheapest::CheapestArgs),
    /// A finished batch in packs
    #[command(after_long_help = PACKS_EXAMPLES)]
    Packs(packs::PacksArgs),
    /// The record of a batch, to be filled in while it is made
    #[command(after_long_help = RECORD_EXAMPLES)]
    Record(record::RecordArgs),
    /// Labels of at most four lines
    #[command(after_long_help = LABELS_EXAMPLES)]
    Labels(labels::LabelsArgs),
    /// What went in against what came out, and whether the scales explain the rest
    #[command(after_long_help = RECONCILE_EXAMPLES)]
    Reconcile(reconcile::ReconcileArgs),
    #[command(flatten)]
    Making(MakingVerb),
}

impl BatchVerb {
    /// The page that the answer is written to, where one is asked for.
    pub const fn html(&self) -> Option<&HtmlArgs> {
        match self {
            Self::Record(args) => Some(&args.html),
            Self::Labels(args) => Some(&args.html),
            Self::Making(verb) => verb.html(),
            _ => None,
        }
    }

    /// Whether it writes into the journal.
    pub const fn writes(&self) -> bool {
        match self {
            Self::Making(verb) => verb.writes(),
            _ => false,
        }
    }

    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf, session: &mut Session<'_>) -> Outcome<Answer> {
        match self {
            Self::Making(verb) => verb.answer(MakingKind::Batch, shelf, session),
            Self::Plan(args) => args.answer(shelf),
            Self::Cheapest(args) => args.answer(shelf),
            Self::Packs(args) => args.answer(shelf),
            Self::Record(args) => args.answer(shelf),
            Self::Labels(args) => args.answer(shelf),
            Self::Reconcile(args) => args.answer(shelf),
        }
    }
}
