//! A trial or a batch as it was really made: the leaf that was weighed, the
//! liquids that went on, and what follows from them.
//!
//! # Why are the shares worked out, and not those of the formula?
//!
//! What is judged is what lies in the jar. Two trials that were planned a point
//! apart and weighed half a point off each are not a point apart.

use uom::si::{SI, Units};

use crate::bench::{Brought, BroughtSlots};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Moisture, Pile};
use crate::measure::{
    Estimate, Formula, Inputs, MASS, Mass, Measured, Point, ROOM_TEMPERATURE, Ratio, Real, Scalar,
    Slot,
};

/// Leaf that was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeLeaf {
    /// The component, as the formula names it.
    pub name: String,
    /// What its moisture was found on, such as its lot: leaf of one source has one
    /// moisture, and one doubt.
    pub source: String,
    /// What was weighed.
    pub mass: Measured<Mass>,
    /// Its moisture, where it is known.
    pub at: Option<Measured<Moisture>>,
}

/// A liquid that went on.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeLiquid {
    /// The liquid, and how much of it.
    pub liquid: Brought,
    /// Whether it is known what is in it: the moisture goes by that.
    pub is_known: bool,
}

/// A trial or a batch, as it was made at 20 °C.
///
/// ```
/// use gutta::Moisture;
/// use gutta::bench::{Added, Brought};
/// use gutta::blend::record::{MadeLeaf, MadeLiquid, Making};
/// use gutta::matter::Composition;
/// use gutta::measure::{Mass, Measured, Ratio};
/// use uom::si::{mass::gram, ratio::{per_mille, percent}};
/// let grams = |g| Measured::exact(Mass::new::<gram>(g));
/// let making = Making {
///     leaf: vec![MadeLeaf {
///         name: "oriental".to_owned(),
///         source: "sun-25".to_owned(),
///         mass: grams(20.0),
///         at: Some(Measured::exact(Moisture::new(Ratio::new::<percent>(10.0))?)),
///     }],
///     liquids: vec![MadeLiquid {
///         liquid: Brought::weighed("fig tincture", grams(0.09), Composition::default()),
///         is_known: false,
///     }],
/// };
/// let now = making.now()?;
/// let dose = &now.given[0];
/// // 90 mg on 20 g as weighed, on 18 g dry.
/// assert!((dose.on_leaf.best().get::<per_mille>() - 4.5).abs() < 1e-9);
/// assert!((dose.on_dry.as_ref().unwrap().best().get::<per_mille>() - 5.0).abs() < 1e-9);
/// // What is in the tincture is not known, and so the moisture is not.
/// assert!(now.moisture.is_none());
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Making {
    /// The leaf, weighing by weighing.
    pub leaf: Vec<MadeLeaf>,
    /// The liquids, water among them, in the order that they went on.
    pub liquids: Vec<MadeLiquid>,
}

/// The share that a component really has.
#[derive(Clone, Debug)]
pub struct MadeShare {
    /// The component, its weighings together.
    pub name: String,
    /// All that was weighed of it.
    pub mass: Estimate<Mass>,
    /// Of leaf as weighed.
    pub as_weighed: Estimate<Ratio>,
    /// Of dry leaf, where all moistures are known.
    pub dry: Option<Estimate<Ratio>>,
}

/// What was really given of a liquid, all of it together.
#[derive(Clone, Debug)]
pub struct GivenLiquid {
    /// The liquid.
    pub name: String,
    /// What it weighs.
    pub mass: Estimate<Mass>,
    /// Over all leaf as weighed.
    pub on_leaf: Estimate<Ratio>,
    /// Over all dry leaf, where all moistures are known.
    pub on_dry: Option<Estimate<Ratio>>,
}

/// What a trial or a batch is.
#[derive(Clone, Debug)]
pub struct MakingNow {
    /// All leaf as weighed.
    pub leaf: Estimate<Mass>,
    /// All dry leaf, where all moistures are known.
    pub dry_leaf: Option<Estimate<Mass>>,
    /// The components, in the order that they were weighed first.
    pub shares: Vec<MadeShare>,
    /// The liquids, in the order that they went on first.
    pub given: Vec<GivenLiquid>,
    /// All that lies there once the carrier has left.
    pub total: Estimate<Mass>,
    /// Its moisture then, where that of all leaf and all that is in the liquids
    /// is known.
    pub moisture: Option<Estimate<Moisture>>,
}

impl Making {
    /// What it is.
    ///
    /// # Errors
    /// When no leaf was weighed, a mass is not above 0, or an amount of a liquid
    /// needs a density that is not known.
    pub fn now(&self) -> Result<MakingNow> {
        if self.leaf.is_empty() {
            return Err(Error::new(ErrorKind::Missing, "no leaf was weighed yet")
                .with_hint("weigh the leaf first: all else is counted on it"));
        }
        for leaf in &self.leaf {
            MASS.check_base(leaf.mass.value().base())?;
        }
        for liquid in &self.liquids {
            liquid.liquid.check(ROOM_TEMPERATURE)?;
        }
        let (inputs, table) = self.lay();
        let run = inputs.propagate(&table);
        let knows_leaf = self.leaf.iter().all(|leaf| leaf.at.is_some());
        let knows_all = knows_leaf && self.liquids.iter().all(|liquid| liquid.is_known);
        let shares = table.names.iter().enumerate().map(|(at, name)| MadeShare {
            name: name.clone(),
            mass: run.estimate(|f| f.shares[at].mass),
            as_weighed: run.estimate(|f| f.shares[at].as_weighed),
            dry: knows_leaf.then(|| run.estimate(|f| f.shares[at].dry)),
        });
        let given = table
            .poured
            .iter()
            .enumerate()
            .map(|(at, name)| GivenLiquid {
                name: name.clone(),
                mass: run.estimate(|f| f.given[at].0),
                on_leaf: run.estimate(|f| f.given[at].1),
                on_dry: knows_leaf.then(|| run.estimate(|f| f.given[at].2)),
            });
        Ok(MakingNow {
            leaf: run.estimate(|f| f.leaf),
            dry_leaf: knows_leaf.then(|| run.estimate(|f| f.dry_leaf)),
            shares: shares.collect(),
            given: given.collect(),
            total: run.estimate(|f| f.pile.total()),
            moisture: knows_all.then(|| run.estimate(|f| f.pile.moisture())),
        })
    }

    fn lay(&self) -> (Inputs, Table) {
        let mut inputs = Inputs::new();
        let mut names: Vec<String> = Vec::new();
        let leaf = self.leaf.iter().map(|leaf| {
            let component = place(&mut names, &leaf.name);
            // Where it is not known, nothing that goes by it is answered.
            let at = leaf.at.unwrap_or(Measured::exact(Moisture::of_base(0.0)));
            LeafSlots {
                component,
                mass: inputs.add(leaf.name.clone(), &leaf.mass),
                at: inputs.add_once(format!("moisture of {}", leaf.source), &at),
            }
        });
        let leaf = leaf.collect();
        let mut poured: Vec<String> = Vec::new();
        let liquids = self.liquids.iter().map(|MadeLiquid { liquid, .. }| {
            let at = place(&mut poured, &liquid.name);
            (at, liquid.add_to(&mut inputs))
        });
        let liquids = liquids.collect();
        let table = Table {
            names,
            leaf,
            poured,
            liquids,
        };
        (inputs, table)
    }
}

/// The place of a name among those before it, or behind them.
fn place(names: &mut Vec<String>, name: &str) -> usize {
    let place = names.iter().position(|known| known == name);
    place.unwrap_or_else(|| {
        names.push(name.to_owned());
        names.len() - 1
    })
}

struct LeafSlots {
    component: usize,
    mass: Slot<Mass>,
    at: Slot<Moisture>,
}

struct Table {
    names: Vec<String>,
    leaf: Vec<LeafSlots>,
    poured: Vec<String>,
    liquids: Vec<(usize, BroughtSlots)>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    leaf: Mass<V>,
    dry_leaf: Mass<V>,
    shares: Vec<Share<V>>,
    /// Mass, over leaf as weighed, over dry leaf.
    given: Vec<(Mass<V>, Ratio<V>, Ratio<V>)>,
    /// With all on it, the carrier gone.
    pile: Pile<V>,
}

struct Share<V: Real>
where
    SI<V>: Units<V>,
{
    mass: Mass<V>,
    as_weighed: Ratio<V>,
    dry: Ratio<V>,
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
        let mut components = vec![Pile::<V>::empty(); self.names.len()];
        for leaf in &self.leaf {
            let more = Pile::leaf(point.get(leaf.mass), point.get(leaf.at));
            components[leaf.component] = components[leaf.component].mix(more);
        }
        let all = components
            .iter()
            .fold(Pile::empty(), |all, one| all.mix(*one));
        let (leaf, dry_leaf) = (all.total(), all.dry_leaf());
        let shares = components.iter().map(|one| Share {
            mass: one.total(),
            as_weighed: one.total() / leaf,
            dry: one.dry_leaf() / dry_leaf,
        });
        let shares = shares.collect();
        let room = ROOM_TEMPERATURE.lift::<V>();
        let mut masses = vec![Pile::<V>::empty().total(); self.poured.len()];
        for (at, liquid) in &self.liquids {
            masses[*at] += liquid.mass(point, room);
        }
        let given = masses.into_iter();
        let given = given
            .map(|mass| (mass, mass / leaf, mass / dry_leaf))
            .collect();
        let pile = self
            .liquids
            .iter()
            .fold(all, |pile, (_, liquid)| liquid.onto(pile, point, room))
            .aired();
        Figures {
            leaf,
            dry_leaf,
            shares,
            given,
            pile,
        }
    }
}
