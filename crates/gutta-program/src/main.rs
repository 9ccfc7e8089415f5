//! The program `gutta`.

use std::io::{IsTerminal, stderr, stdin, stdout};
use std::process::ExitCode;

use gutta_cli::Session;

fn main() -> ExitCode {
    let (mut out, mut err) = (stdout().lock(), stderr().lock());
    let mut input = stdin().lock();
    let mut session = Session {
        is_typed: input.is_terminal(),
        input: &mut input,
        is_watched: err.is_terminal(),
        clock,
        styled: anstream::AutoStream::choice(&stdout()) != anstream::ColorChoice::Never,
        out: &mut out,
        err: &mut err,
        folder: std::env::current_dir().unwrap_or_default(),
        now: now(),
    };
    ExitCode::from(gutta_cli::run(std::env::args_os(), &mut session).code())
}

/// Seconds since the beginning of 1970; 0 where the clock stands before it.
fn now() -> i64 {
    let since = std::time::UNIX_EPOCH.elapsed();
    since.map_or(0, |since| {
        i64::try_from(since.as_secs()).unwrap_or(i64::MAX)
    })
}

/// Seconds since the beginning of 1970; 0 where the clock stands before it.
fn clock() -> f64 {
    let since = std::time::UNIX_EPOCH.elapsed();
    since.unwrap_or_default().as_secs_f64()
}
