//! The leaf that a dose is counted on.

use clap::{Args, ValueEnum};

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::measure::{Kind, Measured, Reading, Scale, Unit, read};
use gutta::{Error, ErrorKind};

use super::dose::{BasisWord, basis};
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, DOUBT_IS_SAID, Flag, Weight, leaf_moisture};
use crate::say::{self, shell_word};

/// The leaf that a dose is counted on.
#[derive(Debug, Args)]
pub struct LeafArgs {
    /// Leaf as weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// What the dose is counted on
    #[arg(long, value_name = "BASIS", value_enum)]
    basis: Option<BasisWord>,
}

/// The leaf, read.
pub struct TypedLeaf {
    /// What it weighs.
    pub weight: Weight,
    /// Its moisture, where it is known.
    pub at: Option<Measured<Moisture>>,
    /// What a dose is counted on.
    pub basis: LeafBasis,
}

impl LeafArgs {
    /// How a dose is counted on this leaf, as it was typed.
    pub fn counted_on(&self) -> String {
        counted_on(self.at.as_ref(), self.lot.as_ref(), self.basis)
    }

    /// A complaint of the library about how much leaf there is.
    pub fn blame(&self, error: Error) -> Failure {
        match Flag::of("--leaf", self.leaf.as_ref()) {
            Some(flag) => flag.fail(error),
            None => Failure::from(error),
        }
    }

    /// Reads the flags.
    pub fn read(
        &self,
        hint: &str,
        scale: Option<Scale>,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<TypedLeaf> {
        let basis = basis(self.basis, self.at.is_some() || self.lot.is_some())?;
        let weight =
            Flag::needed("--leaf", "the leaf as weighed", self.leaf.as_ref(), hint)?.mass(scale)?;
        assumed.exact_if(
            weight.mass.is_exact(),
            format!("leaf {}", weight.reading.unbroken()),
        );
        let at = match (&self.at, &self.lot) {
            (None, None) => None,
            (at, lot) => {
                Some(leaf_moisture(at.as_ref(), lot.as_ref(), DOUBT_IS_SAID, shelf, assumed)?.1)
            }
        };
        Ok(TypedLeaf { weight, at, basis })
    }
}

/// The flags that say how a dose is counted on leaf, as they were typed.
pub(super) fn counted_on(
    at: Option<&String>,
    lot: Option<&String>,
    basis: Option<BasisWord>,
) -> String {
    let basis = basis.and_then(|word| word.to_possible_value());
    let basis = basis.as_ref().map(|word| word.get_name().to_owned());
    [("--at", at), ("--lot", lot), ("--basis", basis.as_ref())]
        .into_iter()
        .filter_map(|(flag, text)| Some(format!(" {flag} {}", shell_word(text?))))
        .collect()
}

/// A dose that is wanted: exact, as every target is. `in_doubt` is what a doubt
/// belongs to, `several` what is done where several stand in one text.
pub fn wanted_dose(flag: Flag<'_>, in_doubt: &str, several: &str) -> Outcome<Reading> {
    let reading = dose_on_leaf(flag).map_err(|failure| match one_by_one(flag.text) {
        Some(words) => flag
            .wrong("stray", "several doses stand in one text")
            .hint(format!("{several} {words}")),
        // The rest of a name that was not quoted.
        None if !flag.text.contains(|c: char| c.is_numeric()) => failure.hint(
            "type a dose such as 0.9g/kg; a name with blanks goes in quotes: \"fig tincture\"",
        ),
        None => failure,
    })?;
    if !reading.is_exact() {
        return Err(flag.fail(
            Error::new(ErrorKind::Doubt, "a dose that is wanted is exact").with_hint(format!(
                "type it alone, such as \"{}\"; what is in doubt is {in_doubt}",
                say::base(reading.base(), Unit::GRAM_PER_KILOGRAM).replace('\u{a0}', " ")
            )),
        ));
    }
    Ok(reading)
}

/// Several doses in one text, each as a word of the shell.
fn one_by_one(text: &str) -> Option<String> {
    let is_dose = |text: &str| read(text, &[Kind::Share]).is_ok();
    let mut words: Vec<String> = text
        .split([',', ';'])
        .map(str::trim)
        .map(str::to_owned)
        .collect();
    if !words.iter().all(|word| is_dose(word)) {
        // A blank may stand inside of one, before its unit or its doubt.
        words.clear();
        let mut word = String::new();
        for piece in text.split_whitespace() {
            if word.is_empty() && piece.starts_with(['±', '+']) {
                word = words.pop().unwrap_or_default();
            }
            if !word.is_empty() {
                word.push(' ');
            }
            word += piece.trim_end_matches([',', ';']);
            if is_dose(&word) {
                words.push(std::mem::take(&mut word));
            }
        }
        if !word.is_empty() {
            return None;
        }
    }
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    (quoted.len() > 1).then(|| quoted.join(" "))
}

/// A dose for each mass of leaf, not checked against its range.
pub fn dose_on_leaf(flag: Flag<'_>) -> Outcome<Reading> {
    let reading = flag.read(&[Kind::Share]).map_err(|failure| {
        // A share is a percentage to most; a dose is not.
        match failure.report().kind.as_str() {
            "no-unit" | "wrong-kind" => {
                failure.hint("type it as flavouring for each kilogram of leaf, such as 0.9g/kg")
            }
            _ => failure,
        }
    })?;
    if reading.basis().is_some() {
        return Err(flag
            .wrong("wrong-kind", "a dose has no moisture basis")
            .hint("say what it is counted on with --basis dry or --basis as-weighed"));
    }
    Ok(reading)
}
