//! `gutta jar`: jars through their weighings.

use clap::{Args, Subcommand};

use gutta::blend::record::JarNow;
use gutta_book::{JarRecord, field, kind};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::record::{Draft, RecordArgs, Written};
use crate::resolve::shelf::{Shelf, of_entry};
use crate::resolve::{Assumed, Flag};
use crate::speak::jar as speak;

const FILL_EXAMPLES: &str = "\
Examples:
  gutta jar fill quince --tare 412.6g --gross 866.1g --at \"15.2% ± 0.5%\" \\
    --scale 0.1g --book demo-data";

const STEP_EXAMPLES: &str = "\
Examples:
  gutta jar weigh quince --gross 851.9g --scale 0.1g --book demo-data
  gutta jar take quince --mass 30g --book demo-data
  gutta jar put quince --mass 20g --at 12% --book demo-data
  gutta jar water quince --mass 4g --book demo-data";

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta jar show --book demo-data
  gutta jar show quince --to 14.5% --limit 12% --book demo-data";

/// What happened to a jar, or how it is.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum JarVerb {
    /// A jar was filled: its tare, its weight, the moisture of the leaf
    #[command(after_long_help = FILL_EXAMPLES)]
    Fill(FillArgs),
    /// A jar was weighed
    #[command(after_long_help = STEP_EXAMPLES)]
    Weigh(WeighArgs),
    /// Leaf was taken out
    #[command(after_long_help = STEP_EXAMPLES)]
    Take(MassArgs),
    /// Leaf was put in, at a moisture
    #[command(after_long_help = STEP_EXAMPLES)]
    Put(PutArgs),
    /// Water went on
    #[command(after_long_help = STEP_EXAMPLES)]
    Water(MassArgs),
    /// How jars are now: moisture, how fast they dry, when a limit is reached
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(ShowArgs),
}

/// A jar that was filled.
#[derive(Debug, Args)]
pub struct FillArgs {
    /// What the jar is called
    #[arg(value_name = "JAR")]
    jar: String,
    /// The empty jar
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tare: Option<String>,
    /// The jar with its leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    gross: Option<String>,
    /// The moisture of the leaf
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// A jar that was weighed.
#[derive(Debug, Args)]
pub struct WeighArgs {
    /// The jar
    #[arg(value_name = "JAR")]
    jar: String,
    /// The jar with its leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    gross: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// A mass that came or went.
#[derive(Debug, Args)]
pub struct MassArgs {
    /// The jar
    #[arg(value_name = "JAR")]
    jar: String,
    /// How much
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// Leaf that was put in.
#[derive(Debug, Args)]
pub struct PutArgs {
    /// The jar
    #[arg(value_name = "JAR")]
    jar: String,
    /// How much leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    #[command(flatten)]
    record: RecordArgs,
}

/// Jars to be shown.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// One jar; all when none is named
    #[arg(value_name = "JAR")]
    jar: Option<String>,
    /// The moisture wanted: the water to it
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// A moisture that it is not to fall below: when it will
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    limit: Option<String>,
}

const JAR: &str = "JAR";

impl JarVerb {
    /// Reads the flags, writes down or works out, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Fill(args) => args.answer(shelf),
            Self::Weigh(args) => args.answer(shelf),
            Self::Take(args) => args.answer(kind::JAR_TAKEN, "jar take", shelf),
            Self::Water(args) => args.answer(kind::JAR_WATER, "jar water", shelf),
            Self::Put(args) => args.answer(shelf),
            Self::Show(args) => args.answer(shelf),
        }
    }
}

/// The name of a jar, which is no flag and not empty.
fn named(name: &str) -> Outcome<Flag<'_>> {
    let flag = Flag::new(JAR, name);
    if name.trim().is_empty() {
        return Err(flag
            .wrong("empty", "the jar has no name")
            .hint("type what its label says, such as quince"));
    }
    Ok(flag)
}

/// The jar of a name, as it is.
fn jar(flag: Flag<'_>, shelf: &Shelf) -> Outcome<(JarRecord, JarNow)> {
    let jars = shelf.journal()?.jars().map_err(|error| of_entry(&error))?;
    let names: Vec<String> = jars.iter().map(|jar| jar.name.clone()).collect();
    let wanted = flag.text.trim();
    let found = jars
        .into_iter()
        .find(|jar| jar.name.eq_ignore_ascii_case(wanted));
    let jar = found.ok_or_else(|| {
        let near = gutta_book::nearest(wanted, names.iter().map(String::as_str));
        flag.wrong("unknown-name", format!("the journal knows no jar `{wanted}`"))
            .hint(match near {
                Some(near) => format!("did you mean {near}?"),
                None if names.is_empty() => {
                    "write down the first: gutta jar fill quince --tare 412.6g --gross 866.1g --at 15.2%"
                        .to_owned()
                }
                None => format!("its jars are {}", names.join(", ")),
            })
    })?;
    let now = jar.history.now().map_err(|error| flag.fail(error))?;
    Ok((jar, now))
}

/// Writes an entry down, if the jar can be so with it; and how it is then.
fn written(flag: Flag<'_>, draft: Draft, command: &'static str, shelf: &Shelf) -> Outcome<Answer> {
    // What cannot be is not written down.
    let mut journal = shelf.journal()?;
    let entry = draft.entry();
    journal.suppose(&entry);
    let jars = journal
        .jars()
        .map_err(|error| of_entry(&error).about(JAR))?;
    let wanted = flag.text.trim();
    let supposed = jars
        .iter()
        .find(|jar| jar.name.eq_ignore_ascii_case(wanted))
        .ok_or_else(|| Failure::unreadable("unknown-name", "the journal knows no such jar"))?;
    let now = supposed.history.now().map_err(|error| flag.fail(error))?;
    let written: Written = draft.write(shelf)?;
    Ok(speak::written(command, &written, &supposed.name, &now))
}

impl FillArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        let mut draft = self.record.draft(kind::JAR_FILLED, shelf)?;
        draft.put(field::JAR, flag.text.trim());
        draft.mass(
            field::TARE,
            "--tare",
            self.tare.as_ref(),
            "the weight of the empty jar",
            "weigh it without leaf, such as --tare 412.6g",
        )?;
        draft.mass(
            field::GROSS,
            "--gross",
            self.gross.as_ref(),
            "the weight of the jar with its leaf",
            "type what the scale shows, such as --gross 866.1g",
        )?;
        draft.moisture(self.at.as_ref())?;
        written(flag, draft, "jar fill", shelf)
    }
}

impl WeighArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        jar(flag, shelf)?;
        let mut draft = self.record.draft(kind::JAR_WEIGHED, shelf)?;
        draft.put(field::JAR, flag.text.trim());
        draft.mass(
            field::GROSS,
            "--gross",
            self.gross.as_ref(),
            "the weight of the jar with its leaf",
            "type what the scale shows, such as --gross 851.9g",
        )?;
        written(flag, draft, "jar weigh", shelf)
    }
}

impl MassArgs {
    fn answer(&self, kind: &'static str, command: &'static str, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        jar(flag, shelf)?;
        let mut draft = self.record.draft(kind, shelf)?;
        draft.put(field::JAR, flag.text.trim());
        draft.mass(
            field::MASS,
            "--mass",
            self.mass.as_ref(),
            "how much it was",
            "type what was weighed, such as --mass 30g",
        )?;
        written(flag, draft, command, shelf)
    }
}

impl PutArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        jar(flag, shelf)?;
        let mut draft = self.record.draft(kind::JAR_PUT, shelf)?;
        draft.put(field::JAR, flag.text.trim());
        draft.mass(
            field::MASS,
            "--mass",
            self.mass.as_ref(),
            "how much leaf it was",
            "type what was weighed, such as --mass 20g",
        )?;
        draft.moisture(self.at.as_ref())?;
        written(flag, draft, "jar put", shelf)
    }
}

impl ShowArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let to = Flag::of("--to", self.to.as_ref())
            .map(|flag| flag.target())
            .transpose()?;
        let limit = Flag::of("--limit", self.limit.as_ref())
            .map(|flag| flag.target())
            .transpose()?;
        let mut assumed = Assumed::default();
        assumed.line("only water came or went between weighings, and no alcohol was airing");
        let jars = match &self.jar {
            Some(name) => vec![jar(named(name)?, shelf)?],
            None => {
                let jars = shelf.journal()?.jars().map_err(|error| of_entry(&error))?;
                let each = jars.into_iter().map(|jar| {
                    let now = jar.history.now().map_err(|error| {
                        Failure::from(error).about(JAR).called(jar.name.clone())
                    })?;
                    Ok((jar, now))
                });
                each.collect::<Outcome<Vec<_>>>()?
            }
        };
        Ok(speak::show(
            &jars,
            to.map(|(_, to)| to),
            limit.map(|(_, limit)| limit),
            shelf.now(),
            assumed,
        ))
    }
}
