//! The `pourwright` program.

use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let color = anstream::AutoStream::choice(&err) != anstream::ColorChoice::Never;
    let code = pourwright::run(std::env::args_os(), color, &mut out, &mut err);
    let _ = out.flush();
    ExitCode::from(code)
}
