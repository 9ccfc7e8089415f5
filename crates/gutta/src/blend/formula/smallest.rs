//! What a scale can weigh of a formula.

use super::shares::Shares;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{MASS, Mass, Ratio, Scalar, Scale};

/// The smallest batch that a scale weighs within a tolerance on every line.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallestBatch {
    /// The least that the scale weighs within the tolerance.
    pub least_weighing: Mass,
    /// The batch in which the smallest line is that much.
    pub batch: Mass,
    /// The smallest line.
    pub line: String,
}

/// A line that a scale does not weigh within the tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct TooSmall {
    /// The line.
    pub line: String,
    /// What is to be weighed of it.
    pub mass: Mass,
    /// What the scale may be off, as a ratio of that mass: max(D, 1.96 u_net)
    /// over it.
    pub error: Ratio,
}

/// The smallest batch for a scale: the least weighing over the smallest share.
/// `as_weighed` are shares as weighed, for that is what lies on the scale; the
/// tolerance is a ratio of a line's mass.
///
/// # Errors
/// When the tolerance is not above 0 and below 100 %.
pub fn smallest_batch(
    as_weighed: &Shares,
    scale: &Scale,
    tolerance: Ratio,
) -> Result<SmallestBatch> {
    check_tolerance(tolerance)?;
    let least_weighing = scale.least_weighing(tolerance);
    let lines = as_weighed.lines().iter();
    let smallest = lines
        .min_by(|a, b| a.share().base().total_cmp(&b.share().base()))
        .ok_or_else(|| Error::new(ErrorKind::Empty, "a formula needs a component"))?;
    Ok(SmallestBatch {
        least_weighing,
        batch: least_weighing / smallest.share(),
        line: smallest.name().to_owned(),
    })
}

/// The lines of a batch that a scale does not weigh within a tolerance, in the
/// order of the formula. `as_weighed` are shares as weighed.
///
/// # Errors
/// When the batch is not above 0, or the tolerance not above 0 and below 100 %.
pub fn too_small(
    as_weighed: &Shares,
    batch: Mass,
    scale: &Scale,
    tolerance: Ratio,
) -> Result<Vec<TooSmall>> {
    check_tolerance(tolerance)?;
    MASS.check_base(batch.base())?;
    // The whole, as a tolerance, leaves the error itself.
    let off = scale.least_weighing(Ratio::of_base(1.0));
    let lines = as_weighed.lines().iter().map(|line| {
        let mass = batch * line.share();
        TooSmall {
            line: line.name().to_owned(),
            mass,
            error: off / mass,
        }
    });
    // A batch at the smallest size is met but for rounding.
    let most = tolerance.base() * (1.0 + 1e-9);
    Ok(lines.filter(|line| line.error.base() > most).collect())
}

fn check_tolerance(tolerance: Ratio) -> Result<()> {
    if tolerance.base() > 0.0 && tolerance.base() < 1.0 {
        return Ok(());
    }
    Err(Error::new(
        ErrorKind::OutOfRange,
        "the tolerance must be above 0 % and below 100 %",
    )
    .with_hint("type a tolerance such as 2 %"))
}
