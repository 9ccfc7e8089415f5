//! `gutta trial compare`, `gutta batch compare`.

use clap::Args;
use gutta_book::MakingKind;

use super::{ID, command};
use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Flag, making};
use crate::speak::making as speak;

/// Two to be compared.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// The first, such as the parent
    #[arg(value_name = "ID")]
    id: String,
    /// The second [its parent, which then comes first]
    #[arg(long, value_name = "ID")]
    with: Option<String>,
}

impl CompareArgs {
    pub(super) fn answer(&self, kind: MakingKind, shelf: &Shelf) -> Outcome<Answer> {
        let all = shelf.makings()?;
        let flag = Flag::new(ID, &self.id);
        let one = making::found(flag, &all, shelf)?;
        let (first, second) = match Flag::of("--with", self.with.as_ref()) {
            Some(with) => {
                let other = making::found(with, &all, shelf)?;
                if other.id == one.id {
                    return Err(with
                        .wrong("duplicate", "it is the same one")
                        .hint("name another with --with; gutta trial list shows them"));
                }
                (one, other)
            }
            None => {
                let parent = one.parent.as_ref();
                let parent = parent.and_then(|id| all.iter().find(|other| other.id == *id));
                let parent = parent.ok_or_else(|| {
                    crate::failure::Failure::missing(
                        "--with",
                        format!("{} has no parent to be compared with", one.id),
                    )
                    .hint("name the other one, such as --with K3F2-9QXM")
                })?;
                (parent, one)
            }
        };
        for one in [first, second] {
            if one.leaf.is_empty() {
                return Err(crate::failure::Failure::refused(format!(
                    "nothing is weighed of {} yet",
                    one.id
                ))
                .about(ID)
                .hint(format!(
                    "write down what is done: gutta {} add {}",
                    one.kind.word(),
                    one.id
                )));
            }
        }
        let states = (making::now(first)?, making::now(second)?);
        Ok(speak::compare(
            command(kind, "trial compare", "batch compare"),
            (first, states.0.as_ref()),
            (second, states.1.as_ref()),
        ))
    }
}
