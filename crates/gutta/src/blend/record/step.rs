//! What is done at the bench, a line each: `leaf 11.0 g red flue-cured, of red-23c`,
//! `flavour 12 drops fig tincture, by amber`, `score room note, 7 of 10`.
//!
//! # Why words in front?
//!
//! One line says one thing, and says it alone: it can be typed behind a command,
//! stand in a file, or answer a question, and always reads the same.

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Kind, Reading, leading_number, read, read_leading};

/// What was done.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Leaf was weighed.
    Leaf(LeafStep),
    /// A liquid went on.
    Liquid(LiquidStep),
    /// All of it was weighed, net.
    Weighed {
        /// What it weighed.
        mass: Reading,
        /// Its moisture, where it was found.
        at: Option<Reading>,
    },
    /// It was judged.
    Score {
        /// What was judged.
        what: String,
        /// How it was.
        score: f64,
        /// The best that it could have been, where that is said.
        out_of: Option<f64>,
    },
    /// Something went otherwise than planned.
    Deviation {
        /// What.
        what: String,
        /// What was done about it.
        repair: Option<String>,
    },
    /// Words.
    Note(String),
}

/// Leaf that was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafStep {
    /// How much.
    pub mass: Reading,
    /// The component, as the formula names it.
    pub name: String,
    /// The lot that it is of.
    pub lot: Option<String>,
    /// Its moisture, where no lot says it.
    pub at: Option<Reading>,
}

/// What a liquid is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiquidUse {
    /// Casing.
    Casing,
    /// Flavouring.
    Flavour,
    /// Water, for the moisture.
    Water,
}

impl LiquidUse {
    /// The word in front of its line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Casing => "casing",
            Self::Flavour => "flavour",
            Self::Water => "water",
        }
    }
}

/// A liquid that went on.
#[derive(Clone, Debug, PartialEq)]
pub struct LiquidStep {
    /// What it is there for.
    pub use_for: LiquidUse,
    /// How much: drops, a mass or a volume.
    pub amount: Reading,
    /// The liquid.
    pub name: String,
    /// The dropper of the book that the drops are of.
    pub dropper: Option<String>,
    /// What one drop weighs.
    pub each: Option<Reading>,
    /// What the bottle lost: the drops that were really given show in it.
    pub loss: Option<Reading>,
}

/// The words that a line begins with, each with what to write behind it.
pub const FORMS: [(&str, &str); 8] = [
    ("leaf", "leaf 11.0 g red flue-cured, of red-23c"),
    ("casing", "casing 9.6 g plum casing"),
    ("flavour", "flavour 12 drops fig tincture, by amber"),
    ("water", "water 8 drops, by glass"),
    ("weighed", "weighed 24.6 g, at 14.8 %"),
    ("score", "score room note, 7 of 10"),
    (
        "deviation",
        "deviation 0.4 g too much oriental, repair the rest was weighed to it",
    ),
    ("note", "note smells of hay"),
];

/// The most that a line may have: nobody reads more in one.
const LONGEST_LINE: usize = 2000;

/// What to write behind a word.
fn form(word: &str) -> String {
    let known = FORMS.iter().find(|(known, _)| *known == word);
    let example = known.map_or(FORMS[0].1, |(_, example)| example);
    format!("write it such as \"{example}\"")
}

/// A part of the text, and where it begins.
#[derive(Clone, Copy)]
struct Piece<'a> {
    whole: &'a str,
    at: usize,
    len: usize,
}

impl<'a> Piece<'a> {
    fn of(whole: &'a str) -> Self {
        Self {
            whole,
            at: 0,
            len: whole.len(),
        }
        .trimmed()
    }

    fn text(self) -> &'a str {
        &self.whole[self.at..self.at + self.len]
    }

    fn trimmed(self) -> Self {
        let text = self.text();
        let at = self.at + text.len() - text.trim_start().len();
        Self {
            at,
            len: text.trim().len(),
            ..self
        }
    }

    /// What stands behind its first bytes.
    fn behind(self, len: usize) -> Self {
        Self {
            at: self.at + len,
            len: self.len - len,
            ..self
        }
        .trimmed()
    }

    fn ahead(self, len: usize) -> Self {
        Self { len, ..self }.trimmed()
    }

    /// The parts between commas with a blank behind them.
    fn clauses(self) -> Vec<Self> {
        let mut clauses = Vec::new();
        let mut rest = self;
        while let Some(comma) = rest
            .text()
            .match_indices(',')
            .map(|(at, _)| at)
            .find(|at| rest.text()[at + 1..].starts_with(char::is_whitespace))
        {
            clauses.push(rest.ahead(comma));
            rest = rest.behind(comma + 1);
        }
        clauses.push(rest);
        clauses
    }

    /// What stands behind a word that this begins with.
    fn said_by(self, word: &str) -> Option<Self> {
        let text = self.text();
        let end = text.find(char::is_whitespace).unwrap_or(text.len());
        text[..end]
            .eq_ignore_ascii_case(word)
            .then(|| self.behind(end))
    }

    fn fail(self, kind: ErrorKind, message: impl Into<String>, hint: impl Into<String>) -> Error {
        Error::new(kind, message)
            .with_hint(hint.into())
            .with_place(self.whole, self.at, self.len)
    }

    fn read(self, kinds: &[Kind]) -> Result<Reading> {
        read(self.text(), kinds).map_err(|error| self.moved(error))
    }

    fn read_leading(self, kinds: &[Kind]) -> Result<(Reading, Self)> {
        let (reading, end) = read_leading(self.text(), kinds).map_err(|error| self.moved(error))?;
        Ok((reading, self.behind(end)))
    }

    /// An error about this part, as one about the whole.
    fn moved(self, error: Error) -> Error {
        let (at, len) = error
            .place()
            .map_or((0, self.len), |place| (place.at, place.len));
        error.with_place(self.whole, self.at + at, len)
    }
}

impl std::str::FromStr for Step {
    type Err = Error;

    /// # Errors
    /// When the line does not begin with a word that is known, has no amount or no
    /// name, or has more behind it than belongs there.
    fn from_str(text: &str) -> Result<Self> {
        let line = Piece::of(text);
        if line.len > LONGEST_LINE {
            return Err(line.ahead(40.min(line.len)).fail(
                ErrorKind::Stray,
                format!("this line is longer than {LONGEST_LINE} bytes"),
                "say one thing in a line, and what is long in several notes",
            ));
        }
        let known = FORMS
            .iter()
            .find_map(|(word, _)| Some((*word, line.said_by(word)?)));
        let Some((word, rest)) = known else {
            let words: Vec<&str> = FORMS.iter().map(|(word, _)| *word).collect();
            let first = line.text().split_whitespace().next().unwrap_or_default();
            return Err(line.ahead(first.len()).fail(
                ErrorKind::Stray,
                "this line does not say what was done",
                format!("begin it with one of: {}", words.join(", ")),
            ));
        };
        if rest.text().is_empty() {
            return Err(line.fail(
                ErrorKind::Missing,
                format!("nothing stands behind {word}"),
                form(word),
            ));
        }
        match word {
            "leaf" => leaf(rest),
            "casing" => liquid(LiquidUse::Casing, rest),
            "flavour" => liquid(LiquidUse::Flavour, rest),
            "water" => liquid(LiquidUse::Water, rest),
            "weighed" => weighed(rest),
            "score" => score(rest),
            "deviation" => deviation(rest),
            _ => Ok(Self::Note(rest.text().to_owned())),
        }
    }
}

fn unknown_clause(clause: Piece<'_>, word: &str) -> Error {
    clause.fail(
        ErrorKind::Stray,
        format!("`{}` does not belong here", clause.text()),
        form(word),
    )
}

/// A name, which must be there.
fn named(piece: Piece<'_>, word: &str, what: &str) -> Result<String> {
    if piece.text().is_empty() {
        return Err(Piece::of(piece.whole).fail(
            ErrorKind::Missing,
            format!("the line does not say {what}"),
            form(word),
        ));
    }
    Ok(piece.text().to_owned())
}

fn leaf(rest: Piece<'_>) -> Result<Step> {
    let word = "leaf";
    let mut clauses = rest.clauses().into_iter();
    let (mass, name) = clauses.next().unwrap_or(rest).read_leading(&[Kind::Mass])?;
    let mut step = LeafStep {
        mass,
        name: named(name, word, "which leaf it is")?,
        lot: None,
        at: None,
    };
    for clause in clauses {
        if let (Some(lot), None) = (clause.said_by("of"), &step.lot) {
            step.lot = Some(named(lot, word, "which lot it is of")?);
        } else if let (Some(at), None) = (clause.said_by("at"), &step.at) {
            step.at = Some(at.read(&[Kind::Share])?);
        } else {
            return Err(unknown_clause(clause, word));
        }
    }
    Ok(Step::Leaf(step))
}

fn liquid(use_for: LiquidUse, rest: Piece<'_>) -> Result<Step> {
    let word = use_for.word();
    let mut clauses = rest.clauses().into_iter();
    let kinds = [Kind::Drops, Kind::Mass, Kind::Volume];
    let (amount, name) = clauses.next().unwrap_or(rest).read_leading(&kinds)?;
    if amount.kind() == Kind::Drops && !amount.is_exact() {
        return Err(rest.fail(
            ErrorKind::Doubt,
            "drops are counted: their number has no doubt",
            form(word),
        ));
    }
    let name = match use_for {
        LiquidUse::Water if name.text().is_empty() => "water".to_owned(),
        LiquidUse::Water if name.text().eq_ignore_ascii_case("water") => "water".to_owned(),
        LiquidUse::Water => {
            return Err(name.fail(
                ErrorKind::Stray,
                format!("`{}` is not water", name.text()),
                "begin the line with casing or flavour, or leave the name out",
            ));
        }
        _ => named(name, word, "which liquid it is")?,
    };
    let mut step = LiquidStep {
        use_for,
        amount,
        name,
        dropper: None,
        each: None,
        loss: None,
    };
    for clause in clauses {
        if let (Some(dropper), None) = (clause.said_by("by"), &step.dropper) {
            step.dropper = Some(named(dropper, word, "which dropper it was")?);
        } else if let (Some(loss), None) = (clause.said_by("loss"), &step.loss) {
            step.loss = Some(loss.read(&[Kind::Mass])?);
        } else if let (Some(each), None) = (clause.text().strip_suffix("each"), &step.each) {
            let each = clause.ahead(each.len()).read(&[Kind::Mass])?;
            step.each = Some(each);
        } else {
            return Err(unknown_clause(clause, word));
        }
    }
    Ok(Step::Liquid(step))
}

fn weighed(rest: Piece<'_>) -> Result<Step> {
    let word = "weighed";
    let mut clauses = rest.clauses().into_iter();
    let mass = clauses.next().unwrap_or(rest).read(&[Kind::Mass])?;
    let mut found = None;
    for clause in clauses {
        match (clause.said_by("at"), &found) {
            (Some(at), None) => found = Some(at.read(&[Kind::Share])?),
            _ => return Err(unknown_clause(clause, word)),
        }
    }
    Ok(Step::Weighed { mass, at: found })
}

/// The largest score: nobody counts further.
const MOST: f64 = 1e6;

/// A number that may be below nothing, and what stands behind it: a score may be,
/// a quantity's number may not begin so.
fn number(piece: Piece<'_>) -> Result<(f64, Piece<'_>)> {
    let first = piece.text().chars().next();
    let minus = first.filter(|c| matches!(c, '-' | '\u{2212}'));
    let bare = piece.behind(minus.map_or(0, char::len_utf8));
    let found = leading_number(bare.text()).map_err(|error| bare.moved(error))?;
    let (number, end) = found
        .ok_or_else(|| piece.fail(ErrorKind::Number, "the score is no number", form("score")))?;
    if number > MOST {
        return Err(piece.fail(
            ErrorKind::OutOfRange,
            "a score is not beyond a million",
            form("score"),
        ));
    }
    let signed = if minus.is_some() { -number } else { number };
    Ok((signed, bare.behind(end)))
}

fn score(rest: Piece<'_>) -> Result<Step> {
    let clauses = rest.clauses();
    let [what, mark] = clauses.as_slice() else {
        return Err(rest.fail(
            ErrorKind::Missing,
            "a score is what was judged, a comma and a number",
            form("score"),
        ));
    };
    let (score, behind) = number(*mark)?;
    let out_of = match behind.said_by("of") {
        _ if behind.text().is_empty() => None,
        Some(best) => {
            let (best_score, stray) = number(best)?;
            if !stray.text().is_empty() {
                return Err(unknown_clause(stray, "score"));
            }
            if score < 0.0 {
                return Err(mark.fail(
                    ErrorKind::OutOfRange,
                    "a score out of a best is not below nothing",
                    form("score"),
                ));
            }
            if best_score < score {
                return Err(mark.fail(
                    ErrorKind::OutOfRange,
                    "the score is better than the best",
                    form("score"),
                ));
            }
            Some(best_score)
        }
        None => return Err(unknown_clause(behind, "score")),
    };
    Ok(Step::Score {
        what: named(*what, "score", "what was judged")?,
        score,
        out_of,
    })
}

fn deviation(rest: Piece<'_>) -> Result<Step> {
    let clauses = rest.clauses();
    let repair = clauses.iter().find_map(|clause| {
        // All that stands behind the word: the words of a repair have commas too.
        clause
            .said_by("repair")
            .map(|repair| (clause.at, repair.at))
    });
    match repair {
        Some((word, at)) => {
            let end = rest.at + rest.len;
            let what = rest.ahead(word - rest.at);
            let what = what.ahead(what.text().trim_end_matches(',').len());
            Ok(Step::Deviation {
                what: named(what, "deviation", "what went otherwise")?,
                repair: Some(rest.whole[at..end].to_owned()),
            })
        }
        None => Ok(Step::Deviation {
            what: rest.text().to_owned(),
            repair: None,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(text: &str) -> Step {
        text.parse()
            .unwrap_or_else(|error| panic!("{text}: {error}"))
    }

    fn wrong(text: &str) -> (String, usize) {
        let error = text.parse::<Step>().expect_err(text);
        let at = error.place().expect("a place").at;
        (error.to_string(), at)
    }

    #[test]
    fn every_form_reads() {
        for (word, example) in FORMS {
            assert!(example.starts_with(word));
            step(example);
        }
    }

    #[test]
    fn leaf_has_its_lot_or_its_moisture() {
        let Step::Leaf(leaf) = step("leaf 11.0 g red flue-cured, of red-23c") else {
            panic!("not leaf");
        };
        assert_eq!(leaf.mass.to_string(), "11.0 g");
        assert_eq!(
            (leaf.name.as_str(), leaf.lot.as_deref()),
            ("red flue-cured", Some("red-23c"))
        );
        let Step::Leaf(leaf) = step("Leaf 11,0g oriental, at 12 % ± 0.5 %") else {
            panic!("not leaf");
        };
        assert_eq!(
            leaf.at.map(|at| at.to_string()).as_deref(),
            Some("12 % ± 0.5 %")
        );
    }

    #[test]
    fn a_liquid_is_counted_or_weighed() {
        let Step::Liquid(drops) =
            step("flavour 12 drops fig tincture, 25.48 mg each, loss 0.331 g")
        else {
            panic!("no liquid");
        };
        assert_eq!(drops.amount.base(), 12.0);
        assert_eq!(drops.name, "fig tincture");
        assert!((drops.each.expect("a drop").base() - 25.48e-6).abs() < 1e-15);
        assert!((drops.loss.expect("a loss").base() - 331e-6).abs() < 1e-12);
        let Step::Liquid(water) = step("water 0.38 g") else {
            panic!("no liquid");
        };
        assert_eq!(
            (water.name.as_str(), water.use_for),
            ("water", LiquidUse::Water)
        );
    }

    #[test]
    fn a_score_may_have_a_best() {
        let all = |text: &str| match step(text) {
            Step::Score {
                what,
                score,
                out_of,
            } => (what, score, out_of),
            other => panic!("{other:?}"),
        };
        assert_eq!(
            all("score room note, 7"),
            ("room note".to_owned(), 7.0, None)
        );
        assert_eq!(
            all("score body, 6.5 of 10"),
            ("body".to_owned(), 6.5, Some(10.0))
        );
        assert_eq!(all("score body, -1"), ("body".to_owned(), -1.0, None));
    }

    #[test]
    fn a_deviation_keeps_its_words() {
        let said = |text: &str| match step(text) {
            Step::Deviation { what, repair } => (what, repair),
            other => panic!("{other:?}"),
        };
        assert_eq!(
            said("deviation the tin was wet, dried it"),
            ("the tin was wet, dried it".to_owned(), None)
        );
        assert_eq!(
            said("deviation 0.4 g too much, of oriental, repair more of the rest, all of it"),
            (
                "0.4 g too much, of oriental".to_owned(),
                Some("more of the rest, all of it".to_owned())
            )
        );
    }

    #[test]
    fn what_is_wrong_is_pointed_at() {
        assert_eq!(
            wrong("leave 3 g oriental"),
            ("this line does not say what was done".to_owned(), 0)
        );
        assert_eq!(wrong("leaf"), ("nothing stands behind leaf".to_owned(), 0));
        assert_eq!(
            wrong("leaf 3 g"),
            ("the line does not say which leaf it is".to_owned(), 0)
        );
        assert_eq!(
            wrong("leaf 3 g oriental, from sun-25"),
            ("`from sun-25` does not belong here".to_owned(), 19)
        );
        assert_eq!(
            wrong("water 3 drops fig tincture"),
            ("`fig tincture` is not water".to_owned(), 14)
        );
        assert_eq!(
            wrong("score room note 7"),
            (
                "a score is what was judged, a comma and a number".to_owned(),
                6
            )
        );
        assert_eq!(
            wrong("score room note, seven"),
            ("the score is no number".to_owned(), 17)
        );
        assert_eq!(
            wrong("score room note, 7 of 5"),
            ("the score is better than the best".to_owned(), 17)
        );
        assert_eq!(
            wrong("weighed 24 g, at 14 %, at 15 %"),
            ("`at 15 %` does not belong here".to_owned(), 23)
        );
        let (message, at) = wrong("leaf 3 oriental");
        assert_eq!(at, 5, "{message}");
    }
}
