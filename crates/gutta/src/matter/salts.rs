//! Saturated salts: air of a known humidity, and what it says of a hygrometer.
//!
//! # What spoils it?
//!
//! A saturated salt in a closed jar keeps the air above it at one relative
//! humidity while there is salt that has not dissolved. The stated doubt is that
//! of the salt alone. A sensor one degree warmer than the salt reads 4.5 points
//! too low at 75 %: give both a night in a place without sun and draught, and put
//! what is left into the doubt of the reading.

use uom::si::{SI, Units};

use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, Formula, Inputs, Measured, POTASSIUM_CARBONATE_TEMPERATURE, Point, RELATIVE_HUMIDITY,
    Range, Ratio, Real, SALT_TEMPERATURE, Scalar, Slot, Temperature, celsius,
};

/// A salt whose saturated solution keeps air at a known relative humidity.
///
/// Source: Greenspan L., Humidity fixed points of binary saturated aqueous
/// solutions, J. Res. NBS 81A (1977) 89–96: h = a₀ + a₁t + a₂t² + a₃t³ in %, t in
/// °C. The coefficients were read in public copies that print a wrong sign at
/// two of them, put right by the values of the paper's table.
///
/// # What is the ± beside it?
///
/// The paper's table has one for each 5 °C. Those of sodium chloride and
/// magnesium chloride up to 30 °C were read, the others are from memory. It was
/// not seen how much they cover; they are taken as the half-width of a
/// rectangular distribution (JCGM 100:2008, 4.3.7), and in a straight line
/// between the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Salt {
    /// Lithium chloride, 11.3 % at 20 °C; 15 to 35 °C.
    LithiumChloride,
    /// Magnesium chloride, 33.1 % at 20 °C; 15 to 35 °C.
    MagnesiumChloride,
    /// Potassium carbonate, 43.2 % at 20 °C; 15 to 30 °C.
    PotassiumCarbonate,
    /// Sodium chloride (table salt without additives), 75.5 % at 20 °C; 15 to
    /// 35 °C.
    SodiumChloride,
    /// Potassium chloride, 85.1 % at 20 °C; 15 to 35 °C.
    PotassiumChloride,
    /// Potassium sulfate, 97.6 % at 20 °C; 15 to 35 °C.
    PotassiumSulfate,
}

/// The temperature of the first row of half-widths, in °C, and the step.
const ROWS: (f64, f64) = (15.0, 5.0);

impl Salt {
    /// All salts, from the driest air to the dampest.
    pub const ALL: [Self; 6] = [
        Self::LithiumChloride,
        Self::MagnesiumChloride,
        Self::PotassiumCarbonate,
        Self::SodiumChloride,
        Self::PotassiumChloride,
        Self::PotassiumSulfate,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LithiumChloride => "lithium chloride",
            Self::MagnesiumChloride => "magnesium chloride",
            Self::PotassiumCarbonate => "potassium carbonate",
            Self::SodiumChloride => "sodium chloride",
            Self::PotassiumChloride => "potassium chloride",
            Self::PotassiumSulfate => "potassium sulfate",
        }
    }

    /// Its formula.
    pub const fn formula(self) -> &'static str {
        match self {
            Self::LithiumChloride => "LiCl",
            Self::MagnesiumChloride => "MgCl2",
            Self::PotassiumCarbonate => "K2CO3",
            Self::SodiumChloride => "NaCl",
            Self::PotassiumChloride => "KCl",
            Self::PotassiumSulfate => "K2SO4",
        }
    }

    /// The salt of this name or formula, in any case; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        let is = |word: &str| word.eq_ignore_ascii_case(name.trim());
        Self::ALL
            .into_iter()
            .find(|salt| is(salt.name()) || is(salt.formula()))
            .or_else(|| is("table salt").then_some(Self::SodiumChloride))
    }

    /// The temperatures that it is known at.
    pub const fn range(self) -> &'static Range {
        match self {
            Self::PotassiumCarbonate => &POTASSIUM_CARBONATE_TEMPERATURE,
            _ => &SALT_TEMPERATURE,
        }
    }

    /// a₀ to a₃.
    const fn coefficients(self) -> [f64; 4] {
        match self {
            Self::LithiumChloride => [11.2323, 0.008_242_45, -0.000_214_89, 0.0],
            Self::MagnesiumChloride => [33.6686, -0.007_973_97, -0.001_089_88, 0.0],
            Self::PotassiumCarbonate => [43.1315, 0.001_475_23, 0.0, 0.0],
            Self::SodiumChloride => [75.5164, 0.039_832_1, -0.002_654_59, 2.848e-5],
            Self::PotassiumChloride => [88.619, -0.193_34, 0.000_899_706, 0.0],
            Self::PotassiumSulfate => [98.7792, -0.059_050_2, 0.0, 0.0],
        }
    }

    /// The half-widths in % at 15, 20, 25, 30 and 35 °C.
    const fn half_widths(self) -> &'static [f64] {
        match self {
            Self::LithiumChloride => &[0.35, 0.31, 0.27, 0.24, 0.22],
            Self::MagnesiumChloride => &[0.21, 0.18, 0.16, 0.14, 0.13],
            Self::PotassiumCarbonate => &[0.33, 0.33, 0.39, 0.50],
            Self::SodiumChloride => &[0.18, 0.14, 0.12, 0.11, 0.12],
            Self::PotassiumChloride => &[0.33, 0.29, 0.26, 0.25, 0.25],
            Self::PotassiumSulfate => &[0.63, 0.53, 0.45, 0.40, 0.38],
        }
    }

    /// The relative humidity over the saturated solution at a temperature in the
    /// salt's [`range`](Self::range), without its doubt.
    pub fn relative_humidity<V: Real>(self, temperature: Temperature<V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let t = celsius(temperature);
        let percent = self
            .coefficients()
            .iter()
            .rev()
            .fold(V::zero(), |sum, &a| sum * t + V::exact(a));
        Ratio::from(percent / V::exact(100.0))
    }

    /// The half-width at a temperature within the range, as a ratio.
    fn half_width(self, temperature: Temperature) -> f64 {
        let rows = self.half_widths();
        let (first, step) = ROWS;
        let row = ((celsius(temperature) - first) / step).clamp(0.0, (rows.len() - 1) as f64);
        let below = rows
            .iter()
            .zip(&rows[1..])
            .enumerate()
            .take_while(|(i, _)| *i as f64 <= row)
            .last();
        below.map_or(rows[0], |(i, (low, high))| {
            low + (high - low) * (row - i as f64)
        }) / 100.0
    }

    /// The relative humidity over the saturated solution, with the doubt of the
    /// "fixed point" and of the "temperature".
    ///
    /// ```
    /// use gutta::matter::Salt;
    /// use gutta::measure::{Measured, ROOM_TEMPERATURE};
    /// use uom::si::ratio::percent;
    /// let at = Measured::exact(ROOM_TEMPERATURE);
    /// let air = Salt::SodiumChloride.humidity(&at)?;
    /// assert!((air.best().get::<percent>() - 75.48).abs() < 5e-3);
    /// assert!((air.u() - 0.0014 / 3f64.sqrt()).abs() < 1e-9);
    /// # Ok::<(), gutta::Error>(())
    /// ```
    ///
    /// # Errors
    /// A refusal when the temperature is outside 15 to 35 °C, of potassium
    /// carbonate 15 to 30 °C.
    pub fn humidity(self, temperature: &Measured<Temperature>) -> Result<Estimate<Ratio>> {
        let at = temperature.value();
        self.range().check_base(at.base())?;
        let best = self.relative_humidity(at).base();
        // The doubt is carried by a factor of one.
        let factor = Measured::rectangular(Ratio::of_base(1.0), self.half_width(at) / best);
        let mut inputs = Inputs::new();
        let formula = FixedPoint {
            salt: self,
            factor: inputs.add("fixed point", &factor),
            temperature: inputs.add("temperature", temperature),
        };
        Ok(inputs.propagate(&formula).estimate(|humidity| *humidity))
    }
}

struct FixedPoint {
    salt: Salt,
    factor: Slot<Ratio>,
    temperature: Slot<Temperature>,
}

impl Formula for FixedPoint {
    type Figures<V: Real>
        = Ratio<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        self.salt.relative_humidity(point.get(self.temperature)) * point.get(self.factor)
    }
}

/// What a hygrometer shows in air of a known humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// What it shows.
    pub shows: Measured<Ratio>,
    /// What it should show: the salt's humidity, or a better instrument's.
    pub should: Measured<Ratio>,
}

/// A hygrometer that was checked at one point or two.
///
/// ```
/// use gutta::matter::{Check, Hygrometer, Salt};
/// use gutta::measure::{Measured, ROOM_TEMPERATURE, Ratio};
/// use uom::si::ratio::percent;
/// let reads = |p| Measured::rectangular(Ratio::new::<percent>(p), 0.005);
/// let room = Measured::exact(ROOM_TEMPERATURE);
/// let check = |salt: Salt, shows| -> gutta::Result<Check> {
///     Ok(Check { shows: reads(shows), should: salt.humidity(&room)?.measured() })
/// };
/// let mine = Hygrometer::checked(check(Salt::MagnesiumChloride, 36.0)?)?
///     .and(check(Salt::SodiumChloride, 74.0)?)?;
/// let air = mine.correct(&reads(60.0))?;
/// assert!((air.correction.best().get::<percent>() - -0.144).abs() < 5e-3);
/// assert!((air.humidity.best().get::<percent>() - 59.86).abs() < 5e-3);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hygrometer {
    first: Check,
    second: Option<Check>,
}

/// A reading put right.
#[derive(Clone, Debug, PartialEq)]
pub struct Corrected {
    /// What is added to the reading.
    pub correction: Estimate<Ratio>,
    /// The reading with it.
    pub humidity: Estimate<Ratio>,
}

impl Hygrometer {
    /// A hygrometer checked at one point: c = should − shows everywhere.
    ///
    /// # Errors
    /// When a humidity is outside 0 to 100 %.
    pub fn checked(at: Check) -> Result<Self> {
        RELATIVE_HUMIDITY.check_base(at.shows.value().base())?;
        RELATIVE_HUMIDITY.check_base(at.should.value().base())?;
        Ok(Self {
            first: at,
            second: None,
        })
    }

    /// The same hygrometer checked at a second point: between the two the
    /// correction goes in a straight line, c = c₁ + (c₂ − c₁)(r − r₁)/(r₂ − r₁),
    /// r what it shows; beyond them that of the nearer point is kept. A second
    /// point takes the place of an earlier second.
    ///
    /// # Errors
    /// When a humidity is outside 0 to 100 %; a refusal when the hygrometer does
    /// not show more in the damper air.
    pub fn and(self, at: Check) -> Result<Self> {
        let second = Self::checked(at)?.first;
        let known = second.should.value().base() - self.first.should.value().base();
        let shown = second.shows.value().base() - self.first.shows.value().base();
        if known * shown <= 0.0 {
            return Err(Error::new(
                ErrorKind::Refused,
                "the hygrometer does not show more in the damper air of the two",
            )
            .with_hint(
                "check which reading goes with which salt; if they are right, it is broken",
            ));
        }
        Ok(Self {
            second: Some(second),
            ..self
        })
    }

    /// A reading put right, with the doubt of the "reading", of what was shown
    /// at each check and of what it should have been.
    ///
    /// # Errors
    /// When the reading is outside 0 to 100 %; a refusal when it is so once put
    /// right.
    pub fn correct(&self, reading: &Measured<Ratio>) -> Result<Corrected> {
        RELATIVE_HUMIDITY.check_base(reading.value().base())?;
        let mut inputs = Inputs::new();
        let mut add = |name: &str, check: &Check| CheckSlots {
            shows: inputs.add(format!("shown at the {name} check"), &check.shows),
            should: inputs.add(format!("humidity at the {name} check"), &check.should),
        };
        let first = add("first", &self.first);
        let checks = match &self.second {
            None => Checks::One(first),
            // Which side of the checks it is on is decided here, not in the
            // formula.
            Some(second) => {
                let r = reading.value();
                let (a, b) = (self.first.shows.value(), second.shows.value());
                let beyond_first = (r < a) == (a < b) && r != a;
                let beyond_second = (r > b) == (a < b) && r != b;
                match (beyond_first, beyond_second) {
                    (true, _) => Checks::One(first),
                    (_, true) => Checks::One(add("second", second)),
                    _ => Checks::Between(first, add("second", second)),
                }
            }
        };
        let formula = Correction {
            checks,
            reading: inputs.add("reading", reading),
        };
        let run = inputs.propagate(&formula);
        let humidity: Estimate<Ratio> = run.estimate(|figures| figures.1);
        if RELATIVE_HUMIDITY
            .check_base(humidity.best().base())
            .is_err()
        {
            return Err(Error::new(
                ErrorKind::Refused,
                "put right by these checks the reading is outside 0 to 100 %",
            )
            .with_hint("check the hygrometer over a salt nearer to the reading"));
        }
        Ok(Corrected {
            correction: run.estimate(|figures| figures.0),
            humidity,
        })
    }
}

impl Check {
    /// What is added to a reading there: should − shows.
    pub fn correction(&self) -> Estimate<Ratio> {
        let mut inputs = Inputs::new();
        let slots = CheckSlots {
            shows: inputs.add("shown", &self.shows),
            should: inputs.add("humidity over the salt", &self.should),
        };
        inputs.propagate(&slots).estimate(|correction| *correction)
    }
}

#[derive(Clone, Copy)]
struct CheckSlots {
    shows: Slot<Ratio>,
    should: Slot<Ratio>,
}

impl Formula for CheckSlots {
    /// The correction there.
    type Figures<V: Real>
        = Ratio<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        point.get(self.should) - point.get(self.shows)
    }
}

enum Checks {
    One(CheckSlots),
    Between(CheckSlots, CheckSlots),
}

struct Correction {
    checks: Checks,
    reading: Slot<Ratio>,
}

impl Formula for Correction {
    /// The correction, and the reading with it.
    type Figures<V: Real>
        = (Ratio<V>, Ratio<V>)
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> (Ratio<V>, Ratio<V>)
    where
        SI<V>: Units<V>,
    {
        let reading = point.get(self.reading);
        let correction = match self.checks {
            Checks::One(check) => check.at(point),
            Checks::Between(first, second) => {
                let (r1, r2) = (point.get(first.shows), point.get(second.shows));
                let (c1, c2) = (first.at(point), second.at(point));
                c1 + (c2 - c1) * ((reading - r1) / (r2 - r1))
            }
        };
        (correction, reading + correction)
    }
}
