//! The size of a drop by formula, beside what others computed and found.

use std::f64::consts::TAU;

use gutta::bench::{Calibrating, Drop, Dropped, Falling, FromTip, Predicted, Readings, Weighing};
use gutta::matter::{Liquid, alcohol, water};
use gutta::measure::{
    Density, DropMass, Length, Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar, SurfaceTension,
    Temperature, Unit, Volume,
};
use gutta::{Error, ErrorKind};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};

/// Standard gravity, m/s² (3rd CGPM, 1901).
const GRAVITY: f64 = 9.80665;
/// 60 US minims in litres.
const SIXTY_MINIMS: f64 = 3.6967e-3;

/// A liquid of a density in kg/m³ and a surface tension in mN/m, as a row has
/// them and not as the library would.
fn liquid(density: f64, tension: f64) -> Liquid {
    let mut liquid = Liquid::own(
        "the liquid of the row",
        None,
        Some(Measured::exact(Density::of_base(density))),
    );
    liquid.surface_tension = Some(Measured::exact(SurfaceTension::of_base(tension * 1e-3)));
    liquid
}

/// The drop from a tip of an outer diameter in millimetres.
fn from_tip(diameter: f64, liquid: Liquid) -> Result<Predicted, Error> {
    FromTip {
        tip: Measured::exact(Length::of_base(diameter * 1e-3)),
        liquid,
        temperature: Measured::exact(ROOM_TEMPERATURE),
    }
    .predict()
}

fn of_row(row: &Row) -> Result<Predicted, Error> {
    let (density, tension) = ("density_kg_m3", "surface_tension_mN_m");
    from_tip(
        row.number("outer_diameter_mm"),
        liquid(row.number(density), row.number(tension)),
    )
}

fn milligrams(drop: &Predicted) -> f64 {
    drop.drop_mass.best().base() * 1e6
}

fn microlitres(drop: &Predicted) -> f64 {
    drop.drop_volume.best().base() * 1e9
}

fn refused(drop: Result<Predicted, Error>, what: &Row) {
    let error = drop.expect_err(&what.to_string());
    assert_eq!(error.kind(), ErrorKind::Refused, "{what}: {error}");
}

/// The polynomial beside an independent integration of the largest drop that
/// can hang: what falls is less than what hangs wherever the polynomial holds,
/// 0.95 down to 0.65 of it, and tips below that are refused.
#[test]
fn what_falls_is_less_than_what_can_hang() {
    let (density, tension) = (998.2, 72.74);
    let capillary_length = 1e3 * (tension * 1e-3 / (density * GRAVITY)).sqrt();
    let mut held = 0;
    for row in table("droppers/hanging-drop.csv") {
        let radius = row.number("radius_over_capillary_length") * capillary_length;
        let drop = from_tip(2.0 * radius, liquid(density, tension));
        if row.text("polynomial_holds") == "no" {
            refused(drop, &row);
            continue;
        }
        let newtons = milligrams(&drop.unwrap()) * 1e-6 * GRAVITY;
        let psi = newtons / (TAU * radius * 1e-3 * tension * 1e-3);
        // Both are printed to four decimals; that of the integration is good to
        // its tolerance.
        assert_close(&row.to_string(), psi, row.number("psi_fallen"), 0.00006);
        let part = psi / row.number("psi_hanging");
        let doubt = row.number("tolerance") / row.number("psi_hanging");
        assert!((0.645..0.955).contains(&part), "{row}: {part}");
        let printed = row.number("fallen_over_hanging");
        assert_close(&row.to_string(), part, printed, 0.0005 + doubt);
        held += 1;
    }
    assert_eq!(held, 6);
}

/// The formula on three tips, with each row's own surface tension: a check of
/// the arithmetic and no more, since the coefficients of both are recalled.
#[test]
fn the_drop_of_three_tips() {
    let mut water = None;
    for row in table("droppers/harkins-brown-drops.csv") {
        let drop = of_row(&row).unwrap();
        let (volume, mass) = (microlitres(&drop), milligrams(&drop));
        let radius = 0.5 * row.number("outer_diameter_mm");
        let newtons = mass * 1e-6 * GRAVITY;
        let hung = TAU * radius * row.number("surface_tension_mN_m") * 1e-6;
        if row.text("liquid") == "water" {
            water = Some((volume, mass));
        }
        let (of_water, by_mass) = water.expect("water is the first of each tip");
        let tolerance = row.number("tolerance_drop");
        for (column, got, tolerance) in [
            ("drop_uL", volume, tolerance),
            ("drop_mg", mass, tolerance),
            (
                "drops_per_mL",
                drop.drops_per_volume.best().base() * 1e-6,
                tolerance,
            ),
            ("tate_uL", volume * hung / newtons, tolerance),
            // Printed to five and four decimals.
            ("x", radius / volume.cbrt(), 0.000_005_1),
            ("psi", newtons / hung, 0.000_005_1),
            ("volume_to_water", volume / of_water, 0.000_051),
            ("mass_to_water", mass / by_mass, 0.000_051),
        ] {
            let what = format!("{row} {column}");
            assert_close(&what, got, row.number(column), tolerance);
        }
    }
}

/// What a row counts of a drop: its mass in mg, drops in a gram, or drops in 60
/// minims.
fn counted(row: &Row, drop: &Predicted) -> f64 {
    match row.text("unit") {
        "mg" => milligrams(drop),
        "drops/g" => 1e3 / milligrams(drop),
        "drops/60 minims" => SIXTY_MINIMS * 1e9 / 1e3 / microlitres(drop),
        other => panic!("{row}: {other}"),
    }
}

fn is_recorded(row: &Row) -> bool {
    row.text("surface_tension_mark") != "not recorded"
}

/// The formula beside what was found, with the error that the table admits; and
/// without ψ, which is what ψ is for. Three tips are outside its validity and
/// refused; of two rows the surface tension was not recorded.
#[test]
fn the_formula_is_as_far_off_as_the_table_says() {
    let mut outside = Vec::new();
    let mut compared = 0;
    for row in table("droppers/prediction-and-published.csv") {
        let published = row.number("published");
        if !is_recorded(&row) {
            continue;
        }
        let Ok(drop) = of_row(&row) else {
            refused(of_row(&row), &row);
            outside.push(row.text("id").to_owned());
            continue;
        };
        let got = counted(&row, &drop);
        let tolerance = row.number("tolerance_predicted");
        assert_close(&row.to_string(), got, row.number("predicted"), tolerance);
        let error = 100.0 * (got / published - 1.0);
        let doubt = 0.05 + 100.0 * tolerance / published;
        assert_close(&row.to_string(), error, row.number("error_pct"), doubt);
        if !row.text("tate_error_pct").is_empty() {
            let radius = 0.5e-3 * row.number("outer_diameter_mm");
            let hung = TAU * radius * row.number("surface_tension_mN_m") * 1e3 / GRAVITY;
            let ratio = if row.text("unit") == "mg" {
                hung / published
            } else {
                1e3 / hung / published
            };
            let tate = row.number("tate_error_pct");
            assert_close(&row.to_string(), 100.0 * (ratio - 1.0), tate, 0.6);
            assert!(tate.abs() > 2.0 * error.abs(), "{row}");
        }
        compared += 1;
    }
    assert_eq!(outside, ["V1", "V2", "V8"]);
    assert_eq!(compared, 15);
}

/// The tip that a calibration with water finds: 20 drops that weigh this many
/// grams.
fn by_water(grams: f64, to: Liquid) -> Predicted {
    let weighing = Weighing {
        drops: 20,
        amount: Measured::exact(Mass::of_base(grams * 1e-3)),
        last_place: Mass::of_base(1e-6),
    };
    Falling {
        from: Calibrating::new(Readings::Singly(vec![weighing]), Dropped::Water),
        to,
    }
    .predict()
    .unwrap()
}

/// The six drops of thin liquids that the factor of a tip found by water was
/// fitted to: 95 % alcohol and ether from the pharmacopoeial dropper, alcohol,
/// dilute alcohol, ether and chloroform by Gorgas. Their mean error is that
/// factor and their scatter is its doubt, so they are **no check** of it: this
/// shows where the two figures are from.
#[test]
fn six_published_drops_are_where_the_factor_is_from() {
    let fitted = ["V13", "V15", "V16", "V17", "V19", "V20"];
    let rows = table("droppers/prediction-and-published.csv");
    let rows = rows.iter().filter(|row| fitted.contains(&row.text("id")));
    let too_many: Vec<f64> = rows
        .map(|row| {
            assert_eq!(row.text("diameter_is"), "fitted to water", "{row}");
            // As printed where the surface tension was not recorded.
            let predicted = if is_recorded(row) {
                counted(row, &of_row(row).unwrap())
            } else {
                row.number("predicted")
            };
            predicted / row.number("published")
        })
        .collect();
    assert_eq!(too_many.len(), 6);
    let mean = too_many.iter().sum::<f64>() / 6.0;
    let squares: f64 = too_many.iter().map(|one| (one - mean).powi(2)).sum();
    let scatter = (squares / 5.0).sqrt();

    // The factor, from outside: the same tip, found and measured.
    let ether = || liquid(713.8, 17.0);
    let found = by_water(1.0, ether());
    let tip = found.tip.best().base() * 1e3;
    assert_close("tip", tip, 3.184, 0.001);
    let measured = from_tip(tip, ether()).unwrap();
    let factor = milligrams(&found) / milligrams(&measured);
    assert_close("factor", factor, 1.08, 1e-9);
    // Both are written to a whole per cent.
    assert_close("mean of six", mean, factor, 0.005);
    let u = found.drop_mass.u() / found.drop_mass.best().base();
    assert_close("scatter of six", scatter, u, 0.005);
}

/// The tip of Gorgas's dropper, found by his 60 drops of water, is the one that
/// the table fitted.
#[test]
fn a_tip_is_found_by_water() {
    let rows = table("droppers/published-drops.csv");
    let water = rows.iter().find(|row| row.text("id") == "P20").unwrap();
    let grams = 20.0 * water.number("drop") * 1e-3 * 0.998_207;
    let rows = table("droppers/prediction-and-published.csv");
    let row = rows.iter().find(|row| row.text("id") == "V16").unwrap();
    let tip = by_water(grams, liquid(811.4, 22.99)).tip.best().base();
    // Printed to 0.01 mm.
    let printed = row.number("outer_diameter_mm");
    assert_close(&row.to_string(), tip * 1e3, printed, 0.005);
}

/// Drops that nothing was fitted to, from a tip that was measured: Eschbaum's
/// water and the pharmacopoeial dropper of 3 mm with water, alcohol and ether.
/// They are within 1.96 of the 8 % that the library states.
#[test]
fn published_drops_are_within_the_doubt_of_a_measured_tip() {
    let mut checked = Vec::new();
    for row in table("droppers/prediction-and-published.csv") {
        let thin = row.text("liquid") != "glycerin";
        if row.text("diameter_is") != "as stated" || !thin {
            continue;
        }
        let Ok(drop) = of_row(&row) else { continue };
        let published = match row.text("unit") {
            "mg" => row.number("published"),
            _ => 1e3 / row.number("published"),
        };
        let doubt = drop.drop_mass.measured().half_width_95() * 1e6;
        assert_close(&row.to_string(), milligrams(&drop), published, doubt);
        checked.push(row.text("id").to_owned());
    }
    assert_eq!(checked, ["V3", "V4", "V5", "V6", "V7", "V10", "V12", "V14"]);
}

/// Thick liquids part slowly: glycerine agrees once, and by Gorgas falls a third
/// heavier than the formula has it, outside all its doubt. So the library
/// refuses it, and glycol and syrup with it.
#[test]
fn thick_liquids_are_refused() {
    let mut outside = Vec::new();
    for row in table("droppers/prediction-and-published.csv") {
        if !row.text("liquid").starts_with("glycerin") {
            continue;
        }
        let drop = of_row(&row).unwrap();
        let ratio = match row.text("unit") {
            "mg" => row.number("published") / milligrams(&drop),
            _ => counted(&row, &drop) / row.number("published"),
        };
        let doubt = drop.drop_mass.measured().half_width_95() / drop.drop_mass.best().base();
        if (ratio - 1.0).abs() > doubt {
            outside.push(row.text("id").to_owned());
        }
        for thick in ["glycerine", "glycol 100%", "syrup 65 Brix"] {
            let named = Liquid::named(thick).unwrap().expect("a known name");
            refused(from_tip(row.number("outer_diameter_mm"), named), &row);
        }
    }
    assert_eq!(outside, ["V18"]);
}

fn weighed(drops: u32, grams: f64) -> f64 {
    let weighing = Weighing {
        drops,
        amount: Measured::exact(Mass::of_base(grams * 1e-3)),
        last_place: Mass::of_base(1e-6),
    };
    let readings = Readings::Singly(vec![weighing]);
    let calibration = Calibrating::new(readings, Dropped::Water).calibrate();
    calibration.unwrap().drop_mass.best().base() * 1e6
}

fn measured(drops: u32, millilitres: f64) -> f64 {
    let volume = |number: f64| Volume::of_base(Unit::MILLILITRE.to_base(number));
    let mark = Weighing {
        drops,
        amount: Measured::exact(volume(millilitres)),
        last_place: volume(0.1),
    };
    let readings = Readings::ToMark(vec![mark]);
    let calibration = Calibrating::new(readings, Dropped::Water).calibrate();
    calibration.unwrap().drop_volume.best().base() * 1e9
}

/// What was printed, as a calibration: one drop follows as the table divides it.
#[test]
fn one_drop_of_what_was_printed() {
    let whole = |number: f64| number.to_string().parse::<u32>().unwrap();
    for row in table("droppers/published-drops.csv") {
        for (printed, drop) in [
            ("printed_low", "drop_low"),
            ("printed", "drop"),
            ("printed_high", "drop_high"),
        ] {
            if row.text(printed).is_empty() {
                continue;
            }
            let number = row.number(printed);
            let got = match row.text("quantity") {
                "drop mass" => weighed(20, 20e-3 * number),
                "drops per g" => weighed(whole(number), 1.0),
                "mass of the drops" => weighed(whole(row.number("drops")), number),
                "volume of the drops" => measured(whole(row.number("drops")), number),
                // More drops in a millilitre are smaller ones.
                "drops per mL" if drop == "drop_low" => {
                    measured(whole(row.number("printed_high")), 1.0)
                }
                "drops per mL" if drop == "drop_high" => {
                    measured(whole(row.number("printed_low")), 1.0)
                }
                "drops per mL" => measured(whole(number), 1.0),
                other => panic!("{row}: {other}"),
            };
            let what = format!("{row} {drop}");
            assert_close(&what, got, row.number(drop), row.number("tolerance"));
        }
    }
}

/// The two misprints in Eschbaum's table do not come out: the tip of 3.89 mm
/// would let a drop fall that is outside the doubt, and 9.2250 g is no drop, nor
/// does the formula hold for its tip.
#[test]
fn misprints_do_not_come_out() {
    let mut misprints = Vec::new();
    for row in table("droppers/published-drops.csv") {
        if row.agrees() {
            continue;
        }
        let diameter = row.number("outer_diameter_mm");
        let printed = row.number("drop");
        match from_tip(diameter, liquid(999.10, 73.49)) {
            Ok(drop) => {
                let doubt = drop.drop_mass.measured().half_width_95() * 1e6;
                assert!((milligrams(&drop) - printed).abs() > doubt, "{row}");
                // The README: 59.8 mg.
                assert_close(&row.to_string(), milligrams(&drop), 59.8, 0.06);
            }
            outside => {
                refused(outside, &row);
                let drop = DropMass::of_base(printed * 1e-6);
                assert!(Drop::of_mass(Measured::exact(drop)).is_err(), "{row}");
            }
        }
        misprints.push(row.text("id").to_owned());
    }
    assert_eq!(misprints, ["P10", "P16"]);
}

/// Surface tensions as others have them. The sources are 0.12 mN/m apart for
/// water and 0.43 for alcohol, which is what they are held to; `T7` stands 0.4
/// above the two others, and ours stays with those. Of thick liquids and of
/// unknown ones the library has none.
#[test]
fn surface_tensions_agree_as_far_as_the_sources_do() {
    let mut held = 0;
    let mut off = Vec::new();
    for row in table("droppers/surface-tension.csv") {
        let celsius = row.number("t_degC");
        let at = Temperature::of_base(Unit::CELSIUS.to_base(celsius));
        let printed = row.number("surface_tension_mN_m");
        let ours = |share: f64| alcohol::surface_tension(Ratio::of_base(share), at).value * 1e3;
        // The series of methanol ends with none of it.
        let is_water = row.text("liquid") == "water" || row.text("share_pct") == "0";
        match row.text("liquid") {
            _ if is_water => {
                let tension = water::surface_tension(at).value * 1e3;
                assert_close(&row.to_string(), ours(0.0), tension, 1e-9);
                let apart = if row.text("source") == "iapws-r1-76" {
                    row.number("tolerance")
                } else {
                    // 0.12, itself written to 0.01.
                    0.125
                };
                assert_close(&row.to_string(), tension, printed, apart);
            }
            "ethanol" if row.text("id") == "T7" => off.push((ours(1.0) - printed).abs()),
            "ethanol" => {
                assert_close(&row.to_string(), ours(1.0), printed, 0.43);
                if celsius == 20.0 {
                    off.push((ours(1.0) - printed).abs());
                }
            }
            "glycerol" | "propylene glycol" => {
                let name = if row.text("liquid") == "glycerol" {
                    "glycerine"
                } else {
                    "glycol 100%"
                };
                let named = Liquid::named(name).unwrap().expect("a known name");
                let error = named.tension(at).expect_err(name);
                assert_eq!(error.kind(), ErrorKind::Refused, "{row}: {error}");
            }
            other => {
                assert!(Liquid::named(other).unwrap().is_none(), "{row}");
                continue;
            }
        }
        held += 1;
    }
    assert_eq!(held, 17);
    let [first, second, outlier] = off[..] else {
        panic!("{off:?}")
    };
    assert!(first.max(second) < 0.5 * outlier, "{off:?}");
}

/// A check of the fit only: the surface tensions of spirits that the table of
/// three tips takes are recalled from the series that ours was fitted to, within
/// 0.7 % as the library says. The dilute alcohol of Gorgas was predicted with one
/// that was not recorded: ours comes to the same count within that.
#[test]
fn surface_tensions_of_spirits_are_those_recalled() {
    let named = |strength: f64| {
        let liquid = Liquid::named(&format!("alcohol {strength}% vol")).unwrap();
        liquid.expect("a known name")
    };
    let room = Measured::exact(ROOM_TEMPERATURE);
    for row in table("droppers/harkins-brown-drops.csv") {
        if row.text("liquid") == "water" {
            continue;
        }
        let spirit = named(row.number("ethanol_vol_pct"));
        let tension = spirit.surface_tension_at(&room).unwrap().best().base() * 1e3;
        let recalled = row.number("surface_tension_mN_m");
        assert_close(&row.to_string(), tension, recalled, 0.007 * recalled);
    }
    let rows = table("droppers/prediction-and-published.csv");
    let dilute = rows.iter().find(|row| row.text("id") == "V17").unwrap();
    assert!(!is_recorded(dilute), "{dilute}");
    let drop = from_tip(dilute.number("outer_diameter_mm"), named(48.8)).unwrap();
    let predicted = dilute.number("predicted");
    assert_close(
        &dilute.to_string(),
        counted(dilute, &drop),
        predicted,
        0.007 * predicted,
    );
}
