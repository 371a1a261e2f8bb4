//! The program with lines typed into it, as through a pipe.

use std::io::Write as _;
use std::process::{Command, Output, Stdio};

/// Runs a command with this input; it may end before it has read everything.
pub(crate) fn typed(command: &mut Command, input: &str) -> Output {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}
