//! The plan that a check expects, taken out of a watering.

use gutta::bench::{Adding, Drying};
use gutta::{Watering, WateringPlan};

/// The plan of a watering that must add water.
///
/// # Panics
/// When it is refused, or no water is to be added.
#[track_caller]
pub fn add(watering: &Watering) -> Adding {
    match watering.plan().expect("the watering can be planned") {
        WateringPlan::Add(plan) => *plan,
        other => panic!("water goes on, but the plan was {other:?}"),
    }
}

/// The plan of a watering that must dry the leaf.
///
/// # Panics
/// When it is refused, or nothing is to be dried.
#[track_caller]
pub fn dry(watering: &Watering) -> Drying {
    match watering.plan().expect("the watering can be planned") {
        WateringPlan::Dry(plan) => *plan,
        other => panic!("water goes, but the plan was {other:?}"),
    }
}
