use gutta::Moisture;
use gutta::matter::{Jar, LotOfLeaf, Mixing};
use gutta::measure::Scalar;
use proptest::prelude::*;

use super::{Answer, Input, between, hold, numbers};

proptest! {
    #[test]
    fn of_a_jar_weighed_again(
        x in numbers::<6>(), has_tare in any::<bool>(), was_taken in any::<bool>(),
        was_put in any::<bool>(), to in 0.05..0.3,
    ) {
        let tare = if has_tare { between(x[0], 0.1, 0.6) } else { 0.0 };
        let leaf = between(x[1], 0.2, 0.6);
        let taken = leaf * between(x[4], 0.001, 0.04);
        let put = leaf * between(x[5], 0.05, 0.2);
        let left = if was_taken { leaf - taken } else { leaf } + if was_put { put } else { 0.0 };
        let inputs = [
            Input::new("weighing then", tare + leaf, 1e-4),
            Input::new("moisture then", between(x[2], 0.12, 0.25), 0.03),
            Input::new("weighing now", tare + left * between(x[3], 0.92, 0.98), 1e-4),
            Input::new("tare", between(x[0], 0.1, 0.6), 1e-4),
            Input::new("leaf taken", taken, 1e-3),
            Input::new("leaf put in", put, 1e-3),
            Input::new("moisture of leaf put in", between(x[2], 0.15, 0.2), 0.02),
        ];
        hold(&inputs, |inputs| {
            let [then, at, now, tare, taken, put, put_at] = inputs else { unreachable!("seven inputs") };
            let jar = Jar {
                tare: has_tare.then(|| tare.measured()),
                taken: was_taken.then(|| taken.measured()),
                put: was_put.then(|| LotOfLeaf { mass: put.measured(), at: put_at.measured() }),
                to: Some(Moisture::of_base(to)),
                ..Jar::new(then.measured(), at.measured(), now.measured())
            };
            let weighed = jar.weighed().expect("a jar");
            let mut answer = Answer::default();
            answer.figure("moisture", &weighed.moisture);
            answer.figure("dry matter", &weighed.dry_matter);
            answer.figure("net", &weighed.net);
            answer.figure("lost", &weighed.lost);
            answer.figure_if("water", weighed.water.as_ref());
            answer.figure_if("reading", weighed.reading.as_ref());
            answer
        })?;
    }

    #[test]
    fn of_two_lots_to_a_moisture(x in numbers::<5>()) {
        let (dry, moist) = (between(x[0], 0.06, 0.1), between(x[1], 0.18, 0.25));
        // Far enough from either lot: what a step of 1e-5 of a moisture leaves is
        // its square over the square of that gap, 2e-9.
        let to = dry + (moist - dry) * between(x[2], 0.3, 0.7);
        let inputs = [
            Input::new("lot 1", between(x[3], 0.1, 2.0), 1e-3),
            Input::new("moisture of lot 1", dry, 0.02),
            Input::new("lot 2", between(x[4], 0.1, 2.0), 1e-3),
            Input::new("moisture of lot 2", moist, 0.02),
        ];
        hold(&inputs, |inputs| {
            let lot = |mass: Input, at: Input| LotOfLeaf { mass: mass.measured(), at: at.measured() };
            let mixing = Mixing {
                lots: vec![lot(inputs[0], inputs[1]), lot(inputs[2], inputs[3])],
                to: Some(Moisture::of_base(to)),
            };
            let mixed = mixing.mixed().expect("lots");
            let mut answer = Answer::default();
            let (scarcer, more) = mixed.short_of.as_ref().expect("neither lot is at the moisture");
            answer.decided = vec![*scarcer as f64];
            answer.figure("moisture", &mixed.moisture);
            answer.figure("mass", &mixed.mass);
            answer.figure_if("water", mixed.water.as_ref());
            let parts = mixed.parts.as_ref().expect("two lots");
            answer.figure("part 1", &parts[0]);
            answer.figure("part 2", &parts[1]);
            answer.figure("short of", more);
            answer
        })?;
    }
}

/// The parts that are taken are within what is there, use one lot up, and make
/// the moisture wanted.
#[test]
fn parts_are_within_what_is_there() {
    for (a, b) in [(0.46, 0.29), (0.1, 3.0), (3.0, 0.1)] {
        for t in [0.096, 0.11, 0.13, 0.15, 0.178] {
            let lot = |kg: f64, m: f64| LotOfLeaf {
                mass: gutta::Measured::exact(Scalar::of_base(kg)),
                at: gutta::Measured::exact(Moisture::of_base(m)),
            };
            let mixing = Mixing {
                lots: vec![lot(a, 0.096), lot(b, 0.178)],
                to: Some(Moisture::of_base(t)),
            };
            let mixed = mixing.mixed().expect("lots");
            let parts: Vec<f64> = mixed
                .parts
                .expect("two lots")
                .iter()
                .map(|p| p.best().base())
                .collect();
            // A handful of roundings.
            let eps = 1e-12;
            assert!(parts[0] >= -eps && parts[0] <= a + eps, "{t}: {parts:?}");
            assert!(parts[1] >= -eps && parts[1] <= b + eps, "{t}: {parts:?}");
            assert!((parts[0] - a).abs() < eps || (parts[1] - b).abs() < eps);
            let water = parts[0] * 0.096 + parts[1] * 0.178;
            assert!(
                (water - t * (parts[0] + parts[1])).abs() < eps,
                "{t}: {parts:?}"
            );
        }
    }
}
