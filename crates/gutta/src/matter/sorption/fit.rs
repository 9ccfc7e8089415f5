//! A curve through the user's own points.
//!
//! # Why ln A and ln B?
//!
//! Both are above zero, and a step in their logarithms cannot leave that. A
//! straight line of ln X over ln[a/(1 − a)] is the start.
//!
//! # Why the moisture, and not its logarithm, in the residuals?
//!
//! Dishes and moisture readings err by about as many points everywhere. The
//! least squares are of the moisture on wet basis, each point alike.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt, TerminationReason};
use nalgebra::storage::Owned;
use nalgebra::{DVector, Dyn, Matrix2, OMatrix, U2, Vector2};

use super::leaf::{LEAF_REFERENCE, Leaf};
use super::oswin::{at_temperature, held};
use crate::error::{Error, ErrorKind, Result};
use crate::matter::Moisture;
use crate::measure::{
    HELD_MOISTURE, LEAF_HUMIDITY, LEAF_TEMPERATURE, Linear, Measured, Ratio, Real, Scalar,
    Temperature,
};

/// One point of one's own: leaf at rest in air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnPoint {
    /// The relative humidity of the air, 35 to 75 %.
    pub humidity: Ratio,
    /// The moisture of the leaf in it.
    pub moisture: Moisture,
}

/// A and B by least squares through one's own points, with their doubt.
///
/// ```
/// use gutta::Moisture;
/// use gutta::matter::sorption::{Fit, Isotherm, LEAF_REFERENCE, Leaf, OwnPoint};
/// use gutta::measure::Ratio;
/// use uom::si::ratio::percent;
/// let of = Ratio::new::<percent>;
/// let points: Vec<OwnPoint> = [(43.2, 9.5), (54.0, 11.6), (65.0, 14.5), (75.0, 17.7)]
///     .into_iter()
///     .map(|(humidity, moisture)| Ok(OwnPoint {
///         humidity: of(humidity),
///         moisture: Moisture::new(of(moisture))?,
///     }))
///     .collect::<gutta::Result<_>>()?;
/// let fit = Fit::to(Leaf::Generic, &points, LEAF_REFERENCE)?;
/// assert!((fit.exponent().value().value - 0.53).abs() < 0.05);
/// assert_eq!(fit.dof(), 2.0);
/// let own = Isotherm::fitted(fit);
/// assert_eq!(own.leaf(), Leaf::Generic);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    leaf: Leaf,
    logarithms: [f64; 2],
    covariance: [[f64; 2]; 2],
    scatter: f64,
    count: usize,
    span: (Ratio, Ratio),
}

/// A curve less steep than this is level: the squares have no least at any B
/// above 0, and the search only ran towards none. Leaf has 0.3 to 0.8.
const LEVEL: f64 = 1e-6;

fn level() -> Error {
    Error::new(
        ErrorKind::Refused,
        "the moisture of these points does not rise with the humidity",
    )
    .with_hint("give each point as its humidity and the moisture in that air")
}

/// A curve has two parameters; a third point is the first to say how well they
/// fit.
const FEWEST: usize = 3;

impl Fit {
    /// Fits A and B to points that were all read at one temperature (5 to
    /// 40 °C); the heat of sorption is that of the type of leaf.
    ///
    /// The doubt is what the scatter of the points about the curve shows,
    /// s² (JᵀJ)⁻¹ with n − 2 degrees of freedom: an error that all points have in
    /// common, such as that of the hygrometer, does not show in it.
    ///
    /// Source: Levenberg–Marquardt after Moré J. J., The Levenberg–Marquardt
    /// algorithm: implementation and theory, 1978 (MINPACK).
    ///
    /// # Errors
    /// [`ErrorKind::Missing`] with fewer than three points; a refusal when a
    /// point is outside 35 to 75 % relative humidity, when all were read in the
    /// same air, when the moisture does not rise with the humidity, or when no
    /// curve is found; [`ErrorKind::OutOfRange`] when a moisture is not above 0.
    pub fn to(leaf: Leaf, points: &[OwnPoint], temperature: Temperature) -> Result<Self> {
        if points.len() < FEWEST {
            return Err(Error::new(
                ErrorKind::Missing,
                format!(
                    "a curve of one's own needs at least {FEWEST} points, not {}",
                    points.len()
                ),
            )
            .with_hint("with one or two points move the curve by default through one of them"));
        }
        LEAF_TEMPERATURE.check_base(temperature.base())?;
        for point in points {
            LEAF_HUMIDITY.check_base(point.humidity.base())?;
            HELD_MOISTURE.check_base(point.moisture.base())?;
        }
        let mut problem = Problem {
            points: points
                .iter()
                .map(|point| OwnPoint {
                    humidity: at_temperature(
                        point.humidity,
                        leaf.heat(),
                        temperature,
                        LEAF_REFERENCE,
                    ),
                    ..*point
                })
                .collect(),
            parameters: Vector2::zeros(),
        };
        problem.parameters = problem.straight_line()?;
        let (problem, report) = LevenbergMarquardt::new().minimize(problem);
        // "No improvement possible" is a minimum met to the last bit.
        let is_found = report.termination.was_successful()
            || matches!(
                report.termination,
                TerminationReason::NoImprovementPossible(_)
            );
        if problem.parameters[1].exp() < LEVEL {
            return Err(level());
        }
        let dof = (points.len() - 2) as f64;
        // The objective is half the sum of squares.
        let variance = 2.0 * report.objective_function / dof;
        let inverse = problem
            .jacobian()
            .and_then(|jacobian| (jacobian.transpose() * jacobian).try_inverse())
            .filter(|inverse| is_found && inverse.iter().all(|x| x.is_finite()));
        let Some(inverse) = inverse else {
            return Err(
                Error::new(ErrorKind::Refused, "no curve goes near these points")
                    .with_hint("read more points, further apart in humidity"),
            );
        };
        let covariance: Matrix2<f64> = inverse * variance;
        let mixed = 0.5 * (covariance[(0, 1)] + covariance[(1, 0)]);
        let humidities = points.iter().map(|point| point.humidity);
        let span = humidities.fold(
            (points[0].humidity, points[0].humidity),
            |(low, high), x| {
                (
                    if x < low { x } else { low },
                    if x > high { x } else { high },
                )
            },
        );
        Ok(Self {
            leaf,
            logarithms: problem.parameters.into(),
            covariance: [[covariance[(0, 0)], mixed], [mixed, covariance[(1, 1)]]],
            scatter: variance.sqrt(),
            count: points.len(),
            span,
        })
    }

    /// The type of leaf, for its heat of sorption.
    pub const fn leaf(&self) -> Leaf {
        self.leaf
    }

    /// A: water over dry matter at 50 % relative humidity and 22 °C, with
    /// u(A) = A u(ln A).
    pub fn level(&self) -> Measured<Ratio> {
        self.parameter(0)
    }

    /// B: how steep the curve is, with u(B) = B u(ln B).
    pub fn exponent(&self) -> Measured<Ratio> {
        self.parameter(1)
    }

    fn parameter(&self, which: usize) -> Measured<Ratio> {
        let logarithm = Measured::new(
            Ratio::of_base(self.logarithms[which]),
            self.covariance[which][which].sqrt(),
            self.dof(),
        );
        logarithm.through::<Ratio>(|x| Ratio::from(x.value.exp()))
    }

    /// How far the points scatter about the curve, s with n − 2 degrees of
    /// freedom, as a share of the total mass (0.01 is one point of moisture).
    pub const fn scatter(&self) -> f64 {
        self.scatter
    }

    /// The degrees of freedom, n − 2.
    pub const fn dof(&self) -> f64 {
        (self.count - 2) as f64
    }

    /// How many points there are.
    pub const fn count(&self) -> usize {
        self.count
    }

    /// The lowest and the highest humidity of the points: outside it the curve
    /// is carried on.
    pub const fn span(&self) -> (Ratio, Ratio) {
        self.span
    }

    pub(super) fn logarithms(&self) -> [Ratio; 2] {
        self.logarithms.map(Ratio::of_base)
    }

    pub(super) fn covariance(&self) -> [Vec<f64>; 2] {
        self.covariance.map(Vec::from)
    }
}

/// The points at 22 °C, and where the search is.
struct Problem {
    points: Vec<OwnPoint>,
    /// ln A and ln B.
    parameters: Vector2<f64>,
}

impl Problem {
    /// ln A and ln B of the straight line ln X = ln A + B ln[a/(1 − a)].
    fn straight_line(&self) -> Result<Vector2<f64>> {
        let count = self.points.len() as f64;
        let pairs: Vec<(f64, f64)> = self
            .points
            .iter()
            .map(|point| {
                let a = point.humidity.base();
                let x = point.moisture.on_dry_basis().ratio().base();
                ((a / (1.0 - a)).ln(), x.ln())
            })
            .collect();
        let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
        let (x, y) = (mean(|pair| pair.0), mean(|pair| pair.1));
        let squares: f64 = pairs.iter().map(|pair| (pair.0 - x).powi(2)).sum();
        let products: f64 = pairs.iter().map(|pair| (pair.0 - x) * (pair.1 - y)).sum();
        // A thousandth in ln[a/(1 − a)] is a fortieth of a point of humidity.
        if squares.sqrt() < 1e-3 {
            return Err(
                Error::new(ErrorKind::Refused, "all points were read in the same air").with_hint(
                    "a curve needs leaf in air of different humidity, such as 43, 60 and 75 %",
                ),
            );
        }
        let slope = products / squares;
        if slope <= 0.0 {
            return Err(level());
        }
        Ok(Vector2::new(y - slope * x, slope.ln()))
    }

    /// What the curve has above a point, with its slopes to ln A and ln B.
    fn excess(&self, point: &OwnPoint) -> Linear<2> {
        let [level, exponent] =
            [0, 1].map(|lane| Ratio::from(Linear::input(self.parameters[lane], 1.0, lane).exp()));
        let on_curve = held(level, exponent, point.humidity.lift()).on_wet_basis();
        (on_curve.ratio() - point.moisture.lift::<Linear<2>>().ratio()).value
    }
}

impl LeastSquaresProblem<f64, Dyn, U2> for Problem {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, U2>;
    type ParameterStorage = Owned<f64, U2>;

    fn set_params(&mut self, parameters: &Vector2<f64>) {
        self.parameters = *parameters;
    }

    fn params(&self) -> Vector2<f64> {
        self.parameters
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let excesses = self.points.iter().map(|point| self.excess(point).best());
        Some(DVector::from_iterator(self.points.len(), excesses))
    }

    fn jacobian(&self) -> Option<OMatrix<f64, Dyn, U2>> {
        let slopes: Vec<f64> = self
            .points
            .iter()
            .flat_map(|point| *self.excess(point).terms())
            .collect();
        Some(OMatrix::<f64, Dyn, U2>::from_row_slice(&slopes))
    }
}
