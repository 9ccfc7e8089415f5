//! `gutta trial` and `gutta batch`: what was planned, what was done, and what it
//! is now.

mod add;
mod ask;
mod begin;
mod compare;
mod look;
mod step;

use clap::Subcommand;
use gutta_book::MakingKind;

use crate::answer::Answer;
use crate::command::html::HtmlArgs;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::session::Session;

const BEGIN_EXAMPLES: &str = "\
Examples:
  gutta trial begin evening --batch 24g --scale bench --dropper amber \\
    --book demo-data
  gutta trial begin evening --batch 24g --parent PQ8C-2R7K \\
    --change \"rest for a week\" --book demo-data
  gutta trial begin --note \"by eye\" --book demo-data
  gutta batch begin evening:2 --batch 500g --scale pocket --book demo-data
  gutta batch begin evening:2 --finished 500g --parent PQ8C-2R7K --book demo-data";

const ADD_EXAMPLES: &str = "\
Examples:
  gutta trial add PQ8C-2R7K \"leaf 0.12 g oriental\" \"water 1 drop, by glass\" \\
    --scale bench --book demo-data
  gutta trial add PQ8C-2R7K \"score finish, 7 of 10\" --book demo-data
  gutta batch add 6VWK-T538 \"deviation the bin stood open for a night\" \\
    --book demo-data

A line says one thing that was done:
  leaf 11.0 g red flue-cured, of red-23c     leaf 11.0 g oriental, at 12 %
  casing 9.6 g plum casing
  flavour 12 drops fig tincture, by amber    …, 25.48 mg each, loss 0.331 g
  water 8 drops, by glass                    water 0.38 g
  weighed 24.6 g, at 14.8 %
  score room note, 7 of 10
  deviation 0.4 g too much oriental, repair the rest was weighed to it
  note smells of hay
Lines may stand in a file: --from trial.txt. Without lines it asks for what was
planned, one by one, and each answer is kept at once; nothing skips a line, done
ends it.";

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta trial list --book demo-data
  gutta trial show PQ8C-2R7K --book demo-data
  gutta trial tree --book demo-data
  gutta trial compare 90RA-6AG4 --with PQ8C-2R7K --book demo-data
  gutta batch list --book demo-data
  gutta batch show 6VWK-T538 --book demo-data
  gutta batch tree 6VWK-T538 --book demo-data
  gutta batch compare 6VWK-T538 --with PQ8C-2R7K --book demo-data";

/// What is made, from its plan to its judgement.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum MakingVerb {
    /// A plan, as gutta sheet has it, written down to be worked by
    #[command(after_long_help = BEGIN_EXAMPLES)]
    Begin(Box<begin::BeginArgs>),
    /// What was done: weighings, drops, water, scores, notes; asked for one by one without lines
    #[command(after_long_help = ADD_EXAMPLES)]
    Add(add::AddArgs),
    /// One, planned beside done: shares, doses and moisture as they really are
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(look::ShowArgs),
    /// All of them
    #[command(after_long_help = SHOW_EXAMPLES)]
    List,
    /// Which came from which
    #[command(after_long_help = SHOW_EXAMPLES)]
    Tree(look::TreeArgs),
    /// Any two: shares, doses, moisture, scores
    #[command(after_long_help = SHOW_EXAMPLES)]
    Compare(compare::CompareArgs),
}

/// What a trial or batch that is asked about is called in a complaint.
const ID: &str = "ID";

impl MakingVerb {
    /// The page that the plan's sheet is written to, where one is asked for.
    pub const fn html(&self) -> Option<&HtmlArgs> {
        match self {
            Self::Begin(args) => Some(args.html()),
            _ => None,
        }
    }

    /// Whether it writes into the journal.
    pub const fn writes(&self) -> bool {
        matches!(self, Self::Begin(_) | Self::Add(_))
    }

    /// Reads the flags, writes down or works out, and says the answer.
    pub fn answer(
        &self,
        kind: MakingKind,
        shelf: &Shelf,
        session: &mut Session<'_>,
    ) -> Outcome<Answer> {
        match self {
            Self::Begin(args) => args.answer(kind, shelf),
            Self::Add(args) => args.answer(kind, shelf, session),
            Self::Show(args) => args.answer(kind, shelf),
            Self::List => look::list(kind, shelf),
            Self::Tree(args) => args.answer(kind, shelf),
            Self::Compare(args) => args.answer(kind, shelf),
        }
    }
}

/// The name of a command about a trial or a batch.
const fn command(kind: MakingKind, trial: &'static str, batch: &'static str) -> &'static str {
    match kind {
        MakingKind::Trial => trial,
        MakingKind::Batch => batch,
    }
}
