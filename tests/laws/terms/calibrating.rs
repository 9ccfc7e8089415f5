use gutta::bench::{Calibrating, Dropped, Readings, Weighing};
use gutta::matter::Air;
use gutta::measure::{Mass, Measured, Scalar};
use proptest::prelude::*;

use super::{Answer, Input, between, hold, hold_slopes, numbers};

proptest! {
    #[test]
    fn of_a_calibration(
        by_mark in any::<bool>(), water in any::<bool>(), in_air in any::<bool>(),
        count in 5_u32..100, x in numbers::<5>(),
    ) {
        let mut inputs = vec![if by_mark {
            Input::new("graduate", between(x[0], 2e-8, 6e-8), 0.02)
        } else {
            Input::new("scale", between(x[0], 2e-5, 6e-5), 0.02)
        }];
        if !water {
            inputs.push(Input::new("density", between(x[1], 750.0, 1300.0), 0.005));
        }
        if in_air {
            inputs.extend([
                Input::new("temperature", between(x[2], 278.0, 308.0), 0.002),
                Input::new("air pressure", between(x[3], 80_000.0, 105_000.0), 0.01),
                Input::new("humidity", between(x[4], 0.2, 0.8), 0.1),
            ]);
        }
        hold(&inputs, |inputs| {
            let times = f64::from(count);
            let one = Input { name: "", best: inputs[0].best * times, u: inputs[0].u * times };
            let readings = if by_mark {
                Readings::ToMark(vec![weighing(count, one.measured())])
            } else {
                Readings::Singly(vec![weighing(count, one.measured())])
            };
            let (liquid, room) = if water {
                (Dropped::Water, &inputs[1..])
            } else {
                (Dropped::Other(inputs[1].measured()), &inputs[2..])
            };
            let air = match room {
                [t, p, h] => Some(
                    Air::new(t.measured(), p.measured(), h.measured()).expect("a usual room"),
                ),
                _ => None,
            };
            let got = Calibrating { air, ..Calibrating::new(readings, liquid) };
            let got = got.calibrate().expect("a calibration");
            let mut answer = Answer::default();
            answer.figure("drop mass", &got.drop_mass);
            answer.figure("drop volume", &got.drop_volume);
            answer.figure("drops per volume", &got.drops_per_volume);
            answer
        })?;
    }

    /// Several weighings: the one drop that they find is the input, and its
    /// doubt is their scatter.
    #[test]
    fn of_weighings_that_scatter(one in 2e-5..6e-5, density in 750.0..1300.0, t in 278.0..308.0) {
        let off = [0.01, -0.004, -0.006, 0.003];
        let readings = |one: f64| {
            let weighed = |off: f64| weighing(20, Measured::exact(Mass::of_base(20.0 * one * (1.0 + off))));
            Readings::Singly(off.map(weighed).to_vec())
        };
        // By hand: Σx/ΣN, and s/√k of the four, over 20.
        let mean = off.iter().sum::<f64>() / 4.0;
        let variance = off.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 3.0;
        let scatter = Input {
            name: "scatter of the weighings",
            best: one * (1.0 + mean),
            u: one * (variance / 4.0).sqrt(),
        };
        let inputs = [
            scatter,
            Input::new("density", density, 0.005),
            Input::new("temperature", t, 0.002),
        ];
        hold_slopes(&inputs, |inputs| {
            let [found, density, t] = inputs else { unreachable!("three inputs") };
            let readings = readings(found.best / (1.0 + mean));
            let room = Air::ROOM;
            let air = Air::new(t.measured(), *room.pressure(), *room.humidity());
            let got = Calibrating {
                air: Some(air.expect("a usual room")),
                ..Calibrating::new(readings, Dropped::Other(density.measured()))
            };
            let got = got.calibrate().expect("a calibration");
            let mut answer = Answer::default();
            answer.figure("drop mass", &got.drop_mass);
            answer.figure("drop volume", &got.drop_volume);
            answer.figure("drops per volume", &got.drops_per_volume);
            answer
        })?;
    }
}

fn weighing<Q: Scalar>(drops: u32, amount: Measured<Q>) -> Weighing<Q> {
    Weighing {
        drops,
        amount,
        // Of no account for one weighing.
        last_place: Q::of_base(amount.value().base() * 1e-3),
    }
}
