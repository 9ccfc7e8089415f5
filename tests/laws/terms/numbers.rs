use gutta::measure::{Linear, Real};
use uom::ConversionFactor;
use uom::num_traits::Signed;

use super::{STEP, TOLERANCE};

/// Every function of a number, those that no formula uses yet among them.
#[test]
fn of_the_functions_of_a_number() {
    type Function = (&'static str, fn(Linear<1>) -> Linear<1>, fn(f64) -> f64);
    let functions: [Function; 9] = [
        ("exp", Real::exp, f64::exp),
        ("ln", Real::ln, f64::ln),
        ("powf", |x| x.powf(-1.7), |x| x.powf(-1.7)),
        ("powi", |x| ConversionFactor::powi(x, 3), |x| x.powi(3)),
        ("inverse", |x| ConversionFactor::powi(x, -1), f64::recip),
        ("negative", |x| -x, |x| -x),
        ("absolute", |x| Signed::abs(&-x), f64::abs),
        ("rest", |x| x % Linear::exact(0.3), |x| x % 0.3),
        ("divisor", |x| Linear::exact(2.0) / x, |x| 2.0 / x),
    ];
    for x in [0.2, 0.7, 1.4] {
        for (name, linear, plain) in functions {
            let got = linear(Linear::input(x, 0.1, 0));
            let h = STEP * x;
            let expected = (plain(x + h) - plain(x - h)) / (2.0 * h) * 0.1;
            assert_eq!(got.best(), plain(x), "{name} at {x}");
            assert!(
                (got.terms()[0] - expected).abs() <= TOLERANCE * expected.abs(),
                "{name} at {x}: {} against {expected}",
                got.terms()[0]
            );
        }
    }
}
