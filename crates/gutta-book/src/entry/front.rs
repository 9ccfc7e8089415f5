//! `book.toml`: what makes a folder a bench book.

use crate::page::{Faults, Page};
use crate::store::FRONT;
use crate::tables::{self, Field, Layout};

const NAME: Field = Field::optional("name", "\"the workshop\"");

static LAYOUT: Layout = Layout {
    file: FRONT,
    fields: &[NAME],
    table: None,
};

/// The name of the book, where it has one.
pub(crate) fn read(page: &Page, faults: &mut Faults<'_>) -> Option<String> {
    let sheet = tables::read(page, &LAYOUT, faults);
    let name = sheet.top.text(&NAME, faults)?;
    Some(name.value().to_owned())
}
