//! The formula that a command is about.

use gutta::bench::LeafBasis;
use gutta::blend::formula::{Component, DoseLine, RateLine, Recipes, Shares};
use gutta::blend::sheet::{CasingLine, FlavourLine, Sheet};
use gutta::matter::Moisture;
use gutta::measure::{Ratio, Reading};

use super::shelf::Shelf;
use super::{Assumed, Flag, liquid};
use crate::failure::Outcome;

/// A formula as it was asked for.
pub struct Formula {
    /// What it is called: `evening, version 2`.
    pub title: String,
    /// What the book calls it: `evening:2`.
    pub name: Option<String>,
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

impl Formula {
    /// A component that a flag names, whatever its capitals: as the formula has it.
    pub fn component(&self, flag: Flag<'_>, name: &str) -> Outcome<String> {
        component(&self.written, flag, name).map(|at| self.written.lines()[at].name().to_owned())
    }

    /// The place of a component of its leaf that a flag names. Of a blend in it the
    /// leaf is named.
    pub fn leaf_at(&self, flag: Flag<'_>, name: &str) -> Outcome<usize> {
        let is_line = |shares: &Shares| {
            let mut names = shares.lines().iter().map(Component::name);
            names.any(|known| known.eq_ignore_ascii_case(name))
        };
        if is_line(&self.written) && !is_line(&self.leaf) {
            let names: Vec<&str> = self.leaf.lines().iter().map(Component::name).collect();
            return Err(flag
                .wrong("unknown-name", format!("`{name}` is a blend, made of leaf"))
                .hint(format!("type the leaf itself: it is {}", names.join(", "))));
        }
        component(&self.leaf, flag, name)
    }

    /// The liquids of a formula, as the book or their names say them.
    pub fn put_liquids(
        &self,
        sheet: &mut Sheet,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<()> {
        for line in &self.casings {
            let flag = Flag::new("--casing", &line.liquid.0);
            sheet.casings.push(CasingLine {
                liquid: liquid::needed(flag, shelf, assumed)?,
                rate: line.rate,
            });
        }
        for line in &self.flavours {
            let flag = Flag::new("--flavour", &line.liquid.0);
            sheet.flavours.push(FlavourLine {
                liquid: liquid::needed(flag, shelf, assumed)?,
                dose: line.dose,
                basis: line.basis,
                drop: None,
            });
        }
        Ok(())
    }

    /// The shares of its leaf on the basis that they are not written on.
    pub fn on_other_basis(&self, lots: &[Moisture]) -> gutta::Result<Shares> {
        match self.basis {
            LeafBasis::AsWeighed => self.leaf.to_dry(lots),
            LeafBasis::Dry => self.leaf.to_as_weighed(lots),
        }
    }
}

/// A formula of the book by its name, the latest version where none is named.
pub fn of_book(flag: Flag<'_>, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<Formula> {
    let entry = shelf.formula(flag)?;
    for line in entry.shares.lines() {
        leave_out(line.name(), shelf, assumed)?;
    }
    let is_one = shelf.versions(&entry.name)? == 1;
    Ok(Formula {
        title: if is_one {
            entry.name.clone()
        } else {
            format!("{}, version {}", entry.name, entry.version)
        },
        name: Some(format!("{}:{}", entry.name, entry.version)),
        written: entry.shares.clone(),
        leaf: entry.leaf.clone(),
        basis: entry.basis,
        flavours: entry.flavours.clone(),
        casings: entry.casings.clone(),
        to: entry.moisture.clone(),
        band: entry.band,
        tolerance: entry.tolerance,
        rest: entry.rest.clone(),
        note: entry.note.clone(),
    })
}

/// Of a blend in a blend only the leaf is taken: what else it has is said.
fn leave_out(name: &str, shelf: &Shelf, assumed: &mut Assumed) -> Outcome<()> {
    let Some(blend) = shelf.formula_if(name)? else {
        return Ok(());
    };
    let has = [
        (!blend.flavours.is_empty(), "flavouring"),
        (!blend.casings.is_empty(), "casing"),
        (blend.moisture.is_some(), "moisture"),
    ];
    let has: Vec<&str> = has
        .iter()
        .filter(|(is, _)| *is)
        .map(|(_, what)| *what)
        .collect();
    if !has.is_empty() {
        assumed.line(format!(
            "of {name} only the leaf is taken: its own {} {} left out",
            has.join(" and "),
            if has.len() == 1 { "is" } else { "are" }
        ));
    }
    Ok(())
}

/// The leaf of lines that were typed, blends of the book among them opened.
pub fn opened(
    flag: &'static str,
    written: &Shares,
    basis: LeafBasis,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<Shares> {
    let mut recipes = Recipes::default();
    for line in written.lines() {
        let Some(blend) = shelf.formula_if(line.name())? else {
            if line.name().contains(':') {
                return Err(Flag::new(flag, line.name())
                    .wrong("unknown-name", format!("there is no formula `{}`", line.name()))
                    .hint("behind a : stands the version of a formula of the book; leaf has no : in its name"));
            }
            continue;
        };
        if blend.basis != basis {
            let on = |basis| match basis {
                LeafBasis::AsWeighed => "as weighed",
                LeafBasis::Dry => "dry",
            };
            return Err(Flag::new(flag, line.name())
                .wrong(
                    "composition",
                    format!(
                        "the shares of {} are of leaf {}, and these of leaf {}",
                        blend.name,
                        on(blend.basis),
                        on(basis)
                    ),
                )
                .hint("type --shares dry or --shares as-weighed as the book has it"));
        }
        leave_out(line.name(), shelf, assumed)?;
        assumed.line(format!("{} is the blend of the book", line.name()));
        recipes.insert(line.name(), blend.leaf.clone());
    }
    recipes
        .expand(written)
        .map_err(|error| crate::failure::Failure::from(error).about(flag))
}

/// The place of a component that a flag names, whatever its capitals.
pub fn component(shares: &Shares, flag: Flag<'_>, name: &str) -> Outcome<usize> {
    let names = || shares.lines().iter().map(Component::name);
    let found = names().position(|known| known.eq_ignore_ascii_case(name));
    found.ok_or_else(|| {
        let missing = flag.wrong("unknown-name", format!("`{name}` is not in the formula"));
        missing.hint(match gutta_book::nearest(name, names()) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("it has {}", names().collect::<Vec<_>>().join(", ")),
        })
    })
}
