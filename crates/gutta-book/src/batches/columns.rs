//! The columns of a table: which of them are read, and which pass through.

use gutta::measure::{
    DENSITY, DROP_U, MASS, MOISTURE, MOISTURE_U, Range, TARGET_MOISTURE, TRIAL_DROPS, TYPED_DROP,
    Unit,
};

use super::written::Page;
use super::wrong::{Wrong, begin};
use crate::name::nearest;

/// A number that a row holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Number {
    Batch,
    Moisture,
    Target,
    Drop,
    DropU,
    MoistureU,
    FlavourDrops,
    FlavourDrop,
    FlavourDensity,
}

/// How many numbers a row may hold.
pub const NUMBERS: usize = 9;

/// A column that is read.
#[derive(Debug)]
struct Known {
    number: Number,
    name: &'static str,
    unit: &'static Unit,
    range: &'static Range,
}

macro_rules! known {
    ($($number:ident = $name:literal, $unit:ident, $range:ident;)+) => {
        [$(Known { number: Number::$number, name: $name, unit: Unit::$unit, range: &$range }),+]
    };
}

/// The numbers in their order, with the names of their columns.
static KNOWN: [Known; NUMBERS] = known! {
    Batch = "batch_g", GRAM, MASS;
    Moisture = "moisture_pct_wb", PERCENT, MOISTURE;
    Target = "target_pct_wb", PERCENT, TARGET_MOISTURE;
    Drop = "drop_mg", MILLIGRAM, TYPED_DROP;
    DropU = "drop_u_mg", MILLIGRAM, DROP_U;
    MoistureU = "moisture_u_pct", PERCENT, MOISTURE_U;
    FlavourDrops = "flavour_drops_per_10g", DROP, TRIAL_DROPS;
    FlavourDrop = "flavour_drop_mg", MILLIGRAM, TYPED_DROP;
    FlavourDensity = "flavour_density_g_per_ml", GRAM_PER_MILLILITRE, DENSITY;
};

/// What names a row.
const ID: &str = "id";

/// What water needs, and what may come with it.
const WATER: [Number; 3] = [Number::Moisture, Number::Target, Number::Drop];
const DOUBTS: [Number; 2] = [Number::DropU, Number::MoistureU];
/// What a flavouring needs.
const FLAVOUR: [Number; 3] = [
    Number::FlavourDrops,
    Number::FlavourDrop,
    Number::FlavourDensity,
];

/// The columns that are answered, for the water and for the flavouring.
const WATER_ANSWERS: [&str; 5] = [
    "water_g",
    "water_ml",
    "water_drops",
    "moisture_after_pct_wb",
    "u_moisture_after_pct",
];
const FLAVOUR_ANSWERS: [&str; 3] = ["flavour_g", "flavour_ml", "flavour_g_per_kg"];

impl Number {
    /// The name of its column.
    pub fn name(self) -> &'static str {
        KNOWN[self as usize].name
    }

    /// What its figures are in.
    pub fn unit(self) -> &'static Unit {
        KNOWN[self as usize].unit
    }

    /// What is sensible for it.
    #[inline]
    pub fn range(self) -> &'static Range {
        KNOWN[self as usize].range
    }

    /// Whether nothing in its place is a zero.
    pub const fn may_be_blank(self) -> bool {
        matches!(self, Self::DropU | Self::MoistureU)
    }

    fn named(name: &str) -> Option<Self> {
        let known = KNOWN.iter().find(|known| known.name == name);
        known.map(|known| known.number)
    }
}

/// The columns of one table, in its order.
#[derive(Debug)]
pub struct Columns {
    /// The name of each.
    pub names: Vec<String>,
    /// The number that each holds; none where it passes through.
    pub roles: Vec<Option<Number>>,
    /// Which of them are written again: the id, then the extras in their order.
    pub passed: Vec<usize>,
    /// Whether there is water to work out.
    pub water: bool,
    /// Whether there is a flavouring to work out.
    pub flavour: bool,
}

impl Columns {
    /// The columns of a table by its first row.
    ///
    /// # Errors
    /// When a column that is needed is missing or one stands twice, half of
    /// what an answer needs is there, or nothing can be answered.
    pub fn of(header: &[&str]) -> Result<Self, Wrong> {
        let names: Vec<String> = header.iter().map(|name| name.trim().to_owned()).collect();
        if let [only] = names.as_slice()
            && only.contains([';', '\t'])
        {
            return Err(
                Wrong::new("syntax", "the columns are not separated by commas")
                    .hint("save the table as CSV with commas, and with decimal points"),
            );
        }
        if names.iter().all(String::is_empty) {
            return Err(Wrong::no_header());
        }
        let has = |name: &str| names.iter().any(|n| n == name);
        let needs = |name: &'static str| -> Result<(), Wrong> {
            if has(name) {
                return Ok(());
            }
            let near = near(name, &names);
            Err(Wrong::new("missing", format!("there is no column {name}"))
                .about(name)
                .hint(near.unwrap_or_else(|| begin().to_owned())))
        };
        for (i, name) in names.iter().enumerate() {
            // Columns without a name are no danger to anybody.
            if !name.is_empty() && names[..i].contains(name) {
                let error = Wrong::new("duplicate", format!("column {name} stands twice"));
                return Err(error.about(name).hint("leave one of them, or rename it"));
            }
        }
        needs(ID)?;
        needs(Number::Batch.name())?;
        let whole = |all: &[Number], with: &[Number], what: &str| -> Result<bool, Wrong> {
            let is_asked = all.iter().chain(with).any(|n| has(n.name()));
            if !is_asked {
                return Ok(false);
            }
            match all.iter().find(|n| !has(n.name())) {
                None => Ok(true),
                Some(missing) => {
                    let message = format!(
                        "half of what {what} needs is here, and no column {}",
                        missing.name()
                    );
                    let all: Vec<&str> = all.iter().map(|n| n.name()).collect();
                    let error = Wrong::new("missing", message).about(missing.name());
                    Err(error.hint(near(missing.name(), &names).unwrap_or_else(|| {
                        format!(
                            "{what} needs {}; leave all of them out to go without",
                            all.join(", ")
                        )
                    })))
                }
            }
        };
        let water = whole(&WATER, &DOUBTS, "water")?;
        let flavour = whole(&FLAVOUR, &[], "a flavouring")?;
        if !water && !flavour {
            return Err(Wrong::new("missing", "there is nothing to work out: the columns for water and for a flavouring are missing")
                .hint(begin()));
        }
        let roles: Vec<Option<Number>> = names.iter().map(|n| Number::named(n)).collect();
        let id = names.iter().position(|n| n == ID);
        let extras = (0..names.len()).filter(|i| roles[*i].is_none() && Some(*i) != id);
        let passed: Vec<usize> = id.into_iter().chain(extras).collect();
        let columns = Self {
            names,
            roles,
            passed,
            water,
            flavour,
        };
        let answers = columns.answers();
        let taken = columns.passed.iter().map(|i| &columns.names[*i]);
        match taken
            .into_iter()
            .find(|name| answers.contains(&name.as_str()))
        {
            Some(name) => {
                let message = format!("column {name} is one that is answered");
                let error = Wrong::new("duplicate", message).about(name);
                Err(error.hint("leave it out, or give it another name"))
            }
            None => Ok(columns),
        }
    }

    /// The columns that are answered.
    fn answers(&self) -> Vec<&'static str> {
        let water: &[&str] = if self.water { &WATER_ANSWERS } else { &[] };
        let flavour: &[&str] = if self.flavour { &FLAVOUR_ANSWERS } else { &[] };
        water.iter().chain(flavour).copied().collect()
    }

    /// The first row of what is answered.
    pub fn heading(&self) -> Vec<u8> {
        let passed = self.passed.iter().map(|i| self.names[*i].as_str());
        let names: Vec<&str> = passed.chain(self.answers()).collect();
        let mut page = Page::default();
        // Quotes at most double a name.
        let mut pen = page.pen(names.iter().map(|name| 2 * name.len() + 3).sum());
        for (i, name) in names.iter().enumerate() {
            if i > 0 {
                pen.byte(b',');
            }
            pen.field(name.as_bytes());
        }
        pen.byte(b'\n');
        let len = pen.written();
        page.wrote(len);
        page.written().to_vec()
    }

    /// Columns that pass through and are but a slip away from one that would be
    /// read: what is passed through, and what it may be meant for.
    pub fn slips(&self) -> Vec<(&str, &'static str)> {
        let passed = self.passed.iter().map(|i| self.names[*i].as_str());
        passed
            .filter(|name| *name != ID)
            .filter_map(|name| {
                let missing = KNOWN.iter().map(|known| known.name);
                let missing = missing.filter(|known| !self.names.iter().any(|n| n == known));
                nearest(name, missing).map(|near| (name, near))
            })
            .collect()
    }
}

/// The column that may be meant by a name.
fn near(name: &str, names: &[String]) -> Option<String> {
    let free = names
        .iter()
        .filter(|n| Number::named(n).is_none() && *n != ID);
    nearest(name, free.map(String::as_str)).map(|near| format!("is {near} meant? write {name}"))
}
