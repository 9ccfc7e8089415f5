use gutta::bench::{Brought, Drop, LeafBasis, Rate, RateOf};
use gutta::matter::{Feel, LotOfLeaf, Mixing, Part};
use gutta::measure::{DropMass, Kind, Mass, Measured, Ratio, Scalar, Unit, read};
use gutta::{Casing, Composition, Moisture, Pile, Watering, WateringPlan};
use gutta_tests::assert_close;
use gutta_tests::plans::{add, dry};
use gutta_tests::reference::{Row, table};

fn grams(number: f64) -> Mass {
    Mass::of_base(Unit::GRAM.to_base(number))
}

fn in_grams(mass: Mass) -> f64 {
    Unit::GRAM.from_base(mass.base())
}

fn percent(row: &Row, column: &str) -> Moisture {
    Moisture::new(Ratio::of_base(row.number(column) / 100.0)).unwrap()
}

fn target(row: &Row) -> Moisture {
    Moisture::target(Ratio::of_base(row.number("to_pct_wb") / 100.0)).unwrap()
}

/// The published add-water examples. Those that take points times mass for the
/// water are wrong, and must not come out.
#[test]
fn water_to_add() {
    let mut wrong = 0;
    for row in table("moisture/add-water.csv") {
        let leaf = Measured::exact(grams(row.number("mass_g")));
        let at = Measured::exact(percent(&row, "from_pct_wb"));
        let plan = add(&Watering::new(leaf, at, target(&row)));
        let got = match row.text("unit") {
            "g" => in_grams(plan.water.best()),
            "mL" => Unit::MILLILITRE.from_base(plan.volume.best().base()),
            other => panic!("{row}: {other}"),
        };
        let expected = row.number("expected");
        let tolerance = row.number("tolerance");
        if row.agrees() {
            assert_close(&row.to_string(), got, expected, tolerance);
        } else {
            assert!((got - expected).abs() > tolerance, "{row}: {got}");
            // One of them is cut and not rounded: to the tenth below.
            let short = by_points(&row, row.number("mass_g"));
            let cut = (short * 10.0).floor() / 10.0;
            assert!(
                (short - expected).abs() <= tolerance || (cut - expected).abs() <= 1e-9,
                "{row}: {short} is not the mistake meant"
            );
            wrong += 1;
        }
        // Ten significant digits are written.
        let computed = row.number("computed_g");
        let got = in_grams(plan.water.best());
        assert_close(&row.to_string(), got, computed, 5e-10 * computed);
    }
    assert_eq!(wrong, 2);
}

/// The common mistake: points of moisture times mass.
fn by_points(row: &Row, mass: f64) -> f64 {
    mass * (row.number("to_pct_wb") - row.number("from_pct_wb")) / 100.0
}

#[test]
fn mass_to_dry_to() {
    let mut wrong = 0;
    for row in table("moisture/dry-to-target.csv") {
        let text = format!("{} {}", row.text("mass"), row.text("mass_unit"));
        let leaf = read(&text, &[Kind::Mass]).unwrap();
        let unit = leaf.unit();
        let plan = dry(&Watering::new(
            leaf.mass().unwrap(),
            Measured::exact(percent(&row, "from_pct_wb")),
            target(&row),
        ));
        let mass = match row.text("quantity") {
            "final_mass" => plan.final_mass.best(),
            "dry_matter" => plan.pile.dry_matter(),
            "water_to_lose" => plan.water.best(),
            other => panic!("{row}: {other}"),
        };
        let got = unit.from_base(mass.base());
        let expected = row.number("expected");
        if row.agrees() {
            assert_close(&row.to_string(), got, expected, row.number("tolerance"));
        } else {
            assert!(
                (got - expected).abs() > row.number("tolerance"),
                "{row}: {got}"
            );
            let short = -by_points(&row, row.number("mass"));
            assert_close(&row.to_string(), short, expected, row.number("tolerance"));
            wrong += 1;
        }
        // Ten significant digits are written.
        let computed = row.number("computed");
        assert_close(&row.to_string(), got, computed, 5e-10 * computed);
    }
    assert_eq!(wrong, 1);
}

/// Per cent of mass lost for each point of moisture: 1/(1 − t). The published
/// table has a misprint at 11 %.
#[test]
fn shrink_for_each_point() {
    let mut misprints = 0;
    for row in table("moisture/shrink-factors.csv") {
        let to = row.number("to_pct_wb") / 100.0;
        // 100 g, one point above the target.
        let leaf = Measured::exact(grams(100.0));
        let at = Measured::exact(Moisture::new(Ratio::of_base(to + 0.01)).unwrap());
        let plan = dry(&Watering::new(leaf, at, target(&row)));
        let got = in_grams(plan.water.best());
        let expected = row.number("expected");
        if row.agrees() {
            assert_close(&row.to_string(), got, expected, row.number("tolerance"));
        } else {
            misprints += 1;
            assert!(
                (got - expected).abs() > row.number("tolerance"),
                "{row}: {got}"
            );
        }
        // Ten significant digits are written; the water is a small difference of
        // 100 g, which costs two of an f64's sixteen.
        let computed = row.number("computed");
        assert_close(&row.to_string(), got, computed, 5e-10 * computed);
    }
    assert_eq!(misprints, 1);
}

#[test]
fn two_piles_together() {
    for row in table("moisture/blends.csv") {
        let part = |mass: &str, at: &str| {
            let text = format!("{} {}", row.text(mass), row.text("mass_unit"));
            let mass = read(&text, &[Kind::Mass]).unwrap().mass().unwrap().value();
            Pile::leaf(mass, percent(&row, at))
        };
        let both = part("mass_1", "from_1_pct_wb").mix(part("mass_2", "from_2_pct_wb"));
        assert_close(
            &row.to_string(),
            both.moisture().ratio().value * 100.0,
            row.number("expected"),
            row.number("tolerance"),
        );
        assert_close(
            &row.to_string(),
            both.moisture().ratio().value * 100.0,
            row.number("computed_pct_wb"),
            row.number("tolerance"),
        );
    }
}

/// The grades of feel are those of the table, which says that they are judgement:
/// this holds the two together, and checks neither.
#[test]
fn the_grades_of_feel_are_those_of_the_table() {
    let rows = table("moisture/feel-grades.csv");
    assert_eq!(rows.len(), Feel::ALL.len());
    for (row, feel) in rows.iter().zip(Feel::ALL) {
        assert_eq!(Feel::named(row.text("grade")), Some(feel));
        let range = (row.number("low_pct_wb"), row.number("high_pct_wb"));
        assert_eq!(feel.range(), range, "{row}");
        assert_eq!(feel.sign(), row.text("sign"));
        assert_eq!(row.text("mark"), "JUDGEMENT");
    }
}

/// Alligation, backwards: the parts that the library takes of two lots that are
/// there in plenty are those of the table.
#[test]
fn two_lots_are_taken_in_the_parts_of_the_table() {
    for row in table("moisture/two-lots.csv") {
        let lot = |column: &str| LotOfLeaf {
            mass: Measured::exact(grams(1000.0)),
            at: Measured::exact(percent(&row, column)),
        };
        let mixing = Mixing {
            lots: vec![lot("low_pct_wb"), lot("high_pct_wb")],
            to: Some(target(&row)),
        };
        let parts = mixing.mixed().unwrap().parts.unwrap();
        let (low, high) = (parts[0].best().value, parts[1].best().value);
        assert_close(
            &row.to_string(),
            low / (low + high),
            row.number("fraction_low"),
            row.number("tolerance"),
        );
    }
}

/// Alligation, forwards: the parts that a table gives for a target, mixed, have
/// that moisture.
#[test]
fn parts_of_two_lots_meet_their_target() {
    for row in table("moisture/two-lots.csv") {
        let (low, high) = (row.number("parts_low"), row.number("parts_high"));
        let drier = Pile::leaf(grams(low), percent(&row, "low_pct_wb"));
        let wetter = Pile::leaf(grams(high), percent(&row, "high_pct_wb"));
        let both = drier.mix(wetter);
        let tolerance = row.number("tolerance");
        let of_drier = drier.total() / both.total();
        assert_close(
            &row.to_string(),
            of_drier.value,
            row.number("fraction_low"),
            tolerance,
        );
        assert_close(
            &row.to_string(),
            both.moisture().ratio().value,
            target(&row).ratio().value,
            tolerance,
        );
    }
}

#[test]
fn wet_basis_and_dry_basis() {
    for row in table("moisture/basis-conversion.csv") {
        let grams = |column: &str| grams(row.number(column));
        let wet = Moisture::of(grams("water"), grams("total"));
        assert_close(
            &row.to_string(),
            wet.ratio().value * 100.0,
            row.number("pct_wb"),
            // Whole numbers over whole numbers: a few roundings of 1e-14.
            1e-12,
        );
        let dry = wet.on_dry_basis().ratio().value;
        let got = match row.text("unit") {
            "% db" => dry * 100.0,
            "g water per g dry" => dry,
            other => panic!("{row}: {other}"),
        };
        assert_close(
            &row.to_string(),
            got,
            row.number("expected_db"),
            row.number("tolerance"),
        );
        // Ten significant digits are written.
        let computed = row.number("computed");
        assert_close(&row.to_string(), got, computed, 5e-10 * computed);
    }
}

#[test]
fn casing_brings_water() {
    for row in table("moisture/casing-balance.csv") {
        let casing = Composition::new(&[(
            Part::Water,
            Measured::exact(Ratio::of_base(row.number("casing_water_pct") / 100.0)),
        )])
        .unwrap();
        let mut watering = Watering::new(
            Measured::exact(grams(row.number("leaf_g"))),
            Measured::exact(percent(&row, "leaf_pct_wb")),
            target(&row),
        );
        watering.brought.push(Brought::weighed(
            "casing",
            Measured::exact(grams(row.number("casing_g"))),
            casing,
        ));
        let (pile, water, final_mass) = match watering.plan().unwrap() {
            WateringPlan::Add(plan) => (plan.pile, plan.water.best(), plan.final_mass.best()),
            WateringPlan::Dry(plan) => (plan.pile, -plan.water.best(), plan.final_mass.best()),
            WateringPlan::Nothing(_) => panic!("{row}: nothing to do"),
        };
        let relative = row.number("tolerance_rel");
        for (column, got) in [
            ("mixed_pct_wb", pile.moisture().ratio().value * 100.0),
            ("dry_solids_g", in_grams(pile.dry_matter())),
            ("mass_at_target_g", in_grams(final_mass)),
            ("water_to_add_g", in_grams(water)),
        ] {
            let expected = row.number(column);
            let tolerance = relative * expected.abs();
            assert_close(&format!("{row} {column}"), got, expected, tolerance);
        }
    }
}

/// The same balances by a rate: casing over leaf as weighed, as it is poured.
#[test]
fn casing_by_a_rate_is_that_casing() {
    for row in table("moisture/casing-balance.csv") {
        let casing = Composition::new(&[(
            Part::Water,
            Measured::exact(Ratio::of_base(row.number("casing_water_pct") / 100.0)),
        )])
        .unwrap();
        // The recipe's own amount is none of the question.
        let recipe = vec![Brought::weighed(
            "casing",
            Measured::exact(grams(7.0)),
            casing,
        )];
        let rate = Rate {
            share: Ratio::of_base(row.number("casing_g") / row.number("leaf_g")),
            of: RateOf::Liquid,
            basis: LeafBasis::AsWeighed,
        };
        let question = Casing::new(
            Measured::exact(grams(row.number("leaf_g"))),
            Measured::exact(percent(&row, "leaf_pct_wb")),
            recipe,
            rate,
        );
        let relative = row.number("tolerance_rel");
        let close = |column: &str, got: f64| {
            let expected = row.number(column);
            let tolerance = relative * expected.abs();
            assert_close(&format!("{row} {column}"), got, expected, tolerance);
        };
        let cased = question.cased().unwrap();
        close("casing_g", in_grams(cased.casing.best()));
        close("mixed_pct_wb", cased.moisture.best().ratio().value * 100.0);
        close(
            "dry_solids_g",
            in_grams(cased.leaf.dry_matter() + cased.made.dry_matter()),
        );
        let to = Some(target(&row));
        if row.number("water_to_add_g") > 0.0 {
            let bulk = Casing {
                bulk: to,
                ..question
            }
            .cased()
            .unwrap()
            .bulk
            .unwrap();
            close("water_to_add_g", in_grams(bulk.water.unwrap().best()));
            close("mass_at_target_g", in_grams(bulk.mass.net.best()));
        } else {
            let dried = Casing { to, ..question }.cased().unwrap().dried.unwrap();
            close("water_to_add_g", -in_grams(dried.water.best()));
            close("mass_at_target_g", in_grams(dried.mass.net.best()));
        }
    }
}

/// Water, final mass, slope to the moisture by first-order propagation, and
/// exact drops, over a grid worked in exact arithmetic.
#[test]
fn a_grid_of_trials() {
    for row in table("moisture/self-check-grid.csv") {
        let one = DropMass::new(grams(row.number("drop_g")));
        let mut watering = Watering::new(
            Measured::exact(grams(row.number("mass_g"))),
            // One point of doubt: the term of the moisture is the slope.
            Measured::new(percent(&row, "from_pct_wb"), 0.01, f64::INFINITY),
            target(&row),
        );
        watering.drop = Some(Drop::of_mass(Measured::exact(one)).unwrap());
        let plan = add(&watering);
        let slope = Unit::GRAM.from_base(plan.water.terms()[0].contribution);
        let relative = row.number("tolerance_rel");
        for (column, got) in [
            ("water_g", in_grams(plan.water.best())),
            ("final_mass_g", in_grams(plan.final_mass.best())),
            ("slope_g_per_point", slope),
            (
                "drops_exact",
                plan.drops.as_ref().unwrap().exact.best().count(),
            ),
        ] {
            let expected = row.number(column);
            assert_close(
                &format!("{row} {column}"),
                got,
                expected,
                relative * expected.abs(),
            );
        }
    }
}
