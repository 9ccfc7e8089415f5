//! A row of a table is the single answer, bit for bit.

use gutta::bench::{Asked, Batch, BatchValue, Dosing, Drop, LeafBasis, RowFlavour, RowWater, Rows};
use gutta::measure::{
    Density, DropMass, Drops, Kind, Mass, Measured, Ratio, Reading, Scalar, Scale, read,
};
use gutta::{Moisture, Watering, WateringPlan};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A figure of some decimals from a range, as somebody types it.
fn figure(random: &mut Xoshiro256PlusPlus, low: f64, high: f64) -> String {
    let share = (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
    let decimals = (random.next_u64() % 6) as usize;
    format!("{:.decimals$}", low + (high - low) * share)
}

fn typed(text: &str, kind: Kind) -> Reading {
    read(text, &[kind]).unwrap_or_else(|error| panic!("{text}: {error}"))
}

const ROWS: usize = 100_000;

#[test]
fn the_water_of_a_row_is_that_of_a_plan_bit_for_bit() {
    let random = &mut Xoshiro256PlusPlus::seed_from_u64(11);
    let scale = Scale::new(Mass::of_base(1e-5)).unwrap();
    let (mut dry, mut drops_of) = (0, 0);
    for i in 0..ROWS {
        let has_scale = i % 3 != 0;
        // Doubt about the moisture makes a plan look for a first addition, which
        // takes its time: every tenth row.
        let u_at = if i % 10 == 0 { 0.004 } else { 0.0 };
        let u_drop = if i % 2 == 0 { 3e-7 } else { 0.0 };
        let leaf = typed(&(figure(random, 1.0, 5000.0) + " g"), Kind::Mass).base();
        let at = typed(&(figure(random, 5.0, 18.0) + " %"), Kind::Share).base();
        let to = typed(&(figure(random, 9.0, 25.0) + " %"), Kind::Share).base();
        let drop = typed(&(figure(random, 6.0, 119.0) + " mg"), Kind::Mass).base();
        let row = RowWater {
            leaf: Mass::of_base(leaf),
            at: Moisture::of_base(at),
            u_at: Ratio::of_base(u_at),
            to: Moisture::of_base(to),
            drop: DropMass::of_base(drop),
            u_drop: DropMass::of_base(u_drop),
        };
        let scale = has_scale.then_some(scale);
        let watered = Rows::new(scale).water(&row);
        let weighed = match scale {
            Some(scale) => scale.weighed(row.leaf),
            None => Measured::exact(row.leaf),
        };
        let single = Watering {
            drop: Some(Drop::of_mass(Measured::new(row.drop, u_drop, f64::INFINITY)).unwrap()),
            ..Watering::new(weighed, Measured::new(row.at, u_at, f64::INFINITY), row.to)
        };
        let WateringPlan::Add(plan) = single.plan().unwrap() else {
            assert!(!watered.is_dry, "{row:?}");
            assert_eq!(watered.water.base(), 0.0);
            assert_eq!(watered.moisture, row.at);
            continue;
        };
        assert!(watered.is_dry, "{row:?}");
        dry += 1;
        let counted = plan.drops.unwrap();
        drops_of += counted.whole.whole();
        let bits = f64::to_bits;
        assert_eq!(
            bits(watered.water.base()),
            bits(plan.water.best().base()),
            "{row:?}"
        );
        assert_eq!(watered.drops, counted.whole, "{row:?}");
        let (moisture, u) = (counted.moisture.best().base(), counted.moisture.u());
        assert_eq!(bits(watered.moisture.base()), bits(moisture), "{row:?}");
        assert_eq!(bits(watered.u_moisture.base()), bits(u), "{row:?}");
        // The density of a table is that of a plan to six figures.
        let volume = plan.volume.best().base();
        assert!(
            (watered.volume.base() / volume - 1.0).abs() < 5e-7,
            "{row:?}"
        );
    }
    assert!(dry > ROWS / 2 && dry < ROWS, "{dry}");
    assert!(drops_of > 0);
}

#[test]
fn the_flavouring_of_a_row_is_that_of_a_dose_bit_for_bit() {
    let random = &mut Xoshiro256PlusPlus::seed_from_u64(12);
    let on = typed("10 g", Kind::Mass).base();
    for _ in 0..ROWS {
        let row = RowFlavour {
            leaf: Mass::of_base(typed(&(figure(random, 1.0, 5000.0) + " g"), Kind::Mass).base()),
            drops: Drops::new((random.next_u64() % 400 + 1) as f64 / 4.0),
            on: Mass::of_base(on),
            drop: DropMass::of_base(
                typed(&(figure(random, 6.0, 119.0) + " mg"), Kind::Mass).base(),
            ),
            density: Density::of_base(
                typed(&(figure(random, 0.6, 1.4) + " g/mL"), Kind::Density)
                    .base()
                    .clamp(600.0, 1500.0),
            ),
        };
        let dosing = Dosing {
            leaf: Some(Measured::exact(row.on)),
            drop: Some(Drop::of_mass(Measured::exact(row.drop)).unwrap()),
            density: Some(Measured::exact(row.density)),
            batch: Some(Batch {
                leaf: Measured::exact(row.leaf),
                at: BatchValue::Unknown,
                density: BatchValue::AsInTrial,
                drop: BatchValue::AsInTrial,
            }),
            ..Dosing::new(Asked::Drops(row.drops), LeafBasis::AsWeighed)
        };
        let single = dosing.answer().unwrap();
        let batch = single.batch.unwrap();
        let got = row.flavouring();
        let bits = f64::to_bits;
        assert_eq!(
            bits(got.mass.base()),
            bits(batch.mass.best().base()),
            "{row:?}"
        );
        let volume = batch.volume.unwrap().best().base();
        assert_eq!(bits(got.volume.base()), bits(volume), "{row:?}");
        let dose = single.dose.unwrap().best().base();
        assert_eq!(bits(got.dose.base()), bits(dose), "{row:?}");
    }
}
