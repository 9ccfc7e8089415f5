//! The density of a liquid, as it was typed.

use gutta::measure::{Density, Measured};

use super::{Assumed, Flag};
use crate::failure::Outcome;

/// A density that was typed; `what` names it where it is taken as exact.
pub fn typed(flag: Flag<'_>, what: &str, assumed: &mut Assumed) -> Outcome<Measured<Density>> {
    let (reading, density) = flag.density()?;
    assumed.exact_if(density.is_exact(), format!("{what} {}", reading.unbroken()));
    Ok(density)
}
