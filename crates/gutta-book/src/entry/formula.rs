//! `formulas.toml`: what blends are made of, version by version.

use gutta::bench::LeafBasis;
use gutta::blend::formula::{DoseLine, RateLine, Recipes, ShareLine, Shares};
use gutta::matter::{Liquid, Moisture};
use gutta::measure::{BAND, Kind, Ratio, Reading, TOLERANCE, read as read_quantity};

use super::{LiquidEntry, NOTE, Quantity};
use crate::error::{BookError, BookErrorKind};
use crate::name::{EntryKind, NoSuchName, folded, nearest};
use crate::page::{Faults, Page, Written};
use crate::shelf::{Entry, Shelf};
use crate::tables::{self, Field, Fields, Layout, Table};
use crate::words::quote;

/// A version of a formula.
#[derive(Clone, Debug)]
pub struct FormulaEntry {
    key: String,
    /// The name it is called by.
    pub name: String,
    /// Its version, from 1.
    pub version: u32,
    /// What its shares are of.
    pub basis: LeafBasis,
    /// Its lines of leaf, as they are written.
    pub lines: Vec<ShareLine>,
    /// Their shares, blends among them.
    pub shares: Shares,
    /// The shares of its leaf, each blend replaced by what it is made of.
    pub leaf: Shares,
    /// Its flavourings.
    pub flavours: Vec<DoseLine>,
    /// Its casings.
    pub casings: Vec<RateLine>,
    /// The moisture wanted at the end, as it is written and as it is.
    pub moisture: Option<(Reading, Moisture)>,
    /// Half-width of the target band, in points of moisture as a ratio.
    pub band: Option<Ratio>,
    /// How far a weighing may be off, as a ratio of it.
    pub tolerance: Option<Ratio>,
    /// How long it rests, in words.
    pub rest: Option<String>,
    /// Words kept with it.
    pub note: Option<String>,
}

impl Entry for FormulaEntry {
    const KIND: EntryKind = EntryKind::Formula;

    /// With the version: `evening:2`.
    #[allow(
        clippy::misnamed_getters,
        reason = "a version is an entry of its own, and is called by both"
    )]
    fn name(&self) -> &str {
        &self.key
    }
}

const NAME: Field = Field::required("name", "\"evening\"");
const VERSION: Field = Field::optional("version", "2");
const SHARES: Field = Field::required("shares", "\"dry\"");
const LEAF: Field = Field::required("leaf", "[\"46 % flue-cured\", \"54 % oriental\"]");
const FLAVOURS: Field = Field::optional("flavours", "[\"0.9 g/kg on dry: fig tincture\"]");
const CASINGS: Field = Field::optional("casings", "[\"8 % liquid on as-weighed: plum casing\"]");
const MOISTURE: Field = Field::optional("moisture", "\"15 %\"");
const REST: Field = Field::optional("rest", "\"48 h in a closed jar\"");
const WITHIN: Quantity<Ratio> = Quantity::new(
    Field::optional("band", "\"1 %\""),
    Kind::Share,
    Reading::share,
    &BAND,
);
const OFF: Quantity<Ratio> = Quantity::new(
    Field::optional("tolerance", "\"2 %\""),
    Kind::Share,
    Reading::share,
    &TOLERANCE,
);

static LAYOUT: Layout = Layout {
    file: EntryKind::Formula.file(),
    fields: &[],
    table: Some(Table {
        name: EntryKind::Formula.word(),
        fields: &[
            NAME,
            VERSION,
            SHARES,
            LEAF,
            FLAVOURS,
            CASINGS,
            MOISTURE,
            WITHIN.field,
            OFF.field,
            REST,
            NOTE,
        ],
    }),
};

/// A formula with the places of its lines, its blends not looked into yet.
struct Draft<'p> {
    entry: FormulaEntry,
    lines: Vec<Written<'p>>,
}

/// The formulas of a file, with the liquids of the same book.
pub(crate) fn read(
    page: &Page,
    liquids: &Shelf<LiquidEntry>,
    faults: &mut Faults<'_>,
) -> Shelf<FormulaEntry> {
    let sheet = tables::read(page, &LAYOUT, faults);
    let mut shelf = Shelf::new(sheet.whole);
    let mut drafts = Vec::new();
    for fields in &sheet.tables {
        let key = named(fields, faults);
        let is_new = key.as_ref().is_some_and(|(written, name, version)| {
            shelf.declare_as(&key_of(name, *version), written, page, faults)
        });
        let draft = draft(fields, key, liquids, faults);
        drafts.extend(draft.filter(|_| is_new));
    }
    // A blend may stand in the file before what it is made of.
    let mut recipes = Recipes::default();
    for draft in &drafts {
        for line in draft.entry.shares.lines() {
            if let Some(blend) = blend(line.name(), &drafts) {
                recipes.insert(line.name(), blend.shares.clone());
            }
        }
    }
    let leaves: Vec<Option<Shares>> = drafts
        .iter()
        .map(|draft| leaf(draft, &drafts, &recipes, faults))
        .collect();
    for (draft, leaf) in drafts.into_iter().zip(leaves) {
        if let Some(leaf) = leaf {
            shelf.put(FormulaEntry {
                leaf,
                ..draft.entry
            });
        }
    }
    shelf
}

/// A name with its version: `evening:2`.
fn key_of(name: &str, version: u32) -> String {
    format!("{name}:{version}")
}

/// The place of the name, the name, and the version.
fn named<'p>(fields: &Fields<'p>, faults: &mut Faults<'_>) -> Option<(Written<'p>, String, u32)> {
    let before = faults.count();
    let name = fields.text(&NAME, faults);
    let version = fields.whole(&VERSION, 1, faults).unwrap_or(1);
    let name = name?;
    let spelled = name.value().to_owned();
    // A line of leaf begins with a number: so would this name.
    let begins_wrong = spelled.starts_with(|c: char| c.is_numeric());
    if spelled.contains([':', '=']) || begins_wrong {
        let error = BookError::new(
            BookErrorKind::Reserved,
            format!(
                "a formula cannot be called {}: {}",
                quote(&spelled),
                if begins_wrong {
                    "lines of leaf begin with a number"
                } else {
                    ": and = stand behind a name"
                }
            ),
        )
        .with_hint("give it a name of letters, such as \"evening\"")
        .with_field(NAME.name);
        faults.add(&name.whole(), error);
    }
    (faults.count() == before).then_some((name, spelled, version))
}

fn draft<'p>(
    fields: &Fields<'p>,
    key: Option<(Written<'p>, String, u32)>,
    liquids: &Shelf<LiquidEntry>,
    faults: &mut Faults<'_>,
) -> Option<Draft<'p>> {
    let before = faults.count();
    let basis = basis(fields, faults);
    let leaf = shares(fields, faults);
    let flavours = lines::<DoseLine>(fields, &FLAVOURS, faults);
    let casings = lines::<RateLine>(fields, &CASINGS, faults);
    for (text, line) in &flavours {
        check_liquid(text, &FLAVOURS, &line.liquid, liquids, faults);
    }
    for (text, line) in &casings {
        check_liquid(text, &CASINGS, &line.liquid, liquids, faults);
    }
    let moisture = moisture(fields, faults);
    let band = WITHIN.exact(fields, faults);
    let tolerance = OFF.exact(fields, faults);
    let rest = fields.note(&REST, faults);
    let note = fields.note(&NOTE, faults);
    if faults.count() > before {
        return None;
    }
    let (_, name, version) = key?;
    let (lines, written, shares) = leaf?;
    Some(Draft {
        entry: FormulaEntry {
            key: key_of(&name, version),
            name,
            version,
            basis: basis?,
            lines: written,
            leaf: shares.clone(),
            shares,
            flavours: flavours.into_iter().map(|(_, line)| line).collect(),
            casings: casings.into_iter().map(|(_, line)| line).collect(),
            moisture,
            band,
            tolerance,
            rest,
            note,
        },
        lines,
    })
}

/// What the shares are of.
fn basis(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<LeafBasis> {
    const WORDS: [&str; 2] = ["dry", "as-weighed"];
    let text = fields.text(&SHARES, faults)?;
    match text.value() {
        "dry" => return Some(LeafBasis::Dry),
        "as-weighed" => return Some(LeafBasis::AsWeighed),
        _ => {}
    }
    let hint = match nearest(text.value(), WORDS) {
        Some(near) => format!("did you mean {}?", quote(near)),
        None => "write \"dry\" for shares of dry leaf, or \"as-weighed\"".to_owned(),
    };
    let error = BookError::new(
        BookErrorKind::UnknownWord,
        format!(
            "shares are of leaf dry or as-weighed, not {}",
            quote(text.value())
        ),
    );
    faults.add(&text.whole(), error.with_hint(hint).with_field(SHARES.name));
    None
}

/// Lines with their places, each read; those that cannot be are faults.
fn lines<'p, T: std::str::FromStr<Err = gutta::Error>>(
    fields: &Fields<'p>,
    field: &Field,
    faults: &mut Faults<'_>,
) -> Vec<(Written<'p>, T)> {
    let texts = fields.texts(field, faults).unwrap_or_default();
    let mut lines = Vec::new();
    for text in texts {
        match text.value().parse() {
            Ok(line) => lines.push((text, line)),
            Err(error) => faults.add_quantity(&text, field.name, &error),
        }
    }
    lines
}

type Leaf<'p> = (Vec<Written<'p>>, Vec<ShareLine>, Shares);

/// The lines of leaf, and the shares that they make together.
fn shares<'p>(fields: &Fields<'p>, faults: &mut Faults<'_>) -> Option<Leaf<'p>> {
    let before = faults.count();
    let (texts, written): (Vec<Written<'p>>, Vec<ShareLine>) =
        lines(fields, &LEAF, faults).into_iter().unzip();
    if faults.count() > before || texts.is_empty() {
        return None;
    }
    match ShareLine::together(&written) {
        Ok(shares) => Some((texts, written, shares)),
        Err((at, error)) => {
            let span = match at.and_then(|at| texts.get(at)) {
                Some(text) => text.whole(),
                None => texts[0].whole().start..texts[texts.len() - 1].whole().end,
            };
            faults.add(&span, BookError::of_quantity(&error).with_field(LEAF.name));
            None
        }
    }
}

/// Finds fault with a liquid that neither the book nor its name knows.
fn check_liquid(
    text: &Written<'_>,
    field: &Field,
    (name, at): &(String, usize),
    liquids: &Shelf<LiquidEntry>,
    faults: &mut Faults<'_>,
) {
    let Err(no) = liquids.refer(name) else { return };
    let span = text.part(*at, name.len());
    let error = match Liquid::named(name) {
        Ok(Some(_)) => return,
        Ok(None) => no_such(&no),
        Err(error) => BookError::of_quantity(&error),
    };
    faults.add(&span, error.with_field(field.name));
}

fn no_such(no: &NoSuchName) -> BookError {
    BookError::new(BookErrorKind::NoSuchName, no.to_string()).with_hint(no.hint())
}

/// The moisture wanted, on either basis.
fn moisture(fields: &Fields<'_>, faults: &mut Faults<'_>) -> Option<(Reading, Moisture)> {
    let text = fields.text_or(&MOISTURE, faults, |number| format!("write \"{number} %\""))?;
    let found = read_quantity(text.value(), &[Kind::Share])
        .and_then(|reading| Ok((reading.clone(), Moisture::read_target(&reading)?)));
    match found {
        Ok(found) => Some(found),
        Err(error) => {
            faults.add_quantity(&text, MOISTURE.name, &error);
            None
        }
    }
}

/// The formula that a component names: the version it says, or the latest.
fn blend<'a>(name: &str, drafts: &'a [Draft<'_>]) -> Option<&'a FormulaEntry> {
    let name = folded(name);
    let entries = drafts.iter().map(|draft| &draft.entry);
    entries
        .filter(|entry| folded(&entry.key) == name || folded(&entry.name) == name)
        .max_by_key(|entry| entry.version)
}

/// The leaf of a formula, its blends replaced by what they are made of.
fn leaf(
    draft: &Draft<'_>,
    drafts: &[Draft<'_>],
    recipes: &Recipes,
    faults: &mut Faults<'_>,
) -> Option<Shares> {
    for (line, text) in draft.entry.shares.lines().iter().zip(&draft.lines) {
        let blend = blend(line.name(), drafts);
        if blend.is_none() && line.name().contains(':') {
            let error = BookError::new(
                BookErrorKind::NoSuchName,
                format!("there is no formula {}", quote(line.name())),
            )
            .with_hint("behind a : stands the version of a formula; leaf has no : in its name")
            .with_field(LEAF.name);
            faults.add(&text.whole(), error);
            return None;
        }
        if let Some(blend) = blend.filter(|blend| blend.basis != draft.entry.basis) {
            let word = |basis| match basis {
                LeafBasis::AsWeighed => "as-weighed",
                LeafBasis::Dry => "dry",
            };
            let error = BookError::new(
                BookErrorKind::Quantity(gutta::ErrorKind::Composition),
                format!(
                    "the shares of {} are {}, and those of this formula {}",
                    blend.key,
                    word(blend.basis),
                    word(draft.entry.basis)
                ),
            )
            .with_hint("write both on one basis: shares of two kinds cannot be multiplied")
            .with_field(LEAF.name);
            faults.add(&text.whole(), error);
            return None;
        }
    }
    match recipes.expand(&draft.entry.shares) {
        Ok(leaf) => Some(leaf),
        Err(error) => {
            let span = draft.lines[0].whole().start..draft.lines[draft.lines.len() - 1].whole().end;
            faults.add(&span, BookError::of_quantity(&error).with_field(LEAF.name));
            None
        }
    }
}
