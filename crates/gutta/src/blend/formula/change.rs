//! Two versions of a formula, and one thing changed.

use super::shares::{Component, Shares, short};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Ratio, Scalar};

/// A difference in share below this is what rounding leaves.
const SAME: f64 = 1e-12;

/// Who makes room for a share that is raised, or takes what one gives up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GivesWay<'a> {
    /// All others, each in proportion to its share.
    ProRata,
    /// One component, named.
    Named(&'a str),
}

/// What became of one component from one version to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct ShareChange {
    /// The component.
    pub name: String,
    /// Its share before; 0 when it was not in the formula.
    pub before: Ratio,
    /// Its share after; 0 when it is no longer in the formula.
    pub after: Ratio,
}

impl ShareChange {
    /// After less before; 0.01 is one point of share. All of a formula sum to 0.
    pub fn points(&self) -> Ratio {
        self.after - self.before
    }

    /// Whether it has less than before, beyond rounding.
    pub fn gave_way(&self) -> bool {
        self.points().base() < -SAME
    }

    /// Whether it has more than before, beyond rounding.
    pub fn was_raised(&self) -> bool {
        self.points().base() > SAME
    }
}

/// What became of each component: those of the first version in its order, then
/// what is new.
pub fn difference(before: &Shares, after: &Shares) -> Vec<ShareChange> {
    let none = Ratio::of_base(0.0);
    let old = before.lines().iter();
    let new = after.lines().iter();
    old.chain(new.filter(|line| before.share(line.name()).is_none()))
        .map(|line| ShareChange {
            name: line.name().to_owned(),
            before: before.share(line.name()).unwrap_or(none),
            after: after.share(line.name()).unwrap_or(none),
        })
        .collect()
}

impl Shares {
    /// The formula with one share brought to `to`, as a ratio of the whole. Pro
    /// rata, each other s becomes s (1 − s₁′)/(1 − s₁).
    ///
    /// # Errors
    /// When a component is not in the formula; a refusal when `to` is not above
    /// 0 and below 100 %, when there is no other to give way, when the named one
    /// has no more than it must give, and when it is the changed one itself.
    pub fn with_share(&self, name: &str, to: Ratio, gives_way: GivesWay<'_>) -> Result<Self> {
        let from = self.known(name)?;
        let to = to.base();
        if self.lines().len() == 1 {
            return Err(refused(
                format!("{name} is all there is, and nothing can give way"),
                "add another component first",
            ));
        }
        if !(to > 0.0 && to < 1.0) {
            return Err(refused(
                format!("{name} must stay above 0 % and below 100 %"),
                "write another formula to leave a component out",
            ));
        }
        let takes = to - from;
        let given = match gives_way {
            GivesWay::ProRata => None,
            GivesWay::Named(giver) => {
                let has = self.known(giver)?;
                if giver == name {
                    return Err(refused(
                        format!("{name} cannot give way to itself"),
                        "name another component, or let all others give way",
                    ));
                }
                if takes - has >= -SAME {
                    return Err(refused(
                        format!(
                            "{name} at {} % takes {} points, and {giver} has {}",
                            short(to * 100.0),
                            short(takes * 100.0),
                            short(has * 100.0)
                        ),
                        format!(
                            "stay below {} %, or let all others give way",
                            short((from + has) * 100.0)
                        ),
                    ));
                }
                Some(giver)
            }
        };
        // The others as they are summed, so that a share near 100 % leaves what
        // there is and not what rounding makes of it.
        let others = self.lines().iter().filter(|line| line.name() != name);
        let rest: f64 = others.map(|line| line.share().base()).sum();
        let share = |line: &Component| {
            let share = line.share().base();
            match given {
                _ if line.name() == name => to,
                None => share * ((1.0 - to) / rest),
                Some(giver) if line.name() == giver => share - takes,
                Some(_) => share,
            }
        };
        let lines = self.lines().iter();
        Ok(Self::of_amounts(
            lines.map(|line| (line.name(), share(line))),
        ))
    }

    fn known(&self, name: &str) -> Result<f64> {
        self.share(name).map(Scalar::base).ok_or_else(|| {
            let names: Vec<&str> = self.lines().iter().map(Component::name).collect();
            Error::new(ErrorKind::Missing, format!("{name} is not in the formula"))
                .with_hint(format!("it has {}", names.join(", ")))
        })
    }
}

fn refused(message: String, hint: impl Into<String>) -> Error {
    Error::new(ErrorKind::Refused, message).with_hint(hint)
}
