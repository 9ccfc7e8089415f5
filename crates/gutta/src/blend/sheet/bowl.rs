//! A bowl that leaf lies in already: the sheet of a repair.

use super::Sheet;
use crate::blend::repair::{Restored, Restoring, Weighed};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Digits, Estimate, Mass, Measured, Scalar, Unit, quantity};

/// What rounding leaves of a component that is all there, as a part of it.
const ALL_THERE: f64 = 1e-9;

impl Sheet {
    /// What brings the bowl into its ratio with the least leaf: the size that a
    /// repair is made at.
    ///
    /// # Errors
    /// As [`Restoring::restore`].
    pub fn restored(&self) -> Result<Restored> {
        let parts = self.shares.lines().iter().enumerate();
        let restoring = Restoring {
            parts: parts
                .map(|(at, line)| Weighed {
                    name: line.name().to_owned(),
                    in_pan: Measured::exact(self.in_bowl_of(at)),
                    share: line.share(),
                    at: self.lots.get(at).copied().flatten(),
                    source: Some(self.source(at)),
                    stock: None,
                })
                .collect(),
            basis: self.basis,
        };
        restoring.restore()
    }

    /// What lies in the bowl of a component.
    pub fn in_bowl_of(&self, component: usize) -> Mass {
        let none = Mass::of_base(0.0);
        self.in_bowl.get(component).copied().unwrap_or(none)
    }

    /// What is still to be weighed of each component.
    pub(super) fn still_to_weigh(&self, masses: &[Estimate<Mass>]) -> Result<Vec<Mass>> {
        let each = masses.iter().enumerate().map(|(at, mass)| {
            let (all, there) = (mass.best(), self.in_bowl_of(at));
            let add = all - there;
            if add.base().abs() <= ALL_THERE * all.base() {
                return Ok(Mass::of_base(0.0));
            }
            if add.base() > 0.0 {
                return Ok(add);
            }
            let grams = |mass: Mass| quantity(mass.base(), Unit::GRAM, Digits::AtMost(4));
            let least = self.restored().map(|restored| restored.batch.best());
            Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "{} of {} lie in the bowl, and the batch takes {}",
                    grams(there),
                    self.shares.lines()[at].name(),
                    grams(all)
                ),
            )
            .with_hint(match least {
                Ok(least) => format!("make {} of leaf as weighed or more", grams(least)),
                Err(_) => "make a larger batch".to_owned(),
            }))
        });
        each.collect()
    }
}
