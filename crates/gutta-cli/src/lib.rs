//! The command line of gutta: text in, one library call, an answer out.
//!
//! clap structs (`command`) hold text → `resolve` makes quantities of it and
//! names the flag in every complaint → the library → `speak` makes an answer of
//! it → a renderer.

mod answer;
mod command;
mod cores;
mod failure;
mod render;
mod resolve;
mod say;
mod session;
mod speak;

use std::ffi::OsString;

use clap::{CommandFactory, FromArgMatches};

pub use failure::Exit;
pub use session::Session;

use command::{Gutta, Verb};
use failure::{Failure, Outcome};
use render::{json, text};
use resolve::complaint;

/// Runs the program with its arguments, the first being its own name.
pub fn run(args: impl IntoIterator<Item = OsString>, session: &mut Session<'_>) -> Exit {
    let args: Vec<OsString> = args.into_iter().collect();
    let view = View::guess(&args);
    let outcome = match Gutta::command()
        .try_get_matches_from(&args)
        .and_then(|matches| Gutta::from_arg_matches(&matches))
    {
        Ok(gutta) => answer(&gutta, session),
        Err(error) => complaint::of_clap(&error, &view.command, &args),
    };
    let printed = outcome.and_then(|text| {
        session.answer(&text).map_err(|error| {
            Failure::unreadable("io", format!("the answer cannot be written: {error}"))
                .hint("make room, or send the answer elsewhere")
        })
    });
    match printed {
        Ok(()) => Exit::Answered,
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

fn answer(gutta: &Gutta, session: &Session<'_>) -> Outcome<String> {
    let Some(verb) = &gutta.verb else {
        return Ok(command::greeting());
    };
    if let Verb::Schema(schema) = verb {
        return schema.text();
    }
    let answer = verb.answer(&gutta.everywhere, &session.folder)?;
    let everywhere = &gutta.everywhere;
    if everywhere.json {
        let mut line = json::answer(&answer, everywhere.working).to_string();
        line.push('\n');
        return Ok(line);
    }
    let page = text::Page {
        width: if everywhere.narrow {
            text::NARROW
        } else {
            text::WIDE
        },
        styled: session.styled,
    };
    Ok(text::answer(&answer, page, everywhere.working))
}

/// How a complaint is to be shown, guessed from arguments that may not parse.
struct View {
    json: bool,
    narrow: bool,
    command: String,
}

impl View {
    fn guess(args: &[OsString]) -> Self {
        let given = |flag: &str| args.iter().any(|arg| arg == flag);
        let mut words = Vec::new();
        let mut level = Gutta::command();
        for arg in args.iter().skip(1).filter_map(|arg| arg.to_str()) {
            if let Some(next) = level.find_subcommand(arg) {
                words.push(arg.to_owned());
                level = next.clone();
            }
        }
        Self {
            json: given("--json"),
            narrow: given("--narrow"),
            command: if words.is_empty() {
                "gutta".to_owned()
            } else {
                words.join(" ")
            },
        }
    }

    fn page(&self) -> text::Page {
        text::Page {
            width: if self.narrow {
                text::NARROW
            } else {
                text::WIDE
            },
            styled: false,
        }
    }
}
