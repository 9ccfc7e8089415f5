//! Words for messages.

/// A stretch of somebody's text in a message: between marks, short, without
/// characters that would steer a terminal.
pub(crate) fn quote(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut quote: String = text
        .chars()
        .take(LONGEST)
        .map(|c| {
            if c.is_control() {
                char::REPLACEMENT_CHARACTER
            } else {
                c
            }
        })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        quote.push('…');
    }
    format!("`{quote}`")
}

/// `a, b and c`.
pub(crate) fn listed<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quote_is_short_and_steers_no_terminal() {
        assert_eq!(quote("a\u{1b}[31mb"), "`a\u{fffd}[31mb`");
        assert_eq!(quote(&"ä".repeat(41)), format!("`{}…`", "ä".repeat(40)));
    }

    #[test]
    fn a_list_reads_as_a_sentence() {
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(listed(&["a"]), "a");
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
    }
}
