//! Every unit that is read: one row a unit.

use uom::si::{
    length, mass, mass_density, pressure, ratio, surface_tension, thermodynamic_temperature, time,
    volume,
};

use super::unit::{of, per};
use super::{Kind, Unit};
use crate::measure::units;

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
    /// The megagram.
    MEGAGRAM: Mass, of::<mass::megagram>(), "Mg", ["megagram", "megagrams"] ["Mg"];
    /// The tonne, a megagram by another name.
    TONNE: Mass, of::<mass::megagram>(), "tonne" | "tonnes", ["tonne", "tonnes"];
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

    /// The millimetre.
    MILLIMETRE: Length, of::<length::millimeter>(), "mm",
        ["millimetre", "millimetres", "millimeter", "millimeters"] ["mm"];
    /// The centimetre.
    CENTIMETRE: Length, of::<length::centimeter>(), "cm",
        ["centimetre", "centimetres", "centimeter", "centimeters"] ["cm"];

    /// The millinewton per metre, a dyne per centimetre by another name.
    MILLINEWTON_PER_METRE: SurfaceTension, of::<surface_tension::millinewton_per_meter>(), "mN/m",
        ["millinewton/metre", "millinewtons/metre", "dyn/cm", "dyne/cm", "dynes/cm"] ["mN/m"];

    /// The hour.
    HOUR: Time, of::<time::hour>(), "h", ["h", "hr", "hrs", "hour", "hours"];
    /// The minute.
    MINUTE: Time, of::<time::minute>(), "min", ["min", "mins", "minute", "minutes"];
    /// The day of 24 hours.
    DAY: Time, of::<time::day>(), "day" | "days", ["d", "day", "days"];
    /// The week of seven days.
    WEEK: Time, of::<units::time::week>(), "week" | "weeks", ["week", "weeks"];
}

impl Kind {
    /// The units that somebody is likely to mean, the likeliest first.
    pub const fn likely(self) -> &'static [&'static Unit] {
        match self {
            Self::Mass => &[
                Unit::GRAM,
                Unit::OUNCE,
                Unit::POUND,
                Unit::KILOGRAM,
                Unit::MILLIGRAM,
            ],
            Self::Volume => &[
                Unit::MILLILITRE,
                Unit::TEASPOON,
                Unit::FLUID_OUNCE,
                Unit::LITRE,
                Unit::TABLESPOON,
            ],
            Self::Density => &[Unit::GRAM_PER_MILLILITRE, Unit::KILOGRAM_PER_CUBIC_METRE],
            Self::Share => &[
                Unit::PERCENT,
                Unit::GRAM_PER_KILOGRAM,
                Unit::PER_MILLE,
                Unit::MILLIGRAM_PER_KILOGRAM,
            ],
            Self::Temperature => &[Unit::CELSIUS, Unit::FAHRENHEIT],
            Self::Pressure => &[
                Unit::HECTOPASCAL,
                Unit::MILLIMETRE_OF_MERCURY,
                Unit::INCH_OF_MERCURY,
            ],
            Self::Drops => &[Unit::DROP],
            Self::DropsPerVolume => &[Unit::DROP_PER_MILLILITRE],
            Self::Length => &[Unit::MILLIMETRE],
            Self::SurfaceTension => &[Unit::MILLINEWTON_PER_METRE],
            Self::Time => &[Unit::HOUR, Unit::DAY],
        }
    }
}
