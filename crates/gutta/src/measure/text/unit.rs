//! The units that are read and printed: one row a unit.

use std::fmt;

use uom::si::{mass, mass_density, pressure, ratio, thermodynamic_temperature, volume};
use uom::{ConstantOp, Conversion};

use super::Kind;
use crate::measure::units;

/// A unit that is read and printed.
///
/// ```
/// use gutta::measure::Unit;
///
/// assert_eq!(Unit::OUNCE.symbol(), "oz");
/// assert!((Unit::CELSIUS.to_base(20.0) - 293.15).abs() < 1e-9);
/// ```
pub struct Unit {
    kind: Kind,
    symbol: &'static str,
    plural: &'static str,
    factor: Factor,
    /// Read whatever the case of the letters.
    spellings: &'static [&'static str],
    /// Read in this case only.
    cased: &'static [&'static str],
}

/// Two units are the same when they are printed alike.
impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.symbol == other.symbol
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({})", self.symbol)
    }
}

impl Unit {
    /// What a quantity in this unit is.
    pub const fn kind(&self) -> Kind {
        self.kind
    }

    /// The unit as it is printed after the number one.
    pub const fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// The unit as it is printed after any other number: `drops`, `cups`.
    pub const fn plural(&self) -> &'static str {
        self.plural
    }

    /// The size of the unit in SI base units; of a temperature, that of one
    /// degree in kelvin.
    pub fn size(&self) -> f64 {
        (self.factor.coefficient)()
    }

    /// From a number in this unit to the number in SI base units.
    pub fn to_base(&self, number: f64) -> f64 {
        (number + (self.factor.constant)()) * self.size()
    }

    /// From a number in SI base units to the number in this unit.
    pub fn from_base(&self, base: f64) -> f64 {
        base / self.size() - (self.factor.constant)()
    }

    /// A printed number with this unit behind it and no space that could
    /// break: one drop, half a cup, two drops.
    pub(super) fn behind(&self, number: &str) -> String {
        let digits = number.contains(|c: char| c.is_ascii_digit());
        let is_part = !digits || number.contains('/') && !number.contains(' ');
        let name = if is_part || number == "1" {
            self.symbol
        } else {
            self.plural
        };
        format!("{number} {name}").replace(' ', "\u{a0}")
    }

    /// Every spelling that is read.
    pub(super) fn spellings(&self) -> impl Iterator<Item = &'static str> {
        self.cased.iter().chain(self.spellings).copied()
    }

    /// Whether this spelling, tidied, is read as this unit.
    pub(super) fn is_spelled(&self, text: &str) -> bool {
        self.cased.contains(&text) || self.spellings.iter().any(|s| s.eq_ignore_ascii_case(text))
    }
}

/// How a unit is turned into the SI base unit.
struct Factor {
    coefficient: fn() -> f64,
    constant: fn() -> f64,
}

/// As the quantities have it.
const fn of<N: Conversion<f64, T = f64>>() -> Factor {
    Factor {
        coefficient: N::coefficient,
        constant: || N::constant(ConstantOp::Add),
    }
}

/// One unit for each of another.
const fn per<N, D>() -> Factor
where
    N: Conversion<f64, T = f64>,
    D: Conversion<f64, T = f64>,
{
    Factor {
        coefficient: || N::coefficient() / D::coefficient(),
        constant: || 0.0,
    }
}

macro_rules! units {
    ($(
        $(#[$doc:meta])+
        $name:ident: $kind:ident, $factor:expr, $symbol:literal $(| $plural:literal)?,
            [$($spelling:literal),*] $([$($cased:literal),+])?;
    )+) => {
        impl Unit {
            $(
                $(#[$doc])+
                pub const $name: &'static Self = &Self {
                    kind: Kind::$kind,
                    symbol: $symbol,
                    plural: units!(@plural $symbol $($plural)?),
                    factor: $factor,
                    spellings: &[$($spelling),*],
                    cased: &[$($($cased),+)?],
                };
            )+
        }

        /// Every unit, in the order of the rows.
        pub(super) static UNITS: &[&Unit] = &[$(Unit::$name),+];
    };
    (@plural $symbol:literal) => { $symbol };
    (@plural $symbol:literal $plural:literal) => { $plural };
}

// The spellings are tidied ones: `u` for both micro signs, `3` for a raised
// three, no dots, `/` for "per" between units. Only the second list minds the
// case of its letters.
units! {
    /// The gram.
    GRAM: Mass, of::<mass::gram>(), "g",
        ["g", "gram", "grams", "gramme", "grammes", "gm", "gms"];
    /// The kilogram.
    KILOGRAM: Mass, of::<mass::kilogram>(), "kg",
        ["kg", "kgs", "kilogram", "kilograms", "kilogramme", "kilogrammes", "kilo", "kilos"];
    /// The milligram.
    MILLIGRAM: Mass, of::<mass::milligram>(), "mg",
        ["milligram", "milligrams", "milligramme", "milligrammes"] ["mg", "mgs"];
    /// The megagram or tonne.
    MEGAGRAM: Mass, of::<mass::megagram>(), "Mg",
        ["megagram", "megagrams", "tonne", "tonnes"] ["Mg"];
    /// The avoirdupois ounce.
    OUNCE: Mass, of::<units::mass::ounce>(), "oz", ["oz", "ozs", "ounce", "ounces"];
    /// The avoirdupois pound.
    POUND: Mass, of::<units::mass::pound>(), "lb", ["lb", "lbs", "pound", "pounds"];
    /// The grain, 1/7000 pound.
    GRAIN: Mass, of::<units::mass::grain>(), "grain" | "grains", ["grain", "grains"];
    /// The avoirdupois dram, 1/16 ounce.
    DRAM: Mass, of::<units::mass::dram>(), "dram" | "drams", ["dram", "drams"];

    /// The millilitre.
    MILLILITRE: Volume, of::<volume::milliliter>(), "mL",
        ["mL", "cc", "cm3", "millilitre", "millilitres", "milliliter", "milliliters"];
    /// The litre.
    LITRE: Volume, of::<volume::liter>(), "L",
        ["L", "litre", "litres", "liter", "liters"];
    /// The centilitre.
    CENTILITRE: Volume, of::<volume::centiliter>(), "cL",
        ["cL", "centilitre", "centilitres", "centiliter", "centiliters"];
    /// The decilitre.
    DECILITRE: Volume, of::<volume::deciliter>(), "dL",
        ["dL", "decilitre", "decilitres", "deciliter", "deciliters"];
    /// The microlitre.
    MICROLITRE: Volume, of::<volume::microliter>(), "µL",
        ["uL", "microlitre", "microlitres", "microliter", "microliters"];
    /// The US fluid ounce.
    FLUID_OUNCE: Volume, of::<units::volume::fluid_ounce>(), "fl oz",
        ["fl oz", "floz", "fluid oz", "fluid ounce", "fluid ounces", "US fl oz", "US fluid ounces"];
    /// The US teaspoon.
    TEASPOON: Volume, of::<units::volume::teaspoon>(), "tsp",
        ["tsp", "tsps", "teaspoon", "teaspoons", "US tsp"];
    /// The US tablespoon.
    TABLESPOON: Volume, of::<units::volume::tablespoon>(), "tbsp",
        ["tbsp", "tbsps", "tablespoon", "tablespoons", "US tbsp"];
    /// The US cup.
    CUP: Volume, of::<units::volume::cup>(), "cup" | "cups",
        ["cup", "cups", "US cup", "US cups"];
    /// The US liquid pint.
    PINT: Volume, of::<units::volume::pint>(), "pint" | "pints",
        ["pint", "pints", "US pint", "US pints"];
    /// The metric teaspoon, 5 mL.
    METRIC_TEASPOON: Volume, of::<units::volume::metric_teaspoon>(), "metric tsp",
        ["metric tsp", "metric teaspoon", "metric teaspoons"];
    /// The metric tablespoon, 15 mL.
    METRIC_TABLESPOON: Volume, of::<units::volume::metric_tablespoon>(), "metric tbsp",
        ["metric tbsp", "metric tablespoon", "metric tablespoons"];
    /// The imperial fluid ounce.
    IMPERIAL_FLUID_OUNCE: Volume, of::<units::volume::imperial_fluid_ounce>(), "imp fl oz",
        ["imp fl oz", "imperial fl oz", "imperial fluid ounce", "imperial fluid ounces", "UK fl oz"];

    /// The gram per millilitre.
    GRAM_PER_MILLILITRE: Density, of::<mass_density::gram_per_cubic_centimeter>(), "g/mL",
        ["g/mL", "g/cc", "g/cm3", "grams/mL", "gram/mL"];
    /// The kilogram per litre.
    KILOGRAM_PER_LITRE: Density, of::<mass_density::gram_per_cubic_centimeter>(), "kg/L",
        ["kg/L"];
    /// The kilogram per cubic metre.
    KILOGRAM_PER_CUBIC_METRE: Density, of::<mass_density::kilogram_per_cubic_meter>(), "kg/m³",
        ["kg/m3"];

    /// The part in a hundred.
    PERCENT: Share, of::<ratio::percent>(), "%", ["%", "percent", "per cent", "pct"];
    /// The part in a thousand.
    PER_MILLE: Share, of::<ratio::per_mille>(), "‰",
        ["‰", "per mille", "permille", "per mil", "promille"];
    /// The gram in a kilogram.
    GRAM_PER_KILOGRAM: Share, per::<mass::gram, mass::kilogram>(), "g/kg",
        ["g/kg", "gram/kg", "grams/kg", "grams/kilogram", "grams/kilo"];
    /// The milligram in a kilogram.
    MILLIGRAM_PER_KILOGRAM: Share, per::<mass::milligram, mass::kilogram>(), "mg/kg",
        [] ["mg/kg"];
    /// The milligram in a gram.
    MILLIGRAM_PER_GRAM: Share, per::<mass::milligram, mass::gram>(), "mg/g", [] ["mg/g"];

    /// The degree Celsius.
    CELSIUS: Temperature, of::<thermodynamic_temperature::degree_celsius>(), "°C",
        ["celsius", "degree celsius", "degrees celsius", "deg celsius"]
        ["°C", "C", "degC", "deg C", "degrees C"];
    /// The degree Fahrenheit.
    FAHRENHEIT: Temperature, of::<thermodynamic_temperature::degree_fahrenheit>(), "°F",
        ["fahrenheit", "degree fahrenheit", "degrees fahrenheit", "deg fahrenheit"]
        ["°F", "F", "degF", "deg F", "degrees F"];
    /// The kelvin.
    KELVIN: Temperature, of::<thermodynamic_temperature::kelvin>(), "K",
        ["kelvin", "kelvins"] ["K"];

    /// The hectopascal.
    HECTOPASCAL: Pressure, of::<pressure::hectopascal>(), "hPa",
        ["hPa", "hectopascal", "hectopascals"];
    /// The millibar, a hectopascal by another name.
    MILLIBAR: Pressure, of::<pressure::millibar>(), "mbar",
        ["mbar", "millibar", "millibars"];
    /// The kilopascal.
    KILOPASCAL: Pressure, of::<pressure::kilopascal>(), "kPa",
        ["kPa", "kilopascal", "kilopascals"];
    /// The pascal.
    PASCAL: Pressure, of::<pressure::pascal>(), "Pa", ["Pa", "pascal", "pascals"];
    /// The conventional millimetre of mercury.
    MILLIMETRE_OF_MERCURY: Pressure, of::<units::pressure::millimetre_of_mercury>(), "mmHg",
        ["mmHg", "mm Hg"];
    /// The conventional inch of mercury.
    INCH_OF_MERCURY: Pressure, of::<units::pressure::inch_of_mercury>(), "inHg",
        ["inHg", "in Hg"];

    /// The drop, counted.
    DROP: Drops, of::<ratio::ratio>(), "drop" | "drops", ["drop", "drops", "gtt", "gtts"];
    /// The drop in each millilitre.
    DROP_PER_MILLILITRE: DropsPerVolume, per::<ratio::ratio, volume::milliliter>(),
        "drop/mL" | "drops/mL",
        ["/mL", "/cc", "/cm3", "drop/mL", "drops/mL", "drops/cc", "drops/cm3", "gtt/mL"];
}
