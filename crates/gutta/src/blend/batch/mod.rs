//! From a trial to a batch: what it costs, how far the stock reaches, in how many
//! loads it is made, how it is packed, and what became of it.
//!
//! # Why does money have no unit?
//!
//! A bench buys its leaf in one currency, and every figure here is a sum or a ratio
//! of prices. Which money it is stands on the invoice.
//!
//! # Why is nothing weighed here?
//!
//! What a batch takes of each lot is the weigh sheet's to say
//! ([`Sheet`](super::sheet::Sheet)): a large batch is made by the same sheet as a
//! small one. This is about what follows from it.

mod cheapest;
mod loads;
mod packs;
mod price;
mod reconcile;
mod scale_up;

pub use cheapest::{Bound, Cheapest, Choice, Offer, Short, Taken, Wanted};
pub use loads::{Loading, Loads, MOST_LOADS};
pub use packs::{Packing, Packs};
pub use price::{Money, PRICE_FORM, Price};
pub use reconcile::{Packed, Reconciled, Reconciling};
pub use scale_up::{Cost, Limit, Needed, ScaleUp, ScaledUp, Supply};
