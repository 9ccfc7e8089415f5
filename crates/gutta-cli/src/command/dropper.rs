//! `gutta dropper`: what one drop weighs.

use clap::Args;

use gutta::bench::{Calibrating, Calibration, CountedDrops, Dropped, Finding, Readings, together};
use gutta::matter::Air;
use gutta::measure::{
    Density, Kind, Mass, Measured, RELATIVE_HUMIDITY, Reading, Scalar, Scale, Unit,
};
use gutta::{Caution, Estimate};

use super::keys;
use crate::answer::{Answer, Figure, JsonUnit, Key, Shape, Value};
use crate::failure::{Failure, Outcome};
use crate::render::json::Form;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag, scale};
use crate::say;

const EXAMPLES: &str = "\
Examples:
  gutta dropper 20=0.974g 20=0.981g 20=0.969g 20=0.977g 20=0.972g --scale 0.01g
  gutta dropper 20=0.612g 40=1.218g 60=1.833g --running --scale 0.001g
  gutta dropper 20=0.612g 20=0.606g 20=0.615g 20=0.581g --density 0.871g/mL
  gutta dropper 20=0.974g --temp 21.5°C --pressure 1003hPa --humidity 50%
  gutta dropper 40=2.5mL

Count drops onto the zeroed scale, dropper upright, one drop a second.";

/// What one drop weighs, from counted drops on a scale.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct DropperArgs {
    /// Counted drops with what they weigh, 20=0.974g, or the mark they reach, 40=2.5mL
    #[arg(value_name = "DROPS=AMOUNT")]
    readings: Vec<String>,
    /// A liquid of the book [water]
    #[arg(long, value_name = "NAME")]
    liquid: Option<String>,
    /// The liquid's density, such as 0.871g/mL
    #[arg(
        long,
        value_name = "DENSITY",
        conflicts_with = "liquid",
        allow_hyphen_values = true
    )]
    density: Option<String>,
    /// The temperature of room and liquid; with it buoyancy counts
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    /// The pressure of the room itself; with it buoyancy counts
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    pressure: Option<String>,
    /// The relative humidity; with it buoyancy counts
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    humidity: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// The readings are a running total since one zero
    #[arg(long)]
    running: bool,
}

/// What a reading is called in a complaint.
const READING: &str = "DROPS=AMOUNT";

const MILLIGRAMS: Shape = Shape::Quantity(JsonUnit::Milligram);

keys! {
    MASS = "drop_mass": MILLIGRAMS, "one drop as weighed in air, miscounts left out";
    VOLUME = "drop_volume": Shape::Quantity(JsonUnit::Millilitre), "one drop's volume";
    RATE = "drops_per_ml": Shape::Quantity(JsonUnit::DropPerMillilitre), "drops in a millilitre";
    SPREAD = "spread": Shape::Quantity(JsonUnit::Percent), "the spread of the weighings, relative to their mean";
    FOR_1 = "drops_for_1_percent": Shape::Quantity(JsonUnit::Drop), "how many drops to weigh at once for a standard uncertainty of 1 %";
    ALL = "drop_mass_all": MILLIGRAMS, "one drop with everything as typed";
    RECOUNTED = "drop_mass_recounted": MILLIGRAMS, "one drop with the corrected counts";
    SUSPECTS = "suspects": Shape::Suspects, "weighings that read as another whole number of drops";
}

/// The keys of a calibration.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&MASS, &VOLUME, &RATE, &SUSPECTS],
    known: &[&SPREAD, &FOR_1, &ALL, &RECOUNTED],
}];

/// Everything that was typed, read.
struct Question {
    typed: Vec<CountedDrops>,
    calibrating: Calibrating,
    assumed: Assumed,
    cautions: Vec<Caution>,
}

impl DropperArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let question = self.read(shelf)?;
        let calibration = question.calibrating.calibrate().map_err(Failure::from)?;
        Ok(question.say(&calibration))
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let mut cautions = Vec::new();
        let scale = scale(self.scale.as_ref(), shelf)?;
        let air = self.air(&mut assumed)?;
        let liquid = self.liquid(shelf, air.as_ref(), &mut assumed)?;
        let typed = self
            .readings
            .iter()
            .map(|text| {
                CountedDrops::read(text).map_err(|error| Flag::new(READING, text).fail(error))
            })
            .collect::<Outcome<Vec<_>>>()?;
        let readings = together(&typed, self.running).map_err(|misfit| {
            match self.readings.get(misfit.weighing) {
                Some(text) => Flag::new(READING, text).fail(misfit.error),
                None => Failure::from(misfit.error).about(READING),
            }
        })?;
        let finer = |c: &&CountedDrops| scale.is_some_and(|s| is_finer(c.amount(), s));
        if let Some(weighing) = typed.iter().position(|c| finer(&c)) {
            cautions.push(Caution::FinerThanScale {
                weighing: weighing + 1,
                others: typed.iter().filter(finer).count() - 1,
            });
        }
        if scale.is_some() && matches!(readings, Readings::ToMark(_)) {
            return Err(Failure::unreadable("clash", "a graduate mark is read, not weighed")
                .about("--scale")
                .hint("leave --scale out; the doubt of the mark goes with it: \"40 = 2.5mL ± 0.1mL\""));
        }
        Ok(Question {
            calibrating: Calibrating {
                readings,
                liquid,
                scale,
                air,
            },
            typed,
            assumed,
            cautions,
        })
    }

    fn air(&self, assumed: &mut Assumed) -> Outcome<Option<Air>> {
        let temperature = Flag::of("--temp", self.temp.as_ref());
        let pressure = Flag::of("--pressure", self.pressure.as_ref());
        let humidity = Flag::of("--humidity", self.humidity.as_ref());
        if temperature.is_none() && pressure.is_none() && humidity.is_none() {
            assumed.line("20\u{a0}°C, and no buoyancy of air: give --temp, --pressure or --humidity to count it");
            return Ok(None);
        }
        let t = match temperature {
            Some(flag) => flag.temperature()?,
            None => {
                assumed.line("20\u{a0}°C");
                *Air::ROOM.temperature()
            }
        };
        let p = match pressure {
            Some(flag) => flag.pressure()?,
            None => {
                assumed.line("air pressure 1013.25\u{a0}hPa");
                *Air::ROOM.pressure()
            }
        };
        let h = match humidity {
            Some(flag) => flag.share_within(&RELATIVE_HUMIDITY)?,
            None => {
                assumed.line("relative humidity 50\u{a0}%");
                *Air::ROOM.humidity()
            }
        };
        assumed.line("buoyancy of air and density at the temperature are taken into account");
        Air::new(t, p, h).map(Some).map_err(Failure::from)
    }

    fn liquid(&self, shelf: &Shelf, air: Option<&Air>, assumed: &mut Assumed) -> Outcome<Dropped> {
        if let Some(flag) = Flag::of("--density", self.density.as_ref()) {
            let (reading, density) = flag.density()?;
            assumed.exact_if(
                density.is_exact(),
                format!("density {}", reading.unbroken()),
            );
            return Ok(Dropped::Other(density));
        }
        match Flag::of("--liquid", self.liquid.as_ref()) {
            Some(flag) if !flag.text.trim().eq_ignore_ascii_case("water") => {
                let density = known_density(flag, shelf)?;
                assumed.line(format!(
                    "density of {}, {}",
                    flag.text,
                    say::base(density.value().base(), Unit::GRAM_PER_MILLILITRE)
                ));
                Ok(Dropped::Other(density))
            }
            Some(_) => Ok(Dropped::Water),
            None => {
                assumed.line(match air {
                    None => "the liquid is water, 0.9982\u{a0}g/mL".to_owned(),
                    Some(_) => "the liquid is water".to_owned(),
                });
                Ok(Dropped::Water)
            }
        }
    }
}

/// The density of a liquid of the book.
pub fn known_density(flag: Flag<'_>, shelf: &Shelf) -> Outcome<Measured<Density>> {
    let liquid = shelf.liquid(flag)?;
    liquid.density.ok_or_else(|| {
        flag.wrong(
            "missing",
            format!("the book has no density of {}", liquid.name),
        )
        .hint("weigh 10 mL of it, and type the density: --density 0.871g/mL")
    })
}

/// Whether a reading has finer decimals than the scale shows.
fn is_finer(reading: &Reading, scale: Scale) -> bool {
    reading.kind() == Kind::Mass && reading.last_place() < 0.999 * scale.division().base()
}

impl Question {
    fn say(self, calibration: &Calibration) -> Answer {
        let mass = &calibration.drop_mass;
        let suspects: Vec<(usize, u64)> = calibration
            .findings
            .iter()
            .filter_map(|finding| match *finding {
                Finding::Miscount { weighing, reads_as } => Some((weighing, reads_as)),
                _ => None,
            })
            .collect();
        let headline = format!(
            "One drop weighs {} ({}, {}).",
            say::estimate(mass, say::MILLIGRAM),
            say::estimate(&calibration.drop_volume, Unit::MILLILITRE),
            say::estimate(&calibration.drops_per_volume, Unit::DROP_PER_MILLILITRE),
        );
        let mut answer = Answer::new("dropper", headline);
        for &(weighing, reads_as) in &suspects {
            answer.details.push(format!(
                "Weighing {weighing}, {} drops for {}, is left out: it reads as {reads_as}.",
                self.typed[weighing - 1].drops(),
                self.typed[weighing - 1].amount().unbroken(),
            ));
        }
        if let (Some(recounted), Some(all)) =
            (calibration.drop_mass_recounted, calibration.drop_mass_all)
        {
            answer.details.push(format!(
                "With the corrected count {}; with everything as typed {}.",
                say::base(recounted.base(), say::MILLIGRAM),
                say::base(all.base(), say::MILLIGRAM),
            ));
        }
        answer.check = check(mass);
        figures(&mut answer, calibration, suspects);
        answer.budget_of(mass);
        doubt(&mut answer, calibration, &self.calibrating.readings);
        next(&mut answer, calibration);
        let mut cautions = self.cautions.clone();
        for finding in &calibration.findings {
            if let Finding::Odd { weighing } = *finding {
                cautions.push(Caution::OddWeighing { weighing });
            }
        }
        if calibration.blind_to_one_drop {
            cautions.push(Caution::BlindToOneDrop);
        }
        if calibration.unusual_size {
            cautions.push(Caution::UnusualDrop);
        }
        answer.cautions = cautions.iter().map(ToString::to_string).collect();
        self.working(&mut answer, calibration);
        answer.assumed = self.assumed.into_lines();
        answer
    }

    fn working(&self, answer: &mut Answer, calibration: &Calibration) {
        let kept = |i: usize| {
            !calibration
                .findings
                .iter()
                .any(|f| matches!(f, Finding::Miscount { weighing, .. } if *weighing == i + 1))
        };
        let running = matches!(self.calibrating.readings, Readings::Running(_));
        let sum = self
            .typed
            .iter()
            .enumerate()
            .filter(|(i, _)| kept(*i) && (!running || i + 1 == self.typed.len()));
        let (amounts, drops): (Vec<String>, Vec<String>) = sum
            .map(|(_, counted)| (counted.amount().unbroken(), counted.drops().to_string()))
            .unzip();
        answer.working.push(format!(
            "drop = ({}) / ({}) = {}",
            amounts.join(" + "),
            drops.join(" + "),
            say::base(calibration.drop_mass.best().base(), say::MILLIGRAM)
        ));
        if let Some(scatter) = calibration.scatter {
            answer.working.push(format!(
                "scatter of one drop, s₁ = {}",
                say::base(scatter.base(), say::MILLIGRAM)
            ));
        }
    }
}

/// What a person can verify on the scale.
fn check(mass: &Estimate<gutta::measure::DropMass>) -> String {
    let twenty = Estimate::exact(Mass::of_base(20.0 * mass.best().base()));
    format!("20 drops then weigh {}", say::estimate(&twenty, Unit::GRAM))
}

fn figures(answer: &mut Answer, calibration: &Calibration, suspects: Vec<(usize, u64)>) {
    answer.put(&MASS, &calibration.drop_mass);
    answer.put(&VOLUME, &calibration.drop_volume);
    answer.put(&RATE, &calibration.drops_per_volume);
    if let Some(spread) = calibration.spread {
        answer.put_exact(&SPREAD, spread.base());
    }
    if let Some(drops) = calibration.drops_for_1_percent {
        answer.put_exact(&FOR_1, drops.count());
    }
    if let Some(all) = calibration.drop_mass_all {
        answer.put_exact(&ALL, all.base());
    }
    if let Some(recounted) = calibration.drop_mass_recounted {
        answer.put_exact(&RECOUNTED, recounted.base());
    }
    answer.figures.push(Figure {
        key: &SUSPECTS,
        value: Value::Suspects(suspects),
    });
}

fn doubt(answer: &mut Answer, calibration: &Calibration, calibrated_by: &Readings) {
    let mass = &calibration.drop_mass;
    if mass.u() > 0.0 {
        answer.doubt.push(format!(
            "drop {} (95\u{a0}%): {}",
            say::with_doubt(mass, say::MILLIGRAM),
            say::drivers(&answer.budget)
        ));
    } else {
        let how = match calibrated_by {
            Readings::ToMark(_) => {
                "fill twice or more, or type the doubt of the mark, such as \"40 = 2.5mL ± 0.1mL\""
            }
            _ => "weigh twice or more, or say --scale",
        };
        answer.doubt.push(format!("not known: {how}"));
    }
    match calibration.spread {
        Some(spread) => answer.doubt.push(format!(
            "spread of the weighings {}",
            say::base(spread.base(), Unit::PERCENT)
        )),
        None => answer
            .doubt
            .push("one weighing alone: the scatter from drop to drop is unknown".to_owned()),
    }
}

fn next(answer: &mut Answer, calibration: &Calibration) {
    if let Some(drops) = calibration.drops_for_1_percent {
        answer.next.push(format!(
            "for a standard uncertainty of 1\u{a0}% weigh {} at once",
            say::whole_drops(drops)
        ));
    }
    answer.next.push(format!(
        "type it as --drop {}",
        say::base(calibration.drop_mass.best().base(), say::MILLIGRAM).replace('\u{a0}', "")
    ));
}
