//! What the outside checks share: published tables, worked situations, the plan expected.

pub mod plans;
pub mod reference;
pub mod situations;

use std::path::{Path, PathBuf};

/// The root of the repository.
///
/// # Panics
/// Never: the package stands in the repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the package stands in the repository")
        .to_owned()
}

/// Holds two numbers together within a tolerance of the unit they are in.
///
/// # Panics
/// When they are further apart, naming both.
#[track_caller]
pub fn assert_close(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got} against {expected}, more than {tolerance} apart"
    );
}
