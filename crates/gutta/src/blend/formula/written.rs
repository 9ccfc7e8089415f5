//! The lines of a formula as they are written: `46 % flue-cured`, `0.9 g/kg on
//! dry: fig tincture`, `8 % liquid on as-weighed: plum casing`.

use std::fmt;

use super::{Amounts, Shares};
use crate::bench::{LeafBasis, Rate, RateOf};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    CASING_RATE, DOSE, Kind, Mass, Measured, Range, Ratio, Reading, Scalar, Unit, leading_number,
    read_leading,
};

/// How much of a component, in one of the ways that formulas are written.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// Parts of any total.
    Parts(f64),
    /// Per cent.
    Percent(f64),
    /// A mass.
    Mass(Mass),
    /// Avoirdupois ounces in the pound.
    OuncesPerPound(f64),
}

impl Amount {
    /// What lines of this kind are called.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Parts(_) => "parts",
            Self::Percent(_) => "per cent",
            Self::Mass(_) => "masses",
            Self::OuncesPerPound(_) => "ounces per pound",
        }
    }
}

/// One line of leaf: how much, and of what.
///
/// ```
/// use gutta::blend::formula::{Amount, ShareLine};
/// let line: ShareLine = "9 parts flue-cured".parse()?;
/// assert_eq!((line.amount, line.name.as_str()), (Amount::Parts(9.0), "flue-cured"));
/// let line: ShareLine = "4 oz/lb oriental".parse()?;
/// assert_eq!(line.amount, Amount::OuncesPerPound(4.0));
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct ShareLine {
    /// How much.
    pub amount: Amount,
    /// Of what.
    pub name: String,
}

/// One line of flavouring: `0.9 g/kg on dry: fig tincture`.
#[derive(Clone, Debug, PartialEq)]
pub struct DoseLine {
    /// Flavouring over leaf: exact where it is written, with its doubt where it is
    /// what a trial was given.
    pub dose: Measured<Ratio>,
    /// The same, as it is written.
    pub typed: Reading,
    /// The leaf that it is counted on.
    pub basis: LeafBasis,
    /// The name of the flavouring, and where it begins in the line.
    pub liquid: (String, usize),
}

/// One line of casing: `8 % liquid on as-weighed: plum casing`.
#[derive(Clone, Debug, PartialEq)]
pub struct RateLine {
    /// Casing over leaf, of the liquid or of its solids.
    pub rate: Rate,
    /// The share, as it is written.
    pub typed: Reading,
    /// The name of the casing, and where it begins in the line.
    pub liquid: (String, usize),
}

/// What to write for a line of leaf.
pub const SHARE_FORM: &str = "write how much and then the name, such as \"46 % flue-cured\", \"9 parts flue-cured\", \"15.75 g flue-cured\" or \"9 oz/lb flue-cured\"";

/// What to write for a line of flavouring.
pub const DOSE_FORM: &str = "write the dose, the leaf it is counted on and the liquid, such as \"0.9 g/kg on dry: fig tincture\" or \"2 g/kg on as-weighed: fig tincture\"";

/// What to write for a line of casing.
pub const RATE_FORM: &str = "write the rate, what of the casing it counts, the leaf and the casing, such as \"8 % liquid on as-weighed: plum casing\" or \"5 % solids on dry: plum casing\"";

fn stray(text: &str, at: usize, message: impl Into<String>, form: &str) -> Error {
    Error::new(ErrorKind::Stray, message)
        .with_hint(form)
        .with_place(text, at, text.len() - at)
}

impl std::str::FromStr for ShareLine {
    type Err = Error;

    /// # Errors
    /// When there is no amount, no name, or the amount has a doubt or a unit that
    /// is no share.
    fn from_str(text: &str) -> Result<Self> {
        let Some((number, end)) = leading_number(text)? else {
            return Err(stray(text, 0, "the line has no amount", SHARE_FORM));
        };
        let (amount, rest) = match behind_word(text, end) {
            Some(("part" | "parts", rest)) => (Amount::Parts(number), rest),
            Some((word, rest)) if word.eq_ignore_ascii_case("oz/lb") => {
                (Amount::OuncesPerPound(number), rest)
            }
            _ => measured(text)?,
        };
        let name = text[rest..].trim();
        if name.is_empty() {
            return Err(stray(text, 0, "the line has no name", SHARE_FORM));
        }
        let unseen = text[rest..].char_indices().find(|(_, c)| is_unseen(*c));
        if let Some((at, c)) = unseen {
            let error = Error::new(ErrorKind::Stray, "a character of this name does not show");
            return Err(error
                .with_hint("type the name again, with letters that can be seen")
                .with_place(text, rest + at, c.len_utf8()));
        }
        Ok(Self {
            amount,
            name: name.to_owned(),
        })
    }
}

/// Whether a character shows nothing, or turns others round: on a sheet it would
/// break a row, or make two names look like one.
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// The word behind a number, and where it ends.
fn behind_word(text: &str, end: usize) -> Option<(&str, usize)> {
    let rest = &text[end..];
    let start = end + rest.len() - rest.trim_start().len();
    let word = text[start..].split(char::is_whitespace).next()?;
    Some((word, start + word.len()))
}

/// A mass or per cent in front of a name.
fn measured(text: &str) -> Result<(Amount, usize)> {
    let (reading, end) = read_leading(text, &[Kind::Share, Kind::Mass])
        .map_err(|error| error.with_hint(SHARE_FORM))?;
    let whole = |message: &str| {
        Error::new(ErrorKind::Stray, message)
            .with_hint(SHARE_FORM)
            .with_place(text, 0, end)
    };
    if !reading.is_exact() {
        return Err(whole("a share of a formula is exact"));
    }
    if reading.basis().is_some() {
        return Err(whole("a share of a formula has no moisture basis"));
    }
    let amount = match reading.kind() {
        Kind::Mass => Amount::Mass(Mass::of_base(reading.base())),
        _ => Amount::Percent(Unit::PERCENT.from_base(reading.base())),
    };
    Ok((amount, end))
}

impl ShareLine {
    /// The shares that lines make together.
    ///
    /// # Errors
    /// As [`Shares::new`], and when the lines are not all of one kind. The number
    /// is that of the line to blame, where it is one.
    pub fn together(lines: &[Self]) -> std::result::Result<Shares, (Option<usize>, Error)> {
        let names: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        let first = lines.first().map(|line| &line.amount);
        let other = lines.iter().position(|line| {
            first.is_some_and(|first| {
                std::mem::discriminant(first) != std::mem::discriminant(&line.amount)
            })
        });
        if let (Some(at), Some(first)) = (other, first) {
            return Err((
                Some(at),
                Error::new(
                    ErrorKind::Composition,
                    format!("{} and {} are mixed", first.kind(), lines[at].amount.kind()),
                )
                .with_hint(format!("write every line in {}", first.kind())),
            ));
        }
        let number = |line: &Self| match line.amount {
            Amount::Parts(n) | Amount::Percent(n) | Amount::OuncesPerPound(n) => n,
            Amount::Mass(mass) => mass.base(),
        };
        let numbers = || lines.iter().map(number).collect();
        let amounts = match first {
            Some(Amount::Percent(_)) => Amounts::Percent(numbers()),
            Some(Amount::OuncesPerPound(_)) => Amounts::OuncesPerPound(numbers()),
            Some(Amount::Mass(_)) => {
                Amounts::Masses(numbers().into_iter().map(Mass::of_base).collect())
            }
            Some(Amount::Parts(_)) | None => Amounts::Parts(numbers()),
        };
        Shares::new(&names, &amounts).map_err(|error| (blamed(lines, &names, &number), error))
    }
}

/// The line that stands twice, or whose amount is not above nothing.
fn blamed(
    lines: &[ShareLine],
    names: &[&str],
    number: &impl Fn(&ShareLine) -> f64,
) -> Option<usize> {
    let is_twice = |i: &usize| {
        let name = names[*i].to_lowercase();
        names[..*i].iter().any(|other| other.to_lowercase() == name)
    };
    (0..lines.len()).find(|i| is_twice(i) || number(&lines[*i]) <= 0.0)
}

/// What stands in front of the colon of a liquid's line, and its name.
struct Head<'a> {
    typed: Reading,
    /// The words behind the number.
    words: &'a str,
    liquid: (String, usize),
}

fn head<'a>(text: &'a str, range: &Range, form: &str) -> Result<Head<'a>> {
    let Some(colon) = text.find(':') else {
        return Err(stray(text, 0, "there is no : in front of the liquid", form));
    };
    let name = &text[colon + 1..];
    let at = colon + 1 + name.len() - name.trim_start().len();
    if name.trim().is_empty() {
        return Err(stray(text, colon, "the line names no liquid", form));
    }
    let (typed, end) = read_leading(&text[..colon], &[Kind::Share]).map_err(|error| {
        let place = error.place().map(|place| (place.at, place.len));
        match place {
            Some((at, len)) => error.with_place(text, at, len),
            None => error.with_place(text, 0, colon),
        }
        .with_hint(form)
    })?;
    let whole = |error: Error| error.with_place(text, 0, end);
    if !typed.is_exact() {
        return Err(whole(
            Error::new(ErrorKind::Doubt, "what a formula asks for is exact").with_hint(form),
        ));
    }
    range
        .check_typed(typed.base(), &typed.to_string())
        .map_err(whole)?;
    Ok(Head {
        typed,
        words: text[end..colon].trim(),
        liquid: (name.trim().to_owned(), at),
    })
}

/// `on dry`, `on as-weighed`, and longer words for them.
fn basis(words: &str) -> Option<LeafBasis> {
    match words.strip_prefix("on ")?.trim() {
        "dry" | "dry leaf" => Some(LeafBasis::Dry),
        "as-weighed" | "as weighed" | "leaf as weighed" => Some(LeafBasis::AsWeighed),
        _ => None,
    }
}

impl std::str::FromStr for DoseLine {
    type Err = Error;

    /// # Errors
    /// When the dose cannot be read, is outside 0 to 1000 g/kg or carries a doubt,
    /// and when the basis or the liquid is not named.
    fn from_str(text: &str) -> Result<Self> {
        let head = head(text, &DOSE, DOSE_FORM)?;
        let Some(basis) = basis(head.words) else {
            return Err(stray(
                text,
                0,
                "it is not said which leaf the dose is counted on",
                DOSE_FORM,
            ));
        };
        Ok(Self {
            dose: Measured::exact(Ratio::of_base(head.typed.base())),
            typed: head.typed,
            basis,
            liquid: head.liquid,
        })
    }
}

impl std::str::FromStr for RateLine {
    type Err = Error;

    /// # Errors
    /// When the rate cannot be read, is outside its range or carries a doubt, and
    /// when it is not named what it counts, on which leaf, or of which casing.
    fn from_str(text: &str) -> Result<Self> {
        let head = head(text, &CASING_RATE, RATE_FORM)?;
        let (what, on) = head.words.split_once(' ').unwrap_or((head.words, ""));
        let of = match what {
            "liquid" => Some(RateOf::Liquid),
            "solids" => Some(RateOf::Solids),
            _ => None,
        };
        let (Some(of), Some(basis)) = (of, basis(on.trim())) else {
            return Err(stray(
                text,
                0,
                "it is not said what the rate counts, and on which leaf",
                RATE_FORM,
            ));
        };
        Ok(Self {
            rate: Rate {
                share: Ratio::of_base(head.typed.base()),
                of,
                basis,
            },
            typed: head.typed,
            liquid: head.liquid,
        })
    }
}

/// The word that a basis is written with.
const fn basis_word(basis: LeafBasis) -> &'static str {
    match basis {
        LeafBasis::AsWeighed => "as-weighed",
        LeafBasis::Dry => "dry",
    }
}

impl fmt::Display for DoseLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let basis = basis_word(self.basis);
        write!(f, "{} on {basis}: {}", self.typed, self.liquid.0)
    }
}

impl fmt::Display for RateLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (of, basis) = (self.rate.of.name(), basis_word(self.rate.basis));
        write!(f, "{} {of} on {basis}: {}", self.typed, self.liquid.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_read_in_each_way() {
        let read = |text: &str| {
            text.parse::<ShareLine>()
                .map(|line| (line.amount, line.name))
        };
        let named = |amount| Ok((amount, "dark leaf".to_owned()));
        assert_eq!(read("46 % dark leaf"), named(Amount::Percent(46.0)));
        assert_eq!(read("46% dark leaf"), named(Amount::Percent(46.0)));
        assert_eq!(read("1 part dark leaf"), named(Amount::Parts(1.0)));
        assert_eq!(read("½ parts  dark leaf "), named(Amount::Parts(0.5)));
        assert_eq!(read("2,5 parts dark leaf"), named(Amount::Parts(2.5)));
        assert_eq!(
            read("9 oz/lb dark leaf"),
            named(Amount::OuncesPerPound(9.0))
        );
        let gram = Amount::Mass(Mass::of_base(15.75e-3));
        assert_eq!(read("15.75 g dark leaf"), named(gram));
    }

    #[test]
    fn what_is_no_share_is_refused() {
        let message = |text: &str| text.parse::<ShareLine>().unwrap_err().to_string();
        assert_eq!(message("dark leaf"), "the line has no amount");
        assert_eq!(message("46 %"), "the line has no name");
        assert_eq!(message("9 parts"), "the line has no name");
        assert_eq!(message("46% ± 1% dark"), "a share of a formula is exact");
        assert_eq!(
            message("46% db dark"),
            "a share of a formula has no moisture basis"
        );
        assert_eq!(message("46 dark leaf"), "`46` has no unit");
        let unseen = "a character of this name does not show";
        for name in ["a\nb", "a\u{200b}", "\u{202e}a", "a\u{1b}[1m"] {
            assert_eq!(message(&format!("46 % {name}")), unseen);
        }
        assert_eq!(message("1,250 g dark"), "`1,250` can be read in two ways");
    }

    #[test]
    fn lines_are_of_one_kind_and_the_bad_one_is_named() {
        let lines = |all: &[&str]| {
            all.iter()
                .map(|t| t.parse().unwrap())
                .collect::<Vec<ShareLine>>()
        };
        let bad = |all: &[&str]| {
            let (at, error) = ShareLine::together(&lines(all)).unwrap_err();
            (at, error.to_string())
        };
        let whole = ShareLine::together(&lines(&["3 parts a", "1 part b"])).unwrap();
        assert_eq!(whole.lines()[1].share().base(), 0.25);
        assert_eq!(
            bad(&["46 % a", "2 parts b"]),
            (Some(1), "per cent and parts are mixed".to_owned())
        );
        assert_eq!(
            bad(&["3 parts a", "1 part b", "1 part a"]),
            (Some(2), "a stands twice in the formula".to_owned())
        );
        assert_eq!(
            bad(&["46 % a", "50 % b"]),
            (None, "the shares sum to 96 %, not to 100 %".to_owned())
        );
    }

    #[test]
    fn a_dose_and_a_rate_name_their_leaf() {
        let dose: DoseLine = "0.9 g/kg on dry: fig tincture".parse().unwrap();
        assert_eq!(dose.basis, LeafBasis::Dry);
        assert!((dose.dose.value().base() - 0.9e-3).abs() < 1e-15);
        assert_eq!(dose.liquid, ("fig tincture".to_owned(), 17));
        assert_eq!(dose.to_string(), "0.9 g/kg on dry: fig tincture");
        let rate: RateLine = "8% solids on leaf as weighed: plum casing".parse().unwrap();
        assert_eq!(rate.rate.of, RateOf::Solids);
        assert_eq!(rate.rate.basis, LeafBasis::AsWeighed);
        assert_eq!(rate.to_string(), "8 % solids on as-weighed: plum casing");
        let message = |text: &str| text.parse::<DoseLine>().unwrap_err().to_string();
        assert_eq!(
            message("0.9 g/kg fig tincture"),
            "there is no : in front of the liquid"
        );
        assert_eq!(
            message("0.9 g/kg: fig tincture"),
            "it is not said which leaf the dose is counted on"
        );
        assert_eq!(message("0.9 g/kg on dry:"), "the line names no liquid");
        assert_eq!(message("0.9 on dry: fig"), "`0.9` has no unit");
        let message = |text: &str| text.parse::<RateLine>().unwrap_err().to_string();
        assert_eq!(
            message("8 % on dry: plum casing"),
            "it is not said what the rate counts, and on which leaf"
        );
    }
}
