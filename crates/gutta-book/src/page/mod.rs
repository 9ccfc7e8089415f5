//! A file of the book as text, and the places in it.

mod faults;
mod written;

use std::ops::Range;

pub(crate) use faults::Faults;
pub(crate) use written::Written;

use crate::error::FilePlace;

/// A file of the book as text, with the name it is shown by.
#[derive(Debug)]
pub(crate) struct Page {
    file: String,
    text: String,
    /// Where each line begins: looked up for every entry and every fault.
    lines: Vec<usize>,
}

impl Page {
    /// A page from what stands in a file; the mark that some editors put in
    /// front of a text is no part of it.
    pub fn new(file: impl Into<String>, text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let behind_breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        Self {
            file: file.into(),
            text: text.to_owned(),
            lines: std::iter::once(0).chain(behind_breaks).collect(),
        }
    }

    pub fn file(&self) -> &str {
        &self.file
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// What stands between two byte offsets.
    pub fn slice(&self, span: &Range<usize>) -> &str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// The number of the line that a byte offset stands on, the first being 1.
    pub fn line(&self, at: usize) -> usize {
        self.lines.partition_point(|start| *start <= at)
    }

    /// The place of a stretch of bytes; what runs over the end of a line is
    /// cut there.
    pub fn place(&self, span: &Range<usize>) -> FilePlace {
        let start = self.visible(span.start);
        let around = self.line_around(span);
        let line = self.slice(&around);
        let at = (start - around.start).min(line.len());
        let end = span.end.saturating_sub(around.start).clamp(at, line.len());
        FilePlace {
            line: self.line(start),
            column: line[..at].chars().count() + 1,
            at,
            len: (at..=end)
                .rev()
                .find(|end| line.is_char_boundary(*end))
                .unwrap_or(at)
                - at,
            text: line.to_owned(),
        }
    }

    /// The line that a stretch of bytes begins on, without its line break.
    pub fn line_around(&self, span: &Range<usize>) -> Range<usize> {
        let start = self.lines[self.line(self.visible(span.start)) - 1];
        let rest = &self.text[start..];
        let line = rest.split('\n').next().unwrap_or_default();
        start..start + line.strip_suffix('\r').unwrap_or(line).len()
    }

    /// The nearest place that a caret can point at: on a character, and at the
    /// end of the text behind its last character, not below it.
    fn visible(&self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        if self.text[at..].trim().is_empty() {
            at = at.min(self.text.trim_end().len());
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str, span: Range<usize>) -> (usize, usize, usize, usize, String) {
        let place = Page::new("a", text).place(&span);
        (place.line, place.column, place.at, place.len, place.text)
    }

    #[test]
    fn columns_count_characters_and_offsets_bytes() {
        let text = "ä = 1\r\nöö = 3 g\r\n";
        let at = text.find('3').unwrap();
        assert_eq!(place(text, at..at + 3), (2, 6, 7, 3, "öö = 3 g".to_owned()));
    }

    #[test]
    fn a_stretch_ends_with_its_line() {
        assert_eq!(place("ab\r\ncd", 1..6), (1, 2, 1, 1, "ab".to_owned()));
    }

    #[test]
    fn the_end_of_a_text_is_behind_its_last_character() {
        assert_eq!(place("ab\n\n", 4..4), (1, 3, 2, 0, "ab".to_owned()));
        assert_eq!(place("", 0..0), (1, 1, 0, 0, String::new()));
        assert_eq!(place("ab", 9..12), (1, 3, 2, 0, "ab".to_owned()));
    }

    #[test]
    fn a_byte_order_mark_counts_for_nothing() {
        let page = Page::new("a", "\u{feff}ab");
        assert_eq!(page.text(), "ab");
        assert_eq!(page.place(&(1..2)).column, 2);
    }
}
