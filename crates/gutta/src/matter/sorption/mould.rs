//! The mould line: from what relative humidity on leaf is not safe in a jar.

use crate::caution::Caution;
use crate::measure::{LEAF_HUMIDITY, Ratio, Scalar};

/// Above this, xerophilic moulds can grow.
const CAN_GROW: f64 = 0.65;
/// Above this, leaf is not for storage.
const NOT_FOR_STORAGE: f64 = 0.70;
/// What a conversion to a ratio may leave above a line that is met.
const ROUNDING: f64 = 1e-12;

/// The caution for uncased leaf that keeps air of this relative humidity:
/// nothing up to 65 %, then [`Caution::MouldRisk`], above 70 %
/// [`Caution::NotForStorage`], above 75 % [`Caution::BeyondTheCurves`]. It looks
/// at the figure alone, not at its doubt. For cased leaf add
/// [`Caution::CasedLeaf`].
///
/// Source: Beuchat L. R. 1981 for 65 % (the lowest water activity of xerophilic
/// moulds is 0.65 to 0.75) and 75 % (that of moulds that form toxins is 0.75 to
/// 0.80); 70 % is judgement between them.
///
/// ```
/// use gutta::Caution;
/// use gutta::matter::sorption::mould_line;
/// use gutta::measure::Ratio;
/// use uom::si::ratio::percent;
/// assert_eq!(mould_line(Ratio::new::<percent>(65.0)), None);
/// assert_eq!(mould_line(Ratio::new::<percent>(68.0)), Some(Caution::MouldRisk));
/// ```
pub fn mould_line(humidity: Ratio) -> Option<Caution> {
    let above = |line: f64| humidity.base() > line + ROUNDING;
    // The curves end at 75 %, and with them the figures.
    if above(CAN_GROW) && LEAF_HUMIDITY.check_base(humidity.base()).is_err() {
        Some(Caution::BeyondTheCurves)
    } else if above(NOT_FOR_STORAGE) {
        Some(Caution::NotForStorage)
    } else if above(CAN_GROW) {
        Some(Caution::MouldRisk)
    } else {
        None
    }
}
