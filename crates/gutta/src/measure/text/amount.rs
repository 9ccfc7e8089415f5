//! Numbers with their units, one or several.

use super::Unit;
use super::number::Number;

/// One number with its unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Part {
    pub(super) number: Number,
    pub(super) unit: &'static Unit,
}

/// A sign and one part or several, the larger unit first; never empty.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Amount {
    pub(super) negative: bool,
    pub(super) first: Part,
    pub(super) more: Vec<Part>,
}

impl Part {
    pub(super) fn size(&self) -> f64 {
        self.number.value() * self.unit.size()
    }

    pub(super) fn print(&self) -> String {
        self.unit.behind(self.number.text())
    }
}

impl Amount {
    pub(super) fn parts(&self) -> impl Iterator<Item = &Part> {
        std::iter::once(&self.first).chain(&self.more)
    }

    pub(super) fn last(&self) -> &Part {
        self.more.last().unwrap_or(&self.first)
    }

    /// In SI base units.
    pub(super) fn base(&self) -> f64 {
        let signed = |x: f64| if self.negative { -x } else { x };
        if self.more.is_empty() {
            self.first.unit.to_base(signed(self.first.number.value()))
        } else {
            signed(self.size())
        }
    }

    /// Its size in SI base units, without sign and zero point.
    pub(super) fn size(&self) -> f64 {
        self.parts().map(Part::size).sum()
    }

    pub(super) fn sign(&self) -> &'static str {
        if self.negative { "-" } else { "" }
    }

    pub(super) fn print(&self) -> String {
        let parts: Vec<_> = self.parts().map(Part::print).collect();
        format!("{}{}", self.sign(), parts.join("\u{a0}"))
    }

    /// A whole number and a fraction of one unit as the mixed number that a
    /// hyphen may have been meant for: `1-1/2`.
    pub(super) fn with_fraction(&self, other: &Self) -> Option<String> {
        let [whole, part] = [self, other].map(|amount| amount.first.number.text());
        let is_whole = whole.bytes().all(|b| b.is_ascii_digit());
        let is_part = part.contains('/') && other.first.number.value() < 1.0;
        (is_whole && is_part && self.shares_unit(other))
            .then(|| self.sign().to_owned() + whole + " " + &other.print())
            .map(|text| text.replace('\u{a0}', " "))
    }

    /// Whether two ends can share one unit: `11–13 %`.
    pub(super) fn shares_unit(&self, high: &Self) -> bool {
        self.more.is_empty()
            && high.more.is_empty()
            && !high.negative
            && self.first.unit == high.first.unit
    }
}
