//! Leaf in air: what moisture it comes to, and what air keeps it there.
//!
//! # Where are the curves from, and how good are they?
//!
//! Each type of leaf has a curve of the Oswin form that goes through one
//! published figure: the humidity that holds 13 % of moisture. How steep it is
//! is judged from several weak sources. Hence the doubt of about 1.5 points
//! from 35 to 65 % relative humidity and 2.5 to 4 points at 75 %, and the
//! refusal outside 35 to 75 %. One reading of one's own leaf
//! ([`Isotherm::anchored`]) or three and more ([`Fit`]) do better.
//!
//! # Is it leaf that takes water up, or leaf that dries?
//!
//! Drying leaf holds a little more than wetted leaf in the same air, most at 40
//! to 70 % relative humidity (Jin H.-Y. et al. 1981, abstract). The sources give
//! no figure for it; the curves know of one branch only, and their doubt has no
//! part of its own for the other.
//!
//! # And cased leaf?
//!
//! Humectant and sugar hold water more tightly: at the same moisture cased leaf
//! keeps drier air. The curves are for uncased leaf; a curve of the user's own
//! is for what was measured.

mod fit;
mod in_air;
mod isotherm;
mod leaf;
mod mould;
mod oswin;

pub use fit::{Fit, OwnPoint};
pub use in_air::{Equivalent, InAir, KeptBy};
pub use isotherm::{Isotherm, OwnReading};
pub use leaf::{LEAF_REFERENCE, Leaf};
pub use mould::mould_line;
pub use oswin::{activity, at_temperature, held};
