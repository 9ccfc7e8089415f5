//! What water is measured with: a drop of it, a scale, at a temperature.

use clap::Args;

use gutta::bench::Drop;
use gutta::matter::water;
use gutta::measure::{Density, Measured, Scale, Temperature};

use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag};

/// What water is measured with.
#[derive(Debug, Args)]
pub struct MeasuringArgs {
    /// One drop of the water, such as 47.8mg or 20/mL
    #[arg(long, value_name = "DROP", allow_hyphen_values = true)]
    drop: Option<String>,
    /// A dropper of the book, calibrated with water
    #[arg(long, value_name = "NAME", conflicts_with = "drop")]
    dropper: Option<String>,
    /// The scale's smallest step, such as 0.01g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// The temperature of the water [20 °C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,
}

impl MeasuringArgs {
    /// The scale, where one is named.
    pub fn scale(&self, shelf: &Shelf) -> Outcome<Option<Scale>> {
        resolve::scale(self.scale.as_ref(), shelf)
    }

    /// The flag of the temperature, where it is typed.
    pub fn typed_temperature(&self) -> Option<Flag<'_>> {
        Flag::of("--temp", self.temp.as_ref())
    }

    /// The temperature, where it is typed.
    pub fn temperature(&self) -> Outcome<Option<Measured<Temperature>>> {
        self.typed_temperature()
            .map(|flag| flag.temperature())
            .transpose()
    }

    /// The drop, where one is typed or its dropper is named.
    pub fn drop(
        &self,
        temperature: Measured<Temperature>,
        shelf: &Shelf,
        assumed: &mut Assumed,
    ) -> Outcome<Option<Drop>> {
        resolve::drop::of_water(
            self.drop.as_ref(),
            self.dropper.as_ref(),
            temperature.through::<Density>(water::density),
            shelf,
            assumed,
        )
    }
}
