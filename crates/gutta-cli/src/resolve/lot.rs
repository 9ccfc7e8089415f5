//! A lot that was typed: its mass and its moisture.

use gutta::Moisture;
use gutta::matter::LotOfLeaf;
use gutta::measure::{Kind, Measured, Reading, Scale, read, read_leading};

use super::shelf::Shelf;
use super::{Assumed, Flag, behind, moved};
use crate::failure::Outcome;

/// What to type for a lot.
pub const FORM: &str = "type each lot as mass and moisture in quotes: \"460g 9.6%\"";

/// A lot as it was typed.
pub struct TypedLot {
    /// Its mass.
    pub mass: Reading,
    /// The lot of the book that its moisture is from, where it was named.
    pub entry: Option<String>,
    /// The lot.
    pub lot: LotOfLeaf,
}

/// A lot with its mass as it was typed; `name` is what it is called where it is
/// taken as exact.
pub fn lot(
    flag: Flag<'_>,
    name: &str,
    scale: Option<Scale>,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<TypedLot> {
    let (reading, len) =
        read_leading(flag.text, &[Kind::Mass]).map_err(|error| flag.fail(error))?;
    let weight = flag.weight(reading, scale)?;
    let rest = behind(&flag.text[len..]);
    assumed.exact_if(
        weight.mass.is_exact(),
        format!("{name} {}", weight.reading.unbroken()),
    );
    let (at, entry) = moisture(flag, rest, name, shelf, assumed)?;
    Ok(TypedLot {
        mass: weight.reading,
        entry,
        lot: LotOfLeaf {
            mass: weight.mass,
            at,
        },
    })
}

/// The moisture of a lot: typed behind its mass, or that of a lot of the book,
/// with its name.
fn moisture(
    flag: Flag<'_>,
    text: &str,
    name: &str,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<(Measured<Moisture>, Option<String>)> {
    if text.is_empty() {
        return Err(match flag.name {
            "--fines" => flag
                .wrong("missing", "the fines have no moisture")
                .hint("type their mass and moisture in quotes: --fines \"41.5g 9%\""),
            _ => flag.wrong("missing", "the lot has no moisture").hint(FORM),
        });
    }
    if text.starts_with(char::is_alphabetic) {
        let mass = flag.text[..flag.text.len() - text.len()].trim();
        let instead = match flag.name.strip_prefix("--") {
            // --at is the moisture of something else where the lot has its own.
            Some(_) => format!(
                "type the moisture behind the mass: {} \"{mass} 12.4%\"",
                flag.name
            ),
            None => "type the moisture in place of the name".to_owned(),
        };
        let lot = shelf.lot_or(Flag::new(flag.name, text), &instead)?;
        assumed.line(format!(
            "{name}, {}: {}{}",
            lot.name,
            lot.typed.unbroken(),
            lot.news().unwrap_or_default()
        ));
        if let Some(method) = lot.method {
            assumed.line(format!("{name} was found {}", method.words()));
            assumed.carry(method);
        }
        return Ok((lot.moisture, Some(lot.name.clone())));
    }
    let offset = flag.text.len() - text.len();
    let reading = read(text, &[Kind::Share]).map_err(|error| moved(flag, error, offset))?;
    let moisture = Moisture::read(&reading).map_err(|error| moved(flag, error, offset))?;
    assumed.exact_if(
        moisture.is_exact(),
        format!("moisture of {name} {}", reading.unbroken()),
    );
    Ok((moisture, None))
}
