//! `gutta lot`: what came in, what was taken, what is on hand.

use clap::{Args, Subcommand};

use gutta::Error;
use gutta::blend::record::LotNow;
use gutta_book::{Found, LotRecord, field, is_same_name, kind};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::record::{Draft, RecordArgs, When, called};
use crate::resolve::shelf::{Shelf, of_entry};
use crate::resolve::{Assumed, Flag};
use crate::speak::book::as_word;
use crate::speak::lot as speak;

const IN_EXAMPLES: &str = "\
Examples:
  gutta lot in bright-24a --mass 500g --at \"10.8% ± 1.0%\" --book demo-data
  gutta lot in brown-24 --mass 350g --book demo-data

Without --at it is the moisture that lots.csv has of the lot.";

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
    In(LeafArgs),
    /// Leaf was taken
    #[command(after_long_help = STEP_EXAMPLES)]
    Take(TakeArgs),
    /// What is left was weighed, its moisture found again or not
    #[command(after_long_help = STEP_EXAMPLES)]
    Weigh(LeafArgs),
    /// What is on hand, as weighed and dry
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(ShowArgs),
}

/// Leaf with its moisture.
#[derive(Debug, Args)]
pub struct LeafArgs {
    /// What the lot is called
    #[arg(value_name = "LOT")]
    lot: String,
    /// How much of it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    /// Its moisture [lot in: that of lots.csv]
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
                let entry = (args.lot.as_str(), args.mass.as_ref());
                let mut draft = begun(&args.record, kind::LOT_IN, entry, shelf)?;
                let mut assumed = Assumed::default();
                if args.at.is_some() {
                    draft.moisture(args.at.as_ref())?;
                } else {
                    of_lots_csv(&args.lot, &mut draft, shelf, &mut assumed)?;
                }
                written(entry, draft, "lot in", shelf, assumed)
            }
            Self::Weigh(args) => {
                let entry = (args.lot.as_str(), args.mass.as_ref());
                let mut draft = begun(&args.record, kind::LOT_WEIGHED, entry, shelf)?;
                if args.at.is_some() {
                    draft.moisture(args.at.as_ref())?;
                }
                written(entry, draft, "lot weigh", shelf, Assumed::default())
            }
            Self::Take(args) => {
                let entry = (args.lot.as_str(), args.mass.as_ref());
                let draft = begun(&args.record, kind::LOT_TAKEN, entry, shelf)?;
                written(entry, draft, "lot take", shelf, Assumed::default())
            }
            Self::Show(args) => args.answer(shelf),
        }
    }
}

/// What a lot is called, and how much of it was typed.
type Typed<'a> = (&'a str, Option<&'a String>);

fn named(name: &str) -> Outcome<Flag<'_>> {
    called(LOT, "lot", "bright-24a", name)
}

fn begun(
    record: &RecordArgs,
    kind: &'static str,
    (lot, mass): Typed<'_>,
    shelf: &Shelf,
) -> Outcome<Draft> {
    let flag = named(lot)?;
    let mut draft = record.draft(kind, shelf)?;
    draft.put(field::LOT, flag.text);
    draft.mass(
        field::MASS,
        "--mass",
        mass,
        "how much leaf it was",
        "type what was weighed, such as --mass 60g",
    )?;
    Ok(draft)
}

/// The moisture that lots.csv has of a lot, with how and when it was found.
fn of_lots_csv(name: &str, draft: &mut Draft, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<()> {
    shelf.folder()?;
    let book = shelf.whole()?;
    let Some(lot) = book.and_then(|(book, _)| book.lot(name).ok()) else {
        return Err(
            Failure::missing("--at", "the moisture of the leaf is missing").hint(format!(
                "type it with its doubt, such as --at \"12.4% ± 0.6%\"; lots.csv knows no {}",
                name.trim()
            )),
        );
    };
    draft.put(field::MOISTURE, lot.typed.to_string());
    let mut said = format!("the moisture of lots.csv: {}", lot.typed.unbroken());
    if let Some(method) = lot.method {
        draft.put(field::METHOD, method.name());
    }
    if let Some(date) = lot.date {
        draft.put(field::FOUND, date.to_string());
        said += &format!(", as measured on {date}");
    }
    assumed.line(said);
    if let Some(method) = lot.method {
        assumed.method(method);
    }
    Ok(())
}

/// Writes an entry down, if the lot can be so with it; and what is on hand then.
fn written(
    (name, mass): Typed<'_>,
    draft: Draft,
    command: &'static str,
    shelf: &Shelf,
    assumed: Assumed,
) -> Outcome<Answer> {
    let flag = named(name)?;
    let figure = Flag::of("--mass", mass).unwrap_or(flag);
    let (written, (name, now)) = draft.write_if(shelf, |journal, draft| {
        let lots = journal.lots_found();
        let before = match find(flag, &lots) {
            // What a lot lacks may be what is written down now.
            Err(_) if draft.kind() == kind::LOT_IN => None,
            found => found?,
        };
        if let Some(lot) = &before {
            lot.history
                .fault()
                .map_or(Ok(()), |(_, error)| Err(flag.fail(error)))?;
            let steps = &lot.history.0;
            let first = steps.first().map_or(draft.when().moment(), |step| step.at);
            let last = steps.last().map_or(first, |step| step.at);
            let is_in = draft.kind() == kind::LOT_IN;
            if matches!(draft.when(), When::Now(_)) {
                draft.when().not_before(last, "")?;
            } else if !is_in {
                let what = format!("{} first came in", lot.name);
                draft.when().not_before(first, &what)?;
            }
        } else if draft.kind() == kind::LOT_TAKEN {
            return Err(unknown(flag, &lots));
        }
        journal.suppose(&draft.entry());
        let lots = journal.lots_found();
        let lot = match find(flag, &lots) {
            // Weighed without a moisture, it has none at all.
            Err(_) if before.is_none() && draft.kind() == kind::LOT_WEIGHED => None,
            found => found?,
        };
        let lot = lot.ok_or_else(|| unknown(flag, &lots))?;
        let now = lot.history.now().map_err(|error| {
            let held = before.and_then(|lot| lot.history.now().ok());
            impossible(figure, error, &lot.name, held.as_ref())
        })?;
        Ok((lot.name, now))
    })?;
    Ok(speak::written(command, &written, &name, &now, assumed))
}

fn impossible(flag: Flag<'_>, error: Error, name: &str, held: Option<&LotNow>) -> Failure {
    let hint = error.hint().unwrap_or_default().to_owned();
    let failure = flag.fail(error);
    match held {
        Some(held) => failure.hint(format!(
            "{} of {name} are on hand: {hint}",
            speak::grams(&held.as_weighed)
        )),
        None => failure,
    }
}

/// The lot of a name, where the journal knows one and can follow it.
fn find(flag: Flag<'_>, lots: &Found<LotRecord>) -> Outcome<Option<LotRecord>> {
    let mut wrong = lots.wrong.iter();
    if let Some(wrong) = wrong.find(|lot| is_same_name(&lot.name, flag.text)) {
        return Err(of_entry(&wrong.error));
    }
    let mut sound = lots.sound.iter();
    let lot = sound.find(|lot| is_same_name(&lot.name, flag.text));
    Ok(lot.cloned())
}

/// What is to be said of a lot that the journal does not know.
fn unknown(flag: Flag<'_>, lots: &Found<LotRecord>) -> Failure {
    let names: Vec<&str> = lots.sound.iter().map(|lot| lot.name.as_str()).collect();
    let others: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| !is_same_name(name, flag.text))
        .collect();
    let near = gutta_book::nearest(flag.text, others.iter().copied());
    let message = format!("the journal knows no lot `{}`", flag.text);
    flag.wrong("unknown-name", message).hint(match near {
        Some(near) => format!("did you mean {near}?"),
        None => format!(
            "write down first what came in: gutta lot in {} --mass 500g --at 12%",
            as_word(flag.text)
        ),
    })
}

impl ShowArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let journal = shelf.journal()?;
        let lots = journal.lots_found();
        if let Some(name) = &self.lot {
            let flag = named(name)?;
            let lot = find(flag, &lots)?.ok_or_else(|| unknown(flag, &lots))?;
            let now = lot.history.now().map_err(|error| flag.fail(error))?;
            return Ok(speak::show(&[(lot, now)], &[]));
        }
        let mut shown = Vec::new();
        let mut wrong: Vec<String> = Vec::new();
        for lot in lots.wrong {
            wrong.push(format!("{}: {}; see gutta book check", lot.name, lot.error));
        }
        for lot in lots.sound {
            match lot.history.now() {
                Ok(now) => shown.push((lot, now)),
                Err(error) => wrong.push(format!("{}: {error}; see gutta book check", lot.name)),
            }
        }
        Ok(speak::show(&shown, &wrong))
    }
}
