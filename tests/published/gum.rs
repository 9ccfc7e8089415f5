//! Worked examples of the Guide (JCGM 100), its Supplement 1 (JCGM 101),
//! EURACHEM/CITAC and NPL: first order, groups of readings, and draws.
//!
//! The inputs are as published; results and tolerances are rows of
//! `reference-data/uncertainty/gum-examples.csv`. A simulated result carries the
//! noise of its run: four standard deviations of the statistic are added to the
//! tolerance of the row, once for our run and once for the run it is from where
//! that was one too.

use std::cell::RefCell;
use std::collections::BTreeSet;

use gutta::Estimate;
use gutta::measure::{
    Formula, Inputs, LANES, Linear, Measured, Point, Ratio, Real, SI, Scalar, Shape, Slot, Spread,
    Verdict, means_with_covariance, student_quantile,
};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};
use uom::si::Units;

/// Draws of a Monte Carlo check: a second of work in a debug build.
const DRAWS: usize = 400_000;

/// The rows of one example, and which of them were held.
struct Example {
    rows: Vec<Row>,
    held: RefCell<BTreeSet<String>>,
}

impl Example {
    fn of(id: &str) -> Self {
        let rows = table("uncertainty/gum-examples.csv").into_iter();
        Self {
            rows: rows.filter(|row| row.text("id") == id).collect(),
            held: RefCell::default(),
        }
    }

    #[track_caller]
    fn row(&self, quantity: &str) -> &Row {
        let mut rows = self.rows.iter();
        rows.find(|row| row.text("quantity") == quantity)
            .unwrap_or_else(|| panic!("no {quantity}"))
    }

    fn value(&self, quantity: &str) -> f64 {
        self.row(quantity).number("value")
    }

    /// Holds a figure against its row, within the tolerance of the row.
    #[track_caller]
    fn check(&self, quantity: &str, got: f64) {
        let tolerance = self.row(quantity).number("tolerance");
        self.hold(quantity, got, tolerance);
    }

    /// The same for a simulated figure: four standard deviations of it are added.
    #[track_caller]
    fn check_drawn(&self, quantity: &str, got: f64, noise: f64) {
        // Empty where the row leaves it all to the noise.
        let tolerance = match self.row(quantity).text("tolerance") {
            "" => 0.0,
            _ => self.row(quantity).number("tolerance"),
        };
        self.hold(quantity, got, tolerance + 4.0 * noise);
    }

    #[track_caller]
    fn hold(&self, quantity: &str, got: f64, tolerance: f64) {
        let row = self.row(quantity);
        assert!(row.agrees(), "{row} must not come out");
        let what = format!("{row} {quantity}");
        assert_close(&what, got, row.number("value"), tolerance);
        self.held.borrow_mut().insert(quantity.to_owned());
    }

    /// Holds that a figure is not the wrong one of a row, and that `wrong` is.
    #[track_caller]
    fn check_not(&self, quantity: &str, got: f64, wrong: f64) {
        let row = self.row(quantity);
        assert!(!row.agrees(), "{row} is right");
        let (value, tolerance) = (row.number("value"), row.number("tolerance"));
        assert_close(&row.to_string(), wrong, value, tolerance);
        assert!((got - value).abs() > tolerance, "{row}: {got}");
        self.held.borrow_mut().insert(quantity.to_owned());
    }

    /// Holds that no row was passed over but these.
    #[track_caller]
    fn finish(&self, but: &[&str]) {
        let rows = self.rows.iter().map(|row| row.text("quantity"));
        let rows: BTreeSet<&str> = rows.filter(|quantity| !but.contains(quantity)).collect();
        let held = self.held.borrow();
        assert_eq!(
            held.iter().map(String::as_str).collect::<BTreeSet<_>>(),
            rows
        );
    }
}

/// Declares a formula of plain numbers over named slots.
macro_rules! model {
    ($name:ident($($slot:ident),+) = $body:expr) => {
        #[derive(Clone, Copy)]
        struct $name {
            $($slot: Slot<Ratio>,)+
        }

        impl Formula for $name {
            type Figures<V: Real>
                = Ratio<V>
            where
                SI<V>: Units<V>;

            fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Ratio<V>
            where
                SI<V>: Units<V>,
            {
                $(let $slot: V = inputs.get(self.$slot).value;)+
                Ratio::from($body)
            }
        }
    };
}

fn normal(best: f64, u: f64) -> Measured<Ratio> {
    Measured::new(Ratio::of_base(best), u, f64::INFINITY)
}

fn rectangular(best: f64, half: f64) -> Measured<Ratio> {
    Measured::rectangular(Ratio::of_base(best), half)
}

fn estimate<F: for<'a> Formula<Figures<Linear<LANES>> = Ratio<Linear<LANES>>>>(
    inputs: &Inputs,
    formula: &F,
) -> Estimate<Ratio> {
    inputs.propagate(formula).estimate(|x| *x)
}

/// What the draws of one figure say.
fn draws<F>(inputs: &Inputs, formula: F) -> Spread
where
    F: Formula<Figures<f64> = Ratio> + Send + Sync + 'static,
{
    let simulation = inputs.simulate(formula, &["y"], |y, row| {
        row[0] = y.value;
        true
    });
    let (mut columns, outside) = simulation.columns(DRAWS, 2026);
    assert_eq!(outside, 0);
    Spread::of(&mut columns[0])
}

/// The part of an estimate's doubt that inputs of a name bring.
fn part(estimate: &Estimate<Ratio>, names: &[&str]) -> f64 {
    estimate
        .terms()
        .iter()
        .filter(|t| names.contains(&&*t.input))
        .map(|t| t.contribution.powi(2))
        .sum::<f64>()
        .sqrt()
}

model!(Standard(m, p, v, repeat, warm) = V::exact(1000.0) * m * p / (v + repeat + warm));

/// EURACHEM/CITAC, A1: a calibration standard.
#[test]
fn a_calibration_standard() {
    let example = Example::of("QUAM-A1");
    let mut inputs = Inputs::new();
    let standard = Standard {
        m: inputs.add("mass", &normal(100.28, 0.05)),
        p: inputs.add("purity", &rectangular(0.9999, 0.0001)),
        v: inputs.add("flask", &Measured::triangular(99.9, 100.0, 100.1)),
        repeat: inputs.add("repeatability", &normal(0.0, 0.02)),
        warm: inputs.add("temperature", &rectangular(0.0, 0.084)),
    };
    let c = estimate(&inputs, &standard);
    example.check("concentration", c.best().value);
    example.check("u", c.u());
    let volume = part(&c, &["flask", "repeatability", "temperature"]);
    example.check("u_of_volume", volume);
    example.check("u_of_mass", part(&c, &["mass"]));
    example.check("u_of_purity", part(&c, &["purity"]));
    example.finish(&[]);
}

model!(
    Titration(r, m, tare, gross, p, molar, v, repeat) =
        r * V::exact(1000.0) * (m + gross - tare) * p / (molar * (v + repeat))
);

/// EURACHEM/CITAC, A2: a titration with a weighed standard, tare and gross.
#[test]
fn a_titration() {
    let example = Example::of("QUAM-A2");
    let mut inputs = Inputs::new();
    let titration = Titration {
        r: inputs.add("repeatability", &normal(1.0, 0.0005)),
        m: inputs.add("mass", &Measured::exact(Ratio::of_base(0.3888))),
        tare: inputs.add("tare", &rectangular(0.0, 0.000_15)),
        gross: inputs.add("gross", &rectangular(0.0, 0.000_15)),
        p: inputs.add("purity", &rectangular(1.0, 0.0005)),
        molar: inputs.add("molar mass", &normal(204.2212, 0.003_765_3)),
        v: inputs.add("burette", &Measured::triangular(18.61, 18.64, 18.67)),
        repeat: inputs.add("temperature", &normal(0.0, 0.006)),
    };
    let c = estimate(&inputs, &titration);
    example.check("concentration", c.best().value);
    example.check("u", c.u());
    example.check("u_of_volume", part(&c, &["burette", "temperature"]));
    example.check("u_of_repeatability", part(&c, &["repeatability"]));
    example.check("u_of_mass", part(&c, &["tare", "gross"]));
    example.check("u_of_purity", part(&c, &["purity"]));
    example.finish(&[]);
}

model!(
    Gauge(ls, d, d1, d2, alpha, dalpha, dtheta, theta, swing) =
        ls + d + d1 + d2 - ls * (dalpha * (theta + swing) + alpha * dtheta)
);

fn gauge(inputs: &mut Inputs, dof: impl Fn(f64) -> f64) -> Gauge {
    let with = |m: Measured<Ratio>, nu: f64| {
        Measured::new(m.value(), m.u(), dof(nu)).with_shape(m.shape())
    };
    Gauge {
        ls: inputs.add("standard", &with(normal(50_000_623.0, 25.0), 18.0)),
        d: inputs.add("mean difference", &with(normal(215.0, 5.8), 24.0)),
        d1: inputs.add("random effects", &with(normal(0.0, 3.9), 5.0)),
        d2: inputs.add("systematic effects", &with(normal(0.0, 6.7), 8.0)),
        alpha: inputs.add("expansion", &rectangular(11.5e-6, 2e-6)),
        dalpha: inputs.add(
            "difference of expansion",
            &with(rectangular(0.0, 1e-6), 50.0),
        ),
        dtheta: inputs.add(
            "difference of temperature",
            &with(rectangular(0.0, 0.05), 2.0),
        ),
        theta: inputs.add("mean temperature", &normal(-0.1, 0.2)),
        swing: inputs.add(
            "swing of temperature",
            &normal(0.0, 0.5 / 2.0_f64.sqrt()).with_shape(Shape::Arcsine),
        ),
    }
}

/// JCGM 100, H.1: an end gauge; effective degrees of freedom truncated.
#[test]
fn an_end_gauge() {
    let example = Example::of("GUM-H1");
    let mut inputs = Inputs::new();
    let formula = gauge(&mut inputs, |nu| nu);
    let l = estimate(&inputs, &formula);
    example.check("length", l.best().value);
    example.check("u", l.u());
    let names = ["mean difference", "random effects", "systematic effects"];
    example.check("u_of_difference", part(&l, &names));
    example.check("effective_degrees", l.dof());
    let u99 = student_quantile(0.995, l.dof().floor()) * l.u();
    example.check("U99", u99);
    example.finish(&["u_second_order"]);
}

/// H.1.7: terms of second order raise u from 32 to 34 nm. The draws have them
/// all; degrees of freedom are left out, as the Guide's variances do.
#[test]
fn an_end_gauge_to_second_order() {
    let example = Example::of("GUM-H1");
    let mut inputs = Inputs::new();
    let formula = gauge(&mut inputs, |_| f64::INFINITY);
    let spread = draws(&inputs, formula);
    let expected = example.value("u_second_order");
    // The standard deviation of u is about u/√(2n).
    let noise = expected / (2.0 * DRAWS as f64).sqrt();
    example.check_drawn("u_second_order", spread.u, noise);
    // First order misses 2 nm: four times the noise is far below that.
    assert!(spread.u - 31.664 > 8.0 * noise, "{}", spread.u);
}

/// cos x and sin x by their series, in the arithmetic under test; exact to
/// rounding for the angles here.
fn cos_sin<V: Real>(x: V) -> (V, V) {
    let (mut cos, mut sin) = (V::zero(), V::zero());
    let mut term = V::one();
    for k in 0..24_u32 {
        let sign = if (k / 2) % 2 == 0 { 1.0 } else { -1.0 };
        if k % 2 == 0 {
            cos += term * V::exact(sign);
        } else {
            sin += term * V::exact(sign);
        }
        term = term * x / V::exact(f64::from(k + 1));
    }
    (cos, sin)
}

model!(Resistance(v, i, phi) = v / i * cos_sin(phi).0);
model!(Reactance(v, i, phi) = v / i * cos_sin(phi).1);
model!(
    Impedance(v, i, phi) = {
        let _ = phi;
        v / i
    }
);

/// JCGM 100, H.2: voltage, current and phase read together, five times.
#[test]
fn readings_taken_together() {
    let example = Example::of("GUM-H2");
    let voltage = [5.007, 4.994, 5.005, 4.990, 4.999];
    let current = [19.663, 19.639, 19.640, 19.685, 19.678].map(|i| i / 1000.0);
    let phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
    let (means, covariance) = means_with_covariance(&[&voltage, &current, &phase]);
    let means: Vec<Ratio> = means.into_iter().map(Ratio::of_base).collect();
    let mut inputs = Inputs::new();
    let slots = inputs
        .add_group("readings", &means, &covariance, 4.0)
        .unwrap();
    let [v, i, phi] = slots[..] else {
        panic!("three slots")
    };
    let all = [
        estimate(&inputs, &Resistance { v, i, phi }),
        estimate(&inputs, &Reactance { v, i, phi }),
        estimate(&inputs, &Impedance { v, i, phi }),
    ];
    for (name, estimate) in ["R", "X", "Z"].iter().zip(&all) {
        example.check(name, estimate.best().value);
        example.check(&format!("u_{name}"), estimate.u());
        // One set of five readings: four degrees of freedom, not twelve.
        assert_close(name, estimate.dof(), 4.0, 1e-9);
    }
    example.check("u_X_printed", all[1].u());
    let correlation = |a: &Estimate<Ratio>, b: &Estimate<Ratio>| {
        let products = a.terms().iter().zip(b.terms());
        products
            .map(|(a, b)| a.contribution * b.contribution)
            .sum::<f64>()
            / (a.u() * b.u())
    };
    let [r, x, z] = &all;
    example.check("r_RX", correlation(r, x));
    example.check("r_RZ", correlation(r, z));
    example.check("r_XZ", correlation(x, z));
    example.finish(&[]);
}

model!(FourTerms(a, b, c, d) = a + b + c + d);

/// The noise of an end of the shortest interval, in units of u: n^(−1/3), as for
/// any shortest half (Grübel 1988, from memory).
fn noise_of_ends() -> f64 {
    (DRAWS as f64).powf(-1.0 / 3.0)
}

/// JCGM 101, 9.2.2 and 9.2.3: four normal, four rectangular inputs.
#[test]
fn sums_of_four() {
    let noise_u = 2.0 / (2.0 * DRAWS as f64).sqrt();
    for (id, input) in [
        ("S1-9.2.2", normal(0.0, 1.0)),
        ("S1-9.2.3", rectangular(0.0, 3.0_f64.sqrt())),
    ] {
        let example = Example::of(id);
        let mut inputs = Inputs::new();
        let sum = FourTerms {
            a: inputs.add("a", &input),
            b: inputs.add("b", &input),
            c: inputs.add("c", &input),
            d: inputs.add("d", &input),
        };
        let first_order = estimate(&inputs, &sum);
        example.check("u", first_order.u());
        let spread = draws(&inputs, sum);
        example.check_drawn("u", spread.u, noise_u);
        let (low, high) = spread.shortest_95;
        // A quantile at 2.5 or 97.5 % has the noise u √(p(1 − p)/n)/0.0584, the
        // density there being that of a normal figure (of four rectangles it is
        // a tenth higher); half the way between two of them has 1/√2 of it.
        let quantile = 2.0 * (0.025 * 0.975 / DRAWS as f64).sqrt() / 0.0584;
        let half_width = (high - low) / 2.0;
        example.check_drawn("half_width_95", half_width, quantile / 2.0_f64.sqrt());
        if id == "S1-9.2.3" {
            // First order takes a sum of four rectangles for normal.
            let normal = first_order.measured().half_width_95();
            example.check_not("half_width_95_first_order", half_width, normal);
        }
        assert_eq!(
            spread.confirms(0.0, first_order.u(), f64::INFINITY),
            Verdict::Holds
        );
        example.finish(&[]);
    }
}

model!(
    MassStandard(mrc, dmrc, ra, rw, rr) = {
        let nominal = V::exact(100_000.0);
        let buoyancy = (ra - V::exact(1.2)) * (V::one() / rw - V::one() / rr);
        // The difference from the nominal, without the loss of digits.
        (mrc - nominal) + dmrc + (mrc + dmrc) * buoyancy
    }
);

/// JCGM 101, 9.3: a mass calibration whose first-order sum misses 29 % of u.
#[test]
fn a_mass_calibration() {
    let example = Example::of("S1-9.3");
    let mut inputs = Inputs::new();
    let standard = MassStandard {
        mrc: inputs.add("reference", &normal(100_000.0, 0.050)),
        dmrc: inputs.add("small weight", &normal(1.234, 0.020)),
        ra: inputs.add("air", &rectangular(1.20, 0.10)),
        rw: inputs.add("weight", &rectangular(8000.0, 1000.0)),
        rr: inputs.add("reference density", &rectangular(8000.0, 50.0)),
    };
    let first_order = estimate(&inputs, &standard);
    example.check("u_first_order", first_order.u());
    let spread = draws(&inputs, standard);
    let u = example.value("u");
    let n = DRAWS as f64;
    example.check_drawn("mean", spread.mean, u / n.sqrt());
    example.check_drawn("u", spread.u, u / (2.0 * n).sqrt());
    let ends = u * noise_of_ends();
    example.check_drawn("low_95", spread.shortest_95.0, ends);
    example.check_drawn("high_95", spread.shortest_95.1, ends);
    let verdict = spread.confirms(first_order.best().value, first_order.u(), f64::INFINITY);
    assert_eq!(verdict, Verdict::Fails);
    // The printed u of the supplement is from memory: kept beside, not held.
    example.finish(&["u_published"]);
}

model!(Logarithm(x) = x.ln());

/// NPL: the logarithm of a rectangular input; first order is biased.
#[test]
fn a_logarithm() {
    let example = Example::of("NPL-log");
    let mut inputs = Inputs::new();
    let log = Logarithm {
        x: inputs.add("x", &rectangular(0.6, 0.5)),
    };
    let first_order = estimate(&inputs, &log);
    example.check("first_order", first_order.best().value);
    example.check("u_first_order", first_order.u());
    let spread = draws(&inputs, log);
    let n = DRAWS as f64;
    let u = example.value("u");
    example.check_drawn("mean", spread.mean, u / n.sqrt());
    // Kurtosis about 5: the variance of s² is (κ − 1)/n.
    example.check_drawn("u", spread.u, u * (4.0 / n).sqrt() / 2.0);
    // The upper end is the largest draw: the last 1/n of the range.
    example.check_drawn("high_95", spread.shortest_95.1, 1.0 / n);
    // The lower end is the 5 % quantile, density e^y there.
    let density = (-1.8971_f64).exp();
    let noise = (0.05 * 0.95 / n).sqrt() / density;
    example.check_drawn("low_95", spread.shortest_95.0, noise);
    let verdict = spread.confirms(first_order.best().value, first_order.u(), f64::INFINITY);
    assert_eq!(verdict, Verdict::Fails);
    example.finish(&[]);
}

model!(
    TenInputs(b, b1, b2, m, m1, d, d1, e, df, c) = {
        let b = b + b1 + b2;
        let m = m + m1;
        let d = d + d1;
        let w = V::exact(412.0) * d * (V::one() - e) / V::exact(1000.0);
        let f = V::exact(95.0) * df / V::exact(1000.0);
        (b * m + V::exact(100.0) * (w + f * c)) / (b + w + f)
    }
);

/// A whole plan of ten inputs of five shapes: leaf, moisture, drops, losses and
/// a flavouring. The published result is a simulation.
#[test]
fn a_plan_of_ten_inputs() {
    let example = Example::of("TEN-INPUTS");
    let mut inputs = Inputs::new();
    let t = |best: f64, u: f64, nu: f64| Measured::new(Ratio::of_base(best), u, nu);
    let plan = TenInputs {
        b: inputs.add("leaf", &normal(250.0, 0.02)),
        b1: inputs.add("tare", &rectangular(0.0, 0.005)),
        b2: inputs.add("gross", &rectangular(0.0, 0.005)),
        m: inputs.add("moisture", &t(11.20, 0.18, 4.0)),
        m1: inputs.add("moisture, method", &rectangular(0.0, 0.25)),
        d: inputs.add("drop", &t(43.28, 0.27, 9.0)),
        d1: inputs.add("drop, hand", &Measured::triangular(-1.2, 0.0, 1.2)),
        e: inputs.add("evaporation", &Measured::triangular(0.0, 0.005, 0.02)),
        df: inputs.add("drop of flavouring", &normal(24.10, 0.45)),
        c: inputs.add("water in flavouring", &rectangular(0.10, 0.05)),
    };
    let spread = draws(&inputs, plan);
    let n = DRAWS as f64;
    let u = example.value("u");
    example.check_drawn("mean", spread.mean, u / n.sqrt());
    // Student's t with four degrees of freedom has no fourth moment: twice the
    // noise of a normal figure.
    example.check_drawn("u", spread.u, 2.0 * u / (2.0 * n).sqrt());
    let ends = u * noise_of_ends();
    example.check_drawn("low_95", spread.shortest_95.0, ends);
    example.check_drawn("high_95", spread.shortest_95.1, ends);
    example.finish(&[]);
}
