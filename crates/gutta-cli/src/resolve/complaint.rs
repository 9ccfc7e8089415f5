//! What clap could not parse, in our words and with the nearest thing.

use std::ffi::OsString;
use std::fmt::Write;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::failure::{Failure, Outcome};

/// Help and version are answers; all else is a complaint.
pub fn of_clap(error: &clap::Error, command: &str, args: &[OsString]) -> Outcome<String> {
    if !error.use_stderr() {
        return Ok(error.to_string());
    }
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => texts.first().cloned(),
        _ => None,
    };
    let program = if command == "gutta" {
        "gutta".to_owned()
    } else {
        format!("gutta {command}")
    };
    let help = format!("{program} --help lists them");
    let nearest = |kind| match text(kind) {
        Some(near) => format!("did you mean {near}? {help}"),
        None => help.clone(),
    };
    // clap writes `--leaf <MASS>`; the flag alone is its name.
    let bare = |flag: String| flag.split(' ').next().unwrap_or_default().to_owned();
    let invalid = text(ContextKind::InvalidArg);

    Err(match (error.kind(), invalid) {
        (ErrorKind::UnknownArgument, Some(flag)) if is_negative(&flag) => {
            let typed = args
                .iter()
                .filter_map(|arg| arg.to_str())
                .find(|arg| arg.starts_with(&flag))
                .unwrap_or(&flag);
            Failure::unreadable("out-of-range", format!("`{typed}` is below zero"))
                .pointing(typed, 0, typed.len())
                .hint("type it without the minus: what is on the table weighs more than nothing")
        }
        (ErrorKind::UnknownArgument, Some(flag)) if flag.starts_with('-') => {
            Failure::unreadable("unknown-flag", "no such flag")
                .about(&flag)
                .pointing(&flag, 0, flag.len())
                .hint(nearest(ContextKind::SuggestedArg))
        }
        (ErrorKind::UnknownArgument, Some(word)) => stray(&word, args, &help),
        (ErrorKind::InvalidSubcommand, _) => {
            let word = text(ContextKind::InvalidSubcommand).unwrap_or_default();
            Failure::unreadable("unknown-command", format!("no command `{word}`"))
                .pointing(&word, 0, word.len())
                .hint(nearest(ContextKind::SuggestedSubcommand))
        }
        (ErrorKind::ArgumentConflict, Some(flag)) => {
            let flag = bare(flag);
            match text(ContextKind::PriorArg).map(bare) {
                Some(other) if other != flag => Failure::clash(&other, &flag, "keep one of them"),
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
                    Some(ContextValue::Strings(known)) => known.join(" or "),
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
        (ErrorKind::InvalidUtf8, _) => {
            Failure::unreadable("not-utf-8", "an argument is not UTF-8 text")
                .hint("type it again; letters, digits and the usual signs will do")
        }
        (ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand, _) => {
            Failure::unreadable("missing", format!("{program} needs one more word")).hint(help)
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

/// A negative number where a word is expected reads as a flag to clap.
fn is_negative(flag: &str) -> bool {
    let mut characters = flag.chars();
    characters.next() == Some('-')
        && characters
            .next()
            .is_some_and(|c| c.is_numeric() || c == '.')
}

/// A stray word is most often the rest of a value that was not quoted, or the
/// value of a flag that another flag took for its own.
fn stray(word: &str, args: &[OsString], help: &str) -> Failure {
    let at = args.iter().position(|arg| arg == word).unwrap_or(0);
    let before = |back: usize| {
        at.checked_sub(back)
            .and_then(|i| args.get(i))
            .and_then(|arg| arg.to_str())
    };
    let flag = |back: usize| before(back).filter(|arg| arg.starts_with("--"));
    if let (Some(flag), Some(taken)) = (flag(2), flag(1)) {
        return Failure::missing(flag, format!("no value: {taken} follows it"))
            .hint(format!("type {flag} and then its value"));
    }
    let hint = match before(1) {
        Some(part) if part.starts_with(|c: char| c.is_numeric()) => {
            format!("a value with blanks goes in quotes: \"{part} {word}\"")
        }
        _ => help.to_owned(),
    };
    Failure::unreadable("stray", format!("`{word}` belongs to nothing here"))
        .pointing(word, 0, word.len())
        .hint(hint)
}
