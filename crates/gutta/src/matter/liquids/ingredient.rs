//! What casings are made of, with the water that each usually holds.
//!
//! # Why ranges and not figures?
//!
//! No two honeys hold the same water. A range says so, and its doubt goes into
//! the answer; what stands on the label, or was measured, is better and wins.

use uom::si::ratio::percent;

use super::{Composition, Part};
use crate::error::Result;
use crate::measure::{Density, HONEY_WATER, Measured, Ratio, Scalar};

/// An ingredient of casings.
#[derive(Debug)]
pub struct Ingredient {
    /// What it is called.
    pub name: &'static str,
    /// Other names that are read.
    pub also: &'static [&'static str],
    /// The water it usually holds, % by mass: from and to, any within as likely
    /// as another.
    pub water: [f64; 2],
    /// What the rest is.
    pub rest: Part,
    /// Where the range is from.
    pub source: &'static str,
}

/// An ingredient is the same when it is called the same.
impl PartialEq for Ingredient {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Ingredient {
    /// Each of them.
    pub const ALL: [Self; 7] = [
        Self {
            name: "honey",
            also: &[],
            water: [14.3, 20.0],
            rest: Part::Sugar,
            source: "composition tables have 17.1 to 17.2 %; taken evenly about it up to the 20 % that standards allow, as remembered",
        },
        Self {
            name: "maple syrup",
            also: &[],
            water: [33.0, 33.5],
            rest: Part::Sugar,
            source: "composition tables, solids 66.5 %",
        },
        Self {
            name: "high-fructose corn syrup",
            also: &[],
            water: [24.0, 24.0],
            rest: Part::Sugar,
            source: "composition tables",
        },
        Self {
            name: "corn syrup",
            also: &["glucose syrup"],
            water: [18.0, 23.0],
            rest: Part::Sugar,
            source: "industry figures, as remembered",
        },
        Self {
            name: "molasses",
            also: &["treacle"],
            water: [20.0, 25.0],
            rest: Part::Sugar,
            source: "food composition tables, 21.9 % among them, as remembered",
        },
        Self {
            name: "invert syrup",
            also: &["invert sugar"],
            water: [20.0, 30.0],
            rest: Part::Sugar,
            source: "common practice, as remembered: go by the label",
        },
        Self {
            name: "cocoa powder",
            also: &["cocoa"],
            water: [3.0, 5.0],
            rest: Part::Solids,
            source: "common practice, as remembered",
        },
    ];

    /// Every name that is read for it.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.name).chain(self.also.iter().copied())
    }

    /// The water it usually holds, as a share by mass.
    pub fn usual_water(&self) -> Measured<Ratio> {
        let [low, high] = self.water.map(Ratio::new::<percent>);
        let middle = (low + high) / 2.0;
        if low == high {
            return Measured::exact(middle);
        }
        Measured::rectangular(middle, ((high - low) / 2.0).base())
    }

    /// What is in it when it holds this much water.
    ///
    /// # Errors
    /// When the share is outside 0 to 100 %.
    pub fn with_water(&self, water: Measured<Ratio>) -> Result<Composition> {
        Composition::with_rest(&[(Part::Water, water)], self.rest)
    }

    /// Its density at the room's temperature with this much water, where that is
    /// known.
    pub fn density(&self, water: Measured<Ratio>) -> Option<Measured<Density>> {
        if self.name == "honey" {
            honey_density(water).ok()
        } else {
            None
        }
    }
}

/// The density of honey from its water, 13 to 20 % by mass, at 15 to 25 °C.
///
/// A straight line through the specific gravities 20/20 of White's table (15 to
/// 18 % of water, as remembered): 1.4350 at 15 %, 0.00597 less for each point.
/// u is 0.008 g/mL: published figures disagree by up to 0.016 either way, and
/// honey takes 0.003 more or less 5 °C off.
///
/// # Errors
/// When the water is outside 13 to 20 %.
pub fn honey_density(water: Measured<Ratio>) -> Result<Measured<Density>> {
    HONEY_WATER.check_base(water.value().base())?;
    let slope = -0.597 * 998.207;
    let at_15 = 1.4350 * 998.207;
    let density = at_15 + slope * (water.value().base() - 0.15);
    let u = (slope * water.u()).hypot(8.0);
    Ok(Measured::new(Density::of_base(density), u, f64::INFINITY))
}
