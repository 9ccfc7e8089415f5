use gutta::Estimate;
use gutta::measure::{
    Formula, Inputs, Mass, Measured, Point, Real, SI, Scalar, Scale, Shape, Slot, Unit,
};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};
use uom::si::Units;

fn grams(number: f64) -> Mass {
    Mass::of_base(Unit::GRAM.to_base(number))
}

/// One reading is anywhere within half a division; a net weight is two of them.
#[test]
fn a_reading_is_rounded_once_and_a_net_weight_twice() {
    for row in table("weighing/rounding.csv") {
        let division = grams(row.number("division_g"));
        let u = match row.text("readings") {
            "1" => Measured::rectangular(grams(1.0), division.base() / 2.0).u(),
            "2" => Scale::new(division).unwrap().u_net().base(),
            other => panic!("{row}: {other}"),
        };
        let expected = row.number("u_g");
        assert_close(
            &row.to_string(),
            Unit::GRAM.from_base(u),
            expected,
            row.number("tolerance_rel") * expected,
        );
    }
}

/// A sum of masses, each an independent input.
struct Sum(Vec<Slot<Mass>>);

impl Formula for Sum {
    type Figures<V: Real>
        = Mass<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, inputs: &Point<'_, V>) -> Mass<V>
    where
        SI<V>: Units<V>,
    {
        self.0.iter().map(|&slot| inputs.get(slot)).sum()
    }
}

fn input(row: &Row) -> Measured<Mass> {
    let number = Unit::GRAM.to_base(row.number("value"));
    let nothing = Mass::of_base(0.0);
    match (row.text("distribution"), row.text("nu")) {
        ("rectangular", _) => Measured::rectangular(nothing, number),
        ("normal", "inf") => Measured::new(nothing, number, f64::INFINITY),
        ("normal", nu) => Measured::new(nothing, number, nu.parse().unwrap()),
        (other, _) => panic!("{row}: {other}"),
    }
}

/// EURACHEM/CITAC QUAM, example A2 (tare and gross), and the tared weighing of
/// the University of Tartu: combined u and effective degrees of freedom.
#[test]
fn tared_weighings() {
    let rows = table("weighing/combined-uncertainty.csv");
    for id in ["QUAM-A2", "UT-weighing"] {
        let of = |role: &'static str| {
            rows.iter()
                .filter(move |r| r.text("id") == id && r.text("role") == role)
        };
        let mut inputs = Inputs::new();
        let slots = of("input")
            .map(|row| inputs.add(row.text("quantity").to_owned(), &input(row)))
            .collect();
        let net: Estimate<Mass> = inputs.propagate(&Sum(slots)).estimate(|m| *m);
        let mut results = 0;
        for row in of("result") {
            let got = match row.text("quantity") {
                "combined_u" => Unit::GRAM.from_base(net.u()),
                "effective_degrees" => net.dof(),
                other => panic!("{row}: {other}"),
            };
            assert_close(
                &row.to_string(),
                got,
                row.number("value"),
                row.number("tolerance"),
            );
            results += 1;
        }
        assert!(results > 0, "{id}");
    }
}

/// Two equal roundings make a triangle (JCGM 101:2008, 6.4.4 and 6.4.5).
#[test]
fn a_net_weight_is_spread_as_a_triangle() {
    let scale = Scale::new(grams(0.1)).unwrap();
    assert_eq!(scale.weighed(grams(10.0)).shape(), Shape::Triangular(0.5));
    let worn = scale.with_repeatability(grams(0.05)).unwrap();
    assert_eq!(worn.weighed(grams(10.0)).shape(), Shape::Normal);
}

/// The least weighing against USP 41: 2·max(0.41 D, s) there, and 1.96·√2·D/√12 =
/// 0.80 D here, over 0.1 %. The two differ by their rounded factors, 2.5 %, where
/// the rounding of the scale is all; ours is not below a division, which at 0.1 %
/// is 1000 of them.
#[test]
fn the_least_weighing_is_the_like_of_usp_41() {
    let mut compared = 0;
    for row in table("weighing/usp-41.csv") {
        if !row.text("s_g").is_empty() {
            continue;
        }
        let division = row.number("division_g");
        let scale = Scale::new(grams(division)).unwrap();
        let tolerance = gutta::measure::Ratio::of_base(1e-3);
        let by_doubt = 1.959_964 * Unit::GRAM.from_base(scale.u_net().base()) / 1e-3;
        let published = row.number("min_weight_g");
        assert_close(&row.to_string(), by_doubt, published, 0.025 * published);
        let least = Unit::GRAM.from_base(scale.least_weighing(tolerance).base());
        assert_close(&row.to_string(), least, 1000.0 * division, 1e-9 * least);
        compared += 1;
    }
    assert_eq!(compared, 5);
}
