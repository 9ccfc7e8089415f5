//! Which drop a command counts with: typed, from the book, or the standard.

use gutta::Caution;
use gutta::bench::{Calibration, Drop};
use gutta::matter::{Liquid, liquids};
use gutta::measure::{Density, DropMass, Kind, Measured, ROOM_TEMPERATURE, Reading, Scalar};

use super::shelf::Shelf;
use super::{Assumed, Flag, is_water};
use crate::failure::{Failure, Outcome};

/// How to come by a drop's mass in two minutes.
pub const CALIBRATE: &str = "weigh it in two minutes: count 20 drops onto the zeroed scale, and type \
     its mass over 20 as --drop 21.4mg, or run gutta dropper 20=0.428g with more weighings";

/// A drop, with the density that came with its dropper.
#[derive(Clone, Debug)]
pub struct Found {
    /// The drop.
    pub drop: Drop,
    /// The density of the liquid that the dropper was calibrated with.
    pub density: Option<Measured<Density>>,
    /// What to call the liquid; water has no need of it.
    pub liquid: Option<String>,
}

/// A drop typed as a mass, or as drops in a volume of a liquid whose density
/// another flag gives.
pub fn typed(
    flag: Flag<'_>,
    density: Option<Measured<Density>>,
    density_flag: &'static str,
    what: &str,
    assumed: &mut Assumed,
) -> Outcome<Drop> {
    let reading = flag.read(&[Kind::Mass, Kind::DropsPerVolume])?;
    assumed.exact_if(reading.is_exact(), format!("{what} {}", reading.unbroken()));
    if let Some(mass) = reading.mass() {
        let mass = mass.through::<DropMass>(DropMass::new);
        return Drop::of_mass(mass).map_err(|error| flag.fail(error));
    }
    by_rate(flag, &reading, density, density_flag)
}

fn by_rate(
    flag: Flag<'_>,
    reading: &Reading,
    density: Option<Measured<Density>>,
    density_flag: &'static str,
) -> Outcome<Drop> {
    let Some(density) = density else {
        return Err(Failure::missing(
            density_flag,
            format!("{} in drops per volume needs the density", flag.name),
        )
        .hint(format!(
            "type the density of the liquid: {density_flag} 0.871g/mL; or the drop's mass: {} 21.4mg",
            flag.name
        )));
    };
    let rate = reading
        .drops_per_volume()
        .unwrap_or(Measured::exact(Scalar::of_base(f64::NAN)));
    if rate.value().base() <= 0.0 {
        return Err(flag
            .wrong("out-of-range", "drops per volume must be above 0")
            .hint("type a figure such as 20/mL"));
    }
    Drop::of_rate(rate, density.value()).map_err(|error| flag.fail(error))
}

/// A dropper of the book, calibrated from its raw weighings.
pub fn of_book(flag: Flag<'_>, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Found> {
    let entry = shelf.dropper(flag)?;
    let calibration = entry
        .calibrating
        .calibrate()
        .map_err(|error| flag.fail(error))?;
    assumed.line(format!(
        "dropper {}: {} of {}, as calibrated on {}{}",
        entry.name,
        milligrams(&calibration),
        entry.liquid,
        entry.date,
        left_out(&calibration)
    ));
    if calibration.unusual_size {
        assumed.caution(Caution::UnusualDrop);
    }
    let is_water = is_water(&entry.liquid);
    let density = if is_water {
        None
    } else {
        let room = Measured::exact(ROOM_TEMPERATURE);
        let liquid = match shelf.liquid_if(&entry.liquid)? {
            Some(entry) => Some(entry.liquid()),
            None => Liquid::named(&entry.liquid).ok().flatten(),
        };
        let composition = liquid.as_ref().and_then(|l| l.composition.as_ref());
        if let Some(caution) = composition.and_then(liquids::flammable) {
            assumed.caution(caution);
        }
        liquid.and_then(|liquid| liquid.density(&room).ok().map(|d| d.measured()))
    };
    Ok(Found {
        drop: calibration.drop(),
        density,
        liquid: (!is_water).then(|| entry.liquid.clone()),
    })
}

fn milligrams(calibration: &Calibration) -> String {
    crate::say::estimate(&calibration.drop_mass, crate::say::MILLIGRAM)
}

fn left_out(calibration: &Calibration) -> String {
    let out: Vec<String> = calibration
        .miscounts()
        .map(|(weighing, reads_as)| format!("weighing {weighing} left out, it reads as {reads_as}"))
        .collect();
    if out.is_empty() {
        String::new()
    } else {
        format!(" ({})", out.join("; "))
    }
}

/// The drop of water that `--drop` or `--dropper` name, where one does.
pub fn of_water(
    drop: Option<&String>,
    dropper: Option<&String>,
    density: Measured<Density>,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Option<Drop>> {
    if let Some(flag) = Flag::of("--drop", drop) {
        return typed(flag, Some(density), "--temp", "drop", assumed).map(Some);
    }
    let Some(flag) = Flag::of("--dropper", dropper) else {
        return Ok(None);
    };
    let found = of_book(flag, shelf, assumed)?;
    match found.liquid {
        None => Ok(Some(found.drop)),
        Some(liquid) => Err(Failure::refused(format!(
            "dropper {} is calibrated with {liquid}, not with water",
            flag.text
        ))
        .about(flag.name)
        .pointing(flag.text, 0, flag.text.len())
        .hint("a drop of another liquid has another mass: weigh 20 drops of water from it, and type --drop 47.8mg")),
    }
}

/// The standard dropper, said as an assumption.
pub const STANDARD: &str = "the standard dropper, 20\u{a0}drops/mL ±\u{a0}15\u{a0}% (95\u{a0}%): calibrate your own with gutta dropper";

/// The one dropper of the book that was calibrated with a liquid.
pub fn for_liquid(
    flag: Flag<'_>,
    liquid: &str,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Option<Drop>> {
    match shelf.droppers_of(liquid)?.as_slice() {
        [] => Ok(None),
        [one] => {
            let name = one.name.clone();
            let by_name = Flag::new(flag.name, &name);
            of_book(by_name, shelf, assumed).map(|found| Some(found.drop))
        }
        several => Err(flag
            .wrong(
                "ambiguous",
                format!(
                    "{} droppers of the book are calibrated with {liquid}",
                    several.len()
                ),
            )
            .hint(format!("weigh it, and type its mass: \"… g {liquid}\""))),
    }
}
