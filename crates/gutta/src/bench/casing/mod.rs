//! Casing: how much of it a rate makes, and the weights from there to dry-back.
//!
//! # Why does a rate carry what it is of?
//!
//! "8 %" is of the liquid or of its solids, on leaf as weighed or on dry leaf,
//! and these differ by half and more. A [`Rate`] has all three, so that none
//! of them can be taken for granted; [`Rate::readings`] are all that are left
//! when somebody did not say.
//!
//! # Whose doubt is it?
//!
//! What is asked for (the casing, the water to bulk) has the doubt of what it
//! is worked out from. What comes of it goes by what was really put on: a
//! casing of 200 g is 200 g on the leaf, whatever the leaf's moisture was, with
//! the doubt of the scale where one is known. So too the water to bulk.

mod rate;
mod table;

pub use rate::{Rate, RateOf};

use self::table::{Figures, Ingredient, Recipe, Table};
use super::brought::Brought;
use crate::error::{Error, ErrorKind, Result};
use crate::matter::{Composition, MET, Moisture, Part, Pile};
use crate::measure::{
    CASING_RATE, CASING_SOLIDS, Digits, Estimate, Inputs, MASS, Mass, Measured, ROOM_TEMPERATURE,
    Ratio, Scalar, Scale, Simulation, Temperature, Unit, WATER_TEMPERATURE, quantity,
};

/// A casing of which the solids alone are known; the rest is water. Its amount
/// stands for none: a recipe is scaled.
///
/// # Errors
/// When the solids are not above 0 and at most 100 %.
pub fn known_by_solids(solids: &Measured<Ratio>) -> Result<Brought> {
    CASING_SOLIDS.check_base(solids.value().base())?;
    let water = solids.through::<Ratio>(|solids| Ratio::of_base(1.0).lift() - solids);
    let composition = Composition::new(&[(Part::Water, water)])?;
    let any = Measured::exact(Mass::of_base(1.0));
    Ok(Brought::weighed("casing", any, composition))
}

/// Leaf to be cased, and how.
///
/// ```
/// use gutta::bench::{Casing, LeafBasis, Rate, RateOf, known_by_solids};
/// use gutta::measure::{Mass, Measured, Ratio};
/// use gutta::Moisture;
/// use uom::si::{mass::gram, ratio::percent};
///
/// let share = |p| Ratio::new::<percent>(p);
/// let leaf = Measured::exact(Mass::new::<gram>(2500.0));
/// let at = Measured::exact(Moisture::new(share(12.5))?);
/// let casing = known_by_solids(&Measured::exact(share(60.0)))?;
/// let rate = Rate { share: share(8.0), of: RateOf::Liquid, basis: LeafBasis::AsWeighed };
/// let cased = Casing::new(leaf, at, vec![casing], rate).cased()?;
/// assert!((cased.casing.best().get::<gram>() - 200.0).abs() < 1e-9);
/// // 392.5 g of water in 2700 g.
/// assert!((cased.moisture.best().ratio().get::<percent>() - 14.537).abs() < 1e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Casing {
    /// Leaf as weighed.
    pub leaf: Measured<Mass>,
    /// Its moisture now.
    pub at: Measured<Moisture>,
    /// What the casing is made of. The amounts are to each other as they are
    /// in the casing; they are scaled.
    pub recipe: Vec<Brought>,
    /// How much of it goes on.
    pub rate: Rate,
    /// The moisture at which the cased leaf rests in bulk.
    pub bulk: Option<Moisture>,
    /// The moisture that it is dried back to.
    pub to: Option<Moisture>,
    /// The tray or vessel that stands on the scale with the leaf.
    pub tray: Option<Measured<Mass>>,
    /// The temperature of water in the recipe that is measured by volume.
    pub temperature: Measured<Temperature>,
    /// The scale at hand: its doubt is that of the casing and the water that
    /// are weighed out.
    pub scale: Option<Scale>,
}

/// What a scale is to show.
#[derive(Clone, Debug)]
pub struct OnScale {
    /// Without the tray.
    pub net: Estimate<Mass>,
    /// With it, where there is one.
    pub gross: Option<Estimate<Mass>>,
}

/// The casing, and the weights from there to dry-back.
#[derive(Clone, Debug)]
pub struct Cased {
    /// The leaf alone: best estimates.
    pub leaf: Pile,
    /// The casing alone: best estimates.
    pub made: Pile,
    /// The casing to weigh out, as it is poured.
    pub casing: Estimate<Mass>,
    /// Its solids: all but water and alcohol.
    pub solids: Estimate<Mass>,
    /// The water that it brings.
    pub water: Estimate<Mass>,
    /// What to weigh of each ingredient, in the order of the recipe.
    pub parts: Vec<Estimate<Mass>>,
    /// The moisture of the cased leaf, carrier gone.
    pub moisture: Estimate<Moisture>,
    /// The cased leaf, carrier gone.
    pub mass: OnScale,
    /// The cased leaf with the carrier still there, where there is one.
    pub at_once: Option<OnScale>,
    /// The way to the bulking moisture, where one was asked for.
    pub bulk: Option<InBulk>,
    /// The way back to a moisture, where one was asked for.
    pub dried: Option<DriedBack>,
}

/// Cased leaf that rests in bulk.
#[derive(Clone, Debug)]
pub struct InBulk {
    /// The water to add; none when the casing has brought it there, or above.
    pub water: Option<Estimate<Mass>>,
    /// The moisture in bulk, with that water on.
    pub moisture: Estimate<Moisture>,
    /// The leaf in bulk.
    pub mass: OnScale,
}

/// Cased leaf dried back.
#[derive(Clone, Debug)]
pub struct DriedBack {
    /// The reading to stop at.
    pub mass: OnScale,
    /// The water to lose from the leaf in bulk, or from the cased leaf.
    pub water: Estimate<Mass>,
}

impl Casing {
    /// Leaf at a moisture, a recipe and a rate, with nothing to follow; water in
    /// the recipe at 20 °C.
    pub const fn new(
        leaf: Measured<Mass>,
        at: Measured<Moisture>,
        recipe: Vec<Brought>,
        rate: Rate,
    ) -> Self {
        Self {
            leaf,
            at,
            recipe,
            rate,
            bulk: None,
            to: None,
            tray: None,
            temperature: Measured::exact(ROOM_TEMPERATURE),
            scale: None,
        }
    }

    /// Whether a volatile carrier is in the casing.
    pub fn has_carrier(&self) -> bool {
        self.recipe
            .iter()
            .any(|part| part.composition.has_carrier())
    }

    /// Whether anything in the casing stays and is not water.
    ///
    /// # Errors
    /// When a number is outside its range, or nothing is in the recipe.
    pub fn has_solids(&self) -> Result<bool> {
        self.check()?;
        let mut inputs = Inputs::new();
        let table = Table::lay(self, &mut inputs);
        let recipe = inputs.best(&Recipe(&table));
        Ok(recipe.dry_matter() > recipe.total() * Ratio::of_base(MET))
    }

    /// How much casing, and the weights from there on.
    ///
    /// # Errors
    /// When a number is outside its range, or nothing is in the recipe; a
    /// refusal when a rate of solids meets a casing without any, when what is
    /// weighed out is less than a step of the scale, or when the leaf would be
    /// drier than the moisture that it is dried back to.
    pub fn cased(&self) -> Result<Cased> {
        let laid = self.lay()?;
        let (inputs, table) = (&laid.inputs, &laid.table);
        let run = inputs.propagate(table);
        let gross = |net: Estimate<Mass>, gross: Estimate<Mass>| OnScale {
            net,
            gross: self.tray.map(|_| gross),
        };
        let parts = (0..self.recipe.len()).map(|which| {
            let part = Ingredient { table, which };
            inputs.propagate(&part).estimate(|mass| *mass)
        });
        Ok(Cased {
            leaf: laid.best.leaf,
            made: laid.best.casing,
            casing: run.estimate(|f| f.casing.total()),
            solids: run.estimate(|f| f.weighed.dry_matter()),
            water: run.estimate(|f| f.weighed.water()),
            parts: parts.collect(),
            moisture: run.estimate(|f| f.cased.moisture()),
            mass: gross(
                run.estimate(|f| f.cased.aired().total()),
                run.estimate(|f| f.cased.aired().total() + f.tray),
            ),
            at_once: self.has_carrier().then(|| {
                gross(
                    run.estimate(|f| f.cased.total()),
                    run.estimate(|f| f.cased.total() + f.tray),
                )
            }),
            bulk: self.bulk.map(|_| InBulk {
                water: table.water.and_then(|_| run.estimate_if(|f| f.water)),
                moisture: run.estimate(|f| f.in_bulk.moisture()),
                mass: gross(
                    run.estimate(|f| f.in_bulk.total()),
                    run.estimate(|f| f.in_bulk.total() + f.tray),
                ),
            }),
            dried: self.to.map(|_| DriedBack {
                mass: gross(
                    run.estimate(|f| f.dried.total()),
                    run.estimate(|f| f.dried.total() + f.tray),
                ),
                water: run.estimate(|f| f.in_bulk.total() - f.dried.total()),
            }),
        })
    }

    /// The same formula ready to be run on draws, casing and water held as they
    /// are weighed out. A draw is outside when the leaf has water below none or
    /// no dry matter, or the casing no mass.
    ///
    /// # Errors
    /// As [`cased`](Self::cased).
    pub fn simulate(&self) -> Result<Simulation> {
        let Laid { inputs, table, .. } = self.lay()?;
        let pick = |f: &Figures<f64>, row: &mut [f64]| {
            let (cased, in_bulk) = (f.cased.aired().total(), f.in_bulk.total());
            row.copy_from_slice(&[
                f.casing.total().base(),
                f.weighed.dry_matter().base(),
                f.weighed.water().base(),
                f.cased.moisture().base(),
                cased.base(),
                (cased + f.tray).base(),
                f.cased.total().base(),
                (f.cased.total() + f.tray).base(),
                f.water.map_or(f64::NAN, Scalar::base),
                in_bulk.base(),
                (in_bulk + f.tray).base(),
                f.dried.total().base(),
                (f.dried.total() + f.tray).base(),
                (in_bulk - f.dried.total()).base(),
            ]);
            f.leaf.water().base() >= 0.0
                && f.leaf.dry_matter().base() > 0.0
                && f.casing.total().base() > 0.0
        };
        Ok(inputs.simulate(table, FIGURES, pick))
    }

    fn check(&self) -> Result<()> {
        for mass in [Some(&self.leaf), self.tray.as_ref()].into_iter().flatten() {
            MASS.check_base(mass.value().base())?;
        }
        if self.recipe.is_empty() {
            return Err(
                Error::new(ErrorKind::Missing, "what the casing is made of is missing")
                    .with_hint("name each ingredient with its amount, or the solids of the casing"),
            );
        }
        for part in &self.recipe {
            part.check(self.temperature.value())?;
        }
        CASING_RATE.check_base(self.rate.share.base())?;
        WATER_TEMPERATURE.check_base(self.temperature.value().base())
    }

    /// Checks what was typed, lays it on the table, and decides what is weighed
    /// out.
    fn lay(&self) -> Result<Laid> {
        if self.rate.of == RateOf::Solids && !self.has_solids()? {
            return Err(Error::new(
                ErrorKind::Refused,
                "nothing in this casing stays: no amount of it makes a rate of solids",
            )
            .with_hint(
                "count the rate on the liquid, or say what in it is neither water nor alcohol",
            ));
        }
        self.check()?;
        let mut inputs = Inputs::new();
        let mut table = Table::lay(self, &mut inputs);
        let casing = inputs.best(&table).casing.total();
        self.check_weighable("casing", casing)?;
        table.casing = Some(inputs.add("casing as weighed", &self.weighed(casing)));
        let mut best = inputs.best(&table);
        // What rounding leaves is no water.
        let enough = best.cased.total() * Ratio::of_base(MET);
        if let Some(water) = best.water.filter(|water| *water > enough) {
            self.check_weighable("water to bulk", water)?;
            table.water = Some(inputs.add("water as weighed", &self.weighed(water)));
            best = inputs.best(&table);
        }
        if let Some(to) = self.to {
            let above = best.in_bulk.moisture().ratio() - to.ratio();
            table.is_met = above.base().abs() <= MET;
            if above.base() < -MET {
                return Err(too_dry(best.in_bulk.moisture(), to, self.bulk.is_some()));
            }
            best = inputs.best(&table);
        }
        Ok(Laid {
            inputs,
            table,
            best,
        })
    }

    /// What is less than a step of the scale is not weighed out on it.
    fn check_weighable(&self, what: &str, mass: Mass) -> Result<()> {
        let Some(scale) = self.scale.filter(|scale| mass < scale.division()) else {
            return Ok(());
        };
        let grams = |mass: Mass| quantity(mass.base(), Unit::GRAM, Digits::AtMost(3));
        Err(Error::new(
            ErrorKind::Refused,
            format!(
                "{} of {what} is less than one step of the scale, {}",
                grams(mass),
                grams(scale.division())
            ),
        )
        .with_hint("weigh it on a finer scale, or case more leaf at once"))
    }

    /// A mass that is weighed out, with the doubt of the scale where it is known.
    fn weighed(&self, mass: Mass) -> Measured<Mass> {
        match self.scale {
            Some(scale) => scale.weighed(mass),
            None => Measured::exact(mass),
        }
    }
}

/// Leaf that is drier than it is to be dried back to.
fn too_dry(moisture: Moisture, to: Moisture, in_bulk: bool) -> Error {
    let percent = |m: Moisture| (m.base() * 1e4).round() / 1e2;
    let (leaf, hint) = if in_bulk {
        ("leaf in bulk", "take a bulking moisture above it")
    } else {
        ("the cased leaf", "bulk it at a moisture above that first")
    };
    Error::new(
        ErrorKind::Refused,
        format!(
            "{leaf} is at {} %, drier than {} %: it cannot be dried back to that",
            percent(moisture),
            percent(to)
        ),
    )
    .with_hint(hint)
}

/// The figures of a simulated casing, in the order of its rows.
const FIGURES: &[&str] = &[
    "casing",
    "casing_solids",
    "casing_water",
    "moisture_after",
    "mass_after",
    "gross_after",
    "mass_at_once",
    "gross_at_once",
    "bulk_water",
    "bulk_mass",
    "bulk_gross",
    "final_mass",
    "final_gross",
    "water_to_lose",
];

/// Everything on the table, with what is weighed out.
struct Laid {
    inputs: Inputs,
    table: Table,
    best: Figures<f64>,
}
