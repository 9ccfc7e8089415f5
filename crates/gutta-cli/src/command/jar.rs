//! `gutta jar`: jars through their weighings.

use clap::{Args, Subcommand};

use gutta::Error;
use gutta::blend::record::JarNow;
use gutta::measure::Mass;
use gutta_book::{Found, JarRecord, Journal, field, is_same_name, kind};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::record::{Draft, RecordArgs, When, called};
use crate::resolve::shelf::{Shelf, of_entry};
use crate::resolve::{Assumed, Flag};
use crate::say::Voice;
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

/// The name of a jar.
fn named(name: &str) -> Outcome<Flag<'_>> {
    called(JAR, "jar", "quince", name)
}

/// What is to be said of a jar that the journal does not know.
fn unknown(flag: Flag<'_>, jars: &Found<JarRecord>) -> Failure {
    let names: Vec<&str> = jars.sound.iter().map(|jar| jar.name.as_str()).collect();
    let near = gutta_book::nearest(flag.text, names.iter().copied());
    let message = format!("the journal knows no jar `{}`", flag.text);
    flag.wrong("unknown-name", message).hint(match near {
        Some(near) => format!("did you mean {near}?"),
        None if names.is_empty() => {
            "write down the first: gutta jar fill quince --tare 412.6g --gross 866.1g --at 15.2%"
                .to_owned()
        }
        None => format!("its jars are {}", names.join(", ")),
    })
}

/// The jar of a name, where the journal knows one and can follow it.
fn find(flag: Flag<'_>, jars: &Found<JarRecord>) -> Outcome<Option<JarRecord>> {
    let mut wrong = jars.wrong.iter();
    if let Some(wrong) = wrong.find(|jar| is_same_name(&jar.name, flag.text)) {
        return Err(of_entry(&wrong.error));
    }
    let mut sound = jars.sound.iter();
    let jar = sound.find(|jar| is_same_name(&jar.name, flag.text));
    Ok(jar.cloned())
}

/// The jar of a name, as it is.
fn jar(flag: Flag<'_>, journal: &Journal) -> Outcome<(JarRecord, JarNow)> {
    let jars = journal.jars_found();
    let jar = find(flag, &jars)?.ok_or_else(|| unknown(flag, &jars))?;
    let now = jar.history.now().map_err(|error| flag.fail(error))?;
    Ok((jar, now))
}

/// Writes an entry down, if the jar can be so with it; and how it is then. `figure`
/// is what is blamed where it cannot.
fn written(
    flag: Flag<'_>,
    figure: Option<Flag<'_>>,
    draft: Draft,
    command: &'static str,
    shelf: &Shelf,
) -> Outcome<Answer> {
    let (written, (name, now)) = draft.write_if(shelf, |journal, draft| {
        let before = if draft.kind() == kind::JAR_FILLED {
            // What a jar lacks may be what is written down now.
            let there = find(flag, &journal.jars_found()).ok().flatten();
            if let Some(jar) = &there {
                let last = jar.history.steps.last();
                let last = last.map_or(jar.history.filled, |step| step.at);
                let what = format!(
                    "what was written down of {} since it was filled last",
                    jar.name
                );
                draft.when().not_before(last, &what)?;
            }
            None
        } else {
            let (jar, now) = jar(flag, journal)?;
            let what = format!("{} was filled", jar.name);
            draft.when().not_before(jar.history.filled, &what)?;
            let last = jar.history.steps.last().map(|step| step.at);
            if let (When::Now(_), Some(last)) = (draft.when(), last) {
                draft.when().not_before(last, &what)?;
            }
            Some(now)
        };
        journal.suppose(&draft.entry());
        let jars = journal.jars_found();
        let jar = find(flag, &jars)?.ok_or_else(|| unknown(flag, &jars))?;
        let now = jar.history.now().map_err(|error| {
            impossible(figure.unwrap_or(flag), error, draft.kind(), &jar, before)
        })?;
        Ok((jar.name, now))
    })?;
    Ok(speak::written(command, &written, &name, &now))
}

/// Why an entry cannot be, with what the jar held.
fn impossible(
    flag: Flag<'_>,
    error: Error,
    kind: &str,
    jar: &JarRecord,
    before: Option<JarNow>,
) -> Failure {
    let hint = error.hint().unwrap_or_default().to_owned();
    let failure = flag.fail(error);
    let grams = |mass: Mass| Voice::plain(None).mass(mass);
    let held = before.map(|before| match kind {
        kind::JAR_TAKEN => format!("{} held {}", jar.name, grams(before.net.best())),
        _ => format!(
            "{} and its dry leaf are {} and {}",
            jar.name,
            grams(jar.history.tare.value()),
            grams(before.dry_matter.best())
        ),
    });
    match held {
        Some(held) => failure.hint(format!("{held}: {hint}")),
        None => failure,
    }
}

impl FillArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        let mut draft = self.record.draft(kind::JAR_FILLED, shelf)?;
        draft.put(field::JAR, flag.text);
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
        let gross = Flag::of("--gross", self.gross.as_ref());
        written(flag, gross, draft, "jar fill", shelf)
    }
}

impl WeighArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        let mut draft = self.record.draft(kind::JAR_WEIGHED, shelf)?;
        draft.put(field::JAR, flag.text);
        draft.mass(
            field::GROSS,
            "--gross",
            self.gross.as_ref(),
            "the weight of the jar with its leaf",
            "type what the scale shows, such as --gross 851.9g",
        )?;
        let gross = Flag::of("--gross", self.gross.as_ref());
        written(flag, gross, draft, "jar weigh", shelf)
    }
}

impl MassArgs {
    fn answer(&self, kind: &'static str, command: &'static str, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        let mut draft = self.record.draft(kind, shelf)?;
        draft.put(field::JAR, flag.text);
        draft.mass(
            field::MASS,
            "--mass",
            self.mass.as_ref(),
            "how much it was",
            "type what was weighed, such as --mass 30g",
        )?;
        let mass = Flag::of("--mass", self.mass.as_ref());
        written(flag, mass, draft, command, shelf)
    }
}

impl PutArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = named(&self.jar)?;
        let mut draft = self.record.draft(kind::JAR_PUT, shelf)?;
        draft.put(field::JAR, flag.text);
        draft.mass(
            field::MASS,
            "--mass",
            self.mass.as_ref(),
            "how much leaf it was",
            "type what was weighed, such as --mass 20g",
        )?;
        draft.moisture(self.at.as_ref())?;
        let mass = Flag::of("--mass", self.mass.as_ref());
        written(flag, mass, draft, "jar put", shelf)
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
        let journal = shelf.journal()?;
        let (jars, wrong) = match &self.jar {
            Some(name) => (vec![jar(named(name)?, &journal)?], Vec::new()),
            None => all(&journal),
        };
        Ok(speak::show(
            &jars,
            &wrong,
            to.map(|(_, to)| to),
            limit.map(|(_, limit)| limit),
            shelf.now(),
            assumed,
        ))
    }
}

/// All jars as they are, and what is to be said of those that cannot be.
fn all(journal: &Journal) -> (Vec<(JarRecord, JarNow)>, Vec<String>) {
    let jars = journal.jars_found();
    let mut shown = Vec::new();
    let mut wrong: Vec<String> = Vec::new();
    for jar in jars.wrong {
        wrong.push(format!("{}: {}; see gutta book check", jar.name, jar.error));
    }
    for jar in jars.sound {
        match jar.history.now() {
            Ok(now) => shown.push((jar, now)),
            Err(error) => wrong.push(format!("{}: {error}; see gutta book check", jar.name)),
        }
    }
    (shown, wrong)
}
