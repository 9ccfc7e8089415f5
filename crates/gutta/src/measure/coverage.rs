//! How wide an interval must be: normal and Student quantiles.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// The two-sided 95 % normal coverage factor, Φ⁻¹(0.975).
pub const COVERAGE_95: f64 = 1.959_963_984_540_054;

/// The quantile of the standard normal distribution at probability `p`,
/// 0 < p < 1; not a number outside.
pub fn normal_quantile(p: f64) -> f64 {
    if p > 0.0 && p < 1.0 {
        Normal::standard().inverse_cdf(p)
    } else {
        f64::NAN
    }
}

/// The quantile of Student's t at probability `p` (0 < p < 1) and `dof`
/// degrees of freedom (1 or more, infinite allowed); not a number outside.
///
/// # Why not the library's quantile alone?
///
/// `statrs` does not return at infinite degrees of freedom and drifts above
/// 10⁵. From 1000 upwards the expansion in 1/ν of Abramowitz and Stegun,
/// 26.7.5, is used; its error there is below 5e-12.
pub fn student_quantile(p: f64, dof: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) || dof.is_nan() || dof < 1.0 {
        return f64::NAN;
    }
    if dof < 1000.0 {
        return StudentsT::new(0.0, 1.0, dof).map_or(f64::NAN, |t| t.inverse_cdf(p));
    }
    let z = normal_quantile(p);
    if dof.is_infinite() {
        return z;
    }
    let z2 = z * z;
    z + z * (z2 + 1.0) / (4.0 * dof)
        + z * ((5.0 * z2 + 16.0) * z2 + 3.0) / (96.0 * dof.powi(2))
        + z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / (384.0 * dof.powi(3))
}

/// The two-sided 95 % coverage factor at `dof` degrees of freedom, truncated
/// to the whole number below as in JCGM 100:2008, G.4.1 and H.1.
pub fn coverage_95(dof: f64) -> f64 {
    if dof.is_infinite() {
        COVERAGE_95
    } else {
        student_quantile(0.975, dof.floor().max(1.0))
    }
}

/// Effective degrees of freedom of a sum of independent terms (slope times
/// standard uncertainty, degrees of freedom): Welch–Satterthwaite,
/// JCGM 100:2008, G.4.1. Infinite when no term has finite degrees of freedom.
pub fn effective_dof(terms: impl IntoIterator<Item = (f64, f64)>) -> f64 {
    let (variance, weight) =
        terms
            .into_iter()
            .fold((0.0, 0.0), |(variance, weight), (term, dof)| {
                let square: f64 = term * term;
                let part = if dof.is_infinite() {
                    0.0
                } else {
                    square * square / dof
                };
                (variance + square, weight + part)
            });
    if weight > 0.0 {
        variance * variance / weight
    } else {
        f64::INFINITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_constant_is_the_quantile() {
        assert!((normal_quantile(0.975) - COVERAGE_95).abs() < 1e-12);
    }

    #[test]
    fn both_sides_of_the_seam_agree() {
        // The expansion against the incomplete beta function where both hold.
        let below = StudentsT::new(0.0, 1.0, 1000.0).unwrap().inverse_cdf(0.975);
        assert!((student_quantile(0.975, 1000.0) - below).abs() < 1e-10);
    }

    #[test]
    fn outside_there_is_no_number() {
        for (p, dof) in [(0.0, 5.0), (1.0, 5.0), (0.5, 0.9), (0.5, f64::NAN)] {
            assert!(student_quantile(p, dof).is_nan(), "{p} {dof}");
        }
        assert!(normal_quantile(1.5).is_nan());
    }

    #[test]
    fn without_finite_degrees_of_freedom_there_is_no_limit() {
        assert!(effective_dof([(1.0, f64::INFINITY)]).is_infinite());
        assert!(effective_dof([]).is_infinite());
    }
}
