//! What a quantity in a text can be.

/// What a quantity in a text is, and so what it may be asked for as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A mass: `10 g`, `1 lb 6 oz`.
    Mass,
    /// A volume: `2 tsp`, `1.5 mL`.
    Volume,
    /// A density: `0.871 g/mL`.
    Density,
    /// A number of dimension one: `11.2 %`, `15 ‰`, `15 g/kg`.
    Share,
    /// A temperature: `21.5 °C`, `70 °F`.
    Temperature,
    /// A pressure: `1003 hPa`.
    Pressure,
    /// A count of drops: `7 drops`.
    Drops,
    /// A number of drops per volume: `20/mL`.
    DropsPerVolume,
    /// A length: `3.0 mm`.
    Length,
    /// A surface tension: `27.6 mN/m`.
    SurfaceTension,
    /// A stretch of time: `48 h`, `2 days`.
    Time,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::Mass,
        Self::Volume,
        Self::Density,
        Self::Share,
        Self::Temperature,
        Self::Pressure,
        Self::Drops,
        Self::DropsPerVolume,
        Self::Length,
        Self::SurfaceTension,
        Self::Time,
    ];

    /// The kind in words, with its article.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mass => "a mass",
            Self::Volume => "a volume",
            Self::Density => "a density",
            Self::Share => "a share",
            Self::Temperature => "a temperature",
            Self::Pressure => "a pressure",
            Self::Drops => "a count of drops",
            Self::DropsPerVolume => "a number of drops per volume",
            Self::Length => "a length",
            Self::SurfaceTension => "a surface tension",
            Self::Time => "a stretch of time",
        }
    }

    /// Whether such a quantity is said in parts, as in `1 lb 6 oz`.
    pub(super) const fn has_parts(self) -> bool {
        matches!(self, Self::Mass | Self::Volume)
    }
}
