//! What casings are made of, with the water that each usually holds.
//!
//! # Why ranges and not figures?
//!
//! No two honeys hold the same water. A range says so, and its doubt goes into
//! the answer; what stands on the label, or was measured, is better and wins.

use uom::si::ratio::percent;

use super::{Composition, DensityOf, Part};
use crate::error::Result;
use crate::measure::{Measured, Ratio, Scalar};

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
    pub const ALL: [Self; 8] = [
        Self {
            name: HONEY,
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
            name: "sugar",
            also: &["white sugar"],
            water: [0.0, 0.5],
            rest: Part::Sugar,
            source: "common practice, as remembered: dry, by the spoon",
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

    /// What its density is known from, where it is.
    pub fn density(&self) -> DensityOf {
        if self.name == HONEY {
            DensityOf::Honey
        } else {
            DensityOf::Unknown
        }
    }

    /// The water it usually holds in whole per cent, as a label would say it.
    pub fn round_water(&self) -> f64 {
        self.usual_water().value().get::<percent>().round()
    }
}

/// The one ingredient whose density is known by its water.
pub(super) const HONEY: &str = "honey";
