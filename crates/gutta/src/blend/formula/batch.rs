//! What to weigh of each lot for a batch.

use uom::si::{SI, Units};

use super::shares::Shares;
use crate::bench::LeafBasis;
use crate::error::Result;
use crate::matter::{Moisture, Pile};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, Scalar, Slot,
};

/// How large a batch is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BatchSize {
    /// So much dry matter.
    DryMatter(Mass),
    /// So much leaf as weighed, all lots together, before water is added.
    AsWeighed(Mass),
}

/// A formula, the lots it is filled from, and the size wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// The shares.
    pub shares: Shares,
    /// What they are shares of.
    pub basis: LeafBasis,
    /// The moisture of each lot, in the order of the shares.
    pub lots: Vec<Measured<Moisture>>,
    /// The size wanted.
    pub size: BatchSize,
    /// The moisture wanted of the whole.
    pub to: Option<Moisture>,
}

/// What to weigh.
#[derive(Clone, Debug)]
pub struct Weighed {
    /// What to weigh of each lot, in the order of the shares.
    pub lines: Vec<Estimate<Mass>>,
    /// All of it.
    pub total: Estimate<Mass>,
    /// The dry matter in it.
    pub dry_matter: Estimate<Mass>,
    /// Its moisture, mixed.
    pub moisture: Estimate<Moisture>,
    /// The water that brings it to the moisture wanted; negative where water
    /// must go.
    pub water: Option<Estimate<Mass>>,
}

impl Batch {
    /// Works out what to weigh of each lot. On dry shares that is
    /// w_i = s_i D/(1 − m_i), D the dry matter of the batch: shares of the dry
    /// matter stay, whatever the lots' moistures.
    ///
    /// # Errors
    /// When the size is not above 0, or there is not one moisture for each
    /// component.
    pub fn weighed(&self) -> Result<Weighed> {
        self.shares.check_lots(self.lots.len())?;
        let (BatchSize::DryMatter(size) | BatchSize::AsWeighed(size)) = self.size;
        MASS.check_base(size.base())?;
        let mut inputs = Inputs::new();
        let lines = self.shares.lines().iter().zip(&self.lots);
        let table = Table {
            lines: lines
                .map(|(line, at)| {
                    let name = format!("moisture of {}", line.name());
                    (line.share(), inputs.add(name, at))
                })
                .collect(),
            basis: self.basis,
            size: self.size,
            to: self.to,
        };
        let run = inputs.propagate(&table);
        Ok(Weighed {
            lines: (0..table.lines.len())
                .map(|i| run.estimate(|f| f.lines[i]))
                .collect(),
            total: run.estimate(|f| f.pile.total()),
            dry_matter: run.estimate(|f| f.pile.dry_matter()),
            moisture: run.estimate(|f| f.pile.moisture()),
            water: run.estimate_if(|f| f.water),
        })
    }
}

struct Table {
    lines: Vec<(Ratio, Slot<Moisture>)>,
    basis: LeafBasis,
    size: BatchSize,
    to: Option<Moisture>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    lines: Vec<Mass<V>>,
    pile: Pile<V>,
    water: Option<Mass<V>>,
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
        // Each lot by its mass as weighed, for one unit of what the shares are
        // of, and the dry matter in that.
        let lots = self.lines.iter().map(|(share, at)| {
            let (share, at) = (share.lift::<V>(), point.get(*at));
            let weighed: Ratio<V> = match self.basis {
                LeafBasis::AsWeighed => share,
                LeafBasis::Dry => share / at.dry_share(),
            };
            (weighed, at)
        });
        let lots: Vec<(Ratio<V>, Moisture<V>)> = lots.collect();
        let none = || Ratio::from(V::zero());
        let unit: Mass<V> = match self.size {
            BatchSize::DryMatter(dry) => {
                let in_unit = lots.iter().map(|(weighed, at)| *weighed * at.dry_share());
                dry.lift::<V>() / in_unit.fold(none(), |sum, dry| sum + dry)
            }
            BatchSize::AsWeighed(all) => {
                let in_unit = lots.iter().map(|(weighed, _)| *weighed);
                all.lift::<V>() / in_unit.fold(none(), |sum, weighed| sum + weighed)
            }
        };
        let lines: Vec<Mass<V>> = lots.iter().map(|(weighed, _)| unit * *weighed).collect();
        let pile = lines
            .iter()
            .zip(&lots)
            .map(|(mass, (_, at))| Pile::leaf(*mass, *at))
            .fold(Pile::empty(), Pile::mix);
        Figures {
            water: self.to.map(|to| pile.water_to(to.lift::<V>())),
            lines,
            pile,
        }
    }
}
