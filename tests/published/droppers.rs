use std::cell::RefCell;
use std::collections::BTreeSet;

use gutta::bench::{
    Asked, Calibrating, Calibration, Dosing, Dropped, LeafBasis, Readings, Weighing,
};
use gutta::matter::Air;
use gutta::measure::{
    Density, Drops, DropsPerVolume, Kind, Mass, Measured, Pressure, Ratio, Scalar, Scale,
    Temperature, Unit, Volume, read,
};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};

fn millilitres(number: f64) -> Volume {
    Volume::of_base(Unit::MILLILITRE.to_base(number))
}

/// A count that stands in a table of numbers.
fn whole(count: f64) -> u32 {
    u32::try_from(Drops::new(count).whole()).unwrap()
}

/// Drops to a graduate mark.
fn to_mark(drops: f64, volume: f64) -> Calibration {
    let marks = vec![Weighing {
        drops: whole(drops),
        amount: Measured::exact(millilitres(volume)),
        last_place: millilitres(1.0),
    }];
    Calibrating::new(Readings::ToMark(marks), Dropped::Water)
        .calibrate()
        .unwrap()
}

/// Drops make a volume: a rate and a drop follow. The source asks for one of
/// them; the other two columns are worked out beside it, to ten digits.
#[test]
fn drops_and_volumes() {
    let mut wrong = 0;
    for row in table("droppers/drops-and-volume.csv") {
        let calibration = to_mark(row.number("drops"), row.number("volume_mL"));
        let rate = DropsPerVolume::of_base(row.number("drops_per_mL") * 1e6);
        let volume = millilitres(row.number("volume_mL"));
        let figures = [
            (
                "drops_per_mL",
                calibration.drops_per_volume.best().base() / 1e6,
            ),
            ("drop_uL", calibration.drop_volume.best().base() * 1e9),
            ("drops", volume.base() / rate.drop_volume().base()),
        ];
        for (column, got) in figures {
            let expected = row.number(column);
            let tolerance = if row.text("asked") == column {
                row.number("tolerance")
            } else {
                5e-10 * expected
            };
            let what = format!("{row} {column}");
            if row.agrees() {
                assert_close(&what, got, expected, tolerance);
            } else if column != "drops" {
                // A rate that was rounded before use, and what it implies; the
                // count is what was given.
                assert!((got - expected).abs() > tolerance, "{what}: {got}");
                wrong += 1;
            }
        }
        if !row.agrees() {
            let (drops, rate) = (row.number("drops"), row.number("drops_per_mL"));
            assert_close(
                &row.to_string(),
                (drops / row.number("volume_mL")).round(),
                rate,
                0.0,
            );
            let implied = 1000.0 / rate;
            assert_close(&row.to_string(), implied, row.number("drop_uL"), 5e-9);
        }
    }
    assert_eq!(wrong, 2);
}

/// What was dosed and how strong it is, as a volume and as drops.
#[test]
fn a_dose_as_a_volume() {
    for row in table("droppers/dose-and-volume.csv") {
        // The strength is solute by volume: the volume of the dose is that of
        // its solute at the strength taken as a density of solute.
        let typed = |column: &str, unit: &str, kind| {
            let text = format!("{} {unit}", row.text(column));
            read(&text, &[kind]).unwrap()
        };
        let solute = typed("solute_mg", "mg", Kind::Mass).mass().unwrap();
        // A milligram per millilitre is a kilogram per cubic metre.
        let strength = typed("strength_mg_per_mL", "kg/m³", Kind::Density);
        let volume: Volume = solute.value() / strength.density().unwrap().value();
        let volume = Unit::MILLILITRE.from_base(volume.base());
        assert_close(
            &row.to_string(),
            volume,
            row.number("expected_mL"),
            row.number("tolerance_mL"),
        );
        // Ten significant digits are written.
        let computed = row.number("computed_mL");
        assert_close(&row.to_string(), volume, computed, 5e-10 * computed);
        let calibration = to_mark(row.number("drops"), volume);
        assert_close(
            &row.to_string(),
            calibration.drop_volume.best().base() * 1e6,
            row.number("expected_drop_mL"),
            row.number("tolerance_drop_mL"),
        );
        assert_close(
            &row.to_string(),
            calibration.drops_per_volume.best().base() / 1e6,
            row.number("expected_drops_per_mL"),
            row.number("tolerance_drops_per_mL"),
        );
    }
}

#[test]
fn mass_and_volume_by_density() {
    for row in table("droppers/density.csv") {
        let density =
            Density::of_base(Unit::GRAM_PER_MILLILITRE.to_base(row.number("density_g_per_mL")));
        let asked = match row.text("asked") {
            "volume_mL" => Asked::Mass(Measured::exact(Mass::of_base(
                Unit::GRAM.to_base(row.number("mass_g")),
            ))),
            "mass_g" => Asked::Volume(Measured::exact(millilitres(row.number("volume_mL")))),
            other => panic!("{row}: {other}"),
        };
        let dosing = Dosing {
            density: Some(Measured::exact(density)),
            ..Dosing::new(asked, LeafBasis::AsWeighed)
        };
        let answer = dosing.answer().unwrap();
        let got = match row.text("asked") {
            "mass_g" => Unit::GRAM.from_base(answer.mass.best().base()),
            _ => Unit::MILLILITRE.from_base(answer.volume.unwrap().best().base()),
        };
        assert_close(
            &row.to_string(),
            got,
            row.number(row.text("asked")),
            row.number("tolerance"),
        );
    }
}

/// A pycnometer: the masses of two liquids in one volume. The library has no
/// pycnometer of its own: its reader and its quantities give the ratio.
#[test]
fn specific_gravity_by_pycnometer() {
    for row in table("droppers/pycnometer.csv") {
        let grams = |column: &str| -> Mass {
            let text = format!("{} g", row.text(column));
            read(&text, &[Kind::Mass]).unwrap().mass().unwrap().value()
        };
        let empty = grams("empty_g");
        let gravity: Ratio = (grams("with_liquid_g") - empty) / (grams("with_water_g") - empty);
        assert_close(
            &row.to_string(),
            gravity.value,
            row.number("expected"),
            row.number("tolerance"),
        );
        // Ten significant digits are written.
        let computed = row.number("computed");
        assert_close(&row.to_string(), gravity.value, computed, 5e-10 * computed);
    }
}

/// The rows of a golden case, and which of its answers were held.
struct Golden {
    rows: Vec<Row>,
    held: RefCell<BTreeSet<String>>,
}

impl Golden {
    fn of(id: &str) -> Self {
        let rows = table("droppers/golden-cases.csv").into_iter();
        Self {
            rows: rows.filter(|r| r.text("id") == id).collect(),
            held: RefCell::default(),
        }
    }

    fn row(&self, quantity: &str) -> &Row {
        self.rows
            .iter()
            .find(|r| r.text("quantity") == quantity)
            .unwrap_or_else(|| panic!("no {quantity}"))
    }

    fn given(&self, quantity: &str) -> f64 {
        self.row(quantity).number("value")
    }

    fn check(&self, quantity: &str, got: f64) {
        let row = self.row(quantity);
        let expected = row.number("value");
        assert_close(&row.to_string(), got, expected, row.number("tolerance"));
        self.held.borrow_mut().insert(quantity.to_owned());
    }

    /// Holds that no answer was passed over.
    fn finish(&self) {
        let answers = self.rows.iter().filter(|r| r.text("role") == "answer");
        let answers: BTreeSet<String> = answers.map(|r| r.text("quantity").to_owned()).collect();
        assert_eq!(*self.held.borrow(), answers);
    }

    /// The room, each of its figures anywhere within a half-width.
    fn air(&self) -> Air {
        Air::new(
            Measured::rectangular(
                Temperature::of_base(Unit::CELSIUS.to_base(self.given("temperature"))),
                self.given("temperature_half_width"),
            ),
            Measured::rectangular(
                Pressure::of_base(Unit::HECTOPASCAL.to_base(self.given("pressure"))),
                Unit::HECTOPASCAL.to_base(self.given("pressure_half_width")),
            ),
            Measured::rectangular(
                Ratio::of_base(self.given("relative_humidity") / 100.0),
                self.given("relative_humidity_half_width") / 100.0,
            ),
        )
        .unwrap()
    }

    fn weighings(&self) -> Vec<Weighing> {
        self.rows
            .iter()
            .filter(|r| r.text("role") == "given" && r.text("quantity").starts_with("net"))
            .map(|r| Weighing {
                drops: whole(self.given("drops_per_weighing")),
                amount: Measured::exact(Mass::of_base(Unit::GRAM.to_base(r.number("value")))),
                last_place: Mass::of_base(1e-6),
            })
            .collect()
    }

    fn calibrate(&self, division: Option<f64>) -> Calibration {
        let readings = Readings::Singly(self.weighings());
        Calibrating {
            scale: division.map(|d| Scale::new(Mass::of_base(Unit::GRAM.to_base(d))).unwrap()),
            air: Some(self.air()),
            ..Calibrating::new(readings, Dropped::Water)
        }
        .calibrate()
        .unwrap()
    }
}

/// One weighing: the scale's doubt, the room's doubt, buoyancy. Worked by the
/// library GTC.
#[test]
fn golden_case_of_one_weighing() {
    let golden = Golden::of("G1");
    let got = golden.calibrate(Some(golden.given("division")));
    let microlitres = |base: f64| base * 1e9;
    let volume_by_mass = got.drop_volume.best().base() / got.drop_mass.best().base();
    golden.check("z", volume_by_mass * 1000.0);
    golden.check("drop_volume", microlitres(got.drop_volume.best().base()));
    golden.check("u_drop_volume", microlitres(got.drop_volume.u()));
    golden.check("drops_per_mL", got.drops_per_volume.best().base() / 1e6);
    golden.check("u_drops_per_mL", got.drops_per_volume.u() / 1e6);
    let finer = golden.calibrate(Some(0.001));
    golden.check(
        "u_drop_volume_at_0.001_g",
        microlitres(finer.drop_volume.u()),
    );
    golden.finish();
}

/// Five weighings: the scatter, four degrees of freedom.
#[test]
fn golden_case_of_five_weighings() {
    let golden = Golden::of("G2");
    let got = golden.calibrate(None);
    let drops = golden.given("drops_per_weighing");
    let in_grams = |base: f64| Unit::GRAM.from_base(base) * drops;
    let microlitres = |base: f64| base * 1e9;
    golden.check("mean_net", in_grams(got.drop_mass.best().base()));
    golden.check("u_mean_net", in_grams(got.drop_mass.u()));
    golden.check("degrees_of_freedom", got.drop_mass.dof());
    golden.check("drop_volume", microlitres(got.drop_volume.best().base()));
    golden.check("u_drop_volume", microlitres(got.drop_volume.u()));
    let measured = got.drop_volume.measured();
    golden.check("t95", measured.half_width_95() / measured.u());
    golden.check("U95_drop_volume", microlitres(measured.half_width_95()));
    golden.finish();
}
