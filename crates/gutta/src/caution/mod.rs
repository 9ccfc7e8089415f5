//! Which caution an answer carries, as data with its words.
//!
//! A caution never changes an answer. The words are short; local codes and
//! licensed practice come first.

use std::fmt;

/// A caution of the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Caution {
    /// Nicotine passes through skin, more when leaf is wet.
    ///
    /// Source: OSHA/NIOSH Recommended Practices, Green Tobacco Sickness.
    WetLeaf,
    /// Water and tools are clean; mouldy leaf is discarded.
    ///
    /// Common practice, and Beuchat L. R. 1981 on the water activity of moulds.
    CleanWater,
    /// A carrier that burns.
    ///
    /// Flash point of 40 % by volume near 26 °C, from a public list of flash
    /// points of spirits (tertiary).
    Alcohol,
    /// Alcohol and water of a strength, with what it flashes at.
    ///
    /// Source: as [`Alcohol`](Self::Alcohol).
    Flashes {
        /// The strength in tenths of a per cent by volume.
        tenths_of_strength: u16,
        /// About what it flashes at, °C.
        celsius: u16,
    },
    /// What food-grade does not mean.
    ///
    /// Source: FEMA, Safety assessment and regulatory authority to use
    /// flavors, 2021: GRAS covers use in food only.
    FoodGrade,
    /// Flavourings that are restricted.
    ///
    /// Source: 21 CFR 189.110, 189.130, 189.180; NIOSH 2016-111 (diacetyl).
    Restricted,
    /// What is packed leaves the bench.
    ///
    /// Common practice; the codes differ from place to place.
    Licensed,
    /// A weighing lies far off without a gap of whole drops; it was kept.
    OddWeighing {
        /// Which weighing, the first typed being 1.
        weighing: usize,
    },
    /// The scatter hides a miss of one drop.
    BlindToOneDrop,
    /// A calibrated drop outside 5 to 120 mg.
    UnusualDrop,
    /// A dish lies far from the others.
    OddDish {
        /// Which dish, the first being 1.
        dish: usize,
    },
    /// An oven figure of cased leaf counts more than water.
    OvenVolatiles,
    /// A reading has finer decimals than the scale shows.
    FinerThanScale {
        /// The first such weighing, the first typed being 1.
        weighing: usize,
        /// How many more there are.
        others: usize,
    },
    /// Leaf that keeps air above 65 % relative humidity.
    ///
    /// Source: Beuchat L. R. 1981, xerophilic moulds from a water activity of
    /// 0.65 up.
    MouldRisk,
    /// Leaf that keeps air above 70 % relative humidity.
    ///
    /// Source: as [`MouldRisk`](Self::MouldRisk); the line itself is a
    /// judgement between that and the 75 % at which leaf went mouldy within
    /// days (J. Pure Appl. Microbiol. 2014).
    NotForStorage,
    /// Leaf that keeps air above 75 % relative humidity, where no curve of leaf
    /// is known.
    ///
    /// Source: as [`MouldRisk`](Self::MouldRisk); moulds that form toxins from
    /// a water activity of 0.75 up.
    BeyondTheCurves,
    /// Cased leaf is no uncased leaf: humectant and sugar lower the water
    /// activity.
    ///
    /// Common practice; glycerine and glycol in water are below it by Raoult's
    /// law.
    CasedLeaf,
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WetLeaf => f.write_str(
                "nicotine passes through skin, more from wet leaf: wear gloves, wash after",
            ),
            Self::CleanWater => f.write_str(
                "distilled water and clean tools; discard mouldy leaf, never mask it",
            ),
            Self::Alcohol => f.write_str(
                "alcohol burns (40 % by volume flashes near 26 °C): air it off in the open, away from flame and warmth",
            ),
            Self::Flashes {
                tenths_of_strength,
                celsius,
            } => write!(
                f,
                "alcohol burns ({} % by volume flashes near {celsius} °C): air it off in the open, away from flame and warmth",
                f64::from(*tenths_of_strength) / 10.0
            ),
            Self::FoodGrade => f.write_str(
                "food-grade is no evidence of safety when heated or inhaled; local codes come first",
            ),
            Self::Restricted => f.write_str(
                "some flavourings are restricted (tonka and coumarin, safrole, calamus, diacetyl): check before use",
            ),
            Self::Licensed => f.write_str(
                "making, giving or selling tobacco products is licensed and taxed in most places, and so is what stands on a pack: local codes come first",
            ),
            Self::OddWeighing { weighing } => write!(
                f,
                "weighing {weighing} lies far from the others, and not by whole drops: it was kept; weigh it again"
            ),
            Self::BlindToOneDrop => {
                f.write_str("a miss of one drop cannot be seen at this scatter")
            }
            Self::UnusualDrop => f.write_str(
                "this drop is outside the usual 5 to 120 mg: check the counts and the tip",
            ),
            Self::OddDish { dish } => write!(
                f,
                "dish {dish} lies far from the others: it was kept; was it dried out, and not spilt?"
            ),
            Self::OvenVolatiles => f.write_str(
                "the oven drives off alcohol and some humectant too: of cased leaf the figure is an upper bound of the water",
            ),
            Self::FinerThanScale {
                weighing,
                others: 0,
            } => write!(
                f,
                "weighing {weighing} has more decimals than the scale shows: check the scale's division"
            ),
            Self::FinerThanScale { weighing, others } => write!(
                f,
                "weighing {weighing} and {others} others have more decimals than the scale shows: check the scale's division"
            ),
            Self::MouldRisk => f.write_str(
                "mould risk in a closed jar: above 65 % relative humidity uncased leaf can go mouldy",
            ),
            Self::NotForStorage => f.write_str(
                "do not store at this moisture: above 70 % relative humidity uncased leaf goes mouldy",
            ),
            Self::BeyondTheCurves => f.write_str(
                "too wet to store: above 75 % relative humidity leaf goes mouldy within days, and no figure is known",
            ),
            Self::CasedLeaf => f.write_str(
                "curve and mould line are for uncased leaf: cased leaf with humectant has a lower water activity at the same moisture",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mould_line_is_worded() {
        for (caution, words) in [
            (
                Caution::MouldRisk,
                "mould risk in a closed jar: above 65 % relative humidity uncased leaf can go mouldy",
            ),
            (
                Caution::NotForStorage,
                "do not store at this moisture: above 70 % relative humidity uncased leaf goes mouldy",
            ),
            (
                Caution::BeyondTheCurves,
                "too wet to store: above 75 % relative humidity leaf goes mouldy within days, and no figure is known",
            ),
            (
                Caution::CasedLeaf,
                "curve and mould line are for uncased leaf: cased leaf with humectant has a lower water activity at the same moisture",
            ),
        ] {
            assert_eq!(caution.to_string(), words);
        }
    }
}
