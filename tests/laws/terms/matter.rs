use gutta::matter::{Fractions, air, alcohol, dish, water};
use gutta::measure::{
    Density, DropMass, DropVolume, DropsPerVolume, Formula, Inputs, Mass, Measured, Point,
    Pressure, Ratio, Real, SI, Scalar, Slot, Temperature, combine,
};
use gutta::{DryBasis, Estimate, Moisture, Pile};
use proptest::prelude::*;
use uom::si::Units;
use uom::si::specific_volume::SpecificVolume;

use super::{Answer, Input, between, hold, hold_slopes, numbers};

/// Two lots of leaf and a liquid, with everything that is done to a pile.
struct Table {
    leaf: [Slot<Mass>; 2],
    at: [Slot<Moisture>; 2],
    liquid: Slot<Mass>,
    parts: [Slot<Ratio>; 3],
    taken: Slot<Ratio>,
    water: Slot<Mass>,
    to: Slot<Moisture>,
}

struct OnTable<V: Real>
where
    SI<V>: Units<V>,
{
    together: Pile<V>,
    taken: Pile<V>,
    wetted: Pile<V>,
    brought_to: Pile<V>,
}

impl Formula for Table {
    type Figures<V: Real>
        = OnTable<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> OnTable<V>
    where
        SI<V>: Units<V>,
    {
        let lot = |i: usize| Pile::leaf(point.get(self.leaf[i]), point.get(self.at[i]));
        let fractions = Fractions {
            water: point.get(self.parts[0]),
            carrier: point.get(self.parts[1]),
            humectant: point.get(self.parts[2]),
        };
        let together = lot(0)
            .mix(lot(1))
            .with_liquid(point.get(self.liquid), fractions);
        let taken = together.share(point.get(self.taken));
        let wetted = taken.with_water(point.get(self.water)).aired();
        OnTable {
            together,
            taken,
            wetted,
            brought_to: wetted.at_moisture(point.get(self.to)),
        }
    }
}

/// The volume of a liquid by what a balance shows in air.
struct PerReading {
    liquid: Slot<Density>,
    air: Slot<Density>,
}

impl Formula for PerReading {
    type Figures<V: Real>
        = SpecificVolume<SI<V>, V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> SpecificVolume<SI<V>, V>
    where
        SI<V>: Units<V>,
    {
        air::volume_per_reading(point.get(self.liquid), point.get(self.air))
    }
}

/// Water lost in the oven over net wet mass: tare, wet and dry, read once each.
struct Dish {
    tare: Slot<Mass>,
    wet: Slot<Mass>,
    dry: Slot<Mass>,
}

impl Formula for Dish {
    type Figures<V: Real>
        = Moisture<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Moisture<V>
    where
        SI<V>: Units<V>,
    {
        let wet = point.get(self.wet);
        Moisture::of(wet - point.get(self.dry), wet - point.get(self.tare))
    }
}

/// What is known of water, air, spirit, moisture and drops by a formula of its
/// own.
struct Known {
    temperature: Slot<Temperature>,
    pressure: Slot<Pressure>,
    humidity: Slot<Ratio>,
    wet: Slot<Moisture>,
    dry: Slot<DryBasis>,
    spirit: Slot<Ratio>,
    rate: Slot<DropsPerVolume>,
}

struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    water: Density<V>,
    air: Density<V>,
    on_dry: DryBasis<V>,
    on_wet: Moisture<V>,
    dry_share: Ratio<V>,
    spirit: Density<V>,
    strength: Ratio<V>,
    drop: DropVolume<V>,
    mass: DropMass<V>,
    back: DropVolume<V>,
    rate: DropsPerVolume<V>,
}

impl Formula for Known {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let temperature = point.get(self.temperature);
        let (wet, spirit) = (point.get(self.wet), point.get(self.spirit));
        let water = water::density(temperature);
        let drop = point.get(self.rate).drop_volume();
        let mass = drop * water;
        let density = alcohol::density(spirit, temperature);
        Figures {
            water,
            air: air::density(
                temperature,
                point.get(self.pressure),
                point.get(self.humidity),
            ),
            on_dry: wet.on_dry_basis(),
            on_wet: point.get(self.dry).on_wet_basis(),
            dry_share: wet.dry_share(),
            spirit: density,
            strength: alcohol::share_by_volume(spirit),
            drop,
            mass,
            back: mass / density,
            rate: drop.rate(),
        }
    }
}

proptest! {
    #[test]
    fn of_what_a_formula_of_its_own_knows(x in numbers::<7>()) {
        let inputs = [
            Input::new("temperature", between(x[0], 275.0, 312.0), 0.002),
            Input::new("pressure", between(x[1], 60_000.0, 110_000.0), 0.01),
            Input::new("humidity", between(x[2], 0.05, 1.0), 0.1),
            Input::new("wet", between(x[3], 0.02, 0.6), 0.03),
            Input::new("dry", between(x[4], 0.02, 1.5), 0.03),
            // Towards pure alcohol terms of 7·10⁵ cancel to 10³: half a digit
            // too much of the difference is rounding.
            Input::new("spirit", between(x[5], 0.05, 0.7), 0.02),
            Input::new("rate", between(x[6], 15e6, 50e6), 0.02),
        ];
        hold(&inputs, |given| {
            let mut inputs = Inputs::new();
            let mut add = Adder { inputs: &mut inputs, given: given.iter() };
            let known = Known {
                temperature: add.next(),
                pressure: add.next(),
                humidity: add.next(),
                wet: add.next(),
                dry: add.next(),
                spirit: add.next(),
                rate: add.next(),
            };
            let run = inputs.propagate(&known);
            let mut answer = Answer::default();
            answer.figure::<Density>("water", &run.estimate(|f| f.water));
            answer.figure::<Density>("air", &run.estimate(|f| f.air));
            answer.figure::<DryBasis>("on dry basis", &run.estimate(|f| f.on_dry));
            answer.figure::<Moisture>("on wet basis", &run.estimate(|f| f.on_wet));
            answer.figure::<Ratio>("dry share", &run.estimate(|f| f.dry_share));
            answer.figure::<Density>("spirit", &run.estimate(|f| f.spirit));
            answer.figure::<Ratio>("strength", &run.estimate(|f| f.strength));
            answer.figure::<DropVolume>("drop", &run.estimate(|f| f.drop));
            answer.figure::<DropMass>("mass", &run.estimate(|f| f.mass));
            answer.figure::<DropVolume>("back", &run.estimate(|f| f.back));
            answer.figure::<DropsPerVolume>("rate", &run.estimate(|f| f.rate));
            answer
        })?;
    }

    #[test]
    fn of_all_that_is_done_to_a_pile(x in numbers::<11>()) {
        let inputs = [
            Input::new("one", between(x[0], 0.1, 1.0), 0.01),
            Input::new("other", between(x[1], 0.1, 1.0), 0.01),
            Input::new("at", between(x[2], 0.05, 0.25), 0.05),
            Input::new("other at", between(x[3], 0.05, 0.25), 0.05),
            Input::new("liquid", between(x[4], 0.01, 0.2), 0.02),
            Input::new("water", between(x[5], 0.1, 0.4), 0.03),
            Input::new("carrier", between(x[6], 0.1, 0.3), 0.03),
            Input::new("humectant", between(x[7], 0.05, 0.2), 0.03),
            Input::new("taken", between(x[8], 0.1, 0.9), 0.01),
            Input::new("more", between(x[9], 0.01, 0.1), 0.02),
            Input::new("to", between(x[10], 0.1, 0.4), 0.02),
        ];
        hold(&inputs, |given| {
            let mut inputs = Inputs::new();
            let mut add = Adder { inputs: &mut inputs, given: given.iter() };
            let table = Table {
                leaf: [add.next(), add.next()],
                at: [add.next(), add.next()],
                liquid: add.next(),
                parts: [add.next(), add.next(), add.next()],
                taken: add.next(),
                water: add.next(),
                to: add.next(),
            };
            let run = inputs.propagate(&table);
            let mut answer = Answer::default();
            answer.figure::<Moisture>("moisture", &run.estimate(|f| f.together.moisture()));
            answer.figure::<Mass>("carrier", &run.estimate(|f| f.together.carrier()));
            answer.figure::<Mass>("solids", &run.estimate(|f| f.together.solids()));
            answer.figure::<Mass>("humectant", &run.estimate(|f| f.taken.humectant()));
            answer.figure::<Mass>("dry leaf", &run.estimate(|f| f.taken.dry_leaf()));
            answer.figure::<Moisture>("wetted", &run.estimate(|f| f.wetted.moisture()));
            answer.figure::<Mass>("total", &run.estimate(|f| f.brought_to.total()));
            answer.figure::<Moisture>("brought to", &run.estimate(|f| f.brought_to.moisture()));
            answer
        })?;
    }

    #[test]
    fn of_a_reading_in_air(liquid in 700.0..1400.0, air in 0.9..1.3) {
        let inputs = [
            Input::new("liquid", liquid, 0.01),
            Input::new("air", air, 0.05),
        ];
        hold(&inputs, |given| {
            let mut inputs = Inputs::new();
            let mut add = Adder { inputs: &mut inputs, given: given.iter() };
            let formula = PerReading { liquid: add.next(), air: add.next() };
            let mut answer = Answer::default();
            let run = inputs.propagate(&formula);
            answer.figure::<SpecificVolume<SI<f64>, f64>>("volume", &run.estimate(|v| *v));
            answer
        })?;
    }

    /// What the steps of a scale leave in doubt of an oven dish, written out by
    /// the library, against its three roundings put through the formula.
    #[test]
    fn of_an_oven_dish(
        at in 0.02..0.6, net in 1e-3..2e-2, tare in 5e-3..5e-2, division in 1e-6..1e-4,
    ) {
        let rounded = |mass: f64| Measured::<Mass>::rectangular(Mass::of_base(mass), division / 2.0);
        let mut inputs = Inputs::new();
        let by_readings = Dish {
            tare: inputs.add("tare", &rounded(tare)),
            wet: inputs.add("wet", &rounded(tare + net)),
            dry: inputs.add("dry", &rounded(tare + net * (1.0 - at))),
        };
        let expected: Estimate<Moisture> = inputs.propagate(&by_readings).estimate(|m| *m);
        let got = dish(Moisture::of_base(at), Mass::of_base(net), Mass::of_base(division));
        // The masses are differences of sums with the tare: a few digits go.
        prop_assert!((got.value().base() - expected.best().base()).abs() <= 1e-12);
        prop_assert!((got.u() - expected.u()).abs() <= 1e-11 * got.u());
    }

    #[test]
    fn of_spirit(strength in 0.05..0.95) {
        // The way from volume to mass is found by halving: its slope is checked
        // against the halving itself, which ends at the last bit.
        hold_slopes(&[Input::new("strength", strength, 0.01)], |inputs| {
            let mut answer = Answer::default();
            let share = alcohol::share_by_mass(&inputs[0].measured()).expect("a strength");
            answer.figure("share by mass", &share.estimate("strength"));
            answer
        })?;
    }

    #[test]
    fn of_estimates_brought_together(x in numbers::<3>()) {
        // Their weights are exact: only the values move.
        let inputs = [
            Input::new("oven", between(x[0], 0.10, 0.14), 0.05),
            Input::new("jar", between(x[1], 0.10, 0.14), 0.03),
            Input::new("feel", between(x[2], 0.10, 0.14), 0.20),
        ];
        hold_slopes(&inputs, |inputs| {
            let named = [0, 1, 2].map(|i| (inputs[i].name, inputs[i].measured::<Moisture>()));
            let got = combine(&named).expect("all three are in doubt");
            let mut answer = Answer::default();
            answer.figure("as if agreed", &got.as_if_agreed);
            answer
        })?;
    }
}

/// Hands inputs over one after another.
struct Adder<'a, I> {
    inputs: &'a mut Inputs,
    given: I,
}

impl<'a, I: Iterator<Item = &'a Input>> Adder<'_, I> {
    fn next<S: Scalar>(&mut self) -> Slot<S> {
        let input = self.given.next().expect("an input for every slot");
        self.inputs.add(input.name, &input.measured::<S>())
    }
}
