//! The commands: one file each, quantities still text.

mod batch;
mod book;
mod bulk;
mod casing;
mod dilute;
mod dose;
mod draws;
mod dropper;
mod due;
mod formula;
mod html;
mod jar;
mod journal;
mod keep;
mod leaf;
mod liquid;
mod lot;
mod making;
mod measuring;
mod moisture;
mod repair;
mod road;
mod schema;
mod series;
mod sheet;
mod spoons;
mod water;

use clap::{Args, Parser, Subcommand};

use gutta::blend::record::Moment;
use gutta_book::MakingKind;

use crate::answer::{Answer, Greeting};
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::session::Session;

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "gutta",
    bin_name = "gutta",
    version,
    propagate_version = true,
    about = "Leaf blending by the drop: water, droppers and doses, with units and doubt",
    disable_help_subcommand = true,
    infer_subcommands = false,
    subcommand_required = false
)]
pub struct Gutta {
    /// What is asked.
    #[command(subcommand)]
    pub verb: Option<Verb>,
    /// How it is answered.
    #[command(flatten)]
    pub everywhere: Everywhere,
}

/// Flags that every command takes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Book and answer")]
pub struct Everywhere {
    /// The folder of the bench book that names are looked up in
    #[arg(long, value_name = "DIR", global = true)]
    pub book: Option<String>,
    /// Answer in JSON, for machines; a command must be named with it
    #[arg(long, global = true)]
    pub json: bool,
    /// Answer in at most 40 columns
    #[arg(long, global = true)]
    pub narrow: bool,
    /// Add the sum with the numbers in it
    #[arg(long, global = true)]
    pub working: bool,
}

/// What can be asked. A command is laid out only once it is named.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum Verb {
    /// How much water brings leaf to a moisture, or when to stop drying
    Water(water::WaterArgs),
    /// What one drop weighs, from counted drops on a scale
    Dropper(dropper::DropperArgs),
    /// Drops, grams, millilitres and g/kg of a flavouring, bench to batch
    Dose(dose::DoseArgs),
    /// A dose of less than a drop, by drops of a dilution
    Dilute(dilute::DiluteArgs),
    /// Doses on portions of one base
    Series(series::SeriesArgs),
    /// What is in a liquid, several poured together, one made weaker
    Liquid {
        /// What is asked
        #[command(subcommand)]
        verb: liquid::LiquidVerb,
    },
    /// Casing by a rate on a named basis, water to bulk, weights to dry-back
    Casing(casing::CasingArgs),
    /// What a formula is at any size, two of them compared, one thing changed
    Formula {
        /// What is asked
        #[command(subcommand)]
        verb: formula::FormulaVerb,
    },
    /// What to weigh of each lot for a batch, and what goes on, step by step
    #[command(after_long_help = sheet::EXAMPLES)]
    Sheet(sheet::SheetArgs),
    /// A recipe in spoonfuls, as grams and shares
    Spoons(spoons::SpoonsArgs),
    /// What to add to a blend that went wrong
    Repair {
        /// What is asked
        #[command(subcommand)]
        verb: repair::RepairVerb,
    },
    /// Trials: planned, made, judged, and which came from which
    Trial {
        /// What is asked
        #[command(subcommand)]
        verb: making::MakingVerb,
    },
    /// Batches: cost, stock and loads, cheapest lots, packs, record; planned and made
    Batch {
        /// What is asked
        #[command(subcommand)]
        verb: batch::BatchVerb,
    },
    /// Jars of the journal: filled, weighed, and as they are now
    Jar {
        /// What is asked
        #[command(subcommand)]
        verb: jar::JarVerb,
    },
    /// Lots of the journal: come in, taken, and what is on hand
    Lot {
        /// What is asked
        #[command(subcommand)]
        verb: lot::LotVerb,
    },
    /// Words written down, all that was, and what is not to be counted
    Journal {
        /// What is asked
        #[command(subcommand)]
        verb: journal::JournalVerb,
    },
    /// Moisture by every road, on both bases, before and after water
    Moisture {
        /// What is asked
        #[command(subcommand)]
        verb: moisture::MoistureVerb,
    },
    /// A new bench book, and whether one is sound
    Book {
        /// What is asked
        #[command(subcommand)]
        verb: book::BookVerb,
    },
    /// A CSV table of batches in, a table of plans out, row by row
    Bulk(bulk::BulkArgs),
    /// The JSON schema of an answer
    Schema(schema::SchemaArgs),
    /// The help of a command
    Help(HelpArgs),
}

/// The help of a command; of the program when none is named.
#[derive(Debug, Args)]
pub struct HelpArgs {
    /// The command, such as water or moisture before
    #[arg(value_name = "COMMAND")]
    pub command: Vec<String>,
}

impl Verb {
    /// The page that the answer's sheet is written to, where one is asked for.
    pub const fn html(&self) -> Option<&html::HtmlArgs> {
        match self {
            Self::Sheet(args) => Some(&args.html),
            Self::Trial { verb } => verb.html(),
            Self::Batch { verb } => verb.html(),
            _ => None,
        }
    }

    /// Whether it writes into the book.
    pub const fn writes(&self) -> bool {
        match self {
            Self::Trial { verb } => verb.writes(),
            Self::Batch { verb } => verb.writes(),
            Self::Jar { verb } => !matches!(verb, jar::JarVerb::Show(_)),
            Self::Lot { verb } => !matches!(verb, lot::LotVerb::Show(_)),
            Self::Journal { verb } => verb.writes(),
            _ => false,
        }
    }

    /// Answers, or says why not.
    pub fn answer(&self, everywhere: &Everywhere, session: &mut Session<'_>) -> Outcome<Answer> {
        let now = Moment::of_seconds(session.now);
        let folder = session.folder.clone();
        let folder = folder.as_path();
        let shelf = match self {
            // These see to the book by themselves.
            Self::Book { verb } => return verb.answer(everywhere, folder, now),
            _ => Shelf::new(everywhere.book.as_ref(), folder, now)?,
        };
        match self {
            Self::Water(args) => args.answer(&shelf),
            Self::Dropper(args) => args.answer(&shelf),
            Self::Dose(args) => args.answer(&shelf),
            Self::Dilute(args) => args.answer(&shelf),
            Self::Series(args) => args.answer(&shelf),
            Self::Liquid { verb } => verb.answer(&shelf),
            Self::Casing(args) => args.answer(&shelf),
            Self::Formula { verb } => verb.answer(&shelf),
            Self::Sheet(args) => args.answer(&shelf),
            Self::Spoons(args) => args.answer(&shelf),
            Self::Repair { verb } => verb.answer(&shelf),
            Self::Trial { verb } => verb.answer(MakingKind::Trial, &shelf, session),
            Self::Batch { verb } => verb.answer(&shelf, session),
            Self::Jar { verb } => verb.answer(&shelf),
            Self::Lot { verb } => verb.answer(&shelf),
            Self::Journal { verb } => verb.answer(&shelf),
            Self::Moisture { verb } => verb.answer(&shelf),
            Self::Book { .. } | Self::Bulk(_) | Self::Schema(_) | Self::Help(_) => {
                unreachable!("a book, a table, a schema and a help are seen to before")
            }
        }
    }
}

/// What `gutta` alone says: what it answers, and three commands to try.
pub static GREETING: Greeting = Greeting {
    title: "gutta: leaf blending by the drop",
    commands: &[
        (
            "water",
            "how much water to a moisture, or when to stop drying",
        ),
        (
            "moisture",
            "oven dishes, a jar weighed again, lots together; both bases",
        ),
        (
            "dropper",
            "what one drop weighs, from counted drops on a scale",
        ),
        (
            "dose",
            "drops, grams, mL and g/kg of a flavouring, bench to batch",
        ),
        (
            "dilute, series",
            "a dose of less than a drop; doses on portions of one base",
        ),
        (
            "liquid, casing",
            "what is in a liquid; casing by a rate on a named basis",
        ),
        (
            "formula, spoons",
            "a formula at any size, compared, changed; spoons to grams",
        ),
        (
            "sheet",
            "what to weigh of each lot and what goes on, step by step",
        ),
        ("repair", "what to add to a blend that went wrong"),
        (
            "trial, batch",
            "planned, made, judged; cost, stock, loads, packs, yield",
        ),
        (
            "jar, lot",
            "jars as they dry; what came in, was taken, is on hand",
        ),
        ("journal", "what was written down, note by note"),
        ("book", "a new bench book, and whether one is sound"),
        ("bulk", "a CSV table of batches in, a table of plans out"),
        ("schema", "the JSON schema of an answer"),
    ],
    tries: &[
        "gutta water --leaf 10.00g --at 11.2% --to 14.5% --drop 47.8mg",
        "gutta dropper 20=0.974g 20=0.981g 20=0.969g --scale 0.01g",
        "gutta dose 7drops --drop 21.4mg --leaf 10.00g",
    ],
    foot: "Figures carry their unit; ± is a 95\u{a0}% interval. More: gutta help water",
};
