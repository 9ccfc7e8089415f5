//! A series of doses on portions of one base.

use super::dilution::WEIGHING_TOLERANCE;
use super::dose::LeafBasis;
use super::dosing::{Asked, Dosed, Dosing};
use super::drop::Drop;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{
    Density, Digits, Estimate, Mass, Measured, Ratio, Scalar, Scale, Unit, quantity,
};

/// One base, in equal portions, a dose on each.
///
/// # Why from one base?
///
/// Portions of one base differ in their dose alone. Mixed anew for each, they
/// would differ in the leaf too, and nobody could tell which was tasted.
#[derive(Clone, Debug)]
pub struct Series {
    /// All of the base, as weighed.
    pub base: Measured<Mass>,
    /// Its moisture.
    pub at: Option<Measured<Moisture>>,
    /// The doses, one a portion; 0 is the blank.
    pub doses: Vec<Measured<Ratio>>,
    /// What the doses are counted on.
    pub basis: LeafBasis,
    /// One drop of the flavouring.
    pub drop: Drop,
    /// The flavouring's density, where a drop by its volume needs it.
    pub density: Option<Measured<Density>>,
    /// The scale that the portions are weighed on.
    pub scale: Option<Scale>,
}

/// A series, portion by portion.
#[derive(Clone, Debug)]
pub struct Portions {
    /// What each portion weighs.
    pub portion: Estimate<Mass>,
    /// What each dose comes to; none for the blank.
    pub steps: Vec<Option<Dosed>>,
}

impl Series {
    /// Works it out, each dose as [`Dosing`] has it.
    ///
    /// # Errors
    /// When there are fewer than two doses, or as for one dose; a refusal when a
    /// portion is below the scale's division.
    pub fn portions(&self) -> Result<Portions> {
        if self.doses.len() < 2 {
            return Err(
                Error::new(ErrorKind::Missing, "a series has two doses or more")
                    .with_hint("type each dose, the blank too: 0g/kg 5g/kg 10g/kg"),
            );
        }
        let portion = self.portion();
        self.check_weighable(portion.value())?;
        let steps = self.doses.iter().map(|dose| {
            if dose.value().base() == 0.0 && dose.is_exact() {
                return Ok(None);
            }
            self.dosing(portion, dose).answer().map(Some)
        });
        Ok(Portions {
            portion: portion.estimate("portion"),
            steps: steps.collect::<Result<_>>()?,
        })
    }

    /// A portion: weighed out where the scale is known, else as certain as the
    /// base is.
    fn portion(&self) -> Measured<Mass> {
        let parts = self.doses.len() as f64;
        let best = Mass::of_base(self.base.value().base() / parts);
        match self.scale {
            Some(scale) => scale.weighed(best),
            None => Measured::new(best, self.base.u() / parts, self.base.dof())
                .with_shape(self.base.shape()),
        }
    }

    /// A portion below the scale's step cannot be weighed out at all.
    fn check_weighable(&self, portion: Mass) -> Result<()> {
        let is_below = |scale: &Scale| portion.base() < scale.division().base() * (1.0 - 1e-9);
        let Some(scale) = self.scale.filter(is_below) else {
            return Ok(());
        };
        let grams = |mass: Mass| {
            let said = quantity(mass.base(), Unit::GRAM, Digits::AtMost(4));
            said.replace('\u{a0}', " ")
        };
        let least = scale.least_weighing(Ratio::of_base(WEIGHING_TOLERANCE));
        Err(Error::new(
            ErrorKind::Refused,
            format!(
                "a portion of {} is below the scale's division",
                grams(portion)
            ),
        )
        .with_hint(format!(
            "use a finer scale, or take {} of base, so that each portion is weighed within 2 %",
            grams(least * self.doses.len() as f64)
        )))
    }

    fn dosing(&self, portion: Measured<Mass>, dose: &Measured<Ratio>) -> Dosing {
        Dosing {
            leaf: Some(portion),
            at: self.at,
            drop: Some(self.drop),
            density: self.density,
            ..Dosing::new(Asked::Dose(*dose), self.basis)
        }
    }
}
