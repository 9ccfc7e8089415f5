//! Which curve of leaf in air is gone by: that of a type, or one's own.

use clap::Args;

use crate::failure::Outcome;
use crate::resolve::Assumed;
use crate::resolve::curve::{self, Curve};

/// Which curve, at which temperature.
#[derive(Debug, Args)]
pub struct CurveArgs {
    /// The type of leaf: flue-cured, oriental, burley, generic or dark
    #[arg(long = "type", value_name = "TYPE")]
    leaf: Option<String>,
    /// An own reading, humidity and moisture: "60% 13.2%"; three or more make a curve
    #[arg(long, value_name = "READING", allow_hyphen_values = true)]
    own: Vec<String>,
    /// The temperature of leaf and air [22 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
    /// The leaf carries casing or humectant
    #[arg(long)]
    pub cased: bool,
}

impl CurveArgs {
    /// The curve, read and listed.
    pub fn read(&self, assumed: &mut Assumed) -> Outcome<Curve> {
        curve::curve(self.leaf.as_ref(), &self.own, self.temp.as_ref(), assumed)
    }
}
