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
    i > 0 && (chars[i - 1].is_alphanumeric() || chars[i - 1] == '_')
}

/// Every path that begins with `crate`, `super` or `self`, braces expanded.
pub fn paths(source: &str) -> Vec<Path> {
    let bare = bare(source);
    let mut found = Vec::new();
    for root in ["crate", "super", "self"] {
        for (at, _) in bare.match_indices(root) {
            let before = bare[..at].chars().next_back();
            let inside =
                before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | ':' | '$'));
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
            names("my_crate::a; $crate::b; self.x; supercrate::c"),
            [] as [&str; 0]
        );
    }
}
