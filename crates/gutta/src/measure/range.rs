//! Each range of the bench, declared once: its name, unit and bounds.
//!
//! The message of a number outside is made from the declaration, so that no
//! message can disagree with its check.

use crate::error::{Error, ErrorKind, Result};

/// One end of a range.
#[derive(Clone, Copy, Debug)]
pub enum End {
    /// The bound belongs to the range.
    With(f64),
    /// The bound does not belong to the range.
    Without(f64),
}

/// An edge typed in another unit may arrive an ulp off.
#[inline]
fn slack(shown: f64) -> f64 {
    1e-12 * shown.abs().max(1e-3)
}

impl End {
    /// Whether a printed number is not below this lower end.
    #[inline]
    fn is_below(self, shown: f64) -> bool {
        match self {
            Self::With(low) => shown >= low - slack(shown),
            Self::Without(low) => shown > low,
        }
    }
}

/// What a number outside a range is.
#[derive(Clone, Copy, Debug)]
enum Outside {
    /// Nothing that can be meant: it is not read.
    NotRead,
    /// Well said and declined; but what lies below all that exists, where such
    /// a bound is given, is not read either.
    Declined { exists: Option<End> },
}

/// A range of sensible values of one thing.
///
/// ```
/// use gutta::measure::TARGET_MOISTURE;
/// let error = TARGET_MOISTURE.check_base(1.0).unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "the target moisture must be above 0 % and below 100 %, not 100 %"
/// );
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Range {
    /// What is ranged, with its article.
    name: &'static str,
    /// The printed unit of the bounds.
    unit: &'static str,
    /// SI base units in one printed unit, and SI base units at printed zero.
    scale: f64,
    origin: f64,
    low: End,
    high: End,
    outside: Outside,
    hint: &'static str,
}

impl Range {
    /// Checks a number in SI base units.
    ///
    /// # Errors
    /// [`ErrorKind::Refused`] or [`ErrorKind::OutOfRange`], as the range has
    /// it, when the number is outside; [`ErrorKind::OutOfRange`] whenever no
    /// such thing exists, as a temperature below absolute zero.
    pub fn check_base(&self, base: f64) -> Result<()> {
        self.check(base, None)
    }

    /// Checks a number in SI base units that was typed as `typed`: the message
    /// shows it as it was typed.
    ///
    /// # Errors
    /// As [`check_base`](Self::check_base).
    pub fn check_typed(&self, base: f64, typed: &str) -> Result<()> {
        self.check(base, Some(typed))
    }

    /// Whether a number in SI base units is within.
    #[inline]
    pub fn holds(&self, base: f64) -> bool {
        let shown = self.shown(base);
        let below = match self.high {
            End::With(high) => shown <= high + slack(shown),
            End::Without(high) => shown < high,
        };
        self.low.is_below(shown) && below && shown.is_finite()
    }

    /// A window in the printed unit within which [`holds`](Self::holds) is sure
    /// to say yes: for many numbers that are held against it at once. At an edge
    /// only the range itself knows.
    pub fn well_within(&self) -> (f64, f64) {
        const MARGIN: f64 = 1e-9;
        let low = match self.low {
            End::With(low) => low + MARGIN * low.abs(),
            End::Without(low) => low + MARGIN * low.abs().max(1e-3),
        };
        let (End::With(high) | End::Without(high)) = self.high;
        (low, high - MARGIN * high.abs())
    }

    /// A number in SI base units, as it is printed.
    #[inline]
    fn shown(&self, base: f64) -> f64 {
        (base - self.origin) / self.scale
    }

    fn check(&self, base: f64, typed: Option<&str>) -> Result<()> {
        if self.holds(base) {
            return Ok(());
        }
        let shown = self.shown(base);
        let is_above = |end: End| end.is_below(shown);
        let above = is_above(self.low);
        let kind = match self.outside {
            Outside::Declined { exists } if exists.is_none_or(is_above) => ErrorKind::Refused,
            Outside::Declined { .. } | Outside::NotRead => ErrorKind::OutOfRange,
        };
        // A bound that only keeps numbers sane is named when it is passed.
        let bounds = match (self.low, self.high) {
            (End::Without(low), End::With(high)) if high >= BOUNDLESS && !above => {
                format!("above {}", self.show(low))
            }
            _ => self.bounds(),
        };
        Err(Error::new(
            kind,
            match typed {
                Some(typed) => format!("{} must be {bounds}, not {typed}", self.name),
                None => format!("{} must be {bounds}, not {}", self.name, self.show(shown)),
            },
        )
        .with_hint(self.hint))
    }

    /// The bounds in words, with their unit.
    pub fn bounds(&self) -> String {
        match (self.low, self.high) {
            (End::With(low), End::With(high)) => {
                format!("from {} to {}", self.show(low), self.show(high))
            }
            (End::Without(low), End::With(high)) => {
                format!("above {} and at most {}", self.show(low), self.show(high))
            }
            (End::With(low), End::Without(high)) => {
                format!("at least {} and below {}", self.show(low), self.show(high))
            }
            (End::Without(low), End::Without(high)) => {
                format!("above {} and below {}", self.show(low), self.show(high))
            }
        }
    }

    /// The number in SI base units that is nearest to one, within the range and
    /// its ends; not a number when that is none.
    ///
    /// ```
    /// use gutta::measure::LEAF_HUMIDITY;
    /// assert_eq!(LEAF_HUMIDITY.nearest_base(0.80), 0.75);
    /// assert_eq!(LEAF_HUMIDITY.nearest_base(0.60), 0.60);
    /// ```
    pub fn nearest_base(&self, base: f64) -> f64 {
        let [low, high] = [self.low, self.high].map(|end| match end {
            End::With(bound) | End::Without(bound) => bound * self.scale + self.origin,
        });
        base.clamp(low, high)
    }

    fn show(&self, number: f64) -> String {
        // Ten digits tell any two inputs apart that a hand can type, and
        // hide the last bit of a unit conversion.
        let number = format!("{number:.9e}").parse().unwrap_or(number);
        format!("{number} {}", self.unit).trim_end().to_owned()
    }
}

/// A bound from here up is there to keep numbers sane, not to be known by.
const BOUNDLESS: f64 = 1e7;

const GRAM: f64 = 1e-3;
const MILLIGRAM: f64 = 1e-6;
const PERCENT: f64 = 1e-2;
const GRAM_PER_ML: f64 = 1e3;
const HECTOPASCAL: f64 = 1e2;

/// A mass that is weighed: above 0, up to 1 000 t.
pub const MASS: Range = Range {
    name: "a mass",
    unit: "g",
    scale: GRAM,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(1e9),
    outside: Outside::NotRead,
    hint: "type what the scale shows, such as 10.00 g",
};

/// A volume that is measured: above 0, up to 1 000 m³.
pub const VOLUME: Range = Range {
    name: "a volume",
    unit: "mL",
    scale: 1e-6,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(1e9),
    outside: Outside::NotRead,
    hint: "type a volume such as 2.5 mL",
};

/// A count of drops: above 0, up to ten million.
pub const DROP_COUNT: Range = Range {
    name: "a count of drops",
    unit: "drops",
    scale: 1.0,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(1e7),
    outside: Outside::NotRead,
    hint: "type a count such as 7 drops",
};

/// Moisture as found, wet basis: from 0, below 100 %.
pub const MOISTURE: Range = Range {
    name: "a moisture",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::With(0.0),
    high: End::Without(100.0),
    outside: Outside::NotRead,
    hint: "moisture is water over total weight: type a figure such as 11.2 %, or 17.6 % db on dry basis",
};

/// Moisture as found, dry basis: from 0, up to 10 000 % (wet basis 99 %).
pub const DRY_BASIS_MOISTURE: Range = Range {
    name: "a moisture on dry basis",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::With(0.0),
    high: End::With(10_000.0),
    outside: Outside::NotRead,
    hint: "dry basis is water over dry matter: type a figure such as 17.6 % db",
};

/// A target moisture, wet basis: above 0, below 100 %.
pub const TARGET_MOISTURE: Range = Range {
    name: "the target moisture",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::Without(100.0),
    outside: Outside::Declined { exists: None },
    hint: "type a target within that, such as 14.5 %",
};

/// A drop that somebody typed: 5 to 120 mg.
pub const TYPED_DROP: Range = Range {
    name: "a typed drop",
    unit: "mg",
    scale: MILLIGRAM,
    origin: 0.0,
    low: End::With(5.0),
    high: End::With(120.0),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size",
};

/// The density of a liquid of the bench: 0.6 to 1.5 g/mL.
pub const DENSITY: Range = Range {
    name: "a liquid's density",
    unit: "g/mL",
    scale: GRAM_PER_ML,
    origin: 0.0,
    low: End::With(0.6),
    high: End::With(1.5),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "weigh 10 mL of it: the density is that mass over 10 mL; spirit has about 0.8 g/mL, syrup 1.3 g/mL",
};

/// The temperature of water, where its density formula holds: 0 to 40 °C.
pub const WATER_TEMPERATURE: Range = Range {
    name: "the temperature",
    unit: "°C",
    scale: 1.0,
    origin: 273.15,
    low: End::With(0.0),
    high: End::With(40.0),
    outside: Outside::Declined {
        exists: Some(End::With(-273.15)),
    },
    hint: "the density of water is known here from 0 to 40 °C: leave the temperature out to take 20 °C, or bring the water to that of the room",
};

/// The pressure of the room: 500 to 1 100 hPa.
pub const AIR_PRESSURE: Range = Range {
    name: "the air pressure",
    unit: "hPa",
    scale: HECTOPASCAL,
    origin: 0.0,
    low: End::With(500.0),
    high: End::With(1100.0),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "type the pressure of the room itself, not reduced to sea level, such as 1003 hPa",
};

/// Relative humidity: 0 to 100 %.
pub const RELATIVE_HUMIDITY: Range = Range {
    name: "the relative humidity",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::With(0.0),
    high: End::With(100.0),
    outside: Outside::NotRead,
    hint: "type the relative humidity of the room, such as 50 %",
};

/// The relative humidity that the curves of leaf are known for: 35 to 75 %.
pub const LEAF_HUMIDITY: Range = Range {
    name: "the relative humidity",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::With(35.0),
    high: End::With(75.0),
    outside: Outside::Declined { exists: None },
    hint: "the curves of leaf are known from 35 to 75 % only: type a humidity within that, such as 60 %",
};

/// The temperature that the curves of leaf are known for: 5 to 40 °C.
pub const LEAF_TEMPERATURE: Range = Range {
    name: "the temperature of the leaf",
    unit: "°C",
    scale: 1.0,
    origin: 273.15,
    low: End::With(5.0),
    high: End::With(40.0),
    outside: Outside::Declined {
        exists: Some(End::With(-273.15)),
    },
    hint: "the curves of leaf are from readings at 5 to 40 °C: let leaf and air come to the room's temperature",
};

/// A moisture that leaf holds in air: above 0, below 100 %.
pub const HELD_MOISTURE: Range = Range {
    name: "the moisture that leaf holds",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::Without(100.0),
    outside: Outside::NotRead,
    hint: "no air keeps leaf without water: type a moisture such as 13 %",
};

/// The temperature of a saturated salt: 15 to 35 °C, where its doubt is known.
pub const SALT_TEMPERATURE: Range = Range {
    name: "the temperature of the salt",
    unit: "°C",
    scale: 1.0,
    origin: 273.15,
    low: End::With(15.0),
    high: End::With(35.0),
    outside: Outside::Declined {
        exists: Some(End::With(-273.15)),
    },
    hint: "let the salt and the hygrometer stand at the room's temperature, 15 to 35 °C",
};

/// The temperature of saturated potassium carbonate: 15 to 30 °C, as far as it
/// was measured.
pub const POTASSIUM_CARBONATE_TEMPERATURE: Range = Range {
    name: "the temperature of potassium carbonate",
    high: End::With(30.0),
    hint: "potassium carbonate was measured up to 30 °C: take another salt, or a cooler room",
    ..SALT_TEMPERATURE
};

/// The strength of spirit by volume: 0 to 100 %.
pub const STRENGTH: Range = Range {
    name: "a strength by volume",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::With(0.0),
    high: End::With(100.0),
    outside: Outside::NotRead,
    hint: "type the strength on the bottle, such as 40% vol",
};

/// The strength of a solution by mass: 0 to 100 %.
pub const SHARE_BY_MASS: Range = Range {
    name: "a strength by mass",
    hint: "type the strength by mass, such as glycol 50%",
    ..STRENGTH
};

/// The strength of sugar syrup, where its density is known: 0 to 85 Brix.
pub const BRIX: Range = Range {
    name: "the strength of a syrup",
    unit: "Brix",
    high: End::With(85.0),
    outside: Outside::Declined {
        exists: Some(End::With(0.0)),
    },
    hint: "its density is known here up to 85 Brix: weigh it, and type its mass",
    ..STRENGTH
};

/// The strength of a dilution by mass: above 0, below 100 %.
pub const DILUTION: Range = Range {
    name: "the strength of a dilution",
    low: End::Without(0.0),
    high: End::Without(100.0),
    hint: "type the flavouring in it by mass, such as 10%",
    ..STRENGTH
};

/// The tolerance of a weighing: above 0, up to 20 %.
pub const TOLERANCE: Range = Range {
    name: "the tolerance of a weighing",
    low: End::Without(0.0),
    high: End::With(20.0),
    hint: "type what a weighing may be off by, such as 2%",
    ..STRENGTH
};

/// The water of what casings are made of: 0 to 50 %.
pub const INGREDIENT_WATER: Range = Range {
    name: "the water of an ingredient",
    low: End::With(0.0),
    high: End::With(50.0),
    hint: "type the water in it, such as 20% water",
    ..STRENGTH
};

/// The temperature of honey, where its density is known: 15 to 25 °C.
pub const HONEY_TEMPERATURE: Range = Range {
    name: "the temperature of honey",
    low: End::With(15.0),
    high: End::With(25.0),
    hint: "the density of honey is known here from 15 to 25 °C: weigh it, or bring it to the room's temperature",
    ..ALCOHOL_TEMPERATURE
};

/// The share of a component in a blend: above 0, up to 100 %.
pub const SHARE: Range = Range {
    name: "a share",
    low: End::Without(0.0),
    hint: "type the share of the component, such as 22%",
    ..STRENGTH
};

/// The stem in the dry matter of whole leaf: from 0, below 100 %.
pub const STEM: Range = Range {
    name: "the share of stem",
    high: End::Without(100.0),
    hint: "type the stem in the dry matter of the leaf, such as 22%",
    ..STRENGTH
};

/// The water of honey, where its density is known: 13 to 20 %.
pub const HONEY_WATER: Range = Range {
    name: "the water of honey",
    low: End::With(13.0),
    high: End::With(20.0),
    outside: Outside::Declined {
        exists: Some(End::With(0.0)),
    },
    hint: "the density of honey is known here from 13 to 20 % of water: weigh it, and type its mass",
    ..STRENGTH
};

/// The temperature of alcohol and water: −20 to 40 °C, as OIML R 22 has it.
pub const ALCOHOL_TEMPERATURE: Range = Range {
    name: "the temperature of alcohol",
    unit: "°C",
    scale: 1.0,
    origin: 273.15,
    low: End::With(-20.0),
    high: End::With(40.0),
    outside: Outside::Declined {
        exists: Some(End::With(-273.15)),
    },
    hint: "the density of alcohol is known here from -20 to 40 °C: weigh it, or bring it to the room's temperature",
};

/// The temperature of glycol and water: 15 to 35 °C.
pub const GLYCOL_TEMPERATURE: Range = Range {
    name: "the temperature of glycol",
    low: End::With(15.0),
    high: End::With(35.0),
    hint: "the density of glycol is known here from 15 to 35 °C: weigh it, or bring it to the room's temperature",
    ..ALCOHOL_TEMPERATURE
};

/// The temperature of glycerine and water: 15 to 30 °C.
pub const GLYCERINE_TEMPERATURE: Range = Range {
    name: "the temperature of glycerine",
    low: End::With(15.0),
    high: End::With(30.0),
    hint: "the density of glycerine is known here from 15 to 30 °C: weigh it, or bring it to the room's temperature",
    ..ALCOHOL_TEMPERATURE
};

/// The temperature of sugar syrup: 10 to 30 °C.
pub const SYRUP_TEMPERATURE: Range = Range {
    name: "the temperature of syrup",
    low: End::With(10.0),
    high: End::With(30.0),
    hint: "the density of syrup is known here from 10 to 30 °C: weigh it, or bring it to the room's temperature",
    ..ALCOHOL_TEMPERATURE
};

/// The temperature that the surface tensions are known at: 15 to 30 °C.
pub const TENSION_TEMPERATURE: Range = Range {
    name: "the temperature of the drops",
    low: End::With(15.0),
    high: End::With(30.0),
    hint: "the surface tension is known here from 15 to 30 °C: let dropper and liquid come to the room's temperature",
    ..ALCOHOL_TEMPERATURE
};

/// The surface tension of a liquid of the bench: 10 to 80 mN/m.
pub const SURFACE_TENSION: Range = Range {
    name: "a surface tension",
    unit: "mN/m",
    scale: 1e-3,
    origin: 0.0,
    low: End::With(10.0),
    high: End::With(80.0),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "water has 73 mN/m, strong alcohol 22 mN/m: type a figure between, from a table",
};

/// The outer diameter of a dropper's tip: 0.2 to 20 mm.
pub const TIP: Range = Range {
    name: "the tip",
    unit: "mm",
    scale: 1e-3,
    origin: 0.0,
    low: End::With(0.2),
    high: End::With(20.0),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "type the outer diameter of the wetted tip, such as 3.0mm",
};

/// How wide a tip is for its drop, r/V^⅓, where the correction of the drop's
/// mass is known: 0.3 to 1.2.
pub const TIP_TO_DROP: Range = Range {
    name: "the tip's radius over the cube root of the drop's volume",
    unit: "",
    scale: 1.0,
    origin: 0.0,
    low: End::With(0.3),
    high: End::With(1.2),
    outside: Outside::Declined { exists: None },
    hint: "no mass can be worked out for this tip: count 20 drops of the liquid itself onto the scale",
};

/// The half-width of the target band, in points of moisture.
pub const BAND: Range = Range {
    name: "the target band",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(20.0),
    outside: Outside::NotRead,
    hint: "the band is the half-width in points of moisture: type a figure such as 1 %",
};

/// The chance of passing the top of the band that is put up with.
pub const RISK: Range = Range {
    name: "the risk",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::Without(50.0),
    outside: Outside::NotRead,
    hint: "the risk is the chance of passing the top of the band: type a figure such as 5 %",
};

/// A dose: above 0, up to as much flavouring as leaf.
pub const DOSE: Range = Range {
    name: "a dose",
    unit: "g/kg",
    scale: 1e-3,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(1000.0),
    outside: Outside::NotRead,
    hint: "a dose is flavouring per leaf: type a figure such as 15 g/kg",
};

/// A rate of casing: above 0, up to as much casing as leaf.
pub const CASING_RATE: Range = Range {
    name: "the rate of casing",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(100.0),
    outside: Outside::Declined {
        exists: Some(End::Without(0.0)),
    },
    hint: "a rate is casing per leaf, by mass: type your own, such as 8 %",
};

/// The solids of a casing, all but water and alcohol: above 0, up to 100 %.
pub const CASING_SOLIDS: Range = Range {
    name: "the solids of a casing",
    unit: "%",
    scale: PERCENT,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(100.0),
    outside: Outside::NotRead,
    hint: "solids are all but water and alcohol, by mass: type a figure such as 60 %",
};

/// The smallest step of a scale: above 0, up to 1 kg.
pub const DIVISION: Range = Range {
    name: "the scale's division",
    unit: "g",
    scale: GRAM,
    origin: 0.0,
    low: End::Without(0.0),
    high: End::With(1000.0),
    outside: Outside::NotRead,
    hint: "type the smallest step of the scale, such as 0.01 g",
};

/// The drops of a flavouring on the leaf of a trial, in a row of a table: from
/// none, up to ten million.
pub const TRIAL_DROPS: Range = Range {
    name: "a count of drops in a row",
    low: End::With(0.0),
    ..DROP_COUNT
};

/// The standard uncertainty (k = 1) of a drop in a row of a table: from none, up
/// to the largest drop.
pub const DROP_U: Range = Range {
    name: "the doubt of a drop",
    low: End::With(0.0),
    outside: Outside::NotRead,
    hint: "it is a standard uncertainty (k = 1), such as 0.3",
    ..TYPED_DROP
};

/// The standard uncertainty (k = 1) of a moisture in a row of a table, in points:
/// from none, up to all there are.
pub const MOISTURE_U: Range = Range {
    name: "the doubt of a moisture",
    high: End::With(100.0),
    hint: "it is a standard uncertainty (k = 1) in points, such as 0.5",
    ..MOISTURE
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_message_is_made_from_the_declaration() {
        let error = TYPED_DROP.check_base(121.0e-6).unwrap_err();
        assert_eq!(
            error.to_string(),
            "a typed drop must be from 5 mg to 120 mg, not 121 mg"
        );
        assert!(error.is_refusal());
        let error = MASS.check_base(-0.005).unwrap_err();
        assert_eq!(error.to_string(), "a mass must be above 0 g, not -5 g");
        assert!(!error.is_refusal());
    }

    #[test]
    fn what_cannot_exist_is_not_read() {
        for (range, base, said) in [
            (
                &TYPED_DROP,
                0.0,
                "a typed drop must be from 5 mg to 120 mg, not 0 mg",
            ),
            (
                &TYPED_DROP,
                -3e-6,
                "a typed drop must be from 5 mg to 120 mg, not -3 mg",
            ),
            (
                &WATER_TEMPERATURE,
                -26.85,
                "the temperature must be from 0 °C to 40 °C, not -300 °C",
            ),
            (
                &AIR_PRESSURE,
                0.0,
                "the air pressure must be from 500 hPa to 1100 hPa, not 0 hPa",
            ),
            (
                &DENSITY,
                0.0,
                "a liquid's density must be from 0.6 g/mL to 1.5 g/mL, not 0 g/mL",
            ),
        ] {
            let error = range.check_base(base).unwrap_err();
            assert_eq!(error.to_string(), said);
            assert!(!error.is_refusal(), "{said}");
        }
        // Well said, and outside what is known here.
        for (range, base) in [
            (&WATER_TEMPERATURE, 0.0),
            (&WATER_TEMPERATURE, 333.15),
            (&AIR_PRESSURE, 3e4),
            (&TARGET_MOISTURE, 0.0),
        ] {
            assert!(range.check_base(base).unwrap_err().is_refusal());
        }
    }

    #[test]
    fn an_edge_that_belongs_survives_a_unit_conversion() {
        for milligrams in [5.0, 120.0] {
            TYPED_DROP.check_base(milligrams * 1e-6).unwrap();
            TYPED_DROP.check_base(milligrams / 1e6).unwrap();
        }
        WATER_TEMPERATURE.check_base(40.0 + 273.15).unwrap();
    }

    #[test]
    fn what_is_well_within_is_held() {
        for range in [
            &MASS,
            &MOISTURE,
            &TARGET_MOISTURE,
            &TYPED_DROP,
            &DROP_U,
            &DENSITY,
            &WATER_TEMPERATURE,
        ] {
            let (low, high) = range.well_within();
            for shown in [low, low.midpoint(high), high] {
                assert!(range.holds(shown * range.scale + range.origin), "{shown}");
            }
        }
    }

    #[test]
    fn what_is_no_number_is_outside() {
        for range in [&MASS, &MOISTURE, &TYPED_DROP] {
            assert!(range.check_base(f64::NAN).is_err());
            assert!(range.check_base(f64::INFINITY).is_err());
        }
    }
}
