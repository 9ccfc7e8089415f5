//! What is written down of a blend, and what follows from it: pure functions of
//! entries and a given time.

mod descent;
mod due;
mod identifier;
mod jar;
mod making;
mod moment;
mod step;
mod stock;

pub use descent::{Branch, descent};
pub use due::{Due, due};
pub use identifier::{Identifier, LONGEST};
pub use jar::{JarEvent, JarHistory, JarNow, JarStep};
pub use making::{GivenLiquid, MadeLeaf, MadeLiquid, MadeShare, Making, MakingNow};
pub use moment::Moment;
pub use step::{FORMS as STEP_FORMS, LeafStep, LiquidStep, LiquidUse, Step};
pub use stock::{LotEvent, LotHistory, LotNow, LotStep};

#[cfg(test)]
mod tests;
