//! `gutta journal`: what was written down.

use clap::{Args, Subcommand};

use gutta::blend::record::{Identifier, Moment};
use gutta::measure::{Kind, Scalar, Time};
use gutta_book::{Journal, JournalEntry, field, kind, moment_text, typed_moment};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::record::{Draft, When, pointing};
use crate::resolve::shelf::Shelf;
use crate::speak::journal as speak;

const NOTE_EXAMPLES: &str = "\
Examples:
  gutta journal note \"the quince jar smells of hay\" \\
    --about quince --book demo-data
  gutta journal note \"turn the jars\" --due 2weeks --book demo-data";

const LIST_EXAMPLES: &str = "\
Examples:
  gutta journal list --book demo-data
  gutta journal list --about quince --last 5 --book demo-data";

const DUE_EXAMPLES: &str = "\
Examples:
  gutta journal due --book demo-data
  gutta journal due --within 2days --limit 11% --book demo-data";

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta journal show AEGE-56P2 --book demo-data";

const VOID_EXAMPLES: &str = "\
Examples:
  gutta journal void AEGE-56P2 \\
    --why \"the wrong jar was on the scale\" --book demo-data";

/// What is asked of the journal.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum JournalVerb {
    /// Words, about anything
    #[command(after_long_help = NOTE_EXAMPLES)]
    Note(NoteArgs),
    /// What was written down
    #[command(after_long_help = LIST_EXAMPLES)]
    List(ListArgs),
    /// One entry whole, and whether it counts
    #[command(after_long_help = SHOW_EXAMPLES)]
    Show(ShowArgs),
    /// What is to be seen to: rests that are over, notes for a day, jars that get too dry
    #[command(after_long_help = DUE_EXAMPLES)]
    Due(super::due::DueArgs),
    /// An entry that is not to be counted: nothing is ever taken out
    #[command(after_long_help = VOID_EXAMPLES)]
    Void(VoidArgs),
}

/// Words to be kept.
#[derive(Debug, Args)]
pub struct NoteArgs {
    /// The words
    #[arg(value_name = "WORDS")]
    words: String,
    /// What they are about: a jar, a lot, a formula, an entry
    #[arg(long, value_name = "NAME")]
    about: Option<String>,
    /// When it is to be seen to: after a time such as 2weeks, or on a day
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    due: Option<String>,
    /// When it was, in UTC, such as "2026-03-14 18:30" [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
}

/// Entries to be shown.
#[derive(Debug, Args)]
pub struct ListArgs {
    /// Only what is about this: a jar, a lot, a formula, an entry
    #[arg(long, value_name = "NAME")]
    about: Option<String>,
    /// Only the last so many
    #[arg(long, value_name = "COUNT")]
    last: Option<String>,
}

/// An entry to be shown whole.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// Its identifier
    #[arg(value_name = "ID")]
    id: String,
}

/// An entry that is not to be counted.
#[derive(Debug, Args)]
pub struct VoidArgs {
    /// Its identifier
    #[arg(value_name = "ID")]
    id: String,
    /// Why
    #[arg(long, value_name = "WORDS")]
    why: Option<String>,
    /// When it was found, in UTC, such as "2026-03-14 18:30" [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
}

/// The argument that names an entry.
const ID: &str = "ID";

/// What an entry may be about.
const ABOUT: &str = "about";

impl JournalVerb {
    /// Whether it writes into the journal.
    pub const fn writes(&self) -> bool {
        matches!(self, Self::Note(_) | Self::Void(_))
    }

    /// Reads the flags, writes down or looks up, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Note(args) => args.answer(shelf),
            Self::List(args) => args.answer(shelf),
            Self::Show(args) => args.answer(shelf),
            Self::Due(args) => args.answer(shelf),
            Self::Void(args) => args.answer(shelf),
        }
    }
}

impl NoteArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        if self.words.trim().is_empty() {
            return Err(Failure::missing("WORDS", "there is nothing to write down")
                .hint("type the words in quotes: gutta journal note \"smells of hay\""));
        }
        let when = When::of(self.when.as_ref(), shelf)?;
        let due = Flag::of("--due", self.due.as_ref())
            .map(|flag| due_at(flag, when.moment()))
            .transpose()?;
        let mut draft = Draft::new(kind::NOTE, when);
        draft.put(field::TEXT, self.words.trim());
        if let Some(due) = due {
            draft.put(field::DUE, moment_text(due));
        }
        if let Some(about) = about(self.about.as_ref())? {
            draft.put(ABOUT, about.text);
        }
        Ok(speak::noted("journal note", &draft.write(shelf)?))
    }
}

/// A moment behind another: after a stretch of time, or as it is typed.
fn due_at(flag: Flag<'_>, from: Moment) -> Outcome<Moment> {
    let hint = "type a time such as --due 2weeks, or a day such as --due 2026-12-01";
    let due = match typed_moment(flag.text) {
        Ok(moment) => moment,
        Err(_) => {
            let reading = flag
                .read(&[Kind::Time])
                .map_err(|failure| failure.hint(hint))?;
            if !reading.is_exact() {
                return Err(flag
                    .wrong("doubt", "a stretch of time is a plain figure")
                    .hint(hint));
            }
            from.after(Time::of_base(reading.base()))
        }
    };
    if due <= from {
        let failure = Failure::refused("this does not lie behind the note itself");
        return Err(pointing(failure, flag).hint(hint));
    }
    Ok(due)
}

impl ListArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let journal = shelf.journal()?;
        let last = match Flag::of("--last", self.last.as_ref()) {
            Some(flag) => {
                let count = flag.text.trim().parse::<usize>().ok().filter(|n| *n > 0);
                Some(count.ok_or_else(|| {
                    flag.wrong("number", "the last entries are a whole count from 1 up")
                        .hint("type a count such as --last 5")
                })?)
            }
            None => None,
        };
        let about = about(self.about.as_ref())?;
        let listed = match about {
            Some(flag) => {
                let listed = speak::about(&journal, flag.text);
                if listed.is_empty() {
                    return Err(nothing_about(flag, &journal));
                }
                listed
            }
            None => journal.entries().iter().collect(),
        };
        Ok(speak::list(
            &journal,
            &listed,
            about.map(|flag| flag.text),
            last,
        ))
    }
}

/// What entries are to be about, which is not blank.
fn about(text: Option<&String>) -> Outcome<Option<Flag<'_>>> {
    match Flag::of("--about", text) {
        Some(flag) if flag.text.trim().is_empty() => {
            Err(Failure::missing("--about", "there is no name")
                .hint("type what it is about, such as --about quince, or leave it out"))
        }
        flag => Ok(flag.map(|flag| Flag::new(flag.name, flag.text.trim()))),
    }
}

/// What is to be said where no entry is about a name: it may be a slip.
fn nothing_about(flag: Flag<'_>, journal: &Journal) -> Failure {
    // What looks like an identifier is one, and miscopied.
    let is_like_one = flag.text.len() == 9 && flag.text.as_bytes().get(4) == Some(&b'-');
    if is_like_one && let Err(error) = flag.text.parse::<Identifier>() {
        return flag.fail(error);
    }
    let names = speak::names(journal);
    let near = gutta_book::nearest(flag.text, names.iter().copied());
    let message = format!("nothing in the journal is about `{}`", flag.text);
    flag.wrong("unknown-name", message).hint(match near {
        Some(near) => format!("did you mean {near}?"),
        None => "gutta journal list shows all of it".to_owned(),
    })
}

/// The entry of an identifier that was typed.
fn entry<'j>(flag: Flag<'_>, journal: &'j Journal) -> Outcome<&'j JournalEntry> {
    let id: Identifier = flag.text.parse().map_err(|error| flag.fail(error))?;
    journal.entry(&id).ok_or_else(|| {
        flag.wrong("unknown-name", format!("the journal has no entry {id}"))
            .hint("gutta journal list shows the entries with their identifiers")
    })
}

impl ShowArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let journal = shelf.journal()?;
        let entry = entry(Flag::new(ID, &self.id), &journal)?;
        Ok(speak::show(&journal, entry))
    }
}

impl VoidArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = Flag::new(ID, &self.id);
        // A slip is said before anything else is asked for.
        flag.text
            .parse::<Identifier>()
            .map_err(|error| flag.fail(error))?;
        let why = Flag::of("--why", self.why.as_ref()).filter(|why| !why.text.trim().is_empty());
        let why = why.ok_or_else(|| {
            Failure::missing("--why", "why it is not to be counted is missing")
                .hint("say it in words, such as --why \"the wrong jar was on the scale\"")
        })?;
        let draft = Draft::new(kind::VOID, When::of(self.when.as_ref(), shelf)?);
        let (written, voided) = draft.write_if(shelf, |journal, draft| {
            let voided = entry(flag, journal)?.clone();
            let refuse = |message: String| pointing(Failure::refused(message), flag);
            if voided.kind == kind::VOID {
                return Err(
                    refuse(format!("{} says itself that an entry is void", voided.id))
                        .hint("what is void stays so: write down anew what it was"),
                );
            }
            if !journal.counted().any(|entry| entry.id == voided.id) {
                return Err(refuse(format!("{} is not counted already", voided.id))
                    .hint("nothing is left to be done"));
            }
            draft.put(field::OF, voided.id.to_string());
            draft.put(field::TEXT, why.text.trim());
            let before = journal.faults().len();
            journal.suppose(&draft.entry());
            let after = journal.faults();
            if let Some(fault) = after.first().filter(|_| after.len() > before) {
                return Err(refuse(format!("without {}: {fault}", voided.id)).hint(
                    "what came after it hangs on it: make that void first, the last one first",
                ));
            }
            Ok(voided)
        })?;
        Ok(speak::voided(&written, &voided))
    }
}
