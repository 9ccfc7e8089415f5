//! The weigh sheet of a formula: what to weigh of each lot, what goes onto it,
//! and the water at the end.
//!
//! # Why smallest first?
//!
//! The smallest line is the strongest leaf. In the empty bowl an over-pour of it
//! is taken out again, or a few grams are thrown away; on top of the rest it can
//! be neither.
//!
//! # Whose doubt is in the water?
//!
//! The grams on a sheet are fixed once it is printed. What is not known is the
//! moisture that they have together, and what the scale makes of them: the water
//! goes by the lots mixed as they are weighed, not by what they were worked out
//! from.

mod bowl;
mod leaf;
mod liquids;
mod size;

pub use leaf::{Line, Order, TooFew};
pub use liquids::{Cased, CasingLine, FlavourLine, Flavoured};
pub use size::SheetSize;

use super::formula::{Shares, SmallestBatch};
use crate::bench::{Drop, LeafBasis, Watering, WateringPlan};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{
    Estimate, Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar, Scale, Temperature,
};

/// A formula, the lots it is filled from, and all that goes on.
///
/// ```
/// use gutta::Moisture;
/// use gutta::bench::LeafBasis;
/// use gutta::blend::formula::{Amounts, Shares};
/// use gutta::blend::sheet::{Sheet, SheetSize};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let at = |m| Ok::<_, gutta::Error>(Some(Measured::exact(Moisture::new(Ratio::new::<percent>(m))?)));
/// let shares = Shares::new(&["flue-cured", "oriental"], &Amounts::Parts(vec![3.0, 1.0]))?;
/// let sheet = Sheet {
///     lots: vec![at(10.0)?, at(14.0)?],
///     ..Sheet::new(shares, LeafBasis::AsWeighed, SheetSize::AsWeighed(Mass::new::<gram>(24.0)))
/// };
/// let plan = sheet.plan()?;
/// // The smaller line first: 6 g of the second component.
/// assert_eq!(plan.lines[0].component, 1);
/// assert!((plan.lines[0].mass.best().get::<gram>() - 6.0).abs() < 1e-12);
/// assert!((plan.lines[1].running.get::<gram>() - 24.0).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The shares of leaf, no blend among them.
    pub shares: Shares,
    /// What they are shares of.
    pub basis: LeafBasis,
    /// The moisture of each lot, in the order of the shares, where it is known.
    pub lots: Vec<Option<Measured<Moisture>>>,
    /// What each of these moistures was found on, where that is said: components of
    /// one source have one moisture, and one doubt.
    pub sources: Vec<Option<String>>,
    /// The size wanted.
    pub size: SheetSize,
    /// What lies in the bowl already, in the order of the shares; nothing where
    /// it is empty.
    pub in_bowl: Vec<Mass>,
    /// Which line is weighed first.
    pub order: Order,
    /// The scale at hand.
    pub scale: Option<Scale>,
    /// How far a weighing may be off, as a ratio of it.
    pub tolerance: Ratio,
    /// The casings, in the order they go on.
    pub casings: Vec<CasingLine>,
    /// The flavourings, in the order they go on.
    pub flavours: Vec<FlavourLine>,
    /// The moisture wanted at the end.
    pub to: Option<Moisture>,
    /// Half-width of the target band, in points of moisture as a ratio.
    pub band: Ratio,
    /// The drop that the water is counted with.
    pub drop: Option<Drop>,
    /// The bowl that stays on the scale.
    pub tray: Option<Measured<Mass>>,
    /// The temperature of the room and of all that is measured by volume.
    pub temperature: Measured<Temperature>,
}

/// What to weigh, in the order that it is weighed.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The leaf.
    pub lines: Vec<Line>,
    /// All leaf as weighed.
    pub leaf: Mass,
    /// The dry matter of the leaf, where the moistures are known.
    pub dry_matter: Option<Estimate<Mass>>,
    /// The moisture of the lots together, where each is known.
    pub moisture: Option<Estimate<Moisture>>,
    /// The casings.
    pub casings: Vec<Cased>,
    /// The flavourings.
    pub flavours: Vec<Flavoured>,
    /// What lies in the bowl before the water, carrier still there.
    pub before_water: Mass,
    /// The carrier of it, which leaves while it airs.
    pub carrier: Mass,
    /// What is to be done about the moisture, where one is wanted, and the
    /// question that it answers.
    pub water: Option<(Watering, WateringPlan)>,
    /// The smallest batch that the scale weighs within the tolerance.
    pub smallest: Option<SmallestBatch>,
}

impl Sheet {
    /// A formula on a basis at a size, with nothing more known: smallest line
    /// first, weighings within 2 %, a target band of a point, 20 °C.
    pub fn new(shares: Shares, basis: LeafBasis, size: SheetSize) -> Self {
        Self {
            lots: vec![None; shares.lines().len()],
            sources: Vec::new(),
            in_bowl: Vec::new(),
            shares,
            basis,
            size,
            order: Order::SmallestFirst,
            scale: None,
            tolerance: Ratio::of_base(crate::bench::WEIGHING_TOLERANCE),
            casings: Vec::new(),
            flavours: Vec::new(),
            to: None,
            band: Ratio::of_base(0.01),
            drop: None,
            tray: None,
            temperature: Measured::exact(ROOM_TEMPERATURE),
        }
    }

    /// Works the sheet out.
    ///
    /// # Errors
    /// When the moisture of a lot is needed and not known, there is not one for
    /// each component, the size, the tolerance or a dose is outside its range, or
    /// a liquid's composition is needed for the water and not known; a refusal
    /// when there is more of a component in the bowl than the batch takes.
    pub fn plan(&self) -> Result<Planned> {
        let batch = self.as_weighed()?;
        let leaf = leaf::weigh(self, batch)?;
        let casings = liquids::cased(self, &leaf)?;
        let flavours = liquids::flavoured(self, &leaf)?;
        let on: Vec<Mass> = casings
            .iter()
            .map(|casing| casing.mass.best())
            .chain(flavours.iter().map(Flavoured::goes_on))
            .collect();
        let water = match self.to {
            Some(to) => {
                let watering = self.watering(to, &leaf, &casings, &flavours)?;
                let plan = watering.plan()?;
                Some((watering, plan))
            }
            None => None,
        };
        Ok(Planned {
            leaf: leaf.total.value(),
            before_water: on.iter().fold(leaf.total.value(), |sum, mass| sum + *mass),
            carrier: liquids::carrier(&casings, &flavours),
            lines: leaf.lines,
            dry_matter: leaf.dry_matter,
            moisture: leaf.moisture,
            casings,
            flavours,
            water,
            smallest: leaf.smallest,
        })
    }

    /// What the moisture of a component was found on: its own lot where nothing is
    /// said.
    pub(super) fn source(&self, component: usize) -> String {
        let said = self.sources.get(component).cloned().flatten();
        said.unwrap_or_else(|| self.shares.lines()[component].name().to_owned())
    }

    /// The question to the water: the lots as they are weighed, with all that is
    /// on them.
    fn watering(
        &self,
        to: Moisture,
        leaf: &leaf::Leaf,
        casings: &[Cased],
        flavours: &[Flavoured],
    ) -> Result<Watering> {
        let at = leaf.at("water to a moisture")?;
        let mut watering = Watering::new(leaf.total, at, to);
        for casing in casings {
            watering.brought.push(casing.brought(self.scale));
        }
        for flavour in flavours {
            watering.brought.push(flavour.brought(self.scale)?);
        }
        watering.tray = self.tray;
        watering.drop = self.drop;
        watering.temperature = self.temperature;
        watering.scale = self.scale;
        watering.band = self.band;
        Ok(watering)
    }
}

/// What a step needs of the lots.
fn missing_moisture(of: &str, what_for: &str) -> Error {
    Error::new(
        ErrorKind::Missing,
        format!("the moisture of {of} is missing: {what_for} goes by it"),
    )
    .with_hint(format!(
        "name its lot or type its moisture, such as \"{of} = 12%\""
    ))
}
