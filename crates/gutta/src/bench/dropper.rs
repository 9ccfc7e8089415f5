//! Calibrating a dropper: from weighings of counted drops to one drop.

use uom::si::{SI, Units};

use super::drop::{Drop, Scatter};
use super::miscount::{self, Finding};
use super::weighings::{Counted, Drawn, Readings};
use crate::error::Result;
use crate::matter::{Air, air, check_density, water};
use crate::measure::{
    Density, DropMass, DropVolume, Drops, DropsPerVolume, Estimate, Formula, Inputs, Measured,
    Point, Pressure, ROOM_TEMPERATURE, Ratio, Real, Scalar, Scale, Simulation, Slot, TYPED_DROP,
    Temperature,
};

/// The liquid that was dropped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dropped {
    /// Distilled water: its density follows from the temperature.
    Water,
    /// Another liquid of a density.
    Other(Measured<Density>),
}

/// A calibration as it was done.
///
/// ```
/// use gutta::bench::{Calibrating, Dropped, Readings, Weighing};
/// use gutta::measure::{Mass, Measured};
/// use uom::si::mass::{gram, milligram};
///
/// let weighing = |g: f64| Weighing {
///     drops: 20,
///     amount: Measured::exact(Mass::new::<gram>(g)),
///     last_place: Mass::new::<gram>(0.001),
/// };
/// let readings = Readings::Singly([0.974, 0.981, 0.969].map(weighing).to_vec());
/// let dropper = Calibrating::new(readings, Dropped::Water).calibrate()?;
/// let one = dropper.drop_mass.best().mass();
/// assert!((one.get::<milligram>() - 48.733).abs() < 1e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Calibrating {
    /// The weighings.
    pub readings: Readings,
    /// The liquid.
    pub liquid: Dropped,
    /// The scale, when it is known.
    pub scale: Option<Scale>,
    /// The air of the room: with it, buoyancy and the density at its
    /// temperature are taken into account.
    pub air: Option<Air>,
}

/// A dropper, calibrated.
#[derive(Clone, Debug)]
pub struct Calibration {
    /// One drop's mass as weighed in air, miscounts left out.
    pub drop_mass: Estimate<DropMass>,
    /// One drop's volume.
    pub drop_volume: Estimate<DropVolume>,
    /// Drops in a volume.
    pub drops_per_volume: Estimate<DropsPerVolume>,
    /// The spread of the weighings, relative; with two weighings or more.
    pub spread: Option<Ratio>,
    /// The standard deviation of one drop's mass; with two weighings or more.
    pub scatter: Option<Scatter>,
    /// How many drops to weigh at once for u(d) of 1 %.
    pub drops_for_1_percent: Option<Drops>,
    /// The weighings that look miscounted, and what else the readings say.
    pub findings: Vec<Finding>,
    /// One drop's mass with everything as typed; with a miscount.
    pub drop_mass_all: Option<DropMass>,
    /// One drop's mass with the corrected counts; with a miscount.
    pub drop_mass_recounted: Option<DropMass>,
    /// Whether the scatter is too large for a miss of one drop to be seen.
    pub blind_to_one_drop: bool,
    /// Whether the drop is of an unusual size, outside 5 to 120 mg.
    pub unusual_size: bool,
}

/// Fewer drops than these are too light to be weighed for a calibration: common
/// practice.
const FEWEST_COUNTED: f64 = 5.0;

impl Calibration {
    /// The drop, ready to be counted with.
    pub fn drop(&self) -> Drop {
        Drop::calibrated(self.drop_mass.measured(), self.scatter)
    }

    /// The largest count at which a miss of one drop shows, where it does not
    /// show now; none where that is fewer than five drops: 1/N > 3 s₁/(d √N).
    pub fn seeing_one_drop(&self) -> Option<Drops> {
        let scatter = self.scatter.filter(|_| self.blind_to_one_drop)?;
        let count = (self.drop_mass.best().base() / (3.0 * scatter.one.base())).powi(2);
        // At the count itself it does not show yet.
        let count = (count - 1e-9).floor();
        (count >= FEWEST_COUNTED).then_some(Drops::new(count))
    }

    /// The weighings left out as miscounted, the first typed being 1, each with
    /// the count that it reads as.
    pub fn miscounts(&self) -> impl Iterator<Item = (usize, u64)> {
        self.findings.iter().filter_map(|finding| match *finding {
            Finding::Miscount { weighing, reads_as } => Some((weighing, reads_as)),
            _ => None,
        })
    }
}

impl Calibrating {
    /// Readings of a liquid, without scale or air.
    pub const fn new(readings: Readings, liquid: Dropped) -> Self {
        Self {
            readings,
            liquid,
            scale: None,
            air: None,
        }
    }

    /// Works the calibration out.
    ///
    /// d = Σx/ΣN; u(d)² = max(s₁²/ΣN, k u_net²/(ΣN)²). A weighing is left out
    /// as miscounted when its modified z is beyond 3.5 and its gap is near a
    /// whole number of drops.
    ///
    /// # Errors
    /// When there is no reading, a count or an amount is not above 0, a
    /// running total does not rise, or the density is outside 0.6 to 1.5 g/mL.
    pub fn calibrate(&self) -> Result<Calibration> {
        let (counted, findings) = self.read()?;
        let drawn = counted.draw(|i| reads_as(&findings, i).is_none());
        let any_left_out = (0..counted.drops.len()).any(|i| reads_as(&findings, i).is_some());
        let spread = drawn
            .scatter
            .map(|s| s / (drawn.one * drawn.mean_count.sqrt()));
        let (inputs, formula) = self.lay(&drawn);
        let run = inputs.propagate(&formula);
        let drop_mass: Estimate<DropMass> = run.estimate(|f| f.mass);
        let to_mass = drop_mass.best().base() / drawn.one;
        let as_mass = |one: f64| DropMass::of_base(one * to_mass);
        let recounted = || {
            let counts: f64 = (0..counted.drops.len())
                .map(|i| reads_as(&findings, i).unwrap_or(counted.drops[i]))
                .sum();
            as_mass(counted.amounts.iter().sum::<f64>() / counts)
        };
        Ok(Calibration {
            unusual_size: TYPED_DROP.check_base(drop_mass.best().base()).is_err(),
            blind_to_one_drop: !any_left_out
                && spread.is_some_and(|s| 1.0 / drawn.mean_count <= 3.0 * s),
            spread: spread.map(Ratio::of_base),
            scatter: drawn.scatter.map(|one| Scatter {
                one: as_mass(one),
                dof: drawn.scatter_dof,
            }),
            drops_for_1_percent: counted.drops_for_1_percent(&drawn),
            drop_mass_all: any_left_out.then(|| as_mass(counted.draw(|_| true).one)),
            drop_mass_recounted: any_left_out.then(recounted),
            drop_volume: run.estimate(|f| f.volume),
            drops_per_volume: run.estimate(|f| f.volume.rate()),
            drop_mass,
            findings,
        })
    }

    /// The readings, checked, with what they give away.
    fn read(&self) -> Result<(Counted, Vec<Finding>)> {
        if let Dropped::Other(density) = &self.liquid {
            check_density(density)?;
        }
        let counted = self.readings.counted(self.scale)?;
        let findings = miscount::find(&counted);
        Ok((counted, findings))
    }

    /// The readings, and what is drawn from those that are kept.
    pub(super) fn drawn(&self) -> Result<(Counted, Drawn)> {
        let (counted, findings) = self.read()?;
        let drawn = counted.draw(|i| reads_as(&findings, i).is_none());
        Ok((counted, drawn))
    }

    /// The sizes ready to be run on draws of what the readings and the room are
    /// in doubt of. A draw is outside when a drop has no mass.
    ///
    /// # Errors
    /// As [`calibrate`](Self::calibrate).
    pub fn simulate(&self) -> Result<Simulation> {
        let (_, drawn) = self.drawn()?;
        let (inputs, formula) = self.lay(&drawn);
        let pick = |f: &Sized<f64>, row: &mut [f64]| {
            row.copy_from_slice(&[f.mass.base(), f.volume.base(), f.volume.rate().base()]);
            f.mass.base() > 0.0
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    /// The temperature of room and liquid; 20 °C where none is given.
    pub(super) fn temperature(&self) -> Measured<Temperature> {
        self.air
            .map_or(Measured::exact(ROOM_TEMPERATURE), |a| *a.temperature())
    }

    /// What was drawn and the room, as inputs of the sizes.
    pub(super) fn lay(&self, drawn: &Drawn) -> (Inputs, Size) {
        let mut inputs = Inputs::new();
        let one = match &self.readings {
            Readings::ToMark(_) => One::Volume(inputs.add("graduate", &drawn.measured())),
            Readings::Singly(_) | Readings::Running(_) => {
                One::Mass(inputs.add(drawn.source, &drawn.measured()))
            }
        };
        let temperature = self.temperature();
        let formula = Size {
            one,
            temperature: inputs.add("temperature", &temperature),
            density: match &self.liquid {
                Dropped::Water => None,
                Dropped::Other(density) => Some(inputs.add("density", density)),
            },
            air: self.air.map(|a| {
                (
                    inputs.add("air pressure", a.pressure()),
                    inputs.add("humidity", a.humidity()),
                )
            }),
        };
        (inputs, formula)
    }
}

/// The figures of simulated sizes, in the order of its rows.
const FIGURES: &[&str] = &["drop_mass", "drop_volume", "drops_per_ml"];

/// The count that a weighing reads as, when it is miscounted; `i` from 0.
fn reads_as(findings: &[Finding], i: usize) -> Option<f64> {
    findings.iter().find_map(|finding| match finding {
        Finding::Miscount { weighing, reads_as } if *weighing == i + 1 => Some(*reads_as as f64),
        _ => None,
    })
}

/// One drop as it was found, with the room, as a formula.
pub(super) struct Size {
    one: One,
    pub temperature: Slot<Temperature>,
    density: Option<Slot<Density>>,
    air: Option<(Slot<Pressure>, Slot<Ratio>)>,
}

#[derive(Clone, Copy)]
enum One {
    Mass(Slot<DropMass>),
    Volume(Slot<DropVolume>),
}

pub(super) struct Sized<V> {
    pub mass: DropMass<V>,
    pub volume: DropVolume<V>,
}

impl Formula for Size {
    type Figures<V: Real>
        = Sized<V>
    where
        SI<V>: Units<V>;

    /// Without air V = x/ρ; with it V = x (1 − ρ_air/ρ_weights)/(ρ − ρ_air),
    /// and a volume becomes the mass that a scale shows in air.
    fn at<V: Real>(&self, point: &Point<'_, V>) -> Sized<V>
    where
        SI<V>: Units<V>,
    {
        let temperature = point.get(self.temperature);
        let density = self
            .density
            .map_or_else(|| water::density(temperature), |slot| point.get(slot));
        let per_reading = match self.air {
            None => Ratio::from(V::one()) / density,
            Some((pressure, humidity)) => {
                let air = air::density(temperature, point.get(pressure), point.get(humidity));
                air::volume_per_reading(density, air)
            }
        };
        match self.one {
            One::Mass(slot) => {
                let mass = point.get(slot);
                Sized {
                    mass,
                    volume: DropVolume::new(mass.mass() * per_reading),
                }
            }
            One::Volume(slot) => {
                let volume = point.get(slot);
                Sized {
                    mass: DropMass::new(volume.volume() / per_reading),
                    volume,
                }
            }
        }
    }
}
