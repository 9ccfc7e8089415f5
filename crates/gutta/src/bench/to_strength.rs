//! A solution made weaker with water, to a strength: by mass, with contraction.

use uom::si::{SI, Units};

use super::added::{Added, AddedSlot};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, CompositionSlots, DensitySlot, Liquid, Solute, water};
use crate::measure::{
    Estimate, Formula, Inputs, Mass, Measured, Point, ROOM_TEMPERATURE, Ratio, Real, Scalar,
    Simulation, Slot, Temperature, Volume,
};

/// What is to be made, or what there is of the stronger one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Make {
    /// This much of the weaker one.
    Weaker(Added),
    /// All of this much of the stronger one.
    OfStronger(Added),
}

/// A stronger solution to be made weaker with water.
///
/// ```
/// use gutta::bench::{Added, Make, ToStrength};
/// use gutta::matter::Liquid;
/// use gutta::measure::{Measured, Volume};
/// use uom::si::volume::milliliter;
///
/// let named = |name| Ok::<_, gutta::Error>(Liquid::named(name)?.expect("a known name"));
/// let to = ToStrength::new(
///     named("alcohol 96% vol")?,
///     named("alcohol 70% vol")?,
///     Make::Weaker(Added::Volume(Measured::exact(Volume::new::<milliliter>(100.0)))),
/// );
/// let plan = to.plan()?;
/// // Not 27.08 mL of water: alcohol and water draw together.
/// assert!((plan.stronger_volume.best().get::<milliliter>() - 72.917).abs() < 1e-3);
/// assert!((plan.water_volume.best().get::<milliliter>() - 29.74).abs() < 5e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct ToStrength {
    /// The stronger one: one thing in water alone.
    pub stronger: Liquid,
    /// The strength wanted: the same in water.
    pub weaker: Liquid,
    /// How much.
    pub make: Make,
    /// The temperature at which volumes are measured.
    pub temperature: Measured<Temperature>,
}

/// What to pour together.
#[derive(Clone, Debug)]
pub struct Weakened {
    /// Of the stronger one.
    pub stronger: Estimate<Mass>,
    /// The same as a volume.
    pub stronger_volume: Estimate<Volume>,
    /// Water.
    pub water: Estimate<Mass>,
    /// The same as a volume.
    pub water_volume: Estimate<Volume>,
    /// What it makes.
    pub weaker: Estimate<Mass>,
    /// The same as a volume.
    pub weaker_volume: Estimate<Volume>,
    /// What the volumes poured are more than the volume made.
    pub contraction: Estimate<Volume>,
}

impl ToStrength {
    /// Volumes at 20 °C.
    pub const fn new(stronger: Liquid, weaker: Liquid, make: Make) -> Self {
        Self {
            stronger,
            weaker,
            make,
            temperature: Measured::exact(ROOM_TEMPERATURE),
        }
    }

    /// What to pour together: by mass, the dissolved conserved.
    ///
    /// # Errors
    /// When one of the two is not one thing in water, or they are not the same
    /// thing; a refusal when the strength wanted is not below the other; or as
    /// the densities have it.
    pub fn plan(&self) -> Result<Weakened> {
        let (inputs, formula) = self.lay()?;
        let run = inputs.propagate(&formula);
        Ok(Weakened {
            stronger: run.estimate(|f| f.stronger),
            stronger_volume: run.estimate(|f| f.stronger_volume),
            water: run.estimate(|f| f.water),
            water_volume: run.estimate(|f| f.water_volume),
            weaker: run.estimate(|f| f.weaker),
            weaker_volume: run.estimate(|f| f.weaker_volume),
            contraction: run.estimate(|f| f.stronger_volume + f.water_volume - f.weaker_volume),
        })
    }

    /// The plan ready to be run on draws. A draw is outside when there is water
    /// below none.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            row.copy_from_slice(&[
                f.stronger.base(),
                f.stronger_volume.base(),
                f.water.base(),
                f.water_volume.base(),
                f.weaker.base(),
                f.weaker_volume.base(),
                (f.stronger_volume + f.water_volume - f.weaker_volume).base(),
            ]);
            f.water.base() >= 0.0
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    fn lay(&self) -> Result<(Inputs, Pouring)> {
        let (solute, from) = dissolved(&self.stronger)?;
        let (other, to) = dissolved(&self.weaker)?;
        if solute != other {
            return Err(Error::new(
                ErrorKind::WrongKind,
                format!(
                    "{} does not become {}",
                    self.stronger.name, self.weaker.name
                ),
            )
            .with_hint("say the strength wanted of the same liquid"));
        }
        if to.value().base() <= 0.0 {
            return Err(
                Error::new(ErrorKind::Refused, "a strength of nothing is water alone")
                    .with_hint("take distilled water, or type a strength above 0 %"),
            );
        }
        if to.value() >= from.value() {
            return Err(Error::new(
                ErrorKind::Refused,
                format!(
                    "water makes {} weaker, not {}",
                    self.stronger.name, self.weaker.name
                ),
            )
            .with_hint("take a stronger one, or ask for less than what it has"));
        }
        let at = self.temperature.value();
        let (Make::Weaker(amount) | Make::OfStronger(amount)) = &self.make;
        amount.check()?;
        let mut inputs = Inputs::new();
        let mut side = |liquid: &Liquid| {
            let composition = liquid.composition.clone().unwrap_or_default();
            liquid.density.check(&liquid.name, &composition, at)?;
            Ok(Side {
                parts: composition.add_to(&mut inputs, &liquid.name),
                density: liquid.density.add_to(&mut inputs, &liquid.name),
            })
        };
        let (stronger, weaker) = (side(&self.stronger)?, side(&self.weaker)?);
        let formula = Pouring {
            solute,
            stronger,
            weaker,
            is_weaker: matches!(self.make, Make::Weaker(_)),
            amount: amount.add_to(&mut inputs, "amount", None),
            temperature: inputs.add_once("temperature", &self.temperature),
        };
        Ok((inputs, formula))
    }
}

fn dissolved(liquid: &Liquid) -> Result<(Solute, Measured<Ratio>)> {
    let composition = liquid.composition.as_ref();
    composition.and_then(Composition::dissolved).ok_or_else(|| {
        Error::new(
            ErrorKind::WrongKind,
            format!("{} is not one thing in water alone", liquid.name),
        )
        .with_hint("this is for alcohol, glycol, glycerine and syrup, such as alcohol 96% vol")
    })
}

/// The figures of a simulated plan, in the order of its rows.
const FIGURES: &[&str] = &[
    "stock",
    "stock_volume",
    "water",
    "water_volume",
    "total",
    "total_volume",
    "contraction",
];

struct Side {
    parts: CompositionSlots,
    density: DensitySlot,
}

struct Pouring {
    solute: Solute,
    stronger: Side,
    weaker: Side,
    is_weaker: bool,
    amount: AddedSlot,
    temperature: Slot<Temperature>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    stronger: Mass<V>,
    stronger_volume: Volume<V>,
    water: Mass<V>,
    water_volume: Volume<V>,
    weaker: Mass<V>,
    weaker_volume: Volume<V>,
}

impl Formula for Pouring {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let temperature = point.get(self.temperature);
        let density = |side: &Side| side.density.at(point, &side.parts, temperature);
        let (strong, weak) = (density(&self.stronger), density(&self.weaker));
        let share = |side: &Side| side.parts.share(self.solute.part(), point);
        let part = share(&self.weaker) / share(&self.stronger);
        let (stronger, weaker) = if self.is_weaker {
            let weaker = self.amount.mass(point, weak);
            (weaker * part, weaker)
        } else {
            let stronger = self.amount.mass(point, strong);
            (stronger, stronger / part)
        };
        let water = weaker - stronger;
        Figures {
            stronger,
            stronger_volume: stronger / strong,
            water,
            water_volume: water / water::density(temperature),
            weaker,
            weaker_volume: weaker / weak,
        }
    }
}
