//! From a text to a reading.

use super::amount::{Amount, Part};
use super::complaint;
use super::cursor::Spot;
use super::grammar::{Parser, Raw, RawSpread, Sentence};
use super::reading::{Basis, Doubt, Reading, Spread};
use super::{Kind, Unit};
use crate::error::Result;

/// Reads a quantity of one of the kinds accepted.
///
/// Blanks may stand anywhere between number, unit and doubt, and none is
/// needed: `10g`, `10 g`, `1 lb 6 oz`, `½ oz`, `11.2% ± 0.5%`, `11-13%`,
/// `17.6% db`, `20/mL`. A comma is a decimal mark unless it could group
/// thousands. `±` is the half-width of a 95 % interval: in points after a
/// percentage, in degrees after a temperature; a percentage after anything
/// else, or with `rel`, is relative.
///
/// ```
/// use gutta::measure::{Kind, read};
///
/// let moisture = read("11,2% ± 0.5%", &[Kind::Share])?;
/// assert_eq!(moisture.to_string(), "11.2 % ± 0.5 %");
///
/// let bare = read("10", &[Kind::Mass]).unwrap_err();
/// assert_eq!(bare.to_string(), "`10` has no unit");
/// # Ok::<(), gutta::Error>(())
/// ```
///
/// # Errors
///
/// A text that is no quantity, that can be read in two ways, that has no unit
/// or one of another kind, or whose doubt makes no sense. The error says where
/// in the text, and what to type instead. No bound is set on the value: it may
/// be negative or zero, only not beyond what a number can hold.
pub fn read(text: &str, accepts: &[Kind]) -> Result<Reading> {
    settle(Parser::new(text, accepts, false).sentence()?, accepts)
}

/// Reads the quantity that a text begins with, and says how many bytes it
/// takes: of `9.6g flavouring` four.
///
/// ```
/// use gutta::measure::{Kind, read_leading};
///
/// let text = "1 lb 6 oz dark leaf";
/// let (leaf, len) = read_leading(text, &[Kind::Mass])?;
/// assert_eq!(leaf.to_string(), "1 lb 6 oz");
/// assert_eq!(&text[len..], " dark leaf");
/// # Ok::<(), gutta::Error>(())
/// ```
///
/// # Errors
///
/// As [`read`], but for what follows the quantity.
pub fn read_leading(text: &str, accepts: &[Kind]) -> Result<(Reading, usize)> {
    let mut parser = Parser::new(text, accepts, true);
    let sentence = parser.sentence()?;
    Ok((settle(sentence, accepts)?, parser.at()))
}

/// Gives every number its unit, and checks that they go together.
fn settle(sentence: Sentence<'_>, accepts: &[Kind]) -> Result<Reading> {
    let Sentence { low, spread, spot } = sentence;
    match spread {
        RawSpread::None => {
            let unit = low
                .unit
                .ok_or_else(|| complaint::no_unit(low.spot, accepts))?;
            accept(unit, spot, accepts)?;
            Ok(Reading {
                basis: low.basis,
                amount: low.amount(unit)?,
                spread: Spread::None,
            })
        }
        RawSpread::Around(half, relative) => around(low, half, relative, spot, accepts),
        RawSpread::UpTo(high) => up_to(low, high, spot, accepts),
    }
}

fn accept(unit: &Unit, spot: Spot<'_>, accepts: &[Kind]) -> Result<()> {
    if accepts.contains(&unit.kind()) {
        Ok(())
    } else {
        Err(complaint::wrong_kind(spot, unit.kind(), accepts))
    }
}

fn around(
    low: Raw<'_>,
    half: Raw<'_>,
    relative: Option<Spot<'_>>,
    spot: Spot<'_>,
    accepts: &[Kind],
) -> Result<Reading> {
    let unit = match (low.unit, half.unit) {
        (Some(unit), _) => unit,
        (None, None) => return Err(complaint::no_unit(spot, accepts)),
        // A percentage that cannot be the value's is its relative doubt.
        (None, Some(unit)) => {
            let percent = unit == Unit::PERCENT;
            if percent && (relative.is_some() || !accepts.contains(&Kind::Share)) {
                return Err(complaint::no_unit(low.spot, accepts));
            }
            unit
        }
    };
    accept(unit, low.unit.map_or(spot, |_| low.spot), accepts)?;
    if !half.more.is_empty() {
        return Err(complaint::doubt_in_parts(half.spot));
    }
    let last = low.more.last().map_or(unit, |part| part.unit);
    let half_unit = half
        .unit
        .ok_or_else(|| complaint::doubt_without_unit(half.spot, last))?;
    if half.negative && half.number.value() > 0.0 {
        let positive = half.number.text();
        return Err(complaint::negative_doubt(half.spot, positive, half_unit));
    }
    let percent = half_unit == Unit::PERCENT;
    if let (Some(word), false) = (relative, percent) {
        return Err(complaint::relative_without_percent(word));
    }
    let relative = relative.is_some() || percent && unit != Unit::PERCENT;
    if relative && unit.kind() == Kind::Temperature {
        return Err(complaint::doubt_of_degrees(half.spot, unit));
    }
    if !relative && half_unit.kind() != unit.kind() {
        return Err(complaint::doubt_of_another_kind(
            half.spot,
            half_unit.kind(),
            last,
        ));
    }
    let basis = one_basis(&low, &half, unit, spot)?;
    let half_spot = half.spot;
    let reading = Reading {
        basis,
        amount: low.amount(unit)?,
        spread: Spread::Around {
            half: half.amount(half_unit)?.first,
            relative,
        },
    };
    match reading.doubt() {
        Doubt::HalfWidth(half) if half.is_finite() => Ok(reading),
        _ => Err(complaint::too_large(half_spot)),
    }
}

fn up_to(low: Raw<'_>, high: Raw<'_>, spot: Spot<'_>, accepts: &[Kind]) -> Result<Reading> {
    let unit = match (low.unit, high.unit) {
        (Some(unit), _) => unit,
        (None, Some(unit)) if high.more.is_empty() => unit,
        (None, Some(_)) => return Err(complaint::no_unit(low.spot, accepts)),
        (None, None) => return Err(complaint::no_unit(spot, accepts)),
    };
    accept(unit, low.unit.map_or(spot, |_| low.spot), accepts)?;
    let high_unit = high
        .unit
        .ok_or_else(|| complaint::end_without_unit(high.spot, unit))?;
    if high_unit.kind() != unit.kind() {
        return Err(complaint::end_of_another_kind(
            high.spot,
            high_unit.kind(),
            unit.kind(),
        ));
    }
    let basis = one_basis(&low, &high, unit, spot)?;
    let amount = low.amount(unit)?;
    let high = high.amount(high_unit)?;
    let width = high.base() - amount.base();
    if !width.is_finite() {
        return Err(complaint::too_large(spot));
    }
    if width == 0.0 {
        let alone = Reading {
            amount,
            basis,
            spread: Spread::None,
        };
        return Err(complaint::range_of_nothing(spot, &alone.to_string()));
    }
    if width < 0.0 {
        let mixed = amount.with_fraction(&high);
        let upwards = Reading {
            amount: high,
            basis,
            spread: Spread::UpTo(amount),
        };
        let upwards = upwards.to_string();
        return Err(complaint::range_downwards(spot, &upwards, mixed.as_deref()));
    }
    Ok(Reading {
        amount,
        basis,
        spread: Spread::UpTo(high),
    })
}

/// The basis that stands once, or twice alike, behind a percentage.
fn one_basis(low: &Raw<'_>, other: &Raw<'_>, unit: &Unit, spot: Spot<'_>) -> Result<Option<Basis>> {
    let basis = low.basis.or(other.basis);
    if basis.is_some() && unit != Unit::PERCENT {
        return Err(complaint::basis_of_no_percentage(spot));
    }
    match (low.basis, other.basis) {
        (Some(one), Some(two)) if one != two => Err(complaint::two_bases(spot)),
        _ => Ok(basis),
    }
}

/// Below this, in SI base units, what is no zero is too small: squared and divided on
/// the way it would come to nothing.
pub const NEXT_TO_NOTHING: f64 = 1e-100;

impl Raw<'_> {
    /// With its unit, when the quantity can be held.
    fn amount(self, unit: &'static Unit) -> Result<Amount> {
        let is_zero =
            self.number.value() == 0.0 && self.more.iter().all(|part| part.number.value() == 0.0);
        let amount = Amount {
            negative: self.negative && !is_zero,
            first: Part {
                number: self.number,
                unit,
            },
            more: self.more,
        };
        let size = amount.size();
        if !amount.base().is_finite() || !size.is_finite() {
            Err(complaint::too_large(self.spot))
        } else if size.abs() < NEXT_TO_NOTHING && !is_zero {
            Err(complaint::too_small(self.spot))
        } else {
            Ok(amount)
        }
    }
}
