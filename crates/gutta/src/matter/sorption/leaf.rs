//! The types of leaf with the curve that is taken for each by default.

use std::marker::PhantomData;

use crate::error::Result;
use crate::measure::{LEAF_HUMIDITY, MolarEnergy, Ratio, Scalar, Temperature};

/// 22 °C: the temperature of the curves by default.
pub const LEAF_REFERENCE: Temperature = Temperature {
    dimension: PhantomData,
    units: PhantomData,
    value: 273.15 + 22.0,
};

/// A type of leaf, with its curve by default.
///
/// The curve is X = A (a/(1 − a))^B at 22 °C, X water over dry matter in g/g; a
/// goes with the temperature by the heat q. u is a standard uncertainty (k = 1)
/// in points of moisture on wet basis: one figure from 35 to 65 % relative
/// humidity, then in a straight line to the figure at 75 %.
///
/// # What do they rest on?
///
/// A, for all but [`Dark`](Self::Dark): the humidity that holds 13 % of moisture
/// by type, Kim Y.-O., Jung H.-J., Kong P.-I. and Jang K.-C., Moisture sorption
/// and desorption characteristics of tobacco types, 2004. Only the abstract was
/// read, and it does not say the basis: wet is assumed.
///
/// q: from the range of that humidity over 5 to 40 °C in the same abstract.
/// Another study (Tan Z. et al. 2022) has leaf hold more when warmer, which
/// would turn the sign: near 22 °C little hangs on it, and no doubt is given.
///
/// B and u are judgement: B ±0.10 (k = 1) from several weak sources, finished
/// tobacco of a handbook table that is quoted from memory among them.
///
/// ```
/// use gutta::Leaf;
/// use gutta::measure::{Ratio, Scalar};
/// use uom::si::ratio::percent;
/// let leaf = Leaf::named("Burley").unwrap();
/// assert_eq!(leaf.level().base(), 0.1210);
/// assert!((leaf.doubt(Ratio::new::<percent>(70.0))? - 0.020).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Leaf {
    /// Flue-cured (Virginia): A 0.1246, B 0.60, q 2.5 kJ/mol, u 1.5 and 3.0
    /// points. 57.5 % relative humidity holds 13 % at 22 °C (flue-cured from
    /// the USA). Korean leaf of the same curing held more: 53.5 %.
    FlueCured,
    /// Oriental: A 0.1142, B 0.60, q 2.0 kJ/mol, u 1.5 and 3.0 points. 61.0 %
    /// relative humidity holds 13 % at 22 °C.
    Oriental,
    /// Burley: A 0.1210, B 0.45, q 2.4 kJ/mol, u 1.5 and 2.5 points. 61.5 %
    /// relative humidity holds 13 % at 22 °C; B is lower, since burley holds
    /// most of all below 50 % (Jin H.-Y. et al. 1981, abstract).
    Burley,
    /// A blend of which nothing is known: A 0.119, B 0.55, q 2.3 kJ/mol, u 1.5
    /// and 3.0 points. The mean of the three above; against eight pairs of
    /// humidity and moisture from trade texts it is 0.65 points high and 1.1 off
    /// in the root mean square.
    Generic,
    /// Fire-cured and dark air-cured: burley's curve, u 2.5 and 4.0 points. No
    /// reading of such leaf was found: judgement alone.
    Dark,
}

/// What a curve by default is made of.
struct Figures {
    level: f64,
    exponent: f64,
    heat: f64,
    u: f64,
    u_at_75: f64,
}

impl Leaf {
    /// All types, in the order in which they are named to a person.
    pub const ALL: [Self; 5] = [
        Self::FlueCured,
        Self::Oriental,
        Self::Burley,
        Self::Generic,
        Self::Dark,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::FlueCured => "flue-cured",
            Self::Oriental => "oriental",
            Self::Burley => "burley",
            Self::Generic => "generic",
            Self::Dark => "dark",
        }
    }

    /// The type of this name, in any case, by the other words of the trade too;
    /// `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        let is = |word: &str| word.eq_ignore_ascii_case(name.trim());
        Self::ALL.into_iter().find(|leaf| {
            let words: &[&str] = match leaf {
                Self::FlueCured => &["bright", "virginia"],
                Self::Oriental => &["sun-cured"],
                Self::Burley => &["air-cured"],
                Self::Generic => &["blend"],
                Self::Dark => &["fire-cured", "dark air-cured", "dark-fired"],
            };
            is(leaf.name()) || words.iter().any(|word| is(word))
        })
    }

    const fn figures(self) -> Figures {
        let (level, exponent, heat, u, u_at_75) = match self {
            Self::FlueCured => (0.1246, 0.60, 2500.0, 0.015, 0.030),
            Self::Oriental => (0.1142, 0.60, 2000.0, 0.015, 0.030),
            Self::Burley => (0.1210, 0.45, 2400.0, 0.015, 0.025),
            Self::Generic => (0.119, 0.55, 2300.0, 0.015, 0.030),
            Self::Dark => (0.1210, 0.45, 2400.0, 0.025, 0.040),
        };
        Figures {
            level,
            exponent,
            heat,
            u,
            u_at_75,
        }
    }

    /// A of the curve: water over dry matter at 50 % relative humidity, 22 °C.
    pub fn level(self) -> Ratio {
        Ratio::of_base(self.figures().level)
    }

    /// B of the curve: how steep it is.
    pub fn exponent(self) -> Ratio {
        Ratio::of_base(self.figures().exponent)
    }

    /// q, the net heat of sorption.
    pub fn heat(self) -> MolarEnergy {
        MolarEnergy::of_base(self.figures().heat)
    }

    /// The standard uncertainty (k = 1) of the curve by default, as a share of
    /// the total mass (0.015 is 1.5 points), at a relative humidity of 35 to
    /// 75 %.
    ///
    /// # Errors
    /// A refusal when the humidity is outside that.
    pub fn doubt(self, humidity: Ratio) -> Result<f64> {
        LEAF_HUMIDITY.check_base(humidity.base())?;
        let Figures { u, u_at_75, .. } = self.figures();
        let on_the_way = (humidity.base() - STEADY_TO) / (WIDEST_AT - STEADY_TO);
        Ok(u + (u_at_75 - u) * on_the_way.clamp(0.0, 1.0))
    }
}

/// Up to here the doubt of a curve is one figure.
const STEADY_TO: f64 = 0.65;
/// Here it has come to the other.
const WIDEST_AT: f64 = 0.75;
