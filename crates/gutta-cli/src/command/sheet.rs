//! `gutta sheet`: the weigh sheet of a formula.

use clap::{Args, ValueEnum};

use gutta::blend::sheet::{Order, Planned, Sheet, SheetSize};
use gutta::measure::{Kind, Mass, Reading, Scalar, Scale, TOLERANCE, read_leading};

use super::formula::args::{FORMULA, FormulaArgs, LotsArgs, SizeArgs, about_lots};
use super::html::HtmlArgs;
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::formula::Formula;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, drop, is_water, liquid};
use crate::speak::sheet::Question;

pub(super) const EXAMPLES: &str = "\
Examples:
  gutta sheet \"46 % flue-cured\" \"54 % oriental\" --batch 24g --scale 0.01g
  gutta sheet \"9 parts flue-cured\" \"4 parts oriental\" --shares dry \\
    --lot \"flue-cured = 12.4% ± 0.6%\" --lot \"oriental = 11%\" \\
    --batch 500g --to 15% --scale 0.1g --tray 612g

The smallest line comes first: what is over-poured can then still be taken out.";

/// What to weigh of each lot, what goes onto it, the water, step by step.
#[derive(Debug, Args)]
pub struct SheetArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    #[command(flatten)]
    size: SizeArgs,
    /// What lies in the bowl already, to be brought into its ratio: "36.8g oriental"
    #[arg(long, value_name = "MASS COMPONENT", allow_hyphen_values = true)]
    in_bowl: Vec<String>,
    #[command(flatten)]
    lots: LotsArgs,
    /// Which line is weighed first
    #[arg(
        long,
        value_name = "WHICH",
        value_enum,
        default_value = "smallest",
        hide_default_value = true
    )]
    order: OrderWord,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// How far a weighing may be off [2%]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    tolerance: Option<String>,
    /// The bowl that stays on the scale
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tray: Option<String>,
    /// A dropper of the book, for the liquid that it was calibrated with
    #[arg(long, value_name = "NAME")]
    dropper: Vec<String>,
    /// The temperature of the room [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    #[command(flatten)]
    pub(super) html: HtmlArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum OrderWord {
    /// The smallest first
    Smallest,
    /// The largest first, as a base for the rest
    Base,
}

impl SheetArgs {
    /// Reads the flags, asks the library, and says the answer.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let (question, plan) = self.planned(shelf)?;
        Ok(question.say(&plan))
    }

    /// What was asked, and the plan that answers it.
    pub fn planned(&self, shelf: &Shelf) -> Outcome<(Question, Planned)> {
        let question = self.read(shelf)?;
        let plan = question
            .sheet
            .plan()
            .map_err(|error| about_lots(error, &question.sheet.shares, &question.lots))?;
        Ok((question, plan))
    }

    /// The page that it is written to, where one is asked for.
    pub const fn html(&self) -> &HtmlArgs {
        &self.html
    }

    /// Whether a formula is named or typed.
    pub fn names_a_formula(&self) -> bool {
        self.formula.is_given()
    }

    /// A size is that of a formula.
    pub fn refuse_size_without_formula(&self) -> Outcome<()> {
        match self.size.flag() {
            Some(flag) => Err(Failure::missing(
                FORMULA,
                format!("{flag} is the size of a formula, and none is named"),
            )
            .hint(format!(
                "name one of the book, such as evening, or leave {flag} out"
            ))),
            None => Ok(()),
        }
    }

    fn read(&self, shelf: &Shelf) -> Outcome<Question> {
        let mut assumed = Assumed::default();
        let formula = self.formula.read(shelf, &mut assumed)?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let size = if self.in_bowl.is_empty() {
            Some(self.size.read(scale)?)
        } else {
            self.size.read_if(scale)?
        };
        let in_bowl = self.in_bowl(&formula, scale, &mut assumed)?;
        let (lots, said) = self.lots.read(&formula.leaf, shelf, &mut assumed)?;
        let mut sheet = Sheet {
            lots,
            order: match self.order {
                OrderWord::Smallest => Order::SmallestFirst,
                OrderWord::Base => Order::BaseFirst,
            },
            scale,
            to: formula.to.as_ref().map(|(_, to)| *to),
            sources: said.iter().map(|lot| lot.source.clone()).collect(),
            in_bowl: in_bowl.iter().map(|(_, mass)| *mass).collect(),
            ..Sheet::new(
                formula.leaf.clone(),
                formula.basis,
                size.as_ref()
                    .map_or(SheetSize::AsWeighed(Mass::of_base(0.0)), |(_, size)| *size),
            )
        };
        let size_typed = match size {
            Some((typed, _)) => Some(typed),
            None => {
                let least = sheet
                    .restored()
                    .map_err(|error| about_lots(error, &sheet.shares, &said))?
                    .batch
                    .best();
                sheet.size = SheetSize::AsWeighed(least);
                None
            }
        };
        let first = in_bowl.into_iter().find_map(|(typed, _)| typed);
        if let Some(band) = formula.band {
            sheet.band = band;
        }
        if let Some(tolerance) = formula.tolerance {
            sheet.tolerance = tolerance;
        }
        if let Some(flag) = Flag::of("--tolerance", self.tolerance.as_ref()) {
            sheet.tolerance = flag.exact_share(&TOLERANCE)?;
        }
        if let Some(flag) = Flag::of("--tray", self.tray.as_ref()) {
            let tray = flag.mass(scale)?;
            assumed.exact_if(
                tray.mass.is_exact(),
                format!("bowl {}", tray.reading.unbroken()),
            );
            sheet.tray = Some(tray.mass);
        }
        match Flag::of("--temp", self.temp.as_ref()) {
            Some(flag) => sheet.temperature = flag.temperature()?,
            None if sheet.to.is_some() => assumed.line("water at 20\u{a0}°C"),
            None => {}
        }
        formula.put_liquids(&mut sheet, shelf, &mut assumed)?;
        let (droppers, water_dropper) = self.droppers(&mut sheet, shelf, &mut assumed)?;
        let has_carrier = sheet
            .flavours
            .iter()
            .map(|line| &line.liquid)
            .chain(sheet.casings.iter().map(|line| &line.liquid))
            .filter_map(|liquid| liquid.composition.as_ref())
            .any(gutta::Composition::has_carrier);
        if has_carrier && sheet.to.is_some() {
            assumed.line("all alcohol leaves while it airs, and no water with it");
        }
        Ok(Question {
            title: formula.title,
            formula: formula.name,
            sheet,
            size: size_typed,
            typed: first,
            lots: said,
            droppers,
            water_dropper,
            rest: formula.rest,
            note: formula.note,
            to: formula.to.map(|(reading, _)| reading),
            assumed,
        })
    }

    /// What lies in the bowl of each component, and how that was typed.
    fn in_bowl(
        &self,
        formula: &Formula,
        scale: Option<Scale>,
        assumed: &mut Assumed,
    ) -> Outcome<Vec<(Option<Reading>, Mass)>> {
        if self.in_bowl.is_empty() {
            return Ok(Vec::new());
        }
        let none = (None, Mass::of_base(0.0));
        let mut bowl = vec![none; formula.leaf.lines().len()];
        for text in &self.in_bowl {
            let flag = Flag::new("--in-bowl", text);
            let (reading, end) =
                read_leading(text, &[Kind::Mass]).map_err(|error| flag.fail(error))?;
            let weight = flag.weight(reading, scale)?;
            let name = text[end..].trim();
            if name.is_empty() {
                return Err(flag
                    .wrong("missing", "it is not said what of the formula it is")
                    .hint("type mass and component, such as --in-bowl \"36.8g oriental\""));
            }
            let at = formula.leaf_at(flag, name)?;
            if bowl[at].0.is_some() {
                return Err(flag
                    .wrong("duplicate", format!("{name} stands twice"))
                    .hint("add its two masses, and type it once"));
            }
            assumed.exact_if(
                weight.reading.is_exact(),
                format!("{} {name} in the bowl", weight.reading.unbroken()),
            );
            bowl[at] = (Some(weight.reading), weight.mass.value());
        }
        Ok(bowl)
    }

    /// The droppers that were named, each for the liquid that it was calibrated
    /// with: those of the flavourings, and that of the water.
    fn droppers(
        &self,
        sheet: &mut Sheet,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<(Vec<Option<String>>, Option<String>)> {
        let mut of_flavours = vec![None; sheet.flavours.len()];
        let mut of_water = None;
        for text in &self.dropper {
            let flag = Flag::new("--dropper", text);
            let entry = shelf.dropper(flag)?;
            let (name, of_liquid) = (entry.name.clone(), entry.liquid.clone());
            let found = drop::of_book(flag, shelf, assumed)?;
            let twice = || {
                flag.wrong(
                    "duplicate",
                    format!("two droppers are named for {of_liquid}"),
                )
                .hint("keep one of them")
            };
            if is_water(&of_liquid) {
                if of_water.replace(name).is_some() {
                    return Err(twice());
                }
                sheet.drop = Some(found.drop);
                continue;
            }
            let at = sheet
                .flavours
                .iter()
                .position(|line| liquid::is_alike(&line.liquid.name, &of_liquid));
            let Some(at) = at else {
                return Err(flag
                    .wrong(
                        "unknown-name",
                        format!("dropper {name} is calibrated with {of_liquid}, which is no flavouring of this formula"),
                    )
                    .hint("name a dropper of the flavouring or of water, or leave it out: then it is weighed"));
            };
            if of_flavours[at].replace(name).is_some() {
                return Err(twice());
            }
            sheet.flavours[at].drop = Some(found.drop);
        }
        Ok((of_flavours, of_water))
    }
}
