//! The command line of pourwright: arguments, the list of plugins, one file for each command.

mod args;
mod builtin;
mod commands;
mod context;
mod pictures;
mod plugins;
mod print;
mod save;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

pub use plugins::registry;

/// Exit code when the input has mistakes.
const MISTAKES: u8 = 1;
/// Exit code when the command line cannot be understood.
const USAGE: u8 = 2;

/// The program: runs with the process's arguments on its terminal.
pub fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let color = anstream::AutoStream::choice(&err) != anstream::ColorChoice::Never;
    let code = run(std::env::args_os(), color, &mut out, &mut err);
    // Where nobody listens any more, nothing is left to say.
    let _ = out.flush();
    ExitCode::from(code)
}

/// Runs the program with its arguments (the first is its own name); gives its exit code.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    color: bool,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let parsed = match args::Arguments::try_parse_from(arguments) {
        Ok(parsed) => parsed,
        Err(error) => {
            let text = if color {
                error.render().ansi().to_string()
            } else {
                error.render().to_string()
            };
            let is_help = !error.use_stderr();
            let _ = if is_help {
                write!(out, "{text}")
            } else {
                write!(err, "{text}")
            };
            return if is_help { 0 } else { USAGE };
        }
    };
    let mut terminal = print::Terminal { out, err, color };
    match commands::run(parsed.command, &mut terminal) {
        Ok(()) => 0,
        Err(findings) => {
            terminal.show_findings(&findings);
            MISTAKES
        }
    }
}
