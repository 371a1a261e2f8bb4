//! Where a command's words go.

use std::fmt;
use std::io::{self, Write};

use super::failure::Failure;

/// The program's name, before each sentence that stands beside a command's output.
pub const NAME: &str = "pacebell";

/// Where a command's words go.
pub struct Outlets<'a> {
    /// Pages and results.
    pub out: &'a mut dyn Write,
    /// What is said beside them.
    pub aside: &'a mut dyn Write,
    /// Whether somebody watches what is said beside them.
    pub watched: bool,
}

/// Writes a command's whole output.
pub(super) fn written(out: &mut dyn Write, text: &str) -> Result<(), Failure> {
    quietly(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// A reader that has seen enough (`| head`) is no error.
pub(super) fn quietly(written: io::Result<()>) -> Result<(), Failure> {
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::from),
    }
}

/// Says something beside the figures; a dead standard error must not cost them.
pub(super) fn remark(aside: &mut dyn Write, said: impl fmt::Display) {
    let _ = writeln!(aside, "{NAME}: {said}");
}
