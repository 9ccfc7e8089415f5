//! Leaf, recipe and what is weighed out of them: the balance.

use uom::si::{SI, Units};

use super::{Casing, Rate};
use crate::bench::before_water::{LEAF, MOISTURE_NOW};
use crate::bench::brought::BroughtSlots;
use crate::matter::{Moisture, Pile};
use crate::measure::{Formula, Inputs, Mass, Point, Ratio, Real, Scalar, Slot, Temperature};

/// Leaf, recipe and what is weighed out of them, as a formula.
pub(super) struct Table {
    leaf: Slot<Mass>,
    at: Slot<Moisture>,
    temperature: Slot<Temperature>,
    recipe: Vec<BroughtSlots>,
    rate: Rate,
    bulk: Option<Moisture>,
    to: Option<Moisture>,
    tray: Option<Slot<Mass>>,
    /// The casing as it is weighed out, once that is decided.
    pub casing: Option<Slot<Mass>>,
    /// The water to bulk as it is weighed out, where there is any.
    pub water: Option<Slot<Mass>>,
    /// Whether the leaf is at the moisture that it is dried back to: its mass is
    /// then that of what lies there, and not what its moisture would make of it.
    pub is_met: bool,
}

pub(super) struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pub leaf: Pile<V>,
    /// The casing that the rate asks for.
    pub casing: Pile<V>,
    /// The casing as it is weighed out.
    pub weighed: Pile<V>,
    /// The leaf with the casing on that is weighed out.
    pub cased: Pile<V>,
    /// The water that the bulking moisture asks for.
    pub water: Option<Mass<V>>,
    pub in_bulk: Pile<V>,
    pub dried: Pile<V>,
    /// What stands on the scale with it.
    pub tray: Mass<V>,
}

impl Table {
    pub fn lay(casing: &Casing, inputs: &mut Inputs) -> Self {
        let recipe = casing.recipe.iter();
        Self {
            leaf: inputs.add(LEAF, &casing.leaf),
            at: inputs.add(MOISTURE_NOW, &casing.at),
            temperature: inputs.add("temperature", &casing.temperature),
            recipe: recipe.map(|part| part.add_to(inputs)).collect(),
            rate: casing.rate,
            bulk: casing.bulk,
            to: casing.to,
            tray: casing.tray.map(|tray| inputs.add("tray", &tray)),
            casing: None,
            water: None,
            is_met: false,
        }
    }

    /// Some of the ingredients, in the amounts of the recipe.
    fn of<V: Real>(&self, parts: &[BroughtSlots], point: &Point<'_, V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        let temperature = point.get(self.temperature);
        parts.iter().fold(Pile::empty(), |pile, part| {
            part.onto(pile, point, temperature)
        })
    }

    /// What the recipe is to be multiplied by for the casing that the rate asks
    /// for.
    fn factor<V: Real>(&self, recipe: &Pile<V>, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let (leaf, at) = (point.get(self.leaf), point.get(self.at));
        self.rate.liquid(leaf, at, recipe) / recipe.total()
    }
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
        let leaf = Pile::leaf(point.get(self.leaf), point.get(self.at));
        let recipe = self.of(&self.recipe, point);
        let casing = recipe.share(self.factor(&recipe, point));
        let weighed = match self.casing {
            Some(slot) => recipe.share(point.get(slot) / recipe.total()),
            None => casing,
        };
        let cased = leaf.mix(weighed);
        let aired = cased.aired();
        let in_bulk = match self.water {
            Some(slot) => aired.with_water(point.get(slot)),
            None => aired,
        };
        let dried = match self.to {
            Some(to) if !self.is_met => in_bulk.at_moisture(to.lift()),
            _ => in_bulk,
        };
        Figures {
            leaf,
            casing,
            weighed,
            cased,
            water: self.bulk.map(|bulk| aired.water_to(bulk.lift())),
            in_bulk,
            dried,
            tray: match self.tray {
                Some(slot) => point.get(slot),
                None => Pile::empty().total(),
            },
        }
    }
}

/// The recipe as it was handed over.
pub(super) struct Recipe<'a>(pub &'a Table);

impl Formula for Recipe<'_> {
    type Figures<V: Real>
        = Pile<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Pile<V>
    where
        SI<V>: Units<V>,
    {
        self.0.of(&self.0.recipe, point)
    }
}

/// One ingredient of the casing that the rate asks for.
pub(super) struct Ingredient<'a> {
    pub table: &'a Table,
    pub which: usize,
}

impl Formula for Ingredient<'_> {
    type Figures<V: Real>
        = Mass<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        let all = &self.table.recipe;
        let recipe = self.table.of(all, point);
        let own = self.table.of(&all[self.which..=self.which], point);
        own.share(self.table.factor(&recipe, point)).total()
    }
}
