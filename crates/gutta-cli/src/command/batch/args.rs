//! A formula at the size of a batch, with its lots.

use clap::Args;

use gutta::bench::{Asked, Dosing, LeafBasis};
use gutta::blend::batch::ScaleUp;
use gutta::blend::sheet::{FlavourLine, Sheet, SheetSize};
use gutta::matter::DensityOf;
use gutta::measure::{
    DENSITY, Density, Estimate, Kind, Mass, Measured, Ratio, Reading, Scalar, TOLERANCE, Unit,
    read, read_leading,
};

use crate::command::formula::args::{FormulaArgs, LotsArgs, SizeArgs, about_lots};
use crate::failure::{Failure, Outcome};
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, drop, liquid, moved, supply};
use crate::say;
use crate::speak::batch::Asking;
use crate::speak::sheet::Question;

/// What a batch is made of.
#[derive(Debug, Args)]
pub struct BatchArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    #[command(flatten)]
    size: SizeArgs,
    #[command(flatten)]
    lots: LotsArgs,
    /// What a component costs: "oriental = 61 /kg"
    #[arg(long, value_name = "COMPONENT = PRICE")]
    price: Vec<String>,
    /// What there is of a component: "oriental = 650g"
    #[arg(long, value_name = "COMPONENT = MASS")]
    stock: Vec<String>,
    /// What is lost on the way [0%]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    loss: Option<String>,
    /// A flavouring by the drops of a trial: "7 drops on 10g at 12%: fig tincture"
    #[arg(long, value_name = "DROPS ON LEAF")]
    drops: Vec<String>,
    /// The dropper of the book that they were counted with
    #[arg(long, value_name = "NAME")]
    dropper: Vec<String>,
    /// The density of the bottle at hand: "fig tincture = 0.905 g/mL"
    #[arg(long, value_name = "LIQUID = DENSITY")]
    bottle: Vec<String>,
    /// The scale's smallest step, such as 1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// How far a weighing may be off [2%]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    tolerance: Option<String>,
    /// The temperature of the room [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    /// Answer although a stock falls short, with what is missing
    #[arg(long)]
    to_buy: bool,
}

/// What to type for the drops of a trial.
const DROPS_FORM: &str = "type the drops, on, the leaf of the trial, : and the liquid, such as \"7 drops on 10g: fig tincture\", or \"… on 10g at 12%: …\" to count it on dry leaf";

impl BatchArgs {
    /// Reads the flags and works the batch out.
    pub fn read(&self, shelf: &Shelf) -> Outcome<Asking> {
        let mut assumed = Assumed::default();
        let formula = self.formula.read(shelf, &mut assumed)?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let (size_typed, size) = self.size.read(scale)?;
        let (lots, said) = self.lots.read(&formula.leaf, shelf, &mut assumed)?;
        let mut sheet = Sheet {
            lots,
            scale,
            to: formula.to.as_ref().map(|(_, to)| *to),
            sources: said.iter().map(|lot| lot.source.clone()).collect(),
            ..Sheet::new(formula.leaf.clone(), formula.basis, size)
        };
        if let Some(band) = formula.band {
            sheet.band = band;
        }
        if let Some(tolerance) = formula.tolerance {
            sheet.tolerance = tolerance;
        }
        if let Some(flag) = Flag::of("--tolerance", self.tolerance.as_ref()) {
            sheet.tolerance = flag.exact_share(&TOLERANCE)?;
        }
        match Flag::of("--temp", self.temp.as_ref()) {
            Some(flag) => sheet.temperature = flag.temperature()?,
            None => assumed.line("the room at 20\u{a0}°C"),
        }
        formula.put_liquids(&mut sheet, shelf, &mut assumed)?;
        self.put_trial(&mut sheet, shelf, &mut assumed)?;
        self.put_bottles(&mut sheet)?;
        let supplies = supply::supplies(
            &formula.leaf,
            &said,
            &self.price,
            &self.stock,
            shelf,
            &mut assumed,
        )?;
        let lost = match Flag::of("--loss", self.loss.as_ref()) {
            Some(flag) => loss(flag)?,
            None => Ratio::of_base(0.0),
        };
        let liquids = sheet.flavours.iter().map(|line| &line.liquid);
        let mut liquids = liquids.chain(sheet.casings.iter().map(|line| &line.liquid));
        let has_carrier = liquids.any(|liquid| {
            liquid
                .composition
                .as_ref()
                .is_some_and(gutta::Composition::has_carrier)
        });
        if has_carrier && sheet.to.is_some() {
            assumed.line("all alcohol leaves while it airs, and no water with it");
        }
        let scale_up = ScaleUp {
            sheet,
            supplies,
            loss: lost,
        };
        let scaled = scale_up
            .plan()
            .map_err(|error| about_lots(error, &formula.leaf, &said))?;
        let question = Question {
            title: formula.title,
            formula: formula.name.clone(),
            droppers: vec![None; scale_up.sheet.flavours.len()],
            sheet: scale_up.sheet.clone(),
            size: Some(size_typed),
            typed: None,
            lots: said,
            water_dropper: None,
            rest: formula.rest,
            note: formula.note,
            to: formula.to.map(|(reading, _)| reading),
            assumed,
        };
        let asking = Asking {
            question,
            scale_up,
            scaled,
        };
        if self.to_buy {
            return Ok(asking);
        }
        check_stock(asking)
    }

    /// The flavourings by the drops of a trial: what a drop weighed then is the
    /// dose, whatever dropper is at hand now.
    fn put_trial(&self, sheet: &mut Sheet, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<()> {
        let mut droppers = Vec::new();
        for text in &self.dropper {
            let flag = Flag::new("--dropper", text);
            let name = shelf.dropper(flag)?.liquid.clone();
            droppers.push((flag, name, drop::of_book(flag, shelf, assumed)?));
        }
        let mut used = vec![false; droppers.len()];
        let mut dosed_already: Vec<String> = Vec::new();
        for text in &self.drops {
            let flag = Flag::new("--drops", text);
            let form = || {
                flag.wrong("unreadable", "the drops of a trial cannot be read")
                    .hint(DROPS_FORM)
            };
            let (head, name) = text.split_once(':').ok_or_else(form)?;
            let (count, end) = read_leading(head, &[Kind::Drops])
                .map_err(|error| flag.fail(error).hint(DROPS_FORM))?;
            let count = flag.count(&count)?;
            let on = head[end..]
                .trim_start()
                .strip_prefix("on ")
                .ok_or_else(form)?;
            let (mass, at) = match on.split_once(" at ") {
                Some((mass, at)) => (mass, Some(at)),
                None => (on, None),
            };
            let place = |part: &str| text.find(part).unwrap_or_default();
            let leaf = read(mass.trim(), &[Kind::Mass])
                .map_err(|error| moved(flag, error, place(mass.trim())))?;
            let leaf = flag.weight(leaf, None)?;
            let at = at
                .map(|at| Flag::new(flag.name, at.trim()).moisture())
                .transpose()?;
            let liquid = liquid::needed(Flag::new(flag.name, name.trim()), shelf, assumed)?;
            once(
                flag,
                "the drops of",
                "are",
                &liquid.name,
                &mut dosed_already,
            )?;
            let found = droppers
                .iter()
                .position(|(_, of, _)| liquid::is_alike(of, &liquid.name));
            let Some(found) = found else {
                return Err(Failure::missing(
                    "--dropper",
                    format!("what a drop of {} weighs is not known", liquid.name),
                )
                .hint(calibrated_with(&droppers)));
            };
            used[found] = true;
            let basis = match at {
                Some(_) => LeafBasis::Dry,
                None => LeafBasis::AsWeighed,
            };
            let dosing = Dosing {
                leaf: Some(leaf.mass),
                at: at.as_ref().map(|(_, at)| *at),
                drop: Some(droppers[found].2.drop),
                density: droppers[found].2.density,
                ..Dosing::new(Asked::Drops(count), basis)
            };
            let dosed = dosing.answer().map_err(|error| flag.fail(error))?;
            let dose = match basis {
                LeafBasis::Dry => dosed.dose_dry.map(|dose| doubtful(&dose)),
                LeafBasis::AsWeighed => dosed.dose.map(|dose| doubtful(&dose)),
            };
            let dose = dose.ok_or_else(form)?;
            assumed.line(format!(
                "{} of {} on {} is {} {}",
                say::whole_drops(count),
                liquid.name,
                leaf.reading.unbroken(),
                say::base(dose.value().base(), Unit::GRAM_PER_KILOGRAM),
                basis.name()
            ));
            let before = sheet.flavours.len();
            sheet
                .flavours
                .retain(|line| !liquid::is_alike(&line.liquid.name, &liquid.name));
            if sheet.flavours.len() < before {
                assumed.line(format!(
                    "that stands in the place of the formula's own dose of {}",
                    liquid.name
                ));
            }
            sheet.flavours.push(FlavourLine {
                liquid,
                dose,
                basis,
                drop: None,
            });
        }
        match used.iter().position(|used| !used) {
            Some(at) => Err(droppers[at]
                .0
                .wrong("unused", "no drops of a trial are typed for this dropper")
                .hint("a batch is weighed, not counted: leave --dropper out, or type --drops with the drops of the trial")),
            None => Ok(()),
        }
    }

    /// The densities of the bottles at hand.
    fn put_bottles(&self, sheet: &mut Sheet) -> Outcome<()> {
        let mut known_already = Vec::new();
        for text in &self.bottle {
            let flag = Flag::new("--bottle", text);
            let form = "type the liquid, = and its density, such as \"fig tincture = 0.905 g/mL\"";
            let Some((name, behind)) = text.split_once('=') else {
                return Err(flag
                    .wrong("unreadable", "there is no = between liquid and density")
                    .hint(form));
            };
            let at = name.len() + 1 + behind.len() - behind.trim_start().len();
            let reading =
                read(behind.trim(), &[Kind::Density]).map_err(|error| moved(flag, error, at))?;
            flag.within(&DENSITY, &reading)?;
            let density = reading
                .density()
                .unwrap_or(Measured::exact(Density::of_base(0.0)));
            let line = sheet
                .flavours
                .iter_mut()
                .find(|line| liquid::is_alike(&line.liquid.name, name.trim()));
            let Some(line) = line else {
                return Err(flag
                    .wrong(
                        "unknown-name",
                        format!("`{}` is no flavouring of this batch", name.trim()),
                    )
                    .hint(form));
            };
            let name = &line.liquid.name;
            once(flag, "the density of", "is", name, &mut known_already)?;
            line.liquid.density = DensityOf::Measured(density);
        }
        Ok(())
    }
}

/// What to type for the drop of a liquid, where droppers of others are named.
fn calibrated_with(droppers: &[(Flag<'_>, String, drop::Found)]) -> String {
    let others: Vec<String> = droppers
        .iter()
        .map(|(flag, liquid, _)| format!("{} is calibrated with {liquid}", flag.text.trim()))
        .collect();
    if others.is_empty() {
        return "name the dropper of the trial, calibrated with this liquid, such as --dropper amber"
            .to_owned();
    }
    format!(
        "{}: name a dropper that is calibrated with this liquid, or weigh its drops with gutta dropper",
        others.join(", ")
    )
}

/// What is said of a liquid is said of it once: a second time would win silently.
fn once(
    flag: Flag<'_>,
    what: &str,
    is: &str,
    liquid: &str,
    already: &mut Vec<String>,
) -> Outcome<()> {
    if already.iter().any(|name| liquid::is_alike(name, liquid)) {
        return Err(flag
            .wrong("duplicate", format!("{what} {liquid} {is} given twice"))
            .hint("keep one of them"));
    }
    already.push(liquid.to_owned());
    Ok(())
}

/// What is lost on the way.
fn loss(flag: Flag<'_>) -> Outcome<Ratio> {
    let reading = flag.read(&[Kind::Share])?;
    let is_loss =
        reading.is_exact() && reading.basis().is_none() && (0.0..1.0).contains(&reading.base());
    if is_loss {
        return Ok(Ratio::of_base(reading.base()));
    }
    Err(flag
        .wrong(
            "out-of-range",
            "the loss must be a plain figure, at least 0 % and below 100 %",
        )
        .hint("type what is lost on the way, such as --loss 4%"))
}

/// A batch that a stock does not reach for is not planned as if it did.
fn check_stock(asking: Asking) -> Outcome<Asking> {
    let limit = asking.scaled.limit();
    let Some((limit, short)) = limit.and_then(|limit| Some((limit, limit.short_by()?))) else {
        return Ok(asking);
    };
    let size = match asking.scale_up.sheet.size {
        SheetSize::AsWeighed(_) => "--batch",
        SheetSize::DryMatter(_) => "--dry",
        SheetSize::Finished(_) => "--finished",
    };
    let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
    let largest = say::not_more(limit.largest);
    let hint = if limit.largest.base() > 0.0 {
        format!(
            "make {} at most: {size} {}; or see with --to-buy what is missing",
            grams(largest),
            grams(largest).replace('\u{a0}', "")
        )
    } else {
        "name another lot with --lot, or see with --to-buy what is missing".to_owned()
    };
    let typed = asking.question.size.as_ref().map(Reading::unbroken);
    Err(Failure::refused(format!(
        "there are {} of {}, and {} take {}: {} are missing",
        grams(limit.stock),
        limit.lot,
        typed.unwrap_or_default(),
        grams(limit.needed),
        grams(short)
    ))
    .about(size)
    .hint(hint))
}

/// A dose as it was given, with its doubt.
fn doubtful<S: Scalar>(dose: &Estimate<S>) -> Measured<Ratio> {
    Measured::new(Ratio::of_base(dose.best().base()), dose.u(), dose.dof())
}
