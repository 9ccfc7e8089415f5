//! `gutta lot`: what came in, what was taken, what is on hand.

use clap::{Args, Subcommand};

use gutta_book::{field, kind};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::record::{Draft, RecordArgs};
use crate::resolve::shelf::{Shelf, of_entry};
use crate::speak::lot as speak;

const IN_EXAMPLES: &str = "\
Examples:
  gutta lot in bright-24a --mass 500g --at \"10.8% ± 1.0%\" --book demo-data";

const STEP_EXAMPLES: &str = "\
Examples:
  gutta lot take bright-24a --mass 60g --book demo-data
  gutta lot weigh bright-24a --mass 425g --at \"10.2% ± 0.5%\" --book demo-data";

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta lot show --book demo-data
  gutta lot show bright-24a --book demo-data";

/// What happened to a lot, or what is on hand.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum LotVerb {
    /// Leaf of a lot came in, at a moisture
    #[command(after_long_help = IN_EXAMPLES)]
    In(InArgs),
    /// Leaf was taken
    #[command(after_long_help = STEP_EXAMPLES)]
    Take(TakeArgs),
    /// What is left was weighed, its moisture found again or not
    #[command(after_long_help = STEP_EXAMPLES)]
    Weigh(InArgs),
    /// What is on hand, as weighed and dry
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(ShowArgs),
}

/// Leaf with its moisture.
#[derive(Debug, Args)]
pub struct InArgs {
    /// What the lot is called
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much of it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// Leaf that was taken.
#[derive(Debug, Args)]
pub struct TakeArgs {
    /// The lot
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much of it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// Lots to be shown.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// One lot; all when none is named
    #[arg(value_name = "LOT")]
    lot: Option<String>,
}

const LOT: &str = "LOT";

impl LotVerb {
    /// Reads the flags, writes down or works out, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::In(args) => {
                let mut draft = begun(
                    &args.record,
                    kind::LOT_IN,
                    &args.lot,
                    args.mass.as_ref(),
                    shelf,
                )?;
                draft.moisture(args.at.as_ref())?;
                written(&args.lot, draft, "lot in", shelf)
            }
            Self::Weigh(args) => {
                let mut draft = begun(
                    &args.record,
                    kind::LOT_WEIGHED,
                    &args.lot,
                    args.mass.as_ref(),
                    shelf,
                )?;
                if args.at.is_some() {
                    draft.moisture(args.at.as_ref())?;
                }
                written(&args.lot, draft, "lot weigh", shelf)
            }
            Self::Take(args) => {
                let draft = begun(
                    &args.record,
                    kind::LOT_TAKEN,
                    &args.lot,
                    args.mass.as_ref(),
                    shelf,
                )?;
                written(&args.lot, draft, "lot take", shelf)
            }
            Self::Show(args) => args.answer(shelf),
        }
    }
}

fn begun(
    record: &RecordArgs,
    kind: &'static str,
    lot: &str,
    mass: Option<&String>,
    shelf: &Shelf,
) -> Outcome<Draft> {
    if lot.trim().is_empty() {
        return Err(Failure::missing(LOT, "the lot has no name")
            .hint("type what its label says, such as bright-24a"));
    }
    let mut draft = record.draft(kind, shelf)?;
    draft.put(field::LOT, lot.trim());
    draft.mass(
        field::MASS,
        "--mass",
        mass,
        "how much leaf it was",
        "type what was weighed, such as --mass 60g",
    )?;
    Ok(draft)
}

/// Writes an entry down, if the lot can be so with it; and what is on hand then.
fn written(name: &str, draft: Draft, command: &'static str, shelf: &Shelf) -> Outcome<Answer> {
    let flag = Flag::new(LOT, name);
    // What cannot be is not written down.
    let mut journal = shelf.journal()?;
    journal.suppose(&draft.entry());
    let lots = journal
        .lots()
        .map_err(|error| of_entry(&error).about(LOT))?;
    let lot = lots
        .iter()
        .find(|lot| lot.name.eq_ignore_ascii_case(name.trim()))
        .ok_or_else(|| flag.wrong("unknown-name", "the journal knows no such lot"))?;
    let now = lot.history.now().map_err(|error| flag.fail(error))?;
    let written = draft.write(shelf)?;
    Ok(speak::written(command, &written, &lot.name, &now))
}

impl ShowArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let lots = shelf.journal()?.lots().map_err(|error| of_entry(&error))?;
        let wanted = self.lot.as_deref().map(str::trim);
        let names: Vec<&str> = lots.iter().map(|lot| lot.name.as_str()).collect();
        if let Some(name) = wanted {
            let is_there = names.iter().any(|known| known.eq_ignore_ascii_case(name));
            if !is_there {
                let flag = Flag::new(LOT, name);
                return Err(flag
                    .wrong("unknown-name", format!("the journal knows no lot `{name}`"))
                    .hint(match gutta_book::nearest(name, names.iter().copied()) {
                        Some(near) => format!("did you mean {near}?"),
                        None => {
                            "write down what came in: gutta lot in bright-24a --mass 500g --at 12%"
                                .to_owned()
                        }
                    }));
            }
        }
        let shown = lots
            .iter()
            .filter(|lot| wanted.is_none_or(|name| lot.name.eq_ignore_ascii_case(name)));
        let each = shown.map(|lot| {
            let now = lot
                .history
                .now()
                .map_err(|error| Failure::from(error).about(LOT).called(lot.name.clone()))?;
            Ok((lot.name.clone(), now))
        });
        Ok(speak::show(&each.collect::<Outcome<Vec<_>>>()?))
    }
}
