//! `gutta journal`: what was written down.

use clap::{Args, Subcommand};

use gutta::blend::record::Identifier;
use gutta_book::{field, kind};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::record::{Draft, moment};
use crate::resolve::shelf::Shelf;
use crate::speak::journal as speak;

const NOTE_EXAMPLES: &str = "\
Examples:
  gutta journal note \"the quince jar smells of hay\" \\
    --about quince --book demo-data";

const LIST_EXAMPLES: &str = "\
Examples:
  gutta journal list --book demo-data
  gutta journal list --about quince --last 5 --book demo-data";

const VOID_EXAMPLES: &str = "\
Examples:
  gutta journal void 52RM-V1BY \\
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
    /// When it was, such as 2026-03-14T18:30:00Z [now]
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

/// An entry that is not to be counted.
#[derive(Debug, Args)]
pub struct VoidArgs {
    /// Its identifier
    #[arg(value_name = "ID")]
    id: String,
    /// Why
    #[arg(long, value_name = "WORDS")]
    why: Option<String>,
    /// When it was found, such as 2026-03-14T18:30:00Z [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
}

/// What an entry may be about.
const ABOUT: &str = "about";

impl JournalVerb {
    /// Reads the flags, writes down or looks up, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Note(args) => args.answer(shelf),
            Self::List(args) => args.answer(shelf),
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
        let mut draft = Draft::new(kind::NOTE, moment(self.when.as_ref(), shelf)?);
        draft.put(field::TEXT, self.words.trim());
        if let Some(about) = &self.about {
            draft.put(ABOUT, about.trim());
        }
        // A journal that is broken is said to be before it grows.
        shelf.journal()?;
        Ok(speak::noted("journal note", &draft.write(shelf)?))
    }
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
        Ok(speak::list(
            &journal,
            self.about.as_deref().map(str::trim),
            last,
        ))
    }
}

impl VoidArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let flag = Flag::new("ID", &self.id);
        let id: Identifier = flag.text.parse().map_err(|error| flag.fail(error))?;
        let why = Flag::needed(
            "--why",
            "why it is not to be counted",
            self.why.as_ref(),
            "say it in words, such as --why \"the wrong jar was on the scale\"",
        )?;
        let journal = shelf.journal()?;
        if journal.entry(&id).is_none() {
            return Err(flag
                .wrong("unknown-name", format!("the journal has no entry {id}"))
                .hint("gutta journal list shows the entries with their identifiers"));
        }
        if !journal.counted().any(|entry| entry.id == id) {
            return Err(flag
                .wrong("duplicate", format!("{id} is not counted already"))
                .hint("nothing is left to be done"));
        }
        let mut draft = Draft::new(kind::VOID, moment(self.when.as_ref(), shelf)?);
        draft.put(field::OF, id.to_string());
        draft.put(field::TEXT, why.text.trim());
        Ok(speak::noted("journal void", &draft.write(shelf)?))
    }
}
