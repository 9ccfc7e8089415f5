//! `gutta trial show`, `list`, `tree`, and of a batch.

use clap::Args;

use gutta::blend::record::{Branch, Identifier, descent};
use gutta_book::{MakingKind, MakingRecord};

use super::{ID, command};
use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Flag, making};
use crate::speak::making as speak;

/// One to be shown.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// The trial or batch
    #[arg(value_name = "ID")]
    id: String,
}

/// A tree to be shown.
#[derive(Debug, Args)]
pub struct TreeArgs {
    /// Only what came from this one, and from what it came; all when none is named
    #[arg(value_name = "ID")]
    id: Option<String>,
}

impl ShowArgs {
    pub(super) fn answer(&self, kind: MakingKind, shelf: &Shelf) -> Outcome<Answer> {
        let all = shelf.makings()?;
        let record = making::found(Flag::new(ID, &self.id), &all, shelf)?;
        let now = making::now(record)?;
        Ok(speak::show(
            command(kind, "trial show", "batch show"),
            record,
            now.as_ref(),
            shelf.now(),
        ))
    }
}

/// All trials, or all batches.
pub fn list(kind: MakingKind, shelf: &Shelf) -> Outcome<Answer> {
    let all = shelf.makings()?;
    let of_kind: Vec<&MakingRecord> = all.iter().filter(|one| one.kind == kind).collect();
    Ok(speak::list(
        command(kind, "trial list", "batch list"),
        kind,
        &of_kind,
    ))
}

impl TreeArgs {
    pub(super) fn answer(&self, kind: MakingKind, shelf: &Shelf) -> Outcome<Answer> {
        let all = shelf.makings()?;
        let named = match Flag::of(ID, self.id.as_ref()) {
            Some(flag) => Some(making::found(flag, &all, shelf)?.id.clone()),
            None => None,
        };
        let pairs: Vec<_> = all
            .iter()
            .map(|one| (one.id.clone(), one.parent.clone()))
            .collect();
        let tree = descent(&pairs);
        let shown = match &named {
            None => tree,
            Some(id) => kin(&tree, &all, id),
        };
        let shown: Vec<_> = shown
            .into_iter()
            .map(|branch| (branch.depth, &all[branch.at]))
            .collect();
        Ok(speak::tree(
            command(kind, "trial tree", "batch tree"),
            &shown,
        ))
    }
}

/// Those that one came from, itself, and all that came from it.
fn kin(tree: &[Branch], all: &[MakingRecord], id: &Identifier) -> Vec<Branch> {
    let Some(place) = tree.iter().position(|branch| all[branch.at].id == *id) else {
        return Vec::new();
    };
    let own = tree[place].depth;
    let mut above: Vec<Branch> = Vec::new();
    for branch in tree[..place].iter().rev() {
        if branch.depth < above.last().map_or(own, |last| last.depth) {
            above.push(*branch);
        }
    }
    let below = tree[place + 1..].iter();
    let below = below.take_while(|branch| branch.depth > own);
    above
        .into_iter()
        .rev()
        .chain([tree[place]])
        .chain(below.copied())
        .collect()
}
