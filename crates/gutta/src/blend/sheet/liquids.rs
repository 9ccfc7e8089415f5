//! What goes onto the mixed leaf: casings, then flavourings.

use super::{Sheet, leaf::Leaf};
use crate::bench::{
    Added, Asked, Brought, Casing, Dosed, Dosing, Drop, LeafBasis, Rate, is_counted,
};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, Liquid, Part};
use crate::measure::{DOSE, Drops, Estimate, Mass, Measured, Ratio, Scalar, Scale};

/// The most drops that are counted of a liquid whose volume is not known: about
/// as many as 2 mL have (common practice).
const MOST_COUNTED: f64 = 60.0;

/// A casing of a formula.
#[derive(Clone, Debug)]
pub struct CasingLine {
    /// The casing.
    pub liquid: Liquid,
    /// How much of it, on which leaf.
    pub rate: Rate,
}

/// A flavouring of a formula.
#[derive(Clone, Debug)]
pub struct FlavourLine {
    /// The flavouring.
    pub liquid: Liquid,
    /// Flavouring over leaf, by mass: exact where it is wanted so, with its doubt
    /// where it is what a trial was given.
    pub dose: Measured<Ratio>,
    /// The leaf that it is counted on.
    pub basis: LeafBasis,
    /// One drop of it, where it is counted.
    pub drop: Option<Drop>,
}

/// A casing for the leaf of a sheet.
#[derive(Clone, Debug)]
pub struct Cased {
    /// What to weigh.
    pub mass: Estimate<Mass>,
    liquid: Liquid,
}

/// A flavouring for the leaf of a sheet.
#[derive(Clone, Debug)]
pub struct Flavoured {
    /// What the dose comes to.
    pub dosed: Dosed,
    /// The whole drops, where drops are the right tool: one or more, and no more
    /// than is [counted](is_counted).
    pub counted: Option<(Drops, Drop)>,
    liquid: Liquid,
}

impl Flavoured {
    /// What goes into the bowl: the whole drops, or what is weighed.
    pub fn goes_on(&self) -> Mass {
        match (&self.counted, &self.dosed.counted) {
            (Some(_), Some(counted)) => counted.mass.best(),
            _ => self.dosed.mass.best(),
        }
    }

    /// Whether it is less than one drop of its dropper: it can be neither counted
    /// nor, most often, weighed.
    pub fn is_less_than_a_drop(&self) -> bool {
        self.dosed.drops_exact.is_some() && self.dosed.counted.is_none()
    }

    pub(super) fn brought(&self, scale: Option<Scale>) -> Result<Brought> {
        Ok(Brought {
            amount: match self.counted {
                Some((drops, drop)) => Added::Drops(drops, drop),
                None => Added::Mass(weighed(self.goes_on(), scale)),
            },
            ..Brought::weighed(
                self.liquid.name.as_str(),
                Measured::exact(self.goes_on()),
                composition(&self.liquid)?,
            )
        })
    }
}

impl Cased {
    pub(super) fn brought(&self, scale: Option<Scale>) -> Brought {
        Brought::weighed(
            self.liquid.name.as_str(),
            weighed(self.mass.best(), scale),
            self.liquid.composition.clone().unwrap_or_default(),
        )
    }
}

fn weighed(mass: Mass, scale: Option<Scale>) -> Measured<Mass> {
    match scale {
        Some(scale) => scale.weighed(mass),
        None => Measured::exact(mass),
    }
}

/// What is in a liquid, which the water goes by.
fn composition(liquid: &Liquid) -> Result<Composition> {
    liquid.composition.clone().ok_or_else(|| {
        Error::new(
            ErrorKind::Missing,
            format!(
                "what is in {} is not known, and the water goes by it",
                liquid.name
            ),
        )
        .with_hint("say its water and alcohol by mass; what is not named is solids")
    })
}

/// The carrier of all that goes on, where what is in it is known.
pub(super) fn carrier(casings: &[Cased], flavours: &[Flavoured]) -> Mass {
    let of = |liquid: &Liquid, mass: Mass| {
        let share = liquid.composition.as_ref();
        let share = share.map_or(0.0, |all| all.share(Part::Alcohol).base());
        mass * share
    };
    let of_casings = casings.iter().map(|one| of(&one.liquid, one.mass.best()));
    let of_flavours = flavours.iter().map(|one| of(&one.liquid, one.goes_on()));
    of_casings
        .chain(of_flavours)
        .fold(Mass::of_base(0.0), |sum, mass| sum + mass)
}

/// The casings for the leaf.
pub(super) fn cased(sheet: &Sheet, leaf: &Leaf) -> Result<Vec<Cased>> {
    let each = sheet.casings.iter().map(|line| {
        let at = leaf.at("casing")?;
        let any = Measured::exact(Mass::of_base(1.0));
        let recipe = Brought::weighed(line.liquid.name.as_str(), any, composition(&line.liquid)?);
        let casing = Casing::new(leaf.total, at, vec![recipe], line.rate).cased()?;
        Ok(Cased {
            mass: casing.casing,
            liquid: line.liquid.clone(),
        })
    });
    each.collect()
}

/// The flavourings for the leaf.
pub(super) fn flavoured(sheet: &Sheet, leaf: &Leaf) -> Result<Vec<Flavoured>> {
    let each = sheet.flavours.iter().map(|line| {
        DOSE.check_base(line.dose.value().base())?;
        let at = match line.basis {
            LeafBasis::Dry => Some(leaf.at("a dose on dry leaf")?),
            LeafBasis::AsWeighed => leaf.at_if_known(),
        };
        // Without a density there are grams and drops, and no millilitres.
        let density = line.liquid.density(&sheet.temperature).ok();
        let dosing = Dosing {
            leaf: Some(leaf.total),
            at,
            drop: line.drop,
            density: density.as_ref().map(Estimate::measured),
            ..Dosing::new(Asked::Dose(line.dose), line.basis)
        };
        let dosed = dosing.answer()?;
        let counted = dosed
            .counted
            .as_ref()
            .filter(|counted| match &dosed.volume {
                Some(volume) => is_counted(volume.best()),
                None => counted.drops.count() <= MOST_COUNTED,
            });
        Ok(Flavoured {
            counted: counted.map(|counted| counted.drops).zip(line.drop),
            dosed,
            liquid: line.liquid.clone(),
        })
    });
    each.collect()
}
