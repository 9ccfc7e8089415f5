//! Named shares that make a whole.

use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{Mass, Ratio, Scalar};

/// How near a sum must come to its whole, as a share of it: what rounding
/// leaves of decimal fractions.
const SUM: f64 = 1e-9;

/// The least share of a formula: a microgram in a tonne. Below it sums keep no
/// digit of it.
const LEAST: f64 = 1e-12;

/// The amounts of a formula, all lines of one kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Amounts {
    /// Parts of any total.
    Parts(Vec<f64>),
    /// Percent; they sum to 100.
    Percent(Vec<f64>),
    /// Masses of any total.
    Masses(Vec<Mass>),
    /// Avoirdupois ounces in the pound; they sum to 16.
    OuncesPerPound(Vec<f64>),
}

/// One line of a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    name: String,
    share: Ratio,
}

impl Component {
    /// What it is called.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its share of the whole, above 0 and at most 1.
    pub const fn share(&self) -> Ratio {
        self.share
    }
}

/// Named shares, each above 0, that sum to 1.
///
/// ```
/// use gutta::blend::formula::{Amounts, Shares};
/// use gutta::measure::Mass;
/// use uom::si::{mass::gram, ratio::percent};
/// let parts = Shares::new(&["flue-cured", "oriental"], &Amounts::Parts(vec![3.0, 1.0]))?;
/// assert_eq!(parts.lines()[1].share().get::<percent>(), 25.0);
/// assert_eq!(parts.of(Mass::new::<gram>(28.0))[0].get::<gram>(), 21.0);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Shares(Vec<Component>);

impl Shares {
    /// The shares of named components, an amount each.
    ///
    /// # Errors
    /// When there is no component, a name is empty or stands twice, a name has
    /// no amount, or an amount is not above 0 or below 1e-12 of all; a refusal when percentages do not
    /// sum to 100, or ounces per pound to 16, within a billionth.
    pub fn new<N: AsRef<str>>(names: &[N], amounts: &Amounts) -> Result<Self> {
        let numbers = amounts.numbers();
        if names.is_empty() {
            return Err(Error::new(ErrorKind::Empty, "a formula needs a component")
                .with_hint("name each component with its share: \"46% flue-cured\""));
        }
        if names.len() != numbers.len() {
            return Err(Error::new(
                ErrorKind::Composition,
                format!("{} names and {} amounts", names.len(), numbers.len()),
            )
            .with_hint("give each component one amount"));
        }
        let names: Vec<&str> = names.iter().map(|name| name.as_ref().trim()).collect();
        for (i, (name, amount)) in names.iter().zip(&numbers).enumerate() {
            if name.is_empty() {
                return Err(
                    Error::new(ErrorKind::Empty, format!("line {} has no name", i + 1))
                        .with_hint("name the component: \"46% flue-cured\""),
                );
            }
            let is_it = |other: &&str| other.to_lowercase() == name.to_lowercase();
            if names[..i].iter().any(is_it) {
                return Err(Error::new(
                    ErrorKind::Composition,
                    format!("{name} stands twice in the formula"),
                )
                .with_hint("give it one line, or name the lots apart"));
            }
            if !(amount.is_finite() && *amount > 0.0) {
                return Err(Error::new(
                    ErrorKind::OutOfRange,
                    format!("the amount of {name} must be above 0"),
                )
                .with_hint("leave out what does not go in"));
            }
        }
        let sum: f64 = numbers.iter().sum();
        if !sum.is_finite() {
            return Err(
                Error::new(ErrorKind::OutOfRange, "the amounts are too large")
                    .with_hint("give them as percent or small parts"),
            );
        }
        let lost = |(_, amount): &(&&str, &f64)| **amount / sum < LEAST;
        if let Some((name, _)) = names.iter().zip(&numbers).find(lost) {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                format!("the amount of {name} is nothing beside the rest"),
            )
            .with_hint("leave out what does not go in"));
        }
        amounts.check_sum(&names, &numbers, sum)?;
        Ok(Self::of_amounts(names.iter().copied().zip(numbers)))
    }

    /// Amounts above 0 under names that differ, as shares.
    pub(in crate::blend) fn of_amounts<N: Into<String>>(
        amounts: impl IntoIterator<Item = (N, f64)>,
    ) -> Self {
        let amounts: Vec<(String, f64)> = amounts
            .into_iter()
            .map(|(name, a)| (name.into(), a))
            .collect();
        let sum: f64 = amounts.iter().map(|(_, amount)| amount).sum();
        let line = |(name, amount)| Component {
            name,
            share: Ratio::of_base(amount / sum),
        };
        Self(amounts.into_iter().map(line).collect())
    }

    /// The components, in the order they were named.
    pub fn lines(&self) -> &[Component] {
        &self.0
    }

    /// The share of a component, if it is in the formula.
    pub fn share(&self, name: &str) -> Option<Ratio> {
        let line = self.0.iter().find(|line| line.name == name)?;
        Some(line.share)
    }

    /// What to weigh of each component for a batch, on the basis of the shares.
    pub fn of(&self, batch: Mass) -> Vec<Mass> {
        self.0.iter().map(|line| batch * line.share).collect()
    }

    /// Shares as weighed, as shares of the dry matter: s_i (1 − m_i), over
    /// their sum.
    ///
    /// # Errors
    /// When there is not one moisture for each component.
    pub fn to_dry(&self, lots: &[Moisture]) -> Result<Self> {
        self.rebased(lots, |share, at| share * at.dry_share().base())
    }

    /// Shares of the dry matter, as shares as weighed: s_i/(1 − m_i), over
    /// their sum.
    ///
    /// # Errors
    /// When there is not one moisture for each component.
    pub fn to_as_weighed(&self, lots: &[Moisture]) -> Result<Self> {
        self.rebased(lots, |share, at| share / at.dry_share().base())
    }

    fn rebased(&self, lots: &[Moisture], by: fn(f64, Moisture) -> f64) -> Result<Self> {
        self.check_lots(lots.len())?;
        Ok(Self::of_amounts(self.0.iter().zip(lots).map(
            |(line, at)| (line.name.as_str(), by(line.share.base(), *at)),
        )))
    }

    pub(in crate::blend) fn check_lots(&self, lots: usize) -> Result<()> {
        if lots == self.0.len() {
            return Ok(());
        }
        Err(Error::new(
            ErrorKind::Missing,
            format!("{} components and {lots} moistures", self.0.len()),
        )
        .with_hint("give the moisture of each lot, in the order of the formula"))
    }
}

impl Amounts {
    fn numbers(&self) -> Vec<f64> {
        match self {
            Self::Parts(all) | Self::Percent(all) | Self::OuncesPerPound(all) => all.clone(),
            Self::Masses(all) => all.iter().map(|mass| mass.base()).collect(),
        }
    }

    fn check_sum(&self, names: &[&str], numbers: &[f64], sum: f64) -> Result<()> {
        let (whole, unit) = match self {
            Self::Percent(_) => (100.0, "%"),
            Self::OuncesPerPound(_) => (16.0, "oz"),
            Self::Parts(_) | Self::Masses(_) => return Ok(()),
        };
        if (sum - whole).abs() <= SUM * whole {
            return Ok(());
        }
        // The largest line changes least, for its size.
        let largest = numbers
            .iter()
            .enumerate()
            .fold(0, |best, (i, n)| if *n > numbers[best] { i } else { best });
        let mended = numbers[largest] + whole - sum;
        let parts = "type the same numbers as parts";
        let hint = if mended > 0.0 {
            format!(
                "make {} {} {unit}, or {parts}",
                names[largest],
                short(mended)
            )
        } else {
            parts.to_owned()
        };
        Err(Error::new(
            ErrorKind::Refused,
            format!(
                "the shares sum to {} {unit}, not to {whole} {unit}",
                short(sum)
            ),
        )
        .with_hint(hint))
    }
}

/// A number for a message: nine decimals at most.
pub(super) fn short(number: f64) -> f64 {
    (number * 1e9).round() / 1e9
}
