//! `gutta formula show`.

use clap::Args;

use gutta::blend::sheet::{Sheet, SheetSize};

use super::args::{FormulaArgs, LotsArgs, SizeArgs, about_lots};
use super::save::SaveArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Assumed;
use crate::resolve::shelf::Shelf;
use crate::speak::formula as speak;

/// A formula, and the size it is shown at.
#[derive(Debug, Args)]
pub struct ShowArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    #[command(flatten)]
    size: SizeArgs,
    #[command(flatten)]
    lots: LotsArgs,
    #[command(flatten)]
    save: SaveArgs,
}

impl ShowArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let formula = self.formula.read(shelf, &mut assumed)?;
        let (lots, said) = self.lots.read(&formula.leaf, shelf, &mut assumed)?;
        let size = self.size.read_if(None)?;
        let planned = match &size {
            Some((_, size)) => {
                let mut sheet = Sheet {
                    lots: lots.clone(),
                    ..Sheet::new(formula.leaf.clone(), formula.basis, *size)
                };
                // What is finished has all on it that goes on.
                if matches!(size, SheetSize::Finished(_)) {
                    sheet.to = formula.to.as_ref().map(|(_, to)| *to);
                    formula.put_liquids(&mut sheet, shelf, &mut assumed)?;
                }
                let plan = sheet.plan();
                Some(plan.map_err(|error| about_lots(error, &formula.leaf, &said))?)
            }
            None => None,
        };
        let moistures: Option<Vec<_>> = lots.iter().map(|at| at.map(|at| at.value())).collect();
        let other = match moistures {
            Some(lots) => Some(formula.on_other_basis(&lots).map_err(Failure::from)?),
            None => None,
        };
        let mut answer = speak::show(
            &speak::Shown {
                formula: &formula,
                size: size.as_ref().map(|(reading, size)| (reading, *size)),
                planned: planned.as_ref(),
                other: other.as_ref(),
                lots: &said,
            },
            assumed,
        );
        let lines = self.formula.lines(&formula);
        self.save.keep(&formula, lines, shelf, &mut answer)?;
        Ok(answer)
    }
}
