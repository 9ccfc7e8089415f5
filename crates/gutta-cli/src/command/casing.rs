//! `gutta casing`: casing by a rate, and the weights from there to dry-back.

use clap::{Args, ValueEnum};

use gutta::Error;
use gutta::bench::{Added, Brought, Casing, LeafBasis, Rate, RateOf, known_by_solids};
use gutta::measure::{
    CASING_RATE, CASING_SOLIDS, Kind, Mass, Measured, ROOM_TEMPERATURE, Ratio, Scale, Temperature,
};

use super::dose::BasisWord;
use super::draws::DrawArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::bring::{Around, bring};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, DOUBT_IS_SAID, Flag, leaf_moisture, method, share_of};
use crate::speak::casing::{Open, Question};

const EXAMPLES: &str = "\
Examples:
  gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8% \\
    --rate-of liquid --basis as-weighed --bulk 20% --to 14% --tray 612g
  gutta casing \"30g sugar, 100% sugar\" \"20g water\" --leaf 340g \\
    --at \"12.5% ± 0.5%\" --rate 5% --rate-of solids --basis dry
  gutta casing --solids 60% --leaf 2500g --at 12.5% --rate 8%

The amounts are those of a recipe of yours: they are scaled to the leaf. Without
--rate-of and --basis every reading of the rate is shown.";

/// How much casing a rate makes, and the weights to bulk and dry-back.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct CasingArgs {
    /// What the casing is made of: "AMOUNT NAME[, PERCENT PART]…", by mass
    #[arg(value_name = "INGREDIENT")]
    ingredients: Vec<String>,
    /// Leaf as weighed, such as 2500g or "1 lb 6 oz"
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture now, such as 12.5%, "12.5% ± 0.5%", 11-13% or "14.3% db"
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// How that moisture was found: oven, oven-cased, jar, air or feel
    #[arg(long, value_name = "METHOD", conflicts_with = "lot")]
    by: Option<String>,
    /// Casing per leaf, such as 8%
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    rate: Option<String>,
    /// What of the casing the rate counts
    #[arg(long, value_name = "WHAT", value_enum)]
    rate_of: Option<RateWord>,
    /// The leaf that the rate is counted on
    #[arg(long, value_name = "BASIS", value_enum)]
    basis: Option<BasisWord>,
    /// The solids of a casing known by these alone; the rest is water
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    solids: Option<String>,
    /// The moisture at which the cased leaf rests in bulk, such as 20%
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    bulk: Option<String>,
    /// The moisture that it is dried back to, such as 14%
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The tray that stands on the scale with the leaf
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tray: Option<String>,
    /// The scale's smallest step, such as 1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// The temperature of liquids that are measured by volume [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum RateWord {
    /// All of the casing, as it is poured
    Liquid,
    /// All of it but water and alcohol
    Solids,
}

/// What an ingredient is called in a complaint.
const INGREDIENT: &str = "INGREDIENT";

const NO_CASING: &str = "type each ingredient with its amount and what is in it, \
     \"60g syrup, 25% water\" \"30g water\", or the solids of the casing alone, --solids 60%";

impl CasingArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let question = self.read(shelf)?;
        let mut of = self.rate_of.map(|word| match word {
            RateWord::Liquid => RateOf::Liquid,
            RateWord::Solids => RateOf::Solids,
        });
        let basis = self.basis.map(BasisWord::leaf);
        let has_solids = question.casing.has_solids().map_err(Failure::from)?;
        let only_liquid = of.is_none() && !has_solids;
        if only_liquid {
            of = Some(RateOf::Liquid);
        }
        let open = Open {
            of: of.is_none(),
            basis: basis.is_none(),
            only_liquid,
        };
        match Rate::readings(question.casing.rate.share, of, basis)[..] {
            [rate] => self.named(question, rate, only_liquid),
            ref readings => self.open(question, readings, open),
        }
    }

    /// The answer where the rate is named in full.
    fn named(&self, mut question: Question, rate: Rate, only_liquid: bool) -> Outcome<Answer> {
        question.casing.rate = rate;
        let casing = question.casing.clone();
        let cased = casing.cased().map_err(|error| self.fail(&casing, error))?;
        let mut answer = question.say(&cased, only_liquid);
        self.draws.add(&mut answer, || casing.simulate())?;
        Ok(answer)
    }

    /// Every reading of a rate that is not named in full.
    fn open(&self, question: Question, readings: &[Rate], open: Open) -> Outcome<Answer> {
        if self.draws.is_asked() {
            return Err(Failure::missing(
                if open.of { "--rate-of" } else { "--basis" },
                "draws are of one reading of the rate, and several are open",
            )
            .hint(open.flags()));
        }
        // What no reading of the rate can do is said at once.
        let whole = readings.iter().map(|&rate| Casing {
            rate,
            ..question.casing.clone()
        });
        let declined = whole.map(|casing| match casing.cased() {
            Ok(_) => None,
            Err(error) => Some(self.fail(&casing, error)),
        });
        let declined: Option<Vec<Failure>> = declined.collect();
        if let Some(failure) = declined.and_then(|all| all.into_iter().next()) {
            return Err(failure);
        }
        let each = readings.iter().map(|&rate| {
            let casing = Casing {
                rate,
                // What follows depends on the reading: it waits for it.
                bulk: None,
                to: None,
                ..question.casing.clone()
            };
            match casing.cased() {
                Ok(cased) => Ok((rate, cased)),
                Err(error) => Err(self.fail(&casing, error)),
            }
        });
        let each = each.collect::<Outcome<Vec<_>>>()?;
        Ok(question.say_open(&each, open))
    }

    /// What the library declines, about the flag that asks for it.
    fn fail(&self, casing: &Casing, error: Error) -> Failure {
        let no_solids = casing.rate.of == RateOf::Solids && casing.has_solids() == Ok(false);
        let is_too_dry = casing.scale.is_none() || {
            // The same on any scale.
            let bare = Casing {
                scale: None,
                ..casing.clone()
            };
            bare.cased().is_err()
        };
        let to = Flag::of("--to", self.to.as_ref());
        let scale = Flag::of("--scale", self.scale.as_ref());
        match (to, scale) {
            _ if no_solids => Failure::from(error).about("--rate-of"),
            (Some(to), _) if error.is_refusal() && is_too_dry => to.fail(error),
            (_, Some(scale)) if error.is_refusal() => scale.fail(error),
            _ => Failure::from(error),
        }
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let leaf = Flag::needed(
            "--leaf",
            "the leaf as weighed",
            self.leaf.as_ref(),
            "weigh the leaf and type what the scale shows, such as --leaf 2500g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            leaf.mass.is_exact(),
            format!("leaf {}", leaf.reading.unbroken()),
        );
        let (at_reading, at) = leaf_moisture(
            self.at.as_ref(),
            self.lot.as_ref(),
            DOUBT_IS_SAID,
            shelf,
            &mut assumed,
        )?;
        method(self.by.as_ref(), &mut assumed)?;
        let (rate_reading, share) = self.rate()?;
        let typed = Flag::of("--temp", self.temp.as_ref());
        let temperature = match typed {
            Some(flag) => flag.temperature()?,
            None => Measured::exact(ROOM_TEMPERATURE),
        };
        let recipe = self.recipe(temperature.value(), shelf, &mut assumed)?;
        let rate = Rate {
            share,
            of: RateOf::Liquid,
            basis: LeafBasis::AsWeighed,
        };
        let mut casing = Casing::new(leaf.mass, at, recipe, rate);
        casing.scale = scale;
        let is_by_volume = |part: &Brought| !matches!(part.amount, Added::Mass(_));
        casing.temperature = temperature;
        if typed.is_none() && casing.recipe.iter().any(is_by_volume) {
            assumed.line("liquids at 20\u{a0}°C");
        }
        let target = |name, text| Flag::of(name, text).map(|flag| flag.target()).transpose();
        let bulk = target("--bulk", self.bulk.as_ref())?;
        let to = target("--to", self.to.as_ref())?;
        casing.bulk = bulk.as_ref().map(|(_, bulk)| *bulk);
        casing.to = to.as_ref().map(|(_, to)| *to);
        casing.tray = self.tray(scale, &mut assumed)?;
        if casing.has_carrier() {
            assumed.line("all alcohol leaves while it airs, and no water with it");
        }
        Ok(Question {
            leaf,
            at: at_reading,
            rate: rate_reading,
            bulk: bulk.map(|(reading, _)| reading),
            to: to.map(|(reading, _)| reading),
            casing,
            scale,
            assumed,
        })
    }

    /// The rate, which is exact.
    fn rate(&self) -> Outcome<(String, Ratio)> {
        let flag = Flag::needed(
            "--rate",
            "the rate of casing",
            self.rate.as_ref(),
            "type your own, such as --rate 8%: no rate is taken for granted",
        )?;
        let share = flag.exact_share(&CASING_RATE)?;
        Ok((flag.read(&[Kind::Share])?.unbroken(), share))
    }

    /// What the casing is made of: the ingredients, or its solids and water.
    fn recipe(
        &self,
        temperature: Temperature,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Vec<Brought>> {
        if let Some(flag) = Flag::of("--solids", self.solids.as_ref()) {
            if !self.ingredients.is_empty() {
                return Err(Failure::clash(
                    INGREDIENT,
                    flag.name,
                    "keep the ingredients, which say more, or the solids",
                ));
            }
            let reading = flag.read(&[Kind::Share])?;
            if reading.basis().is_some() {
                return Err(flag
                    .wrong("wrong-kind", "a share in a liquid has no moisture basis")
                    .hint("type the share by mass alone, such as --solids 60%"));
            }
            flag.within(&CASING_SOLIDS, &reading)?;
            let share = share_of(&reading);
            assumed.line("what of the casing is not solids is water");
            assumed.exact_if(
                share.is_exact(),
                format!("solids of the casing {}", reading.unbroken()),
            );
            return known_by_solids(&share)
                .map(|casing| vec![casing])
                .map_err(|error| flag.fail(error));
        }
        if self.ingredients.is_empty() {
            return Err(
                Failure::missing(INGREDIENT, "what the casing is made of is missing")
                    .hint(NO_CASING),
            );
        }
        // The amounts of a recipe are shares of it: no scale has weighed them.
        let around = Around {
            shelf,
            scale: None,
            drop: None,
            temperature,
            typed_temperature: Flag::of("--temp", self.temp.as_ref()),
        };
        let each = self.ingredients.iter();
        each.map(|text| bring(Flag::new(INGREDIENT, text), &around, assumed))
            .collect()
    }

    fn tray(&self, scale: Option<Scale>, assumed: &mut Assumed) -> Outcome<Option<Measured<Mass>>> {
        let Some(flag) = Flag::of("--tray", self.tray.as_ref()) else {
            return Ok(None);
        };
        let tray = flag.mass(scale)?;
        assumed.exact_if(
            tray.mass.is_exact(),
            format!("tray {}", tray.reading.unbroken()),
        );
        Ok(Some(tray.mass))
    }
}
