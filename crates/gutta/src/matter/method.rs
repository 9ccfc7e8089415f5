//! How a moisture was found: what it can be trusted for.

/// The road that a moisture was found by.
///
/// ```
/// use gutta::matter::Method;
/// assert_eq!(Method::named("oven-cased"), Some(Method::OvenOfCased));
/// assert!(Method::OvenOfCased.is_upper_bound());
/// assert!(!Method::Jar.is_upper_bound());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// Oven dishes of plain leaf.
    Oven,
    /// Oven dishes of leaf with casing, humectant or flavouring: oven volatiles,
    /// an upper bound of the water.
    OvenOfCased,
    /// A jar weighed again since its moisture was known.
    Jar,
    /// The air that the leaf has come to rest with.
    Air,
    /// By feel: a guess.
    Feel,
}

impl Method {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Oven,
        Self::OvenOfCased,
        Self::Jar,
        Self::Air,
        Self::Feel,
    ];

    /// The word for it, as it is typed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Oven => "oven",
            Self::OvenOfCased => "oven-cased",
            Self::Jar => "jar",
            Self::Air => "air",
            Self::Feel => "feel",
        }
    }

    /// The words for it behind a moisture.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Oven => "by oven dishes",
            Self::OvenOfCased => "by oven dishes of cased leaf: oven volatiles, an upper bound",
            Self::Jar => "by a jar weighed again",
            Self::Air => "by the air in the jar",
            Self::Feel => "by feel: a guess",
        }
    }

    /// The method of this name, in any case; `None` when there is none.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|method| method.name().eq_ignore_ascii_case(name.trim()))
    }

    /// Whether the moisture is at most what it says: water worked out from it
    /// is then the least that is needed.
    pub const fn is_upper_bound(self) -> bool {
        matches!(self, Self::OvenOfCased)
    }
}
