use gutta::bench::{Asked, Batch, BatchValue, Dosing, Drop, LeafBasis, Scatter};
use gutta::measure::{DropMass, Drops, Measured, Scalar};
use proptest::prelude::*;

use super::{Answer, Input, Known, between, hold, known, numbers};

/// Flavouring for leaf, and from a trial to a batch.
#[derive(Clone, Copy, Debug)]
struct DoseCase {
    asked: usize,
    basis: LeafBasis,
    known: Known,
    /// No batch, the trial's own properties, or its own.
    batch: usize,
}

fn dose_case() -> impl Strategy<Value = DoseCase> {
    let basis = prop_oneof![Just(LeafBasis::AsWeighed), Just(LeafBasis::Dry)];
    (0..4_usize, basis, known(), 0..3_usize).prop_map(|(asked, basis, known, batch)| DoseCase {
        asked,
        basis,
        known,
        batch,
    })
}

fn dose(case: DoseCase, inputs: &[Input]) -> Answer {
    let [leaf, at, drop, density, loss, ..] = inputs else {
        unreachable!("five inputs at least")
    };
    // What is asked comes sixth, where it is in doubt; the batch after it.
    let (asked, rest) = match case.asked {
        0 => (Asked::Drops(Drops::new(7.0)), &inputs[5..]),
        1 => (Asked::Mass(inputs[5].measured()), &inputs[6..]),
        2 => (Asked::Volume(inputs[5].measured()), &inputs[6..]),
        _ => (Asked::Dose(inputs[5].measured()), &inputs[6..]),
    };
    let batch = match rest {
        [] => None,
        [leaf] => Some(Batch {
            leaf: leaf.measured(),
            at: BatchValue::AsInTrial,
            density: BatchValue::AsInTrial,
            drop: BatchValue::AsInTrial,
        }),
        [leaf, at, density, drop, ..] => Some(Batch {
            leaf: leaf.measured(),
            at: BatchValue::Own(at.measured()),
            density: BatchValue::Own(density.measured()),
            drop: BatchValue::Own(case.known.drop(*drop)),
        }),
        _ => unreachable!("a batch has one input or four"),
    };
    let dosing = Dosing {
        leaf: Some(leaf.measured()),
        at: Some(at.measured()),
        drop: Some(case.known.drop(*drop)),
        density: Some(density.measured()),
        bottle_loss: Some(loss.measured()),
        batch,
        ..Dosing::new(asked, case.basis)
    };
    let got = dosing.answer().expect("a dose");
    let mut answer = Answer::default();
    answer.figure("mass", &got.mass);
    answer.figure_if("volume", got.volume.as_ref());
    answer.figure_if("dose", got.dose.as_ref());
    answer.figure_if("dry dose", got.dose_dry.as_ref());
    answer.figure_if("volume per leaf", got.volume_per_leaf.as_ref());
    answer.figure_if("exact drops", got.drops_exact.as_ref());
    if let Some(counted) = &got.counted {
        answer.decided.push(counted.drops.count());
        answer.figure("mass counted", &counted.mass);
        answer.figure_if("dose counted", counted.dose.as_ref());
        answer.figure_if("dry dose counted", counted.dose_dry.as_ref());
    }
    if let Some(given) = &got.given {
        answer.figure_if("drops given", given.drops_exact.as_ref());
        answer.figure_if("dose given", given.dose.as_ref());
        answer.figure_if("dry dose given", given.dose_dry.as_ref());
    }
    if let Some(batch) = &got.batch {
        answer.figure("batch mass", &batch.mass);
        answer.figure_if("batch volume", batch.volume.as_ref());
        answer.figure_if("batch drops", batch.drops.as_ref());
    }
    answer
}

proptest! {
    #[test]
    fn of_a_dose(case in dose_case(), x in numbers::<10>()) {
        let mut inputs = vec![
            Input::new("leaf", between(x[0], 0.005, 0.05), 0.001),
            Input::new("moisture", between(x[1], 0.05, 0.25), 0.05),
            case.known.input("drop", x[2]),
            Input::new("density", between(x[3], 750.0, 1300.0), 0.005),
            Input::new("bottle's loss", between(x[4], 1e-4, 5e-4), 0.02),
        ];
        // Well over one drop, and a dose within its range.
        inputs.extend(match case.asked {
            0 => None,
            1 => Some(Input::new("flavouring", between(x[5], 2e-4, 5e-4), 0.02)),
            2 => Some(Input::new("flavouring", between(x[5], 2e-7, 5e-7), 0.02)),
            _ => Some(Input::new("dose", between(x[5], 0.04, 0.1), 0.01)),
        });
        let batch = [
            Input::new("leaf of the batch", between(x[6], 1.0, 50.0), 0.001),
            Input::new("moisture of the batch", between(x[7], 0.05, 0.25), 0.05),
            Input::new("density of the batch's bottle", between(x[8], 750.0, 1300.0), 0.005),
            case.known.input("drop of the batch's bottle", x[9]),
        ];
        inputs.extend(&batch[..[0, 1, 4][case.batch]]);
        hold(&inputs, |inputs| dose(case, inputs))?;
    }

    #[test]
    fn of_drops_counted_out(known in known(), count in 1_u32..500, x in numbers::<2>()) {
        // The liquid's density counts only where the drop is known by volume.
        let inputs = [
            known.input("drop", x[0]),
            Input::new("density", between(x[1], 750.0, 1300.0), 0.005),
        ];
        hold(&inputs, |inputs| {
            let dosing = Dosing {
                drop: Some(known.drop(inputs[0])),
                density: Some(inputs[1].measured()),
                ..Dosing::new(Asked::Drops(Drops::new(f64::from(count))), LeafBasis::AsWeighed)
            };
            let mut answer = Answer::default();
            answer.figure("mass", &dosing.answer().expect("a dose").mass);
            answer
        })?;
    }

    /// The scatter from drop to drop is an input of its own: √n s₁, beside the
    /// n u(d) of the calibration.
    #[test]
    fn of_a_calibrated_drop_with_its_scatter(
        one in 2e-5..6e-5_f64, u in 0.001..0.02_f64, scatter in 0.005..0.1_f64, count in 1_u32..500,
    ) {
        let mass = Measured::new(DropMass::of_base(one), u * one, 4.0);
        let drop = Drop::calibrated(mass, Some(Scatter { one: DropMass::of_base(scatter * one), dof: 4.0 }));
        let n = f64::from(count);
        let dosing = Dosing {
            drop: Some(drop),
            ..Dosing::new(Asked::Drops(Drops::new(n)), LeafBasis::AsWeighed)
        };
        let given = dosing.answer().expect("a dose").mass;
        let got = given.u();
        let expected = ((n * u * one).powi(2) + n * (scatter * one).powi(2)).sqrt();
        // A handful of roundings.
        prop_assert!((got - expected).abs() <= 1e-14 * expected, "{got} {expected}");
        // Both are from one set of weighings: it has no more degrees of freedom.
        prop_assert!((given.dof() - 4.0).abs() < 1e-12, "{}", given.dof());
    }
}

/// A dry dose carried over to the same leaf: its moisture is one input, used
/// twice, and cancels out.
#[test]
fn the_moisture_of_the_same_leaf_is_one_input() {
    let inputs = [
        Input::new("leaf", 0.01, 0.001),
        Input::new("moisture", 0.12, 0.05),
        Known::ByMass.input("drop", 0.1),
        Input::new("density", 846.0, 0.005),
        Input::new("bottle's loss", 1.6e-4, 0.02),
        Input::new("leaf of the batch", 6.5, 0.001),
    ];
    let case = |basis| DoseCase {
        asked: 0,
        basis,
        known: Known::ByMass,
        batch: 1,
    };
    let answer = dose(case(LeafBasis::Dry), &inputs);
    // Three roundings of the mass.
    let size = answer.best("batch mass");
    assert!(answer.term("batch mass", "moisture").abs() < 1e-15 * size);
    assert!(answer.term("dry dose", "moisture").abs() > 1e-3 * answer.best("dry dose"));
    let plain = dose(case(LeafBasis::AsWeighed), &inputs);
    assert!((plain.best("batch mass") - size).abs() < 1e-15 * size);
}
