//! Liquids of the bench: what is in them, their density, their names.
//!
//! # Where is what?
//!
//! | question | file |
//! |---|---|
//! | what is in it, by mass | `composition` |
//! | alcohol by volume and by mass, its density, what it flashes at | [`alcohol`] |
//! | the density of one thing in water | `solute` |
//! | what a density is known from, as an input of a formula | `density` |
//! | what casings are made of, with the water they usually hold | `ingredient`, `honey` |
//! | `alcohol 70% vol`, `glycol 50%`, `syrup 65 Brix` | `name` |

pub mod alcohol;
mod composition;
mod density;
mod honey;
mod ingredient;
mod name;
mod part;
mod solute;

pub use composition::{Composition, CompositionSlots, Fractions, check_density};
pub use density::{DensityOf, DensitySlot};
pub use honey::{HONEY_DENSITY_U, honey_density};
pub use ingredient::Ingredient;
pub use name::Strength;
pub use part::Part;
pub use solute::Solute;

use uom::si::{SI, Units};

use super::water;
use crate::caution::Caution;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Density, Estimate, Formula, Inputs, Measured, Point, Ratio, Real, Scalar, Slot, SurfaceTension,
    TENSION_TEMPERATURE, Temperature, celsius,
};

/// A liquid with a name.
///
/// ```
/// use gutta::matter::Liquid;
/// use gutta::measure::{Measured, ROOM_TEMPERATURE};
/// let room = Measured::exact(ROOM_TEMPERATURE);
/// let spirit = Liquid::named("alcohol 70% vol")?.expect("a known name");
/// // OIML R 22 as printed: 885.56 kg/m³.
/// assert!((spirit.density(&room)?.best().value - 885.56).abs() < 0.006);
/// assert!(Liquid::named("house flavouring")?.is_none());
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Liquid {
    /// What it is called.
    pub name: String,
    /// What is in it, where that is known.
    pub composition: Option<Composition>,
    /// What its density is known from.
    pub density: DensityOf,
    /// Its surface tension, where somebody measured it or looked it up.
    pub surface_tension: Option<Measured<SurfaceTension>>,
    /// How its name says its strength.
    pub strength: Strength,
}

impl Liquid {
    /// A liquid of somebody's own: its name, and what is known of it.
    pub fn own(
        name: impl Into<String>,
        composition: Option<Composition>,
        density: Option<Measured<Density>>,
    ) -> Self {
        Self {
            name: name.into(),
            density: match (density, &composition) {
                (Some(density), _) => DensityOf::Measured(density),
                (None, Some(composition)) => DensityOf::composition(composition),
                (None, None) => DensityOf::Unknown,
            },
            composition,
            surface_tension: None,
            strength: Strength::Own,
        }
    }

    /// Distilled water.
    pub fn water() -> Self {
        Self {
            strength: Strength::Unsaid,
            ..Self::own("water", Some(Composition::water()), None)
        }
    }

    /// Whether it is water and nothing else.
    pub fn is_water(&self) -> bool {
        self.composition.as_ref().is_some_and(Composition::is_water)
    }

    /// Its density at a temperature.
    ///
    /// # Errors
    /// When it is not known, or the temperature or the strength is outside what
    /// it is known for.
    pub fn density(&self, temperature: &Measured<Temperature>) -> Result<Estimate<Density>> {
        self.check_density(temperature.value())?;
        let mut inputs = Inputs::new();
        let formula = self.lay(&mut inputs, temperature);
        Ok(inputs.propagate(&formula).estimate(|density| *density))
    }

    fn check_density(&self, temperature: Temperature) -> Result<()> {
        let composition = self.composition.clone().unwrap_or_default();
        self.density.check(&self.name, &composition, temperature)
    }

    fn lay(&self, inputs: &mut Inputs, temperature: &Measured<Temperature>) -> Dense {
        let composition = self.composition.clone().unwrap_or_default();
        Dense {
            parts: composition.add_to(inputs, &self.name),
            density: self.density.add_to(inputs, &self.name),
            temperature: inputs.add_once("temperature", temperature),
        }
    }

    /// Where its surface tension is from: its own, that of water, or that of
    /// alcohol by its share. None of anything thick, the drops of which hang on
    /// too long for the tension alone to say.
    ///
    /// # Errors
    /// A refusal where it is not known, with what to do instead, or outside 15
    /// to 30 °C.
    pub fn tension(&self, temperature: Temperature) -> Result<TensionOf> {
        if self.is_thick() {
            return Err(self.no_drop("is thicker than water"));
        }
        if let Some(tension) = self.surface_tension {
            return Ok(TensionOf::Own(tension));
        }
        let of = match self.density {
            DensityOf::Water => TensionOf::Water,
            DensityOf::Solution(Solute::Alcohol) => TensionOf::Alcohol,
            _ => return Err(self.no_drop("has no known surface tension")),
        };
        TENSION_TEMPERATURE.check_base(temperature.base())?;
        Ok(of)
    }

    /// Whether it is thick: a fifth or more of it is glycol, glycerine and sugar.
    /// Water with as much is twice as thick as water, about as 40 % alcohol is;
    /// the line is a judgement.
    fn is_thick(&self) -> bool {
        let Some(composition) = &self.composition else {
            return false;
        };
        let thick = [Part::Glycol, Part::Glycerine, Part::Sugar];
        let share: f64 = thick.iter().map(|p| composition.share(*p).base()).sum();
        share >= 0.2
    }

    fn no_drop(&self, why: &str) -> Error {
        Error::new(
            ErrorKind::Refused,
            format!(
                "{} {why}: its drop cannot be worked out from that of water",
                self.name
            ),
        )
        .with_hint(format!(
            "count 20 drops of {} onto the zeroed scale: a drop has that mass over 20",
            self.name
        ))
    }

    /// Its surface tension at a temperature.
    ///
    /// # Errors
    /// As [`tension`](Self::tension).
    pub fn surface_tension_at(
        &self,
        temperature: &Measured<Temperature>,
    ) -> Result<Estimate<SurfaceTension>> {
        let tension = self.tension(temperature.value())?;
        let composition = self.composition.clone().unwrap_or_default();
        let mut inputs = Inputs::new();
        let formula = Tense {
            parts: composition.add_to(&mut inputs, &self.name),
            tension: tension.add_to(&mut inputs, &self.name),
            temperature: inputs.add_once("temperature", temperature),
        };
        Ok(inputs.propagate(&formula).estimate(|tension| *tension))
    }

    /// The strength by volume at 20 °C, where it is alcohol and water alone.
    pub fn strength_by_volume(&self) -> Option<Measured<Ratio>> {
        match self.composition.as_ref()?.dissolved()? {
            (Solute::Alcohol, share) => Some(share.through::<Ratio>(alcohol::share_by_volume)),
            _ => None,
        }
    }

    /// About where it flashes, where it is alcohol and water alone, of 10 % by
    /// volume or more.
    pub fn flash_point(&self) -> Option<Temperature> {
        alcohol::flash_point(self.strength_by_volume()?.value())
    }
}

/// Where a surface tension is from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TensionOf {
    /// Water's, at its temperature.
    Water,
    /// That of alcohol and water, by the alcohol's share.
    Alcohol,
    /// Somebody's own.
    Own(Measured<SurfaceTension>),
}

/// A surface tension among the inputs of a formula.
#[derive(Clone, Copy, Debug)]
pub enum TensionSlot {
    /// Water's.
    Water,
    /// That of alcohol and water.
    Alcohol(Slot<Ratio>),
    /// Somebody's own.
    Own(Slot<SurfaceTension>),
}

impl TensionOf {
    /// Hands it over as an input of a formula.
    pub fn add_to(&self, inputs: &mut Inputs, of: &str) -> TensionSlot {
        match self {
            Self::Water => TensionSlot::Water,
            Self::Alcohol => {
                let one = Ratio::of_base(1.0);
                let table = Measured::new(one, alcohol::TENSION_U, f64::INFINITY);
                TensionSlot::Alcohol(inputs.add_once("table of surface tension", &table))
            }
            Self::Own(tension) => {
                TensionSlot::Own(inputs.add_once(format!("surface tension of {of}"), tension))
            }
        }
    }
}

impl TensionSlot {
    /// The surface tension at a point, of a liquid of these parts at a
    /// temperature.
    pub fn at<V: Real>(
        self,
        point: &Point<'_, V>,
        parts: &CompositionSlots,
        temperature: Temperature<V>,
    ) -> SurfaceTension<V>
    where
        SI<V>: Units<V>,
    {
        match self {
            Self::Water => water::surface_tension(temperature),
            Self::Alcohol(table) => {
                let share = parts.share(Part::Alcohol, point);
                alcohol::surface_tension(share, temperature) * point.get(table).value
            }
            Self::Own(slot) => point.get(slot),
        }
    }
}

/// A liquid's density at its temperature, as a formula.
struct Dense {
    parts: CompositionSlots,
    density: DensitySlot,
    temperature: Slot<Temperature>,
}

impl Formula for Dense {
    type Figures<V: Real>
        = Density<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Density<V>
    where
        SI<V>: Units<V>,
    {
        self.density
            .at(point, &self.parts, point.get(self.temperature))
    }
}

/// A liquid's surface tension at its temperature, as a formula.
struct Tense {
    parts: CompositionSlots,
    tension: TensionSlot,
    temperature: Slot<Temperature>,
}

impl Formula for Tense {
    type Figures<V: Real>
        = SurfaceTension<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> SurfaceTension<V>
    where
        SI<V>: Units<V>,
    {
        self.tension
            .at(point, &self.parts, point.get(self.temperature))
    }
}

/// The caution about a liquid with alcohol in it: what it flashes at, where it
/// is alcohol and water alone and as strong as is listed. None of weaker ones.
pub fn flammable(composition: &Composition) -> Option<Caution> {
    if !composition.has_carrier() {
        return None;
    }
    let Some((Solute::Alcohol, share)) = composition.dissolved() else {
        return Some(Caution::Alcohol);
    };
    let strength = alcohol::share_by_volume(share.value());
    let flash = celsius(alcohol::flash_point(strength)?);
    Some(Caution::Flashes {
        tenths_of_strength: tenths(100.0 * strength.base()),
        celsius: tenths(flash) / 10,
    })
}

/// A number to one decimal, in tenths.
fn tenths(number: f64) -> u16 {
    // A strength and a flash point are from 0 to 100.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "bounded just before"
    )]
    let tenths = (10.0 * number).round().clamp(0.0, 1000.0) as u16;
    tenths
}
