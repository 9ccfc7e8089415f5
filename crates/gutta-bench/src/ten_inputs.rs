//! The plan of ten inputs: leaf, moisture, drops, losses and a flavouring, of five
//! shapes.

use gutta::measure::{Formula, Inputs, Measured, Point, Ratio, Real, SI, Scalar, Simulation, Slot};
use uom::si::Units;

struct TenInputs {
    leaf: Slot<Ratio>,
    tare: Slot<Ratio>,
    gross: Slot<Ratio>,
    moisture: Slot<Ratio>,
    method: Slot<Ratio>,
    drop: Slot<Ratio>,
    hand: Slot<Ratio>,
    lost: Slot<Ratio>,
    flavour: Slot<Ratio>,
    wet: Slot<Ratio>,
}

impl Formula for TenInputs {
    type Figures<V: Real>
        = Ratio<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Ratio<V>
    where
        SI<V>: Units<V>,
    {
        let of = |slot: Slot<Ratio>| -> V { inputs.get(slot).value };
        let b = of(self.leaf) + of(self.tare) + of(self.gross);
        let m = of(self.moisture) + of(self.method);
        let d = of(self.drop) + of(self.hand);
        let w = V::exact(412.0) * d * (V::one() - of(self.lost)) / V::exact(1000.0);
        let f = V::exact(95.0) * of(self.flavour) / V::exact(1000.0);
        Ratio::from((b * m + V::exact(100.0) * (w + f * of(self.wet))) / (b + w + f))
    }
}

fn lay() -> (Inputs, TenInputs) {
    let mut inputs = Inputs::new();
    let normal = |best, u| Measured::new(Ratio::of_base(best), u, f64::INFINITY);
    let student = |best, u, dof| Measured::new(Ratio::of_base(best), u, dof);
    let even = |best, half| Measured::rectangular(Ratio::of_base(best), half);
    let plan = TenInputs {
        leaf: inputs.add("leaf", &normal(250.0, 0.02)),
        tare: inputs.add("tare", &even(0.0, 0.005)),
        gross: inputs.add("gross", &even(0.0, 0.005)),
        moisture: inputs.add("moisture", &student(11.20, 0.18, 4.0)),
        method: inputs.add("moisture, method", &even(0.0, 0.25)),
        drop: inputs.add("drop", &student(43.28, 0.27, 9.0)),
        hand: inputs.add("drop, hand", &Measured::triangular(-1.2, 0.0, 1.2)),
        lost: inputs.add("evaporation", &Measured::triangular(0.0, 0.005, 0.02)),
        flavour: inputs.add("drop of flavouring", &normal(24.10, 0.45)),
        wet: inputs.add("water in flavouring", &even(0.10, 0.05)),
    };
    (inputs, plan)
}

/// The plan ready to be run on draws.
pub fn simulation() -> Simulation {
    let (inputs, plan) = lay();
    inputs.simulate(plan, &["moisture"], |f, row| {
        row[0] = f.value;
        true
    })
}

/// The doubt of the plan to first order, and how much of it each input brings.
pub fn budget() -> (f64, usize) {
    let (inputs, plan) = lay();
    let answer: gutta::Estimate<Ratio> = inputs.propagate(&plan).estimate(|f| *f);
    (answer.u(), answer.budget().len())
}
