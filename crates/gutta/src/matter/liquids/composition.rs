//! What is in a liquid, by mass.

use uom::si::{SI, Units};

use super::{Part, Solute};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{DENSITY, Density, Inputs, Measured, Point, Ratio, Real, Scalar, Slot};

/// A liquid as mass fractions; what is not named is solids.
///
/// ```
/// use gutta::{Composition, Part};
/// use gutta::measure::{Measured, Ratio};
/// use uom::si::ratio::percent;
/// let by_mass = |p| Measured::exact(Ratio::new::<percent>(p));
/// let casing = Composition::new(&[(Part::Water, by_mass(35.0))]).unwrap();
/// assert!((casing.solids().get::<percent>() - 65.0).abs() < 1e-12);
/// assert!(Composition::new(&[(Part::Water, by_mass(101.0))]).is_err());
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Composition {
    parts: Vec<(Part, Measured<Ratio>)>,
    /// What the shares leave: solids, unless it is known to be another part.
    rest: Part,
}

impl Composition {
    /// A composition from the parts that are known, by mass.
    ///
    /// # Errors
    /// When a share is outside 0 to 100 %, a part is named twice, or all
    /// together are more than 100 %.
    pub fn new(parts: &[(Part, Measured<Ratio>)]) -> Result<Self> {
        Self::with_rest(parts, Part::Solids)
    }

    /// Alcohol and water alone, from the alcohol's share by mass.
    ///
    /// # Errors
    /// When the share is outside 0 to 100 %.
    pub fn spirit(alcohol: Measured<Ratio>) -> Result<Self> {
        Self::solution(Solute::Alcohol, alcohol)
    }

    /// One thing in water and nothing else, from its share by mass.
    ///
    /// # Errors
    /// When the share is outside 0 to 100 %.
    pub fn solution(solute: Solute, share: Measured<Ratio>) -> Result<Self> {
        Self::with_rest(&[(solute.part(), share)], Part::Water)
    }

    /// A composition from the parts that are known, by mass; what they leave is
    /// all of one part.
    ///
    /// # Errors
    /// As [`new`](Self::new); and when a share of the rest is among the parts.
    pub fn with_rest(parts: &[(Part, Measured<Ratio>)], rest: Part) -> Result<Self> {
        let refuse = |message: String| Err(Error::new(ErrorKind::Composition, message));
        let mut sum = 0.0;
        if rest != Part::Solids && parts.iter().any(|(part, _)| *part == rest) {
            return refuse(format!("{} is named, and is the rest too", rest.name()));
        }
        for (i, (part, share)) in parts.iter().enumerate() {
            let number = share.value().base();
            if !(0.0..=1.0).contains(&number) {
                return refuse(format!(
                    "the share of {} must be from 0 % to 100 %, not {} %",
                    part.name(),
                    (number * 1e11).round() / 1e9
                ))
                .map_err(|e| e.with_hint("type the share by mass, such as 35% water"));
            }
            if parts[..i].iter().any(|(earlier, _)| earlier == part) {
                return refuse(format!("{} is named twice", part.name()))
                    .map_err(|e| e.with_hint("name each part once, with its whole share"));
            }
            sum += number;
        }
        if sum > 1.0 + 1e-9 {
            return refuse(format!(
                "the parts make {} %, more than the whole",
                (sum * 1e6).round() / 1e4
            ))
            .map_err(|e| e.with_hint("shares are by mass, 100 % in all; what is left is solids"));
        }
        Ok(Self {
            parts: parts.to_vec(),
            rest,
        })
    }

    /// Water and nothing else.
    pub const fn water() -> Self {
        Self {
            parts: Vec::new(),
            rest: Part::Water,
        }
    }

    /// The parts that were named, with their shares by mass.
    pub fn parts(&self) -> &[(Part, Measured<Ratio>)] {
        &self.parts
    }

    /// Whether it is water and nothing else.
    pub fn is_water(&self) -> bool {
        self.parts.is_empty() && self.rest == Part::Water
    }

    /// What the parts that were named leave.
    pub const fn rest(&self) -> Part {
        self.rest
    }

    /// The share by mass of what the parts that were named leave, with its doubt;
    /// where the shares of several are in doubt, as if they were independent.
    pub fn rest_share(&self) -> Measured<Ratio> {
        let u = self.parts.iter().map(|(_, share)| share.u().powi(2));
        let dof = self.parts.iter().map(|(_, share)| share.dof());
        let rest = self.parts.iter().map(|(_, share)| share.value().base());
        Measured::new(
            Ratio::of_base(1.0 - rest.sum::<f64>()),
            u.sum::<f64>().sqrt(),
            dof.fold(f64::INFINITY, f64::min),
        )
    }

    /// The one thing that is in it besides water, with its share by mass.
    pub fn dissolved(&self) -> Option<(Solute, Measured<Ratio>)> {
        match self.parts.as_slice() {
            [(part, share)] if self.rest == Part::Water => {
                Solute::of(*part).map(|solute| (solute, *share))
            }
            _ => None,
        }
    }

    /// The best estimate of a part's share by mass.
    pub fn share(&self, part: Part) -> Ratio {
        let named = |wanted: &dyn Fn(Part) -> bool| -> f64 {
            let named = self.parts.iter().filter(|(p, _)| wanted(*p));
            named.map(|(_, share)| share.value().base()).sum()
        };
        let own = named(&|p| p == part);
        if part == self.rest {
            return Ratio::of_base(own + 1.0 - named(&|_| true));
        }
        Ratio::of_base(own)
    }

    /// Whether a volatile carrier is in it.
    pub fn has_carrier(&self) -> bool {
        self.parts
            .iter()
            .any(|(part, share)| *part == Part::Alcohol && share.value().base() > 0.0)
    }

    /// The share that stays and is neither water nor humectant, by mass.
    pub fn solids(&self) -> Ratio {
        self.share(Part::Sugar) + self.share(Part::Solids)
    }

    /// Hands the shares over as inputs of a formula, each with its own doubt;
    /// two amounts of one liquid share them.
    pub fn add_to(&self, inputs: &mut Inputs, of: &str) -> CompositionSlots {
        let parts = self.parts.iter().map(|(part, share)| {
            let name = format!("{} in {of}", part.name());
            (*part, inputs.add_once(name, share))
        });
        CompositionSlots {
            parts: parts.collect(),
            rest: self.rest,
        }
    }
}

/// A liquid of which nothing is known but that it is one: solids, which neither
/// bring water nor leave.
impl Default for Composition {
    fn default() -> Self {
        Self {
            parts: Vec::new(),
            rest: Part::Solids,
        }
    }
}

/// A composition among the inputs of a formula.
#[derive(Clone, Debug)]
pub struct CompositionSlots {
    parts: Vec<(Part, Slot<Ratio>)>,
    rest: Part,
}

impl CompositionSlots {
    /// The share by mass of one part at a point.
    pub fn share<V: Real>(&self, part: Part, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let sum = |parts: &mut dyn Iterator<Item = &(Part, Slot<Ratio>)>| {
            parts.map(|(_, slot)| point.get(*slot)).sum::<Ratio<V>>()
        };
        let own = sum(&mut self.parts.iter().filter(|(p, _)| *p == part));
        if part == self.rest {
            own + Ratio::from(V::one()) - sum(&mut self.parts.iter())
        } else {
            own
        }
    }

    /// The mass fractions at a point.
    pub fn at<V: Real>(&self, point: &Point<'_, V>) -> Fractions<V>
    where
        SI<V>: Units<V>,
    {
        Fractions {
            water: self.share(Part::Water, point),
            carrier: self.share(Part::Alcohol, point),
            humectant: self.share(Part::Glycol, point) + self.share(Part::Glycerine, point),
        }
    }
}

/// A liquid's mass fractions as the pile takes them; the rest is solids.
#[derive(Clone, Copy, Debug)]
pub struct Fractions<V: Real = f64>
where
    SI<V>: Units<V>,
{
    /// Water.
    pub water: Ratio<V>,
    /// What evaporates and is not water.
    pub carrier: Ratio<V>,
    /// What stays and holds water.
    pub humectant: Ratio<V>,
}

/// Checks the density of a liquid: 0.6 to 1.5 g/mL.
///
/// # Errors
/// A refusal when it is outside.
pub fn check_density(density: &Measured<Density>) -> Result<()> {
    DENSITY.check_base(density.value().base())
}
