//! A pre-mix (aliquot) for a share that is too small to weigh.

use super::shares::short;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{MASS, Mass, Ratio, Scalar, Scale};

/// A condiment leaf spread through base leaf, of which a trial takes some. That
/// it is mixed evenly is assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Premix {
    /// The trial, as weighed.
    pub trial: Mass,
    /// The condiment's share of the trial, as weighed.
    pub condiment_share: Ratio,
    /// The base leaf's share of the trial, as weighed.
    pub base_share: Ratio,
    /// The condiment in the pre-mix.
    pub condiment: Mass,
    /// The base leaf in the pre-mix.
    pub base: Mass,
    /// The scale that everything is weighed on.
    pub scale: Scale,
}

/// What to take of a pre-mix, and what it errs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PremixPlan {
    /// The condiment that the trial needs.
    pub condiment_needed: Mass,
    /// The pre-mix that holds it.
    pub take: Mass,
    /// The base leaf that comes with it.
    pub base_in_take: Mass,
    /// The base leaf still to be added.
    pub base_to_add: Mass,
    /// The error of the condiment, as a ratio of it: one division in each of
    /// the three weighings, root sum of squares.
    pub error: Ratio,
    /// The error when the condiment is weighed straight into the trial: one
    /// division over what is needed.
    pub error_direct: Ratio,
}

/// How often the least weighing is tried as the condiment of a pre-mix: up to
/// these multiples more of it is made until its error is small enough.
const MULTIPLES: [f64; 9] = [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 20.0];

/// The most parts of base leaf to one of condiment.
const MOST_PARTS: u32 = 200;

impl Premix {
    /// The smallest pre-mix of whole parts of base leaf to one of condiment that
    /// brings the condiment within a tolerance, everything in it and beside it a
    /// weighing that the scale makes; none where there is no such.
    pub fn smallest(
        trial: Mass,
        condiment_share: Ratio,
        base_share: Ratio,
        scale: &Scale,
        tolerance: Ratio,
    ) -> Option<(Self, PremixPlan)> {
        let least = scale.least_weighing(tolerance);
        let mut best: Option<(Self, PremixPlan)> = None;
        for parts in 1..=MOST_PARTS {
            for multiple in MULTIPLES {
                let condiment = least * multiple;
                let premix = Self {
                    trial,
                    condiment_share,
                    base_share,
                    condiment,
                    base: condiment * f64::from(parts),
                    scale: *scale,
                };
                let Ok(plan) = premix.plan() else { continue };
                let is_weighed = plan.base_to_add >= least || plan.base_to_add.base() == 0.0;
                let is_good =
                    plan.error.base() <= tolerance.base() && plan.take >= least && is_weighed;
                let is_smaller = best
                    .as_ref()
                    .is_none_or(|(other, _)| premix.made() < other.made());
                if is_good && is_smaller {
                    best = Some((premix, plan));
                }
            }
        }
        best
    }

    /// All of the pre-mix.
    pub fn made(&self) -> Mass {
        self.condiment + self.base
    }

    /// Plans the take. With c of condiment, b of base and a division δ:
    /// error² = (b/(c+b)·δ/c)² + (b/(c+b)·δ/b)² + (δ/take)².
    ///
    /// # Errors
    /// When a mass is not above 0, a share not above 0 or both above 100 %; a
    /// refusal when the take is more than the pre-mix, or brings more base leaf
    /// than the trial has.
    pub fn plan(&self) -> Result<PremixPlan> {
        for mass in [self.trial, self.condiment, self.base] {
            MASS.check_base(mass.base())?;
        }
        let (condiment_share, base_share) = (self.condiment_share.base(), self.base_share.base());
        // Written so that what is no number is refused.
        let in_a_whole = condiment_share + base_share <= 1.0 + 1e-9;
        if !(condiment_share > 0.0 && base_share > 0.0 && in_a_whole) {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                "the shares of condiment and base must be above 0 % and at most 100 % together",
            )
            .with_hint("type shares as weighed, such as 3.5 % and 52 %"));
        }
        let whole = self.made();
        let condiment_needed = self.trial * self.condiment_share;
        let take = condiment_needed * (whole / self.condiment);
        let base_in_take = take * (self.base / whole);
        let base_wanted = self.trial * self.base_share;
        let grams = |mass: Mass| short(mass.base() * 1e3);
        // What rounding leaves of a whole that is met is nothing.
        let above = |a: Mass, b: Mass| a.base() > b.base() * (1.0 + 1e-9);
        if above(base_in_take, base_wanted) {
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "{} g of the pre-mix brings {} g of base leaf, and the trial has {} g",
                    grams(take),
                    grams(base_in_take),
                    grams(base_wanted)
                ),
            )
            .with_hint(format!(
                "mix at most {} g of base leaf with {} g of condiment",
                grams(self.condiment * (self.base_share / self.condiment_share)),
                grams(self.condiment)
            )));
        }
        if above(take, whole) {
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "the trial takes {} g of the pre-mix, and {} g are made",
                    grams(take),
                    grams(whole)
                ),
            )
            .with_hint("make more of it, or weigh the condiment by itself"));
        }
        let division = self.scale.division();
        let base_part = self.base / whole;
        let of_condiment = base_part * (division / self.condiment);
        let of_base = base_part * (division / self.base);
        let of_take = division / take;
        let error = of_condiment
            .base()
            .hypot(of_base.base())
            .hypot(of_take.base());
        Ok(PremixPlan {
            condiment_needed,
            take,
            base_in_take,
            base_to_add: Mass::of_base((base_wanted - base_in_take).base().max(0.0)),
            error: Ratio::of_base(error),
            error_direct: division / condiment_needed,
        })
    }
}
