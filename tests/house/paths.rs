//! The paths of a Rust source: what `use` brings in and what is named in full.

/// A path with the line it stands on, from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Path {
    pub line: usize,
    pub segments: Vec<String>,
}

/// Source without comments, text in quotes and characters in quotes; line
/// breaks stay.
pub fn bare(source: &str) -> String {
    let mut out = String::with_capacity(source.len());
    let chars: Vec<char> = source.chars().collect();
    let at = |i: usize| chars.get(i).copied().unwrap_or('\0');
    let mut i = 0;
    let keep_lines = |out: &mut String, part: &[char]| {
        out.extend(part.iter().filter(|c| **c == '\n'));
    };
    while i < chars.len() {
        let start = i;
        if at(i) == '/' && at(i + 1) == '/' {
            while i < chars.len() && at(i) != '\n' {
                i += 1;
            }
        } else if at(i) == '/' && at(i + 1) == '*' {
            let mut depth = 0;
            loop {
                if at(i) == '/' && at(i + 1) == '*' {
                    depth += 1;
                    i += 2;
                } else if at(i) == '*' && at(i + 1) == '/' {
                    depth -= 1;
                    i += 2;
                } else {
                    i += 1;
                }
                if depth == 0 || i >= chars.len() {
                    break;
                }
            }
            keep_lines(&mut out, &chars[start..i.min(chars.len())]);
        } else if at(i) == 'r' && matches!(at(i + 1), '"' | '#') && !part_of_name(&chars, i) {
            let mut j = i + 1;
            while at(j) == '#' {
                j += 1;
            }
            if at(j) == '"' {
                let fence: String = std::iter::once('"')
                    .chain(std::iter::repeat_n('#', j - i - 1))
                    .collect();
                let rest: String = chars[j + 1..].iter().collect();
                let end = rest.find(&fence).map_or(chars.len(), |byte| {
                    j + 1 + rest[..byte].chars().count() + fence.len()
                });
                keep_lines(&mut out, &chars[i..end]);
                i = end;
            } else {
                out.push(at(i));
                i += 1;
            }
        } else if at(i) == '"' {
            i += 1;
            while i < chars.len() && at(i) != '"' {
                i += if at(i) == '\\' { 2 } else { 1 };
            }
            i += 1;
            keep_lines(&mut out, &chars[start..i.min(chars.len())]);
        } else if at(i) == '\'' && (at(i + 2) == '\'' || at(i + 1) == '\\') {
            // A character; a lifetime has no second quote.
            i += 1;
            while i < chars.len() && at(i) != '\'' {
                i += if at(i) == '\\' { 2 } else { 1 };
            }
            i += 1;
        } else {
            out.push(at(i));
            i += 1;
        }
    }
    out
}

fn part_of_name(chars: &[char], i: usize) -> bool {
    i > 0 && is_of_a_name(chars[i - 1])
}

fn is_of_a_name(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// A [bare] source without what is for tests only: the item behind each
/// `#[cfg(test)]`. Line breaks stay.
pub fn without_tests(bare: &str) -> String {
    const MARK: &str = "#[cfg(test)]";
    let Some(at) = bare.find(MARK) else {
        return bare.to_owned();
    };
    let (kept, item) = bare.split_at(at);
    let mut depth = 0_usize;
    let mut end = item.len();
    for (i, c) in item.char_indices().skip(MARK.len()) {
        match c {
            '{' | '(' | '[' => depth += 1,
            '}' | ')' | ']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        // `use a::{b};` ends behind its brace.
        let goes_on = c == '}' && item[i + 1..].trim_start().starts_with(';');
        if depth == 0 && matches!(c, '}' | ';') && !goes_on {
            end = i + 1;
            break;
        }
    }
    let lines: String = item[..end].matches('\n').collect();
    kept.to_owned() + &lines + &without_tests(&item[end..])
}

/// Every path that begins with `crate` (in a macro `$crate`), `super` or
/// `self`, braces expanded.
pub fn paths(source: &str) -> Vec<Path> {
    paths_from(source, &["crate", "super", "self"])
}

/// Every path that begins with one of these names, braces expanded.
pub fn paths_from(source: &str, roots: &[&str]) -> Vec<Path> {
    let bare = bare(source);
    let mut found = Vec::new();
    for root in roots {
        for (at, _) in bare.match_indices(root) {
            let before = bare[..at].trim_end_matches("::");
            // `a::root` goes on with a path, `::root` begins one.
            let goes_on =
                before.len() < at && before.ends_with(|c: char| is_of_a_name(c) || c == '>');
            let inside = bare[..at].ends_with(is_of_a_name) || goes_on;
            if inside || !bare[at + root.len()..].trim_start().starts_with("::") {
                continue;
            }
            let line = bare[..at].matches('\n').count() + 1;
            let mut rest = &bare[at..];
            for segments in tree(&mut rest) {
                found.push(Path { line, segments });
            }
        }
    }
    found
}

/// The paths of one use tree, from where it begins.
fn tree(rest: &mut &str) -> Vec<Vec<String>> {
    let mut prefix = Vec::new();
    loop {
        *rest = rest.trim_start();
        if let Some(inner) = rest.strip_prefix('{') {
            *rest = inner;
            let mut all = Vec::new();
            loop {
                *rest = rest.trim_start();
                if let Some(after) = rest.strip_prefix('}') {
                    *rest = after;
                    return all;
                }
                if let Some(after) = rest.strip_prefix(',') {
                    *rest = after;
                    continue;
                }
                let before = rest.len();
                for tail in tree(rest) {
                    all.push([prefix.clone(), tail].concat());
                }
                if rest.len() == before {
                    return all;
                }
            }
        }
        if let Some(after) = rest.strip_prefix('*') {
            *rest = after;
            prefix.push("*".to_owned());
            return vec![prefix];
        }
        let end = rest
            .find(|c: char| !c.is_alphanumeric() && c != '_')
            .unwrap_or(rest.len());
        if end == 0 {
            return vec![prefix];
        }
        prefix.push(rest[..end].to_owned());
        *rest = &rest[end..];
        let next = rest.trim_start();
        if let Some(after) = next.strip_prefix("::") {
            *rest = after;
        } else {
            if let Some(renamed) = next.strip_prefix("as ") {
                let renamed = renamed.trim_start();
                let end = renamed
                    .find(|c: char| !c.is_alphanumeric() && c != '_')
                    .unwrap_or(renamed.len());
                *rest = &renamed[end..];
            }
            return vec![prefix];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(source: &str) -> Vec<String> {
        paths(source)
            .iter()
            .map(|path| format!("{}:{}", path.line, path.segments.join("::")))
            .collect()
    }

    #[test]
    fn braces_are_expanded() {
        assert_eq!(
            names("\nuse crate::{a, b::{self, c as d},\n e::*};"),
            [
                "2:crate::a",
                "2:crate::b::self",
                "2:crate::b::c",
                "2:crate::e::*"
            ]
        );
    }

    #[test]
    fn a_path_named_in_full_counts() {
        assert_eq!(names("fn f(x: crate::a::B) {}"), ["1:crate::a::B"]);
        assert_eq!(names("fn f() { super::super::g() }"), ["1:super::super::g"]);
    }

    #[test]
    fn comments_and_texts_do_not_count() {
        assert_eq!(
            names(
                "// crate::a\n/* crate::b /* */ crate::c */ /// crate::d\nlet x = \"crate::e \\\" crate::f\"; let c = '\"'; let r = r#\"crate::g\"#; crate::h()"
            ),
            ["3:crate::h"]
        );
    }

    #[test]
    fn a_lifetime_is_no_character() {
        assert_eq!(names("fn f<'a>(x: &'a crate::B<'a>) {}"), ["1:crate::B"]);
    }

    #[test]
    fn what_only_looks_like_a_root_does_not_count() {
        assert_eq!(
            names("my_crate::a; self.x; supercrate::c; a::self::b; <T>::crate::d"),
            [] as [&str; 0]
        );
    }

    #[test]
    fn a_macro_names_its_crate_by_a_dollar() {
        assert_eq!(names("$crate::b::C!()"), ["1:crate::b::C"]);
    }

    #[test]
    fn other_roots_are_found_in_braces_too() {
        let found = paths_from("use std::{fmt,\n fs::File}; f(::std::env::var)", &["std"]);
        let found: Vec<String> = found.iter().map(|p| p.segments.join("::")).collect();
        assert_eq!(found, ["std::fmt", "std::fs::File", "std::env::var"]);
    }

    #[test]
    fn what_is_for_tests_only_is_left_out() {
        let source = "a\n#[cfg(test)]\nmod tests;\nb\n#[cfg(test)]\nmod t {\n fn f() {}\n}\nc";
        assert_eq!(without_tests(source), "a\n\n\nb\n\n\n\n\nc");
        assert_eq!(without_tests("#[cfg(test)] use a::{b, c}; d"), " d");
    }
}
