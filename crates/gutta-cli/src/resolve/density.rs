//! The density of a liquid: typed, or from the book.

use gutta::measure::{Density, Measured};

use super::shelf::Shelf;
use super::{Assumed, Flag};
use crate::failure::Outcome;

/// A density that was typed; `what` names it where it is taken as exact.
pub fn typed(flag: Flag<'_>, what: &str, assumed: &mut Assumed) -> Outcome<Measured<Density>> {
    let (reading, density) = flag.density()?;
    assumed.exact_if(density.is_exact(), format!("{what} {}", reading.unbroken()));
    Ok(density)
}

/// The density of a liquid of the book.
pub fn of_book(flag: Flag<'_>, shelf: &Shelf) -> Outcome<Measured<Density>> {
    let liquid = shelf.liquid(flag)?;
    liquid.density.ok_or_else(|| {
        flag.wrong(
            "missing",
            format!("the book has no density of {}", liquid.name),
        )
        .hint("weigh 10 mL of it, and type the density: --density 0.871g/mL")
    })
}
