//! `gutta repair top-up`.

use clap::Args;

use gutta::bench::LeafBasis;
use gutta::blend::repair::TopUp;
use gutta::measure::{Ratio, SHARE, Scalar, Unit};

use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, formula};
use crate::say;
use crate::speak::formula::leaf;
use crate::speak::repair as speak;

/// A pile with a share to be raised.
#[derive(Debug, Args)]
pub struct TopUpArgs {
    /// All of the pile, on the basis of the shares
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    pile: Option<String>,
    /// The share that is there
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    share: Option<String>,
    /// A formula of the book, for the share that is there
    #[arg(
        long,
        value_name = "FORMULA",
        conflicts_with = "share",
        requires = "component"
    )]
    formula: Option<String>,
    /// The component of the formula that is to be raised
    #[arg(long, value_name = "COMPONENT", requires = "formula")]
    component: Option<String>,
    /// The share that is wanted
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    to: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl TopUpArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
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
        let mut is_dry = false;
        let share = match Flag::of("--formula", self.formula.as_ref()) {
            Some(flag) => {
                let (share, basis) = self.share_of(flag, shelf, &mut assumed)?;
                is_dry = basis == LeafBasis::Dry;
                share
            }
            None => Flag::needed(
                "--share",
                "the share that is there",
                self.share.as_ref(),
                "type it as it was made, such as --share 22%, or --formula and --component",
            )?
            .exact_share(&SHARE)?,
        };
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
            (&pile.reading, is_dry),
            scale,
            assumed,
        ))
    }

    /// The share that a component has in a formula of the book.
    fn share_of(
        &self,
        flag: Flag<'_>,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<(Ratio, LeafBasis)> {
        let formula = formula::of_book(flag, shelf, assumed)?;
        let name = Flag::needed(
            "--component",
            "the component to raise",
            self.component.as_ref(),
            "type its name, such as --component oriental",
        )?;
        let at = formula.leaf_at(name, name.text.trim())?;
        let line = &formula.leaf.lines()[at];
        assumed.line(format!(
            "{} is {} of {}: the pile is counted alike",
            line.name(),
            say::base(line.share().base(), Unit::PERCENT),
            leaf(formula.basis)
        ));
        Ok((line.share(), formula.basis))
    }
}
