//! The drop of another liquid from the same tip, by surface tension.
//!
//! # How can a drop of water say what a drop of spirit weighs?
//!
//! A drop hangs on by its surface tension round the rim of the tip, and falls
//! when it weighs too much for it. The drop of water gives the rim; the rim and
//! the tension of the other liquid give its drop. It is a prediction with a
//! doubt of 5 %: twenty drops on the scale are better, and win.
//!
//! # Why not for syrup or glycerine?
//!
//! Thick liquids part slowly, and what hangs on when the neck thins is drawn
//! along: published drops of glycerine are a third heavier than predicted.

use std::f64::consts::TAU;

use uom::si::acceleration::Acceleration;
use uom::si::{SI, Units};

use super::dropper::{Calibrating, Dropped, Size, Sized};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::liquids::TensionSlot;
use crate::matter::{CompositionSlots, DensitySlot, Liquid, water};
use crate::measure::{
    Density, DropMass, DropVolume, DropsPerVolume, Estimate, Formula, Inputs, Length, Mass,
    Measured, Point, Ratio, Real, Scalar, Simulation, Slot, SurfaceTension, TIP, TIP_TO_DROP,
    Temperature, Volume,
};

/// Standard gravity, 9.80665 m/s² (3rd CGPM, 1901).
const GRAVITY: f64 = 9.806_65;

/// The correction ψ of a drop's mass, in powers of x = r/V^⅓.
///
/// Source: Lee, Chan and Pogaku 2008, a fit to Harkins and Brown's measurements,
/// as remembered; it lies within 1.2 % of the values tabled for 0.3 ≤ x ≤ 1.2.
const CORRECTION: [f64; 8] = [1.0, -0.9121, -2.109, 13.38, -27.29, 27.53, -13.58, 2.593];

/// Steps of Newton's method: from the start here four reach the last bits.
const STEPS: usize = 8;

/// ψ(x) and its slope.
fn correction<V: Real>(x: V) -> (V, V) {
    let mut value = V::zero();
    let mut slope = V::zero();
    for &c in CORRECTION.iter().rev() {
        slope = slope * x + value;
        value = value * x + V::exact(c);
    }
    (value, slope)
}

/// x where xⁿ ψ(x) is a number: a drop's width of tip from its mass (n = 1), or
/// from the tip (n = 3).
fn width<V: Real>(wanted: V, power: i32) -> V {
    let n = V::exact(f64::from(power));
    let mut x = (wanted / V::exact(0.62)).powf(1.0 / f64::from(power));
    for _ in 0..STEPS {
        let (psi, slope) = correction(x);
        let below = if power == 1 { V::one() } else { x * x };
        // f = xⁿ ψ, f' = xⁿ⁻¹ (n ψ + x ψ').
        let f = below * x * psi;
        x = x - (f - wanted) / (below * (n * psi + x * slope));
    }
    x
}

fn gravity<V: Real>() -> Acceleration<SI<V>, V>
where
    SI<V>: Units<V>,
{
    crate::measure::from_base(V::exact(GRAVITY))
}

/// The radius of the tip that a drop hung from: m g = 2π r γ ψ(r/V^⅓); and
/// r/V^⅓.
///
/// Source: Harkins W. D. and Brown F. E., The determination of surface tension,
/// J. Am. Chem. Soc. 41 (1919) 499, after Tate 1864.
pub(super) fn tip<V: Real>(
    drop: Volume<V>,
    density: Density<V>,
    tension: SurfaceTension<V>,
) -> (Length<V>, Ratio<V>)
where
    SI<V>: Units<V>,
{
    let edge: Length<V> = crate::measure::from_base(drop.value.powf(1.0 / 3.0));
    let hung: Ratio<V> = drop * density * gravity() / (edge * tension * V::exact(TAU));
    let x = Ratio::from(width(hung.value, 1));
    (edge * x, x)
}

/// The volume of the drop that falls from a tip, and r/V^⅓: r³/x³ with x³ ψ(x) =
/// ρ g r²/(2π γ).
pub(super) fn drop<V: Real>(
    radius: Length<V>,
    density: Density<V>,
    tension: SurfaceTension<V>,
) -> (Volume<V>, Ratio<V>)
where
    SI<V>: Units<V>,
{
    let hung: Ratio<V> = radius * radius * density * gravity() / (tension * V::exact(TAU));
    let x = Ratio::from(width(hung.value, 3));
    (radius * radius * radius / (x * x * x), x)
}

/// The drop of another liquid from the tip that water was dropped from.
///
/// ```
/// use gutta::bench::{Calibrating, Dropped, Falling, Readings, Weighing};
/// use gutta::matter::Liquid;
/// use gutta::measure::{Mass, Measured};
/// use uom::si::mass::{gram, milligram};
///
/// let weighing = Weighing {
///     drops: 20,
///     amount: Measured::exact(Mass::new::<gram>(1.0)),
///     last_place: Mass::new::<gram>(0.001),
/// };
/// let water = Calibrating::new(Readings::Singly(vec![weighing]), Dropped::Water);
/// let rum = Liquid::named("alcohol 40% vol")?.expect("a known name");
/// let then = Falling { from: water, to: rum }.predict()?;
/// // 1.08 times the 20.98 mg of the bare formula.
/// assert!((then.drop_mass.best().mass().get::<milligram>() - 22.7).abs() < 0.1);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Falling {
    /// The calibration with water.
    pub from: Calibrating,
    /// The other liquid.
    pub to: Liquid,
}

/// A drop that was worked out, not weighed.
#[derive(Clone, Debug)]
pub struct Predicted {
    /// The outer diameter of the tip.
    pub tip: Estimate<Length>,
    /// One drop's mass.
    pub drop_mass: Estimate<DropMass>,
    /// One drop's volume.
    pub drop_volume: Estimate<DropVolume>,
    /// Drops in a volume.
    pub drops_per_volume: Estimate<DropsPerVolume>,
}

/// What the formula is off by when the tip is found by water: 1.08, and 5 % of
/// it. Fitted to six published drops of thin liquids, which are therefore no
/// check of it (State Pharmacopoeia dropper: 95 % alcohol, ether; Gorgas, Dental
/// Medicine: alcohol, dilute alcohol, ether, chloroform).
const BY_WATER: (f64, f64) = (1.08, 0.05);
/// From this part of water's surface tension on, a liquid is too near water for
/// the 1.08: those that it was fitted to have less than half.
const NEAR_WATER: f64 = 0.6;
/// What it is off by when the tip was measured: nothing known, 8 %.
const BY_TIP: (f64, f64) = (1.0, 0.08);

const METHOD: &str = "surface tension formula";

fn method(inputs: &mut Inputs, (factor, relative): (f64, f64)) -> Slot<Ratio> {
    let factor = Measured::new(Ratio::of_base(factor), factor * relative, f64::INFINITY);
    inputs.add(METHOD, &factor)
}

impl Falling {
    /// Works the drop out.
    ///
    /// # Errors
    /// As [`Calibrating::calibrate`]; a refusal when the tip was not found by
    /// water, the liquid is thick or its surface tension is not known, or the
    /// tip is too narrow or too wide for the formula.
    pub fn predict(&self) -> Result<Predicted> {
        let (inputs, formula) = self.lay()?;
        let best = inputs.best(&formula);
        check_width(best.own_width, "the drop of water")?;
        check_width(best.then.width, &self.to.name)?;
        let run = inputs.propagate(&formula);
        Ok(Predicted {
            tip: run.estimate(|f| f.then.tip),
            drop_mass: run.estimate(|f| f.then.mass),
            drop_volume: run.estimate(|f| f.then.volume),
            drops_per_volume: run.estimate(|f| f.then.volume.rate()),
        })
    }

    /// Both drops ready to be run on draws. A draw is outside when a drop has no
    /// mass or the tip does not fit the formula.
    ///
    /// # Errors
    /// As [`predict`](Self::predict).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |f: &Both<f64>, row: &mut [f64]| {
            let (own, then) = (&f.own, &f.then);
            row.copy_from_slice(&[
                own.mass.base(),
                own.volume.base(),
                own.volume.rate().base(),
                then.tip.base(),
                then.mass.base(),
                then.volume.base(),
                then.volume.rate().base(),
            ]);
            let fits = |width: Ratio| TIP_TO_DROP.check_base(width.base()).is_ok();
            own.mass.base() > 0.0 && fits(f.own_width) && fits(then.width)
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    /// Whether the drop of a liquid can be found from that of water: the factor
    /// was fitted to liquids far from it. Water itself drops as it was weighed,
    /// and what is near it somewhere between.
    ///
    /// # Errors
    /// A refusal when the liquid is water or near it, is thick, or its surface
    /// tension is not known.
    pub fn check_unlike_water(to: &Liquid, temperature: &Measured<Temperature>) -> Result<()> {
        let tension = to.surface_tension_at(temperature)?.best();
        let of_water = water::surface_tension(temperature.value());
        if tension < of_water * NEAR_WATER {
            return Ok(());
        }
        let (why, hint) = if to.is_water() {
            (
                "its drop is the one that was weighed",
                "name another liquid, such as alcohol 70% vol",
            )
        } else {
            (
                "it is too near water for its drop to be worked out",
                "count 20 drops of it onto the zeroed scale: a drop has that mass over 20",
            )
        };
        Err(Error::new(ErrorKind::Refused, format!("{}: {why}", to.name)).with_hint(hint))
    }

    fn lay(&self) -> Result<(Inputs, FromWater)> {
        if self.from.liquid != Dropped::Water {
            return Err(Error::new(
                ErrorKind::Refused,
                "the tip is found by drops of water, and these are of another liquid",
            )
            .with_hint("count 20 drops of distilled water from it onto the scale"));
        }
        let (_, drawn) = self.from.drawn()?;
        let (mut inputs, own) = self.from.lay(&drawn);
        let temperature = self.from.temperature();
        Self::check_unlike_water(&self.to, &temperature)?;
        let to = ThinSlots::lay(&self.to, temperature.value(), &mut inputs)?;
        Liquid::water().tension(temperature.value())?;
        let formula = FromWater {
            own,
            to,
            method: method(&mut inputs, BY_WATER),
        };
        Ok((inputs, formula))
    }
}

/// The drop of a liquid from a tip that was measured.
#[derive(Clone, Debug)]
pub struct FromTip {
    /// The outer diameter of the wetted tip.
    pub tip: Measured<Length>,
    /// The liquid.
    pub liquid: Liquid,
    /// Its temperature.
    pub temperature: Measured<Temperature>,
}

impl FromTip {
    /// Works the drop out, within 8 % (k = 1).
    ///
    /// # Errors
    /// A refusal when the tip is outside 0.2 to 20 mm or does not fit the
    /// formula, the liquid is thick or its surface tension is not known.
    pub fn predict(&self) -> Result<Predicted> {
        let (inputs, formula) = self.lay()?;
        check_width(inputs.best(&formula).width, &self.liquid.name)?;
        let run = inputs.propagate(&formula);
        Ok(Predicted {
            tip: run.estimate(|f| f.tip),
            drop_mass: run.estimate(|f| f.mass),
            drop_volume: run.estimate(|f| f.volume),
            drops_per_volume: run.estimate(|f| f.volume.rate()),
        })
    }

    /// The drop ready to be run on draws. A draw is outside when the tip does
    /// not fit the formula.
    ///
    /// # Errors
    /// As [`predict`](Self::predict).
    pub fn simulate(&self) -> Result<Simulation> {
        let (inputs, formula) = self.lay()?;
        let pick = |f: &Fallen<f64>, row: &mut [f64]| {
            row.copy_from_slice(&[f.mass.base(), f.volume.base(), f.volume.rate().base()]);
            TIP_TO_DROP.check_base(f.width.base()).is_ok()
        };
        Ok(inputs.simulate(formula, &FIGURES[..3], pick))
    }

    fn lay(&self) -> Result<(Inputs, OfTip)> {
        TIP.check_base(self.tip.value().base())?;
        let mut inputs = Inputs::new();
        let to = ThinSlots::lay(&self.liquid, self.temperature.value(), &mut inputs)?;
        let formula = OfTip {
            tip: inputs.add("tip", &self.tip),
            temperature: inputs.add("temperature", &self.temperature),
            to,
            method: method(&mut inputs, BY_TIP),
        };
        Ok((inputs, formula))
    }
}

/// Checks that a tip fits its drop, as far as the correction is known.
fn check_width(width: Ratio, of: &str) -> Result<()> {
    TIP_TO_DROP.check_base(width.base()).map_err(|error| {
        let is_narrow = width.base() < TIP_TO_DROP.nearest_base(width.base());
        let how = if is_narrow { "narrow" } else { "wide" };
        Error::new(
            error.kind(),
            format!(
                "the tip is too {how} for {of}: radius over cube root of volume is {:.2}, and drops are known {}",
                width.base(),
                TIP_TO_DROP.bounds()
            ),
        )
        .with_hint(error.hint().unwrap_or_default())
    })
}

/// The figures of simulated drops: the one that was calibrated, and the other.
const FIGURES: &[&str] = &[
    "drop_mass",
    "drop_volume",
    "drops_per_ml",
    "tip_diameter",
    "then_drop_mass",
    "then_drop_volume",
    "then_drops_per_ml",
];

/// A thin liquid among the inputs of a formula.
struct ThinSlots {
    parts: CompositionSlots,
    density: DensitySlot,
    tension: TensionSlot,
}

impl ThinSlots {
    fn lay(liquid: &Liquid, at: Temperature, inputs: &mut Inputs) -> Result<Self> {
        let tension = liquid.tension(at)?;
        let composition = liquid.composition.clone().unwrap_or_default();
        liquid.density.check(&liquid.name, &composition, at)?;
        Ok(Self {
            parts: composition.add_to(inputs, &liquid.name),
            density: liquid.density.add_to(inputs, &liquid.name),
            tension: tension.add_to(inputs, &liquid.name),
        })
    }

    fn fall<V: Real>(
        &self,
        point: &Point<'_, V>,
        radius: Length<V>,
        temperature: Temperature<V>,
        method: Ratio<V>,
    ) -> Fallen<V>
    where
        SI<V>: Units<V>,
    {
        let density = self.density.at(point, &self.parts, temperature);
        let tension = self.tension.at(point, &self.parts, temperature);
        let (volume, width) = drop(radius, density, tension);
        let volume = volume * method;
        let mass: Mass<V> = volume * density;
        Fallen {
            tip: radius + radius,
            width,
            mass: DropMass::from_base(mass.value),
            volume: DropVolume::new(volume),
        }
    }
}

/// A drop as it falls.
struct Fallen<V: Real>
where
    SI<V>: Units<V>,
{
    tip: Length<V>,
    width: Ratio<V>,
    mass: DropMass<V>,
    volume: DropVolume<V>,
}

/// A tip found by water, as a formula.
struct FromWater {
    own: Size,
    to: ThinSlots,
    method: Slot<Ratio>,
}

struct Both<V: Real>
where
    SI<V>: Units<V>,
{
    own: Sized<V>,
    own_width: Ratio<V>,
    then: Fallen<V>,
}

impl Formula for FromWater {
    type Figures<V: Real>
        = Both<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Both<V>
    where
        SI<V>: Units<V>,
    {
        let own = self.own.at(point);
        let temperature = point.get(self.own.temperature);
        let (radius, own_width) = tip(
            own.volume.volume(),
            water::density(temperature),
            water::surface_tension(temperature),
        );
        Both {
            then: self
                .to
                .fall(point, radius, temperature, point.get(self.method)),
            own,
            own_width,
        }
    }
}

/// A tip that was measured, as a formula.
struct OfTip {
    tip: Slot<Length>,
    temperature: Slot<Temperature>,
    to: ThinSlots,
    method: Slot<Ratio>,
}

impl Formula for OfTip {
    type Figures<V: Real>
        = Fallen<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Fallen<V>
    where
        SI<V>: Units<V>,
    {
        let radius = point.get(self.tip) * V::exact(0.5);
        let temperature = point.get(self.temperature);
        self.to
            .fall(point, radius, temperature, point.get(self.method))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Linear, ROOM_TEMPERATURE};

    /// Newton's method solves the equation that it is set, over all the range
    /// of the correction.
    #[test]
    fn the_width_is_found() {
        for step in 0..=90 {
            let x = 0.3 + 0.01 * f64::from(step);
            let (psi, _) = correction(x);
            assert!((width(x * psi, 1) - x).abs() < 1e-12, "{x}");
            assert!((width(x.powi(3) * psi, 3) - x).abs() < 1e-12, "{x}");
        }
    }

    /// The slope of a root that is found by steps is that of the equation, by
    /// central differences.
    #[test]
    fn a_root_carries_its_slope() {
        let h = 1e-6;
        for wanted in [0.02, 0.1, 0.4, 0.9] {
            let linear: Linear<1> = width(Linear::input(wanted, 1.0, 0), 3);
            let slope = (width(wanted + h, 3) - width(wanted - h, 3)) / (2.0 * h);
            assert!((linear.terms()[0] / slope - 1.0).abs() < 1e-7, "{wanted}");
        }
    }

    #[test]
    fn from_drop_to_tip_and_back() {
        let density = water::density(ROOM_TEMPERATURE);
        let tension = water::surface_tension(ROOM_TEMPERATURE);
        for microlitres in [20.0, 50.0, 100.0] {
            let volume = Volume::of_base(microlitres * 1e-9);
            let (radius, there) = tip(volume, density, tension);
            let (again, back) = drop(radius, density, tension);
            assert!((again.base() / volume.base() - 1.0).abs() < 1e-12);
            assert!((there.base() - back.base()).abs() < 1e-12);
        }
    }
}
