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

/// A text on one line as TOML has it: in quotes, with the signs that would end it
/// or steer it marked.
pub(crate) fn quoted_in_toml(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => quoted += &format!("\\u{:04X}", u32::from(c)),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
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
    fn a_text_in_toml_stays_on_its_line() {
        assert_eq!(quoted_in_toml("fig"), "\"fig\"");
        assert_eq!(quoted_in_toml("a\"b\\c\n"), "\"a\\\"b\\\\c\\u000A\"");
    }

    #[test]
    fn a_list_reads_as_a_sentence() {
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(listed(&["a"]), "a");
        assert_eq!(listed(&["a", "b", "c"]), "a, b and c");
    }
}
