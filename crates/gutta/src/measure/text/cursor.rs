//! A place in a text, moving forward.

use crate::error::{Error, ErrorKind};

/// A place in a text. It is a copy: to go back is to take the old one.
#[derive(Clone, Copy)]
pub(super) struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

/// A stretch of a text, for a complaint to point at.
#[derive(Clone, Copy)]
pub(super) struct Spot<'a> {
    text: &'a str,
    from: usize,
    to: usize,
}

impl<'a> Cursor<'a> {
    pub(super) const fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    pub(super) const fn at(&self) -> usize {
        self.at
    }

    pub(super) fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub(super) fn is_done(&self) -> bool {
        self.rest().is_empty()
    }

    /// Moves over `len` bytes, which must end between characters.
    pub(super) const fn skip(&mut self, len: usize) {
        self.at += len;
    }

    /// Moves over the characters that pass, and gives them.
    pub(super) fn take_while(&mut self, pass: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let len = rest.find(|c| !pass(c)).unwrap_or(rest.len());
        self.skip(len);
        &rest[..len]
    }

    /// Moves over blanks, no-break and thin ones too; whether there were any.
    pub(super) fn skip_blanks(&mut self) -> bool {
        !self.take_while(char::is_whitespace).is_empty()
    }

    /// The same place behind the blanks that follow.
    pub(super) fn behind_blanks(mut self) -> Self {
        self.skip_blanks();
        self
    }

    /// Moves over one of the characters if it stands here.
    pub(super) fn eat(&mut self, any: &[char]) -> Option<char> {
        let c = self.peek().filter(|c| any.contains(c))?;
        self.skip(c.len_utf8());
        Some(c)
    }

    /// Moves over one of the signs if it stands here, the first that fits.
    pub(super) fn eat_sign(&mut self, any: &[&str]) -> bool {
        let Some(sign) = any.iter().find(|sign| self.rest().starts_with(**sign)) else {
            return false;
        };
        self.skip(sign.len());
        true
    }

    /// Moves over one of the words if it stands here whole, whatever its case
    /// and its dots.
    pub(super) fn eat_word(&mut self, any: &[&str]) -> bool {
        let mut next = *self;
        let word = next.take_while(|c| c.is_alphabetic() || c == '.');
        let plain: String = word.chars().filter(|c| *c != '.').collect();
        let found = any.iter().any(|w| w.eq_ignore_ascii_case(&plain));
        if found {
            *self = next;
        }
        found
    }

    /// From an earlier place to this one, without the blanks at either end.
    pub(super) fn since(&self, start: Self) -> Spot<'a> {
        let slice = &self.text[start.at..self.at];
        let from = start.at + slice.len() - slice.trim_start().len();
        Spot {
            text: self.text,
            from,
            to: from + slice.trim().len(),
        }
    }

    /// From an earlier place to the end of the text.
    pub(super) fn rest_since(&self, start: Self) -> Spot<'a> {
        let mut end = *self;
        end.skip(end.rest().len());
        end.since(start)
    }

    /// The next run of characters without a blank.
    pub(super) fn next_word(&self) -> Spot<'a> {
        let mut end = self.behind_blanks();
        end.take_while(|c| !c.is_whitespace());
        end.since(*self)
    }
}

impl<'a> Spot<'a> {
    /// The stretch as it was typed.
    pub(super) fn words(&self) -> &'a str {
        &self.text[self.from..self.to]
    }

    /// The stretch to be printed: short, with plain blanks and without
    /// characters that would steer a terminal.
    pub(super) fn plain(&self) -> String {
        const LONGEST: usize = 40;
        let mut words = self.words().chars().map(|c| match c {
            c if c.is_whitespace() => ' ',
            c if c.is_control() => char::REPLACEMENT_CHARACTER,
            c => c,
        });
        let mut plain: String = words.by_ref().take(LONGEST).collect();
        if words.next().is_some() {
            plain.push('…');
        }
        plain
    }

    /// The stretch in a message.
    pub(super) fn quote(&self) -> String {
        format!("`{}`", self.plain())
    }

    /// An error that points at this stretch.
    pub(super) fn error(&self, kind: ErrorKind, message: String) -> Error {
        Error::new(kind, message).with_place(self.text, self.from, self.to - self.from)
    }
}
