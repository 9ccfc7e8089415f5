//! A finished batch in packs.

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Digits, MASS, Mass, Ratio, Scalar, Unit, quantity};

/// What rounding leaves of the last pack that is just full.
const GRACE: f64 = 1e-9;

/// What is to be packed, and how.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packing {
    /// All that is finished.
    pub mass: Mass,
    /// What a pack is sold as.
    pub net: Mass,
    /// What goes into each beyond that.
    pub overfill: Mass,
    /// The sample that is kept; it comes off first.
    pub retain: Mass,
}

/// A batch in packs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packs {
    /// How many are full.
    pub count: u32,
    /// What each holds: net and overfill.
    pub each: Mass,
    /// What all of them hold.
    pub in_packs: Mass,
    /// What fills no pack, the sample not in it.
    pub left_over: Mass,
    /// What all overfills give away, as a ratio of what is sold.
    pub given_away: Ratio,
}

impl Packing {
    /// Full packs: ⌊(M − retained)/(net + overfill)⌋, and what is left.
    ///
    /// ```
    /// use gutta::blend::batch::Packing;
    /// use gutta::measure::Mass;
    /// use uom::si::mass::gram;
    /// let grams = |g| Mass::new::<gram>(g);
    /// let packs = Packing {
    ///     mass: grams(330.0),
    ///     net: grams(50.0),
    ///     overfill: grams(0.5),
    ///     retain: grams(20.0),
    /// }
    /// .packs()?;
    /// assert_eq!(packs.count, 6);
    /// assert!((packs.left_over.get::<gram>() - 7.0).abs() < 1e-9);
    /// # Ok::<(), gutta::Error>(())
    /// ```
    ///
    /// # Errors
    /// When the batch or the net mass is not above 0, the overfill or the sample
    /// is below 0, or there are more packs than a million; a refusal when nothing
    /// is left to pack, or not one pack full.
    pub fn packs(&self) -> Result<Packs> {
        MASS.check_base(self.mass.base())?;
        MASS.check_base(self.net.base())?;
        for more in [self.overfill, self.retain] {
            if more.base() != 0.0 {
                MASS.check_base(more.base())?;
            }
        }
        let grams = |mass: Mass| quantity(mass.base(), Unit::GRAM, Digits::AtMost(5));
        let each = self.net + self.overfill;
        let left = self.mass - self.retain;
        let exact = (left / each).base() + GRACE;
        if exact < 1.0 {
            let message = if left.base() <= 0.0 {
                let (sample, mass) = (grams(self.retain), grams(self.mass));
                if left.base() < 0.0 {
                    format!("the sample of {sample} is more than the {mass} that there are")
                } else {
                    format!("the sample of {sample} is all there is of {mass}")
                }
            } else {
                let beside = if self.retain.base() > 0.0 {
                    " beside the sample"
                } else {
                    ""
                };
                format!(
                    "{}{beside} do not fill one pack of {}",
                    grams(left),
                    grams(each)
                )
            };
            return Err(Error::new(ErrorKind::Refused, message).with_hint(format!(
                "pack {} or more, or less into each",
                grams(self.retain + each)
            )));
        }
        if exact > 1e6 {
            return Err(
                Error::new(ErrorKind::OutOfRange, "so many packs are not counted")
                    .with_hint("check the net mass of a pack"),
            );
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 1 to a million, checked just before"
        )]
        let count = exact as u32;
        let in_packs = each * Ratio::of_base(f64::from(count));
        Ok(Packs {
            count,
            each,
            in_packs,
            left_over: Mass::of_base((left - in_packs).base().max(0.0)),
            given_away: self.overfill / self.net,
        })
    }
}
