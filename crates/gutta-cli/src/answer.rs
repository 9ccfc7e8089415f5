//! The one answer that text, narrow text and JSON are rendered from.

use gutta::Estimate;
use gutta::measure::{Scalar, Spread, Unit, Verdict, coverage_95, number};

use crate::document::{Document, Labels, Record};
use crate::say;

/// A key under `answer` in JSON, declared once: its schema is made from it.
#[derive(Debug)]
pub struct Key {
    /// The name in JSON.
    pub name: &'static str,
    /// What its value looks like.
    pub shape: Shape,
    /// What it means, with its basis.
    pub what: &'static str,
}

/// What the value of a key looks like.
#[derive(Clone, Copy, Debug)]
pub enum Shape {
    /// A number with a unit, perhaps with a doubt.
    Quantity(JsonUnit),
    /// Several of a kind.
    Quantities(JsonUnit),
    /// A plain number.
    Number,
    /// One word of a few.
    Word(&'static [&'static str]),
    /// A name that somebody typed.
    Text,
    /// Weighings that look miscounted.
    Suspects,
    /// Several things of a kind, each with keys of its own: those that are
    /// always there, and those that are known of some.
    Rows {
        /// Always there.
        always: &'static [&'static Key],
        /// There where the value is known.
        known: &'static [&'static Key],
    },
}

/// The units that JSON speaks, whatever was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JsonUnit {
    /// Grams.
    Gram,
    /// Milligrams: a drop's mass.
    Milligram,
    /// Millilitres.
    Millilitre,
    /// US teaspoons.
    Teaspoon,
    /// Per cent; a doubt is in points.
    Percent,
    /// Drops.
    Drop,
    /// Drops in a millilitre.
    DropPerMillilitre,
    /// Grams in a kilogram.
    GramPerKilogram,
    /// Millilitres in a kilogram.
    MillilitrePerKilogram,
    /// Grams in a cubic metre: water in air.
    GramPerCubicMetre,
    /// Degrees Celsius.
    Celsius,
    /// Millimetres: a dropper's tip.
    Millimetre,
    /// Grams in a millilitre.
    GramPerMillilitre,
    /// Millinewtons per metre.
    MillinewtonPerMetre,
    /// Hours.
    Hour,
}

impl JsonUnit {
    /// As it is written.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Milligram => "mg",
            Self::Millilitre => "mL",
            Self::Teaspoon => "tsp",
            Self::Percent => "%",
            Self::Drop => "drop",
            Self::DropPerMillilitre => "drop/mL",
            Self::GramPerKilogram => "g/kg",
            Self::MillilitrePerKilogram => "mL/kg",
            Self::GramPerCubicMetre => "g/m³",
            Self::Celsius => "°C",
            Self::Millimetre => "mm",
            Self::GramPerMillilitre => "g/mL",
            Self::MillinewtonPerMetre => "mN/m",
            Self::Hour => "h",
        }
    }

    /// A difference in SI base units, in this unit: a doubt of degrees is one of
    /// kelvins.
    pub fn span_of_base(self, base: f64) -> f64 {
        match self {
            Self::Celsius => base,
            unit => unit.of_base(base),
        }
    }

    /// A number in SI base units, said in this unit with so many figures.
    pub fn said(self, base: f64, figures: u32) -> String {
        let value = self.of_base(base);
        let power = value.abs().log10().floor();
        // A figure of a bench is far inside this range.
        #[allow(clippy::cast_possible_truncation, reason = "bounded just before")]
        let leading = power.clamp(-300.0, 300.0) as i32;
        let decimals = figures.cast_signed() - 1 - leading;
        format!("{}\u{a0}{}", number(value, decimals), self.symbol())
    }

    /// A number in SI base units, in this unit.
    pub fn of_base(self, base: f64) -> f64 {
        let unit = match self {
            Self::Gram => Unit::GRAM,
            Self::Milligram => Unit::MILLIGRAM,
            Self::Millilitre => Unit::MILLILITRE,
            Self::Teaspoon => Unit::TEASPOON,
            Self::Percent => Unit::PERCENT,
            Self::Drop => Unit::DROP,
            Self::DropPerMillilitre => Unit::DROP_PER_MILLILITRE,
            Self::GramPerKilogram => Unit::GRAM_PER_KILOGRAM,
            Self::Celsius => Unit::CELSIUS,
            Self::Millimetre => Unit::MILLIMETRE,
            Self::GramPerMillilitre => Unit::GRAM_PER_MILLILITRE,
            Self::MillinewtonPerMetre => Unit::MILLINEWTON_PER_METRE,
            Self::Hour => Unit::HOUR,
            Self::GramPerCubicMetre => return base * 1e3,
            Self::MillilitrePerKilogram => {
                return Unit::MILLILITRE.from_base(base) * Unit::KILOGRAM.size();
            }
        };
        unit.from_base(base)
    }
}

/// A figure of the answer.
#[derive(Debug)]
pub struct Figure {
    /// Its key.
    pub key: &'static Key,
    /// Its value.
    pub value: Value,
}

/// The value of a figure.
#[derive(Debug)]
pub enum Value {
    /// A number in SI base units, with its doubt where it is known.
    Quantity {
        /// The best estimate.
        best: f64,
        /// The standard uncertainty (k = 1), 0 when there is none.
        u: f64,
        /// The degrees of freedom, infinite unless readings are few.
        dof: f64,
        /// The fewest degrees of freedom of any input.
        least_dof: f64,
    },
    /// Several of a kind, each as a quantity.
    Quantities(Vec<Value>),
    /// A plain number.
    Number(f64),
    /// A word.
    Word(&'static str),
    /// A name that somebody typed.
    Text(String),
    /// Miscounted weighings: which one, and what it reads as.
    Suspects(Vec<(usize, u64)>),
    /// Several things of a kind, each with figures of its own.
    Rows(Vec<Row>),
}

impl Value {
    fn of<S: Scalar>(estimate: &Estimate<S>) -> Self {
        Self::Quantity {
            best: estimate.best().base(),
            u: estimate.u(),
            dof: estimate.dof(),
            least_dof: estimate.least_dof(),
        }
    }

    /// A number without doubt, in SI base units.
    const fn exact(base: f64) -> Self {
        Self::Quantity {
            best: base,
            u: 0.0,
            dof: f64::INFINITY,
            least_dof: f64::INFINITY,
        }
    }

    /// The 95 % interval in SI base units, where a doubt is known.
    pub fn interval_95(&self) -> Option<(f64, f64)> {
        match *self {
            Self::Quantity { best, u, dof, .. } if u > 0.0 => {
                let half = coverage_95(dof) * u;
                Some((best - half, best + half))
            }
            _ => None,
        }
    }
}

/// One of several things of a kind, to be filled with its figures.
#[derive(Debug, Default)]
pub struct Row {
    /// Its figures.
    pub figures: Vec<Figure>,
}

impl Row {
    /// The row with an estimate under a key.
    #[must_use]
    pub fn with<S: Scalar>(mut self, key: &'static Key, estimate: &Estimate<S>) -> Self {
        self.figures.push(Figure {
            key,
            value: Value::of(estimate),
        });
        self
    }

    /// The row with an estimate under a key, where there is one.
    #[must_use]
    pub fn with_if<S: Scalar>(self, key: &'static Key, estimate: Option<&Estimate<S>>) -> Self {
        match estimate {
            Some(estimate) => self.with(key, estimate),
            None => self,
        }
    }

    /// The row with a number without doubt, in SI base units, under a key.
    #[must_use]
    pub fn with_exact(mut self, key: &'static Key, base: f64) -> Self {
        self.figures.push(Figure {
            key,
            value: Value::exact(base),
        });
        self
    }

    /// The row with a name that somebody typed under a key.
    #[must_use]
    pub fn with_text(mut self, key: &'static Key, text: String) -> Self {
        self.figures.push(Figure {
            key,
            value: Value::Text(text),
        });
        self
    }

    /// The row with a plain number under a key.
    #[must_use]
    pub fn with_number(mut self, key: &'static Key, number: f64) -> Self {
        self.figures.push(Figure {
            key,
            value: Value::Number(number),
        });
        self
    }

    /// The row with a word under a key.
    #[must_use]
    pub fn with_word(mut self, key: &'static Key, word: &'static str) -> Self {
        self.figures.push(Figure {
            key,
            value: Value::Word(word),
        });
        self
    }
}

/// What the draws of a Monte Carlo run say.
#[derive(Debug)]
pub struct Draws {
    /// How many.
    pub count: usize,
    /// The seed that repeats them.
    pub seed: u64,
    /// The share of them that was outside the formula's range.
    pub outside: f64,
    /// Each figure that carries a doubt.
    pub figures: Vec<DrawnFigure>,
}

/// One figure of a Monte Carlo run.
#[derive(Debug)]
pub struct DrawnFigure {
    /// Its key.
    pub key: &'static Key,
    /// What its draws say, in SI base units.
    pub spread: Spread,
    /// Whether the draws have a mean: not by an input of two readings.
    pub has_mean: bool,
    /// Whether they have a standard deviation: not by an input of three.
    pub has_u: bool,
    /// Whether the first-order interval is good enough.
    pub first_order: Verdict,
}

/// What a command answers.
#[derive(Debug)]
pub struct Answer {
    /// The command, as JSON names it.
    pub command: &'static str,
    /// The answer in a sentence, with its figure.
    pub headline: String,
    /// What belongs right under it.
    pub details: Vec<String>,
    /// What the scale shows when it is done.
    pub check: String,
    /// The figures for machines.
    pub figures: Vec<Figure>,
    /// What was assumed.
    pub assumed: Vec<String>,
    /// How sure it is, in words.
    pub doubt: Vec<String>,
    /// What the doubt of the leading figure is made of: shares of variance.
    pub budget: Vec<(String, f64)>,
    /// What to do next.
    pub next: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// The sum with the numbers in it.
    pub working: Vec<String>,
    /// What the draws say, when they were asked for.
    pub draws: Option<Draws>,
    /// A table right under the headline, where there is one.
    pub table: Option<Grid>,
    /// The sheet to work by, where there is one.
    pub document: Option<Document>,
    /// The record to fill in, where there is one.
    pub record: Option<Record>,
    /// The labels, where there are some.
    pub labels: Option<Labels>,
}

impl Answer {
    /// An answer of a command, to be filled.
    pub fn new(command: &'static str, headline: impl Into<String>) -> Self {
        Self {
            command,
            headline: headline.into(),
            details: Vec::new(),
            check: String::new(),
            figures: Vec::new(),
            assumed: Vec::new(),
            doubt: Vec::new(),
            budget: Vec::new(),
            next: Vec::new(),
            cautions: Vec::new(),
            working: Vec::new(),
            draws: None,
            table: None,
            document: None,
            record: None,
            labels: None,
        }
    }

    /// Adds an estimate under a key. The budget is that of the first one that
    /// carries a doubt.
    pub fn put<S: Scalar>(&mut self, key: &'static Key, estimate: &Estimate<S>) {
        if self.budget.is_empty() {
            self.budget = say::budget(estimate);
        }
        self.figures.push(Figure {
            key,
            value: Value::of(estimate),
        });
    }

    /// Adds several estimates of a kind under a key.
    pub fn put_each<S: Scalar>(
        &mut self,
        key: &'static Key,
        estimates: impl Iterator<Item = Estimate<S>>,
    ) {
        self.figures.push(Figure {
            key,
            value: Value::Quantities(estimates.map(|e| Value::of(&e)).collect()),
        });
    }

    /// Adds what is the opposite of an estimate under a key.
    pub fn put_negated<S: Scalar>(&mut self, key: &'static Key, estimate: &Estimate<S>) {
        self.put(key, &estimate.negated());
    }

    /// Adds an estimate under a key where there is one.
    pub fn put_if<S: Scalar>(&mut self, key: &'static Key, estimate: Option<&Estimate<S>>) {
        if let Some(estimate) = estimate {
            self.put(key, estimate);
        }
    }

    /// Adds a number without doubt, in SI base units, under a key.
    pub fn put_exact(&mut self, key: &'static Key, base: f64) {
        self.figures.push(Figure {
            key,
            value: Value::exact(base),
        });
    }

    /// Adds several things of a kind under a key.
    pub fn put_rows(&mut self, key: &'static Key, rows: Vec<Row>) {
        self.figures.push(Figure {
            key,
            value: Value::Rows(rows),
        });
    }

    /// Adds a plain number under a key.
    pub fn put_number(&mut self, key: &'static Key, number: f64) {
        self.figures.push(Figure {
            key,
            value: Value::Number(number),
        });
    }

    /// Adds a name that somebody typed, or an identifier, under a key.
    pub fn put_text(&mut self, key: &'static Key, text: String) {
        self.figures.push(Figure {
            key,
            value: Value::Text(text),
        });
    }

    /// Adds a word under a key.
    pub fn put_word(&mut self, key: &'static Key, word: &'static str) {
        self.figures.push(Figure {
            key,
            value: Value::Word(word),
        });
    }
}

/// A few columns of figures for people; machines have them as rows.
#[derive(Debug)]
pub struct Grid {
    /// What each column holds; the first is what the row is about.
    pub columns: Vec<&'static str>,
    /// The rows, a text for each column.
    pub rows: Vec<Vec<String>>,
    /// Whether the columns hold words, which begin at the left, and no figures.
    pub is_words: bool,
}

/// What the program says of itself when nothing is asked.
#[derive(Debug)]
pub struct Greeting {
    /// What it is.
    pub title: &'static str,
    /// Its commands, each with what it answers.
    pub commands: &'static [(&'static str, &'static str)],
    /// Commands to try.
    pub tries: &'static [&'static str],
    /// What to know, and where there is more.
    pub foot: &'static str,
}
