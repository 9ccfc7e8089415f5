//! What is said about a text that cannot be read: message, hint and place.

use super::cursor::Spot;
use super::naming::{Ambiguous, nearest};
use super::{Kind, Unit};
use crate::error::{Error, ErrorKind};

/// Words as a list: "a, b or c".
fn list(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// The units to name for the kinds, each with a number in front or alone.
fn units(accepts: &[Kind], number: &str) -> String {
    let each = match accepts {
        // Where a share alone is asked for, it is one said in per cent.
        [Kind::Share] => 1,
        [_] => 5,
        [_, _] => 2,
        _ => 1,
    };
    let words: Vec<_> = accepts
        .iter()
        .flat_map(|kind| kind.likely().iter().take(each))
        .map(|unit| format!("{number}{}", unit.plural()))
        .collect();
    list(&words, "or")
}

fn kinds(accepts: &[Kind]) -> String {
    let words: Vec<_> = accepts.iter().map(|kind| kind.words().to_owned()).collect();
    list(&words, "or")
}

fn with_unit(number: &str, unit: Option<&Unit>) -> String {
    unit.map_or_else(
        || number.to_owned(),
        |unit| unit.behind(number).replace('\u{a0}', " "),
    )
}

pub(super) fn empty(spot: Spot<'_>, accepts: &[Kind]) -> Error {
    spot.error(ErrorKind::Empty, "nothing stands here".to_owned())
        .with_hint(format!("write {}", units(accepts, "10 ")))
}

pub(super) fn not_a_number(spot: Spot<'_>, accepts: &[Kind]) -> Error {
    let message = format!("{} does not begin with a number", spot.quote());
    spot.error(ErrorKind::Number, message)
        .with_hint(format!("write {}", units(accepts, "10 ")))
}

pub(super) fn not_a_finite_number(spot: Spot<'_>) -> Error {
    let message = format!("{} is no number to measure", spot.quote());
    spot.error(ErrorKind::Number, message)
        .with_hint("write it in digits")
}

pub(super) fn grouped(spot: Spot<'_>, marks: &[char]) -> Error {
    let message = format!("{} has its digits in groups", spot.quote());
    spot.error(ErrorKind::Number, message)
        .with_hint(format!("write {}", spot.words().replace(marks, "")))
}

pub(super) fn not_a_fraction(spot: Spot<'_>) -> Error {
    let message = format!("{} is not a fraction", spot.quote());
    spot.error(ErrorKind::Number, message)
        .with_hint("write a fraction of whole numbers, as in 1 1/2 or ½")
}

pub(super) fn two_readings(spot: Spot<'_>, readings: &[String; 2], unit: Option<&Unit>) -> Error {
    let message = format!("{} can be read in two ways", spot.quote());
    spot.error(ErrorKind::Number, message).with_hint(format!(
        "write {} or {}",
        with_unit(&readings[0], unit),
        with_unit(&readings[1], unit)
    ))
}

pub(super) fn comma_and_point(
    spot: Spot<'_>,
    readings: &[String; 2],
    unit: Option<&Unit>,
) -> Error {
    let message = format!("{} has a comma and a point", spot.quote());
    spot.error(ErrorKind::Number, message).with_hint(format!(
        "write {} or {}",
        with_unit(&readings[0], unit),
        with_unit(&readings[1], unit)
    ))
}

pub(super) fn many_marks(spot: Spot<'_>, unit: Option<&Unit>) -> Error {
    let message = format!("{} has more than one decimal mark", spot.quote());
    let plain = spot.words().replace([',', '.'], "");
    spot.error(ErrorKind::Number, message).with_hint(format!(
        "write {} if the marks only group the digits",
        with_unit(&plain, unit)
    ))
}

pub(super) fn too_large(spot: Spot<'_>) -> Error {
    let message = format!("{} is too large a number", spot.quote());
    spot.error(ErrorKind::OutOfRange, message)
        .with_hint("write a larger unit and a smaller number")
}

pub(super) fn too_small(spot: Spot<'_>) -> Error {
    let message = format!("{} is too small a number", spot.quote());
    spot.error(ErrorKind::OutOfRange, message)
        .with_hint("write a smaller unit and a larger number")
}

pub(super) fn two_numbers(spot: Spot<'_>) -> Error {
    let message = format!("{} is two numbers", spot.quote());
    spot.error(ErrorKind::Number, message)
        .with_hint("write one number, or a unit behind each")
}

pub(super) fn no_unit(spot: Spot<'_>, accepts: &[Kind]) -> Error {
    let message = format!("{} has no unit", spot.quote());
    let number = format!("{} ", spot.plain());
    spot.error(ErrorKind::NoUnit, message)
        .with_hint(format!("write {}", units(accepts, &number)))
}

pub(super) fn unknown_unit(spot: Spot<'_>, accepts: &[Kind]) -> Error {
    let message = format!("{} is not a unit known here", spot.quote());
    let near = nearest(spot.words(), |unit| accepts.contains(&unit.kind()));
    spot.error(ErrorKind::UnknownUnit, message)
        .with_hint(match near {
            Some(near) => format!("did you mean {near}?"),
            None if spot.words().contains('/') && accepts != [Kind::Share] => {
                format!("write {}", quotients(accepts))
            }
            None => format!("write {}", units(accepts, "")),
        })
}

/// The units to name to somebody who typed a quotient of two: those that are
/// quotients too, where there are such.
fn quotients(accepts: &[Kind]) -> String {
    let words: Vec<_> = accepts
        .iter()
        .flat_map(|kind| kind.likely())
        .filter(|unit| unit.symbol().contains('/'))
        .map(|unit| unit.plural().to_owned())
        .collect();
    if words.is_empty() {
        units(accepts, "")
    } else {
        list(&words, "or")
    }
}

/// A word that is near no unit, where words may follow a quantity: what is
/// missing is the unit, and the word is one of those that follow.
pub(super) fn word_for_a_unit(number: Spot<'_>, word: Spot<'_>, accepts: &[Kind]) -> Error {
    match nearest(word.words(), |unit| accepts.contains(&unit.kind())) {
        None if !word.words().contains('/') => no_unit(number, accepts),
        _ => unknown_unit(word, accepts),
    }
}

pub(super) fn ambiguous_unit(spot: Spot<'_>, ambiguous: &Ambiguous) -> Error {
    let message = format!("{} can mean {}", spot.quote(), ambiguous.readings);
    spot.error(ErrorKind::AmbiguousUnit, message)
        .with_hint(format!("write {}", ambiguous.instead))
}

pub(super) fn wrong_kind(spot: Spot<'_>, is: Kind, accepts: &[Kind]) -> Error {
    let message = format!(
        "{} is {}, and {} is asked for",
        spot.quote(),
        is.words(),
        kinds(accepts)
    );
    spot.error(ErrorKind::WrongKind, message)
        .with_hint(format!("write it in {}", units(accepts, "")))
}

/// A dot or a comma between a unit and a digit: it ends the unit, or it is
/// the decimal mark.
pub(super) fn mark_behind_unit(spot: Spot<'_>, mark: char, next: Option<&Unit>) -> Error {
    let message = format!("{} can be read in two ways", spot.quote());
    let plain = spot.plain();
    let (before, number) = plain.rsplit_once(mark).unwrap_or((&plain, ""));
    let whole = with_unit(number, next);
    let part = with_unit(&format!("0.{number}"), next);
    spot.error(ErrorKind::Number, message)
        .with_hint(format!("write {before} {whole} or {before} {part}"))
}

pub(super) fn part_of_another_kind(spot: Spot<'_>, is: Kind, first: Kind) -> Error {
    let message = format!(
        "{} is {}, and stands behind {}",
        spot.quote(),
        is.words(),
        first.words()
    );
    spot.error(ErrorKind::WrongKind, message)
        .with_hint("write one quantity")
}

pub(super) fn part_of_one_whole(spot: Spot<'_>, is: Kind) -> Error {
    let message = format!(
        "{} stands behind another, and {} has no parts",
        spot.quote(),
        is.words()
    );
    spot.error(ErrorKind::Stray, message)
        .with_hint("write one number, or a range such as 11–13 %")
}

pub(super) fn part_not_smaller(spot: Spot<'_>) -> Error {
    let message = format!(
        "{} has no smaller unit than the part before it",
        spot.quote()
    );
    spot.error(ErrorKind::Stray, message)
        .with_hint("write each unit once, the larger first, as in 1 lb 6 oz")
}

pub(super) fn no_value(spot: Spot<'_>) -> Error {
    let message = format!("there is no value before {}", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write the value first, as in 11.2 % ± 0.5 %")
}

pub(super) fn no_doubt(spot: Spot<'_>) -> Error {
    let message = format!("there is no number behind {}", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write the half-width of the 95 % interval, as in 11.2 % ± 0.5 %")
}

pub(super) fn no_end(spot: Spot<'_>) -> Error {
    let message = format!("there is no number behind {}", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write both ends of the range, as in 11–13 %")
}

pub(super) fn doubt_without_unit(spot: Spot<'_>, unit: &Unit) -> Error {
    let message = format!("the doubt {} has no unit", spot.quote());
    spot.error(ErrorKind::NoUnit, message)
        .with_hint(format!("write ± {}", with_unit(&spot.plain(), Some(unit))))
}

pub(super) fn end_without_unit(spot: Spot<'_>, unit: &Unit) -> Error {
    let message = format!("{} has no unit", spot.quote());
    spot.error(ErrorKind::NoUnit, message)
        .with_hint(format!("write {}", with_unit(&spot.plain(), Some(unit))))
}

pub(super) fn doubt_in_parts(spot: Spot<'_>) -> Error {
    let message = format!("the doubt {} has several parts", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write it as one number with one unit")
}

pub(super) fn negative_doubt(spot: Spot<'_>, positive: &str, unit: &Unit) -> Error {
    let message = format!("the doubt {} is below zero", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint(format!("write ± {}", with_unit(positive, Some(unit))))
}

pub(super) fn doubt_of_another_kind(spot: Spot<'_>, is: Kind, unit: &Unit) -> Error {
    let kind = unit.kind();
    let message = format!(
        "the doubt {} is {}, and the value is {}",
        spot.quote(),
        is.words(),
        kind.words()
    );
    let percent = if matches!(kind, Kind::Temperature | Kind::Share) {
        ""
    } else {
        " or %"
    };
    spot.error(ErrorKind::Doubt, message)
        .with_hint(format!("write the doubt in {}{percent}", unit.plural()))
}

pub(super) fn doubt_of_degrees(spot: Spot<'_>, unit: &Unit) -> Error {
    let message = format!(
        "the doubt {} is a percentage, and degrees have none",
        spot.quote()
    );
    spot.error(ErrorKind::Doubt, message)
        .with_hint(format!("write ± 1 {}", unit.symbol()))
}

pub(super) fn relative_without_percent(spot: Spot<'_>) -> Error {
    let message = format!(
        "{} makes a percentage relative, and there is none",
        spot.quote()
    );
    spot.error(ErrorKind::Doubt, message)
        .with_hint("leave it out, or write ± 5 % rel")
}

pub(super) fn end_of_another_kind(spot: Spot<'_>, is: Kind, first: Kind) -> Error {
    let message = format!(
        "{} is {}, and the range begins with {}",
        spot.quote(),
        is.words(),
        first.words()
    );
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write both ends in one unit, as in 11–13 %")
}

pub(super) fn range_downwards(spot: Spot<'_>, upwards: &str, mixed: Option<&str>) -> Error {
    let message = format!("the range {} runs downwards", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint(match mixed {
            Some(mixed) => format!("write {mixed}, or {upwards} for a range"),
            None => format!("write {upwards}"),
        })
}

pub(super) fn range_of_nothing(spot: Spot<'_>, alone: &str) -> Error {
    let message = format!("the range {} has no width", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint(format!("write {alone}"))
}

pub(super) fn two_doubts(spot: Spot<'_>) -> Error {
    let message = format!("{} is a second doubt", spot.quote());
    spot.error(ErrorKind::Doubt, message)
        .with_hint("write either a range or one ±")
}

pub(super) fn two_bases(spot: Spot<'_>) -> Error {
    let message = format!("{} is on two bases", spot.quote());
    spot.error(ErrorKind::Stray, message)
        .with_hint("write wb or db once, at the end")
}

pub(super) fn basis_of_no_percentage(spot: Spot<'_>) -> Error {
    let message = format!(
        "{} has a basis, and the value is no percentage",
        spot.quote()
    );
    spot.error(ErrorKind::Stray, message)
        .with_hint("leave the basis out")
}

pub(super) fn no_such_basis(spot: Spot<'_>) -> Error {
    let message = format!("{} behind a percentage is no basis", spot.quote());
    spot.error(ErrorKind::Stray, message)
        .with_hint("write wb (of the whole), db (of the dry matter) or neither")
}

pub(super) fn second_unit(spot: Spot<'_>) -> Error {
    let message = format!("{} is a second unit", spot.quote());
    spot.error(ErrorKind::Stray, message)
        .with_hint("write the unit once: inside the brackets or behind them")
}

pub(super) fn open_bracket(spot: Spot<'_>) -> Error {
    let message = format!("{} has an open bracket", spot.quote());
    spot.error(ErrorKind::Stray, message)
        .with_hint("close it, as in (11.2 ± 0.5) %")
}

pub(super) fn stray(spot: Spot<'_>, before: Spot<'_>) -> Error {
    let message = format!("{} stands behind the quantity", spot.quote());
    spot.error(ErrorKind::Stray, message)
        .with_hint(format!("write {} alone", before.plain()))
}
