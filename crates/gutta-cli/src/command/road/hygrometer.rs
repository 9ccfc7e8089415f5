//! `gutta moisture hygrometer`: a hygrometer checked over saturated salts.

use clap::Args;

use gutta::matter::{Check, Hygrometer, Salt};
use gutta::measure::{Kind, Measured, RELATIVE_HUMIDITY, ROOM_TEMPERATURE, Temperature, read};

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::{Assumed, Flag, moved, share_of};
use crate::speak::road::hygrometer::{Checked, Question, salts};

const EXAMPLES: &str = "\
Examples:
  gutta moisture hygrometer --temp 22°C
  gutta moisture hygrometer \"sodium chloride 77% ± 1%\" --temp 22°C --reads 63%
  gutta moisture hygrometer \"magnesium chloride 36%\" \"sodium chloride 74%\" --reads 60%

A paste of salt and a little water in a closed box, a night at one temperature,
the hygrometer beside it and not in it.";

/// What a hygrometer should read, and what to add to its readings.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct HygrometerArgs {
    /// A check: the salt, and what the hygrometer showed over it
    #[arg(value_name = "CHECK")]
    checks: Vec<String>,
    /// A reading to be put right
    #[arg(long, value_name = "HUMIDITY", allow_hyphen_values = true)]
    reads: Option<String>,
    /// The temperature of salt and hygrometer [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
}

/// What a check is called in a complaint.
const CHECK: &str = "CHECK";

impl HygrometerArgs {
    /// Reads the checks, asks the library, and says the answer.
    pub fn answer(&self) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let temperature = match Flag::of("--temp", self.temp.as_ref()) {
            Some(flag) => flag.temperature()?,
            None => {
                assumed.line("salt and hygrometer at 20\u{a0}°C");
                Measured::exact(ROOM_TEMPERATURE)
            }
        };
        let reads = Flag::of("--reads", self.reads.as_ref());
        if let [_, _, third, ..] = self.checks.as_slice() {
            return Err(Flag::new(CHECK, third)
                .wrong("stray", "two checks are enough")
                .hint("keep the one below and the one above the readings to be put right"));
        }
        if self.checks.is_empty() {
            if let Some(flag) = reads {
                return Err(flag
                    .wrong("missing", "no check says how the hygrometer reads")
                    .hint("type a check too: \"sodium chloride 77%\""));
            }
            // Where no salt is known none is listed.
            if let (Err(error), Some(flag)) = (
                Salt::SodiumChloride.humidity(&temperature),
                Flag::of("--temp", self.temp.as_ref()),
            ) {
                return Err(flag.fail(error));
            }
            return Ok(salts(&temperature, assumed));
        }
        let mut checked = Vec::with_capacity(2);
        let mut hygrometer: Option<Hygrometer> = None;
        for text in &self.checks {
            let flag = Flag::new(CHECK, text);
            let one = check(flag, &temperature, &mut assumed)?;
            let made = match hygrometer {
                None => Hygrometer::checked(one.check),
                Some(first) => first.and(one.check),
            };
            hygrometer = Some(made.map_err(|error| flag.fail(error))?);
            checked.push(one);
        }
        let reading = reads
            .map(|flag| flag.humidity(&RELATIVE_HUMIDITY))
            .transpose()?;
        let corrected = match (hygrometer, reading, reads) {
            (Some(hygrometer), Some(reading), Some(flag)) => {
                assumed.exact_if(reading.is_exact(), format!("reading {}", flag.text.trim()));
                let right = hygrometer.correct(&reading);
                Some((reading, right.map_err(|error| flag.fail(error))?))
            }
            _ => None,
        };
        Ok(Question {
            checked,
            corrected,
            assumed,
        }
        .say())
    }
}

/// A salt by its name or formula, and what was shown over it.
fn check(
    flag: Flag<'_>,
    temperature: &Measured<Temperature>,
    assumed: &mut Assumed,
) -> Outcome<Checked> {
    let blanks = flag.text.match_indices(char::is_whitespace);
    let found = blanks
        .filter_map(|(i, _)| Some((Salt::named(flag.text[..i].trim_end_matches(','))?, i)))
        .next_back();
    if found.is_none() && Salt::named(flag.text).is_some() {
        return Err(flag
            .wrong("missing", "what the hygrometer showed is missing")
            .hint(format!(
                "type it behind the salt: \"{} 77%\"",
                flag.text.trim()
            )));
    }
    let Some((salt, len)) = found else {
        let names = Salt::ALL.map(Salt::name);
        let typed = flag.text.trim_end_matches(|c: char| !c.is_alphabetic());
        let hint = match gutta_book::nearest(typed, names) {
            Some(near) => format!("did you mean {near}?"),
            None => format!(
                "type salt and reading, \"sodium chloride 77%\"; the salts are {}",
                names.join(", ")
            ),
        };
        return Err(flag
            .wrong("unknown-name", "no salt is named before the reading")
            .hint(hint));
    };
    let rest = flag.text[len..].trim_start();
    let at = flag.text.len() - rest.len();
    let reading = read(rest, &[Kind::Share]).map_err(|error| moved(flag, error, at))?;
    flag.within(&RELATIVE_HUMIDITY, &reading)?;
    assumed.exact_if(
        reading.is_exact(),
        format!("shown over {} {}", salt.name(), reading.unbroken()),
    );
    let should = salt
        .humidity(temperature)
        .map_err(|error| flag.fail(error))?;
    Ok(Checked {
        salt,
        check: Check {
            shows: share_of(&reading),
            should: should.measured(),
        },
    })
}
