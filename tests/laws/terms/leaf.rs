use gutta::DryBasis;
use gutta::Estimate;
use gutta::Moisture;
use gutta::matter::sorption::{
    InAir, Isotherm, KeptBy, Leaf, OwnReading, activity, at_temperature, held,
};
use gutta::matter::{Check, Hygrometer, Salt, vapour};
use gutta::measure::{
    Density, Formula, Inputs, Point, Pressure, Ratio, Real, SI, Scalar, Slot, Temperature,
};
use proptest::prelude::*;
use uom::si::Units;

use super::{Answer, Input, between, hold, numbers};

/// Whatever a formula of leaf, salt and vapour takes and yields.
struct Table {
    level: Slot<Ratio>,
    exponent: Slot<Ratio>,
    humidity: Slot<Ratio>,
    held: Slot<DryBasis>,
    from: Slot<Temperature>,
    to: Slot<Temperature>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    held: DryBasis<V>,
    activity: Ratio<V>,
    elsewhere: Ratio<V>,
    pressure: Pressure<V>,
    absolute: Density<V>,
    sensor: Ratio<V>,
    salts: [Ratio<V>; 6],
}

impl Formula for Table {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let (level, exponent) = (point.get(self.level), point.get(self.exponent));
        let humidity = point.get(self.humidity);
        let (from, to) = (point.get(self.from), point.get(self.to));
        Figures {
            held: held(level, exponent, humidity),
            activity: activity(level, exponent, point.get(self.held)),
            elsewhere: at_temperature(humidity, Leaf::Burley.heat(), from, to),
            pressure: vapour::saturation_pressure(from),
            absolute: vapour::absolute_humidity(humidity, from),
            sensor: vapour::humidity_at(humidity, from, to),
            salts: Salt::ALL.map(|salt| salt.relative_humidity(from)),
        }
    }
}

/// An estimate without the term of an input that the test cannot move.
fn without<S: Scalar>(estimate: &Estimate<S>, input: &str) -> Estimate<S> {
    let others = estimate.terms().iter().filter(|term| term.input != input);
    Estimate::new(estimate.best(), others.cloned().collect())
}

/// Away from the ends of the range, so that both sides of a step are in it.
fn humidity(name: &'static str, x: f64) -> Input {
    Input::new(name, between(x, 0.36, 0.74), 0.03)
}

fn temperature(name: &'static str, x: f64) -> Input {
    Input::new(name, between(x, 279.0, 312.0), 0.003)
}

fn leaf() -> impl Strategy<Value = Leaf> {
    prop::sample::select(&Leaf::ALL[..])
}

fn salt() -> impl Strategy<Value = Salt> {
    prop::sample::select(&Salt::ALL[..])
}

proptest! {
    #[test]
    fn of_leaf_salt_and_vapour(x in numbers::<6>()) {
        let inputs = [
            Input::new("level", between(x[0], 0.08, 0.2), 0.1),
            Input::new("exponent", between(x[1], 0.3, 0.8), 0.1),
            humidity("humidity", x[2]),
            Input::new("held", between(x[3], 0.06, 0.3), 0.1),
            temperature("from", x[4]),
            temperature("to", x[5]),
        ];
        hold(&inputs, |given| {
            let mut inputs = Inputs::new();
            let table = Table {
                level: inputs.add("level", &given[0].measured()),
                exponent: inputs.add("exponent", &given[1].measured()),
                humidity: inputs.add("humidity", &given[2].measured()),
                held: inputs.add("held", &given[3].measured()),
                from: inputs.add("from", &given[4].measured()),
                to: inputs.add("to", &given[5].measured()),
            };
            let run = inputs.propagate(&table);
            let mut answer = Answer::default();
            answer.figure::<DryBasis>("held", &run.estimate(|f| f.held));
            answer.figure::<Ratio>("activity", &run.estimate(|f| f.activity));
            answer.figure::<Ratio>("elsewhere", &run.estimate(|f| f.elsewhere));
            answer.figure::<Pressure>("pressure", &run.estimate(|f| f.pressure));
            answer.figure::<Density>("absolute", &run.estimate(|f| f.absolute));
            answer.figure::<Ratio>("sensor", &run.estimate(|f| f.sensor));
            for i in 0..Salt::ALL.len() {
                answer.figure::<Ratio>(Salt::ALL[i].name(), &run.estimate(|f| f.salts[i]));
            }
            answer
        })?;
    }

    #[test]
    fn of_leaf_in_air(leaf in leaf(), x in numbers::<2>()) {
        let inputs = [humidity("relative humidity", x[0]), temperature("temperature", x[1])];
        hold(&inputs, |given| {
            let question =
                InAir::new(Isotherm::of(leaf), given[0].measured(), given[1].measured());
            let moisture = question.moisture().expect("within the range");
            let mut answer = Answer::default();
            answer.figure("moisture", &without(&moisture, "isotherm"));
            answer
        })?;
    }

    #[test]
    fn of_air_that_keeps_leaf(leaf in leaf(), x in numbers::<2>()) {
        // A moisture that keeps 40 to 70 % at 22 °C: within the range from 5 to
        // 40 °C.
        let a = Ratio::of_base(between(x[0], 0.40, 0.69));
        let moisture = held(leaf.level(), leaf.exponent(), a).on_wet_basis();
        let inputs = [
            Input::new("moisture", moisture.base(), 0.05),
            temperature("temperature", x[1]),
        ];
        hold(&inputs, |given| {
            let question =
                KeptBy::new(Isotherm::of(leaf), given[0].measured(), given[1].measured());
            let air = question.humidity().expect("a usual moisture");
            let mut answer = Answer::default();
            let air = air.estimate().expect("within the range");
            answer.figure("humidity", &without(air, "isotherm"));
            answer
        })?;
    }

    /// A curve through an own reading: where and how warm that was read moves
    /// it. What was read shifts it by as many points, which is no slope of the
    /// form: it is held in a case by hand.
    #[test]
    fn of_a_curve_through_an_own_reading(leaf in leaf(), x in numbers::<5>()) {
        let inputs = [
            humidity("relative humidity", x[0]),
            temperature("temperature", x[1]),
            humidity("anchor humidity", x[2]),
            temperature("anchor temperature", x[3]),
        ];
        let read = Input::new("anchor moisture", between(x[4], 0.09, 0.17), 0.0);
        hold(&inputs, |given| {
            let reading = OwnReading {
                humidity: given[2].measured(),
                moisture: read.measured(),
                temperature: given[3].measured(),
            };
            let own = Isotherm::anchored(leaf, reading).expect("a usual reading");
            let question = InAir::new(own, given[0].measured(), given[1].measured());
            let moisture = question.moisture().expect("within the range");
            let mut answer = Answer::default();
            answer.figure("moisture", &without(&moisture, "isotherm"));
            answer
        })?;
    }

    #[test]
    fn of_a_fixed_point(salt in salt(), t in 289.0..302.0) {
        hold(&[Input::new("temperature", t, 0.003)], |given| {
            let air = salt.humidity(&given[0].measured()).expect("within the range");
            let mut answer = Answer::default();
            answer.figure("humidity", &without(&air, "fixed point"));
            answer
        })?;
    }

    #[test]
    fn of_a_hygrometer_put_right(x in numbers::<5>(), is_two in any::<bool>()) {
        let checks = [
            Input::new("shown at the first check", between(x[0], 0.30, 0.38), 0.01),
            Input::new("humidity at the first check", between(x[1], 0.30, 0.34), 0.01),
        ];
        let others = [
            Input::new("shown at the second check", between(x[2], 0.70, 0.80), 0.01),
            Input::new("humidity at the second check", between(x[3], 0.73, 0.77), 0.01),
        ];
        let reading = Input::new("reading", between(x[4], 0.40, 0.68), 0.02);
        let mut inputs = vec![reading];
        inputs.extend(checks);
        if is_two {
            inputs.extend(others);
        }
        hold(&inputs, |given| {
            let check = |i: usize| Check {
                shows: given[i].measured(),
                should: given[i + 1].measured(),
            };
            let mut mine = Hygrometer::checked(check(1)).expect("a usual check");
            if is_two {
                mine = mine.and(check(3)).expect("two usual checks");
            }
            let right = mine.correct(&given[0].measured()).expect("a usual reading");
            let mut answer = Answer::default();
            answer.figure("humidity", &right.humidity);
            // The correction alone is a small difference of large numbers: it is
            // held through the sum that it is in.
            answer
        })?;
    }
}

/// The curve's own term: what the table says, whatever air and temperature.
#[test]
fn of_the_curve_itself() {
    let exact = |x: f64| Input::new("exact", x, 0.0);
    for leaf in Leaf::ALL {
        for rh in [0.35, 0.5, 0.65, 0.68, 0.75] {
            for t in [280.0, 295.15, 310.0] {
                let (humidity, at) = (exact(rh).measured(), exact(t).measured());
                let moisture = InAir::new(Isotherm::of(leaf), humidity, at)
                    .moisture()
                    .unwrap();
                let said = leaf.doubt(Ratio::of_base(rh)).unwrap();
                // The doubt goes through A and back: some roundings.
                assert!((moisture.u() - said).abs() < 1e-13, "{leaf:?} {rh} {t}");
                // The other way round it is that over the slope of the moisture
                // with the humidity.
                let slope = InAir::new(
                    Isotherm::of(leaf),
                    Input {
                        name: "humidity",
                        best: rh,
                        u: 1.0,
                    }
                    .measured(),
                    at,
                )
                .moisture()
                .unwrap();
                let slope = without(&slope, "isotherm").u();
                let held: Moisture = moisture.best();
                // The ends of the range may come back an ulp outside; inside it
                // there is a figure.
                if rh > 0.35 && rh < 0.75 {
                    let leaf_held = exact(held.base()).measured();
                    let air = KeptBy::new(Isotherm::of(leaf), leaf_held, at);
                    let air = air.humidity().unwrap();
                    let u = air.estimate().expect("within the range").u();
                    assert!((u - said / slope).abs() < 1e-12, "{leaf:?} {rh} {t}");
                }
            }
        }
    }
}
