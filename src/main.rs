//! Pacebell's front door: parse, run, message, exit code.

use std::io::Write;
use std::process::ExitCode;

use pacebell::commands::failure::Failure;
use pacebell::commands::outlets::NAME;
use pacebell::words::text::visible;

fn main() -> ExitCode {
    match pacebell::commands::run(std::env::args_os()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            let mut stderr = std::io::stderr().lock();
            for sentence in failure.sentences() {
                let sentence = visible(sentence.trim_end());
                // A dead terminal cannot be told anything, and must not turn the ending into a panic.
                let _ = match failure {
                    Failure::Usage(_) => writeln!(stderr, "{sentence}"),
                    _ => writeln!(stderr, "{NAME}: {sentence}"),
                };
            }
            ExitCode::from(failure.code())
        }
    }
}
