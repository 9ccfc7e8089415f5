//! Oven dishes: what their weighings know of the moisture.
//!
//! # Why "oven volatiles" and not water?
//!
//! An oven drives off all that evaporates. Of leaf with casing or flavouring
//! that is alcohol, and some of a humectant, too: the figure is an upper bound
//! of the water then, and stays one through whatever is worked out from it.

use super::Moisture;
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{
    Estimate, MAD_FACTOR, MASS, Mass, Measured, ODD_Z, Scalar, Scale, median, median_deviation,
};

/// The doubt of one oven dish from the steps of its scale alone, the three
/// readings tare, wet and dry each rounded to `division`:
/// u = (D/√12) √(1 + (1 − m)² + m²) / net wet mass (JCGM 100:2008, 5.1.2, on
/// m = (wet − dry)/(wet − tare)).
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::dish;
/// use gutta::measure::{Mass, Ratio};
/// use uom::si::{mass::gram, ratio::percent};
/// let at = Moisture::new(Ratio::new::<percent>(12.0)).unwrap();
/// // One 5 g dish on a 0.01 g scale: about ±0.15 points at 95 %.
/// let known = dish(at, Mass::new::<gram>(5.0), Mass::new::<gram>(0.01));
/// assert!((known.half_width_95() - 0.0015).abs() < 1e-4);
/// ```
pub fn dish(at: Moisture, net_wet: Mass, division: Mass) -> Measured<Moisture> {
    let reading = division.base() / 12.0_f64.sqrt();
    Measured::new(at, by_scale(at, net_wet, reading), f64::INFINITY)
}

/// The same with the standard uncertainty of one reading.
fn by_scale(at: Moisture, net_wet: Mass, reading: f64) -> f64 {
    let m = at.base();
    reading * (1.0 + (1.0 - m).powi(2) + m * m).sqrt() / net_wet.base()
}

/// The three weighings of one dish, each with the dish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OvenDish {
    /// The empty dish.
    pub tare: Mass,
    /// With the leaf as it was.
    pub wet: Mass,
    /// With the leaf dried out.
    pub dry: Mass,
}

impl OvenDish {
    /// What it lost over what it held: (wet − dry)/(wet − tare).
    pub fn moisture(&self) -> Moisture {
        Moisture::of(self.wet - self.dry, self.wet - self.tare)
    }

    fn check(&self, number: usize) -> Result<()> {
        for mass in [self.tare, self.wet, self.dry] {
            MASS.check_base(mass.base())?;
        }
        let wrong = |what: &str, hint: &str| {
            Err(
                Error::new(ErrorKind::OutOfRange, format!("dish {number} {what}"))
                    .with_hint(hint.to_owned()),
            )
        };
        if self.wet <= self.tare {
            return wrong(
                "holds no leaf",
                "each dish is three weighings: empty, with leaf, and dried out",
            );
        }
        if self.dry > self.wet {
            return wrong(
                "is heavier dried out than before",
                "the order is empty, with leaf, dried out: have two of them changed places?",
            );
        }
        if self.dry <= self.tare {
            return wrong(
                "is no heavier than empty once dried out",
                "leaf leaves its dry matter: check the three weighings",
            );
        }
        Ok(())
    }
}

/// Dishes of one leaf.
///
/// ```
/// use gutta::matter::{OvenDish, OvenTest};
/// use gutta::measure::Mass;
/// use uom::si::mass::gram;
/// let dish = |tare, wet, dry| OvenDish {
///     tare: Mass::new::<gram>(tare),
///     wet: Mass::new::<gram>(wet),
///     dry: Mass::new::<gram>(dry),
/// };
/// let test = OvenTest {
///     dishes: vec![dish(20.0, 25.0, 24.4), dish(20.0, 25.0, 24.3)],
///     scale: None,
/// };
/// let found = test.volatiles()?;
/// assert!((found.moisture.best().ratio().value - 0.13).abs() < 1e-12);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct OvenTest {
    /// The dishes.
    pub dishes: Vec<OvenDish>,
    /// The scale, when it is known.
    pub scale: Option<Scale>,
}

/// What the oven drove off.
#[derive(Clone, Debug, PartialEq)]
pub struct OvenVolatiles {
    /// The mean of the dishes, wet basis.
    pub moisture: Estimate<Moisture>,
    /// Each dish.
    pub each: Vec<Moisture>,
    /// The standard deviation between the dishes, as a ratio; with two or more.
    pub scatter: Option<f64>,
    /// Dishes far from the others, the first being 1: named, and kept.
    pub odd: Vec<usize>,
}

/// A dish nearer to the middle than this is never odd: half a point.
const NEVER_ODD: f64 = 0.005;

/// From how many dishes on one can be told as odd.
const ENOUGH: usize = 3;

impl OvenTest {
    /// The mean with its doubt: u² = max(s², u_dish²)/n with n − 1 degrees of
    /// freedom, infinitely many when the scale's part is the larger. One dish
    /// alone shows no scatter: its u is that of the scale.
    ///
    /// A dish is odd when it is more than half a point from the median and its
    /// modified z is beyond 3.5.
    ///
    /// # Errors
    /// When there is no dish, a mass is not above 0, or the three weighings of
    /// a dish contradict each other.
    pub fn volatiles(&self) -> Result<OvenVolatiles> {
        if self.dishes.is_empty() {
            return Err(Error::new(ErrorKind::Empty, "no dish was given")
                .with_hint("type the three weighings of a dish: empty, with leaf, dried out"));
        }
        for (i, dish) in self.dishes.iter().enumerate() {
            dish.check(i + 1)?;
        }
        let each: Vec<f64> = self.dishes.iter().map(|d| d.moisture().base()).collect();
        let n = each.len() as f64;
        let mean = each.iter().sum::<f64>() / n;
        let scatter = (each.len() > 1).then(|| {
            let squares: f64 = each.iter().map(|m| (m - mean).powi(2)).sum();
            (squares / (n - 1.0)).sqrt()
        });
        let by_scale = self.scale.map_or(0.0, |scale| {
            let reading = scale.u_reading().base();
            let squares = self
                .dishes
                .iter()
                .map(|d| by_scale(d.moisture(), d.wet - d.tare, reading).powi(2));
            (squares.sum::<f64>() / n).sqrt()
        });
        let (u, dof, source) = match scatter {
            Some(s) if s > by_scale => (s, n - 1.0, "scatter of the dishes"),
            _ => (by_scale, f64::INFINITY, "scale"),
        };
        let moisture = Measured::new(Moisture::of_base(mean), u / n.sqrt(), dof);
        Ok(OvenVolatiles {
            moisture: moisture.estimate(source),
            odd: odd(&each),
            each: each.into_iter().map(Moisture::of_base).collect(),
            scatter,
        })
    }
}

/// The dishes that are odd, the first being 1.
fn odd(each: &[f64]) -> Vec<usize> {
    if each.len() < ENOUGH {
        return Vec::new();
    }
    let (middle, deviation) = (median(each), median_deviation(each));
    let is_odd = |m: &f64| {
        let off = (m - middle).abs();
        off > NEVER_ODD && MAD_FACTOR * off > ODD_Z * deviation
    };
    let all = each.iter().enumerate();
    all.filter(|(_, m)| is_odd(m)).map(|(i, _)| i + 1).collect()
}
