//! The picture of a sheet: the moisture that water makes.

use gutta::WateringPlan;
use gutta::bench::Added;
use gutta::blend::sheet::Planned;
use gutta::measure::{Drops, Mass, Measured, Scalar, Unit};

use crate::document::{Picture, Point};
use crate::say;

/// How many points a line is drawn through.
const POINTS: u32 = 24;

/// How far beyond the water the picture goes.
const BEYOND: f64 = 1.4;

/// Drawn where water is to be added.
pub(super) fn of(plan: &Planned) -> Option<Picture> {
    let Some((watering, WateringPlan::Add(adding))) = &plan.water else {
        return None;
    };
    let counted = adding.counted().zip(watering.drop);
    let (whole, first) = match counted {
        Some((drops, _)) => (
            drops.whole.count(),
            adding.first.drops.map_or(0.0, Drops::count),
        ),
        None => (
            Unit::GRAM.from_base(adding.water.best().base()),
            Unit::GRAM.from_base(adding.first.water.base()),
        ),
    };
    let point = |i: u32| {
        let amount = whole * BEYOND * f64::from(i) / f64::from(POINTS);
        let added = match counted {
            Some((_, drop)) => Added::Drops(Drops::new(amount), drop),
            None => Added::Mass(Measured::exact(Mass::of_base(Unit::GRAM.to_base(amount)))),
        };
        let moisture = watering.after(&added);
        let percent = |base: f64| Unit::PERCENT.from_base(base);
        Point {
            amount,
            moisture: percent(moisture.best().ratio().base()),
            half: percent(say::half_width(&moisture)),
        }
    };
    Some(Picture {
        along: if counted.is_some() {
            "drops of water"
        } else {
            "g of water"
        },
        points: (0..=POINTS).map(point).collect(),
        target: Unit::PERCENT.from_base(watering.to.ratio().base()),
        band: Unit::PERCENT.from_base(watering.band.base()),
        whole,
        first,
    })
}
