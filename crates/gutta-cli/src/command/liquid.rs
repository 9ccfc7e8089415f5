//! `gutta liquid`: what is in a liquid, several poured together, and one made
//! weaker.

use clap::{Args, Subcommand};

use gutta::Composition;
use gutta::bench::{Added, Make, Mixture, ToStrength};
use gutta::matter::{Liquid, Strength};
use gutta::measure::{Kind, Measured, ROOM_TEMPERATURE, Scalar, Temperature, Unit, VOLUME};

use super::draws::DrawArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::bring::{Around, bring};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, by_temperature, liquid};
use crate::say;
use crate::speak::liquid as speak;

const SHOW_EXAMPLES: &str = "\
Examples:
  gutta liquid show \"alcohol 70% vol\"
  gutta liquid show \"glycol 50%\" --temp 25°C
  gutta liquid show \"syrup 65 Brix\"
  gutta liquid show \"honey 17% water\"

Names that every command reads: alcohol by volume or by mass (w/w), glycol and
glycerine by mass, syrup by Brix, honey by its water, and those of the book.";

const MIX_EXAMPLES: &str = "\
Examples:
  gutta liquid mix \"60g glycol\" \"40g water\"
  gutta liquid mix \"58.9g alcohol 96% vol\" \"29.7g water\"
  gutta liquid mix \"50g syrup 65 Brix\" \"10g glycerine\" \"5mL alcohol 40% vol\"";

const DILUTE_EXAMPLES: &str = "\
Examples:
  gutta liquid dilute \"alcohol 96% vol\" --to 70% --make 100mL
  gutta liquid dilute \"alcohol 96% vol\" --to 40% --from 50mL
  gutta liquid dilute \"glycol\" --to 30% --make 200g

For a dose of less than one drop see gutta help dilute.";

/// What is asked about liquids.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum LiquidVerb {
    /// What is in a liquid: by mass, its density, its surface tension
    Show(ShowArgs),
    /// Liquids poured together: what is in them, and what they measure
    Mix(MixArgs),
    /// A liquid made weaker with water, to a strength
    Dilute(DiluteArgs),
}

impl LiquidVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Show(args) => args.answer(shelf),
            Self::Mix(args) => args.answer(shelf),
            Self::Dilute(args) => args.answer(shelf),
        }
    }
}

/// The temperature of liquids, which may be below that of any water.
#[derive(Debug, Args)]
struct TemperatureArgs {
    /// The temperature of the liquids [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
}

impl TemperatureArgs {
    fn typed(&self) -> Option<Flag<'_>> {
        Flag::of("--temp", self.temp.as_ref())
    }

    fn read(&self, assumed: &mut Assumed) -> Outcome<Measured<Temperature>> {
        match self.typed() {
            Some(flag) => {
                let temperature = flag.any_temperature()?;
                assumed.line(format!(
                    "liquids at {}",
                    say::base(temperature.value().base(), Unit::CELSIUS)
                ));
                Ok(temperature)
            }
            None => {
                assumed.line("20\u{a0}°C");
                Ok(Measured::exact(ROOM_TEMPERATURE))
            }
        }
    }

    /// The flag that a complaint about the temperature is laid to, where it was
    /// typed.
    fn blamed<'a>(&'a self, or: Flag<'a>, error: &gutta::Error) -> Flag<'a> {
        by_temperature(self.typed(), or, error)
    }
}

/// What is in a liquid.
#[derive(Debug, Args)]
#[command(after_long_help = SHOW_EXAMPLES)]
pub struct ShowArgs {
    /// The liquid by its name, such as "alcohol 70% vol"
    #[arg(value_name = "LIQUID")]
    liquid: Vec<String>,
    #[command(flatten)]
    temperature: TemperatureArgs,
}

/// What a liquid is called in a complaint.
const LIQUID: &str = "LIQUID";

/// The words of a name, with or without quotes about them.
fn in_one(words: &[String]) -> Option<String> {
    (!words.is_empty()).then(|| words.join(" "))
}

fn the_liquid(text: Option<&String>) -> Outcome<Flag<'_>> {
    Flag::needed(LIQUID, "the liquid", text, liquid::NAMES)
}

impl ShowArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let name = in_one(&self.liquid);
        let flag = the_liquid(name.as_ref())?;
        let found = liquid::needed(flag, shelf, &mut assumed)?;
        let temperature = self.temperature.read(&mut assumed)?;
        liquid::say_density(&found, &temperature, &mut assumed);
        // What is known of it is shown, without what is not.
        let density = match found.density(&temperature) {
            Ok(density) => Some(density),
            Err(error) if error.kind() == gutta::ErrorKind::Missing => None,
            Err(error) => return Err(self.temperature.blamed(flag, &error).fail(error)),
        };
        Ok(speak::show(&found, density.as_ref(), &temperature, assumed))
    }
}

/// Liquids poured together.
#[derive(Debug, Args)]
#[command(after_long_help = MIX_EXAMPLES)]
pub struct MixArgs {
    /// A liquid with its amount: "60g glycol 50%", "5mL alcohol 40% vol", "9g mine, 25% water"
    #[arg(value_name = "LIQUID")]
    liquids: Vec<String>,
    #[command(flatten)]
    temperature: TemperatureArgs,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

impl MixArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let temperature = self.temperature.read(&mut assumed)?;
        if self.liquids.is_empty() {
            return Err(Failure::missing(LIQUID, "no liquid was given")
                .hint("type each with its amount in quotes: \"60g glycol\" \"40g water\""));
        }
        let around = Around {
            shelf,
            scale,
            drop: None,
            temperature: temperature.value(),
            typed_temperature: self.temperature.typed(),
        };
        let mut mixture = Mixture {
            temperature,
            ..Mixture::new(Vec::new())
        };
        let mut blamed = None;
        for text in &self.liquids {
            let flag = Flag::new(LIQUID, text);
            blamed.get_or_insert(flag);
            mixture.liquids.push(bring(flag, &around, &mut assumed)?);
        }
        let mixed = mixture.mixed().map_err(|error| match blamed {
            Some(flag) => self.temperature.blamed(flag, &error).fail(error),
            None => Failure::from(error),
        })?;
        let mut answer = speak::mix(&mixture, &mixed, scale, assumed);
        self.draws.add(&mut answer, || mixture.simulate())?;
        Ok(answer)
    }
}

/// A liquid made weaker with water.
#[derive(Debug, Args)]
#[command(after_long_help = DILUTE_EXAMPLES)]
pub struct DiluteArgs {
    /// The stronger liquid by its name, such as "alcohol 96% vol"
    #[arg(value_name = "LIQUID")]
    liquid: Vec<String>,
    /// The strength wanted, said as that of the stronger one: 70% or 40 Brix
    #[arg(long, value_name = "STRENGTH", allow_hyphen_values = true)]
    to: Option<String>,
    /// How much to make: 100mL or 200g
    #[arg(
        long,
        value_name = "AMOUNT",
        conflicts_with = "from",
        allow_hyphen_values = true
    )]
    make: Option<String>,
    /// How much of the stronger one there is to make weaker: 50mL or 40g
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    from: Option<String>,
    #[command(flatten)]
    temperature: TemperatureArgs,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

impl DiluteArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let name = in_one(&self.liquid);
        let flag = the_liquid(name.as_ref())?;
        let stronger = liquid::needed(flag, shelf, &mut assumed)?;
        let to = Flag::needed(
            "--to",
            "the strength wanted",
            self.to.as_ref(),
            "type it as that of the stronger one, such as --to 70%",
        )?;
        let weaker = weaker(to, &stronger, &mut assumed)?;
        let temperature = self.temperature.read(&mut assumed)?;
        let make = Flag::of("--make", self.make.as_ref());
        let (amount, is_weaker) = match (make, Flag::of("--from", self.from.as_ref())) {
            (Some(flag), _) => (flag, true),
            (None, Some(flag)) => (flag, false),
            (None, None) => {
                return Err(Failure::missing("--make", "how much is not said").hint(
                    "type what to make, such as --make 100mL, or what there is of the stronger one, such as --from 50mL",
                ));
            }
        };
        let typed = amount.read(&[Kind::Mass, Kind::Volume])?;
        let added = match typed.volume() {
            Some(volume) => {
                amount.within(&VOLUME, &typed)?;
                Added::Volume(volume)
            }
            None => Added::Mass(amount.weight(typed.clone(), None)?.mass),
        };
        assumed.exact_if(typed.is_exact(), typed.unbroken());
        let question = ToStrength {
            stronger,
            weaker,
            make: if is_weaker {
                Make::Weaker(added)
            } else {
                Make::OfStronger(added)
            },
            temperature,
        };
        let plan = question.plan().map_err(|error| {
            let or = if error.kind() == gutta::ErrorKind::WrongKind {
                flag
            } else {
                to
            };
            self.temperature.blamed(or, &error).fail(error)
        })?;
        let mut answer = speak::dilute(&question, &plan, &typed, scale, assumed);
        self.draws.add(&mut answer, || question.simulate())?;
        Ok(answer)
    }
}

/// The strength wanted, read as the name of the same liquid: in the same manner
/// unless it says its own.
fn weaker(to: Flag<'_>, stronger: &Liquid, assumed: &mut Assumed) -> Outcome<Liquid> {
    let dissolved = stronger
        .composition
        .as_ref()
        .and_then(Composition::dissolved);
    let Some((solute, _)) = dissolved else {
        return Err(
            Failure::refused(format!("{} is not one thing in water alone", stronger.name))
                .about(LIQUID)
                .hint(
                    "this is for alcohol, glycol, glycerine and syrup, such as \"alcohol 96% vol\"",
                ),
        );
    };
    let word = match stronger.strength {
        Strength::Brix(_) => "syrup",
        _ => solute.part().name(),
    };
    let by_mass = matches!(stronger.strength, Strength::ByMass(_) | Strength::Own);
    let bare = to.text.trim_end().ends_with('%');
    let behind = if bare && by_mass { " w/w" } else { "" };
    let name = format!("{word} {}{behind}", to.text.trim());
    let named = Liquid::named(&name).map_err(|error| {
        let failure = to.fail(error);
        // The place is that in the name; the whole text is shown instead.
        failure.pointing(to.text, 0, to.text.len())
    })?;
    let Some(weaker) = named else {
        return Err(to
            .wrong("stray", format!("`{}` is no strength", to.text.trim()))
            .hint("type it as that of the stronger one, such as 70%"));
    };
    let share = weaker.composition.as_ref().and_then(Composition::dissolved);
    if share.is_some_and(|(_, share)| !share.is_exact()) {
        return Err(to
            .wrong("doubt", "a target is exact")
            .hint("type the strength wanted without ±, such as 70%"));
    }
    liquid::say_strength(&weaker, assumed);
    Ok(weaker)
}
