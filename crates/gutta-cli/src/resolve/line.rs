//! What each word of a command line is: a command, a flag, its value, or a
//! word that stands alone.
//!
//! clap knows it too, but says nothing of it once a line cannot be parsed.

use std::borrow::Cow;
use std::ffi::OsString;

use clap::{ArgAction, Command};

use crate::failure::Failure;

/// A command line with the part of each word.
#[derive(Debug)]
pub struct Line<'a> {
    args: &'a [OsString],
    parts: Vec<Part>,
    /// The words of the command, such as `moisture` and `basis`.
    names: Vec<&'a str>,
    /// The program, and the command that is named.
    gutta: &'a Command,
    named: Option<Cow<'a, Command>>,
}

/// What a word is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The program's own name, or a command's.
    Name,
    /// A flag, with or without a value behind `=`.
    Flag,
    /// The value of the flag before it.
    Value,
    /// A word that stands alone.
    Word,
    /// The sign that no flag follows.
    End,
}

impl<'a> Line<'a> {
    /// A command line, the first word being the program's own name.
    pub fn of(args: &'a [OsString], gutta: &'a Command) -> Self {
        let mut line = Self {
            args,
            parts: Vec::with_capacity(args.len()),
            names: Vec::new(),
            gutta,
            named: None,
        };
        for at in 0..args.len() {
            let part = line.part_at(at);
            line.parts.push(part);
        }
        line
    }

    /// Whether a line may hold a negative number or a flag in the place of a value,
    /// which are seen to before clap reads it.
    pub fn is_odd(args: &[OsString]) -> bool {
        let is_flag = |arg: &OsString| arg.to_str().is_some_and(|text| text.starts_with('-'));
        let is_number = |arg: &OsString| arg.to_str().is_some_and(is_negative);
        args.iter().any(is_number) || args.windows(2).any(|two| two.iter().all(is_flag))
    }

    fn part_at(&mut self, at: usize) -> Part {
        let Some(before) = at.checked_sub(1) else {
            return Part::Name;
        };
        if self.parts.contains(&Part::End) {
            return Part::Word;
        }
        let Some(text) = self.text(at) else {
            return Part::Word;
        };
        if self.parts[before] == Part::Flag && self.takes_value(before) {
            return Part::Value;
        }
        match text {
            "--" => Part::End,
            _ if text.starts_with('-') && text.len() > 1 && !is_negative(text) => Part::Flag,
            _ if self.parts.contains(&Part::Word) => Part::Word,
            _ => match self.next_command(text) {
                Some(next) => {
                    self.named = Some(next);
                    self.names.push(text);
                    Part::Name
                }
                None => Part::Word,
            },
        }
    }

    /// The command of this name in the one that is named so far.
    fn next_command(&self, name: &str) -> Option<Cow<'a, Command>> {
        let next = match &self.named {
            None => Cow::Borrowed(self.gutta.find_subcommand(name)?),
            Some(Cow::Borrowed(named)) => Cow::Borrowed(named.find_subcommand(name)?),
            Some(Cow::Owned(named)) => Cow::Owned(named.find_subcommand(name)?.clone()),
        };
        // A command is laid out only once it is named: clap has done so where it
        // has parsed the line.
        if next.has_subcommands() || next.get_arguments().next().is_some() {
            return Some(next);
        }
        let mut next = next.into_owned();
        next.build();
        Some(Cow::Owned(next))
    }

    fn innermost(&self) -> &Command {
        self.named.as_deref().unwrap_or(self.gutta)
    }

    /// A word as text, where it is text.
    pub fn text(&self, at: usize) -> Option<&'a str> {
        self.args.get(at).and_then(|arg| arg.to_str())
    }

    /// What a word is.
    pub fn part(&self, at: usize) -> Option<Part> {
        self.parts.get(at).copied()
    }

    /// The command as it is named in an answer: `moisture basis`, or `gutta`
    /// where none is named.
    pub fn command(&self) -> String {
        if self.names.is_empty() {
            "gutta".to_owned()
        } else {
            self.names.join(" ")
        }
    }

    /// The command as it is typed: `gutta moisture basis`.
    pub fn program(&self) -> String {
        let names = self.names.iter().copied();
        std::iter::once("gutta")
            .chain(names)
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// Whether a flag is given, wherever it stands.
    pub fn has(&self, flag: &str) -> bool {
        self.args.iter().any(|arg| arg == flag)
    }

    /// The commands that can follow.
    pub fn commands(&self) -> Vec<&str> {
        self.innermost()
            .get_subcommands()
            .map(Command::get_name)
            .collect()
    }

    /// What the command calls the words that stand alone, such as `DOSE`.
    pub fn word_name(&self) -> Option<String> {
        let word = self.innermost().get_positionals().next()?;
        word.get_value_names()?.first().map(ToString::to_string)
    }

    /// The words that stand alone.
    pub fn words(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        (0..self.parts.len()).filter(|at| self.parts[*at] == Part::Word)
    }

    /// A flag of which another flag was taken for the value.
    pub fn flag_without_value(&self) -> Option<Failure> {
        let at = (1..self.args.len())
            .filter(|at| self.parts[*at] == Part::Value)
            .find(|at| self.text(*at).is_some_and(|text| self.is_flag(text)))?;
        let (flag, next) = (self.text(at - 1)?, self.text(at)?);
        Some(no_value_before(flag, next))
    }

    /// The same line with the negative numbers that stand alone behind `--`:
    /// there clap does not take them for flags, and they reach our own reader.
    pub fn with_negatives_last(&self) -> Vec<OsString> {
        let end = self.parts.iter().position(|part| *part == Part::End);
        let is_moved = |at: usize| {
            self.parts[at] == Part::Word
                && end.is_none_or(|end| at < end)
                && self.text(at).is_some_and(is_negative)
        };
        let (moved, kept): (Vec<usize>, Vec<usize>) =
            (0..self.args.len()).partition(|at| is_moved(*at));
        let mut args: Vec<OsString> = kept.iter().map(|at| self.args[*at].clone()).collect();
        if end.is_none() && !moved.is_empty() {
            args.push("--".into());
        }
        args.extend(moved.iter().map(|at| self.args[*at].clone()));
        args
    }

    fn is_flag(&self, text: &str) -> bool {
        let Some(name) = text.strip_prefix("--") else {
            return false;
        };
        self.long(name.split('=').next().unwrap_or(name)).is_some()
    }

    fn takes_value(&self, at: usize) -> bool {
        let name = self.text(at).and_then(|text| text.strip_prefix("--"));
        name.and_then(|name| self.long(name))
            .is_some_and(ArgAction::takes_values)
    }

    fn long(&self, name: &str) -> Option<&ArgAction> {
        // What clap adds to each command once it is built, which takes its time.
        if matches!(name, "help" | "version") {
            return Some(&ArgAction::Help);
        }
        let everywhere = self.gutta.get_arguments().filter(|arg| arg.is_global_set());
        let mut args = self.innermost().get_arguments().chain(everywhere);
        args.find(|arg| arg.get_long() == Some(name))
            .map(clap::Arg::get_action)
    }
}

/// What is said of a flag when another flag stands where its value should.
pub fn no_value_before(flag: &str, next: &str) -> Failure {
    Failure::missing(flag, format!("no value: {next} follows it"))
        .hint(format!("type {flag} and then its value"))
}

/// A negative number where a word is expected reads as a flag to clap.
pub fn is_negative(text: &str) -> bool {
    let mut characters = text.chars();
    characters.next() == Some('-')
        && characters
            .next()
            .is_some_and(|c| c.is_numeric() || c == '.')
}
