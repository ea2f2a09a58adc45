//! The program as a process, for tests that kill it or bound its memory.

use std::process::ExitCode;

fn main() -> ExitCode {
    pourwright::main()
}
