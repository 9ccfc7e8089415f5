//! Entries of one kind, found by their names.

use std::collections::HashMap;

use crate::error::{BookError, BookErrorKind};
use crate::name::{EntryKind, NoSuchName, folded};
use crate::page::{Faults, Page, Written};
use crate::words::quote;

/// An entry of the book.
pub(crate) trait Entry {
    const KIND: EntryKind;

    fn name(&self) -> &str;
}

/// Entries of one kind, in the order of their file.
#[derive(Clone, Debug)]
pub(crate) struct Shelf<E> {
    entries: Vec<E>,
    names: HashMap<String, Declared>,
    /// As they are written, those of faulty entries among them.
    spellings: Vec<String>,
    /// Whether every entry of the file was seen, faulty ones too.
    whole: bool,
}

/// A name that stands in the file.
#[derive(Clone, Debug)]
struct Declared {
    /// Where it stands in the file; none for what is known without one.
    at: Option<usize>,
    /// The entry's place on the shelf; none when the entry is faulty.
    entry: Option<usize>,
}

impl<E: Entry> Shelf<E> {
    pub fn new(whole: bool) -> Self {
        Self {
            entries: Vec::new(),
            names: HashMap::new(),
            spellings: Vec::new(),
            whole,
        }
    }

    /// A shelf with an entry that is known without a file.
    pub fn with(mut self, entry: E) -> Self {
        self.note_name(entry.name().to_owned(), None);
        self.put(entry);
        self
    }

    /// Takes a name for an entry; a fault when it is taken already.
    pub fn declare(&mut self, name: &Written<'_>, page: &Page, faults: &mut Faults<'_>) -> bool {
        self.declare_as(name.value(), name, page, faults)
    }

    /// Takes a name that is not letter for letter what stands in the file, where
    /// it stands at `name`.
    pub fn declare_as(
        &mut self,
        spelling: &str,
        name: &Written<'_>,
        page: &Page,
        faults: &mut Faults<'_>,
    ) -> bool {
        let word = E::KIND.word();
        let Some(earlier) = self.names.get(&folded(spelling)) else {
            self.note_name(spelling.to_owned(), Some(name.whole().start));
            return true;
        };
        let error = match earlier.at.map(|at| page.line(at)) {
            Some(line) => BookError::new(
                BookErrorKind::Duplicate,
                format!(
                    "{word} {} stands twice, the first time on line {line}",
                    quote(spelling)
                ),
            )
            .with_hint(match E::KIND {
                EntryKind::Formula => {
                    "give it the version that comes next, or another name".to_owned()
                }
                _ => format!("give each {word} a name of its own"),
            }),
            None => BookError::new(
                BookErrorKind::Reserved,
                format!("{} is known without the book", quote(spelling)),
            )
            .with_hint(format!("leave it out, or give the {word} another name")),
        };
        faults.add(&name.whole(), error.with_field("name"));
        false
    }

    /// Puts an entry on the shelf whose name was declared.
    pub fn put(&mut self, entry: E) {
        if let Some(declared) = self.names.get_mut(&folded(entry.name())) {
            declared.entry = Some(self.entries.len());
            self.entries.push(entry);
        }
    }

    fn note_name(&mut self, spelling: String, at: Option<usize>) {
        let declared = Declared { at, entry: None };
        self.names.insert(folded(&spelling), declared);
        self.spellings.push(spelling);
    }

    /// The entry of a name.
    pub fn find(&self, name: &str) -> Result<&E, NoSuchName> {
        self.refer(name)?.ok_or_else(|| self.no_such(name))
    }

    /// The entry of a name that another file refers to: `None` when it is
    /// there and faulty, or may be on a line that could not be read.
    pub fn refer(&self, name: &str) -> Result<Option<&E>, NoSuchName> {
        match self.names.get(&folded(name)) {
            Some(declared) => Ok(declared.entry.and_then(|at| self.entries.get(at))),
            None if self.whole => Err(self.no_such(name)),
            None => Ok(None),
        }
    }

    fn no_such(&self, name: &str) -> NoSuchName {
        NoSuchName::new(E::KIND, name, self.spellings.clone())
    }

    pub fn iter(&self) -> impl Iterator<Item = &E> {
        self.entries.iter()
    }
}
