//! The bench book as a whole.

use std::path::{Path, PathBuf};

use crate::blank;
use crate::entry::{
    DropperEntry, FormulaEntry, LiquidEntry, LotEntry, ScaleEntry, dropper, formula, front, liquid,
    lot, scale,
};
use crate::error::{BookError, BookErrorKind, BookErrors};
use crate::name::{EntryKind, NoSuchName, folded};
use crate::page::{Faults, Page};
use crate::shelf::{Entry, Shelf};
use crate::store;

/// A bench book, read and checked.
///
/// Look-ups by name ignore case and surrounding blanks.
///
/// ```
/// use gutta_book::Book;
/// use std::path::Path;
///
/// let demo = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-data"));
/// let book = Book::open(demo).unwrap();
/// let glass = book.dropper("glass").unwrap().calibrating.calibrate()?;
/// assert!((glass.drop_mass.best().mass().value - 47.58e-6).abs() < 0.01e-6);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Book {
    name: Option<String>,
    scales: Shelf<ScaleEntry>,
    liquids: Shelf<LiquidEntry>,
    droppers: Shelf<DropperEntry>,
    lots: Shelf<LotEntry>,
    formulas: Shelf<FormulaEntry>,
}

/// A file of the book as it was found: text, absent, or not to be read.
pub(crate) type Found = Result<Option<Page>, BookError>;

/// The files of a book.
pub(crate) struct Pages {
    pub front: Found,
    pub scales: Found,
    pub liquids: Found,
    pub droppers: Found,
    pub lots: Found,
    pub formulas: Found,
}

impl Pages {
    /// The files in a folder.
    pub fn found(dir: &Path) -> Result<Self, BookErrors> {
        if let Err(error) = store::folder(dir) {
            return Err(BookErrors::one(error));
        }
        let found = |name| store::page(dir, name);
        let no_front = || {
            BookError::new(BookErrorKind::File, "there is no such file")
                .with_file(&dir.join(store::FRONT).display().to_string())
                .with_hint(
                    "a bench book begins with a file book.toml that holds the line format = 1",
                )
        };
        Ok(Self {
            front: found(store::FRONT).and_then(|page| page.map(Some).ok_or_else(no_front)),
            scales: found(ScaleEntry::KIND.file()),
            liquids: found(LiquidEntry::KIND.file()),
            droppers: found(DropperEntry::KIND.file()),
            lots: found(LotEntry::KIND.file()),
            formulas: found(FormulaEntry::KIND.file()),
        })
    }
}

impl Book {
    /// Reads the book in a folder and checks all of it.
    ///
    /// # Errors
    /// When the folder or its `book.toml` is not there, a file cannot be read,
    /// or anything in a file is wrong: everything that is wrong, at once.
    pub fn open(dir: &Path) -> Result<Self, BookErrors> {
        Self::of(Pages::found(dir)?)
    }

    /// Makes a new book: a folder, those above it too, with a file of each kind
    /// that says what goes into it and holds nothing yet. The paths are those of
    /// the files; `book.toml` comes last, so that half a book is none.
    ///
    /// # Errors
    /// When one of the files is there already, the name is empty or has a
    /// character that does not show, or the folder cannot be written to. What was
    /// made is then removed again.
    pub fn create(dir: &Path, name: Option<&str>) -> Result<Vec<PathBuf>, BookError> {
        blank::create(dir, name)
    }

    /// A book from the texts of its files.
    pub(crate) fn of(pages: Pages) -> Result<Self, BookErrors> {
        let mut errors = Vec::new();
        let name = gather(pages.front, &mut errors, |_| None, front::read);
        let scales = gather(pages.scales, &mut errors, Shelf::new, scale::read);
        let liquids = gather(pages.liquids, &mut errors, liquid::known, liquid::read);
        let droppers = gather(pages.droppers, &mut errors, Shelf::new, |page, faults| {
            dropper::read(page, &scales, &liquids, faults)
        });
        let lots = gather(pages.lots, &mut errors, Shelf::new, lot::read);
        let formulas = gather(pages.formulas, &mut errors, Shelf::new, |page, faults| {
            formula::read(page, &liquids, faults)
        });
        match BookErrors::of(errors) {
            Some(errors) => Err(errors),
            None => Ok(Self {
                name,
                scales,
                liquids,
                droppers,
                lots,
                formulas,
            }),
        }
    }

    /// The name of the book, where it has one.
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    /// The scale of a name.
    ///
    /// # Errors
    /// When there is none: with the nearest name, and all there are.
    pub fn scale(&self, name: &str) -> Result<&ScaleEntry, NoSuchName> {
        self.scales.find(name)
    }

    /// The liquid of a name; `water` is always one.
    ///
    /// # Errors
    /// When there is none: with the nearest name, and all there are.
    pub fn liquid(&self, name: &str) -> Result<&LiquidEntry, NoSuchName> {
        self.liquids.find(name)
    }

    /// The dropper of a name.
    ///
    /// # Errors
    /// When there is none: with the nearest name, and all there are.
    pub fn dropper(&self, name: &str) -> Result<&DropperEntry, NoSuchName> {
        self.droppers.find(name)
    }

    /// The lot of a name.
    ///
    /// # Errors
    /// When there is none: with the nearest name, and all there are.
    pub fn lot(&self, name: &str) -> Result<&LotEntry, NoSuchName> {
        self.lots.find(name)
    }

    /// The formula of a name: the latest version, or that of `evening:1`.
    ///
    /// # Errors
    /// When there is none: with the nearest name, and all there are.
    pub fn formula(&self, name: &str) -> Result<&FormulaEntry, NoSuchName> {
        let asked = folded(name);
        let named = |one: &&FormulaEntry| folded(&one.name) == asked;
        if let Some(latest) = self
            .formulas
            .iter()
            .filter(named)
            .max_by_key(|one| one.version)
        {
            return Ok(latest);
        }
        self.formulas.find(name).map_err(|no| {
            // Of a known name the versions are listed, else the names.
            let bare = asked
                .rsplit_once(':')
                .map_or(asked.as_str(), |(bare, _)| bare.trim());
            let is_known = self.formulas.iter().any(|one| folded(&one.name) == bare);
            if asked.contains(':') && is_known {
                let versions = self.formulas.iter().filter(|one| folded(&one.name) == bare);
                let keys = versions.map(|one| format!("{}:{}", one.name, one.version));
                return NoSuchName::new(EntryKind::Formula, name, keys.collect());
            }
            let mut names: Vec<String> = Vec::new();
            for one in self.formulas.iter() {
                if !names.contains(&one.name) {
                    names.push(one.name.clone());
                }
            }
            if names.is_empty() {
                return no;
            }
            NoSuchName::new(EntryKind::Formula, name, names)
        })
    }

    /// The formulas, version by version, in the order of their file.
    pub fn formulas(&self) -> impl Iterator<Item = &FormulaEntry> {
        self.formulas.iter()
    }

    /// The scales, in the order of their file.
    pub fn scales(&self) -> impl Iterator<Item = &ScaleEntry> {
        self.scales.iter()
    }

    /// The liquids: water, then those of the file in their order.
    pub fn liquids(&self) -> impl Iterator<Item = &LiquidEntry> {
        self.liquids.iter()
    }

    /// The droppers, in the order of their file.
    pub fn droppers(&self) -> impl Iterator<Item = &DropperEntry> {
        self.droppers.iter()
    }

    /// The lots, in the order of their file.
    pub fn lots(&self) -> impl Iterator<Item = &LotEntry> {
        self.lots.iter()
    }
}

/// What a file says. Without a file it is what `without` says: of nothing
/// when the file is absent (`true`), of the unknown when it cannot be read.
fn gather<T>(
    found: Found,
    errors: &mut Vec<BookError>,
    without: impl FnOnce(bool) -> T,
    read: impl FnOnce(&Page, &mut Faults<'_>) -> T,
) -> T {
    match found {
        Ok(Some(page)) => {
            let mut faults = Faults::new(&page);
            let said = read(&page, &mut faults);
            errors.extend(faults.in_order());
            said
        }
        Ok(None) => without(true),
        Err(error) => {
            errors.push(error);
            without(false)
        }
    }
}

#[cfg(test)]
mod tests;
