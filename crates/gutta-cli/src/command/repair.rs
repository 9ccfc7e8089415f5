//! `gutta repair`: what to add to a blend that went wrong.

use clap::{Args, Subcommand};

use gutta::bench::LeafBasis;
use gutta::blend::repair::{OverFlavoured, Restoring, Soaked, TopUp, Weighed};
use gutta::measure::{
    DOSE, Kind, Mass, Measured, Ratio, Reading, SHARE, Scalar, Scale, TOLERANCE, read, read_leading,
};

use super::dose::BasisWord;
use super::leaf::dose_on_leaf;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, moved, share_of};
use crate::speak::repair as speak;

const RATIO_EXAMPLES: &str = "\
Examples:
  gutta repair ratio \"36.8g flue-cured 46%\" \"17.6g oriental 22%\" \\
    \"14.4g stoved 18%\" \"13.9g fire-cured 14%\"
  gutta repair ratio \"107.1g base 7 parts\" \"42.9g condiment 2 parts\"
  gutta repair ratio \"50g bright 70% at 12%, 30g left\" \"30g dark 30% at 16%\" --basis dry

Each component is what lies in the pan, its name, and the share that the formula
gives it; at 12% is its moisture, 30g left what there is of it.";

const TOP_UP_EXAMPLES: &str = "\
Examples:
  gutta repair top-up --pile 215g --share 22% --to 28%";

const FLAVOUR_EXAMPLES: &str = "\
Examples:
  gutta repair flavour --leaf 500g --dose 18g/kg --to 12g/kg";

const SOAKED_EXAMPLES: &str = "\
Examples:
  gutta repair soaked --batch 500g --component 90g --flavouring 3.0g";

/// What went wrong.
#[derive(Debug, Subcommand)]
pub enum RepairVerb {
    /// One component over-weighed, or all of them in the wrong ratio
    #[command(after_long_help = RATIO_EXAMPLES)]
    Ratio(RatioArgs),
    /// One share of a mixed pile is to be raised
    #[command(after_long_help = TOP_UP_EXAMPLES)]
    TopUp(TopUpArgs),
    /// Too much flavour: plain leaf brings it down
    #[command(after_long_help = FLAVOUR_EXAMPLES)]
    Flavour(FlavourArgs),
    /// All of the flavouring went onto one component
    #[command(after_long_help = SOAKED_EXAMPLES)]
    Soaked(SoakedArgs),
}

impl RepairVerb {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        match self {
            Self::Ratio(args) => args.answer(shelf),
            Self::TopUp(args) => args.answer(shelf),
            Self::Flavour(args) => args.answer(shelf),
            Self::Soaked(args) => args.answer(shelf),
        }
    }
}

/// A pan in the wrong ratio.
#[derive(Debug, Args)]
pub struct RatioArgs {
    /// A component: what lies in the pan, its name and its share, "36.8g flue-cured 46%"
    #[arg(value_name = "COMPONENT")]
    components: Vec<String>,
    /// What the shares are of
    #[arg(long, value_name = "BASIS", value_enum)]
    basis: Option<BasisWord>,
    /// How far a share may be off, in points, to be left as it is [1%]
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    tolerance: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

/// What a component is called in a complaint.
const COMPONENT: &str = "COMPONENT";

const FORM: &str = "type each as it lies in the pan with its name and share in quotes: \
     \"36.8g flue-cured 46%\"";

/// A share as it was typed: of a hundred, or in parts of any total.
enum Share {
    Percent(f64),
    Parts(f64),
}

impl RatioArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let tolerance = match Flag::of("--tolerance", self.tolerance.as_ref()) {
            Some(flag) => flag.exact_share(&TOLERANCE)?,
            None => Ratio::of_base(0.01),
        };
        if self.components.is_empty() {
            return Err(Failure::missing(COMPONENT, "no component was given").hint(FORM));
        }
        let mut parts: Vec<Weighed> = Vec::new();
        let mut shares = Vec::new();
        let mut first = None;
        for text in &self.components {
            let flag = Flag::new(COMPONENT, text);
            let (typed, part, share) = component(flag, scale, &mut assumed)?;
            if parts.iter().any(|one| one.name == part.name) {
                return Err(flag
                    .wrong("duplicate", format!("{} stands twice", part.name))
                    .hint("add its two masses, and type it once"));
            }
            first.get_or_insert(typed);
            parts.push(part);
            shares.push(share);
        }
        settle_shares(&mut parts, &shares)?;
        let basis = match self.basis {
            Some(BasisWord::Dry) => LeafBasis::Dry,
            None if parts.iter().all(|part| part.at.is_some()) => {
                assumed.line("shares are of dry leaf, since every moisture is given");
                LeafBasis::Dry
            }
            Some(BasisWord::AsWeighed) | None => LeafBasis::AsWeighed,
        };
        let restoring = Restoring { parts, basis };
        let restored = restoring
            .restore()
            .map_err(|error| Failure::from(error).about(COMPONENT))?;
        Ok(speak::ratio(
            &restoring, &restored, tolerance, first, scale, assumed,
        ))
    }
}

/// `36.8g flue-cured 46% at 12%, 30g left`.
fn component(
    flag: Flag<'_>,
    scale: Option<Scale>,
    assumed: &mut Assumed,
) -> Outcome<(Reading, Weighed, Share)> {
    let (typed, end) = read_leading(flag.text, &[Kind::Mass]).map_err(|error| flag.fail(error))?;
    // What was forgotten is not in the pan yet.
    let in_pan = if typed.base() == 0.0 && typed.is_exact() {
        Measured::exact(Mass::of_base(0.0))
    } else {
        flag.weight(typed.clone(), scale)?.mass
    };
    let (rest, left) = match flag.text[end..].rsplit_once(", ") {
        Some((rest, left)) if left.trim_end().ends_with("left") => (rest, Some(left)),
        _ => (&flag.text[end..], None),
    };
    let stock = left.map(|left| stock(flag, left)).transpose()?;
    let (rest, at) = match rest.rsplit_once(" at ") {
        Some((rest, at)) => {
            let (reading, moisture) = Flag::new(flag.name, at).moisture()?;
            assumed.exact_if(
                moisture.is_exact(),
                format!("moisture {}", reading.unbroken()),
            );
            (rest, Some(moisture))
        }
        None => (rest, None),
    };
    let (name, share) = name_and_share(flag, rest.trim())?;
    assumed.exact_if(in_pan.is_exact(), format!("{} {name}", typed.unbroken()));
    let part = Weighed {
        name: name.to_owned(),
        in_pan,
        share: Ratio::of_base(0.0),
        at,
        stock,
    };
    Ok((typed, part, share))
}

fn stock(flag: Flag<'_>, left: &str) -> Outcome<Mass> {
    let text = left.trim_end().trim_end_matches("left").trim();
    let reading = Flag::new(flag.name, text).read(&[Kind::Mass])?;
    Ok(Mass::of_base(reading.base()))
}

fn name_and_share<'a>(flag: Flag<'a>, text: &'a str) -> Outcome<(&'a str, Share)> {
    let missing = |what: &str| {
        flag.wrong("missing", format!("the component has no {what}"))
            .hint(FORM)
    };
    // The share is the last word, or the last two where its unit stands apart.
    let last = text.rsplit(' ').next().unwrap_or_default();
    let apart = matches!(last, "%" | "part" | "parts");
    let at = if apart {
        let before = text[..text.len() - last.len()].trim_end();
        before.rfind(' ').map_or(0, |blank| blank + 1)
    } else {
        text.len() - last.len()
    };
    let (name, share) = (text[..at].trim(), &text[at..]);
    if name.is_empty() {
        return Err(missing(if share.ends_with('%') || apart {
            "name"
        } else {
            "share"
        }));
    }
    let number = share.trim_end_matches("parts").trim_end_matches("part");
    if number.len() < share.len() {
        return match number.trim().replace(',', ".").parse::<f64>() {
            Ok(parts) if parts > 0.0 && parts.is_finite() => Ok((name, Share::Parts(parts))),
            _ => Err(flag
                .wrong(
                    "number",
                    format!("`{}` is no number of parts", number.trim()),
                )
                .hint("type parts of any total, such as 7 parts")),
        };
    }
    let offset = flag.text.len() - text.len() + at;
    let reading = read(share, &[Kind::Share]).map_err(|error| {
        if error.kind() == gutta::ErrorKind::NoUnit || !share.contains('%') {
            missing("share")
        } else {
            moved(flag, error, offset)
        }
    })?;
    SHARE
        .check_typed(reading.base(), &reading.unbroken())
        .map_err(|error| flag.fail(error))?;
    Ok((name, Share::Percent(reading.base())))
}

/// Shares of one kind, each over their whole.
fn settle_shares(parts: &mut [Weighed], shares: &[Share]) -> Outcome<()> {
    let in_parts: Vec<f64> = shares
        .iter()
        .filter_map(|share| match share {
            Share::Parts(parts) => Some(*parts),
            Share::Percent(_) => None,
        })
        .collect();
    if !in_parts.is_empty() && in_parts.len() < shares.len() {
        return Err(
            Failure::unreadable("clash", "some shares are in parts, others in %")
                .about(COMPONENT)
                .hint("type all of them in one way"),
        );
    }
    let whole: f64 = in_parts.iter().sum();
    for (part, share) in parts.iter_mut().zip(shares) {
        part.share = Ratio::of_base(match share {
            Share::Parts(parts) => parts / whole,
            Share::Percent(share) => *share,
        });
    }
    Ok(())
}

/// A pile with a share to be raised.
#[derive(Debug, Args)]
pub struct TopUpArgs {
    /// All of the pile, on the basis of the shares
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    pile: Option<String>,
    /// The share that is there
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    share: Option<String>,
    /// The share that is wanted
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl TopUpArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let pile = Flag::needed(
            "--pile",
            "the mass of the pile",
            self.pile.as_ref(),
            "weigh it, and type what the scale shows, such as --pile 215g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            pile.mass.is_exact(),
            format!("pile {}", pile.reading.unbroken()),
        );
        let share = Flag::needed(
            "--share",
            "the share that is there",
            self.share.as_ref(),
            "type it as it was made, such as --share 22%",
        )?
        .exact_share(&SHARE)?;
        let to = Flag::needed(
            "--to",
            "the share wanted",
            self.to.as_ref(),
            "type what it is to be, such as --to 28%",
        )?;
        let wanted = to.exact_share(&SHARE)?;
        let top_up = TopUp {
            pile: pile.mass,
            share,
            to: wanted,
        };
        let topped = top_up.top_up().map_err(|error| to.fail(error))?;
        Ok(speak::top_up(
            &top_up,
            &topped,
            &pile.reading,
            scale,
            assumed,
        ))
    }
}

/// A batch with too much flavour.
#[derive(Debug, Args)]
pub struct FlavourArgs {
    /// The leaf that the dose is counted on, flavouring not included
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// The dose that is there
    #[arg(long, value_name = "DOSE", allow_hyphen_values = true)]
    dose: Option<String>,
    /// The dose that is wanted
    #[arg(long, value_name = "DOSE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl FlavourArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let leaf = Flag::needed(
            "--leaf",
            "the leaf of the dose",
            self.leaf.as_ref(),
            "type the leaf that the dose is counted on, such as --leaf 500g",
        )?
        .mass(scale)?;
        assumed.exact_if(
            leaf.mass.is_exact(),
            format!("leaf {}", leaf.reading.unbroken()),
        );
        let there = Flag::needed(
            "--dose",
            "the dose that is there",
            self.dose.as_ref(),
            "type what went on, such as --dose 18g/kg",
        )?;
        let typed = dose_on_leaf(there)?;
        there.within(&DOSE, &typed)?;
        assumed.exact_if(typed.is_exact(), format!("dose {}", typed.unbroken()));
        let to = Flag::needed(
            "--to",
            "the dose wanted",
            self.to.as_ref(),
            "type what it is to be, such as --to 12g/kg",
        )?;
        let wanted = dose_on_leaf(to)?;
        if !wanted.is_exact() {
            return Err(to
                .wrong("doubt", "a target is exact")
                .hint("type it without ±, such as 12g/kg"));
        }
        to.within(&DOSE, &wanted)?;
        let flavoured = OverFlavoured {
            leaf: leaf.mass,
            dose: share_of(&typed),
            to: Ratio::of_base(wanted.base()),
        };
        let weakened = flavoured.weaken().map_err(|error| to.fail(error))?;
        Ok(speak::flavour(
            &flavoured,
            &weakened,
            (&leaf.reading, &typed, &wanted),
            scale,
            assumed,
        ))
    }
}

/// A component with all of the flavouring on it.
#[derive(Debug, Args)]
pub struct SoakedArgs {
    /// All leaf of the batch, the soaked component among it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// The component that the flavouring went onto
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    component: Option<String>,
    /// The flavouring
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    flavouring: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl SoakedArgs {
    fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let mut weigh = |name, what: &str, text, hint| {
            let weight = Flag::needed(name, what, text, hint)?.mass(scale)?;
            assumed.exact_if(
                weight.mass.is_exact(),
                format!(
                    "{} {}",
                    name.trim_start_matches('-'),
                    weight.reading.unbroken()
                ),
            );
            Ok::<_, Failure>(weight)
        };
        let batch = weigh(
            "--batch",
            "the leaf of the batch",
            self.batch.as_ref(),
            "type all leaf of it, such as --batch 500g",
        )?;
        let component = weigh(
            "--component",
            "the component",
            self.component.as_ref(),
            "type what the flavouring went onto, such as --component 90g",
        )?;
        let flavouring = weigh(
            "--flavouring",
            "the flavouring",
            self.flavouring.as_ref(),
            "type what went on, such as --flavouring 3.0g",
        )?;
        let soaked = Soaked {
            batch: batch.mass,
            component: component.mass,
            flavouring: flavouring.mass,
        };
        let spread = soaked.spread().map_err(|error| {
            Flag::new("--component", self.component.as_deref().unwrap_or_default()).fail(error)
        })?;
        Ok(speak::soaked(&spread, &batch.reading, scale, assumed))
    }
}
