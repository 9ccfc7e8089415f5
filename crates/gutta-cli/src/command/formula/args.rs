//! The formula that a command is about: one of the book, or typed line by line.

use clap::Args;

use gutta::bench::LeafBasis;
use gutta::blend::formula::{ShareLine, Shares};
use gutta::blend::record::Identifier;
use gutta::blend::sheet::SheetSize;
use gutta::matter::Moisture;
use gutta::measure::{BAND, Mass, Measured, Reading, Scale};

use crate::command::dose::BasisWord;
use crate::failure::{Failure, Outcome};
use crate::resolve::formula::{self, Formula};
use crate::resolve::lots::{self, SaidLot};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag, making};
use crate::say::shell_word;
use crate::speak::formula::share_lines;

/// A formula, of the book or typed.
#[derive(Debug, Args)]
pub struct FormulaArgs {
    /// A formula of the book, evening or of a version evening:1; a trial as it was made, by its identifier; or lines: "46 % flue-cured" "54 % oriental"
    #[arg(value_name = "FORMULA")]
    formula: Vec<String>,
    /// What the shares that are typed are of
    #[arg(long, value_name = "BASIS", value_enum)]
    shares: Option<BasisWord>,
    /// A flavouring: "0.9 g/kg on dry: fig tincture"
    #[arg(long, value_name = "DOSE", allow_hyphen_values = true)]
    flavour: Vec<String>,
    /// A casing: "8 % liquid on as-weighed: plum casing"
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    casing: Vec<String>,
    /// The moisture wanted at the end, such as 15%
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// Half-width of the target band, in points of moisture [1%]
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    band: Option<String>,
    /// How long it rests, in words
    #[arg(long, value_name = "WORDS")]
    rest: Option<String>,
}

/// What a formula's name or its first line is called in a complaint.
pub const FORMULA: &str = "FORMULA";

impl FormulaArgs {
    /// Whether one is named or typed.
    pub const fn is_given(&self) -> bool {
        !self.formula.is_empty()
    }

    /// Reads the formula; what is typed beside one of the book wins over it.
    pub fn read(&self, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Formula> {
        let formula = self.beside_another(shelf, assumed)?;
        self.refuse_shares_of_the_book(&[])?;
        Ok(formula)
    }

    /// Reads the formula where another stands beside it, which --shares may be
    /// about.
    pub fn beside_another(&self, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Formula> {
        let mut formula = self.of(&self.formula, FORMULA, shelf, assumed)?;
        if !self.flavour.is_empty() {
            formula.flavours = lines("--flavour", &self.flavour)?;
        }
        if !self.casing.is_empty() {
            formula.casings = lines("--casing", &self.casing)?;
        }
        if let Some(flag) = Flag::of("--to", self.to.as_ref()) {
            formula.to = Some(flag.target()?);
        }
        if let Some(flag) = Flag::of("--band", self.band.as_ref()) {
            formula.band = Some(flag.exact_share(&BAND)?);
        }
        if let Some(flag) = Flag::of("--rest", self.rest.as_ref()) {
            let words = flag.text.trim();
            if words.is_empty() {
                return Err(Failure::missing(flag.name, "there are no words")
                    .hint("type how long it rests, such as --rest 48h, or leave --rest out"));
            }
            formula.rest = Some(words.to_owned());
        }
        Ok(formula)
    }

    /// What the shares of a formula of the book are of stands there: --shares is
    /// about lines that are typed, here or as `others`.
    pub fn refuse_shares_of_the_book(&self, others: &[String]) -> Outcome<()> {
        let [name] = self.formula.as_slice() else {
            return Ok(());
        };
        let lines_are_typed = |texts: &[String]| texts.iter().any(|text| is_line(text));
        if self.shares.is_none() || lines_are_typed(&self.formula) || lines_are_typed(others) {
            return Ok(());
        }
        Err(Failure::unreadable(
            "clash",
            format!("what the shares of {name} are of stands in the book"),
        )
        .about("--shares")
        .hint("leave --shares out, or type the lines of the formula"))
    }

    /// The formula of a name or of lines that stand behind a flag.
    pub fn of(
        &self,
        texts: &[String],
        flag: &'static str,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Formula> {
        if let [name] = texts
            && (is_identifier(name) || is_near_an_identifier(name))
            && shelf.formula_if(name)?.is_none()
            && shelf.whole()?.is_some()
        {
            let (flag, all) = (Flag::new(flag, name), shelf.makings()?);
            if let Some(record) = making::called(name, &all) {
                return making::as_formula(flag, record, assumed);
            }
            if is_near_an_identifier(name) {
                making::found(flag, &all, shelf)?;
            }
        }
        match texts {
            [] => Err(Failure::missing(flag, "no formula is named").hint(
                "name one of the book, such as evening, or type its lines: \"46 % flue-cured\" \"54 % oriental\"",
            )),
            [name] if !is_line(name) => {
                formula::of_book(Flag::new(flag, name), shelf, assumed)
            }
            lines => self.typed(lines, flag, shelf, assumed),
        }
    }

    /// The lines of its leaf as they were typed; of one of the book, as shares.
    pub fn lines(&self, formula: &Formula) -> Vec<String> {
        match self.formula.as_slice() {
            [name] if !is_line(name) => share_lines(&formula.written),
            typed => typed.iter().map(|line| line.trim().to_owned()).collect(),
        }
    }

    fn typed(
        &self,
        typed: &[String],
        flag: &'static str,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Formula> {
        let lines: Vec<ShareLine> = lines(flag, typed)?;
        let written = ShareLine::together(&lines).map_err(|(at, error)| {
            match at.and_then(|at| typed.get(at)) {
                Some(text) => Flag::new(flag, text).fail(error),
                None => Failure::from(error).about(flag),
            }
        })?;
        let basis = match self.shares {
            Some(word) => word.leaf(),
            None => {
                assumed.once(
                    "shares are of leaf as weighed: --shares dry counts them on dry leaf"
                        .to_owned(),
                );
                LeafBasis::AsWeighed
            }
        };
        Ok(Formula {
            title: "This formula".to_owned(),
            name: None,
            leaf: formula::opened(flag, &written, basis, shelf, assumed)?,
            written,
            basis,
            flavours: Vec::new(),
            casings: Vec::new(),
            to: None,
            band: None,
            tolerance: None,
            rest: None,
            note: None,
        })
    }
}

/// Whether a text looks as identifiers do, such as `90RA-6AG4`, copied right or not.
fn is_near_an_identifier(text: &str) -> bool {
    let is_half = |half: &str| {
        let half = half.as_bytes();
        half.len() == 4 && half.iter().all(u8::is_ascii_alphanumeric)
    };
    let halves = text.trim().split_once('-');
    let has_digits = text.bytes().any(|b| b.is_ascii_digit());
    has_digits && halves.is_some_and(|(first, second)| is_half(first) && is_half(second))
}

/// Whether a text is a line of a formula: it begins with a number, and is no
/// identifier of a trial, which may do so too.
fn is_line(text: &str) -> bool {
    let begins_with_a_number = text
        .trim_start()
        .starts_with(|c: char| c.is_numeric() || matches!(c, '.' | ',' | '-' | '+'));
    begins_with_a_number && !is_identifier(text)
}

fn is_identifier(text: &str) -> bool {
    text.trim().parse::<Identifier>().is_ok()
}

fn lines<T: std::str::FromStr<Err = gutta::Error>>(
    name: &'static str,
    texts: &[String],
) -> Outcome<Vec<T>> {
    let each = texts.iter().map(|text| {
        let flag = Flag::new(name, text);
        text.parse().map_err(|error| flag.fail(error))
    });
    each.collect()
}

/// How large a batch is wanted.
#[derive(Debug, Args)]
pub struct SizeArgs {
    /// All leaf as weighed, such as 24g or 5kg
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    batch: Option<String>,
    /// All dry leaf, in place of --batch
    #[arg(
        long,
        value_name = "MASS",
        allow_hyphen_values = true,
        conflicts_with = "batch"
    )]
    dry: Option<String>,
    /// What is finished at the moisture wanted, in place of --batch
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, conflicts_with_all = ["batch", "dry"])]
    finished: Option<String>,
}

impl SizeArgs {
    /// The flag that gives the size, where one does.
    pub fn flag(&self) -> Option<&'static str> {
        let flags = [
            ("--batch", &self.batch),
            ("--dry", &self.dry),
            ("--finished", &self.finished),
        ];
        let given = flags.into_iter().find(|(_, text)| text.is_some());
        given.map(|(flag, _)| flag)
    }

    /// The size, where one is given.
    pub fn read_if(&self, scale: Option<Scale>) -> Outcome<Option<(Reading, SheetSize)>> {
        let sizes = [
            (
                Flag::of("--batch", self.batch.as_ref()),
                SheetSize::AsWeighed as fn(Mass) -> SheetSize,
            ),
            (Flag::of("--dry", self.dry.as_ref()), SheetSize::DryMatter),
            (
                Flag::of("--finished", self.finished.as_ref()),
                SheetSize::Finished,
            ),
        ];
        for (flag, size) in sizes {
            let Some(flag) = flag else { continue };
            let weight = flag.mass(scale)?;
            if !weight.reading.is_exact() {
                return Err(flag
                    .wrong("doubt", "the size of a batch is a plain figure")
                    .hint(format!("type it alone, such as {} 24g", flag.name)));
            }
            return Ok(Some((weight.reading, size(weight.mass.value()))));
        }
        Ok(None)
    }

    /// The size, which is needed.
    pub fn read(&self, scale: Option<Scale>) -> Outcome<(Reading, SheetSize)> {
        self.read_if(scale)?.ok_or_else(|| {
            Failure::missing("--batch", "the size of the batch is missing").hint(
                "type all leaf as weighed, such as --batch 24g; or --dry for dry leaf, --finished for what is ready at the end",
            )
        })
    }
}

/// What the library declines, about the flag that asks for it.
pub fn about_lots(error: gutta::Error, leaf: &Shares, lots: &[SaidLot]) -> Failure {
    let message = error.to_string();
    let failure = Failure::from(error);
    let is = |start: &str| message.starts_with(start);
    if is("the moisture of ") {
        let mut unknown = leaf.lines().iter().zip(lots);
        let several = unknown.find(|(line, lot)| {
            !lot.candidates.is_empty()
                && message.starts_with(&format!("the moisture of {} is", line.name()))
        });
        return match several {
            Some((line, lot)) => failure.about("--lot").hint(format!(
                "{} are all {}: name one, such as --lot \"{} = {}\"",
                lot.candidates.join(", "),
                line.name(),
                line.name(),
                lot.candidates[0]
            )),
            None => {
                // The library knows no flags.
                let hint = failure.report().hint.clone().unwrap_or_default();
                failure
                    .about("--lot")
                    .hint(hint.replace("such as \"", "such as --lot \""))
            }
        };
    }
    if is("a finished batch") {
        return failure.about("--to").hint(
            "type the moisture wanted, such as --to 15%, or --batch with the leaf as weighed",
        );
    }
    let flag = if message.contains("lie in the bowl") {
        "--in-bowl"
    } else if is("nothing in this casing") {
        "--casing"
    } else if is("what is in ") {
        "--flavour"
    } else {
        FORMULA
    };
    failure.about(flag)
}

/// The lots that a formula is filled from.
#[derive(Debug, Args)]
pub struct LotsArgs {
    /// The lot or the moisture of a component: "oriental = sun-25", "oriental = 12%"
    #[arg(long, value_name = "COMPONENT = LOT")]
    lot: Vec<String>,
    /// The moisture of all leaf that no lot is named for
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
}

/// The moistures of the components, and how they are said.
pub type Lots = (Vec<Option<Measured<Moisture>>>, Vec<SaidLot>);

impl LotsArgs {
    /// The flags as they were typed.
    pub fn typed(&self) -> String {
        let lots = self.lot.iter().map(|lot| ("--lot", lot));
        let at = self.at.iter().map(|at| ("--at", at));
        lots.chain(at).fold(String::new(), |again, (flag, text)| {
            again + &format!(" {flag} {}", shell_word(text))
        })
    }

    /// Lots go with a formula of the book.
    pub fn refuse_without(&self, formula: &str) -> Outcome<()> {
        let flag = match (&self.lot.first(), &self.at) {
            (Some(_), _) => "--lot",
            (None, Some(_)) => "--at",
            (None, None) => return Ok(()),
        };
        Err(Failure::missing(
            formula,
            format!("{flag} is about the components of a formula, and none is named"),
        )
        .hint(format!(
            "name one of the book with {formula}, or leave {flag} out"
        )))
    }

    /// Whether a lot was typed for a component.
    fn names(&self, component: &str) -> bool {
        self.lot.iter().any(|text| {
            let typed = text.split('=').next().unwrap_or_default();
            typed.trim().eq_ignore_ascii_case(component)
        })
    }

    /// The lots in the order of the leaf. A component that is called like a lot
    /// of the book is that lot, and one that is called like the leaf of one lot
    /// alone is that, where no moisture is typed for all.
    pub fn read(&self, leaf: &Shares, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Lots> {
        let mut named: Vec<Option<(Flag<'_>, usize)>> = vec![None; leaf.lines().len()];
        for text in &self.lot {
            let flag = Flag::new("--lot", text);
            let Some((component, _)) = text.split_once('=') else {
                return Err(flag
                    .wrong("unreadable", "there is no = between component and lot")
                    .hint("type the component, = and its lot or moisture, such as \"oriental = sun-25\""));
            };
            let component = component.trim();
            let at = formula::component(leaf, flag, component)?;
            if named[at].is_some() {
                return Err(flag
                    .wrong("duplicate", format!("{component} is given twice"))
                    .hint("keep one of them; a second lot of one leaf is a component of its own"));
            }
            named[at] = Some((flag, text.find('=').map_or(0, |at| at + 1)));
        }
        let common = Flag::of("--at", self.at.as_ref())
            .map(|flag| flag.moisture())
            .transpose()?;
        let each = leaf
            .lines()
            .iter()
            .zip(named)
            .map(|(line, named)| match named {
                Some((flag, at)) => lots::named(flag, at, line.name(), shelf, assumed),
                None => match &common {
                    // What is typed wins over what the book would be asked for.
                    Some((reading, moisture)) => {
                        assumed.exact_if(
                            moisture.is_exact(),
                            format!("moisture {}", reading.unbroken()),
                        );
                        let said = SaidLot {
                            moisture: Some(reading.unbroken_value()),
                            typed: Some(reading.clone()),
                            source: Some("--at".to_owned()),
                            ..SaidLot::default()
                        };
                        Ok((Some(*moisture), said))
                    }
                    None => {
                        let found = lots::called(line.name(), shelf, assumed)?;
                        Ok(found.unwrap_or_default())
                    }
                },
            });
        let each = each.collect::<Outcome<Vec<_>>>()?;
        let by_leaf: Vec<&str> = leaf
            .lines()
            .iter()
            .zip(&each)
            .filter(|(line, _)| !self.names(line.name()))
            .filter_map(|(line, (_, said))| Some((line.name(), said.name.as_deref()?)))
            .filter(|(component, lot)| !component.eq_ignore_ascii_case(lot))
            .map(|(_, lot)| lot)
            .collect();
        if !by_leaf.is_empty() {
            assumed.line(format!(
                "lots by their leaf, each the only one of it in the book: {}",
                by_leaf.join(", ")
            ));
        }
        Ok(each.into_iter().unzip())
    }
}
