//! Glycerine, glycol and sugar in water; honey; what goes into casings.
//!
//! Our curves were fitted to some of these tables. Those are checks of the fit
//! only, and their tests say so; the others are independent.

use gutta::matter::liquids::{HONEY_DENSITY_U, honey_density};
use gutta::matter::{Ingredient, Liquid, Solute, water};
use gutta::measure::{Density, Measured, ROOM_TEMPERATURE, Ratio, Scalar, Temperature, Unit};
use gutta_tests::assert_close;
use gutta_tests::reference::{Row, table};

/// A row beside the library, in g/mL.
struct Beside {
    what: String,
    celsius: f64,
    /// Of the solute by mass, %.
    share: f64,
    /// How far the library is above it.
    above: f64,
    /// The table's own tolerance.
    tolerance: f64,
    /// The standard uncertainty that the library states.
    u: f64,
}

impl Beside {
    /// Holds it to what the table and the library may both be off by: the two
    /// in quadrature, as for any two figures that each have a doubt.
    fn hold(&self) {
        let both = self.tolerance.hypot(self.u);
        assert_close(&self.what, self.above, 0.0, both);
    }
}

fn at(celsius: f64) -> Temperature {
    Temperature::of_base(Unit::CELSIUS.to_base(celsius))
}

fn grams_per_millilitre(density: Density) -> f64 {
    Unit::GRAM_PER_MILLILITRE.from_base(density.value)
}

fn percent(row: &Row, column: &str) -> Ratio {
    Ratio::of_base(row.number(column) / 100.0)
}

fn density(solute: Solute, row: &Row) -> f64 {
    let share = percent(row, "share_pct");
    grams_per_millilitre(solute.density(share, at(row.number("temperature_c"))))
}

fn beside(solute: Solute, row: &Row, expected: f64) -> Beside {
    let density = density(solute, row);
    Beside {
        what: row.to_string(),
        celsius: row.number("temperature_c"),
        share: row.number("share_pct"),
        above: density - expected,
        tolerance: row.number("tolerance"),
        u: solute.density_u() * density,
    }
}

/// The rows of a table that the library knows the density for.
fn rows(solute: Solute, file: &str) -> Vec<Beside> {
    let within = |row: &Row| {
        let share = percent(row, "share_pct").base();
        let temperature = at(row.number("temperature_c")).base();
        solute.shares().check_base(share).is_ok()
            && solute.temperatures().check_base(temperature).is_ok()
    };
    let rows = table(file);
    let rows = rows.iter().filter(|row| within(row));
    rows.map(|row| beside(solute, row, row.number("density_g_per_ml")))
        .collect()
}

fn root_mean_square(rows: &[Beside]) -> f64 {
    let sum: f64 = rows.iter().map(|row| row.above.powi(2)).sum();
    #[allow(clippy::cast_precision_loss, reason = "a few dozen rows")]
    let n = rows.len() as f64;
    (sum / n).sqrt()
}

/// Lange's specific gravities, as ratios of weights in air of 0.0012 g/mL: the
/// README says why they can only be that.
fn lange(water_at: f64) -> Vec<(Row, Beside)> {
    let rows = table("glycerine/lange-15.csv").into_iter();
    let rows = rows.filter(|row| row.number("water_temperature_c") == water_at);
    rows.map(|row| {
        let water = grams_per_millilitre(water::density(at(water_at)));
        let expected = row.number("specific_gravity") * (water - 0.0012) + 0.0012;
        let beside = beside(Solute::Glycerine, &row, expected);
        (row, beside)
    })
    .collect()
}

/// A check of the fit only: the curve was fitted to Bosart and Snoddy and to
/// Lange 15/15. It misses the print of their steps, 0.000025, by up to 0.00027.
#[test]
fn glycerine_as_fitted() {
    let bosart = rows(Solute::Glycerine, "glycerine/bosart-snoddy-1927.csv");
    assert_eq!(bosart.len(), 33);
    for row in &bosart {
        row.hold();
    }
    let lange = lange(15.0);
    assert_eq!(lange.len(), 10);
    for (_, row) in &lange {
        row.hold();
    }
}

/// Independent: Lange 20/20, Volk and Kähler's formula and CRC were not fitted
/// to. The last two disagree with Bosart and Snoddy by their tolerance; at 80 %
/// and at 20 % the fit adds 0.00005 and 0.00008 to it.
#[test]
fn glycerine_as_others_have_it() {
    for (file, n) in [("volk-kaehler-2018", 22), ("crc-2021", 6)] {
        let rows = rows(Solute::Glycerine, &format!("glycerine/{file}.csv"));
        assert_eq!(rows.len(), n);
        for row in &rows {
            row.hold();
        }
    }
    let lange = lange(20.0);
    assert_eq!(lange.len(), 10);
    for (row, beside) in &lange {
        beside.hold();
        // A specific gravity is no density: taken for one it is too high.
        let apart = row.number("specific_gravity") - density(Solute::Glycerine, row);
        assert!(apart > 4.0 * beside.u, "{row}: {apart}");
    }
}

/// A check of the fit only: the curve was fitted to these two. Nakanishi's own
/// rows scatter about any smooth curve: at 44.6 and 47.1 % they lie 0.00013 below
/// and 0.00015 above ours. MacBeth and Thompson's are smooth.
#[test]
fn glycol_as_fitted() {
    for (file, n, apart) in [
        ("nakanishi-1967", 22, 2e-4),
        ("macbeth-thompson-1951", 11, 1e-4),
    ] {
        let rows = rows(Solute::Glycol, &format!("glycol/{file}.csv"));
        assert_eq!(rows.len(), n);
        for row in &rows {
            assert_close(&row.what, row.above, 0.0, apart);
        }
    }
}

/// Independent: glycol alone, by Sun and Teja and by two makers. The misprint of
/// one maker's page does not come out; 44.9 °C is refused.
#[test]
fn glycol_alone_as_others_have_it() {
    for row in rows(Solute::Glycol, "glycol/sun-teja-2004.csv") {
        assert_close(&row.what, row.above, 0.0, row.tolerance);
    }
    let glycol = Liquid::named("glycol 100%").unwrap().unwrap();
    for row in table("glycol/sun-teja-2004.csv") {
        let celsius = row.number("temperature_c");
        let density = glycol.density(&Measured::exact(at(celsius)));
        assert_eq!(density.is_ok(), celsius <= 35.0, "{row}");
    }
    let mut negative = 0;
    for row in table("glycol/makers.csv") {
        let beside = beside(Solute::Glycol, &row, row.number("density_g_per_ml"));
        if row.agrees() {
            assert_close(&beside.what, beside.above, 0.0, beside.tolerance);
        } else {
            assert!(beside.above.abs() > beside.tolerance, "{row}");
            negative += 1;
        }
    }
    assert_eq!(negative, 1);
}

/// Independent, and biased: Khattab's densities lie below the others everywhere,
/// water among them, most at 30.7 % and 303 K, where they are 0.0020 low in the
/// mean. The README found so against the straight line between the two trusted
/// tables; water's density is bent, and at 303 K 0.0001 above that line.
#[test]
fn khattab_lies_low() {
    let rows = rows(Solute::Glycol, "glycol/khattab-2017.csv");
    assert_eq!(rows.len(), 33);
    for row in &rows {
        let lowest = row.tolerance + 1e-4;
        assert!(
            (0.0..=lowest).contains(&row.above),
            "{}: {}",
            row.what,
            row.above
        );
    }
    let warm: Vec<&Beside> = rows.iter().filter(|row| row.celsius == 29.85).collect();
    assert_eq!(warm.len(), 11);
    let mean = warm.iter().map(|row| row.above).sum::<f64>() / 11.0;
    assert_close("mean at 303 K", mean, 0.0020, 0.00015);
    let most = rows.iter().max_by(|a, b| a.above.total_cmp(&b.above));
    let most = most.expect("a row");
    assert_eq!((most.celsius, most.share), (29.85, 30.72));
}

/// A check of the fit only: the curve was fitted to NBS Circular 457 from 5 to
/// 85 Brix. Its rounding is 0.00018; the library states 0.02 % (k = 1), and is
/// held to that in the mean square and to twice that in each row.
#[test]
fn sugar_as_fitted() {
    let rows = rows(Solute::Sugar, "sugar/nbs-c457-1946.csv");
    assert_eq!(rows.len(), 54);
    hold_sugar(&rows);
}

/// Independent in print; CRC agrees with NBS within the rounding of both.
#[test]
fn sugar_as_others_have_it() {
    let rows = rows(Solute::Sugar, "sugar/crc-2021.csv");
    assert_eq!(rows.len(), 16);
    hold_sugar(&rows);
}

fn hold_sugar(rows: &[Beside]) {
    for row in rows {
        assert_close(&row.what, row.above, 0.0, 2.0 * row.u);
    }
    let least_u = rows.iter().map(|row| row.u).fold(f64::INFINITY, f64::min);
    let off = root_mean_square(rows);
    assert!(off <= least_u, "{off} against {least_u}");
}

/// Syrup above 85 Brix, which the table has and the fit left out, is refused.
#[test]
fn thicker_syrup_is_refused() {
    let room = Measured::exact(ROOM_TEMPERATURE);
    let mut refused = 0;
    for row in table("sugar/nbs-c457-1946.csv") {
        let brix = row.number("share_pct");
        let syrup = Liquid::named(&format!("syrup {brix} Brix"));
        let known = syrup.and_then(|syrup| syrup.unwrap().density(&room));
        assert_eq!(known.is_ok(), brix <= 85.0, "{row}");
        refused += u32::from(known.is_err());
    }
    assert_eq!(refused, 6);
}

/// Honey as others have it, within two of the standard uncertainties that the
/// library states. Two rows are not met and must not be: a model of food that
/// reads high above 70 % of solids, and a honey of unknown water that is low for
/// any ordinary one.
#[test]
fn honey_as_others_have_it() {
    let mut met = 0;
    for row in table("sugar/honey.csv") {
        let expected = match row.text("quantity") {
            "density_g_per_ml" => row.number("value"),
            "specific_gravity" => {
                let water = water::density(at(row.number("temperature_c")));
                row.number("value") * grams_per_millilitre(water)
            }
            other => panic!("{row}: {other}"),
        };
        // The four sources that say it speak of about 17 % of water.
        let water = if row.text("water_pct").is_empty() {
            Ratio::of_base(0.17)
        } else {
            percent(&row, "water_pct")
        };
        let honey = grams_per_millilitre(honey_density(water));
        let above = honey - expected;
        let twice_u = 2.0 * HONEY_DENSITY_U * honey;
        match row.text("id") {
            "H5" => assert!(above < -twice_u, "{row}: {above}"),
            "H6" => assert!(above > twice_u, "{row}: {above}"),
            _ => {
                assert_close(&row.to_string(), above, 0.0, twice_u);
                met += 1;
            }
        }
    }
    assert_eq!(met, 4);
}

/// The water of composition tables is within what the library takes each
/// ingredient to hold.
#[test]
fn ingredients_hold_the_water_of_composition_tables() {
    for row in table("ingredients/water-content.csv") {
        let name = row.text("ingredient");
        let mut known = Ingredient::ALL.into_iter();
        let [low, high] = known
            .find(|one| one.name == name)
            .unwrap_or_else(|| panic!("{row}: {name}"))
            .water;
        assert_eq!(row.text("basis"), "wet", "{row}");
        assert!(low <= row.number("water_low_pct"), "{row}");
        assert!(row.number("water_high_pct") <= high, "{row}");
    }
}
