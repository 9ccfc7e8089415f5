//! Numbers of a bench, from a pinch of leaf to a cart of it.

use gutta::bench::{Brought, Drop};
use gutta::matter::Part;
use gutta::measure::{DropMass, Mass, Measured, Ratio, Scalar};
use gutta::{Composition, Moisture, Pile};
use proptest::prelude::*;

/// A mass in kilograms: 0.1 g to 100 kg, even on a logarithm.
pub fn mass() -> impl Strategy<Value = Mass> {
    (-4.0..2.0_f64).prop_map(|power| Mass::of_base(10_f64.powf(power)))
}

/// A moisture of leaf, 2 % to 40 %.
pub fn moisture() -> impl Strategy<Value = Moisture> {
    (0.02..0.40).prop_map(Moisture::of_base)
}

/// A drop of 10 to 100 mg.
pub fn drop_mass() -> impl Strategy<Value = DropMass> {
    (10e-6..100e-6).prop_map(DropMass::of_base)
}

/// A drop with a typed doubt.
pub fn drop() -> impl Strategy<Value = Drop> {
    (drop_mass(), 0.001..0.2).prop_map(|(one, relative)| {
        Drop::of_mass(Measured::new(one, relative * one.base(), f64::INFINITY))
            .expect("a usual size")
    })
}

/// A value with a relative doubt of 0.01 % to 10 %.
pub fn doubtful<S: Scalar + std::fmt::Debug>(
    value: impl Strategy<Value = S>,
) -> impl Strategy<Value = Measured<S>> {
    (value, 1e-4..0.1).prop_map(|(value, relative)| {
        Measured::new(value, relative * value.base().abs(), f64::INFINITY)
    })
}

/// Shares of a liquid that leave room for solids.
pub fn composition() -> impl Strategy<Value = Composition> {
    (0.0..0.4, 0.0..0.3, 0.0..0.2).prop_map(|(water, alcohol, glycerine)| {
        let share = |x: f64| Measured::new(Ratio::of_base(x), 0.02 * x, f64::INFINITY);
        Composition::new(&[
            (Part::Water, share(water)),
            (Part::Alcohol, share(alcohol)),
            (Part::Glycerine, share(glycerine)),
        ])
        .expect("less than the whole")
    })
}

/// A liquid that goes onto leaf.
pub fn brought() -> impl Strategy<Value = Brought> {
    (
        doubtful((1e-4..1e-1).prop_map(Mass::of_base)),
        composition(),
    )
        .prop_map(|(mass, composition)| Brought::weighed("casing", mass, composition))
}

/// Leaf with something on it.
pub fn pile() -> impl Strategy<Value = Pile> {
    (mass(), moisture(), 0.0..0.2, 0.0..0.3, 0.0..0.3).prop_map(
        |(leaf, at, share, water, carrier)| {
            let ratio = Ratio::of_base;
            Pile::leaf(leaf, at).with_liquid(
                leaf * ratio(share),
                gutta::matter::Fractions {
                    water: ratio(water),
                    carrier: ratio(carrier),
                    humectant: ratio(0.1),
                },
            )
        },
    )
}
