//! A sheet as one HTML page, self-contained: nothing is fetched, nothing runs.

mod fit;

use minijinja::{Environment, UndefinedBehavior, Value, context};

use crate::document::{Block, Cell, Document, Labels, Picture, Point, Record, Step};
use crate::failure::{Failure, Outcome};

/// What the page is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 148 × 210 mm.
    A5,
    /// 5.5 × 8.5 inches.
    HalfLetter,
    /// 210 × 297 mm.
    A4,
}

impl Paper {
    /// What is left of it inside the margins, across and down, in points.
    const fn inside(self) -> (f64, f64) {
        match self {
            Self::A5 => (374.0, 550.0),
            Self::HalfLetter => (350.0, 566.0),
            Self::A4 => (549.0, 796.0),
        }
    }

    const fn css(self) -> &'static str {
        match self {
            Self::A5 => "148mm 210mm",
            Self::HalfLetter => "5.5in 8.5in",
            Self::A4 => "210mm 297mm",
        }
    }
}

/// The page of a sheet.
pub fn page(document: &Document, paper: Paper) -> Outcome<String> {
    let fitted = fit::fit(document, paper);
    let context = context! {
        title => plain(&document.title),
        paper => paper.css(),
        size => fitted.size,
        facts => document.facts.iter().map(|(label, text)| context! {
            label => *label,
            text => plain(text),
        }).collect::<Vec<Value>>(),
        steps => document.steps.iter().map(step).collect::<Vec<Value>>(),
        notes => fitted.notes.iter().map(|note| plain(note)).collect::<Vec<_>>(),
        cautions => document.cautions.iter().map(|line| plain(line)).collect::<Vec<_>>(),
        picture => document.picture.as_ref().map(picture),
    };
    // The names end so that what is put into a template is escaped.
    filled("sheet.html", include_str!("sheet.html"), context)
}

/// The pages of a record: as many leaves of paper as it takes.
pub fn record(record: &Record, paper: Paper) -> Outcome<String> {
    let context = context! {
        title => plain(&record.title),
        number => record.number.as_deref().map(plain),
        paper => paper.css(),
        size => match paper {
            Paper::A4 => 9.0,
            Paper::A5 | Paper::HalfLetter => 7.0,
        },
        blocks => record.blocks.iter().chain(&record.known).map(block).collect::<Vec<Value>>(),
        cautions => record.cautions.iter().map(|line| plain(line)).collect::<Vec<_>>(),
    };
    filled("record.html", include_str!("record.html"), context)
}

/// A sheet of labels, to be cut apart.
pub fn labels(labels: &Labels, paper: Paper) -> Outcome<String> {
    let context = context! {
        title => labels.lines.first().map(|line| plain(line)),
        paper => paper.css(),
        count => labels.count,
        lines => labels.lines.iter().map(|line| plain(line)).collect::<Vec<_>>(),
    };
    filled("labels.html", include_str!("labels.html"), context)
}

fn filled(name: &'static str, template: &'static str, context: Value) -> Outcome<String> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::SemiStrict);
    environment
        .add_template(name, template)
        .and_then(|()| environment.get_template(name)?.render(context))
        .map_err(|error| {
            Failure::unreadable("template", format!("the page cannot be made: {error}"))
        })
}

fn block(block: &Block) -> Value {
    let cell = |cell: &Cell| match cell {
        Cell::Text(text) => context! { text => plain(text) },
        Cell::Blank => context! { blank => true },
        Cell::None => context! {},
    };
    let rows = block.rows.iter();
    context! {
        title => block.title,
        columns => block.columns.clone(),
        rows => rows.map(|row| row.iter().map(cell).collect()).collect::<Vec<Vec<Value>>>(),
    }
}

fn plain(text: &str) -> String {
    text.replace(|c: char| c.is_control(), "\u{fffd}")
}

fn step(step: &Step) -> Value {
    context! {
        amount => step.amount.as_deref().map(plain),
        what => plain(&step.what),
        remark => step.remark.as_deref().map(plain),
        tolerance => step.tolerance.as_deref().map(plain),
        reads => step.reads.as_deref().map(plain),
        gross => step.gross.as_deref().map(plain),
        blank => step.has_blank(),
    }
}

/// The edges of the drawing, in its own units.
const WIDTH: f64 = 300.0;
const HEIGHT: f64 = 150.0;
const LEFT: f64 = 34.0;
const RIGHT: f64 = 292.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 128.0;

/// From amounts and per cent to places of the drawing.
struct Axes {
    most: f64,
    low: f64,
    high: f64,
}

impl Axes {
    fn of(picture: &Picture) -> Self {
        let points = picture.points.iter();
        let (mut low, mut high) = (picture.target - picture.band, picture.target + picture.band);
        for point in points {
            low = low.min(point.moisture - point.half);
            high = high.max(point.moisture + point.half);
        }
        let most = picture.points.last().map_or(1.0, |point| point.amount);
        let margin = 0.05 * (high - low);
        Self {
            most,
            low: low - margin,
            high: high + margin,
        }
    }

    fn across(&self, amount: f64) -> f64 {
        tenth(LEFT + (RIGHT - LEFT) * amount / self.most)
    }

    fn up(&self, percent: f64) -> f64 {
        tenth(BOTTOM - (BOTTOM - TOP) * (percent - self.low) / (self.high - self.low))
    }

    fn places<'a>(&self, points: impl Iterator<Item = (&'a Point, f64)>) -> String {
        let places = points
            .map(|(point, percent)| format!("{},{}", self.across(point.amount), self.up(percent)));
        places.collect::<Vec<_>>().join(" ")
    }
}

fn tenth(place: f64) -> f64 {
    (place * 10.0).round() / 10.0
}

fn picture(picture: &Picture) -> Value {
    let axes = Axes::of(picture);
    let points = || picture.points.iter();
    let has_doubt = points().any(|point| point.half > 0.0);
    let band_top = axes.up(picture.target + picture.band);
    let across = |amount: f64| {
        context! {
            at => axes.across(amount),
            text => format!("{}", (amount * 100.0).round() / 100.0),
        }
    };
    let up = |percent: f64| context! { at => axes.up(percent), text => format!("{percent:.1}") };
    // The first addition stands only where it is apart from the whole.
    let is_apart =
        picture.first > 0.08 * axes.most && picture.whole - picture.first > 0.08 * axes.most;
    let first = is_apart.then_some(picture.first);
    let start = points()
        .next()
        .map_or(picture.target, |point| point.moisture);
    let marks = [0.0].into_iter().chain(first).chain([picture.whole]);
    let is_clear = (start - picture.target).abs() > 0.1 * (axes.high - axes.low);
    let heights = is_clear
        .then_some(start)
        .into_iter()
        .chain([picture.target]);
    context! {
        width => WIDTH,
        height => HEIGHT,
        left => LEFT,
        right => RIGHT,
        top => TOP,
        bottom => BOTTOM,
        along => picture.along,
        band_top => band_top,
        band_height => tenth(axes.up(picture.target - picture.band) - band_top),
        line => axes.places(points().map(|point| (point, point.moisture))),
        doubt => has_doubt.then(|| axes.places(
            points()
                .map(|point| (point, point.moisture + point.half))
                .chain(points().rev().map(|point| (point, point.moisture - point.half))),
        )),
        across => marks.map(across).collect::<Vec<Value>>(),
        up => heights.map(up).collect::<Vec<Value>>(),
    }
}
