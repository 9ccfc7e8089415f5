//! A liquid of the bench: what is in it by mass, and its density.

use uom::si::ratio::percent;
use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{DENSITY, Density, Inputs, Measured, Point, Ratio, Real, Scalar, Slot};

/// What a part of a liquid is to the balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Water: counted as moisture.
    Water,
    /// Alcohol: a volatile carrier, gone after the rest.
    Alcohol,
    /// Propylene glycol: a humectant; stays.
    Glycol,
    /// Glycerine: a humectant; stays.
    Glycerine,
    /// Sugars: solids; stay.
    Sugar,
    /// Anything else that stays.
    Solids,
}

impl Part {
    /// All parts, in the order in which they are named to a person.
    pub const ALL: [Self; 6] = [
        Self::Water,
        Self::Alcohol,
        Self::Glycol,
        Self::Glycerine,
        Self::Sugar,
        Self::Solids,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Alcohol => "alcohol",
            Self::Glycol => "glycol",
            Self::Glycerine => "glycerine",
            Self::Sugar => "sugar",
            Self::Solids => "solids",
        }
    }

    /// The part of this name, in any case; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|part| part.name().eq_ignore_ascii_case(name.trim()))
    }
}

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
    /// What the shares leave: solids; or water, beside nothing but alcohol.
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
        Self::with_rest(&[(Part::Alcohol, alcohol)], Part::Water)
    }

    fn with_rest(parts: &[(Part, Measured<Ratio>)], rest: Part) -> Result<Self> {
        let refuse = |message: String| Err(Error::new(ErrorKind::Composition, message));
        let mut sum = 0.0;
        for (i, (part, share)) in parts.iter().enumerate() {
            let number = share.value().base();
            if !(0.0..=1.0).contains(&number) {
                return refuse(format!(
                    "the share of {} must be from 0 % to 100 %, not {} %",
                    part.name(),
                    share.value().get::<percent>()
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

    /// Whether a volatile carrier is in it.
    pub fn has_carrier(&self) -> bool {
        self.parts
            .iter()
            .any(|(part, share)| *part == Part::Alcohol && share.value().base() > 0.0)
    }

    /// The share that stays and is neither water nor humectant, by mass.
    pub fn solids(&self) -> Ratio {
        let share = |part: Part| -> f64 {
            let named = self.parts.iter().filter(|(p, _)| *p == part);
            named.map(|(_, share)| share.value().base()).sum()
        };
        if self.rest == Part::Water {
            return Ratio::of_base(0.0);
        }
        let other = [Part::Water, Part::Alcohol, Part::Glycol, Part::Glycerine];
        Ratio::of_base(1.0 - other.map(share).iter().sum::<f64>())
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

/// A composition among the inputs of a formula.
#[derive(Clone, Debug)]
pub struct CompositionSlots {
    parts: Vec<(Part, Slot<Ratio>)>,
    rest: Part,
}

impl CompositionSlots {
    /// The mass fractions at a point.
    pub fn at<V: Real>(&self, point: &Point<'_, V>) -> Fractions<V>
    where
        SI<V>: Units<V>,
    {
        let of = |wanted: &[Part]| {
            self.parts
                .iter()
                .filter(|(part, _)| wanted.contains(part))
                .map(|(_, slot)| point.get(*slot))
                .sum::<Ratio<V>>()
        };
        let carrier = of(&[Part::Alcohol]);
        let humectant = of(&[Part::Glycol, Part::Glycerine]);
        let water = if self.rest == Part::Water {
            Ratio::from(V::one()) - carrier
        } else {
            of(&[Part::Water])
        };
        Fractions {
            water,
            carrier,
            humectant,
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
