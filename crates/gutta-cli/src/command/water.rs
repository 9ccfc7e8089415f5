//! `gutta water`: water to a target moisture, or when to stop drying.

use clap::Args;

use gutta::bench::{Added, Drop};
use gutta::measure::{BAND, Kind, RISK, Scale};
use gutta::{Watering, WateringPlan};

use super::draws::DrawArgs;
use super::measuring::MeasuringArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::bring::{Around, bring};
use crate::resolve::shelf::Shelf;
use crate::resolve::{AMOUNTS, Assumed, Flag, drop, leaf_moisture, method, water_added};
use crate::speak::water::{Question, Second};

const EXAMPLES: &str = "\
Examples:
  gutta water --leaf 10.00g --at 11.2% --to 14.5% --drop 47.8mg
  gutta water --leaf 340g --at \"10.8% ± 1.0%\" --to 15% --scale 0.1g
  gutta water --leaf \"1 lb 6 oz\" --at 10.5% --to 16%
  gutta water --leaf 815g --at 21.4% --to 14% --tray 612g
  gutta water --leaf 340g --at \"10.8% ± 3%\" --to 15% --added 10.8g --reading \"13.1% ± 0.5%\"
  gutta water --leaf 1200g --at 11.5% --to 16% --bring \"60g casing, 35% water\"

Moisture is water over total weight; write `17.6% db` for dry basis.";

/// How much water brings leaf to a moisture, or when to stop drying.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct WaterArgs {
    /// Leaf as weighed, such as 10.00g or "1 lb 6 oz"
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture now, such as 11.2%, "11.2% ± 0.5%", 11-13% or "17.6% db"
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// How that moisture was found: oven, oven-cased, jar, air or feel
    #[arg(long, value_name = "METHOD", conflicts_with = "lot")]
    by: Option<String>,
    /// The moisture wanted, such as 14.5%
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The tray that stands on the scale with the leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tray: Option<String>,
    /// What else goes on: "AMOUNT NAME[, PERCENT PART]…", by mass
    #[arg(long, value_name = "WHAT", allow_hyphen_values = true)]
    bring: Vec<String>,
    #[command(flatten)]
    measuring: MeasuringArgs,
    /// What has gone on already, the first addition: 10.8g or 5drops
    #[arg(long, value_name = "WATER", allow_hyphen_values = true)]
    added: Option<String>,
    /// The moisture read after the first addition, with its doubt
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    reading: Option<String>,
    /// Half-width of the target band, in points of moisture [1%]
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    band: Option<String>,
    /// The chance of passing the top of the band that is put up with [5%]
    #[arg(long, value_name = "CHANCE", allow_hyphen_values = true)]
    risk: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

impl WaterArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let question = self.read(shelf)?;
        let watering = question.watering.clone();
        let mut answer = match watering.plan().map_err(Failure::from)? {
            WateringPlan::Add(plan) => question.adding(&plan),
            WateringPlan::Dry(plan) => question.drying(&plan),
            WateringPlan::Nothing(plan) => question.resting(&plan),
        };
        self.draws.add(&mut answer, || watering.simulate())?;
        Ok(answer)
    }

    /// Takes a first addition into account: what is left is watered.
    fn second(
        &self,
        watering: &mut Watering,
        scale: Option<Scale>,
        assumed: &mut Assumed,
    ) -> Outcome<Option<Second>> {
        let reading_flag = Flag::of("--reading", self.reading.as_ref());
        let Some(flag) = Flag::of("--added", self.added.as_ref()) else {
            return match reading_flag {
                None => Ok(None),
                Some(_) => Err(Failure::missing(
                    "--added",
                    "--reading is about a first addition, and there is none",
                )
                .hint("type what has gone on already, such as --added 10.8g")),
            };
        };
        let typed = flag.read(AMOUNTS)?;
        let added = water_added(flag, &typed, scale, watering.drop, assumed)?;
        let reading = match reading_flag {
            Some(flag) => Some(flag.moisture()?),
            None => None,
        };
        if let Some(flag) = reading_flag.filter(|_| assumed.is_upper_bound()) {
            return Err(Failure::refused(
                "a reading is not combined with an upper bound of the moisture",
            )
            .about(flag.name)
            .pointing(flag.text, 0, flag.text.len())
            .hint("go by the reading alone: weigh the leaf as it is now, type the reading as --at, and leave --added out"));
        }
        let step = watering
            .second_step(&added, reading.as_ref().map(|(_, moisture)| moisture))
            .map_err(|error| reading_flag.unwrap_or(flag).fail(error))?;
        *watering = step.rest.clone();
        Ok(Some(Second {
            added: typed,
            reading: reading.map(|(reading, _)| reading),
            step,
        }))
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let scale = self.measuring.scale(shelf)?;
        let leaf = Flag::needed(
            "--leaf",
            "the leaf as weighed",
            self.leaf.as_ref(),
            "weigh the leaf and type what the scale shows, such as --leaf 10.00g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            leaf.mass.is_exact(),
            format!("leaf {}", leaf.reading.unbroken()),
        );
        let (at_reading, at) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            "the first addition is small then, and says so",
            shelf,
            &mut assumed,
        )?;
        method(self.by.as_ref(), &mut assumed)?;
        let to = Flag::needed(
            "--to",
            "the target moisture",
            self.to.as_ref(),
            "type the moisture wanted, such as --to 14.5%",
        )?;
        let (to_reading, target) = to.target()?;

        let mut watering = Watering::new(leaf.mass, at, target);
        watering.scale = scale;
        match self.measuring.temperature()? {
            Some(temperature) => watering.temperature = temperature,
            None => assumed.line("water at 20\u{a0}°C"),
        }
        if let Some(flag) = Flag::of("--band", self.band.as_ref()) {
            watering.band = flag.exact_share(&BAND)?;
        }
        if let Some(flag) = Flag::of("--risk", self.risk.as_ref()) {
            watering.risk = flag.exact_share(&RISK)?;
        }
        if let Some(flag) = Flag::of("--tray", self.tray.as_ref()) {
            let tray = flag.mass(scale)?;
            assumed.exact_if(
                tray.mass.is_exact(),
                format!("tray {}", tray.reading.unbroken()),
            );
            watering.tray = Some(tray.mass);
        }
        let mut of_drop = Assumed::default();
        let mine = self
            .measuring
            .drop(watering.temperature, shelf, &mut of_drop)?;
        if mine.is_none() {
            of_drop.line(drop::STANDARD);
        }
        // For water alone a drop may be taken from the standard dropper.
        watering.drop = Some(mine.unwrap_or_else(Drop::standard));
        let around = Around {
            shelf,
            scale,
            drop: watering.drop,
            temperature: watering.temperature.value(),
            typed_temperature: self.measuring.typed_temperature(),
        };
        for text in &self.bring {
            let flag = Flag::new("--bring", text);
            watering.brought.push(bring(flag, &around, &mut assumed)?);
        }
        if watering.has_carrier() {
            assumed.line("all alcohol leaves while it airs, and no water with it");
        }
        let is_counted = watering.brought.iter().any(|brought| match brought.amount {
            Added::Drops(_, drop) => watering.drop == Some(drop),
            _ => false,
        });
        let second = self.second(&mut watering, scale, &mut assumed)?;
        let was_counted = second
            .as_ref()
            .is_some_and(|second| second.added.kind() == Kind::Drops);
        // Where nothing is counted, nothing is assumed of a drop.
        let of_drop = if is_counted || was_counted {
            assumed.join(of_drop);
            Assumed::default()
        } else {
            of_drop
        };
        Ok(Question {
            second,
            leaf,
            at: at_reading,
            to: to_reading,
            watering,
            scale,
            of_drop,
            assumed,
        })
    }
}
