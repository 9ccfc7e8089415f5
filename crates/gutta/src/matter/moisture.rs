//! Moisture on two bases that cannot be mixed up.
//!
//! # Why two types?
//!
//! 17.6 % of the dry matter is 15.0 % of the total. Printed as bare
//! percentages the two are mistaken for each other; as two types they are not:
//! a formula takes the one it is about, and the way over is a conversion with
//! a name.

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Basis, Kind, Reading};
use crate::measure::{
    DRY_BASIS_MOISTURE, MOISTURE, Mass, Measured, Ratio, Real, Scalar, TARGET_MOISTURE,
    scalar_newtype,
};
use uom::si::{SI, Units};

/// Moisture on wet basis: water over total mass.
///
/// ```
/// use gutta::{DryBasis, Moisture};
/// use gutta::measure::Ratio;
/// use uom::si::ratio::percent;
/// let wet = Moisture::new(Ratio::new::<percent>(15.0)).unwrap();
/// let dry: DryBasis = wet.on_dry_basis();
/// assert!((dry.ratio().get::<percent>() - 17.647).abs() < 1e-3);
/// ```
///
/// The bases do not mix:
///
/// ```compile_fail
/// use gutta::{DryBasis, Moisture};
/// fn wetter(a: Moisture, b: DryBasis) -> bool { a > b }
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Moisture<V = f64>(V);

/// Moisture on dry basis: water over dry matter.
///
/// ```
/// use gutta::DryBasis;
/// use gutta::measure::Ratio;
/// use uom::si::ratio::percent;
/// let dry = DryBasis::new(Ratio::new::<percent>(17.6)).unwrap();
/// assert!((dry.on_wet_basis().ratio().get::<percent>() - 14.966).abs() < 1e-3);
/// ```
///
/// A pile takes moisture on wet basis:
///
/// ```compile_fail
/// use gutta::{DryBasis, Pile, measure::Mass};
/// fn pile(leaf: Mass, at: DryBasis) -> Pile { Pile::leaf(leaf, at) }
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DryBasis<V = f64>(V);

scalar_newtype!(Moisture);
scalar_newtype!(DryBasis);

impl Moisture {
    /// Moisture as found, from water over total mass.
    ///
    /// # Errors
    /// When it is below 0 or from 100 % up.
    pub fn new(share: Ratio) -> Result<Self> {
        MOISTURE.check_base(share.base())?;
        Ok(Self(share.base()))
    }

    /// A target moisture, wet basis.
    ///
    /// # Errors
    /// A refusal when it is not above 0 and below 100 %: no finite water makes
    /// leaf all water, and none can be dried to nothing by weight.
    pub fn target(share: Ratio) -> Result<Self> {
        TARGET_MOISTURE.check_base(share.base())?;
        Ok(Self(share.base()))
    }

    /// Moisture as found, from what somebody typed: a percentage, on wet basis
    /// unless `db` stands behind it. A doubt in dry-basis points comes over as
    /// u/(1 + X)².
    ///
    /// # Errors
    /// When the reading is not a percentage, or outside 0 to 100 %.
    pub fn read(reading: &Reading) -> Result<Measured<Self>> {
        let share = share(reading)?;
        match reading.basis() {
            Some(Basis::Dry) => {
                DRY_BASIS_MOISTURE.check_typed(reading.base(), &reading.to_string())?;
                Ok(share.through::<Self>(|x| DryBasis(x.value).on_wet_basis()))
            }
            Some(Basis::Wet) | None => {
                MOISTURE.check_typed(reading.base(), &reading.to_string())?;
                Ok(share.through::<Self>(|m| Moisture(m.value)))
            }
        }
    }

    /// A target moisture from what somebody typed. A target is exact.
    ///
    /// # Errors
    /// As [`target`](Self::target), and when a doubt was typed.
    pub fn read_target(reading: &Reading) -> Result<Self> {
        let share = share(reading)?;
        if !share.is_exact() {
            return Err(Error::new(ErrorKind::Doubt, "a target is exact")
                .with_hint("type the target alone; the width around it is the band"));
        }
        let share = share.value();
        match reading.basis() {
            Some(Basis::Dry) => Self::target(DryBasis(share.base()).on_wet_basis().ratio()),
            Some(Basis::Wet) | None => Self::target(share),
        }
    }
}

fn share(reading: &Reading) -> Result<Measured<Ratio>> {
    reading.share().ok_or_else(|| {
        Error::new(
            ErrorKind::WrongKind,
            format!(
                "`{reading}` is {}, and a moisture is asked for",
                reading.kind().words()
            ),
        )
        .with_hint("type a percentage such as 11.2 %")
    })
}

impl<V: Real> Moisture<V>
where
    SI<V>: Units<V>,
{
    /// Water over total, unchecked: a formula's outcome.
    pub fn of(water: Mass<V>, total: Mass<V>) -> Self {
        Self((water / total).value)
    }

    /// Water over total mass.
    pub fn ratio(self) -> Ratio<V> {
        Ratio::from(self.0)
    }

    /// The dry matter's share of the total mass.
    pub fn dry_share(self) -> Ratio<V> {
        Ratio::from(V::one() - self.0)
    }

    /// The same moisture as water over dry matter: X = m/(1 − m).
    pub fn on_dry_basis(self) -> DryBasis<V> {
        DryBasis(self.0 / (V::one() - self.0))
    }
}

impl DryBasis {
    /// Moisture as water over dry matter.
    ///
    /// # Errors
    /// When it is below 0 or above 10 000 %.
    pub fn new(ratio: Ratio) -> Result<Self> {
        DRY_BASIS_MOISTURE.check_base(ratio.base())?;
        Ok(Self(ratio.base()))
    }
}

impl<V: Real> DryBasis<V>
where
    SI<V>: Units<V>,
{
    /// Water over dry matter.
    pub fn ratio(self) -> Ratio<V> {
        Ratio::from(self.0)
    }

    /// The same moisture as water over total mass: m = X/(1 + X).
    pub fn on_wet_basis(self) -> Moisture<V> {
        Moisture(self.0 / (V::one() + self.0))
    }
}

/// A moisture is met, and a mass of water nothing beside the whole, when no more
/// than this share is missing: it is what rounding leaves.
pub const MET: f64 = 1e-9;

/// The kinds of quantity a moisture can be typed as.
pub const MOISTURE_KINDS: &[Kind] = &[Kind::Share];
