//! What clap could not parse, in our words and with the nearest thing.

use std::fmt::Write;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use gutta::matter::Liquid;
use gutta::measure::{Kind, read};

use super::line::{Line, Part, is_negative, no_value_before};
use crate::failure::{Failure, Outcome};
use crate::say::shell_word;

/// Help and version are answers; all else is a complaint.
pub fn of_clap(error: &clap::Error, line: &Line<'_>) -> Outcome<String> {
    if !error.use_stderr() {
        return Ok(error.to_string());
    }
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => texts.first().cloned(),
        _ => None,
    };
    let program = line.program();
    let help = format!("{program} --help lists them");
    let nearest = |kind| match text(kind) {
        Some(near) => format!("did you mean {near}? {help}"),
        None => help.clone(),
    };
    // clap writes `--leaf <MASS>`; the flag alone is its name.
    let bare = |flag: String| flag.split(' ').next().unwrap_or_default().to_owned();
    let invalid = text(ContextKind::InvalidArg);

    Err(match (error.kind(), invalid) {
        (ErrorKind::UnknownArgument, Some(flag))
            if flag.starts_with('-') && !is_negative(&flag) =>
        {
            Failure::unreadable("unknown-flag", "no such flag")
                .about(&flag)
                .pointing(&flag, 0, flag.len())
                .hint(nearest(ContextKind::SuggestedArg))
        }
        (ErrorKind::UnknownArgument, Some(word)) => stray(&word, line, &help),
        (ErrorKind::InvalidSubcommand, _) => {
            let word = text(ContextKind::InvalidSubcommand).unwrap_or_default();
            let hint = match gutta_book::nearest(&word, line.commands()) {
                Some(near) => format!("did you mean {near}? {help}"),
                None => nearest(ContextKind::SuggestedSubcommand),
            };
            Failure::unreadable("unknown-command", format!("no command `{word}`"))
                .pointing(&word, 0, word.len())
                .hint(hint)
        }
        (ErrorKind::ArgumentConflict, Some(flag)) => {
            let flag = bare(flag);
            match text(ContextKind::PriorArg).map(bare) {
                Some(other) if other != flag => Failure::clash(&other, &flag, which(&other, &flag)),
                _ => Failure::unreadable("clash", "given twice")
                    .about(&flag)
                    .hint("keep one of them"),
            }
        }
        (ErrorKind::InvalidValue, Some(flag)) => {
            let flag = bare(flag);
            let value = text(ContextKind::InvalidValue).unwrap_or_default();
            if value.is_empty() {
                Failure::missing(&flag, "no value").hint(format!("type {flag} and then its value"))
            } else {
                let known = match error.get(ContextKind::ValidValue) {
                    Some(ContextValue::Strings(known)) => match known.split_last() {
                        Some((last, rest)) if !rest.is_empty() => {
                            format!("{} or {last}", rest.join(", "))
                        }
                        _ => known.concat(),
                    },
                    _ => String::new(),
                };
                Failure::unreadable("unknown-value", format!("there is no `{value}`"))
                    .about(&flag)
                    .pointing(&value, 0, value.len())
                    .hint(format!("type {flag} {known}"))
            }
        }
        (ErrorKind::TooManyValues, Some(flag)) => {
            let flag = bare(flag);
            Failure::unreadable("stray", "it takes no value").about(&flag)
        }
        (ErrorKind::MissingRequiredArgument, Some(name)) if name == "<ID>" => {
            let of = program.split(' ').nth(1).unwrap_or_default();
            let (what, id) = match of {
                "journal" => ("entry", "AEGE-56P2"),
                "batch" => ("batch", "6VWK-T538"),
                _ => ("trial", "PQ8C-2R7K"),
            };
            Failure::missing("ID", format!("no {what} is named")).hint(format!(
                "type its identifier, such as {program} {id}; gutta {of} list shows them"
            ))
        }
        (ErrorKind::InvalidUtf8, _) => {
            Failure::unreadable("not-utf-8", "an argument is not UTF-8 text")
                .hint("type it again; letters, digits and the usual signs will do")
        }
        (ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand, _) => {
            missing_command(line)
        }
        (_, flag) => {
            let mut message = error.kind().to_string();
            if let Some(flag) = flag {
                let _ = write!(message, ": {flag}");
            }
            Failure::unreadable("usage", message).hint(help)
        }
    })
}

/// Which of two flags that do not go together is to be kept.
fn which(one: &str, other: &str) -> &'static str {
    if [one, other].contains(&"--tip") {
        "leave --tip out where drops were weighed: the tip is found by them; or leave the weighings out, and name its liquid with --liquid"
    } else {
        "keep one of them"
    }
}

/// What is said when a command is to follow and none does.
pub fn missing_command(line: &Line<'_>) -> Failure {
    let program = line.program();
    let verbs = line.commands();
    let verbs = match verbs.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        all => all.concat(),
    };
    Failure::unreadable("missing", "one more word is needed to say what is asked").hint(format!(
        "type {program} and then {verbs}; {program} --help says what each is"
    ))
}

/// A stray word is most often the rest of a value that was not quoted, a value
/// too many, or the value of a flag that another flag took for its own.
fn stray(word: &str, line: &Line<'_>, help: &str) -> Failure {
    let at = line
        .words()
        .rfind(|at| line.text(*at) == Some(word))
        .unwrap_or(0);
    let before = |back: usize| at.checked_sub(back).and_then(|i| line.text(i));
    let is_value = at.checked_sub(1).and_then(|i| line.part(i)) == Some(Part::Value);
    if let (true, Some(flag), Some(taken)) = (is_value, before(2), before(1))
        && taken.starts_with("--")
    {
        return no_value_before(flag, taken);
    }
    let failure = Failure::unreadable("stray", format!("`{word}` belongs to nothing here"))
        .pointing(word, 0, word.len());
    if line.command() == "bulk" {
        let file = shell_word(word);
        return failure.hint(format!("a table is sent in: gutta bulk < {file}"));
    }
    if let Some((flag, name)) = unquoted_name(at, line) {
        return failure
            .about(flag)
            .hint(format!("quote it: {flag} \"{name}\""));
    }
    let Some(part) = before(1).filter(|part| part.starts_with(|c: char| c.is_numeric())) else {
        return failure.hint(help);
    };
    if let Some(whole) = in_one(part, at, line) {
        return failure.hint(format!("a value with blanks goes in quotes: \"{whole}\""));
    }
    let is_quantity = |text: &str| read(text, &Kind::ALL).is_ok();
    if is_quantity(word) && is_quantity(part) {
        return one_too_many(word, at, line);
    }
    let is_bare = !part.contains(|c: char| c.is_alphabetic() || "%‰°".contains(c));
    failure.hint(if is_bare {
        format!("a value with blanks goes in quotes: \"{part} {word}\"")
    } else {
        help.to_owned()
    })
}

/// The liquid that a flag names without quotes, where a word is part of its name:
/// `--carrier alcohol 40% vol`.
fn unquoted_name<'a>(at: usize, line: &Line<'a>) -> Option<(&'a str, String)> {
    let value = (0..at).rfind(|i| line.part(*i) != Some(Part::Word))?;
    let flag = value.checked_sub(1).and_then(|i| line.text(i))?;
    if line.part(value) != Some(Part::Value) || !matches!(flag, "--carrier" | "--liquid") {
        return None;
    }
    let mut name = line.text(value)?.to_owned();
    let mut longest = None;
    for at in value + 1.. {
        match (line.part(at), line.text(at)) {
            (Some(Part::Word), Some(word)) => name += &format!(" {word}"),
            _ => break,
        }
        // A name of the book is of words alone.
        let is_words = !name.contains(|c: char| c.is_numeric());
        if is_words || Liquid::named(&name).is_ok_and(|known| known.is_some()) {
            longest = Some(name.clone());
        }
    }
    longest.map(|name| (flag, name))
}

/// The longest quantity that a word and those behind it make with the one
/// before: of `1 lb 6 oz` all four.
fn in_one(before: &str, at: usize, line: &Line<'_>) -> Option<String> {
    let mut text = before.to_owned();
    let mut longest = None;
    for at in at.. {
        match (line.part(at), line.text(at)) {
            (Some(Part::Word), Some(word)) => text += &format!(" {word}"),
            _ => return longest,
        }
        if read(&text, &Kind::ALL).is_ok() {
            longest = Some(text.clone());
        }
    }
    longest
}

/// A value where the one that belongs there stands already.
fn one_too_many(word: &str, at: usize, line: &Line<'_>) -> Failure {
    let program = line.program();
    let earlier = line.words().take_while(|i| *i < at).last();
    let before = |back: usize| at.checked_sub(back).and_then(|i| line.text(i));
    let (first, name) = match earlier {
        Some(earlier) => (line.text(earlier), line.word_name()),
        // It stands behind a flag and its value.
        None => (before(1), before(2).map(str::to_owned)),
    };
    let first = first.unwrap_or_default();
    let mut hint = format!("keep one of {first} and {word}");
    if line.command() == "moisture basis" {
        hint += "; several estimates of one moisture go to gutta moisture combine";
    } else {
        hint += &format!("; {program} --help shows what else can be said");
    }
    let failure = Failure::unreadable("stray", format!("`{word}` is one value too many"))
        .pointing(word, 0, word.len())
        .hint(hint);
    match name {
        Some(name) => failure.about(&name),
        None => failure,
    }
}
