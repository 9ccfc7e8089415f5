//! The program `gutta`.

use std::io::{stderr, stdout};
use std::process::ExitCode;

use gutta_cli::Session;

fn main() -> ExitCode {
    let (mut out, mut err) = (stdout().lock(), stderr().lock());
    let mut session = Session {
        styled: anstream::AutoStream::choice(&stdout()) != anstream::ColorChoice::Never,
        out: &mut out,
        err: &mut err,
        folder: std::env::current_dir().unwrap_or_default(),
    };
    ExitCode::from(gutta_cli::run(std::env::args_os(), &mut session).code())
}
