//! The names of a book's entries, and what to say when there is none such.

use std::fmt;

use crate::words::{listed, quote};

/// What kind of entry a name is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EntryKind {
    /// A scale.
    Scale,
    /// A liquid.
    Liquid,
    /// A dropper.
    Dropper,
    /// A lot of leaf.
    Lot,
    /// A formula.
    Formula,
}

impl EntryKind {
    /// The word for one.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Scale => "scale",
            Self::Liquid => "liquid",
            Self::Dropper => "dropper",
            Self::Lot => "lot",
            Self::Formula => "formula",
        }
    }

    /// The word for several.
    pub const fn plural(self) -> &'static str {
        match self {
            Self::Scale => "scales",
            Self::Liquid => "liquids",
            Self::Dropper => "droppers",
            Self::Lot => "lots",
            Self::Formula => "formulas",
        }
    }

    /// The file of the book that holds them.
    pub const fn file(self) -> &'static str {
        match self {
            Self::Scale => "scales.toml",
            Self::Liquid => "liquids.toml",
            Self::Dropper => "droppers.toml",
            Self::Lot => "lots.csv",
            Self::Formula => "formulas.toml",
        }
    }
}

/// A name that is not in the book.
///
/// ```
/// # use gutta_book::Book;
/// # use std::path::Path;
/// # let demo = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-data"));
/// # let book = Book::open(demo).unwrap();
/// let error = book.dropper("glas").unwrap_err();
/// assert_eq!(error.to_string(), "the book has no dropper `glas`");
/// assert_eq!(error.hint(), "did you mean `glass`? its droppers are glass and amber");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSuchName {
    kind: EntryKind,
    asked: String,
    nearest: Option<String>,
    known: Vec<String>,
}

impl NoSuchName {
    pub(crate) fn new(kind: EntryKind, asked: &str, known: Vec<String>) -> Self {
        let asked = asked.trim();
        Self {
            kind,
            asked: asked.to_owned(),
            nearest: nearest(asked, known.iter().map(String::as_str)).map(str::to_owned),
            known,
        }
    }

    /// What kind of entry was asked for.
    pub const fn kind(&self) -> EntryKind {
        self.kind
    }

    /// The name that was asked for, without blanks at either end.
    pub fn asked(&self) -> &str {
        &self.asked
    }

    /// The name in the book that is nearest to it, when one is near.
    pub fn nearest(&self) -> Option<&str> {
        self.nearest.as_deref()
    }

    /// All names of that kind, in the order of the file.
    pub fn known(&self) -> &[String] {
        &self.known
    }

    /// What to type or do instead.
    pub fn hint(&self) -> String {
        // More names than this are no help on one line.
        const MANY: usize = 8;
        let kind = self.kind;
        let its = match self.known.len() {
            0 => format!(
                "it has no {}: write one into {}",
                kind.plural(),
                kind.file()
            ),
            1 => format!("its only {} is {}", kind.word(), self.known[0]),
            2..=MANY => format!("its {} are {}", kind.plural(), listed(&self.known)),
            n => format!("its {n} {} stand in {}", kind.plural(), kind.file()),
        };
        // A name with more behind it, such as `evening, version 1`.
        let asked = folded(&self.asked);
        let begun = self
            .known
            .iter()
            .find(|name| self.kind == EntryKind::Formula && asked.starts_with(&folded(name)));
        if let Some(begun) = begun {
            return format!("a version is typed behind a colon, such as {begun}:1; {its}");
        }
        match &self.nearest {
            Some(nearest) => format!("did you mean {}? {its}", quote(nearest)),
            None => its,
        }
    }
}

impl fmt::Display for NoSuchName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the book has no {} {}",
            self.kind.word(),
            quote(&self.asked)
        )
    }
}

impl std::error::Error for NoSuchName {}

/// A name as names are compared: case and surrounding blanks do not count.
pub(crate) fn folded(name: &str) -> String {
    name.trim().to_lowercase()
}

/// Whether two names are one: case and surrounding blanks do not count.
///
/// ```
/// assert!(gutta_book::is_same_name("Quitte Öl", " quitte öl "));
/// ```
pub fn is_same_name(one: &str, other: &str) -> bool {
    folded(one) == folded(other)
}

/// The name nearest to one that is not known, when one is near enough to be a
/// slip of the hand.
///
/// ```
/// use gutta_book::nearest;
///
/// assert_eq!(nearest("watr", ["water", "sugar"]), Some("water"));
/// assert_eq!(nearest("vinegar", ["water", "sugar"]), None);
/// ```
pub fn nearest<'n>(asked: &str, known: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    const LONGEST: usize = 60;
    let asked = folded(asked);
    let far = match asked.chars().count() {
        0 | 1 => 0,
        2..=4 => 1,
        5..=LONGEST => 2,
        _ => return None,
    };
    known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&asked, &folded(name)), name))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn missing(asked: &str, known: &[&str]) -> NoSuchName {
        let known = known.iter().map(|s| (*s).to_owned()).collect();
        NoSuchName::new(EntryKind::Lot, asked, known)
    }

    #[test]
    fn the_nearest_name_is_near() {
        assert_eq!(
            missing("brigth-24a", &["bright-24a"]).nearest(),
            Some("bright-24a")
        );
        assert_eq!(missing("burley", &["bright-24a"]).nearest(), None);
        assert_eq!(missing(&"x".repeat(100), &["x"]).nearest(), None);
        assert_eq!(missing("b", &["a", ""]).nearest(), None);
    }

    #[test]
    fn the_hint_names_what_there_is() {
        assert_eq!(
            missing("a", &[]).hint(),
            "it has no lots: write one into lots.csv"
        );
        assert_eq!(missing("a", &["bcd"]).hint(), "its only lot is bcd");
        assert_eq!(
            missing("a", &["bcd", "efg"]).hint(),
            "its lots are bcd and efg"
        );
        assert_eq!(
            missing("a", &["xyz"; 9]).hint(),
            "its 9 lots stand in lots.csv"
        );
        assert_eq!(
            missing(" BCF ", &["bcd"]).hint(),
            "did you mean `bcd`? its only lot is bcd"
        );
    }
}
