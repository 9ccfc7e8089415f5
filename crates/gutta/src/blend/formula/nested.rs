//! Blends that are made of blends.

use std::collections::BTreeMap;

use super::shares::Shares;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::Scalar;

/// How deep blends are looked for in blends: deeper than any is made, and
/// shallow enough to be followed.
pub const DEEPEST: usize = 64;

/// Formulas under their names; all on one basis of shares.
///
/// ```
/// use gutta::blend::formula::{Amounts, Recipes, Shares};
/// use uom::si::ratio::percent;
/// let half = |a, b| Shares::new(&[a, b], &Amounts::Percent(vec![50.0, 50.0]));
/// let mut recipes = Recipes::default();
/// recipes.insert("base", half("flue-cured", "oriental")?);
/// let leaves = recipes.expand(&half("base", "oriental")?)?;
/// assert_eq!(leaves.share("oriental").unwrap().get::<percent>(), 75.0);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recipes(BTreeMap<String, Shares>);

/// The leaves of a blend, each once, in the order they are met.
type Leaves = Vec<(String, f64)>;

impl Recipes {
    /// Puts a formula under a name; the one that was there goes.
    pub fn insert(&mut self, name: impl Into<String>, shares: Shares) {
        self.0.insert(name.into(), shares);
    }

    /// The formula with every blend in it replaced by what that is made of. A
    /// leaf that is met on several ways is one line: Σ s·s′ over the ways.
    ///
    /// # Errors
    /// A refusal when a blend is made of itself, naming the way round, and when
    /// blends stand in blends deeper than [`DEEPEST`].
    pub fn expand(&self, shares: &Shares) -> Result<Shares> {
        let leaves = self.leaves(shares, &mut Vec::new(), &mut BTreeMap::new())?;
        Ok(Shares::of_amounts(leaves))
    }

    fn leaves<'a>(
        &'a self,
        shares: &'a Shares,
        way: &mut Vec<&'a str>,
        known: &mut BTreeMap<&'a str, Leaves>,
    ) -> Result<Leaves> {
        let mut all = Leaves::new();
        for line in shares.lines() {
            let (name, share) = (line.name(), line.share().base());
            let Some(inner) = self.0.get(name) else {
                add(&mut all, name, share);
                continue;
            };
            if !known.contains_key(name) {
                check_way(way, name)?;
                way.push(name);
                let leaves = self.leaves(inner, way, known)?;
                way.pop();
                known.insert(name, leaves);
            }
            for (leaf, of_it) in &known[name] {
                add(&mut all, leaf, share * of_it);
            }
        }
        Ok(all)
    }
}

fn add(all: &mut Leaves, name: &str, share: f64) {
    match all.iter_mut().find(|(leaf, _)| leaf == name) {
        Some((_, sum)) => *sum += share,
        None => all.push((name.to_owned(), share)),
    }
}

fn check_way(way: &[&str], name: &str) -> Result<()> {
    if let Some(from) = way.iter().position(|on_it| *on_it == name) {
        let round: Vec<&str> = way[from..].iter().copied().chain([name]).collect();
        return Err(Error::new(
            ErrorKind::Refused,
            format!("{name} is made of itself: {}", round.join(" > ")),
        )
        .with_hint(format!(
            "take {name} out of {}, or name the leaf apart from the blend",
            way[way.len() - 1]
        )));
    }
    if way.len() >= DEEPEST {
        return Err(Error::new(
            ErrorKind::Refused,
            format!("blends stand in blends more than {DEEPEST} deep"),
        )
        .with_hint("write the inner blends out as leaf"));
    }
    Ok(())
}
