//! Floor 3: what hands do.

mod added;
mod advice;
mod before_water;
mod brought;
mod casing;
mod counted_drops;
mod dilution;
mod dose;
mod dosing;
mod drop;
mod dropper;
mod falling;
mod first_addition;
mod miscount;
mod mixture;
mod moistening;
mod series;
mod to_strength;
mod watering;
mod weighings;

pub use added::Added;
pub use advice::{Action, Advice};
pub use before_water::Earlier;
pub use brought::Brought;
pub(crate) use brought::BroughtSlots;
pub use casing::{Cased, Casing, DriedBack, InBulk, OnScale, Rate, RateOf, known_by_solids};
pub use counted_drops::{CountedDrops, Misfit, together};
pub use dilution::{
    CountedDilution, CountedNeat, Diluted, Dilution, MOST_DROPS, MOST_STOCK, Strong, TwoSteps,
    USUAL_DROPS, WEIGHING_TOLERANCE, Weaker, strength,
};
pub use dose::{DoseAsWeighed, DoseDry, DryLeaf, LeafAsWeighed, LeafBasis};
pub use dosing::{Asked, Batch, BatchDose, BatchValue, CountedDose, Dosed, Dosing, GivenDose};
pub use drop::{Drop, DropSlots, Origin, Scatter, is_counted};
pub use dropper::{Calibrating, Calibration, Dropped};
pub use falling::{Falling, FromTip, Predicted};
pub use miscount::Finding;
pub use mixture::{MixedLiquids, Mixture};
pub use moistening::{KnownAddition, LeafWeighed, Moistened};
pub use series::{Portions, Series};
pub use to_strength::{Make, ToStrength, Weakened};
pub use watering::{
    Adding, Drying, First, FirstRule, InDrops, Resting, SecondStep, Watering, WateringPlan,
};
pub use weighings::{Readings, Weighing};
