//! What went in against what came out.
//!
//! # Why is the gap split?
//!
//! Leaf that is drier than it should be weighs less, and nothing is lost. What fell
//! through the sieve is known, once it is weighed. Only what is left after both is a
//! question; and whether it is one, the scales and the moistures say.

use uom::si::{SI, Units};

use crate::bench::{Brought, BroughtSlots};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{LotOfLeaf, Moisture, Pile};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, Ratio, Real, Scalar, Scale, Slot,
    Temperature, coverage_95,
};

/// What is good of a batch, in one heap or in packs alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Packed {
    /// What it is, as a budget shows it.
    pub name: String,
    /// All of it.
    pub mass: Measured<Mass>,
}

impl Packed {
    /// Packs that were weighed one by one on a scale: the doubts of their
    /// weighings add in squares, √n of one.
    pub fn each_weighed(name: impl Into<String>, count: u32, net: Mass, scale: Scale) -> Self {
        let count = f64::from(count);
        Self {
            name: name.into(),
            mass: Measured::new(
                net * Ratio::of_base(count),
                count.sqrt() * scale.u_net().base(),
                f64::INFINITY,
            ),
        }
    }

    /// Packs of one mass that is known with its doubt, which all of them share: n
    /// of it.
    pub fn alike(name: impl Into<String>, count: u32, net: Measured<Mass>) -> Self {
        let count = Ratio::of_base(f64::from(count));
        Self {
            name: name.into(),
            mass: net.through::<Mass>(|net| net * count.lift()),
        }
    }
}

/// A batch that is made, as it was weighed.
#[derive(Clone, Debug)]
pub struct Reconciling {
    /// The leaf that went in, as weighed.
    pub leaf: Vec<LotOfLeaf>,
    /// Dry leaf that went in, where it is known as such.
    pub dry_leaf: Option<Measured<Mass>>,
    /// The liquids that went on.
    pub brought: Vec<Brought>,
    /// The temperature that they were measured at.
    pub temperature: Measured<Temperature>,
    /// The moisture wanted.
    pub to: Moisture,
    /// What is good: packs, the sample, what is left over.
    pub good: Vec<Packed>,
    /// Its moisture.
    pub at: Measured<Moisture>,
    /// The fines.
    pub fines: Option<LotOfLeaf>,
}

/// What became of a batch.
#[derive(Clone, Debug)]
pub struct Reconciled {
    /// All that went in, stays and is not water.
    pub dry_in: Estimate<Mass>,
    /// What should have come of it: N/(1 − t).
    pub theoretical: Estimate<Mass>,
    /// What is good, as weighed.
    pub good: Estimate<Mass>,
    /// Good over theoretical, as weighed.
    pub yield_as_weighed: Estimate<Ratio>,
    /// The same with what is good brought to the moisture wanted.
    pub yield_at_target: Estimate<Ratio>,
    /// The dry matter of what is good and of the fines.
    pub dry_accounted: Estimate<Mass>,
    /// That over what went in.
    pub dry_recovery: Estimate<Ratio>,
    /// Theoretical less good.
    pub gap: Estimate<Mass>,
    /// What of the gap is moisture: good is drier than wanted; below 0 where it is
    /// moister.
    pub moisture: Estimate<Mass>,
    /// What of it is fines, at the moisture wanted.
    pub fines: Estimate<Mass>,
    /// The rest: lost where it is above 0, too much where it is below.
    pub unexplained: Estimate<Mass>,
}

impl Reconciled {
    /// The half-width at 95 % of what is unexplained: what weighings and moistures
    /// can explain.
    pub fn explained_within(&self) -> Mass {
        Mass::of_base(coverage_95(self.unexplained.dof()) * self.unexplained.u())
    }

    /// Whether more is unexplained than the scales and moistures can explain; not
    /// known where none of them carries a doubt.
    pub fn is_more_than_explained(&self) -> Option<bool> {
        let within = self.explained_within().base();
        (within > 0.0).then(|| self.unexplained.best().base().abs() > within)
    }
}

impl Reconciling {
    /// Holds what went in against what came out: N all that stays and is not water,
    /// t the moisture wanted, G what is good at m, F the fines at m′.
    /// Theoretical = N/(1 − t), gap = theoretical − G, of which moisture is
    /// G((1 − m)/(1 − t) − 1), fines F(1 − m′)/(1 − t), and the rest is unexplained:
    /// (N − G(1 − m) − F(1 − m′))/(1 − t).
    ///
    /// # Errors
    /// When nothing went in or nothing is good, or an amount is not above 0.
    pub fn reconcile(&self) -> Result<Reconciled> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut leaf = |lot: &LotOfLeaf, name: &str| {
            let mass = inputs.add(name.to_owned(), &lot.mass);
            (mass, inputs.add(format!("moisture of {name}"), &lot.at))
        };
        let lots = self.leaf.iter().enumerate();
        let lots = lots.map(|(i, lot)| leaf(lot, &format!("leaf {}", i + 1)));
        let lots = lots.collect();
        let fines = self.fines.as_ref().map(|lot| leaf(lot, "fines"));
        let table = Table {
            lots,
            fines,
            dry_leaf: self.dry_leaf.map(|dry| inputs.add("dry leaf", &dry)),
            temperature: inputs.add("temperature", &self.temperature),
            brought: self
                .brought
                .iter()
                .map(|one| one.add_to(&mut inputs))
                .collect(),
            good: self
                .good
                .iter()
                .map(|one| inputs.add(one.name.clone(), &one.mass))
                .collect(),
            at: inputs.add("moisture of what is good", &self.at),
            to: self.to,
        };
        let run = inputs.propagate(&table);
        Ok(Reconciled {
            dry_in: run.estimate(|f| f.dry_in),
            theoretical: run.estimate(|f| f.theoretical),
            good: run.estimate(|f| f.good),
            yield_as_weighed: run.estimate(|f| f.good / f.theoretical),
            yield_at_target: run.estimate(|f| f.good_at_target / f.theoretical),
            dry_accounted: run.estimate(|f| f.dry_accounted),
            dry_recovery: run.estimate(|f| f.dry_accounted / f.dry_in),
            gap: run.estimate(|f| f.theoretical - f.good),
            moisture: run.estimate(|f| f.good_at_target - f.good),
            fines: run.estimate(|f| f.fines_at_target),
            unexplained: run.estimate(|f| f.theoretical - f.good_at_target - f.fines_at_target),
        })
    }

    fn check(&self) -> Result<()> {
        let missing = |message: &str, hint: &str| {
            Err(Error::new(ErrorKind::Missing, message).with_hint(hint))
        };
        if self.leaf.is_empty() && self.dry_leaf.is_none() {
            return missing(
                "what leaf went in is missing",
                "give each lot with its moisture, or the dry leaf of all",
            );
        }
        if self.good.is_empty() {
            return missing("what came out is missing", "give the packs, or their mass");
        }
        let lots = self.leaf.iter().chain(&self.fines).map(|lot| lot.mass);
        let good = self.good.iter().map(|one| one.mass);
        for mass in lots.chain(good).chain(self.dry_leaf) {
            MASS.check_base(mass.value().base())?;
        }
        let temperature = self.temperature.value();
        self.brought
            .iter()
            .try_for_each(|one| one.check(temperature))
    }
}

struct Table {
    lots: Vec<(Slot<Mass>, Slot<Moisture>)>,
    fines: Option<(Slot<Mass>, Slot<Moisture>)>,
    dry_leaf: Option<Slot<Mass>>,
    temperature: Slot<Temperature>,
    brought: Vec<BroughtSlots>,
    good: Vec<Slot<Mass>>,
    at: Slot<Moisture>,
    to: Moisture,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    dry_in: Mass<V>,
    theoretical: Mass<V>,
    good: Mass<V>,
    good_at_target: Mass<V>,
    fines_at_target: Mass<V>,
    dry_accounted: Mass<V>,
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
        let leaf =
            |&(mass, at): &(Slot<Mass>, Slot<Moisture>)| Pile::leaf(point.get(mass), point.get(at));
        let dry_leaf = self
            .dry_leaf
            .iter()
            .map(|dry| Pile::leaf(point.get(*dry), Moisture::of_base(0.0).lift::<V>()));
        let went_in = self.lots.iter().map(leaf).chain(dry_leaf);
        let went_in = went_in.fold(Pile::empty(), Pile::mix);
        let temperature = point.get(self.temperature);
        let went_in = self
            .brought
            .iter()
            .fold(went_in, |pile, one| one.onto(pile, point, temperature));
        let good: Mass<V> = self.good.iter().map(|slot| point.get(*slot)).sum();
        let good = Pile::leaf(good, point.get(self.at));
        let fines = self.fines.iter().map(leaf).fold(Pile::empty(), Pile::mix);
        // What a pile weighs once it is at the moisture wanted.
        let at_target = |pile: Pile<V>| pile.at_moisture(self.to.lift::<V>()).aired().total();
        Figures {
            dry_in: went_in.dry_matter(),
            theoretical: at_target(went_in),
            good: good.total(),
            good_at_target: at_target(good),
            fines_at_target: at_target(fines),
            dry_accounted: good.dry_matter() + fines.dry_matter(),
        }
    }
}
