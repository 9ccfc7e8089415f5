//! `gutta dose`: a flavouring in drops, grams, millilitres and g/kg, from
//! bench to batch.

use clap::{Args, ValueEnum};

use gutta::Dosing;
use gutta::bench::{Asked, Batch, BatchValue, Drop, LeafBasis};
use gutta::matter::DensityOf;
use gutta::measure::{Density, Kind, Mass, Measured, ROOM_TEMPERATURE, Reading, Unit};

use super::draws::DrawArgs;
use super::leaf::counted_on;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{
    Assumed, DOUBT_IS_SAID, Flag, Weight, density, drop, is_water, leaf_moisture, liquid,
};
use crate::say;
use crate::speak::dose::Question;

const EXAMPLES: &str = "\
Examples:
  gutta dose 7drops --drop 21.4mg --leaf 10.00g
  gutta dose \"15 g/kg\" --leaf 10.00g --drop 21.4mg --density 0.846g/mL
  gutta dose 7drops --drop 21.4mg --density 0.846g/mL --leaf 10.00g --at 12% \\
    --for 6.5kg --for-at 14.2% --for-density 0.902g/mL --for-drop 33.1mg
  gutta dose 12drops --drop 25.48mg --leaf 24g --bottle-loss 0.331g
  gutta dose 0.15g --density 0.846g/mL

A dose is flavouring per leaf: on dry leaf when the moisture is given, else on
leaf as weighed; --basis says it outright.";

/// Why a drop of water does not stand for one of a flavouring.
const DROPS_DIFFER: &str = "a drop of another liquid has another mass: weigh 20 drops of the \
     flavouring, and type their mass over 20 as --drop 21.4mg; gutta dropper --then works out that of \
     thin liquids; for water itself say --liquid water";

/// Drops, grams, millilitres and g/kg of a flavouring, bench to batch.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct DoseArgs {
    /// 7drops, a mass, a volume, or a dose on the basis: "15 g/kg", 15‰, 1.5%
    #[arg(value_name = "DOSE")]
    dose: Option<String>,
    /// Leaf as weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// Its moisture
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// A lot of the book, for its moisture
    #[arg(long, value_name = "NAME", conflicts_with = "at")]
    lot: Option<String>,
    /// One drop of this flavouring, such as 21.4mg
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// A dropper of the book, calibrated with this flavouring
    #[arg(long, value_name = "NAME", conflicts_with = "drop")]
    dropper: Option<String>,
    /// The flavouring's density, such as 0.846g/mL
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    density: Option<String>,
    /// The flavouring by its name, for its density: one of the book, or alcohol 70% vol
    #[arg(long, value_name = "NAME", conflicts_with = "density")]
    liquid: Option<String>,
    /// What the dose is counted on
    #[arg(long, value_name = "BASIS", value_enum)]
    basis: Option<BasisWord>,
    /// What the bottle weighs less after the drops: checks the count
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    bottle_loss: Option<String>,
    /// Leaf of the batch, as weighed
    #[arg(long = "for", value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// The moisture of the batch
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    for_at: Option<String>,
    /// The density of the bottle that the batch is made with
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    for_density: Option<String>,
    /// A drop of that bottle
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    for_drop: Option<String>,
    #[command(flatten)]
    draws: DrawArgs,
}

/// The leaf that something is counted on.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum BasisWord {
    /// Leaf as it lies on the scale
    AsWeighed,
    /// The dry matter of the leaf
    Dry,
}

impl BasisWord {
    /// The basis that it stands for.
    pub(super) const fn leaf(self) -> LeafBasis {
        match self {
            Self::AsWeighed => LeafBasis::AsWeighed,
            Self::Dry => LeafBasis::Dry,
        }
    }
}

impl DoseArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let question = self.read(shelf)?;
        let dosed = question.dosing.answer().map_err(Failure::from)?;
        let dosing = question.dosing.clone();
        let mut answer = question.say(&dosed);
        self.draws.add(&mut answer, || dosing.simulate())?;
        Ok(answer)
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        self.check_batch_flags()?;
        let basis = self.basis()?;
        let flag = Flag::needed(
            "DOSE",
            "the dose",
            self.dose.as_ref(),
            "type what is dosed: 7drops, 0.15g, 0.2mL or \"15 g/kg\"",
        )?;
        let asked = flag.read(&[Kind::Drops, Kind::Mass, Kind::Volume, Kind::Share])?;
        let leaf = weight("--leaf", self.leaf.as_ref(), "leaf", &mut assumed)?;
        let at = match (&self.at, &self.lot) {
            (None, None) => None,
            (at, lot) => Some(
                leaf_moisture(
                    at.as_ref(),
                    lot.as_ref(),
                    DOUBT_IS_SAID,
                    shelf,
                    &mut assumed,
                )?
                .1,
            ),
        };
        let (drop, density) = bottle_of(
            self.density.as_ref(),
            self.liquid.as_ref(),
            self.drop.as_ref(),
            self.dropper.as_ref(),
            shelf,
            &mut assumed,
        )?;

        let mut dosing = Dosing::new(
            what_is_asked(flag, &asked, drop, density, leaf.as_ref(), &mut assumed)?,
            basis,
        );
        dosing.leaf = leaf.as_ref().map(|w| w.mass);
        dosing.at = at;
        dosing.drop = drop;
        dosing.density = density;
        let loss = weight(
            "--bottle-loss",
            self.bottle_loss.as_ref(),
            "the bottle's loss",
            &mut assumed,
        )?;
        if let Some(flag) = Flag::of("--bottle-loss", self.bottle_loss.as_ref())
            .filter(|_| drop.is_none() && leaf.is_none())
        {
            return Err(Failure::missing(
                "--drop",
                format!("{} alone gives neither drops nor a dose", flag.name),
            )
            .hint("type the mass of one drop, --drop 21.4mg, or the leaf, --leaf 10.00g"));
        }
        dosing.bottle_loss = loss.map(|w| w.mass);
        let batch = weight("--for", self.batch.as_ref(), "batch", &mut assumed)?;
        if let Some(batch) = &batch {
            if leaf.is_none() {
                return Err(Failure::missing("--leaf", "the leaf as weighed is missing").hint(
                    "the dose of the trial is counted on its leaf: type what the trial weighed, such as --leaf 10.00g",
                ));
            }
            dosing.batch = Some(self.batch(batch.mass, drop, density, &mut assumed)?);
        }
        Ok(Question {
            asked,
            leaf,
            counted_on: counted_on(self.at.as_ref(), self.lot.as_ref(), self.basis),
            batch,
            dosing,
            assumed,
        })
    }

    /// Flags about the batch need one.
    fn check_batch_flags(&self) -> Outcome<()> {
        let flags = [
            ("--for-at", &self.for_at),
            ("--for-density", &self.for_density),
            ("--for-drop", &self.for_drop),
        ];
        match flags.iter().find(|(_, text)| text.is_some()) {
            Some((flag, _)) if self.batch.is_none() => Err(Failure::missing(
                "--for",
                format!("{flag} is about a batch, and there is none"),
            )
            .hint("type the leaf of the batch, such as --for 6.5kg")),
            _ => Ok(()),
        }
    }

    /// Dry when every moisture is given, else as weighed; half of them is an
    /// error, since the two bases give different batches.
    fn basis(&self) -> Outcome<LeafBasis> {
        let at = self.at.is_some() || self.lot.is_some();
        let for_at = self.for_at.is_some();
        if self.basis.is_none() && self.batch.is_some() && at != for_at {
            let (given, missing) = if at {
                ("--at", "--for-at")
            } else {
                ("--for-at", "--at")
            };
            return Err(Failure::missing(
                missing,
                format!("{given} is given, and this is missing"),
            )
            .hint("type both moistures for a dose on dry leaf, or --basis as-weighed"));
        }
        basis(self.basis, at)
    }

    /// The batch; what is not given for it is the trial's own, where that is
    /// allowed.
    fn batch(
        &self,
        leaf: Measured<Mass>,
        drop: Option<Drop>,
        density: Option<Measured<Density>>,
        assumed: &mut Assumed,
    ) -> Outcome<Batch> {
        let at = match Flag::of("--for-at", self.for_at.as_ref()) {
            Some(flag) => {
                let (reading, moisture) = flag.moisture()?;
                assumed.exact_if(
                    moisture.is_exact(),
                    format!("moisture of the batch {}", reading.unbroken()),
                );
                BatchValue::Own(moisture)
            }
            None => BatchValue::AsInTrial,
        };
        if at == BatchValue::AsInTrial && matches!(self.basis, Some(BasisWord::Dry)) {
            assumed.line("the batch has the moisture of the trial");
        }
        let own_density = match Flag::of("--for-density", self.for_density.as_ref()) {
            Some(flag) => Some(density::typed(
                flag,
                "density of the batch's bottle",
                assumed,
            )?),
            None => None,
        };
        let own_drop = match Flag::of("--for-drop", self.for_drop.as_ref()) {
            Some(flag) => Some(drop::typed(
                flag,
                own_density.or(density),
                "--for-density",
                "drop of the batch's bottle",
                assumed,
            )?),
            None => None,
        };
        let same_bottle = own_density.is_none();
        if same_bottle && (density.is_some() || drop.is_some()) {
            assumed.line("the batch is made with the bottle of the trial");
        }
        Ok(Batch {
            leaf,
            at,
            density: own_density.map_or(BatchValue::AsInTrial, BatchValue::Own),
            drop: match own_drop {
                Some(drop) => BatchValue::Own(drop),
                None if same_bottle => BatchValue::AsInTrial,
                None => BatchValue::Unknown,
            },
        })
    }
}

/// What a dose is counted on: dry leaf where its moisture is known, else leaf as
/// weighed.
pub(super) fn basis(word: Option<BasisWord>, at: bool) -> Outcome<LeafBasis> {
    match word {
        Some(BasisWord::Dry) if !at => Err(Failure::missing(
            "--at",
            "a dose on dry leaf needs the moisture",
        )
        .hint("type the moisture of the leaf, such as --at 12%")),
        Some(BasisWord::Dry) => Ok(LeafBasis::Dry),
        None if at => Ok(LeafBasis::Dry),
        None | Some(BasisWord::AsWeighed) => Ok(LeafBasis::AsWeighed),
    }
}

/// The drop and the density of the bottle that a dose is taken from.
pub(super) fn bottle_of(
    own_density: Option<&String>,
    named: Option<&String>,
    own_drop: Option<&String>,
    dropper: Option<&String>,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<(Option<Drop>, Option<Measured<Density>>)> {
    let mut density = match Flag::of("--density", own_density) {
        Some(flag) => Some(density::typed(flag, "density", assumed)?),
        None => None,
    };
    let mut asked = None;
    if let Some(flag) = Flag::of("--liquid", named) {
        let found = liquid::needed(flag, shelf, assumed)?;
        let room = Measured::exact(ROOM_TEMPERATURE);
        density = if found.density == DensityOf::Unknown {
            assumed.line(format!(
                "the density of {} is not known: no volumes",
                found.name
            ));
            None
        } else {
            Some(liquid::density(flag, &found, &room, assumed)?)
        };
        asked = Some(found.name);
    }
    if let Some(flag) = Flag::of("--drop", own_drop) {
        let drop = drop::typed(flag, density, "--density", "drop", assumed)?;
        return Ok((Some(drop), density));
    }
    let Some(flag) = Flag::of("--dropper", dropper) else {
        return Ok((None, density));
    };
    let found = drop::of_book(flag, shelf, assumed)?;
    let own = found.liquid.as_deref().unwrap_or("water");
    let asked = asked.as_deref();
    if asked.is_some_and(|asked| !liquid::is_alike(own, asked)) || asked.is_none() && is_water(own)
    {
        let asked = asked.unwrap_or("the flavouring");
        return Err(Failure::refused(format!(
            "dropper {} is calibrated with {own}, not with {asked}",
            flag.text,
        ))
        .about(flag.name)
        .pointing(flag.text, 0, flag.text.len())
        .hint(if is_water(own) {
            DROPS_DIFFER
        } else {
            drop::CALIBRATE
        }));
    }
    if density.is_none() {
        density = found.density;
        if let (Some(known), Some(name)) = (&density, &found.liquid) {
            assumed.line(format!("density of {name}, {}", grams_per_ml(known)));
        }
    }
    Ok((Some(found.drop), density))
}

/// What was asked for, with what it needs.
fn what_is_asked(
    flag: Flag<'_>,
    reading: &Reading,
    drop: Option<Drop>,
    density: Option<Measured<Density>>,
    leaf: Option<&Weight>,
    assumed: &mut Assumed,
) -> Outcome<Asked> {
    let is_exact = reading.is_exact() && matches!(reading.kind(), Kind::Mass | Kind::Volume);
    assumed.exact_if(is_exact, format!("flavouring {}", reading.unbroken()));
    if let Some(volume) = reading.volume() {
        if density.is_none() {
            return Err(
                Failure::missing("--density", "a dose by volume needs the density")
                    .hint("type the density of the flavouring, such as --density 0.846g/mL"),
            );
        }
        flag.within(&gutta::measure::VOLUME, reading)?;
        return Ok(Asked::Volume(volume));
    }
    if let Some(share) = reading.share() {
        if reading.basis().is_some() {
            return Err(flag
                .wrong("wrong-kind", "a dose has no moisture basis")
                .hint("say what it is counted on with --basis dry or --basis as-weighed"));
        }
        flag.within(&gutta::measure::DOSE, reading)?;
        if leaf.is_none() {
            return Err(
                Failure::missing("--leaf", "the leaf as weighed is missing").hint(
                    "a dose in g/kg is counted on leaf: type what it weighs, such as --leaf 10.00g",
                ),
            );
        }
        return Ok(Asked::Dose(share));
    }
    if reading.drops().is_some() {
        let count = flag.count(reading)?;
        if drop.is_none() {
            return Err(
                Failure::missing("--drop", "a dose in drops needs the mass of one drop")
                    .hint(drop::CALIBRATE),
            );
        }
        return Ok(Asked::Drops(count));
    }
    Ok(Asked::Mass(flag.weight(reading.clone(), None)?.mass))
}

fn weight(
    name: &'static str,
    text: Option<&String>,
    what: &str,
    assumed: &mut Assumed,
) -> Outcome<Option<Weight>> {
    let Some(flag) = Flag::of(name, text) else {
        return Ok(None);
    };
    let weight = flag.mass(None)?;
    assumed.exact_if(
        weight.mass.is_exact(),
        format!("{what} {}", weight.reading.unbroken()),
    );
    Ok(Some(weight))
}

fn grams_per_ml(density: &Measured<Density>) -> String {
    say::estimate(&density.estimate("density"), Unit::GRAM_PER_MILLILITRE)
}
