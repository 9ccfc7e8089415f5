//! Several estimates of one thing, brought together.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::{Estimate, Measured, Scalar, Term};
use crate::error::{Error, ErrorKind, Result};

/// Several independent estimates of one quantity as one.
///
/// ```
/// use gutta::measure::{Mass, Measured, combine};
/// use uom::si::mass::gram;
/// let weighed = |g, u| Measured::new(Mass::new::<gram>(g), u * 1e-3, f64::INFINITY);
/// let both = combine(&[("one", weighed(10.0, 0.3)), ("two", weighed(10.2, 0.1))])?;
/// assert!((both.estimate.best().get::<gram>() - 10.18).abs() < 1e-9);
/// assert!(both.agree);
/// # Ok::<(), gutta::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Combined<S> {
    /// The mean by inverse variance; when the estimates disagree its doubt is
    /// enlarged so that they no longer do.
    pub estimate: Estimate<S>,
    /// The same with its doubt as if they agreed.
    pub as_if_agreed: Estimate<S>,
    /// χ² = Σ(x − x̄)²/u².
    pub chi_squared: f64,
    /// The 95 % point of χ² for one degree of freedom less than estimates.
    pub limit: f64,
    /// Whether χ² keeps to the limit.
    pub agree: bool,
}

/// Combines independent estimates, each under its name:
/// x̄ = Σ(x/u²)/Σ(1/u²), u = 1/√Σ(1/u²); when χ² is above its 95 % point for
/// k − 1, u is multiplied by √(χ²/(k − 1)).
///
/// Estimates that share a source are correlated and do not belong here.
///
/// Source: the weighted mean with the consistency test of Cox M. G., The
/// evaluation of key comparison data, Metrologia 39 (2002) 589–595, procedure
/// A (from memory); the enlargement is that of Birge R. T., Physical Review 40
/// (1932) 207–227 (from memory).
///
/// # Errors
/// When there are fewer than two, or one carries no doubt: it would count for
/// everything.
pub fn combine<S: Scalar>(estimates: &[(&str, Measured<S>)]) -> Result<Combined<S>> {
    if estimates.len() < 2 {
        return Err(
            Error::new(ErrorKind::Missing, "one estimate alone is not combined").with_hint(
                "type two or more, each with its doubt: \"11.2% ± 0.5%\" \"12.0% ± 0.4%\"",
            ),
        );
    }
    if let Some((name, _)) = estimates.iter().find(|(_, x)| x.is_exact()) {
        return Err(
            Error::new(ErrorKind::Doubt, format!("{name} carries no doubt")).with_hint(
                "type how sure each is, such as \"11.2% ± 0.5%\": its weight follows from that",
            ),
        );
    }
    let weight = |x: &Measured<S>| x.u().powi(-2);
    let total: f64 = estimates.iter().map(|(_, x)| weight(x)).sum();
    let mean = estimates
        .iter()
        .map(|(_, x)| x.value().base() * weight(x))
        .sum::<f64>()
        / total;
    let chi_squared: f64 = estimates
        .iter()
        .map(|(_, x)| ((x.value().base() - mean) / x.u()).powi(2))
        .sum();
    let degrees = (estimates.len() - 1) as f64;
    let limit = ChiSquared::new(degrees).map_or(f64::NAN, |chi| chi.inverse_cdf(0.95));
    let agree = chi_squared <= limit;
    let widened = |factor: f64| {
        let terms = estimates.iter().enumerate().map(|(i, (name, x))| Term {
            input: (*name).to_owned().into(),
            contribution: factor * x.u() * weight(x) / total,
            dof: x.dof(),
            readings: i,
        });
        Estimate::new(S::of_base(mean), terms.collect())
    };
    Ok(Combined {
        estimate: widened(if agree {
            1.0
        } else {
            (chi_squared / degrees).sqrt()
        }),
        as_if_agreed: widened(1.0),
        chi_squared,
        limit,
        agree,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Mass;

    fn of(estimates: &[(f64, f64)]) -> Result<Combined<Mass>> {
        let named: Vec<(&str, Measured<Mass>)> = estimates
            .iter()
            .map(|&(x, u)| ("x", Measured::new(Mass::of_base(x), u, f64::INFINITY)))
            .collect();
        combine(&named)
    }

    #[test]
    fn two_that_agree_are_weighted_by_their_variance() {
        // By hand: weights 1/0.09 and 1/0.01, so 9 parts of the second to one.
        let both = of(&[(10.0, 0.3), (10.2, 0.1)]).unwrap();
        assert!((both.estimate.best().base() - 10.18).abs() < 1e-12);
        assert!((both.estimate.u() - 0.1 * 0.9_f64.sqrt()).abs() < 1e-12);
        assert!((both.chi_squared - 0.4).abs() < 1e-9);
        assert!(both.agree);
        assert_eq!(both.estimate, both.as_if_agreed);
    }

    #[test]
    fn the_limit_is_the_published_one() {
        // χ²(0.95) for 1, 2 and 9 degrees of freedom: 3.841, 5.991, 16.919, as
        // printed in any table; three decimals.
        for (count, limit) in [(2, 3.841), (3, 5.991), (10, 16.919)] {
            let all = of(&vec![(1.0, 0.1); count]).unwrap();
            assert!((all.limit - limit).abs() < 5e-4, "{}", all.limit);
        }
    }

    #[test]
    fn those_that_disagree_are_widened_until_they_do_not() {
        let both = of(&[(10.0, 0.1), (11.0, 0.1)]).unwrap();
        assert!(!both.agree);
        // By hand: χ² = 2 · (0.5/0.1)² = 50, u = 0.1/√2 · √50 = 0.5.
        assert!((both.chi_squared - 50.0).abs() < 1e-9);
        assert!((both.estimate.u() - 0.5).abs() < 1e-12);
        assert!((both.as_if_agreed.u() - 0.1 / 2.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn one_alone_or_one_without_doubt_is_not_combined() {
        assert_eq!(of(&[(1.0, 0.1)]).unwrap_err().kind(), ErrorKind::Missing);
        let error = of(&[(1.0, 0.1), (1.0, 0.0)]).unwrap_err();
        assert_eq!(error.to_string(), "x carries no doubt");
    }
}
