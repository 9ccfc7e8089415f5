//! One component over-weighed, or all of them in the wrong ratio: the others are
//! brought up to it.

use uom::si::{SI, Units};

use crate::bench::LeafBasis;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, SHARE, Scalar, Slot,
};

/// A component as it lies in the pan, with the share it was to have.
#[derive(Clone, Debug)]
pub struct Weighed {
    /// What it is called.
    pub name: String,
    /// What lies in the pan, as weighed.
    pub in_pan: Measured<Mass>,
    /// The share that the formula gives it.
    pub share: Ratio,
    /// Its moisture, where shares are of dry leaf.
    pub at: Option<Measured<Moisture>>,
    /// What that moisture was found on, where it is said: components of one source
    /// have one moisture, and one doubt.
    pub source: Option<String>,
    /// What is left of it, where that is known.
    pub stock: Option<Mass>,
}

/// A pan in the wrong ratio, and the ratio it was to have.
///
/// ```
/// use gutta::bench::LeafBasis;
/// use gutta::blend::repair::{Restoring, Weighed};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let part = |name: &str, in_pan: f64, share: f64| Weighed {
///     name: name.to_owned(),
///     in_pan: Measured::exact(Mass::new::<gram>(in_pan)),
///     share: Ratio::new::<percent>(share),
///     at: None,
///     source: None,
///     stock: None,
/// };
/// let pan = Restoring {
///     parts: vec![part("base", 36.8, 80.0), part("condiment", 11.5, 20.0)],
///     basis: LeafBasis::AsWeighed,
/// };
/// let restored = pan.restore()?;
/// assert!((restored.batch.best().get::<gram>() - 57.5).abs() < 1e-9);
/// assert!((restored.parts[0].add.best().get::<gram>() - 9.2).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Restoring {
    /// The components.
    pub parts: Vec<Weighed>,
    /// What the shares are of.
    pub basis: LeafBasis,
}

/// A pan whose ratio can be restored.
#[derive(Clone, Debug)]
pub struct Restored {
    /// Which component there is most of, by its share: nothing of it is added.
    pub most: usize,
    /// The batch then, as weighed: T = Σ of all totals, where the shares are as
    /// weighed max aᵢ/sᵢ.
    pub batch: Estimate<Mass>,
    /// Each component, in the order of the pan.
    pub parts: Vec<RestoredPart>,
    /// The first component whose stock does not reach, with what is missing.
    pub short_of: Option<(usize, Mass)>,
    /// The largest distance of a share from the formula if all is left as it
    /// is, in points as a ratio.
    pub off_if_left: Ratio,
}

/// One component of a restored pan.
#[derive(Clone, Debug)]
pub struct RestoredPart {
    /// All of it then, as weighed.
    pub total: Estimate<Mass>,
    /// What to add, as weighed; nothing below none.
    pub add: Estimate<Mass>,
    /// Its share if all is left as it is, on the basis.
    pub share_if_left: Estimate<Ratio>,
}

impl Restoring {
    /// What to add of each: T = max aᵢ/sᵢ, and sᵢ T − aᵢ, on the basis of the
    /// shares.
    ///
    /// # Errors
    /// When there are fewer than two components, a mass is below 0, a share
    /// not above 0, the shares do not sum to 100 %, or the moisture that shares
    /// on dry leaf need is missing.
    pub fn restore(&self) -> Result<Restored> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut table = Table {
            parts: self
                .parts
                .iter()
                .map(|part| PartSlots {
                    in_pan: inputs.add(part.name.clone(), &part.in_pan),
                    at: part.at.filter(|_| self.basis == LeafBasis::Dry).map(|at| {
                        let source = part.source.as_deref().unwrap_or(&part.name);
                        inputs.add_once(format!("moisture of {source}"), &at)
                    }),
                    share: part.share,
                })
                .collect(),
            most: 0,
        };
        let best = inputs.best(&table);
        let by_share = |i: usize| best.in_pan[i].base() / self.parts[i].share.base();
        let most = (0..self.parts.len()).max_by(|&a, &b| by_share(a).total_cmp(&by_share(b)));
        table.most = most.unwrap_or(0);
        let best = inputs.best(&table);
        let run = inputs.propagate(&table);
        let each = 0..self.parts.len();
        let off = each
            .clone()
            .map(|i| (best.if_left[i] - self.parts[i].share).base().abs());
        let short_of = self.parts.iter().enumerate().find_map(|(i, part)| {
            let missing = best.add[i] - part.stock?;
            (missing.base() > 1e-9 * best.batch.base()).then_some((i, missing))
        });
        Ok(Restored {
            most: table.most,
            batch: run.estimate(|f| f.batch),
            off_if_left: Ratio::of_base(off.fold(0.0, f64::max)),
            short_of,
            parts: each
                .map(|i| RestoredPart {
                    total: run.estimate(|f| f.total[i]),
                    add: run.estimate(|f| f.add[i]),
                    share_if_left: run.estimate(|f| f.if_left[i]),
                })
                .collect(),
        })
    }

    fn check(&self) -> Result<()> {
        if self.parts.len() < 2 {
            return Err(
                Error::new(ErrorKind::Missing, "a ratio has two components or more")
                    .with_hint("name every component that lies in the pan"),
            );
        }
        let mut sum = 0.0;
        for part in &self.parts {
            // What was forgotten is not in the pan yet.
            if part.in_pan.value().base() != 0.0 {
                MASS.check_base(part.in_pan.value().base())?;
            }
            SHARE.check_base(part.share.base())?;
            sum += part.share.base();
            if self.basis == LeafBasis::Dry && part.at.is_none() {
                return Err(Error::new(
                    ErrorKind::Missing,
                    format!("the moisture of {} is missing", part.name),
                )
                .with_hint("shares of dry leaf need the moisture of every component"));
            }
        }
        if (sum - 1.0).abs() > 1e-9 {
            return Err(Error::new(
                ErrorKind::Refused,
                format!("the shares make {} %, not 100 %", (sum * 1e8).round() / 1e6),
            )
            .with_hint("correct one of them, or name the component that is missing"));
        }
        Ok(())
    }
}

struct PartSlots {
    in_pan: Slot<Mass>,
    at: Option<Slot<Moisture>>,
    share: Ratio,
}

struct Table {
    parts: Vec<PartSlots>,
    /// Which component the others are brought up to.
    most: usize,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    /// Each component in the pan, on the basis of the shares.
    in_pan: Vec<Mass<V>>,
    total: Vec<Mass<V>>,
    add: Vec<Mass<V>>,
    if_left: Vec<Ratio<V>>,
    batch: Mass<V>,
}

impl Formula for Table {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        // What of a component counts, over what is weighed.
        let counts = |part: &PartSlots| match part.at {
            Some(at) => point.get(at).dry_share(),
            None => Ratio::from(V::one()),
        };
        let in_pan: Vec<Mass<V>> = self
            .parts
            .iter()
            .map(|part| point.get(part.in_pan) * counts(part))
            .collect();
        let all: Mass<V> = in_pan.iter().copied().sum();
        let most = &self.parts[self.most];
        let batch = in_pan[self.most] / most.share.lift::<V>();
        let total: Vec<Mass<V>> = self
            .parts
            .iter()
            .map(|part| batch * part.share.lift::<V>() / counts(part))
            .collect();
        let add = self
            .parts
            .iter()
            .zip(&total)
            .map(|(part, total)| *total - point.get(part.in_pan));
        Figures {
            add: add.collect(),
            if_left: in_pan.iter().map(|part| *part / all).collect(),
            batch: total.iter().copied().sum(),
            in_pan,
            total,
        }
    }
}
