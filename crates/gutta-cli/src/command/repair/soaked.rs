//! `gutta repair soaked`.

use clap::Args;

use gutta::blend::repair::Soaked;
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::measure::{Scale, Unit};

use crate::answer::Answer;
use crate::command::formula::args::{LotsArgs, about_lots};
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, Weight, formula};
use crate::say;
use crate::speak::repair as speak;

/// A component with all of the flavouring on it.
#[derive(Debug, Args)]
pub struct SoakedArgs {
    /// All leaf of the batch, the soaked component among it
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// The component that the flavouring went onto
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    component: Option<String>,
    /// A formula of the book, for what the component and the flavouring weigh
    #[arg(
        long,
        value_name = "FORMULA",
        conflicts_with = "flavouring",
        requires = "onto"
    )]
    formula: Option<String>,
    /// The component of the formula that all of it went onto
    #[arg(
        long,
        value_name = "COMPONENT",
        requires = "formula",
        conflicts_with = "component"
    )]
    onto: Option<String>,
    #[command(flatten)]
    lots: LotsArgs,
    /// The flavouring
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    flavouring: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl SoakedArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
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
        if let Some(flag) = Flag::of("--formula", self.formula.as_ref()) {
            return self.by_formula(flag, &batch, scale, shelf, assumed);
        }
        self.lots.refuse_without("--formula")?;
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

    /// The component and the flavouring as a formula of the book has them for the
    /// batch.
    fn by_formula(
        &self,
        flag: Flag<'_>,
        batch: &Weight,
        scale: Option<Scale>,
        shelf: &Shelf,
        mut assumed: Assumed,
    ) -> Outcome<Answer> {
        let formula = formula::of_book(flag, shelf, &mut assumed)?;
        let onto = Flag::needed(
            "--onto",
            "the component that the flavouring went onto",
            self.onto.as_ref(),
            "type its name, such as --onto oriental",
        )?;
        let at = formula.leaf_at(onto, onto.text.trim())?;
        let (lots, said) = self.lots.read(&formula.leaf, shelf, &mut assumed)?;
        let size = SheetSize::AsWeighed(batch.mass.value());
        let mut sheet = Sheet {
            lots,
            sources: said.iter().map(|lot| lot.source.clone()).collect(),
            ..Sheet::new(formula.leaf.clone(), formula.basis, size)
        };
        formula.put_liquids(&mut sheet, shelf, &mut assumed)?;
        // What soaks is what was dropped: the casing is on all of the leaf.
        sheet.casings.clear();
        let plan = sheet
            .plan()
            .map_err(|error| about_lots(error, &formula.leaf, &said))?;
        let line = plan.lines.iter().find(|line| line.component == at);
        let ([flavour], Some(line)) = (plan.flavours.as_slice(), line) else {
            return Err(flag
                .wrong(
                    "ambiguous",
                    match plan.flavours.len() {
                        0 => format!("{} has no flavouring", formula.title),
                        several => format!("{} has {several} flavourings", formula.title),
                    },
                )
                .hint("type what went on, and onto what: --component 90g --flavouring 3.0g"));
        };
        assumed.line(format!(
            "by the formula that is {} of {} onto {} of {}",
            say::estimate(&flavour.dosed.mass, Unit::GRAM),
            formula.flavours[0].liquid.0,
            say::estimate(&line.mass, Unit::GRAM),
            formula.leaf.lines()[at].name()
        ));
        let soaked = Soaked {
            batch: batch.mass,
            component: line.mass.measured(),
            flavouring: flavour.dosed.mass.measured(),
        };
        let spread = soaked.spread().map_err(|error| onto.fail(error))?;
        Ok(speak::soaked(&spread, &batch.reading, scale, assumed))
    }
}
