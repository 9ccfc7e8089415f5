//! What a lot costs and what there is of it, and leaf that is offered.

use gutta::blend::batch::{PRICE_FORM, Price, Supply};
use gutta::blend::formula::Shares;
use gutta::measure::{Kind, MASS, Mass, Measured, Scalar, read};
use gutta::{Error, ErrorKind, Moisture};
use gutta_book::is_same_name;

use super::lots::SaidLot;
use super::shelf::{Shelf, of_entry};
use super::stock::KnownLot;
use super::{Assumed, Flag, formula, moved};
use crate::failure::{Failure, Outcome};

/// What to type for leaf that is offered.
pub const OFFER_FORM: &str = "type the component, =, and price and moisture, such as \"oriental = 61 /kg, 11 %\"; a name and what there is of it may stand with them: \"oriental = new sun, 61 /kg, 11 %, 650 g\"";

/// What stands in front of the = of a flag, as the place of a component, and what
/// stands behind it with its place.
pub fn of_component<'a>(
    flag: Flag<'a>,
    leaf: &Shares,
    form: &str,
) -> Outcome<(usize, usize, &'a str)> {
    let Some((component, behind)) = flag.text.split_once('=') else {
        return Err(flag
            .wrong("unreadable", "there is no = behind the component")
            .hint(form));
    };
    let at = formula::component(leaf, flag, component.trim())?;
    let start = component.len() + 1 + behind.len() - behind.trim_start().len();
    if behind.trim().is_empty() {
        return Err(flag
            .wrong("missing", "nothing stands behind the =")
            .hint(form));
    }
    Ok((at, start, behind.trim()))
}

/// A price that is typed as a part of a flag.
fn price(flag: Flag<'_>, at: usize, text: &str) -> Outcome<Price> {
    text.parse().map_err(|error| moved(flag, error, at))
}

/// A plain mass that is typed as a part of a flag; 0 g is nothing left.
fn stock(flag: Flag<'_>, at: usize, text: &str) -> Outcome<Mass> {
    let reading = read(text, &[Kind::Mass]).map_err(|error| moved(flag, error, at))?;
    if !reading.is_exact() {
        return Err(flag.fail(
            Error::new(ErrorKind::Doubt, "a stock is a plain figure")
                .with_hint("type what there is of it alone, such as 650g"),
        ));
    }
    if reading.base() != 0.0 {
        MASS.check_typed(reading.base(), &reading.unbroken())
            .map_err(|error| moved(flag, error, at))?;
    }
    Ok(Mass::of_base(reading.base()))
}

/// Price and stock of the lot of each component: those typed, else those of the
/// book. What the journal has on hand wins over what `lots.csv` says.
pub fn supplies(
    leaf: &Shares,
    said: &[SaidLot],
    prices: &[String],
    stocks: &[String],
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Vec<Supply>> {
    let hand = on_hand(shelf)?;
    let lines = leaf.lines().iter().zip(said);
    let mut supplies: Vec<Supply> = lines
        .map(|(line, said)| match &said.name {
            Some(name) => {
                let lots = shelf.lots()?;
                let entry = lots.iter().find(|lot| lot.name == *name);
                Ok(Supply {
                    lot: name.clone(),
                    price: entry.and_then(|lot| lot.price),
                    stock: entry.and_then(|lot| stock_of(lot, &hand, assumed)),
                })
            }
            None => Ok(Supply {
                lot: line.name().to_owned(),
                ..Supply::default()
            }),
        })
        .collect::<Outcome<_>>()?;
    let mut typed: Vec<(&str, usize)> = Vec::new();
    let mut once = |flag: Flag<'_>, what: &'static str, at: usize| {
        if typed.contains(&(what, at)) {
            let name = leaf.lines()[at].name();
            return Err(flag
                .wrong("duplicate", format!("the {what} of {name} is given twice"))
                .hint("keep one of them"));
        }
        typed.push((what, at));
        Ok(())
    };
    for text in prices {
        let flag = Flag::new("--price", text);
        let form = "type the component, = and what it costs, such as \"oriental = 61 /kg\"";
        let (at, start, behind) = of_component(flag, leaf, form)?;
        once(flag, "price", at)?;
        supplies[at].price = Some(price(flag, start, behind)?);
    }
    for text in stocks {
        let flag = Flag::new("--stock", text);
        let form = "type the component, = and what there is of it, such as \"oriental = 650g\"";
        let (at, start, behind) = of_component(flag, leaf, form)?;
        once(flag, "stock", at)?;
        let found = stock(flag, start, behind)?;
        // One lot has one stock, whatever components it is of.
        let lot = supplies[at].lot.clone();
        for supply in supplies.iter_mut().filter(|supply| supply.lot == lot) {
            supply.stock = Some(found);
        }
    }
    Ok(supplies)
}

/// What the journal has on hand of each lot that it knows.
pub fn on_hand(shelf: &Shelf) -> Outcome<Vec<(String, Mass)>> {
    if shelf.whole()?.is_none() {
        return Ok(Vec::new());
    }
    let lots = shelf.journal()?.lots().map_err(|error| of_entry(&error))?;
    let each = lots.into_iter().map(|lot| {
        let now = lot.history.now();
        let now = now.map_err(|error| Failure::from(error).called(lot.name.clone()))?;
        // What rounding leaves of a lot that is used up is nothing.
        let mass = now.as_weighed.best().base().max(0.0);
        Ok((lot.name, Mass::of_base(mass)))
    });
    each.collect()
}

/// What there is of a lot of the book.
pub fn stock_of(lot: &KnownLot, hand: &[(String, Mass)], assumed: &mut Assumed) -> Option<Mass> {
    let of_journal = hand.iter().find(|(name, _)| is_same_name(name, &lot.name));
    match of_journal {
        Some((_, mass)) => {
            assumed.once("stock is what the journal has on hand".to_owned());
            Some(*mass)
        }
        None => {
            lot.stock?;
            assumed.once(format!(
                "the journal does not know {}: its stock is that of lots.csv",
                lot.name
            ));
            lot.stock
        }
    }
}

/// Leaf that could be bought or taken.
#[derive(Clone, Debug)]
pub struct OfferedLeaf {
    /// Which component it is.
    pub component: usize,
    /// What it is called.
    pub name: String,
    /// What it costs.
    pub price: Price,
    /// Its moisture.
    pub at: Measured<Moisture>,
    /// Its moisture, as it is written.
    pub typed: String,
    /// What there is of it.
    pub stock: Option<Mass>,
    /// Whether it is a lot of the book.
    pub is_of_book: bool,
}

/// `oriental = new sun, 61 /kg, 11 %, 650 g`: price and moisture in any order, a name
/// and a stock where they are said.
pub fn offered(
    flag: Flag<'_>,
    leaf: &Shares,
    number: usize,
    assumed: &mut Assumed,
) -> Outcome<OfferedLeaf> {
    let (component, start, behind) = of_component(flag, leaf, OFFER_FORM)?;
    let (mut name, mut cost, mut at, mut there) = (None, None, None, None);
    let mut offset = start;
    let twice = |what: &str| {
        flag.wrong("duplicate", format!("{what} stands twice"))
            .hint(OFFER_FORM)
    };
    for part in behind.split(", ") {
        let text = part.trim();
        let place = offset + part.len() - part.trim_start().len();
        offset += part.len() + 2;
        let has_digit_first =
            text.starts_with(|c: char| c.is_numeric() || matches!(c, '.' | '-' | '−'));
        let before = if !has_digit_first {
            name.replace(text.to_owned()).map(|_| "a name")
        } else if text.contains('/') || text.contains(" per ") {
            cost.replace(price(flag, place, text)?).map(|_| "a price")
        } else if text.contains('%') {
            let reading = read(text, &[Kind::Share]).map_err(|error| moved(flag, error, place))?;
            let moisture = Moisture::read(&reading).map_err(|error| moved(flag, error, place))?;
            assumed.exact_if(
                moisture.is_exact(),
                format!("moisture of an offer {}", reading.unbroken()),
            );
            let said = (moisture, reading.unbroken_value());
            at.replace(said).map(|_| "a moisture")
        } else {
            there.replace(stock(flag, place, text)?).map(|_| "a stock")
        };
        if let Some(what) = before {
            return Err(twice(what));
        }
    }
    let missing = |what: &str| flag.wrong("missing", format!("the offer has no {what}"));
    let Some(price) = cost else {
        return Err(missing("price").hint(PRICE_FORM));
    };
    let Some((at, typed)) = at else {
        return Err(missing("moisture").hint(OFFER_FORM));
    };
    Ok(OfferedLeaf {
        component,
        name: name.unwrap_or_else(|| format!("offer {number}")),
        price,
        at,
        typed,
        stock: there,
        is_of_book: false,
    })
}
