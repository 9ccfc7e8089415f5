//! `gutta bulk`: a table of batches in, a table of plans out.

use clap::Args;
use gutta::blend::record::Moment;

use super::Everywhere;
use crate::bulk::Bulk;
use crate::failure::{Exit, Failure, Outcome};
use crate::resolve::{self, Flag, shelf::Shelf};
use crate::session::Session;

const EXAMPLES: &str = "\
Examples:
  gutta bulk < demo-data/batches.csv
  gutta bulk --scale 0.01g --rejects rejects.csv < demo-data/batches.csv

Columns are known by their names, in any order:
  id, batch_g                             always
  moisture_pct_wb, target_pct_wb, drop_mg for water, on wet basis
  drop_u_mg, moisture_u_pct               their doubts (k = 1), if known
  flavour_drops_per_10g, flavour_drop_mg, flavour_density_g_per_ml
                                          for a flavouring, on leaf as weighed
All others pass through. Figures are bare, with a decimal point.

Answered: id, the others, then
  water_g, water_ml, water_drops          the water in full, the whole drops
  moisture_after_pct_wb                   what the whole drops give
  u_moisture_after_pct                    its doubt (k = 1), in points
  flavour_g, flavour_ml, flavour_g_per_kg

A row that cannot be answered is named with its line, and left out; the exit
code is then 1.";

/// A table of batches.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct BulkArgs {
    /// The scale's smallest step, or a scale of the book: the doubt of batch_g
    #[arg(long, value_name = "SCALE", allow_hyphen_values = true)]
    scale: Option<String>,
    /// Name the rows that are left out in this file, such as rejects.csv
    #[arg(long, value_name = "FILE")]
    rejects: Option<String>,
    /// Stop at the first row that cannot be answered
    #[arg(long)]
    strict: bool,
}

impl BulkArgs {
    /// Works the table through that the session sends in.
    pub fn run(&self, everywhere: &Everywhere, session: &mut Session<'_>) -> Outcome<Exit> {
        let now = Moment::of_seconds(session.now);
        let shelf = Shelf::new(everywhere.book.as_ref(), &session.folder, now)?;
        let scale = resolve::scale(self.scale.as_ref(), &shelf)?;
        let rejects = Flag::of("--rejects", self.rejects.as_ref());
        if let Some(flag) = rejects.filter(|flag| flag.text.trim().is_empty()) {
            return Err(Failure::missing(flag.name, "no file is named")
                .hint("type --rejects and then the file to write, such as rejects.csv"));
        }
        let bulk = Bulk {
            scale,
            rejects,
            is_strict: self.strict,
            json: everywhere.json,
        };
        bulk.run(session)
    }
}
