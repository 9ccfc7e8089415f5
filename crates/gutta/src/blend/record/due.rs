//! What is to be seen to, and when.

use super::Moment;
use crate::measure::Time;

/// Something that is to be seen to at a moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due<T> {
    /// When.
    pub at: Moment,
    /// What.
    pub what: T,
}

/// What is due now or within a time from now, the longest due first; what is due
/// at one moment stays in its order.
///
/// ```
/// use gutta::blend::record::{Due, Moment, due};
/// use gutta::measure::Time;
/// use uom::si::time::hour;
/// let at = |hours: i64, what| Due { at: Moment::of_seconds(hours * 3600), what };
/// let all = vec![at(30, "turn the bin"), at(5, "judge"), at(12, "weigh the jar")];
/// let now = Moment::of_seconds(10 * 3600);
/// let soon = due(all, now, Time::new::<hour>(6.0));
/// let what: Vec<&str> = soon.iter().map(|due| due.what).collect();
/// assert_eq!(what, ["judge", "weigh the jar"]);
/// ```
pub fn due<T>(mut all: Vec<Due<T>>, now: Moment, within: Time) -> Vec<Due<T>> {
    let until = now.after(within);
    all.retain(|one| one.at <= until);
    all.sort_by_key(|one| one.at);
    all
}
