//! `gutta repair ratio`.

use clap::Args;

use gutta::bench::LeafBasis;
use gutta::blend::repair::{Restoring, Weighed};
use gutta::measure::{
    Kind, Mass, Measured, Ratio, Reading, SHARE, Scalar, Scale, TOLERANCE, read, read_leading,
};

use crate::answer::Answer;
use crate::command::dose::BasisWord;
use crate::command::formula::args::{LotsArgs, about_lots};
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, formula, moved};
use crate::say::shell_word;
use crate::speak::repair as speak;

/// A pan in the wrong ratio.
#[derive(Debug, Args)]
pub struct RatioArgs {
    /// A component: what lies in the pan, its name and its share, "36.8g flue-cured 46%"
    #[arg(value_name = "COMPONENT")]
    components: Vec<String>,
    /// A formula of the book, for the shares: a component is then "36.8g flue-cured"
    #[arg(long, value_name = "FORMULA")]
    formula: Option<String>,
    #[command(flatten)]
    lots: LotsArgs,
    /// What the shares are of
    #[arg(long, value_name = "BASIS", value_enum, conflicts_with = "formula")]
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
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let tolerance = match Flag::of("--tolerance", self.tolerance.as_ref()) {
            Some(flag) => flag.exact_share(&TOLERANCE)?,
            None => Ratio::of_base(0.01),
        };
        if self.components.is_empty() {
            return Err(Failure::missing(COMPONENT, "no component was given").hint(FORM));
        }
        if let Some(flag) = Flag::of("--formula", self.formula.as_ref()) {
            return self.by_formula(flag, scale, tolerance, shelf, assumed);
        }
        self.lots.refuse_without("--formula")?;
        let mut parts: Vec<Weighed> = Vec::new();
        let mut shares = Vec::new();
        let mut first = None;
        for text in &self.components {
            let flag = Flag::new(COMPONENT, text);
            let (typed, mut part, rest) = component(flag, scale, &mut assumed)?;
            let (name, share) = name_and_share(flag, rest)?;
            name.clone_into(&mut part.name);
            assumed.exact_if(
                part.in_pan.is_exact(),
                format!("{} {name}", typed.unbroken()),
            );
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

    /// The flags that the sheet needs too, as they were typed.
    fn typed_again(&self, shelf: &Shelf) -> String {
        let mut again = self.lots.typed();
        for (flag, text) in [
            ("--scale", self.scale.as_deref()),
            ("--book", shelf.named()),
        ] {
            if let Some(text) = text {
                again += &format!(" {flag} {}", shell_word(text));
            }
        }
        again
    }

    /// The pan against a formula of the book; what is not in it yet is typed by
    /// nobody.
    fn by_formula(
        &self,
        flag: Flag<'_>,
        scale: Option<Scale>,
        tolerance: Ratio,
        shelf: &Shelf,
        mut assumed: Assumed,
    ) -> Outcome<Answer> {
        let formula = formula::of_book(flag, shelf, &mut assumed)?;
        let (lots, said) = self.lots.read(&formula.leaf, shelf, &mut assumed)?;
        let lines = formula.leaf.lines().iter().zip(lots).zip(&said);
        let mut parts: Vec<Weighed> = lines
            .map(|((line, at), lot)| Weighed {
                source: lot.source.clone(),
                name: line.name().to_owned(),
                in_pan: Measured::exact(Mass::of_base(0.0)),
                share: line.share(),
                at,
                stock: None,
            })
            .collect();
        let mut typed = vec![None; parts.len()];
        let mut in_bowl = String::new();
        for text in &self.components {
            let flag = Flag::new(COMPONENT, text);
            let (reading, part, rest) = component(flag, scale, &mut assumed)?;
            if rest.is_empty() {
                return Err(flag
                    .wrong("missing", "the component has no name")
                    .hint("type each as it lies in the pan with its name: \"36.8g flue-cured\""));
            }
            let at = formula.leaf_at(flag, rest)?;
            if typed[at].is_some() {
                return Err(flag
                    .wrong("duplicate", format!("{rest} stands twice"))
                    .hint("add its two masses, and type it once"));
            }
            assumed.exact_if(
                part.in_pan.is_exact(),
                format!("{} {rest}", reading.unbroken()),
            );
            in_bowl += &format!(
                " --in-bowl \"{} {}\"",
                reading.unbroken_value().replace('\u{a0}', " "),
                parts[at].name
            );
            typed[at] = Some(reading);
            parts[at] = Weighed {
                name: parts[at].name.clone(),
                share: parts[at].share,
                at: part.at.or(parts[at].at),
                // A moisture of its own is found on nothing else.
                source: parts[at].source.clone().filter(|_| part.at.is_none()),
                ..part
            };
        }
        let restoring = Restoring {
            parts,
            basis: formula.basis,
        };
        let restored = restoring
            .restore()
            .map_err(|error| about_lots(error, &formula.leaf, &said))?;
        let first = typed.into_iter().flatten().next();
        let mut answer = speak::ratio(&restoring, &restored, tolerance, first, scale, assumed);
        answer.next.push(format!(
            "the new sheet, with flavour and water for the new size: gutta sheet {}{in_bowl}{}",
            shell_word(flag.text),
            self.typed_again(shelf)
        ));
        Ok(answer)
    }
}

/// `36.8g flue-cured 46% at 12%, 30g left`: what lies in the pan, without its name,
/// and the words behind the mass.
fn component<'a>(
    flag: Flag<'a>,
    scale: Option<Scale>,
    assumed: &mut Assumed,
) -> Outcome<(Reading, Weighed, &'a str)> {
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
    let part = Weighed {
        name: String::new(),
        source: None,
        in_pan,
        share: Ratio::of_base(0.0),
        at,
        stock,
    };
    Ok((typed, part, rest.trim()))
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
