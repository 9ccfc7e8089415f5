//! `gutta batch record`.

use clap::Args;

use super::args::BatchArgs;
use crate::answer::Answer;
use crate::command::html::HtmlArgs;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::speak::batch::record as speak;

/// A batch, and the number that it is filed under.
#[derive(Debug, Args)]
pub struct RecordArgs {
    #[command(flatten)]
    batch: BatchArgs,
    /// The number of the batch; left blank where none is given
    #[arg(long, value_name = "NUMBER")]
    number: Option<String>,
    #[command(flatten)]
    pub(super) html: HtmlArgs,
}

impl RecordArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let number = number(self.number.as_ref())?;
        let asking = self.batch.read(shelf)?;
        Ok(speak::record(asking, number))
    }
}

/// The number of a batch, on one line.
pub(super) fn number(text: Option<&String>) -> Outcome<Option<String>> {
    let Some(text) = text else {
        return Ok(None);
    };
    let number = text.trim();
    if number.is_empty() || number.contains(char::is_control) || number.chars().count() > 20 {
        return Err(Failure::unreadable(
            "unreadable",
            "the number of a batch has 1 to 20 letters, on one line",
        )
        .about("--number")
        .pointing(text, 0, text.len())
        .hint("type it as it is filed, such as --number 26-014"));
    }
    Ok(Some(number.to_owned()))
}
