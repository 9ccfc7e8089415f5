//! Where the fields of a row stand in the text.

use std::ops::Range;

/// The places of a row's fields, with their quotes.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Spans {
    pub fields: Vec<Range<usize>>,
    /// Where a quote opens that nothing closes.
    pub open_quote: Option<usize>,
}

/// The fields of the first row in `text[row]`, a row as it is cut out by the
/// reader of rows: blank lines may stand before it.
pub(super) fn spans(text: &str, row: Range<usize>) -> Spans {
    let bytes = &text.as_bytes()[..row.end];
    let byte = |at: usize| bytes.get(at).copied();
    let mut at = row.start;
    while matches!(byte(at), Some(b'\r' | b'\n')) {
        at += 1;
    }
    let mut spans = Spans {
        fields: Vec::new(),
        open_quote: None,
    };
    loop {
        let start = at;
        if byte(at) == Some(b'"') {
            match behind_quotes(bytes, at) {
                Some(behind) => at = behind,
                None => {
                    spans.open_quote = Some(start);
                    at = bytes.len();
                }
            }
        }
        // A quote inside a field without quotes is a letter like any other.
        while !matches!(byte(at), None | Some(b',' | b'\r' | b'\n')) {
            at += 1;
        }
        spans.fields.push(start..at);
        if byte(at) != Some(b',') {
            return spans;
        }
        at += 1;
    }
}

/// Behind the quote that closes the one at `at`; two in a row stand for one
/// that belongs to the text.
fn behind_quotes(bytes: &[u8], at: usize) -> Option<usize> {
    let mut at = at + 1;
    loop {
        at += bytes.get(at..)?.iter().position(|b| *b == b'"')? + 1;
        if bytes.get(at) != Some(&b'"') {
            return Some(at);
        }
        at += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(text: &str) -> Vec<&str> {
        spans(text, 0..text.len())
            .fields
            .into_iter()
            .map(|span| &text[span])
            .collect()
    }

    #[test]
    fn fields_end_at_commas_outside_quotes() {
        assert_eq!(
            fields("a, b ,\"c, d\",\"e\"\"f\",\r\nnext,row"),
            ["a", " b ", "\"c, d\"", "\"e\"\"f\"", ""]
        );
        assert_eq!(fields("\n\r\nä\"x,y"), ["ä\"x", "y"]);
        assert_eq!(fields(""), [""]);
    }

    #[test]
    fn a_quote_that_nothing_closes_is_found() {
        assert_eq!(spans("a,\"b\"\"\nc", 0..8).open_quote, Some(2));
        assert_eq!(spans("a,\"b\"\nc", 0..7).open_quote, None);
    }

    proptest::proptest! {
        #[test]
        fn fields_are_those_of_the_reader(text in "[a\",\r\n ]{0,40}") {
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .from_reader(text.as_bytes());
            let mut record = csv::StringRecord::new();
            while reader.read_record(&mut record).unwrap() {
                let start = usize::try_from(record.position().unwrap().byte()).unwrap();
                let end = usize::try_from(reader.position().byte()).unwrap();
                let found = spans(&text, start..end).fields;
                proptest::prop_assert_eq!(found.len(), record.len(), "{:?}", record);
            }
        }
    }
}
