//! `gutta book`: a new bench book, and whether one is sound.

use std::path::Path;

use clap::{Args, Subcommand};
use gutta::blend::record::Moment;
use gutta_book::{Book, BookErrorKind, Journal};

use super::Everywhere;
use crate::answer::Answer;
use crate::failure::{Exit, Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::shelf::{Shelf, of_book, of_entry};
use crate::speak::book;

const NEW_EXAMPLES: &str = "\
Examples:
  gutta book new bench
  gutta book new books/barn --name \"The Hollow Barn leaf room\"

The files say what goes into them. None that is there already is touched.";

const CHECK_EXAMPLES: &str = "\
Examples:
  gutta book check demo-data
  gutta book check --book demo-data

Everything that is wrong is said at once, with file, line and field.";

/// What is asked of a book as a whole.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum BookVerb {
    /// A new book: a folder with files that say what goes into them
    #[command(after_long_help = NEW_EXAMPLES)]
    New(NewArgs),
    /// Whether a book is sound, what it holds, and what is doubtful in it
    #[command(after_long_help = CHECK_EXAMPLES)]
    Check(CheckArgs),
}

/// A new book.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// The folder to make it in, which is made too
    #[arg(value_name = "DIR")]
    dir: Option<String>,
    /// What the book is called, in a few words
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// A book to look through.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The folder of the book [the nearest upwards]
    #[arg(value_name = "DIR")]
    dir: Option<String>,
}

/// The argument that names the folder.
const DIR: &str = "DIR";

impl BookVerb {
    /// Makes a book, or looks one through, and says so.
    pub fn answer(&self, everywhere: &Everywhere, folder: &Path, now: Moment) -> Outcome<Answer> {
        match self {
            Self::New(args) => args.answer(everywhere, folder),
            Self::Check(args) => args.answer(everywhere, folder, now),
        }
    }
}

/// The folder that is named, not blank.
fn named(dir: Option<&String>) -> Outcome<Option<&String>> {
    match dir {
        Some(dir) if dir.trim().is_empty() => {
            Err(Failure::missing(DIR, "no folder is named").hint("type the folder, such as bench"))
        }
        dir => Ok(dir),
    }
}

impl NewArgs {
    fn answer(&self, everywhere: &Everywhere, folder: &Path) -> Outcome<Answer> {
        if everywhere.book.is_some() {
            return Err(Failure::clash(
                DIR,
                "--book",
                "leave --book out: a new book is made in the folder that stands behind new",
            ));
        }
        let dir = Flag::needed(
            DIR,
            "the folder of the new book",
            named(self.dir.as_ref())?,
            "type the folder to make it in, such as gutta book new bench",
        )?;
        let name = Flag::of("--name", self.name.as_ref());
        let made = Book::create(&folder.join(dir.text), name.map(|flag| flag.text));
        let paths = made.map_err(|error| match name.filter(|_| error.field().is_some()) {
            Some(flag) => flag
                .wrong(error.kind_name(), error.to_string())
                .hint(error.hint().unwrap_or_default()),
            None => {
                let mut failure = of_entry(&error);
                // A path is said as it was typed.
                let typed = Path::new(error.file()).strip_prefix(folder);
                if let Ok(path) = typed.map(|path| path.display().to_string()) {
                    failure.report_mut().file = Some(path);
                }
                if error.kind() == BookErrorKind::Taken {
                    failure.report_mut().exit = Exit::Refused;
                }
                failure
            }
        })?;
        Ok(book::new(dir.text, name.map(|flag| flag.text), &paths))
    }
}

impl CheckArgs {
    fn answer(&self, everywhere: &Everywhere, folder: &Path, now: Moment) -> Outcome<Answer> {
        let dir = named(self.dir.as_ref())?;
        if dir.is_some() && everywhere.book.is_some() {
            return Err(Failure::clash(DIR, "--book", "name the folder once"));
        }
        let named = dir.or(everywhere.book.as_ref());
        let shelf = Shelf::new(named, folder, now);
        let shelf = shelf.map_err(|failure| match named {
            Some(dir) => with_journal(failure, Path::new(dir)),
            None => failure,
        })?;
        let whole = shelf.whole().map_err(|failure| {
            let nearest = gutta_book::nearest_book(folder);
            nearest.map_or(failure.clone(), |dir| with_journal(failure, &dir))
        })?;
        let Some((book, at)) = whole else {
            return Err(Failure::missing(
                DIR,
                "there is no bench book here, nor above this folder",
            )
            .hint("name its folder: gutta book check bench; gutta book new bench makes one"));
        };
        let journal = Journal::checked(at).map_err(|errors| of_book(&errors))?;
        Ok(book::check(book, &journal, &at.display().to_string()))
    }
}

/// All that is wrong, with what is wrong in the journal behind it.
fn with_journal(mut failure: Failure, dir: &Path) -> Failure {
    if let Err(errors) = Journal::checked(dir) {
        let errors = errors.iter().map(of_entry);
        failure.report_mut().more.extend(errors);
    }
    failure
}
