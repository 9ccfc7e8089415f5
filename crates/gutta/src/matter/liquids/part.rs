//! What a liquid is made of, as the balance counts it.

/// What a part of a liquid is to the balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Water: counted as moisture.
    Water,
    /// Alcohol: a volatile carrier, gone after the rest.
    Alcohol,
    /// Propylene glycol: a humectant; stays.
    Glycol,
    /// Glycerine: a humectant; stays.
    Glycerine,
    /// Sugars: solids; stay.
    Sugar,
    /// Anything else that stays.
    Solids,
}

impl Part {
    /// All parts, in the order in which they are named to a person.
    pub const ALL: [Self; 6] = [
        Self::Water,
        Self::Alcohol,
        Self::Glycol,
        Self::Glycerine,
        Self::Sugar,
        Self::Solids,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Alcohol => "alcohol",
            Self::Glycol => "glycol",
            Self::Glycerine => "glycerine",
            Self::Sugar => "sugar",
            Self::Solids => "solids",
        }
    }

    /// The part of this name, in any case; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|part| part.name().eq_ignore_ascii_case(name.trim()))
    }
}
