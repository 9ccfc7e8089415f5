//! The lines of leaf: in which order, to which total, how well.

use super::{Sheet, SheetSize, missing_moisture};
use crate::bench::LeafBasis;
use crate::blend::formula::{
    Batch, BatchSize, Premix, PremixPlan, Shares, SmallestBatch, smallest_batch, too_small,
};
use crate::error::Result;
use crate::matter::{LotOfLeaf, Mixing, Moisture};
use crate::measure::{Estimate, Mass, Measured, Ratio, Scalar};

/// From this many times the tolerance on a pre-mix is worth its trouble: below,
/// a wider tolerance is, or a larger batch (common practice).
const WORTH_A_PREMIX: f64 = 2.0;

/// Which line is weighed first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The smallest: what is over-poured can still be taken out.
    SmallestFirst,
    /// The largest, as a base that the rest goes onto.
    BaseFirst,
}

/// One weighing of leaf.
#[derive(Clone, Debug)]
pub struct Line {
    /// Which component of the formula it is, the first being 0.
    pub component: usize,
    /// All of it that the batch takes.
    pub mass: Estimate<Mass>,
    /// What to weigh of it: what is not in the bowl yet.
    pub add: Mass,
    /// What lies in the bowl then.
    pub running: Mass,
    /// How far it may be off.
    pub tolerance: Mass,
    /// Where the scale does not weigh it within the tolerance: by how much.
    pub too_small: Option<TooFew>,
}

/// A line that the scale does not weigh within the tolerance.
#[derive(Clone, Debug)]
pub struct TooFew {
    /// What it may be off, as a ratio of it.
    pub error: Ratio,
    /// The pre-mix with the largest line that mends it, where there is one and it
    /// is worth its trouble. Several share what there is of that line.
    pub premix: Option<(Premix, PremixPlan)>,
}

/// All leaf of a sheet.
pub(super) struct Leaf {
    pub lines: Vec<Line>,
    /// As weighed.
    pub total: Measured<Mass>,
    pub dry_matter: Option<Estimate<Mass>>,
    /// Of the lots together, as they are weighed.
    pub moisture: Option<Estimate<Moisture>>,
    pub smallest: Option<SmallestBatch>,
    /// The first component whose moisture is not known.
    unknown: Option<String>,
}

impl Leaf {
    /// The moisture of all leaf, which a step needs.
    pub fn at(&self, what_for: &str) -> Result<Measured<Moisture>> {
        match (&self.moisture, &self.unknown) {
            (Some(moisture), _) => Ok(moisture.measured()),
            (None, of) => Err(missing_moisture(of.as_deref().unwrap_or("leaf"), what_for)),
        }
    }

    /// The same, where it is known.
    pub fn at_if_known(&self) -> Option<Measured<Moisture>> {
        self.moisture.as_ref().map(Estimate::measured)
    }
}

/// What to weigh of each component.
pub(super) fn weigh(sheet: &Sheet, size: SheetSize) -> Result<Leaf> {
    sheet.shares.check_lots(sheet.lots.len())?;
    let of_unknown = sheet.shares.lines().iter().zip(&sheet.lots);
    let unknown = of_unknown
        .filter(|(_, at)| at.is_none())
        .map(|(line, _)| line.name().to_owned())
        .next();
    let known: Option<Vec<Measured<Moisture>>> = sheet.lots.iter().copied().collect();
    let masses = match (known.as_ref(), size, sheet.basis) {
        (Some(lots), _, _) => {
            let batch = Batch {
                shares: sheet.shares.clone(),
                basis: sheet.basis,
                lots: lots.clone(),
                size: match size {
                    SheetSize::DryMatter(dry) => BatchSize::DryMatter(dry),
                    SheetSize::AsWeighed(mass) | SheetSize::Finished(mass) => {
                        BatchSize::AsWeighed(mass)
                    }
                },
                to: None,
            };
            let weighed = batch.weighed()?;
            weighed.lines
        }
        (None, SheetSize::AsWeighed(mass), LeafBasis::AsWeighed) => {
            let masses = sheet.shares.of(mass).into_iter();
            masses.map(Estimate::exact).collect()
        }
        (None, size, _) => {
            let what_for = match size {
                SheetSize::DryMatter(_) => "a size of dry leaf",
                _ => "a share of dry leaf",
            };
            return Err(missing_moisture(
                unknown.as_deref().unwrap_or("leaf"),
                what_for,
            ));
        }
    };
    let on_scale = |mass: Mass| match sheet.scale {
        Some(scale) => scale.weighed(mass),
        None => Measured::exact(mass),
    };
    let mixed = match &known {
        Some(lots) => {
            let mixing = Mixing {
                lots: by_source(sheet, &masses, lots, on_scale),
                to: None,
            };
            Some(mixing.mixed()?)
        }
        None => None,
    };
    let sum = masses.iter().map(|mass| mass.best().base()).sum();
    let total = Mass::of_base(sum);
    let u = (masses.len() as f64).sqrt() * on_scale(total).u();
    let moisture = mixed.map(|mixed| mixed.moisture);
    Ok(Leaf {
        dry_matter: moisture.as_ref().map(|moisture| {
            let share = moisture.measured().through::<Ratio>(Moisture::dry_share);
            let dry = Measured::new(total * share.value(), sum * share.u(), share.dof());
            dry.estimate("moisture of the lots")
        }),
        total: Measured::new(total, u, f64::INFINITY),
        moisture,
        smallest: match &sheet.scale {
            Some(scale) => Some(smallest_batch(
                &as_weighed(sheet, &masses),
                scale,
                sheet.tolerance,
            )?),
            None => None,
        },
        lines: lines(sheet, masses, total)?,
        unknown,
    })
}

/// The leaf as it is weighed, that of one source together: it has one moisture.
fn by_source(
    sheet: &Sheet,
    masses: &[Estimate<Mass>],
    lots: &[Measured<Moisture>],
    on_scale: impl Fn(Mass) -> Measured<Mass>,
) -> Vec<LotOfLeaf> {
    let mut sources: Vec<(String, LotOfLeaf)> = Vec::new();
    for (component, (mass, at)) in masses.iter().zip(lots).enumerate() {
        let source = sheet.source(component);
        let mass = on_scale(mass.best());
        let there = sources
            .iter_mut()
            .find(|(known, leaf)| *known == source && leaf.at == *at);
        match there {
            Some((_, leaf)) => {
                let (one, other) = (leaf.mass, mass);
                leaf.mass = Measured::new(
                    one.value() + other.value(),
                    one.u().hypot(other.u()),
                    f64::INFINITY,
                );
            }
            None => sources.push((source, LotOfLeaf { mass, at: *at })),
        }
    }
    sources.into_iter().map(|(_, leaf)| leaf).collect()
}

/// The shares as they lie on the scale.
fn as_weighed(sheet: &Sheet, masses: &[Estimate<Mass>]) -> Shares {
    let lines = sheet.shares.lines().iter().zip(masses);
    Shares::of_amounts(lines.map(|(line, mass)| (line.name(), mass.best().base())))
}

fn lines(sheet: &Sheet, mut masses: Vec<Estimate<Mass>>, total: Mass) -> Result<Vec<Line>> {
    let mut order: Vec<usize> = (0..masses.len()).collect();
    let mass = |i: &usize| masses[*i].best().base();
    // Lines alike stay in the order of the formula.
    order.sort_by(|a, b| match sheet.order {
        Order::SmallestFirst => mass(a).total_cmp(&mass(b)),
        Order::BaseFirst => mass(b).total_cmp(&mass(a)),
    });
    let shares = as_weighed(sheet, &masses);
    let small = match &sheet.scale {
        Some(scale) => too_small(&shares, total, scale, sheet.tolerance)?,
        None => Vec::new(),
    };
    let add = sheet.still_to_weigh(&masses)?;
    let base = (0..masses.len()).max_by(|a, b| mass(a).total_cmp(&mass(b)));
    // What is left of the base for the pre-mixes: each takes its part of it.
    let mut of_base = base.map_or(Ratio::of_base(0.0), |base| shares.lines()[base].share());
    let mut running = sheet
        .in_bowl
        .iter()
        .fold(Mass::of_base(0.0), |sum, mass| sum + *mass);
    // What is all there is not weighed.
    order.retain(|component| add[*component].base() > 0.0);
    let each = order.into_iter().map(|component| {
        let best = masses[component].best();
        running += add[component];
        let line = &shares.lines()[component];
        let small = small.iter().find(|small| small.line == line.name());
        Line {
            component,
            mass: std::mem::replace(&mut masses[component], Estimate::exact(best)),
            add: add[component],
            running,
            tolerance: best * sheet.tolerance,
            too_small: small.zip(sheet.scale.as_ref()).map(|(small, scale)| {
                let is_worth = small.error > sheet.tolerance * WORTH_A_PREMIX;
                // A pre-mix is for an empty bowl: what is in cannot be replaced.
                let is_other = base != Some(component) && sheet.in_bowl.is_empty();
                let premix = if is_worth && is_other {
                    Premix::smallest(total, line.share(), of_base, scale, sheet.tolerance)
                } else {
                    None
                };
                if let Some((_, plan)) = &premix {
                    of_base -= plan.base_in_take / total;
                }
                TooFew {
                    error: small.error,
                    premix,
                }
            }),
        }
    });
    Ok(each.collect())
}
