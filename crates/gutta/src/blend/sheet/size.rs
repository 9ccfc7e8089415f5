//! How large a batch is wanted.

use super::Sheet;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{MASS, Mass, Scalar};

/// The size of a batch, by what is to come of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SheetSize {
    /// So much leaf as weighed, all lots together, before anything goes on.
    AsWeighed(Mass),
    /// So much dry leaf.
    DryMatter(Mass),
    /// So much at the moisture wanted, with all that goes on, carrier gone.
    Finished(Mass),
}

impl SheetSize {
    /// The mass, whatever it is of.
    pub const fn mass(self) -> Mass {
        match self {
            Self::AsWeighed(mass) | Self::DryMatter(mass) | Self::Finished(mass) => mass,
        }
    }
}

impl Sheet {
    /// The sheet's size with a finished batch brought to leaf as weighed: all
    /// that goes on is in proportion to the leaf, so that a kilogram of leaf says
    /// what any makes.
    pub(super) fn as_weighed(&self) -> Result<SheetSize> {
        MASS.check_base(self.size.mass().base())?;
        let SheetSize::Finished(wanted) = self.size else {
            return Ok(self.size);
        };
        if self.to.is_none() {
            return Err(Error::new(
                ErrorKind::Missing,
                "a finished batch needs the moisture that it is finished at",
            )
            .with_hint("say the moisture wanted, or the size as leaf is weighed"));
        }
        let unit = Mass::of_base(1.0);
        let mut of_unit = Self {
            size: SheetSize::AsWeighed(unit),
            scale: None,
            drop: None,
            in_bowl: Vec::new(),
            ..self.clone()
        };
        for flavour in &mut of_unit.flavours {
            flavour.drop = None;
        }
        let made = match of_unit.plan()?.water {
            Some((_, plan)) => plan.final_mass().best(),
            None => unit,
        };
        Ok(SheetSize::AsWeighed(wanted * (unit / made)))
    }
}
