//! The formula that a command is about: one of the book, or typed line by line.

use clap::Args;

use gutta::bench::LeafBasis;
use gutta::blend::formula::{Component, DoseLine, RateLine, ShareLine, Shares};
use gutta::matter::Moisture;
use gutta::measure::{BAND, Measured, Ratio, Reading};

use crate::command::dose::BasisWord;
use crate::failure::{Failure, Outcome};
use crate::resolve::lots::{self, SaidLot};
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag};

/// A formula, of the book or typed.
#[derive(Debug, Args)]
pub struct FormulaArgs {
    /// A formula of the book, or its lines: "46 % flue-cured" "3 parts oriental"
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

/// A formula as it was asked for.
pub struct Formula {
    /// What it is called: `evening, version 2`.
    pub title: String,
    /// Its lines as they are written, blends among them.
    pub written: Shares,
    /// Its leaf, no blend among it.
    pub leaf: Shares,
    /// What the shares are of.
    pub basis: LeafBasis,
    /// Its flavourings.
    pub flavours: Vec<DoseLine>,
    /// Its casings.
    pub casings: Vec<RateLine>,
    /// The moisture wanted, and as it was typed.
    pub to: Option<(Reading, Moisture)>,
    /// Half-width of the target band.
    pub band: Option<Ratio>,
    /// How far a weighing may be off.
    pub tolerance: Option<Ratio>,
    /// How long it rests.
    pub rest: Option<String>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl FormulaArgs {
    /// Reads the formula; what is typed beside one of the book wins over it.
    pub fn read(&self, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Formula> {
        let mut formula = match self.formula.as_slice() {
            [] => {
                return Err(Failure::missing(FORMULA, "no formula is named").hint(
                    "name one of the book, such as evening, or type its lines: \"46 % flue-cured\" \"54 % oriental\"",
                ));
            }
            [name] if !begins_with_a_number(name) => {
                let formula = of_book(Flag::new(FORMULA, name), shelf)?;
                if self.shares.is_some() {
                    return Err(Failure::unreadable(
                        "clash",
                        format!("what the shares of {name} are of stands in the book"),
                    )
                    .about("--shares")
                    .hint("leave --shares out, or type the lines of the formula"));
                }
                formula
            }
            lines => self.typed(lines, assumed)?,
        };
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
        formula.rest = self.rest.clone().or(formula.rest);
        Ok(formula)
    }

    fn typed(&self, typed: &[String], assumed: &mut Assumed) -> Outcome<Formula> {
        let lines: Vec<ShareLine> = lines(FORMULA, typed)?;
        let leaf = ShareLine::together(&lines).map_err(|(at, error)| {
            match at.and_then(|at| typed.get(at)) {
                Some(text) => Flag::new(FORMULA, text).fail(error),
                None => Failure::from(error).about(FORMULA),
            }
        })?;
        let basis = match self.shares {
            Some(word) => word.leaf(),
            None => {
                assumed.line("shares are of leaf as weighed: --shares dry counts them on dry leaf");
                LeafBasis::AsWeighed
            }
        };
        Ok(Formula {
            title: "This formula".to_owned(),
            written: leaf.clone(),
            leaf,
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

fn begins_with_a_number(text: &str) -> bool {
    text.trim_start()
        .starts_with(|c: char| c.is_numeric() || matches!(c, '.' | ',' | '-' | '+'))
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

fn of_book(flag: Flag<'_>, _shelf: &Shelf) -> Outcome<Formula> {
    Err(flag.wrong("unknown-name", "there is no such formula"))
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
    /// Whether a lot was typed for a component.
    fn names(&self, component: &str) -> bool {
        self.lot.iter().any(|text| {
            let typed = text.split('=').next().unwrap_or_default();
            typed.trim().eq_ignore_ascii_case(component)
        })
    }

    /// The lots in the order of the leaf. A component that is called like a lot
    /// of the book is that lot, and one that is called like the leaf of one lot
    /// alone is that.
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
            let Some(at) = leaf
                .lines()
                .iter()
                .position(|line| line.name().eq_ignore_ascii_case(component))
            else {
                let names: Vec<&str> = leaf.lines().iter().map(Component::name).collect();
                return Err(flag
                    .wrong(
                        "unknown-name",
                        format!("`{component}` is not in the formula"),
                    )
                    .hint(
                        match gutta_book::nearest(component, names.iter().copied()) {
                            Some(near) => format!("did you mean {near}?"),
                            None => format!("it has {}", names.join(", ")),
                        },
                    ));
            };
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
                None => Ok(
                    match (&common, lots::called(line.name(), shelf, assumed)?) {
                        (_, Some(found)) => found,
                        (Some((reading, moisture)), None) => {
                            assumed.exact_if(
                                moisture.is_exact(),
                                format!("moisture {}", reading.unbroken()),
                            );
                            let said = SaidLot {
                                name: None,
                                moisture: Some(reading.unbroken_value()),
                            };
                            (Some(*moisture), said)
                        }
                        (None, None) => (None, SaidLot::default()),
                    },
                ),
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
