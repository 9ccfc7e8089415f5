//! What a text says, before its units are settled.

use super::amount::Part;
use super::complaint;
use super::cursor::{Cursor, Spot};
use super::naming::{Named, known_at, unit_at};
use super::number::{Number, number_at};
use super::reading::Basis;
use super::{Kind, Unit};
use crate::error::Result;

/// An amount as typed: its unit may stand once for two amounts.
pub(super) struct Raw<'a> {
    pub(super) negative: bool,
    pub(super) number: Number,
    pub(super) unit: Option<&'static Unit>,
    pub(super) more: Vec<Part>,
    pub(super) basis: Option<Basis>,
    pub(super) spot: Spot<'a>,
}

/// The doubt as typed.
pub(super) enum RawSpread<'a> {
    None,
    /// Around the value, with the word that makes a percentage relative.
    Around(Raw<'a>, Option<Spot<'a>>),
    UpTo(Raw<'a>),
}

/// A quantity as typed.
pub(super) struct Sentence<'a> {
    pub(super) low: Raw<'a>,
    pub(super) spread: RawSpread<'a>,
    pub(super) spot: Spot<'a>,
}

const AROUND: [&str; 5] = ["±", "+-", "+/-", "+−", "+/−"];
const UP_TO: [&str; 6] = ["-", "–", "—", "−", "‐", "‑"];
const UP_TO_WORD: [&str; 1] = ["to"];
const RELATIVE: [&str; 2] = ["rel", "relative"];

/// Reads one quantity from a text.
pub(super) struct Parser<'a> {
    cursor: Cursor<'a>,
    /// Where the amount that is being read begins.
    amount: Cursor<'a>,
    accepts: &'a [Kind],
    /// Whether other words may follow.
    leading: bool,
}

impl<'a> Parser<'a> {
    pub(super) const fn new(text: &'a str, accepts: &'a [Kind], leading: bool) -> Self {
        Self {
            cursor: Cursor::new(text),
            amount: Cursor::new(text),
            accepts,
            leading,
        }
    }

    /// How many bytes have been read.
    pub(super) const fn at(&self) -> usize {
        self.cursor.at()
    }

    pub(super) fn sentence(&mut self) -> Result<Sentence<'a>> {
        self.cursor.skip_blanks();
        let start = self.cursor;
        if start.is_done() {
            return Err(complaint::empty(start.since(start), self.accepts));
        }
        let bracket = self.cursor.eat(&['(']).is_some();
        let mut sign = self.cursor.behind_blanks();
        if sign.eat_sign(&AROUND) {
            return Err(complaint::no_value(sign.since(self.cursor)));
        }
        let Some(mut low) = self.amount()? else {
            return Err(complaint::not_a_number(start.next_word(), self.accepts));
        };
        let mut spread = self.spread()?;
        if bracket {
            let last = match &mut spread {
                RawSpread::None => &mut low,
                RawSpread::Around(raw, _) | RawSpread::UpTo(raw) => raw,
            };
            self.close(start, last)?;
        }
        let spot = self.cursor.since(start);
        if !self.leading {
            self.end(&low, &spread, spot)?;
        }
        Ok(Sentence { low, spread, spot })
    }

    /// A sign, a number, its unit, smaller parts and a basis; none when no
    /// number stands here.
    fn amount(&mut self) -> Result<Option<Raw<'a>>> {
        self.cursor.skip_blanks();
        let start = self.cursor;
        self.amount = start;
        let mut cursor = start;
        let sign = cursor.eat(&['+', '-', '−']);
        cursor.skip_blanks();
        let Some(number) = number_at(&mut cursor)? else {
            if cursor.eat_word(&["nan", "inf", "infinity"]) || cursor.eat(&['∞']).is_some() {
                return Err(complaint::not_a_finite_number(cursor.since(start)));
            }
            return Ok(None);
        };
        self.cursor = cursor;
        let unit = self.unit()?;
        let mut raw = Raw {
            negative: matches!(sign, Some('-' | '−')),
            number,
            unit,
            more: Vec::new(),
            basis: None,
            spot: self.cursor.since(start),
        };
        match unit {
            Some(unit) => self.parts(unit, &mut raw)?,
            None => self.refuse_second_number(start)?,
        }
        raw.spot = self.cursor.since(start);
        if unit == Some(Unit::PERCENT) {
            raw.basis = self.basis()?;
        }
        Ok(Some(raw))
    }

    fn refuse_second_number(&self, start: Cursor<'a>) -> Result<()> {
        let mut next = self.cursor.behind_blanks();
        match number_at(&mut next)? {
            Some(_) => Err(complaint::two_numbers(next.since(start))),
            None => Ok(()),
        }
    }

    fn unit(&mut self) -> Result<Option<&'static Unit>> {
        if self.cursor.behind_blanks().eat_word(&UP_TO_WORD) {
            return Ok(None);
        }
        match unit_at(self.cursor) {
            Named::Nothing => Ok(None),
            Named::Ambiguous(ambiguous, spot) => Err(complaint::ambiguous_unit(spot, ambiguous)),
            Named::Unknown(word) if self.leading => {
                let number = self.cursor.since(self.amount);
                Err(complaint::word_for_a_unit(number, word, self.accepts))
            }
            Named::Unknown(spot) => Err(complaint::unknown_unit(spot, self.accepts)),
            Named::Unit(unit, mut behind) => {
                let start = self.cursor;
                self.cursor = behind;
                if behind.since(start).words().ends_with('.')
                    && !behind.take_while(|c| c.is_ascii_digit()).is_empty()
                {
                    let spot = behind.since(self.amount);
                    return Err(complaint::mark_behind_unit(spot, '.', known_at(behind)));
                }
                Ok(Some(unit))
            }
        }
    }

    /// The smaller parts behind the first.
    fn parts(&mut self, first: &'static Unit, raw: &mut Raw<'a>) -> Result<()> {
        loop {
            let before = self.cursor;
            let larger = raw.more.last().map_or(first, |part| part.unit);
            match self.part(first, larger) {
                Ok(Some(part)) => raw.more.push(part),
                Err(error) if !self.leading => return Err(error),
                Ok(None) | Err(_) => {
                    self.cursor = before;
                    return Ok(());
                }
            }
        }
    }

    fn part(&mut self, first: &'static Unit, larger: &'static Unit) -> Result<Option<Part>> {
        let mut cursor = self.cursor.behind_blanks();
        if cursor.eat(&[',']).is_some() {
            let mut digits = cursor;
            if !digits.take_while(|c| c.is_ascii_digit()).is_empty() {
                let spot = digits.since(self.amount);
                return Err(complaint::mark_behind_unit(spot, ',', known_at(digits)));
            }
            if !cursor.skip_blanks() {
                return Ok(None);
            }
        }
        let begin = cursor;
        let Some(number) = number_at(&mut cursor)? else {
            return Ok(None);
        };
        self.cursor = cursor;
        let kind = first.kind();
        let unit = self.unit()?;
        let spot = self.cursor.since(begin);
        let Some(unit) = unit else {
            return Err(complaint::no_unit(spot, &[kind]));
        };
        if unit.kind() != kind {
            return Err(complaint::part_of_another_kind(spot, unit.kind(), kind));
        }
        if !kind.has_parts() {
            return Err(complaint::part_of_one_whole(spot, kind));
        }
        if unit.size() >= larger.size() {
            return Err(complaint::part_not_smaller(spot));
        }
        Ok(Some(Part { number, unit }))
    }

    /// What stands behind a percentage: its basis.
    fn basis(&mut self) -> Result<Option<Basis>> {
        for (basis, short, long) in [(Basis::Wet, "wb", "wet"), (Basis::Dry, "db", "dry")] {
            let mut next = self.cursor.behind_blanks();
            let mut words = next;
            let in_words = words.eat_word(&[long]) && {
                words.skip_blanks();
                words.eat_word(&["basis"])
            };
            if in_words {
                next = words;
            }
            if in_words || next.eat_word(&[short]) {
                self.cursor = next;
                return Ok(Some(basis));
            }
        }
        let word = self.cursor.behind_blanks();
        let mut known = word;
        let is_word = word.peek().is_some_and(char::is_alphabetic);
        if !is_word || self.leading || known.eat_word(&UP_TO_WORD) || known.eat_word(&RELATIVE) {
            return Ok(None);
        }
        Err(complaint::no_such_basis(word.next_word()))
    }

    fn spread(&mut self) -> Result<RawSpread<'a>> {
        let before = self.cursor;
        self.cursor.skip_blanks();
        let start = self.cursor;
        if self.cursor.eat_sign(&AROUND) {
            let sign = self.cursor.since(start);
            let Some(half) = self.amount()? else {
                return Err(complaint::no_doubt(sign));
            };
            let word = self.cursor.behind_blanks();
            let mut next = word;
            let relative = next.eat_word(&RELATIVE).then(|| next.since(word));
            if relative.is_some() {
                self.cursor = next;
            }
            return Ok(RawSpread::Around(half, relative));
        }
        if self.cursor.eat_sign(&UP_TO) || self.cursor.eat_word(&UP_TO_WORD) {
            let sign = self.cursor.since(start);
            match self.amount() {
                Ok(Some(high)) => return Ok(RawSpread::UpTo(high)),
                Ok(None) if !self.leading => return Err(complaint::no_end(sign)),
                Err(error) if !self.leading => return Err(error),
                // A dash or a "to" that belongs to the words that follow.
                Ok(None) | Err(_) => {}
            }
        }
        self.cursor = before;
        Ok(RawSpread::None)
    }

    /// The closing bracket and a unit for all that stands inside.
    fn close(&mut self, open: Cursor<'a>, last: &mut Raw<'a>) -> Result<()> {
        self.cursor.skip_blanks();
        if self.cursor.eat(&[')']).is_none() {
            return Err(complaint::open_bracket(self.cursor.since(open)));
        }
        let before = self.cursor;
        let Some(unit) = self.unit()? else {
            return Ok(());
        };
        if last.unit.is_some() {
            return Err(complaint::second_unit(self.cursor.since(before)));
        }
        last.unit = Some(unit);
        if unit == Unit::PERCENT {
            last.basis = self.basis()?;
        }
        Ok(())
    }

    /// Nothing may follow.
    fn end(&mut self, low: &Raw<'a>, spread: &RawSpread<'a>, before: Spot<'a>) -> Result<()> {
        self.cursor.skip_blanks();
        let mut next = self.cursor;
        if next.is_done() {
            return Ok(());
        }
        if let (None, RawSpread::None) = (low.unit, spread) {
            return Err(complaint::no_unit(low.spot, self.accepts));
        }
        let start = next;
        if next.eat_sign(&AROUND) || next.eat_sign(&UP_TO) || next.eat_word(&UP_TO_WORD) {
            return Err(complaint::two_doubts(next.rest_since(start)));
        }
        Err(complaint::stray(next.rest_since(start), before))
    }
}
