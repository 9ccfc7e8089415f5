//! What is weighed for a dilution: so much that the scale weighs both well, and
//! not so much that nobody would make it.

use uom::si::mass::gram;

use crate::measure::{Mass, Ratio, Scalar, Scale};

/// The most flavouring, or carrier, that is weighed for a dilution unless it is
/// asked for: 1 kg. Our own bound; a bench makes some tens of grams.
pub const MOST_STOCK: f64 = 1.0;

/// A first step is one part in one of these: what is easily weighed and written
/// on a label.
const ROUND_PARTS: [f64; 9] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

/// A dilution of a dilution: a first one of so many parts, which then stands for
/// the flavouring, at as many times the dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoSteps {
    /// The parts of the first dilution, one of them flavouring.
    pub parts: f64,
    /// The flavouring to weigh for the first, and as much of that for the second.
    pub neat: Mass,
    /// The carrier to weigh for the first.
    pub carrier: Mass,
    /// The carrier to weigh for the second.
    pub then_carrier: Mass,
}

impl TwoSteps {
    /// The two steps to a strength, each with as much to weigh; none where a step
    /// would take more carrier than [`MOST_STOCK`].
    pub fn to(share: Ratio, neat: Mass) -> Option<Self> {
        // Equal steps take the least carrier.
        let each = share.base().recip().sqrt();
        let off = |parts: f64| (parts / each).ln().abs();
        let parts = ROUND_PARTS
            .into_iter()
            .min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
        let steps = Self {
            parts,
            neat,
            carrier: neat * (parts - 1.0),
            then_carrier: carrier(neat, share * parts),
        };
        (!is_too_much(steps.carrier) && !is_too_much(steps.then_carrier)).then_some(steps)
    }
}

/// Less of a dilution that is there, in more carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weaker {
    /// The flavouring in what that makes, by mass.
    pub strength: Ratio,
    /// The dilution that is there, to weigh.
    pub bottle: Mass,
    /// The carrier to weigh for it.
    pub carrier: Mass,
}

impl Weaker {
    /// A dilution that is there made so many times weaker, of as little as the
    /// scale weighs well, or of a gram; none where that takes more carrier than
    /// [`MOST_STOCK`].
    pub fn of(strength: Ratio, times: f64, well: Option<(Scale, Ratio)>) -> Option<Self> {
        let share = Ratio::of_base(times.recip());
        let bottle = match well {
            Some((scale, tolerance)) => least_neat(scale, tolerance, share),
            None => Mass::new::<gram>(1.0),
        };
        let carrier = carrier(bottle, share);
        (!is_too_much(carrier)).then(|| Self {
            strength: strength * share,
            bottle,
            carrier,
        })
    }
}

/// The carrier that makes a mass of flavouring a share of the whole.
pub(super) fn carrier(neat: Mass, share: Ratio) -> Mass {
    neat / share - neat
}

/// Whether nobody would make so much for a count of drops.
pub(super) fn is_too_much(mass: Mass) -> bool {
    mass.base() > MOST_STOCK * (1.0 + 1e-9)
}

/// The least flavouring of which a scale weighs both it and its carrier within a
/// tolerance, in whole steps of the scale.
pub(super) fn least_neat(scale: Scale, tolerance: Ratio, share: Ratio) -> Mass {
    let of_carrier = share.base() / (1.0 - share.base());
    let least = scale.least_weighing(tolerance) * of_carrier.max(1.0);
    let step = scale.division();
    // A step above the figure by rounding alone is that step.
    step * ((least / step).base() - 1e-9).ceil()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.01 g within 2 % is 0.5 g; at 3 parts in 4 there are 3 of flavouring to
    /// one of carrier: 1.5 g.
    #[test]
    fn both_are_weighed_well() {
        let scale = Scale::new(Mass::new::<gram>(0.01)).unwrap();
        let least = |share| {
            let tolerance = Ratio::of_base(0.02);
            least_neat(scale, tolerance, Ratio::of_base(share)).get::<gram>()
        };
        assert!((least(0.1) - 0.5).abs() < 1e-12);
        assert!((least(0.75) - 1.5).abs() < 1e-12);
    }

    /// Two steps are one: 1 in 100 and then 1 in 100 are 1 in 10 000.
    #[test]
    fn two_steps_reach_the_strength() {
        let neat = Mass::new::<gram>(0.5);
        let steps = TwoSteps::to(Ratio::of_base(1e-4), neat).unwrap();
        assert!((steps.parts - 100.0).abs() < 1e-12);
        let share = |carrier: Mass| (neat / (neat + carrier)).base();
        let both = share(steps.carrier) * share(steps.then_carrier);
        assert!((both / 1e-4 - 1.0).abs() < 1e-12);
        assert_eq!(TwoSteps::to(Ratio::of_base(1e-12), neat), None);
    }
}
