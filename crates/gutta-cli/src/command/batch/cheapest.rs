//! `gutta batch cheapest`.

use clap::Args;

use gutta::blend::batch::{Bound, Cheapest, Choice, Offer, Short, Wanted};
use gutta::blend::formula::Shares;
use gutta::measure::{Kind, Mass, Ratio, Reading, Scalar, Unit};

use crate::answer::Answer;
use crate::command::formula::args::{FORMULA, FormulaArgs};
use crate::failure::{Failure, Outcome};
use crate::resolve::formula::Formula;
use crate::resolve::shelf::Shelf;
use crate::resolve::supply::{OfferedLeaf, of_component, offered, on_hand, stock_of};
use crate::resolve::{self, Assumed, Flag};
use crate::say;
use crate::speak::batch::cheapest as speak;
use crate::speak::formula::percent_written;

/// What is to be made, and the lots that it could be made of.
#[derive(Debug, Args)]
pub struct CheapestArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    /// Leaf and its water together, such as 4kg
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    finished: Option<String>,
    /// How far a share may be off, in points [0%]
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    within: Option<String>,
    /// Only these lots of the book for a component: "oriental = sun-25"
    #[arg(long, value_name = "COMPONENT = LOT")]
    lot: Vec<String>,
    /// Leaf that is no lot of the book: "oriental = new sun, 61 /kg, 11 %, 650 g"
    #[arg(long, value_name = "COMPONENT = OFFER")]
    offer: Vec<String>,
    /// Leaf that is moister than wanted may be dried
    #[arg(long)]
    may_dry: bool,
    /// The scale's smallest step, such as 1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

impl CheapestArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let formula = self.formula.read(shelf, &mut assumed)?;
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let size_flag = Flag::needed(
            "--finished",
            "how much is to be made",
            self.finished.as_ref(),
            "type leaf and its water together, such as --finished 4kg",
        )?;
        let size = size_flag.mass(None)?;
        if !size.reading.is_exact() {
            return Err(size_flag
                .wrong("doubt", "the size of a batch is a plain figure")
                .hint("type it alone, such as --finished 4kg"));
        }
        let Some((to_typed, to)) = formula.to.clone() else {
            return Err(Failure::missing("--to", "the moisture wanted is missing")
                .hint("type the moisture of what is finished, such as --to 15%"));
        };
        let within = match Flag::of("--within", self.within.as_ref()) {
            Some(flag) => within(flag)?,
            None => Ratio::of_base(0.0),
        };
        if !formula.flavours.is_empty() || !formula.casings.is_empty() {
            assumed.line("casing and flavouring come on top, with the water they bring");
        }
        let offers = self.offers(&formula.leaf, shelf, &mut assumed)?;
        let cheapest = Cheapest {
            wanted: Wanted {
                shares: formula.leaf.clone(),
                basis: formula.basis,
                within,
                finished: size.mass.value(),
                to,
                may_dry: self.may_dry,
            },
            offers: offers
                .iter()
                .map(|offer| Offer {
                    lot: offer.name.clone(),
                    component: offer.component,
                    at: offer.at.value(),
                    price: offer.price,
                    stock: offer.stock,
                })
                .collect(),
        };
        match cheapest
            .choose()
            .map_err(|error| Failure::from(error).about(FORMULA))?
        {
            Choice::Made(taken) => {
                let asked = speak::Asked {
                    carried: self.carried(&formula, shelf),
                    title: formula.title,
                    cheapest: &cheapest,
                    offers: &offers,
                    size: &size.reading,
                    to: &to_typed,
                    scale,
                };
                speak::cheapest(&asked, &taken, assumed).map_err(Failure::from)
            }
            Choice::Short(short) => Err(not_made(&cheapest, &short, size_flag, &size.reading)),
        }
    }

    /// What a sheet of these lots needs beside their masses: all of the formula that
    /// is not leaf, and what was typed of scale and book.
    fn carried(&self, formula: &Formula, shelf: &Shelf) -> String {
        let percent = |share: Option<Ratio>| share.map(percent_written);
        let flavours = formula.flavours.iter();
        let flavours = flavours.map(|line| ("--flavour", Some(line.to_string())));
        let casings = formula.casings.iter();
        let casings = casings.map(|line| ("--casing", Some(line.to_string())));
        let others = [
            ("--band", percent(formula.band)),
            ("--tolerance", percent(formula.tolerance)),
            ("--rest", formula.rest.clone()),
            ("--scale", self.scale.clone()),
            ("--book", shelf.named().map(str::to_owned)),
        ];
        casings
            .chain(flavours)
            .chain(others)
            .filter_map(|(flag, text)| Some(format!(" {flag} {}", say::shell_word(&text?))))
            .collect()
    }

    /// The lots of the book that are named, or all that are of the leaf; and what is
    /// offered.
    fn offers(
        &self,
        leaf: &Shares,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Vec<OfferedLeaf>> {
        let hand = on_hand(shelf)?;
        let mut named = Vec::new();
        for text in &self.lot {
            let flag = Flag::new("--lot", text);
            let form = "type the component, = and a lot of the book, such as \"oriental = sun-25\"";
            let (component, _, name) = of_component(flag, leaf, form)?;
            named.push((
                component,
                shelf.lot(Flag::new(flag.name, name))?.name.clone(),
            ));
        }
        let mut offers = Vec::new();
        let mut without = Vec::new();
        for (component, line) in leaf.lines().iter().enumerate() {
            let is_named = named.iter().any(|(of, _)| *of == component);
            for lot in shelf.lots()? {
                let is_it = if is_named {
                    named
                        .iter()
                        .any(|(of, name)| *of == component && *name == lot.name)
                } else {
                    let is = |name: &str| name.eq_ignore_ascii_case(line.name());
                    is(&lot.name) || lot.leaf.as_deref().is_some_and(is)
                };
                if !is_it {
                    continue;
                }
                let Some(price) = lot.price else {
                    without.push(lot.name.as_str());
                    continue;
                };
                if let Some(method) = lot.method {
                    assumed.carry(method);
                }
                offers.push(OfferedLeaf {
                    component,
                    name: lot.name.clone(),
                    price,
                    at: lot.moisture,
                    typed: lot.typed.unbroken_value(),
                    stock: stock_of(lot, &hand, assumed),
                    is_of_book: true,
                });
            }
        }
        if !without.is_empty() {
            assumed.line(format!(
                "left out, for want of a price: {}",
                without.join(", ")
            ));
        }
        for (i, text) in self.offer.iter().enumerate() {
            offers.push(offered(Flag::new("--offer", text), leaf, i + 1, assumed)?);
        }
        check_names(leaf, &offers)?;
        for (component, line) in leaf.lines().iter().enumerate() {
            if !offers.iter().any(|offer| offer.component == component) {
                return Err(Failure::missing(
                    "--offer",
                    format!("there is no lot of {} with a price", line.name()),
                )
                .hint(format!(
                    "offer one, such as --offer \"{} = 38 /kg, 12 %\", or write its price into lots.csv",
                    line.name()
                )));
            }
        }
        let unlimited: Vec<&str> = offers
            .iter()
            .filter(|offer| offer.stock.is_none())
            .map(|offer| offer.name.as_str())
            .collect();
        if !unlimited.is_empty() {
            assumed.line(format!(
                "as much as is needed, where no stock is said: {}",
                unlimited.join(", ")
            ));
        }
        Ok(offers)
    }
}

/// What is called alike is one lot, and its stock would be counted twice.
fn check_names(leaf: &Shares, offers: &[OfferedLeaf]) -> Outcome<()> {
    let name = |offer: &OfferedLeaf| leaf.lines()[offer.component].name().to_owned();
    for (i, offer) in offers.iter().enumerate() {
        let is_it = |other: &&OfferedLeaf| other.name.eq_ignore_ascii_case(&offer.name);
        let Some(other) = offers[..i].iter().find(is_it) else {
            continue;
        };
        let (flag, hint) = if offer.is_of_book && other.is_of_book {
            (
                "--lot",
                "name it for one of them, and another lot for the other",
            )
        } else {
            ("--offer", "give each offer a name of its own")
        };
        let (a, b) = (name(other), name(offer));
        let what = if a == b {
            format!("two lots of {a} are called {}", offer.name)
        } else {
            format!("{} stands for {a} and for {b}", offer.name)
        };
        return Err(Failure::unreadable("duplicate", what)
            .about(flag)
            .hint(hint));
    }
    Ok(())
}

fn within(flag: Flag<'_>) -> Outcome<Ratio> {
    let reading = flag.read(&[Kind::Share])?;
    let is_within =
        reading.is_exact() && reading.basis().is_none() && (0.0..1.0).contains(&reading.base());
    if is_within {
        return Ok(Ratio::of_base(reading.base()));
    }
    Err(flag
        .wrong(
            "out-of-range",
            "the tolerance of a share must be a plain figure, at least 0 % and below 100 %",
        )
        .hint("type points of share, such as --within 1%"))
}

/// What is in the way, and what would do.
fn not_made(cheapest: &Cheapest, short: &Short, size: Flag<'_>, typed: &Reading) -> Failure {
    let wanted = &cheapest.wanted;
    let name = |component: usize| wanted.shares.lines()[component].name();
    let grams = |mass: Mass| say::base(mass.base(), Unit::GRAM);
    let bounds = short.bounds.iter().map(|(bound, by)| match *bound {
        Bound::Stock(component) => {
            format!("{} of dry {} are missing", grams(*by), name(component))
        }
        Bound::Under(component) => format!(
            "{} has {} less than its share allows",
            name(component),
            grams(*by)
        ),
        Bound::Over(component) => format!(
            "{} has {} more than its share allows",
            name(component),
            grams(*by)
        ),
        Bound::Water => format!("{} of water are too much in the leaf", grams(*by)),
    });
    let bounds: Vec<String> = bounds.collect();
    let mut hints = Vec::new();
    if let Some(largest) = short.largest {
        let largest = grams(say::not_more(largest));
        hints.push(format!(
            "make {largest} at most: --finished {}",
            largest.replace('\u{a0}', "")
        ));
    }
    if let Some(within) = short.within {
        // Rounded up, so that it does.
        let points = (within.base() * 1e4 + 1e-3).ceil() / 1e2;
        hints.push(format!("let shares be off by more: --within {points}%"));
    }
    if short.bounds.iter().any(|(bound, _)| *bound == Bound::Water) {
        hints.push("let leaf be dried: --may-dry".to_owned());
    }
    hints.push("offer more leaf: --offer".to_owned());
    Failure::refused(format!(
        "these lots do not make {}: {}",
        typed.unbroken(),
        bounds.join(", ")
    ))
    .about(size.name)
    .hint(hints.join("; or "))
}
