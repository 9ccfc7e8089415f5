//! `gutta dilute`: a dose of less than a drop, by drops of a dilution.

use clap::Args;

use gutta::bench::{Dilution, Drop, MOST_DROPS, Strong, USUAL_DROPS, WEIGHING_TOLERANCE};
use gutta::matter::{DensityOf, Liquid};
use gutta::measure::{
    DILUTION, DOSE, Density, DropMass, Drops, Kind, Mass, Measured, ROOM_TEMPERATURE, Ratio,
    Scalar, Scale, TOLERANCE,
};
use gutta::{Error, ErrorKind};

use super::draws::DrawArgs;
use super::leaf::{LeafArgs, wanted_dose};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, drop, is_water, liquid, share_of};
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
    /// One drop of the dilution, such as 29mg, or 20/mL with --carrier; a weak one
    /// drops like its carrier
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    dilution_drop: Option<String>,
    /// A dropper of the book, calibrated with the dilution or its carrier
    #[arg(long, value_name = "NAME", conflicts_with = "dilution_drop")]
    dilution_dropper: Option<String>,
    /// One drop of the flavouring itself, such as 24.5mg
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// How many drops of the dilution are to be the dose [4]
    #[arg(
        long,
        value_name = "COUNT",
        conflicts_with = "strength",
        allow_hyphen_values = true
    )]
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
    /// The carrier by its name, such as "alcohol 40% vol": with --at, what it does
    /// to the moisture; its density for drops in a volume
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
        let typed = wanted_dose(
            flag,
            "the drop: --dilution-drop \"29mg ± 1mg\"",
            "type one of them; for several on portions of one base: gutta series",
        )?;
        flag.within(&DOSE, &typed)?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let leaf = self.leaf.read(
            "type what the trial weighs, such as --leaf 10.0g",
            scale,
            shelf,
            &mut assumed,
        )?;
        let carrier = self.carrier(leaf.at.is_some(), shelf, &mut assumed)?;
        let (drop, density) = self.drop_of_dilution(carrier.as_ref(), shelf, &mut assumed)?;
        let neat_drop = Flag::of("--drop", self.drop.as_ref())
            .map(|flag| one_drop(flag, "drop of the flavouring", &mut assumed))
            .transpose()?;
        let tolerance = self.tolerance()?;
        let strong = match Flag::of("--strength", self.strength.as_ref()) {
            Some(flag) => strength(flag, &mut assumed)?,
            None => self.to_make(scale, &mut assumed)?,
        };
        let mut dilution =
            Dilution::new(share_of(&typed), leaf.basis, leaf.weight.mass, drop, strong);
        dilution.at = leaf.at;
        dilution.neat_drop = neat_drop;
        dilution.density = density;
        dilution.carrier = carrier.as_ref().and_then(|c| c.composition.clone());
        dilution.scale = scale;
        dilution.tolerance = tolerance;
        let diluted = dilution.plan().map_err(|error| {
            let about_it = error.to_string().starts_with("so little");
            let weigh = Flag::of("--weigh", self.weigh.as_ref()).filter(|_| about_it);
            weigh.unwrap_or(flag).fail(error)
        })?;
        let question = Question {
            dose: typed,
            leaf: leaf.weight.reading,
            counted_on: self.leaf.counted_on(),
            carrier: carrier.map(|c| c.name),
            dilution,
            assumed,
        };
        let dilution = question.dilution.clone();
        let mut answer = question.say(&diluted);
        self.draws.add(&mut answer, || dilution.simulate())?;
        Ok(answer)
    }

    fn to_make(&self, scale: Option<Scale>, assumed: &mut Assumed) -> Outcome<Strong> {
        let drops = match Flag::of("--drops", self.drops.as_ref()) {
            Some(flag) => whole_drops(flag)?,
            None => {
                assumed.line("4\u{a0}drops of the dilution: type --drops for another count");
                Drops::new(USUAL_DROPS)
            }
        };
        assumed.exact_if(scale.is_none(), "weighings of flavouring and carrier");
        let Some(flag) = Flag::of("--weigh", self.weigh.as_ref()) else {
            return match scale {
                Some(_) => Ok(Strong::LeastToMake { drops }),
                None => Err(Failure::missing(
                    "--scale",
                    "neither the scale nor the flavouring to weigh is said",
                )
                .hint("type the scale's step, such as --scale 0.01g, or what to weigh, such as --weigh 0.8g")),
            };
        };
        let neat = flag.mass(None)?;
        if !neat.reading.is_exact() {
            return Err(flag.fail(
                Error::new(ErrorKind::Doubt, "what is to be weighed is a plain figure").with_hint(
                    "type it alone, such as --weigh 0.8g: the scale's step says how well it is weighed",
                ),
            ));
        }
        Ok(Strong::ToMake {
            drops,
            neat: neat.mass.value(),
        })
    }

    /// What a weighing may be off by; said for nothing where nothing is weighed.
    fn tolerance(&self) -> Outcome<Ratio> {
        let Some(flag) = Flag::of("--tolerance", self.tolerance.as_ref()) else {
            return Ok(Ratio::of_base(WEIGHING_TOLERANCE));
        };
        if self.strength.is_some() {
            return Err(Failure::clash(
                "--strength",
                flag.name,
                "a dilution that is there is counted, not weighed: leave --tolerance out",
            ));
        }
        if self.scale.is_none() {
            return Err(Failure::missing(
                "--scale",
                "--tolerance is about the scale, and none is said",
            )
            .hint("type its step, such as --scale 0.01g, or leave --tolerance out"));
        }
        flag.exact_share(&TOLERANCE)
    }

    /// One drop of the dilution, with the density where it is known by its volume.
    fn drop_of_dilution(
        &self,
        carrier: Option<&Liquid>,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<(Drop, Option<Measured<Density>>)> {
        if let Some(flag) = Flag::of("--dilution-dropper", self.dilution_dropper.as_ref()) {
            return of_dropper(flag, carrier, shelf, assumed).map(|drop| (drop, None));
        }
        let flag = Flag::needed(
            "--dilution-drop",
            "the mass of a drop of the dilution",
            self.dilution_drop.as_ref(),
            NO_DROP,
        )?;
        let reading = flag.read(&[Kind::Mass, Kind::DropsPerVolume])?;
        let what = "drop of the dilution";
        if reading.drops_per_volume().is_none() {
            return one_drop(flag, what, assumed).map(|drop| (drop, None));
        }
        let by_mass = "type the drop's mass: --dilution-drop 29mg";
        let Some((by, carrier)) = Flag::of("--carrier", self.carrier.as_ref()).zip(carrier) else {
            return Err(Failure::missing(
                "--carrier",
                "--dilution-drop in drops per volume needs the carrier, for its density",
            )
            .hint(format!(
                "name it, such as --carrier \"alcohol 40% vol\", or {by_mass}"
            )));
        };
        if carrier.density == DensityOf::Unknown {
            return Err(by
                .wrong(
                    "missing",
                    format!(
                        "the density of {} is not known, and --dilution-drop in drops per volume needs it",
                        carrier.name
                    ),
                )
                .hint(by_mass));
        }
        let room = Measured::exact(ROOM_TEMPERATURE);
        let density = liquid::density(by, carrier, &room, assumed)?;
        assumed.line("the density of the carrier stands for that of the dilution");
        let drop = drop::typed(flag, Some(density), "--carrier", what, assumed)?;
        Ok((drop, Some(density)))
    }

    fn carrier(
        &self,
        has_moisture: bool,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Option<Liquid>> {
        let Some(flag) = Flag::of("--carrier", self.carrier.as_ref()) else {
            return Ok(None);
        };
        let found = liquid::needed(flag, shelf, assumed)?;
        if has_moisture && found.composition.is_none() {
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

/// The drop of a dropper of the book, where what it was calibrated with suits: the
/// carrier that is named, or else anything but water, which is seldom meant.
fn of_dropper(
    flag: Flag<'_>,
    carrier: Option<&Liquid>,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Drop> {
    let found = drop::of_book(flag, shelf, assumed).map_err(|failure| {
        // Here `--drop` is that of the flavouring itself.
        match failure.report().kind.as_str() {
            "no-book" => failure
                .hint("name its folder with --book DIR, or type the drop: --dilution-drop 29mg"),
            _ => failure,
        }
    })?;
    let own = found.liquid.as_deref().unwrap_or("water");
    let but = match carrier {
        Some(carrier) if !liquid::is_alike(own, &carrier.name) => {
            Some(format!("not with {}", carrier.name))
        }
        None if is_water(own) => Some("and no carrier is named".to_owned()),
        _ => None,
    };
    if let Some(but) = but {
        let instead = if carrier.is_none() {
            "where water is the carrier, say --carrier water; "
        } else {
            ""
        };
        return Err(Failure::refused(format!(
            "dropper {} is calibrated with {own}, {but}",
            flag.text
        ))
        .about(flag.name)
        .pointing(flag.text, 0, flag.text.len())
        .hint(format!("{instead}{NO_DROP}")));
    }
    assumed.line(format!(
        "the dilution drops like {own}, which the dropper is calibrated with"
    ));
    Ok(found.drop)
}

/// The strength of a dilution that is there: by mass, as it is weighed.
fn strength(flag: Flag<'_>, assumed: &mut Assumed) -> Outcome<Strong> {
    let by_mass = || {
        flag.wrong("wrong-kind", "the strength of a dilution is by mass")
            .hint("type the flavouring over all of it, both in grams, alone: --strength 10%")
    };
    let reading = flag.read(&[Kind::Share]).map_err(|failure| {
        if flag.text.to_lowercase().contains("vol") {
            by_mass()
        } else {
            failure
        }
    })?;
    if reading.basis().is_some() {
        return Err(by_mass());
    }
    flag.within(&DILUTION, &reading)?;
    assumed.exact_if(
        reading.is_exact(),
        format!("strength {}", reading.unbroken()),
    );
    Ok(Strong::Ready(share_of(&reading)))
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
