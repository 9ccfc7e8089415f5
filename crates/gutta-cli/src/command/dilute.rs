//! `gutta dilute`: a dose of less than a drop, by drops of a dilution.

use clap::Args;

use gutta::bench::{Dilution, Drop, MOST_DROPS, Strong, USUAL_DROPS, WEIGHING_TOLERANCE};
use gutta::matter::Liquid;
use gutta::measure::{
    DILUTION, DOSE, DropMass, Drops, Kind, Mass, Measured, Ratio, Scalar, Scale, TOLERANCE,
};
use gutta::{Error, ErrorKind};

use super::draws::DrawArgs;
use super::leaf::{LeafArgs, dose_on_leaf};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, liquid, share_of};
use crate::speak::dilute::Question;

const EXAMPLES: &str = "\
Examples:
  gutta dilute \"0.9 g/kg\" --leaf 10.0g --dilution-drop 29mg --scale 0.01g
  gutta dilute 0.9g/kg --leaf 10.0g --drop 24.5mg --dilution-drop 29mg \\
    --drops 4 --weigh 0.8g --scale 0.01g
  gutta dilute 0.9g/kg --leaf 10.0g --at 12% --dilution-drop 21mg \\
    --carrier \"alcohol 40% vol\" --scale 0.01g
  gutta dilute 0.9g/kg --leaf 10.0g --dilution-drop 29mg --strength 10%

To make spirit weaker, see gutta help liquid dilute.";

/// A dose of less than a drop, by drops of a dilution.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct DiluteArgs {
    /// The dose on the basis: "0.9 g/kg", 0.9‰ or 0.09%
    #[arg(value_name = "DOSE")]
    dose: Option<String>,
    #[command(flatten)]
    leaf: LeafArgs,
    /// One drop of the dilution, such as 29mg; a weak one drops like its carrier
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    dilution_drop: Option<String>,
    /// One drop of the flavouring itself, such as 24.5mg
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// How many drops of the dilution are to be the dose [4]
    #[arg(long, value_name = "COUNT", conflicts_with = "strength")]
    drops: Option<String>,
    /// The flavouring to weigh for it, such as 0.8g [the least the scale weighs well]
    #[arg(
        long,
        value_name = "MASS",
        conflicts_with = "strength",
        allow_hyphen_values = true
    )]
    weigh: Option<String>,
    /// What a weighing may be off by [2%]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    tolerance: Option<String>,
    /// The carrier by its name, such as "alcohol 40% vol": what it does to the moisture
    #[arg(long, value_name = "NAME")]
    carrier: Option<String>,
    /// The strength of a dilution that is there, by mass, such as 10%
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    strength: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

const NO_DROP: &str = "a weak dilution drops like its carrier: count 20 drops of the carrier onto the \
     zeroed scale, and type their mass over 20 as --dilution-drop 29mg";

impl DiluteArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let flag = Flag::needed(
            "DOSE",
            "the dose",
            self.dose.as_ref(),
            "type what is wanted for each kilogram of leaf, such as \"0.9 g/kg\"",
        )?;
        let typed = dose_on_leaf(flag)?;
        flag.within(&DOSE, &typed)?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let leaf = self.leaf.read(
            "type what the trial weighs, such as --leaf 10.0g",
            scale,
            shelf,
            &mut assumed,
        )?;
        let drop = Flag::needed(
            "--dilution-drop",
            "the mass of a drop of the dilution",
            self.dilution_drop.as_ref(),
            NO_DROP,
        )?;
        let drop = one_drop(drop, "drop of the dilution", &mut assumed)?;
        let neat_drop = Flag::of("--drop", self.drop.as_ref())
            .map(|flag| one_drop(flag, "drop of the flavouring", &mut assumed))
            .transpose()?;
        let tolerance = match Flag::of("--tolerance", self.tolerance.as_ref()) {
            Some(flag) => flag.exact_share(&TOLERANCE)?,
            None => Ratio::of_base(WEIGHING_TOLERANCE),
        };
        let strong = match Flag::of("--strength", self.strength.as_ref()) {
            Some(flag) => {
                let reading = flag.read(&[Kind::Share])?;
                flag.within(&DILUTION, &reading)?;
                assumed.exact_if(
                    reading.is_exact(),
                    format!("strength {}", reading.unbroken()),
                );
                Strong::Ready(share_of(&reading))
            }
            None => self.to_make(scale, tolerance, &mut assumed)?,
        };
        let carrier = self.carrier(shelf, &mut assumed)?;
        let mut dilution =
            Dilution::new(share_of(&typed), leaf.basis, leaf.weight.mass, drop, strong);
        dilution.at = leaf.at;
        dilution.neat_drop = neat_drop;
        dilution.carrier = carrier.as_ref().and_then(|c| c.composition.clone());
        dilution.scale = scale;
        dilution.tolerance = tolerance;
        let blamed = Flag::of("--weigh", self.weigh.as_ref()).unwrap_or(flag);
        let diluted = dilution.plan().map_err(|error| blamed.fail(error))?;
        let question = Question {
            dose: typed,
            carrier: carrier.map(|c| c.name),
            dilution,
            assumed,
        };
        let dilution = question.dilution.clone();
        let mut answer = question.say(&diluted);
        self.draws.add(&mut answer, || dilution.simulate())?;
        Ok(answer)
    }

    fn to_make(
        &self,
        scale: Option<Scale>,
        tolerance: Ratio,
        assumed: &mut Assumed,
    ) -> Outcome<Strong> {
        let drops = match Flag::of("--drops", self.drops.as_ref()) {
            Some(flag) => whole_drops(flag)?,
            None => {
                assumed.line("4\u{a0}drops of the dilution: type --drops for another count");
                Drops::new(USUAL_DROPS)
            }
        };
        let neat = match (Flag::of("--weigh", self.weigh.as_ref()), scale) {
            (Some(flag), _) => {
                let neat = flag.mass(None)?;
                if !neat.reading.is_exact() {
                    return Err(flag.fail(
                        Error::new(ErrorKind::Doubt, "what is to be weighed is a plain figure")
                            .with_hint(
                                "type it alone, such as --weigh 0.8g: the scale's step says how well it is weighed",
                            ),
                    ));
                }
                neat.mass.value()
            }
            (None, Some(scale)) => scale.least_weighing(tolerance),
            (None, None) => {
                return Err(Failure::missing(
                    "--scale",
                    "neither the scale nor the flavouring to weigh is said",
                )
                .hint("type the scale's step, such as --scale 0.01g, or what to weigh, such as --weigh 0.8g"));
            }
        };
        assumed.exact_if(scale.is_none(), "weighings of flavouring and carrier");
        Ok(Strong::ToMake { drops, neat })
    }

    fn carrier(&self, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Option<Liquid>> {
        let Some(flag) = Flag::of("--carrier", self.carrier.as_ref()) else {
            return Ok(None);
        };
        let found = liquid::needed(flag, shelf, assumed)?;
        if found.composition.is_none() {
            return Err(flag
                .wrong(
                    "missing",
                    format!("it is not known what is in {}", found.name),
                )
                .hint("write its shares by mass into liquids.toml, or leave --carrier out"));
        }
        Ok(Some(found))
    }
}

/// A drop that was typed as a mass.
fn one_drop(flag: Flag<'_>, what: &str, assumed: &mut Assumed) -> Outcome<Drop> {
    let reading = flag.read(&[Kind::Mass])?;
    let mass = reading
        .mass()
        .unwrap_or(Measured::exact(Mass::of_base(0.0)))
        .through::<DropMass>(DropMass::new);
    assumed.exact_if(reading.is_exact(), format!("{what} {}", reading.unbroken()));
    Drop::of_mass(mass).map_err(|error| flag.fail(error))
}

/// A whole count of drops, with the word behind it or without.
fn whole_drops(flag: Flag<'_>) -> Outcome<Drops> {
    let digits = flag
        .text
        .trim()
        .trim_end_matches("drops")
        .trim_end_matches("drop")
        .trim();
    let count = digits.parse::<u32>().map(f64::from);
    match count {
        Ok(count) if (1.0..=MOST_DROPS).contains(&count) => Ok(Drops::new(count)),
        _ => Err(flag
            .wrong(
                "out-of-range",
                format!("the drops are a whole count from 1 to {MOST_DROPS}"),
            )
            .hint("type a count such as --drops 4")),
    }
}
