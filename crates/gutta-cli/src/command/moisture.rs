//! `gutta moisture`: bases, and a known addition backwards and forwards.

use clap::{Args, Subcommand};

use gutta::bench::{Added, Drop, KnownAddition, LeafWeighed};
use gutta::matter::Method;
use gutta::measure::{Kind, Measured, ROOM_TEMPERATURE, combine};

use super::draws::DrawArgs;
use super::measuring::MeasuringArgs;
use super::road::air::AirArgs;
use super::road::feel::FeelArgs;
use super::road::hygrometer::HygrometerArgs;
use super::road::jar::JarArgs;
use super::road::keep::KeepArgs;
use super::road::mix::MixArgs;
use super::road::oven::OvenArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{AMOUNTS, Assumed, DOUBT_IS_SAID, Flag, drop, leaf_moisture, water_added};
use crate::speak::moisture::{self as speak, Question};

const BASIS_EXAMPLES: &str = "\
Examples:
  gutta moisture basis \"17.6% db\"
  gutta moisture basis 15%";

const BEFORE_EXAMPLES: &str = "\
Examples:
  gutta moisture before --leaf 300g --at 15.2% --added 14.0g
  gutta moisture before --leaf-now 314g --at 15.2% --added 14.0g";

const AFTER_EXAMPLES: &str = "\
Examples:
  gutta moisture after --leaf 10g --at 11.2% --added 8drops --drop 47.8mg
  gutta moisture after --leaf 340g --at \"10.8% ± 1%\" --added \"1 tbsp\"";

const COMBINE_EXAMPLES: &str = "\
Examples:
  gutta moisture combine \"11.2% ± 0.5%\" \"12.0% ± 0.4%\"
  gutta moisture combine \"11-13% feel\" \"11.6% ± 0.4% oven\" \"13.1% db ± 0.8%\"

Only estimates that share no reading, scale or dish are combined.";

/// What an estimate is called in a complaint.
const ESTIMATE: &str = "MOISTURE";

/// What is asked about moisture.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum MoistureVerb {
    /// The same moisture over total weight and over dry matter
    #[command(after_long_help = BASIS_EXAMPLES)]
    Basis(BasisArgs),
    /// Several estimates of one moisture as one, and whether they agree
    #[command(after_long_help = COMBINE_EXAMPLES)]
    Combine(CombineArgs),
    /// The moisture before a known addition of water
    #[command(after_long_help = BEFORE_EXAMPLES)]
    Before(BeforeArgs),
    /// The moisture after a known addition of water
    #[command(after_long_help = AFTER_EXAMPLES)]
    After(AfterArgs),
    /// From oven dishes, weighed empty, with leaf, and dried out
    Oven(OvenArgs),
    /// From a jar weighed again since its moisture was known
    Jar(JarArgs),
    /// Of several lots together, and two lots to a moisture
    Mix(MixArgs),
    /// By feel: a guess, as a range
    Feel(FeelArgs),
    /// From the air that the leaf has come to rest in
    Air(AirArgs),
    /// The air that keeps leaf at a moisture
    Keep(KeepArgs),
    /// What a hygrometer should read over salts, and its correction
    Hygrometer(HygrometerArgs),
}

/// The same moisture on both bases.
#[derive(Debug, Args)]
pub struct BasisArgs {
    /// A moisture: over total weight, or with db over dry matter
    #[arg(value_name = "MOISTURE")]
    moisture: Option<String>,
}

/// Several estimates of one moisture as one.
#[derive(Debug, Args)]
pub struct CombineArgs {
    /// The estimates, each with its doubt: "11.2% ± 0.5%", 11-13%
    #[arg(value_name = "MOISTURE")]
    estimates: Vec<String>,
}

/// Water that was added to leaf.
#[derive(Debug, Args)]
struct AddedArgs {
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// The water: 14.0g, 2tsp or 8drops
    #[arg(long, value_name = "WATER", allow_hyphen_values = true)]
    added: Option<String>,
    #[command(flatten)]
    measuring: MeasuringArgs,
    #[command(flatten)]
    draws: DrawArgs,
}

impl AddedArgs {
    /// The flag that a contradiction is laid to.
    fn added_flag(&self) -> Flag<'_> {
        Flag::new("--added", self.added.as_deref().unwrap_or_default())
    }
}

/// The moisture before a known addition.
#[derive(Debug, Args)]
pub struct BeforeArgs {
    /// The leaf as weighed before the water
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// The leaf as weighed with the water on it
    #[arg(
        long,
        value_name = "MASS",
        conflicts_with = "leaf",
        allow_hyphen_values = true
    )]
    leaf_now: Option<String>,
    /// The moisture now, with the water on it
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    #[command(flatten)]
    water: AddedArgs,
}

/// The moisture after a known addition.
#[derive(Debug, Args)]
pub struct AfterArgs {
    /// The leaf as weighed before the water
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// The moisture before the water
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    #[command(flatten)]
    water: AddedArgs,
}

impl MoistureVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Basis(args) => args.answer(),
            Self::Combine(args) => args.answer(),
            Self::Before(args) => args.answer(shelf),
            Self::After(args) => args.answer(shelf),
            Self::Oven(args) => args.answer(shelf),
            Self::Jar(args) => args.answer(shelf),
            Self::Mix(args) => args.answer(shelf),
            Self::Feel(args) => args.answer(),
            Self::Air(args) => args.answer(),
            Self::Keep(args) => args.answer(shelf),
            Self::Hygrometer(args) => args.answer(),
        }
    }
}

impl BasisArgs {
    fn answer(&self) -> Outcome<Answer> {
        let flag = Flag::needed(
            "MOISTURE",
            "the moisture",
            self.moisture.as_ref(),
            "type a moisture: gutta moisture basis \"17.6% db\", or 15% for wet basis",
        )?;
        let (reading, wet) = flag.moisture()?;
        Ok(speak::basis(&reading, &wet))
    }
}

impl CombineArgs {
    fn answer(&self) -> Outcome<Answer> {
        let read = self
            .estimates
            .iter()
            .map(|text| {
                let flag = Flag::new(ESTIMATE, text);
                let (text, method) = estimate(flag)?;
                let (reading, moisture) = Flag::new(ESTIMATE, text).moisture()?;
                if moisture.is_exact() {
                    return Err(flag
                        .wrong("doubt", "this estimate carries no doubt")
                        .hint("type how sure it is, such as \"11.2% ± 0.5%\": its weight follows from that"));
                }
                let name = match method {
                    Some(method) => format!("{} {}", reading.unbroken(), method.words()),
                    None => reading.unbroken(),
                };
                Ok((name, moisture, method))
            })
            .collect::<Outcome<Vec<_>>>()?;
        // What is only an upper bound is no estimate of the same thing.
        let is_bound = |method: &Option<Method>| method.is_some_and(Method::is_upper_bound);
        let bound = read.iter().position(|(_, _, method)| is_bound(method));
        if let Some(i) = bound.filter(|_| !read.iter().all(|(_, _, method)| is_bound(method))) {
            let flag = Flag::new(ESTIMATE, &self.estimates[i]);
            return Err(Failure::refused(
                "oven volatiles of cased leaf are an upper bound of the water, not an estimate of it",
            )
            .about(ESTIMATE)
            .pointing(flag.text, 0, flag.text.len())
            .hint("combine the other estimates alone, or dry a dish of the leaf before it is cased"));
        }
        let named: Vec<_> = read
            .iter()
            .map(|(name, m, _)| (name.as_str(), *m))
            .collect();
        let combined = combine(&named).map_err(|error| Failure::from(error).about(ESTIMATE))?;
        Ok(speak::combine(&named, &combined))
    }
}

/// An estimate with the word of its method behind it, where there is one.
fn estimate(flag: Flag<'_>) -> Outcome<(&str, Option<Method>)> {
    let text = flag.text.trim_end();
    let Some((before, word)) = text.rsplit_once(char::is_whitespace) else {
        return Ok((text, None));
    };
    if let Some(method) = Method::named(word) {
        return Ok((before, Some(method)));
    }
    match gutta_book::nearest(word, Method::ALL.map(Method::name)) {
        Some(near) if word.len() > 2 => Err(flag
            .wrong(
                "unknown-value",
                format!("`{word}` is no way to find a moisture"),
            )
            .pointing(flag.text, before.len() + 1, word.len())
            .hint(format!("did you mean {near}?"))),
        _ => Ok((text, None)),
    }
}

impl AddedArgs {
    /// Reads what is known of leaf and water; `may_be_standard` says whether
    /// drops may be those of the standard dropper.
    fn read(
        &self,
        leaf: Flag<'_>,
        at: Option<&String>,
        may_be_standard: bool,
        shelf: &Shelf,
    ) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let scale = self.measuring.scale(shelf)?;
        let leaf = leaf.mass(scale)?;
        assumed.exact_if(
            leaf.mass.is_exact(),
            format!("leaf {}", leaf.reading.unbroken()),
        );
        let (at, moisture) =
            leaf_moisture(at, self.lot.as_ref(), DOUBT_IS_SAID, shelf, &mut assumed)?;
        let flag = Flag::needed(
            "--added",
            "the water that was added",
            self.added.as_ref(),
            "type the water that was added: 14.0g, 2tsp or 8drops",
        )?;
        let reading = flag.read(AMOUNTS)?;
        let temperature = match self.measuring.temperature()? {
            Some(temperature) => temperature,
            None => {
                if reading.kind() != Kind::Mass {
                    assumed.line("water at 20\u{a0}°C");
                }
                Measured::exact(ROOM_TEMPERATURE)
            }
        };
        let mine = self.measuring.drop(temperature, shelf, &mut assumed)?;
        let standard = may_be_standard.then(Drop::standard);
        let added = water_added(flag, &reading, scale, mine.or(standard), &mut assumed)?;
        if mine.is_none() && matches!(added, Added::Drops(..)) {
            assumed.line(drop::STANDARD);
        }
        let mut known = KnownAddition::new(leaf.mass, moisture, added);
        known.temperature = temperature;
        Ok(Question {
            leaf,
            at,
            added: reading,
            scale,
            known,
            assumed,
        })
    }
}

impl BeforeArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let (leaf, weighed) = match Flag::of("--leaf-now", self.leaf_now.as_ref()) {
            Some(flag) => (flag, LeafWeighed::After),
            None => (
                Flag::needed(
                    "--leaf",
                    "the leaf as weighed",
                    self.leaf.as_ref(),
                    "type what the leaf weighed before the water, or what it weighs now as --leaf-now",
                )?,
                LeafWeighed::Before,
            ),
        };
        let question = self.water.read(leaf, self.at.as_ref(), false, shelf)?;
        let before = question
            .known
            .before(weighed)
            .map_err(|error| {
                let failure = self.water.added_flag().fail(error);
                match (weighed, failure.report().hint.clone()) {
                    (LeafWeighed::Before, Some(hint)) => failure.hint(format!(
                        "{hint}; when the leaf was weighed with the water on it, type --leaf-now in place of --leaf"
                    )),
                    _ => failure,
                }
            })?;
        let known = question.known;
        let mut answer = question.before(&before, weighed);
        self.water
            .draws
            .add(&mut answer, || known.simulate_before(weighed))?;
        Ok(answer)
    }
}

impl AfterArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let leaf = Flag::needed(
            "--leaf",
            "the leaf as weighed",
            self.leaf.as_ref(),
            "type what the leaf weighed before the water, such as --leaf 10.00g",
        )?;
        let question = self.water.read(leaf, self.at.as_ref(), true, shelf)?;
        let after = question.known.after().map_err(Failure::from)?;
        let known = question.known;
        let mut answer = question.after(&after);
        self.water
            .draws
            .add(&mut answer, || known.simulate_after())?;
        Ok(answer)
    }
}
