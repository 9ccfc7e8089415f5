use gutta::bench::{Added, Brought, KnownAddition, LeafWeighed};
use gutta::matter::Part;
use gutta::measure::{Drops, Measured, Scalar};
use gutta::{Composition, Moisture, Watering, WateringPlan};
use proptest::prelude::*;

use super::{Answer, Input, between, hold, known, numbers};

fn water_plan(plan: &WateringPlan) -> Answer {
    let mut answer = Answer::default();
    match plan {
        WateringPlan::Add(plan) => {
            answer.decided = vec![1.0];
            answer.figure("water", &plan.water);
            answer.figure("volume", &plan.volume);
            answer.figure("final mass", &plan.final_mass);
            answer.figure_if("final gross", plan.final_gross.as_ref());
            answer.figure_if("mass at once", plan.mass_at_once.as_ref());
            if let Some(drops) = &plan.drops {
                answer.decided.push(drops.whole.count());
                answer.figure("one drop", &drops.one);
                answer.figure("exact drops", &drops.exact);
                answer.figure("mass of the drops", &drops.mass);
                answer.figure("moisture reached", &drops.moisture);
                answer.figure("final mass by drops", &drops.final_mass);
                answer.figure_if("final gross by drops", drops.final_gross.as_ref());
            }
        }
        WateringPlan::Dry(plan) => {
            answer.decided = vec![-1.0];
            answer.figure("water to lose", &plan.water);
            answer.figure("final mass", &plan.final_mass);
            answer.figure_if("final gross", plan.final_gross.as_ref());
            answer.figure_if("mass at once", plan.mass_at_once.as_ref());
        }
        WateringPlan::Nothing(plan) => {
            answer.decided = vec![0.0];
            answer.figure("moisture", &plan.moisture);
            answer.figure("final mass", &plan.final_mass);
            answer.figure_if("final gross", plan.final_gross.as_ref());
            answer.figure_if("mass at once", plan.mass_at_once.as_ref());
        }
    }
    answer
}

proptest! {
    #[test]
    fn of_a_plan_of_water(x in numbers::<9>(), known in known(), to in 0.06..0.5) {
        let leaf = 10_f64.powf(between(x[0], -3.0, 0.0));
        let inputs = [
            Input::new("leaf", leaf, 0.001),
            Input::new("moisture now", between(x[1], 0.05, 0.25), 0.05),
            Input::new("casing", leaf * between(x[2], 0.01, 0.3), 0.01),
            Input::new("water in casing", between(x[3], 0.1, 0.5), 0.03),
            Input::new("alcohol in casing", between(x[4], 0.05, 0.3), 0.03),
            Input::new("glycol in casing", between(x[5], 0.05, 0.2), 0.03),
            Input::new("tray", between(x[6], 0.1, 1.0), 0.001),
            Input::new("temperature", between(x[7], 278.0, 308.0), 0.002),
            known.input("drop", x[8]),
        ];
        hold(&inputs, |inputs| {
            let [leaf, at, casing, water, alcohol, glycol, tray, temperature, drop] = inputs else {
                unreachable!("nine inputs")
            };
            let composition = Composition::new(&[
                (Part::Water, water.measured()),
                (Part::Alcohol, alcohol.measured()),
                (Part::Glycol, glycol.measured()),
            ]);
            let watering = Watering {
                brought: vec![Brought::weighed("casing", casing.measured(), composition.expect("less than the whole"))],
                tray: Some(tray.measured()),
                temperature: temperature.measured(),
                drop: Some(known.drop(*drop)),
                ..Watering::new(leaf.measured(), at.measured(), Moisture::of_base(to))
            };
            water_plan(&watering.plan().expect("a plan"))
        })?;
    }

    #[test]
    fn of_a_spirit_that_is_brought(x in numbers::<3>(), to in 0.2..0.5) {
        let inputs = [
            Input::new("leaf", between(x[0], 0.1, 1.0), 0.001),
            Input::new("rum", between(x[1], 0.01, 0.05), 0.01),
            Input::new("alcohol in rum", between(x[2], 0.3, 0.6), 0.02),
        ];
        hold(&inputs, |inputs| {
            let at = Measured::exact(Moisture::of_base(0.12));
            let mut watering = Watering::new(inputs[0].measured(), at, Moisture::of_base(to));
            watering.brought.push(Brought::weighed("rum", inputs[1].measured(), Composition::spirit(inputs[2].measured()).expect("a share")));
            water_plan(&watering.plan().expect("a plan"))
        })?;
    }

    #[test]
    fn of_a_known_addition(
        kind in 0..3_usize, direction in 0..3_usize, known in known(), x in numbers::<4>(),
    ) {
        let leaf = between(x[0], 0.1, 1.0);
        let water = leaf * between(x[1], 0.01, 0.1);
        let drops = Drops::new((water / 40e-6).round());
        let inputs = [
            Input::new("leaf", leaf, 0.001),
            Input::new(
                if direction == 0 { "moisture before" } else { "moisture now" },
                between(x[2], 0.15, 0.3),
                0.03,
            ),
            Input::new("temperature", 294.0, 0.002),
            match kind {
                0 => Input::new("water added", water, 0.02),
                1 => Input::new("water added", water * 1e-3, 0.02),
                _ => known.input("drop", x[3]),
            },
        ];
        hold(&inputs, |inputs| {
            let added = match kind {
                0 => Added::Mass(inputs[3].measured()),
                1 => Added::Volume(inputs[3].measured()),
                _ => Added::Drops(drops, known.drop(inputs[3])),
            };
            let question = KnownAddition {
                temperature: inputs[2].measured(),
                ..KnownAddition::new(inputs[0].measured(), inputs[1].measured(), added)
            };
            let got = match direction {
                0 => question.after(),
                1 => question.before(LeafWeighed::Before),
                _ => question.before(LeafWeighed::After),
            };
            let got = got.expect("less water was added than there is");
            let mut answer = Answer::default();
            answer.figure("moisture", &got.moisture);
            answer.figure("mass", &got.mass);
            answer.figure("water", &got.water);
            answer
        })?;
    }
}

/// A plan that rests cannot be moved without a turn, so its slopes are worked
/// out by hand: the mass is that of what lies there, whatever its moisture, and
/// the carrier goes.
#[test]
fn of_a_plan_that_rests() {
    let inputs = [
        Input::new("leaf", 0.34, 0.001),
        Input::new("moisture now", 0.15, 0.05),
        Input::new("rum", 0.02, 0.01),
        Input::new("alcohol in rum", 0.4, 0.02),
        Input::new("tray", 0.6, 0.001),
    ];
    let [leaf, at, rum, alcohol, tray] = &inputs;
    let spirit = Composition::spirit(alcohol.measured()).expect("a share");
    let mut watering = Watering {
        brought: vec![Brought::weighed("rum", rum.measured(), spirit)],
        tray: Some(tray.measured()),
        ..Watering::new(leaf.measured(), at.measured(), Moisture::of_base(0.2))
    };
    let moisture = match watering.plan().expect("a plan") {
        WateringPlan::Add(plan) => plan.pile.moisture(),
        other => panic!("{other:?}"),
    };
    watering.to = moisture;
    let resting = water_plan(&watering.plan().expect("a plan"));
    assert_eq!(resting.decided, [0.0]);
    // In the order of the inputs, for u of each.
    let slopes = [
        ("final mass", [1.0, 0.0, 0.6, -0.02, 0.0]),
        ("final gross", [1.0, 0.0, 0.6, -0.02, 1.0]),
        ("mass at once", [1.0, 0.0, 1.0, 0.0, 0.0]),
    ];
    for (figure, slopes) in slopes {
        for (input, slope) in inputs.iter().zip(slopes) {
            let (got, want) = (resting.term(figure, input.name), slope * input.u);
            // A handful of roundings.
            assert!(
                (got - want).abs() <= 1e-14 * input.u,
                "{figure}, {}: {got} against {want}",
                input.name
            );
        }
    }
    // m M over all that is aired: the slope to m is M over that.
    let aired = leaf.best + 0.6 * rum.best;
    let want = leaf.best / aired * at.u;
    assert!((resting.term("moisture", "moisture now") - want).abs() <= 1e-14 * want);
}
