//! The `pourwright` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    pourwright::main()
}
