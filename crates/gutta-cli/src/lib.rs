//! The command line of gutta: text in, one library call, an answer out.
//!
//! clap structs (`command`) hold text → `resolve` makes quantities of it and
//! names the flag in every complaint → the library → `speak` makes an answer of
//! it → a renderer.

#![forbid(unsafe_code)]

mod answer;
mod bulk;
mod command;
mod cores;
mod document;
mod failure;
mod render;
mod resolve;
mod say;
mod session;
mod speak;

use std::borrow::Cow;
use std::ffi::OsString;
use std::mem::ManuallyDrop;

use clap::{Command, CommandFactory, FromArgMatches};

pub use failure::Exit;
pub use session::Session;

use command::{Gutta, Verb};
use failure::{Failure, Outcome};
use render::{json, text};
use resolve::complaint;
use resolve::line::Line;

/// Runs the program with its arguments, the first being its own name.
pub fn run(args: impl IntoIterator<Item = OsString>, session: &mut Session<'_>) -> Exit {
    let args: Vec<OsString> = args.into_iter().collect();
    // Hundreds of flags are not taken apart again at the end of a run that is
    // shorter than that.
    let mut command = ManuallyDrop::new(Gutta::command());
    let outcome = in_order(&args, &command).map(|args| parsed(&args, &mut command));
    let line = Line::of(&args, &command);
    let view = View::of(&line);
    let mut has_written = false;
    let outcome = outcome.and_then(|parsed| match parsed {
        Ok(gutta) => {
            has_written = gutta.verb.as_ref().is_some_and(Verb::writes);
            answer(&gutta, &line, session)
        }
        Err(error) => complaint::of_clap(&error, &line).map(Said::Text),
    });
    let printed = outcome.and_then(|said| match said {
        Said::Text(text) => {
            let printed = session.answer(&text);
            printed.map_err(|error| {
                let failure = Failure::unwritten(&error);
                if has_written {
                    failure.hint("it is written down all the same: gutta journal list shows it")
                } else {
                    failure
                }
            })?;
            Ok(Exit::Answered)
        }
        Said::Streamed(exit) => Ok(exit),
    });
    match printed {
        Ok(exit) => exit,
        Err(failure) => {
            let text = if view.json {
                let mut line = json::failure(&failure, &view.command).to_string();
                line.push('\n');
                line
            } else {
                let name = match view.command.as_str() {
                    "gutta" => "gutta".to_owned(),
                    command => format!("gutta {command}"),
                };
                text::failure(&failure, &name, view.page())
            };
            session.complain(&text);
            failure.report().exit
        }
    }
}

/// The words as clap reads them, or what is wrong before it does.
fn in_order<'a>(args: &'a [OsString], command: &Command) -> Outcome<Cow<'a, [OsString]>> {
    if !Line::is_odd(args) {
        return Ok(Cow::Borrowed(args));
    }
    let line = Line::of(args, command);
    match line.flag_without_value() {
        Some(failure) => Err(failure),
        None => Ok(Cow::Owned(line.with_negatives_last())),
    }
}

fn parsed(args: &[OsString], command: &mut Command) -> Result<Gutta, clap::Error> {
    let matches = command.try_get_matches_from_mut(args)?;
    Gutta::from_arg_matches(&matches)
}

/// What came of a command line.
enum Said {
    /// An answer to be written.
    Text(String),
    /// One that was written row by row.
    Streamed(Exit),
}

fn answer(gutta: &Gutta, line: &Line<'_>, session: &mut Session<'_>) -> Outcome<Said> {
    if let Some(Verb::Bulk(bulk)) = &gutta.verb {
        return bulk.run(&gutta.everywhere, session).map(Said::Streamed);
    }
    text_answer(gutta, line, session).map(Said::Text)
}

fn text_answer(gutta: &Gutta, line: &Line<'_>, session: &mut Session<'_>) -> Outcome<String> {
    let everywhere = &gutta.everywhere;
    let page = text::Page::of(everywhere.narrow, session.styled);
    let Some(verb) = &gutta.verb else {
        // A greeting is for people: a machine is told what it left out.
        return if everywhere.json {
            Err(complaint::missing_command(line))
        } else {
            Ok(text::greeting(&command::GREETING, page))
        };
    };
    if let Verb::Help(help) = verb {
        return help_with(&help.command);
    }
    if let Verb::Schema(schema) = verb {
        return schema.text();
    }
    let mut answer = verb.answer(&gutta.everywhere, session)?;
    if let Some(html) = verb.html() {
        html.write(&mut answer, &session.folder)?;
    }
    if everywhere.json {
        let mut line = json::answer(&answer, everywhere.working).to_string();
        line.push('\n');
        return Ok(line);
    }
    Ok(text::answer(&answer, page, everywhere.working))
}

/// `gutta help water` is `gutta water --help` in another order.
fn help_with(command: &[String]) -> Outcome<String> {
    let words = command.iter().map(String::as_str);
    let args: Vec<OsString> = std::iter::once("gutta")
        .chain(words)
        .chain(["--help"])
        .map(OsString::from)
        .collect();
    let mut command = Gutta::command();
    match parsed(&args, &mut command) {
        Ok(_) => Ok(command.render_long_help().to_string()),
        Err(error) => complaint::of_clap(&error, &Line::of(&args, &command)),
    }
}

/// How a complaint is to be shown, from arguments that may not parse.
struct View {
    json: bool,
    narrow: bool,
    command: String,
}

impl View {
    fn of(line: &Line<'_>) -> Self {
        Self {
            json: line.has("--json"),
            narrow: line.has("--narrow"),
            command: line.command(),
        }
    }

    fn page(&self) -> text::Page {
        text::Page::of(self.narrow, false)
    }
}
