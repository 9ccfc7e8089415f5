//! `gutta repair flavour`.

use clap::Args;

use gutta::blend::repair::OverFlavoured;
use gutta::measure::{DOSE, Ratio, Reading, Scalar};

use crate::answer::Answer;
use crate::command::leaf::dose_on_leaf;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, formula, share_of};
use crate::speak::repair as speak;

/// A batch with too much flavour.
#[derive(Debug, Args)]
pub struct FlavourArgs {
    /// The leaf that the dose is counted on, flavouring not included
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    leaf: Option<String>,
    /// The dose that is there
    #[arg(long, value_name = "DOSE", allow_hyphen_values = true)]
    dose: Option<String>,
    /// A formula of the book with one flavouring, for the dose that is wanted
    #[arg(long, value_name = "FORMULA", conflicts_with = "to")]
    formula: Option<String>,
    /// The dose that is wanted
    #[arg(long, value_name = "DOSE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl FlavourArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
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
        let by_formula = Flag::of("--formula", self.formula.as_ref());
        let (to, wanted) = match by_formula {
            Some(flag) => (flag, dose_of(flag, shelf, &mut assumed)?),
            None => self.wanted()?,
        };
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

    /// The dose that was typed.
    fn wanted(&self) -> Outcome<(Flag<'_>, Reading)> {
        let to = Flag::needed(
            "--to",
            "the dose wanted",
            self.to.as_ref(),
            "type what it is to be, such as --to 12g/kg, or --formula",
        )?;
        let wanted = dose_on_leaf(to)?;
        if !wanted.is_exact() {
            return Err(to
                .wrong("doubt", "a target is exact")
                .hint("type it without ±, such as 12g/kg"));
        }
        to.within(&DOSE, &wanted)?;
        Ok((to, wanted))
    }
}

/// The dose of a formula's flavouring, where it has one alone.
fn dose_of(flag: Flag<'_>, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Reading> {
    let formula = formula::of_book(flag, shelf, assumed)?;
    match formula.flavours.as_slice() {
        [line] => {
            assumed.line(format!("{} asks for {line}", formula.title));
            Ok(line.typed.clone())
        }
        lines => Err(flag
            .wrong(
                "ambiguous",
                match lines.len() {
                    0 => format!("{} has no flavouring", formula.title),
                    several => format!("{} has {several} flavourings", formula.title),
                },
            )
            .hint("type the dose that is wanted, such as --to 12g/kg")),
    }
}
