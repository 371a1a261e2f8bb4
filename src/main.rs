//! Pacebell's front door: parse, run, message, exit code.

use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    match pacebell::commands::run(std::env::args_os()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            let mut stderr = std::io::stderr().lock();
            // A dead terminal cannot be told anything, and must not turn the ending into a panic.
            let _ = writeln!(stderr, "{}", failure.message().trim_end());
            ExitCode::from(failure.code())
        }
    }
}
