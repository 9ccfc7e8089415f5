//! `gutta dropper`: what one drop weighs.

use clap::Args;

use gutta::Error;
use gutta::bench::{Calibrating, CountedDrops, Dropped, Falling, FromTip, Readings, together};
use gutta::matter::{Air, Liquid};
use gutta::measure::{
    Kind, Length, Measured, RELATIVE_HUMIDITY, ROOM_TEMPERATURE, Scalar, TIP, Unit,
};

use super::draws::DrawArgs;
use super::keep::{KeepArgs, Typed};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag, by_temperature, density, liquid, scale};
use crate::say;
use crate::speak::dropper::Question;
use crate::speak::{self, falling};

const EXAMPLES: &str = "\
Examples:
  gutta dropper 20=0.974g 20=0.981g 20=0.969g 20=0.977g 20=0.972g --scale 0.01g
  gutta dropper 20=0.612g 40=1.218g 60=1.833g --running --scale 0.001g
  gutta dropper 20=0.612g 20=0.606g 20=0.615g 20=0.581g --density 0.871g/mL
  gutta dropper 20=0.974g --temp 21.5°C --pressure 1003hPa --humidity 50%
  gutta dropper 40=2.5mL
  gutta dropper 20=0.974g 20=0.981g 20=0.969g --then \"alcohol 70% vol\"
  gutta dropper --tip 3.0mm --liquid \"alcohol 40% vol\"
  gutta dropper 20=0.97g 20=0.98g --scale bench --save clear --date 2026-11-25 \\
    --book demo-data

Count drops onto the zeroed scale, dropper upright, one drop a second.";

/// What one drop weighs, from counted drops on a scale.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct DropperArgs {
    /// Counted drops with what they weigh, 20=0.974g, or the mark they reach, 40=2.5mL
    #[arg(value_name = "DROPS=AMOUNT")]
    readings: Vec<String>,
    /// The liquid by its name: one of the book, or alcohol 70% vol [water]
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
    /// A dropper of the book, with its weighings, in place of readings
    #[arg(
        long,
        value_name = "NAME",
        conflicts_with_all = ["readings", "liquid", "density", "temp", "pressure", "humidity", "scale", "running", "tip"]
    )]
    dropper: Option<String>,
    /// The outer diameter of the wetted tip, such as 3.0mm, in place of readings
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        conflicts_with_all = ["readings", "density", "pressure", "humidity", "scale", "running", "then"]
    )]
    tip: Option<String>,
    /// Another liquid from the same tip, such as "alcohol 70% vol": its drop, worked out
    #[arg(long, value_name = "NAME")]
    then: Option<String>,
    #[command(flatten)]
    keep: KeepArgs,
    #[command(flatten)]
    draws: DrawArgs,
}

/// What a reading is called in a complaint.
const READING: &str = "DROPS=AMOUNT";

/// A complaint about one reading, which people know by what they typed.
fn of_reading(text: &str, error: Error) -> Failure {
    Flag::new(READING, text)
        .fail(error)
        .called(format!("the reading `{text}`"))
}

impl DropperArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let typed = Typed {
            readings: &self.readings,
            running: self.running,
            liquid: self.liquid.as_ref(),
            scale: self.scale.as_ref(),
            temp: self.temp.as_ref(),
            pressure: self.pressure.as_ref(),
            humidity: self.humidity.as_ref(),
        };
        let kept = self.keep.of(&typed, shelf)?;
        let mut answer = self.drop(shelf)?;
        // What cannot be answered is not kept.
        if let Some(kept) = kept {
            kept.save(&mut answer)?;
        }
        Ok(answer)
    }

    fn drop(&self, shelf: &Shelf) -> Outcome<Answer> {
        if let Some(flag) = Flag::of("--tip", self.tip.as_ref()) {
            return self.by_tip(flag, shelf);
        }
        let mut question = match Flag::of("--dropper", self.dropper.as_ref()) {
            Some(flag) => of_book(flag, shelf)?,
            None => self.read(shelf)?,
        };
        let calibration = question.calibrating.calibrate().map_err(Failure::from)?;
        let calibrating = question.calibrating.clone();
        let Some(flag) = Flag::of("--then", self.then.as_ref()) else {
            let mut answer = question.say(&calibration);
            self.draws.add(&mut answer, || calibrating.simulate())?;
            return Ok(answer);
        };
        let to = liquid::needed(flag, shelf, &mut question.assumed)?;
        let weighed = falling::weighed_in_book(&to, shelf)?;
        let falling = Falling {
            from: calibrating,
            to,
        };
        let temp = Flag::of("--temp", self.temp.as_ref());
        let predicted = falling
            .predict()
            .map_err(|error| by_temperature(temp, flag, &error).fail(error))?;
        let mut answer = question.say(&calibration);
        falling::say_then(&mut answer, &falling, &predicted, weighed);
        self.draws.add(&mut answer, || falling.simulate())?;
        Ok(answer)
    }

    /// A drop from the tip alone, nothing weighed.
    fn by_tip(&self, flag: Flag<'_>, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let reading = flag.read(&[Kind::Length])?;
        let tip = reading
            .length()
            .unwrap_or(Measured::exact(Length::of_base(0.0)));
        assumed.exact_if(tip.is_exact(), format!("tip {}", reading.unbroken()));
        flag.within(&TIP, &reading)?;
        let temperature = match Flag::of("--temp", self.temp.as_ref()) {
            Some(flag) => {
                let temperature = flag.temperature()?;
                assumed.line(say::base(temperature.value().base(), Unit::CELSIUS));
                temperature
            }
            None => {
                assumed.line("20\u{a0}°C");
                Measured::exact(ROOM_TEMPERATURE)
            }
        };
        let named = Flag::of("--liquid", self.liquid.as_ref());
        let liquid = match named {
            Some(flag) => liquid::needed(flag, shelf, &mut assumed)?,
            None => {
                assumed.line("the liquid is water");
                Liquid::water()
            }
        };
        let from_tip = FromTip {
            tip,
            liquid,
            temperature,
        };
        let temp = Flag::of("--temp", self.temp.as_ref());
        let predicted = from_tip.predict().map_err(|error| {
            let is_width = error.to_string().starts_with("the tip");
            let or = if is_width {
                flag
            } else {
                named.unwrap_or(flag)
            };
            by_temperature(temp, or, &error).fail(error)
        })?;
        let mut answer = falling::say_from_tip(&from_tip, &reading, &predicted, assumed);
        self.draws.add(&mut answer, || from_tip.simulate())?;
        Ok(answer)
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let scale = scale(self.scale.as_ref(), shelf)?;
        let air = self.air(&mut assumed)?;
        let liquid = self.liquid(shelf, air.as_ref(), &mut assumed)?;
        let typed = self
            .readings
            .iter()
            .map(|text| {
                CountedDrops::read(text).map_err(|error| self.of_stray_reading(text, error))
            })
            .collect::<Outcome<Vec<_>>>()?;
        let readings = together(&typed, self.running).map_err(|misfit| {
            match self.readings.get(misfit.weighing) {
                Some(text) => of_reading(text, misfit.error),
                None => Failure::from(misfit.error)
                    .about(READING)
                    .called("the readings"),
            }
        })?;
        if let Some(caution) = speak::dropper::finer(&typed, scale) {
            assumed.caution(caution);
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
        })
    }

    /// A complaint about one reading, which may be the rest of a liquid's name
    /// that was not quoted.
    fn of_stray_reading(&self, text: &str, error: Error) -> Failure {
        let named = [("--then", &self.then), ("--liquid", &self.liquid)];
        let unquoted = named
            .into_iter()
            .find_map(|(flag, name)| Some((flag, name.as_ref()?)))
            .filter(|_| !text.contains('='));
        match unquoted {
            Some((flag, name)) => of_reading(
                text,
                error.with_hint(format!(
                    "a name with blanks goes in quotes, such as {flag} \"{name} {text} …\"; a reading is a count, = and what the drops weigh, such as 20=0.974g"
                )),
            ),
            None => of_reading(text, error),
        }
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
            Some(flag) => flag.humidity(&RELATIVE_HUMIDITY)?,
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
            return density::typed(flag, "density", assumed).map(Dropped::Other);
        }
        match Flag::of("--liquid", self.liquid.as_ref()) {
            Some(flag) => {
                let found = liquid::needed(flag, shelf, assumed)?;
                let temperature =
                    air.map_or(Measured::exact(ROOM_TEMPERATURE), |a| *a.temperature());
                liquid::dropped(flag, &found, &temperature, assumed)
            }
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

/// A dropper of the book, as it was calibrated.
fn of_book(flag: Flag<'_>, shelf: &Shelf) -> Outcome<Question> {
    let entry = shelf.dropper(flag)?;
    let mut assumed = Assumed::default();
    assumed.line(format!(
        "dropper {}: {} as calibrated on {}",
        entry.name, entry.liquid, entry.date
    ));
    assumed.line(match &entry.calibrating.air {
        Some(air) => format!(
            "at {}: buoyancy of air and density at the temperature are taken into account",
            say::base(air.temperature().value().base(), Unit::CELSIUS)
        ),
        None => "20\u{a0}°C, and no buoyancy of air".to_owned(),
    });
    Ok(Question {
        typed: entry.typed.clone(),
        calibrating: entry.calibrating.clone(),
        assumed,
    })
}
