//! Calibrating a dropper: from weighings of counted drops to one drop.

use uom::si::{SI, Units};

use super::drop::Drop;
use super::miscount::{self, Finding};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Air, air, check_density, water};
use crate::measure::{
    DROP_COUNT, Density, DropMass, DropVolume, Drops, DropsPerVolume, Estimate, Formula, Inputs,
    MASS, Mass, Measured, Point, Pressure, ROOM_TEMPERATURE, Range, Ratio, Real, Scalar, Scale,
    Simulation, Slot, TYPED_DROP, Temperature, VOLUME, Volume, rounding_u_net,
};

/// Counted drops with what they weigh, or with the mark they reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighing<Q = Mass> {
    /// How many drops were counted.
    pub drops: u32,
    /// What they weigh or fill, with the doubt typed with it.
    pub amount: Measured<Q>,
    /// One unit of the last decimal that was typed.
    pub last_place: Q,
}

/// The readings of a calibration.
#[derive(Clone, Debug, PartialEq)]
pub enum Readings {
    /// Each weighing by itself, zeroed before it.
    Singly(Vec<Weighing>),
    /// A running total: drops and mass since the one zero.
    Running(Vec<Weighing>),
    /// Drops into a graduated vessel, up to a mark.
    ToMark(Vec<Weighing<Volume>>),
}

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
    pub scatter: Option<DropMass>,
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

impl Calibration {
    /// The drop, ready to be counted with.
    pub fn drop(&self) -> Drop {
        Drop::calibrated(self.drop_mass.measured(), self.scatter)
    }
}

/// The readings as plain numbers in SI base units, one an addition.
pub(super) struct Counted {
    pub drops: Vec<f64>,
    pub amounts: Vec<f64>,
    /// The standard uncertainty of each amount.
    pub doubts: Vec<f64>,
    /// The same floor for the scatter, from the last decimal without a scale.
    pub floor: f64,
    pub running: bool,
}

/// Drops, scatter and doubt of a set of weighings.
struct Drawn {
    one: f64,
    /// The standard deviation of one drop; with two weighings or more.
    scatter: Option<f64>,
    mean_count: f64,
    u: f64,
    dof: f64,
    source: &'static str,
}

impl Drawn {
    /// One drop with its doubt, as what was read: a mass or a volume.
    fn measured<S: Scalar>(&self) -> Measured<S> {
        Measured::new(S::of_base(self.one), self.u, self.dof)
    }
}

impl Counted {
    /// d = Σx/ΣN with s₁² = Σ(x − N d)²/N/(k − 1), over the weighings kept.
    fn draw(&self, keep: impl Fn(usize) -> bool) -> Drawn {
        let kept: Vec<usize> = (0..self.drops.len()).filter(|&i| keep(i)).collect();
        let k = kept.len() as f64;
        let total: f64 = kept.iter().map(|&i| self.drops[i]).sum();
        let one = kept.iter().map(|&i| self.amounts[i]).sum::<f64>() / total;
        let scatter = (kept.len() > 1).then(|| {
            let squares = kept
                .iter()
                .map(|&i| (self.amounts[i] - self.drops[i] * one).powi(2) / self.drops[i]);
            (squares.sum::<f64>() / (k - 1.0)).sqrt()
        });
        let by_scatter = scatter.map_or(0.0, |s| s / total.sqrt());
        let by_scale = if self.running {
            // One zero and the last reading bound the whole total.
            kept.iter().map(|&i| self.doubts[i]).fold(0.0, f64::max) / total
        } else {
            kept.iter()
                .map(|&i| self.doubts[i].powi(2))
                .sum::<f64>()
                .sqrt()
                / total
        };
        let (u, dof, source) = if by_scatter > by_scale {
            (by_scatter, k - 1.0, "scatter of the weighings")
        } else {
            (by_scale, f64::INFINITY, "scale")
        };
        Drawn {
            one,
            scatter,
            mean_count: total / k,
            u,
            dof,
            source,
        }
    }

    /// The smallest N with √(s₁²/N + (u/N)²) ≤ 0.01 d; `None` without scatter.
    fn drops_for_1_percent(&self, drawn: &Drawn) -> Option<Drops> {
        let scatter = drawn.scatter?;
        let aim = (0.01 * drawn.one).powi(2);
        let u = self.doubts.iter().fold(0.0, |m: f64, &u| m.max(u));
        // s₁²/N + u²/N² = aim, solved for N and brought to the whole number.
        let n = (scatter.powi(2) + (scatter.powi(4) + 4.0 * aim * u * u).sqrt()) / (2.0 * aim);
        let enough = |n: f64| scatter.powi(2) / n + (u / n).powi(2) <= aim;
        let mut n = n.floor().max(1.0);
        // Rounding may leave the whole number one short.
        if !enough(n) {
            n += 1.0;
        }
        enough(n).then_some(Drops::new(n))
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
            scatter: drawn.scatter.map(as_mass),
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
        let counted = self.counted()?;
        let findings = miscount::find(&counted);
        Ok((counted, findings))
    }

    /// The readings as additions, each checked.
    fn counted(&self) -> Result<Counted> {
        let u_net = self.scale.map(|s| s.u_net().base());
        match &self.readings {
            Readings::Singly(weighings) => counted(weighings, u_net, false, &MASS),
            Readings::Running(weighings) => counted(&additions(weighings)?, u_net, true, &MASS),
            // A scale has no say in a volume.
            Readings::ToMark(marks) => counted(marks, None, false, &VOLUME),
        }
    }

    /// The sizes ready to be run on draws of what the readings and the room are
    /// in doubt of. A draw is outside when a drop has no mass.
    ///
    /// # Errors
    /// As [`calibrate`](Self::calibrate).
    pub fn simulate(&self) -> Result<Simulation> {
        let (counted, findings) = self.read()?;
        let drawn = counted.draw(|i| reads_as(&findings, i).is_none());
        let (inputs, formula) = self.lay(&drawn);
        let pick = |f: &Sized<f64>, row: &mut [f64]| {
            row.copy_from_slice(&[f.mass.base(), f.volume.base(), f.volume.rate().base()]);
            f.mass.base() > 0.0
        };
        Ok(inputs.simulate(formula, FIGURES, pick))
    }

    /// What was drawn and the room, as inputs of the sizes.
    fn lay(&self, drawn: &Drawn) -> (Inputs, Size) {
        let mut inputs = Inputs::new();
        let one = match &self.readings {
            Readings::ToMark(_) => One::Volume(inputs.add("graduate", &drawn.measured())),
            Readings::Singly(_) | Readings::Running(_) => {
                One::Mass(inputs.add(drawn.source, &drawn.measured()))
            }
        };
        let temperature = self
            .air
            .map_or(Measured::exact(ROOM_TEMPERATURE), |a| *a.temperature());
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

/// Checks readings and makes plain numbers of them.
fn counted<Q: Scalar>(
    weighings: &[Weighing<Q>],
    u_net: Option<f64>,
    running: bool,
    amount: &Range,
) -> Result<Counted> {
    if weighings.is_empty() {
        return Err(
            Error::new(ErrorKind::Empty, "no weighing was given").with_hint(
                "count 20 drops onto the zeroed scale and type 20=0.974g; several weighings also show the scatter",
            ),
        );
    }
    for weighing in weighings {
        DROP_COUNT.check_base(f64::from(weighing.drops))?;
        amount.check_base(weighing.amount.value().base())?;
    }
    let coarsest = weighings
        .iter()
        .map(|w| w.last_place.base())
        .fold(0.0, f64::max);
    Ok(Counted {
        drops: weighings.iter().map(|w| f64::from(w.drops)).collect(),
        amounts: weighings.iter().map(|w| w.amount.value().base()).collect(),
        doubts: weighings
            .iter()
            .map(|w| match u_net {
                Some(u_net) if w.amount.is_exact() => u_net,
                _ => w.amount.u(),
            })
            .collect(),
        floor: u_net.unwrap_or_else(|| rounding_u_net(coarsest)),
        running,
    })
}

/// A running total as single additions; the drops count on with the mass.
fn additions(weighings: &[Weighing]) -> Result<Vec<Weighing>> {
    let mut before = (0, 0.0);
    let mut singles = Vec::with_capacity(weighings.len());
    for (i, weighing) in weighings.iter().enumerate() {
        let total = weighing.amount.value().base();
        if weighing.drops <= before.0 || total <= before.1 {
            return Err(Error::new(
                ErrorKind::OutOfRange,
                format!("weighing {} of a running total does not rise", i + 1),
            )
            .with_hint(
                "type drops and mass since the zero, such as 20=0.612g 40=1.218g; leave --running out when each weighing stands alone",
            ));
        }
        singles.push(Weighing {
            drops: weighing.drops - before.0,
            amount: Measured::new(
                Mass::of_base(total - before.1),
                weighing.amount.u(),
                weighing.amount.dof(),
            ),
            last_place: weighing.last_place,
        });
        before = (weighing.drops, total);
    }
    Ok(singles)
}

/// One drop as it was found, with the room, as a formula.
struct Size {
    one: One,
    temperature: Slot<Temperature>,
    density: Option<Slot<Density>>,
    air: Option<(Slot<Pressure>, Slot<Ratio>)>,
}

#[derive(Clone, Copy)]
enum One {
    Mass(Slot<DropMass>),
    Volume(Slot<DropVolume>),
}

struct Sized<V> {
    mass: DropMass<V>,
    volume: DropVolume<V>,
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
