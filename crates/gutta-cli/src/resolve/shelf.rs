//! The bench book, opened when a name is looked up in it.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use gutta::blend::record::Moment;
use gutta::measure::Scale;
use gutta_book::{
    Book, BookError, BookErrors, DropperEntry, FormulaEntry, Journal, LiquidEntry, MakingRecord,
    NoSuchName, is_same_name,
};

use super::Flag;
use super::stock::{self, KnownLot};
use crate::failure::{Failure, Outcome};

/// The book that names are looked up in: the one that was named, or the
/// nearest upwards; none is needed where no name is used.
#[derive(Debug)]
pub struct Shelf {
    now: Moment,
    named: Option<String>,
    folder: Option<PathBuf>,
    book: OnceCell<Result<Book, Failure>>,
    lots: OnceCell<Result<Vec<KnownLot>, Failure>>,
}

impl Shelf {
    /// The book of this run. One that is named must be there and be sound.
    pub fn new(named: Option<&String>, from: &Path, now: Moment) -> Outcome<Self> {
        let folder = match named {
            Some(dir) if dir.trim().is_empty() => {
                return Err(Failure::missing("--book", "no folder is named").hint(
                    "type --book and then the folder that holds book.toml, or leave it out",
                ));
            }
            Some(dir) => Some(PathBuf::from(dir)),
            None => gutta_book::nearest_book(from),
        };
        let shelf = Self {
            now,
            named: named.cloned(),
            folder,
            book: OnceCell::new(),
            lots: OnceCell::new(),
        };
        if named.is_some() {
            shelf.book()?;
        }
        Ok(shelf)
    }

    /// The book, where there is one.
    fn book(&self) -> Outcome<Option<&Book>> {
        let Some(folder) = &self.folder else {
            return Ok(None);
        };
        match self
            .book
            .get_or_init(|| Book::open(folder).map_err(|errors| of_book(&errors)))
        {
            Ok(book) => Ok(Some(book)),
            Err(failure) => Err(failure.clone()),
        }
    }

    /// The whole book with its folder, where there is one.
    pub fn whole(&self) -> Outcome<Option<(&Book, &Path)>> {
        Ok(self.book()?.zip(self.folder.as_deref()))
    }

    fn needed(&self, flag: Flag<'_>, instead: &str) -> Outcome<&Book> {
        self.book()?.ok_or_else(|| {
            flag.wrong(
                "no-book",
                format!("there is no bench book to find `{}` in", flag.text),
            )
            .hint(format!("name its folder with --book DIR, or {instead}"))
        })
    }

    /// The moment of this run.
    pub const fn now(&self) -> Moment {
        self.now
    }

    /// The folder of the book, which is needed to write something down.
    pub fn folder(&self) -> Outcome<&Path> {
        self.book()?;
        self.folder.as_deref().ok_or_else(|| {
            Failure::unreadable("no-book", "there is no bench book to write into")
                .hint("name its folder with --book DIR, or make one: gutta book new DIR")
        })
    }

    /// The journal of the book.
    pub fn journal(&self) -> Outcome<Journal> {
        Journal::read(self.folder()?).map_err(|errors| of_book(&errors))
    }

    /// The trials and batches of the journal.
    pub fn makings(&self) -> Outcome<Vec<MakingRecord>> {
        self.journal()?.makings().map_err(|error| of_entry(&error))
    }

    /// A scale by its name.
    pub fn scale(&self, flag: Flag<'_>) -> Outcome<Scale> {
        let book = self.needed(flag, "type the scale's division: --scale 0.01g")?;
        let entry = book.scale(flag.text).map_err(|e| no_such(flag, &e))?;
        Ok(entry.scale)
    }

    /// A dropper by its name.
    pub fn dropper(&self, flag: Flag<'_>) -> Outcome<&DropperEntry> {
        self.needed(flag, "type the drop: --drop 47.8mg")?
            .dropper(flag.text)
            .map_err(|e| no_such(flag, &e))
    }

    /// A liquid by its name.
    pub fn liquid(&self, flag: Flag<'_>) -> Outcome<&LiquidEntry> {
        let instead = if flag.name == "--liquid" {
            "type its density: --density 0.871g/mL; names such as alcohol 70% vol need no book"
        } else {
            "type a name that says what is in it, such as \"alcohol 70% vol\""
        };
        self.needed(flag, instead)?
            .liquid(flag.text)
            .map_err(|e| no_such(flag, &e))
    }

    /// A liquid by its name, where there is a book that has it.
    pub fn liquid_if(&self, name: &str) -> Outcome<Option<&LiquidEntry>> {
        Ok(self.book()?.and_then(|book| book.liquid(name).ok()))
    }

    /// The name of a liquid that a name may be a slip for: one of the book, or
    /// water.
    pub fn liquid_near(&self, name: &str) -> Outcome<Option<String>> {
        let of_book = self.book()?.and_then(|book| {
            let no = book.liquid(name).err()?;
            no.nearest().map(str::to_owned)
        });
        Ok(of_book.or_else(|| super::liquid::near(name).map(str::to_owned)))
    }

    /// The droppers that were calibrated with a liquid.
    pub fn droppers_of(&self, liquid: &str) -> Outcome<Vec<&DropperEntry>> {
        let book = self.book()?;
        Ok(book
            .iter()
            .flat_map(|book| book.droppers())
            .filter(|dropper| super::liquid::is_alike(&dropper.liquid, liquid))
            .collect())
    }

    /// A formula by its name.
    pub fn formula(&self, flag: Flag<'_>) -> Outcome<&FormulaEntry> {
        self.needed(
            flag,
            "type its lines: \"46 % flue-cured\" \"54 % oriental\"",
        )?
        .formula(flag.text)
        .map_err(|e| no_such(flag, &e))
    }

    /// A formula by its name, where there is a book that has it.
    pub fn formula_if(&self, name: &str) -> Outcome<Option<&FormulaEntry>> {
        Ok(self.book()?.and_then(|book| book.formula(name).ok()))
    }

    /// The folder of the book, as it was named.
    pub fn named(&self) -> Option<&str> {
        self.named.as_deref()
    }

    /// How many versions the book has of a formula.
    pub fn versions(&self, name: &str) -> Outcome<usize> {
        let book = self.book()?;
        let all = book.iter().flat_map(|book| book.formulas());
        Ok(all
            .filter(|one| one.name.eq_ignore_ascii_case(name))
            .count())
    }

    /// The lots of the book, where there is one: each as lots.csv or the journal
    /// says it, whichever is the newer.
    pub fn lots(&self) -> Outcome<&[KnownLot]> {
        let known = self.lots.get_or_init(|| match self.whole()? {
            Some((book, _)) => Ok(stock::known(book, &self.journal()?)),
            None => Ok(Vec::new()),
        });
        match known {
            Ok(lots) => Ok(lots),
            Err(failure) => Err(failure.clone()),
        }
    }

    /// A lot by its name.
    pub fn lot(&self, flag: Flag<'_>) -> Outcome<&KnownLot> {
        let instead = if flag.name.starts_with("--") {
            "type the moisture: --at 11.2%"
        } else {
            "type the moisture in place of the name"
        };
        self.lot_or(flag, instead)
    }

    /// A lot by its name; `instead` is what to type where there is no book.
    pub fn lot_or(&self, flag: Flag<'_>, instead: &str) -> Outcome<&KnownLot> {
        let book = self.needed(flag, instead)?;
        let lots = self.lots()?;
        let found = lots.iter().find(|lot| is_same_name(&lot.name, flag.text));
        found.ok_or_else(|| match book.lot(flag.text) {
            Err(no) => {
                // Lots that stand in the journal alone have names, too.
                let names = lots.iter().map(|lot| lot.name.as_str());
                let near = gutta_book::nearest(flag.text, names);
                let failure = no_such(flag, &no);
                match near.filter(|_| no.nearest().is_none()) {
                    Some(near) => failure.hint(format!("did you mean `{near}`? {}", no.hint())),
                    None => failure,
                }
            }
            Ok(_) => flag.wrong("unknown-name", format!("there is no lot `{}`", flag.text)),
        })
    }
}

fn no_such(flag: Flag<'_>, no: &NoSuchName) -> Failure {
    flag.wrong("unknown-name", no.to_string()).hint(no.hint())
}

/// All troubles of a book.
pub fn of_book(errors: &BookErrors) -> Failure {
    let mut failures = errors.iter().map(of_entry);
    let first = failures.next();
    first
        .unwrap_or_else(|| Failure::unreadable("io", "the bench book cannot be read"))
        .with_more(failures.collect())
}

impl From<BookErrors> for Failure {
    fn from(errors: BookErrors) -> Self {
        of_book(&errors)
    }
}

/// A trouble of a file of the book.
pub fn of_entry(error: &BookError) -> Failure {
    let mut failure = Failure::unreadable(error.kind_name(), error.to_string());
    let report = failure.report_mut();
    report.hint = error.hint().map(str::to_owned);
    report.file = Some(error.file().to_owned());
    report.line = error.line();
    report.column = error.column();
    report.field = error.field().map(str::to_owned);
    report.text = error.text().map(str::to_owned);
    report.at = error.at();
    report.len = error.place().map_or(0, |place| place.len);
    failure
}
