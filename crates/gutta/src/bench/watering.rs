//! Water to a target moisture: how much to add, or when to stop drying.

use uom::si::{SI, Units};

use super::added::Added;
use super::before_water::{BeforeWater, BeforeWaterSlots, Earlier, READING};
use super::brought::Brought;
use super::drop::{Drop, DropSlots, is_counted};
use super::first_addition;
use crate::error::Result;
use crate::matter::{MET, Moisture, Pile};
use crate::measure::{
    BAND, Combined, DropMass, Drops, Estimate, Formula, Inputs, MASS, Mass, Measured, Point, RISK,
    ROOM_TEMPERATURE, Ratio, Real, Scalar, Scale, Simulation, Slot, Temperature, Volume,
    WATER_TEMPERATURE, combine,
};

/// What is to be watered, and how.
///
/// ```
/// use gutta::measure::{Mass, Measured, Ratio};
/// use gutta::{Moisture, Watering, WateringPlan};
/// use uom::si::{mass::gram, ratio::percent};
///
/// let at = Moisture::new(Ratio::new::<percent>(10.8))?;
/// let to = Moisture::target(Ratio::new::<percent>(15.0))?;
/// let jar = Watering::new(
///     Measured::exact(Mass::new::<gram>(340.0)),
///     Measured::with_half_width(at, 0.01),
///     to,
/// );
/// let WateringPlan::Add(plan) = jar.plan()? else { unreachable!() };
/// assert!((plan.water.best().get::<gram>() - 16.8).abs() < 1e-9);
/// // ±4.0 g at 95 %.
/// assert!((plan.water.measured().half_width_95() - 0.004).abs() < 1e-9);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Watering {
    /// Leaf as weighed.
    pub leaf: Measured<Mass>,
    /// Its moisture now.
    pub at: Measured<Moisture>,
    /// The moisture wanted once everything is on and aired.
    pub to: Moisture,
    /// What else goes on, such as casing and flavouring.
    pub brought: Vec<Brought>,
    /// The tray or vessel that stands on the scale with the leaf.
    pub tray: Option<Measured<Mass>>,
    /// The drop that the water is counted with.
    pub drop: Option<Drop>,
    /// The temperature of the water.
    pub temperature: Measured<Temperature>,
    /// The scale at hand: its doubt is that of water that is weighed.
    pub scale: Option<Scale>,
    /// Half-width of the target band, in points of moisture as a ratio.
    pub band: Ratio,
    /// The chance of passing the top of the band that is put up with.
    pub risk: Ratio,
    /// An earlier addition that leaf and moisture are what it left of: set by
    /// [`second_step`](Self::second_step). With it the plan goes by what was
    /// done then, and `leaf` and `at` sum it up.
    pub earlier: Option<Earlier>,
}

/// What is to be done about the moisture.
#[derive(Clone, Debug)]
pub enum WateringPlan {
    /// Water goes on.
    Add(Box<Adding>),
    /// Water must go.
    Dry(Box<Drying>),
    /// The target is met.
    Nothing(Box<Resting>),
}

/// The plan when water goes on.
#[derive(Clone, Debug)]
pub struct Adding {
    /// Leaf and all that is brought, before the water: best estimates.
    pub pile: Pile,
    /// The water, in full.
    pub water: Estimate<Mass>,
    /// The same as a volume at its temperature.
    pub volume: Estimate<Volume>,
    /// The mass at the target, carrier gone.
    pub final_mass: Estimate<Mass>,
    /// The same with the tray.
    pub final_gross: Option<Estimate<Mass>>,
    /// The mass with all the water on, carrier still there.
    pub mass_at_once: Option<Estimate<Mass>>,
    /// The water counted in drops.
    pub drops: Option<InDrops>,
    /// What to add before the first check.
    pub first: First,
}

/// Water counted in drops.
#[derive(Clone, Debug)]
pub struct InDrops {
    /// One drop's mass.
    pub one: Estimate<DropMass>,
    /// The exact number.
    pub exact: Estimate<Drops>,
    /// The whole drops that do not overshoot, none included.
    pub whole: Drops,
    /// What the whole drops weigh.
    pub mass: Estimate<Mass>,
    /// The moisture that they give.
    pub moisture: Estimate<Moisture>,
    /// The mass with the drops on, carrier still there.
    pub mass_at_once: Option<Estimate<Mass>>,
    /// The mass then, carrier gone.
    pub final_mass: Estimate<Mass>,
    /// The same with the tray.
    pub final_gross: Option<Estimate<Mass>>,
}

/// The first of two additions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct First {
    /// Water to weigh or measure.
    pub water: Mass,
    /// The same counted in whole drops.
    pub drops: Option<Drops>,
    /// Why it is as large as it is.
    pub rule: FirstRule,
}

/// Why a first addition is as large as it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstRule {
    /// The moisture carries no doubt: three quarters, by common practice.
    ThreeQuarters,
    /// The largest that keeps to the band at the risk.
    WithinBand,
    /// All of it keeps to the band.
    AllAtOnce,
    /// Even without water the band is at risk: the moisture is too loosely
    /// known to water by.
    TooLoose,
    /// The moisture is known well enough, and the scale would leave the water
    /// too loosely known to keep to the band.
    TooCoarse,
}

/// The plan when water must go.
#[derive(Clone, Debug)]
pub struct Drying {
    /// Leaf and all that is brought, before drying: best estimates.
    pub pile: Pile,
    /// The water to lose.
    pub water: Estimate<Mass>,
    /// The mass to stop at, carrier gone.
    pub final_mass: Estimate<Mass>,
    /// The same with the tray.
    pub final_gross: Option<Estimate<Mass>>,
    /// The mass with everything on, before any water has gone.
    pub mass_at_once: Option<Estimate<Mass>>,
}

/// The plan when the target is met.
#[derive(Clone, Debug)]
pub struct Resting {
    /// The moisture as it is, carrier gone.
    pub moisture: Estimate<Moisture>,
    /// The mass, carrier gone.
    pub final_mass: Estimate<Mass>,
    /// The same with the tray.
    pub final_gross: Option<Estimate<Mass>>,
    /// The mass with everything on, carrier still there.
    pub mass_at_once: Option<Estimate<Mass>>,
}

impl WateringPlan {
    /// The mass at the target, carrier gone.
    pub fn final_mass(&self) -> &Estimate<Mass> {
        match self {
            Self::Add(plan) => &plan.final_mass,
            Self::Dry(plan) => &plan.final_mass,
            Self::Nothing(plan) => &plan.final_mass,
        }
    }

    /// The same with the tray, where there is one.
    pub fn final_gross(&self) -> Option<&Estimate<Mass>> {
        match self {
            Self::Add(plan) => plan.final_gross.as_ref(),
            Self::Dry(plan) => plan.final_gross.as_ref(),
            Self::Nothing(plan) => plan.final_gross.as_ref(),
        }
    }
}

impl Adding {
    /// The whole drops, where the water is counted: one drop or more, no more
    /// water than is [counted](is_counted), and drops known well enough to begin
    /// with one.
    pub fn counted(&self) -> Option<&InDrops> {
        let drops = self.drops.as_ref();
        let begins = self.first.rule == FirstRule::ThreeQuarters
            || self.first.rule == FirstRule::TooLoose
            || self.first.drops.is_some_and(|n| n.count() > 0.0);
        drops.filter(|d| begins && d.whole.count() > 0.0 && is_counted(self.volume.best()))
    }
}

impl Watering {
    /// Leaf at a moisture to a target, with water at 20 °C; a band of one
    /// point and a risk of 5 %.
    pub fn new(leaf: Measured<Mass>, at: Measured<Moisture>, to: Moisture) -> Self {
        Self {
            leaf,
            at,
            to,
            brought: Vec::new(),
            tray: None,
            drop: None,
            temperature: Measured::exact(ROOM_TEMPERATURE),
            scale: None,
            band: Ratio::of_base(0.01),
            risk: Ratio::of_base(0.05),
            earlier: None,
        }
    }

    /// Whether a volatile carrier is brought.
    pub fn has_carrier(&self) -> bool {
        self.brought.iter().any(|b| b.composition.has_carrier())
    }

    /// What to do about the moisture. The sign of the water needed after all
    /// that goes on decides.
    ///
    /// # Errors
    /// When a mass is not above 0, the water is not between 0 and 40 °C, or
    /// the band or the risk is outside its range.
    pub fn plan(&self) -> Result<WateringPlan> {
        let laid = self.lay()?;
        let run = laid.inputs.propagate(&laid.table);
        let carrier = self.has_carrier();
        let final_mass = run.estimate(|f| f.final_mass);
        let final_gross = self.tray.map(|_| run.estimate(|f| f.final_gross));
        let mass_at_once = carrier.then(|| run.estimate(|f| f.at_once));
        Ok(match laid.course {
            Course::Nothing => WateringPlan::Nothing(Box::new(Resting {
                moisture: run.estimate(|f| f.pile.moisture()),
                final_mass,
                final_gross,
                mass_at_once,
            })),
            Course::Dry => WateringPlan::Dry(Box::new(Drying {
                pile: laid.best.pile,
                water: run.estimate(|f| -f.water),
                final_mass,
                final_gross,
                mass_at_once,
            })),
            Course::Add => {
                let whole = laid.table.drop.map(|_| laid.table.whole);
                let drops = whole.map(|whole| InDrops {
                    one: run.estimate(|f| f.in_drops().one),
                    exact: run.estimate(|f| f.in_drops().exact),
                    whole,
                    mass: run.estimate(|f| f.in_drops().mass),
                    moisture: run.estimate(|f| f.in_drops().moisture),
                    mass_at_once: carrier.then(|| run.estimate(|f| f.in_drops().at_once)),
                    final_mass: run.estimate(|f| f.in_drops().final_mass),
                    final_gross: self
                        .tray
                        .map(|_| run.estimate(|f| f.in_drops().final_gross)),
                });
                WateringPlan::Add(Box::new(Adding {
                    pile: laid.best.pile,
                    water: run.estimate(|f| f.water),
                    volume: run.estimate(|f| f.volume),
                    final_mass,
                    final_gross,
                    mass_at_once,
                    drops,
                    first: self.first(&laid.best, whole),
                }))
            }
        })
    }

    /// The plan's formula ready to be run on draws, the whole drops held as
    /// planned. A draw is outside when it has water below none, a moisture
    /// without dry matter or a drop without mass.
    ///
    /// # Errors
    /// As [`plan`](Self::plan).
    pub fn simulate(&self) -> Result<Simulation> {
        let laid = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let drops = f.drops.as_ref();
            row.copy_from_slice(&[
                f.water.base(),
                -f.water.base(),
                f.volume.base(),
                f.final_mass.base(),
                f.final_gross.base(),
                drops.map_or(f64::NAN, |d| d.exact.base()),
                drops.map_or(f64::NAN, |d| d.mass.base()),
                match drops {
                    Some(d) => d.moisture.base(),
                    None => f.pile.moisture().base(),
                },
            ]);
            f.pile.water().base() >= 0.0
                && f.pile.dry_matter().base() > 0.0
                && drops.is_none_or(|d| d.one.base() > 0.0)
        };
        Ok(laid.inputs.simulate(laid.table, FIGURES, pick))
    }

    fn check(&self) -> Result<()> {
        for mass in [Some(&self.leaf), self.tray.as_ref()].into_iter().flatten() {
            MASS.check_base(mass.value().base())?;
        }
        for brought in &self.brought {
            brought.check(self.temperature.value())?;
        }
        WATER_TEMPERATURE.check_base(self.temperature.value().base())?;
        BAND.check_base(self.band.base())?;
        RISK.check_base(self.risk.base())
    }

    /// Checks what was typed, lays it on the table and decides what is to be
    /// done.
    fn lay(&self) -> Result<Laid> {
        self.check()?;
        let mut inputs = Inputs::new();
        let mut table = Table::lay(self, &mut inputs);
        let mut best = inputs.best(&table);
        let course = Course::of(&best.pile, self.to, best.water);
        table.course = course;
        if course == Course::Add {
            table.drop = self.drop.map(|d| d.add_to(&mut inputs, None));
            best = inputs.best(&table);
            let whole = best.drops.as_ref().map(|d| d.exact.whole_below());
            table.whole = whole.unwrap_or(Drops::new(0.0));
        }
        Ok(Laid {
            inputs,
            table,
            best,
            course,
        })
    }

    /// The first addition, decided on best estimates.
    fn first(&self, best: &Figures<f64>, whole: Option<Drops>) -> First {
        let water = best.water;
        let top = self.to.ratio() + self.band;
        if self.at.is_exact() {
            let part = Ratio::of_base(0.75);
            let one = best.drops.as_ref().map(|d| d.one);
            return First {
                water: water * part,
                drops: one.map(|one| (water * part / one).whole_below()),
                rule: FirstRule::ThreeQuarters,
            };
        }
        let within = |added: &Added| {
            let moisture = self.after(added).measured();
            first_addition::is_within(&moisture, top, self.risk)
        };
        let share =
            first_addition::largest(|share| within(&self.weighed(water * Ratio::of_base(share))));
        let in_drops = whole.zip(self.drop).map(|(whole, drop)| {
            first_addition::largest_whole(whole, |n| within(&Added::Drops(n, drop)))
        });
        // What is counted goes by the drops: their doubt is not that of a scale,
        // which may even be too coarse for the water.
        let counted = in_drops.filter(|n| n.count() > 0.0 && is_counted(best.volume));
        let rule = match (counted, share) {
            (Some(_), _) if counted == whole => FirstRule::AllAtOnce,
            (Some(_), _) => FirstRule::WithinBand,
            (None, s) if s >= 1.0 => FirstRule::AllAtOnce,
            (None, s) if s > 0.0 => FirstRule::WithinBand,
            _ if within(&Added::Mass(Measured::exact(Mass::of_base(0.0)))) => FirstRule::TooCoarse,
            _ => FirstRule::TooLoose,
        };
        First {
            water: water * Ratio::of_base(share),
            drops: in_drops,
            rule,
        }
    }

    /// Water weighed out, with the doubt of the scale where it is known.
    pub fn weighed(&self, water: Mass) -> Added {
        Added::Mass(match self.scale {
            Some(scale) => scale.weighed(water),
            None => Measured::exact(water),
        })
    }

    /// The moisture once an addition is taken up and the carrier gone.
    pub fn after(&self, added: &Added) -> Estimate<Moisture> {
        let (inputs, after) = self.before_water().with(added);
        inputs.propagate(&after).estimate(Pile::moisture)
    }

    const fn before_water(&self) -> BeforeWater<'_> {
        BeforeWater {
            leaf: &self.leaf,
            at: &self.at,
            brought: self.brought.as_slice(),
            temperature: &self.temperature,
            earlier: self.earlier.as_ref(),
        }
    }

    /// After a first addition: the moisture to expect, and with a reading of
    /// it, both together; and the watering that is left to do.
    ///
    /// The leaf that is left to water is all that lies on the table now. What
    /// its mass and moisture have in common, and a dropper that is used again,
    /// count once.
    ///
    /// # Errors
    /// When a number is outside its range, or the reading carries no doubt.
    pub fn second_step(
        &self,
        first: &Added,
        reading: Option<&Measured<Moisture>>,
    ) -> Result<SecondStep> {
        self.check()?;
        first.check()?;
        let before = self.before_water();
        let (inputs, after) = before.with(first);
        let run = inputs.propagate(&after);
        let expected: Estimate<Moisture> = run.estimate(Pile::moisture);
        let mass: Estimate<Mass> = run.estimate(Pile::total);
        let prior = expected.measured();
        let together = match reading {
            // Without a doubt the expectation cannot be weighed against one.
            Some(reading) if !prior.is_exact() => {
                Some(combine(&[(EXPECTED, prior), (READING, *reading)])?)
            }
            _ => None,
        };
        let at = match (&together, reading) {
            (Some(both), _) => both.estimate.measured(),
            (None, Some(reading)) => *reading,
            (None, None) => prior,
        };
        let rest = Self {
            leaf: mass.measured(),
            at,
            brought: Vec::new(),
            earlier: Some(before.then(first, reading, &expected, together.as_ref())),
            ..self.clone()
        };
        Ok(SecondStep {
            expected,
            together,
            rest,
        })
    }
}

/// What is expected before a reading, as a budget shows it.
const EXPECTED: &str = "expected moisture";

/// Where things stand after a first addition.
#[derive(Clone, Debug)]
pub struct SecondStep {
    /// The moisture to expect once the first addition is taken up.
    pub expected: Estimate<Moisture>,
    /// Expectation and reading together, where both carry a doubt.
    pub together: Option<Combined<Moisture>>,
    /// The watering that is left to do.
    pub rest: Watering,
}

/// The figures of a simulated plan, in the order of its rows.
const FIGURES: &[&str] = &[
    "water",
    "water_to_lose",
    "water_volume",
    "final_mass",
    "final_gross",
    "drops_exact",
    "drops_mass",
    "moisture_reached",
];

/// Everything on the table, with what is to be done.
struct Laid {
    inputs: Inputs,
    table: Table,
    best: Figures<f64>,
    course: Course,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Course {
    Add,
    Dry,
    Nothing,
}

impl Course {
    /// What a pile that needs this much water asks for: the sign of the water
    /// decides, where the moisture is not met already.
    pub fn of(pile: &Pile, to: Moisture, water: Mass) -> Self {
        let short = to.ratio() - pile.moisture().ratio();
        if short.base().abs() <= MET {
            Self::Nothing
        } else if water.base() < 0.0 {
            Self::Dry
        } else {
            Self::Add
        }
    }
}

/// What lies on the table, as a formula.
struct Table {
    before: BeforeWaterSlots,
    to: Moisture,
    tray: Option<Slot<Mass>>,
    drop: Option<DropSlots>,
    /// The whole drops, once they are decided.
    whole: Drops,
    /// What is to be done, once it is decided.
    course: Course,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pile: Pile<V>,
    water: Mass<V>,
    volume: Volume<V>,
    at_once: Mass<V>,
    final_mass: Mass<V>,
    final_gross: Mass<V>,
    drops: Option<DropFigures<V>>,
}

struct DropFigures<V: Real>
where
    SI<V>: Units<V>,
{
    one: DropMass<V>,
    exact: Drops<V>,
    mass: Mass<V>,
    moisture: Moisture<V>,
    at_once: Mass<V>,
    final_mass: Mass<V>,
    final_gross: Mass<V>,
}

impl<V: Real> Figures<V>
where
    SI<V>: Units<V>,
{
    /// Asked only where a drop is among the inputs.
    fn in_drops(&self) -> &DropFigures<V> {
        self.drops.as_ref().expect("a drop is among the inputs")
    }
}

impl Table {
    fn lay(watering: &Watering, inputs: &mut Inputs) -> Self {
        Self {
            before: watering.before_water().add_to(inputs),
            to: watering.to,
            tray: watering.tray.map(|t| inputs.add("tray", &t)),
            drop: None,
            whole: Drops::new(0.0),
            course: Course::Add,
        }
    }
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
        let pile = self.before.pile(point);
        let to = self.to.lift::<V>();
        let water = pile.water_to(to);
        let reached = pile.at_moisture(to);
        let density = self.before.water(point);
        let gross = |net: Mass<V>| self.tray.map_or(net, |tray| net + point.get(tray));
        let drops = self.drop.map(|slots| {
            let one = slots.one(point, density);
            let mass = slots.counted(point, density, self.whole);
            let mixed = pile.with_water(mass);
            let wetted = mixed.aired();
            DropFigures {
                one,
                exact: water / one,
                mass,
                moisture: wetted.moisture(),
                at_once: mixed.total(),
                final_mass: wetted.total(),
                final_gross: gross(wetted.total()),
            }
        });
        // Where nothing is to be done the mass is that of what lies there, and
        // not what its moisture would make of it.
        let settled = match self.course {
            Course::Nothing => pile,
            Course::Add | Course::Dry => reached,
        };
        let mixed = match self.course {
            Course::Add => reached,
            Course::Dry | Course::Nothing => pile,
        };
        let final_mass = settled.aired().total();
        Figures {
            pile,
            water,
            volume: water / density,
            at_once: mixed.total(),
            final_mass,
            final_gross: gross(final_mass),
            drops,
        }
    }
}
