//! The customary units, exactly.
//!
//! # Why not the units that come with the quantities?
//!
//! They are rounded to seven digits: sixteen ounces there are not a pound.
//! Here every factor is the product of the definitions, so that the identities
//! (16 oz = 1 lb) hold to the last bit but one.
//!
//! # Where are they from?
//!
//! The international pound of 1959 is 0.45359237 kg; the dram, the ounce and
//! the grain are its parts. The inch is 25.4 mm, the US gallon 231 cubic inches
//! and the imperial gallon 4.54609 L (NIST SP 811, appendix B; NIST Handbook
//! 44, appendix C). The conventional millimetre of mercury is 133.322387415 Pa
//! (13 595.1 kg/m³ at 9.80665 m/s²).

// The factors are written into a module of the storage type, one level down:
// hence `super`.

/// The parts of the pound.
pub mod mass {
    /// The international avoirdupois pound, 1959.
    const POUND: f64 = 0.453_592_37;

    unit! {
        system: uom::si;
        quantity: uom::si::mass;

        /// The avoirdupois pound, 0.45359237 kg.
        @pound: super::POUND; "lb", "pound", "pounds";
        /// The avoirdupois ounce, 1/16 pound.
        @ounce: super::POUND / 16.0; "oz", "ounce", "ounces";
        /// The avoirdupois dram, 1/16 ounce.
        @dram: super::POUND / 256.0; "dram", "dram", "drams";
        /// The grain, 1/7000 pound.
        @grain: super::POUND / 7000.0; "grain", "grain", "grains";
    }
}

/// The parts of the gallon, and the spoons that are metric by convention.
pub mod volume {
    /// The cubic inch in cubic metres, from 1 in = 25.4 mm.
    const CUBIC_INCH: f64 = 16.387_064e-6;
    /// The US gallon, 231 cubic inches.
    const GALLON: f64 = 231.0 * CUBIC_INCH;
    /// The imperial gallon in cubic metres.
    const IMPERIAL_GALLON: f64 = 4.546_09e-3;

    unit! {
        system: uom::si;
        quantity: uom::si::volume;

        /// The US liquid pint, 1/8 gallon.
        @pint: super::GALLON / 8.0; "pint", "pint", "pints";
        /// The US cup, 1/16 gallon.
        @cup: super::GALLON / 16.0; "cup", "cup", "cups";
        /// The US fluid ounce, 1/128 gallon.
        @fluid_ounce: super::GALLON / 128.0; "fl oz", "fluid ounce", "fluid ounces";
        /// The US tablespoon, 1/2 fluid ounce.
        @tablespoon: super::GALLON / 256.0; "tbsp", "tablespoon", "tablespoons";
        /// The US teaspoon, 1/3 tablespoon.
        @teaspoon: super::GALLON / 768.0; "tsp", "teaspoon", "teaspoons";
        /// The metric tablespoon, 15 mL by convention.
        @metric_tablespoon: 15e-6; "metric tbsp", "metric tablespoon", "metric tablespoons";
        /// The metric teaspoon, 5 mL by convention.
        @metric_teaspoon: 5e-6; "metric tsp", "metric teaspoon", "metric teaspoons";
        /// The imperial fluid ounce, 1/160 imperial gallon.
        @imperial_fluid_ounce: super::IMPERIAL_GALLON / 160.0;
            "imp fl oz", "imperial fluid ounce", "imperial fluid ounces";
    }
}

/// The barometer's columns of mercury.
pub mod pressure {
    /// The conventional millimetre of mercury in pascals.
    const MILLIMETRE_OF_MERCURY: f64 = 133.322_387_415;

    unit! {
        system: uom::si;
        quantity: uom::si::pressure;

        /// The conventional millimetre of mercury.
        @millimetre_of_mercury: super::MILLIMETRE_OF_MERCURY;
            "mmHg", "millimetre of mercury", "millimetres of mercury";
        /// The conventional inch of mercury, 25.4 mmHg.
        @inch_of_mercury: 25.4 * super::MILLIMETRE_OF_MERCURY;
            "inHg", "inch of mercury", "inches of mercury";
    }
}

#[cfg(test)]
mod tests {
    use super::{mass, pressure, volume};
    use uom::Conversion;
    use uom::si::{mass::gram, volume::milliliter};

    fn size<N: Conversion<f64, T = f64>>() -> f64 {
        N::coefficient()
    }

    /// Each side is a product or a quotient of at most three roundings of
    /// 1.1e-16.
    fn same(got: f64, want: f64) {
        assert!((got / want - 1.0).abs() < 4e-16, "{got} is not {want}");
    }

    #[test]
    fn the_pound_has_its_parts() {
        same(16.0 * size::<mass::ounce>(), size::<mass::pound>());
        same(7000.0 * size::<mass::grain>(), size::<mass::pound>());
        same(16.0 * size::<mass::dram>(), size::<mass::ounce>());
        same(437.5 * size::<mass::grain>(), size::<mass::ounce>());
    }

    #[test]
    fn the_gallon_has_its_parts() {
        same(
            3.0 * size::<volume::teaspoon>(),
            size::<volume::tablespoon>(),
        );
        same(
            2.0 * size::<volume::tablespoon>(),
            size::<volume::fluid_ounce>(),
        );
        same(8.0 * size::<volume::fluid_ounce>(), size::<volume::cup>());
        same(2.0 * size::<volume::cup>(), size::<volume::pint>());
        same(
            3.0 * size::<volume::metric_teaspoon>(),
            size::<volume::metric_tablespoon>(),
        );
        same(
            25.4 * size::<pressure::millimetre_of_mercury>(),
            size::<pressure::inch_of_mercury>(),
        );
    }

    /// The figures printed in NIST Handbook 44, appendix C, which are exact.
    #[test]
    fn the_factors_are_the_published_ones() {
        for (got, want) in [
            (size::<mass::pound>() / size::<gram>(), 453.592_37),
            (size::<mass::ounce>() / size::<gram>(), 28.349_523_125),
            (size::<mass::dram>() / size::<gram>(), 1.771_845_195_312_5),
            (size::<mass::grain>() / size::<gram>(), 0.064_798_91),
            (size::<volume::pint>() / size::<milliliter>(), 473.176_473),
            (size::<volume::cup>() / size::<milliliter>(), 236.588_236_5),
            (
                size::<volume::fluid_ounce>() / size::<milliliter>(),
                29.573_529_562_5,
            ),
            (
                size::<volume::tablespoon>() / size::<milliliter>(),
                14.786_764_781_25,
            ),
            (
                size::<volume::teaspoon>() / size::<milliliter>(),
                4.928_921_593_75,
            ),
            (
                size::<volume::imperial_fluid_ounce>() / size::<milliliter>(),
                28.413_062_5,
            ),
            // 760 mmHg is the standard atmosphere to 1.1e-7 of itself; the
            // product is exact.
            (
                760.0 * size::<pressure::millimetre_of_mercury>(),
                101_325.014_435_4,
            ),
        ] {
            assert!((got / want - 1.0).abs() < 1e-15, "{got} is not {want}");
        }
    }
}

/// What a calendar adds to the hour.
pub mod time {
    unit! {
        system: uom::si;
        quantity: uom::si::time;

        /// The week, seven days of 86 400 s.
        @week: 604_800.0; "week", "week", "weeks";
    }
}
