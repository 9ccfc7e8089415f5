//! A sheet to work by: what is ticked off step by step, beside the answer.

/// A sheet, as every renderer shows it.
#[derive(Debug, Default)]
pub struct Document {
    /// What it is for.
    pub title: String,
    /// What was decided before: a label and what it is.
    pub facts: Vec<(&'static str, String)>,
    /// The steps, in their order.
    pub steps: Vec<Step>,
    /// What is to be known beside the steps.
    pub notes: Vec<String>,
    /// The cautions of the answer, for a page that hangs by itself.
    pub cautions: Vec<String>,
    /// The moisture that the water makes.
    pub picture: Option<Picture>,
}

/// What is done in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Something is weighed, measured or counted into the bowl.
    Weigh,
    /// Hands do something.
    Do,
    /// A reading to wait for, and to write down.
    Hold,
}

/// One step.
#[derive(Debug)]
pub struct Step {
    /// What is done.
    pub doing: Doing,
    /// How much, where something goes in.
    pub amount: Option<String>,
    /// Of what, or what hands do.
    pub what: String,
    /// What to know of it.
    pub remark: Option<String>,
    /// How far it may be off.
    pub tolerance: Option<String>,
    /// What the scale then reads, with the bowl zeroed.
    pub reads: Option<String>,
    /// What it then reads with the bowl on, where its mass is known.
    pub gross: Option<String>,
}

impl Step {
    /// Hands do something; the scale shows nothing new.
    pub fn hands(what: impl Into<String>) -> Self {
        Self {
            doing: Doing::Do,
            amount: None,
            what: what.into(),
            remark: None,
            tolerance: None,
            reads: None,
            gross: None,
        }
    }

    /// Whether what was really weighed or read is written down.
    pub fn has_blank(&self) -> bool {
        self.doing != Doing::Do
    }

    /// What the scale reads, with and without the bowl.
    pub fn readings(&self) -> Option<String> {
        match (&self.reads, &self.gross) {
            (Some(net), Some(gross)) => Some(format!("{net} ({gross})")),
            (Some(net), None) => Some(net.clone()),
            (None, gross) => gross.clone(),
        }
    }
}

/// The moisture that water makes, from none to some more than is wanted.
#[derive(Debug)]
pub struct Picture {
    /// What is counted along: `drops of water`, `g of water`.
    pub along: &'static str,
    /// The amounts that the points stand at.
    pub points: Vec<Point>,
    /// The target, in per cent.
    pub target: f64,
    /// Half-width of the target band, in points.
    pub band: f64,
    /// The amount that the sheet adds, and what it adds first.
    pub whole: f64,
    /// What is added before the first check.
    pub first: f64,
}

/// One amount of water, and the moisture it makes, in per cent.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// Drops or grams.
    pub amount: f64,
    /// The moisture to expect.
    pub moisture: f64,
    /// Half-width of its 95 % interval, in points; 0 where no doubt is known.
    pub half: f64,
}

/// A record to be filled in: blocks of rows, some of whose cells are blank.
#[derive(Debug, Default)]
pub struct Record {
    /// What it is of.
    pub title: String,
    /// The number of the batch, where it has one; else it is to be filled in.
    pub number: Option<String>,
    /// The blocks, in their order.
    pub blocks: Vec<Block>,
    /// What holds for the figures, which an answer says below: for paper that lies
    /// by itself.
    pub known: Option<Block>,
    /// The cautions of the answer, for paper that lies by itself.
    pub cautions: Vec<String>,
}

/// One block of a record.
#[derive(Debug)]
pub struct Block {
    /// What it is about.
    pub title: &'static str,
    /// The columns; one without a name holds boxes to tick.
    pub columns: Vec<&'static str>,
    /// The rows, a cell for each column.
    pub rows: Vec<Vec<Cell>>,
}

/// One cell of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// What stands there.
    Text(String),
    /// To be filled in by hand.
    Blank,
    /// Nothing, and nothing to be filled in.
    None,
}

impl Cell {
    /// A text, or nothing where there is none.
    pub fn of(text: Option<String>) -> Self {
        text.map_or(Self::None, Self::Text)
    }
}

/// A label, and how many of it.
#[derive(Debug)]
pub struct Labels {
    /// Its lines, four at most.
    pub lines: Vec<String>,
    /// How many.
    pub count: usize,
}

/// Lines that a label has room for.
pub const LABEL_LINES: usize = 4;
/// Letters that a line of a label has room for.
pub const LABEL_LETTERS: usize = 34;
