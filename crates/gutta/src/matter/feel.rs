//! A moisture by feel: a guess, and said as one.

use uom::si::ratio::percent;

use super::Moisture;
use crate::measure::{Measured, Ratio, Scalar};

/// How leaf feels between the fingers, from dry to wet. The ranges are common
/// practice, with no source: neighbours overlap, because hands differ.
///
/// ```
/// use gutta::matter::Feel;
/// let supple = Feel::named("supple").unwrap().moisture();
/// assert!((supple.value().ratio().value - 0.13).abs() < 1e-12);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Feel {
    /// Breaks to dust between the fingers.
    Brittle,
    /// Rustles, and cracks when it is folded.
    Crisp,
    /// Folds without breaking, and springs back from a pinch.
    Supple,
    /// Feels cool; a pinch opens slowly.
    Soft,
    /// Stays in a lump, and dampens the fingers.
    Damp,
}

impl Feel {
    /// All grades, the driest first.
    pub const ALL: [Self; 5] = [
        Self::Brittle,
        Self::Crisp,
        Self::Supple,
        Self::Soft,
        Self::Damp,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Brittle => "brittle",
            Self::Crisp => "crisp",
            Self::Supple => "supple",
            Self::Soft => "soft",
            Self::Damp => "damp",
        }
    }

    /// How it feels.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Brittle => "breaks to dust between the fingers",
            Self::Crisp => "rustles, and cracks when it is folded",
            Self::Supple => "folds without breaking, and springs back from a pinch",
            Self::Soft => "feels cool, and a pinch opens slowly",
            Self::Damp => "stays in a lump, and dampens the fingers",
        }
    }

    /// The grade of this name, in any case; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|feel| feel.name().eq_ignore_ascii_case(name.trim()))
    }

    /// Its range, wet basis, in per cent: common practice.
    pub const fn range(self) -> (f64, f64) {
        match self {
            Self::Brittle => (4.0, 9.0),
            Self::Crisp => (8.0, 12.0),
            Self::Supple => (11.0, 15.0),
            Self::Soft => (14.0, 18.0),
            Self::Damp => (17.0, 24.0),
        }
    }

    /// Its range as a moisture, wet basis: rectangular.
    pub fn moisture(self) -> Measured<Moisture> {
        let (low, high) = self.range();
        let of = |p: f64| Ratio::new::<percent>(p).base();
        let middle = Moisture::of_base(0.5 * (of(low) + of(high)));
        Measured::rectangular(middle, 0.5 * (of(high) - of(low)))
    }
}
