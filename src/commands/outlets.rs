//! Where a command's words go.

use std::fmt;
use std::io::{self, Write};

use super::failure::Failure;
use crate::words::text::visible;

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

/// Passes text on with whatever a screen would act on written out, since a file's name or a title may hold it.
pub(super) struct VisibleText<W: Write> {
    to: W,
    /// The end of what came, where it is not known yet what it belongs to: part of a character, a carriage return.
    held: Vec<u8>,
}

impl<W: Write> VisibleText<W> {
    pub(super) const fn new(to: W) -> Self {
        let held = Vec::new();
        Self { to, held }
    }

    fn pass(&mut self, up_to: usize) -> io::Result<()> {
        let rest = self.held.split_off(up_to.min(self.held.len()));
        let text = std::mem::replace(&mut self.held, rest);
        let text = String::from_utf8_lossy(&text);
        self.to.write_all(visible(&text).as_bytes())
    }
}

/// How many of these bytes are whole characters, or will never be any.
fn whole(bytes: &[u8]) -> usize {
    let tail = bytes.len().saturating_sub(3);
    let begun = |at: &usize| {
        let end = bytes.get(*at..).unwrap_or_default();
        let incomplete = str::from_utf8(end)
            .is_err_and(|error| error.valid_up_to() == 0 && error.error_len().is_none());
        incomplete || end == b"\r"
    };
    (tail..bytes.len()).find(begun).unwrap_or(bytes.len())
}

impl<W: Write> Write for VisibleText<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.held.extend_from_slice(bytes);
        self.pass(whole(&self.held))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.pass(self.held.len())?;
        self.to.flush()
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characters_are_passed_on_whole_however_they_come() {
        let text = "a\u{e9}\u{6f22}\u{1f600}\r\nb\u{1b}[31m\u{202e}c\u{9b}d\r";
        let expected = "a\u{e9}\u{6f22}\u{1f600}\r\nb\\u001b[31m\\u202ec\\u009bd\\u000d";
        for size in 1..=text.len() {
            let mut out = VisibleText::new(Vec::new());
            for part in text.as_bytes().chunks(size) {
                out.write_all(part).unwrap();
            }
            out.flush().unwrap();
            assert_eq!(String::from_utf8(out.to).unwrap(), expected, "{size}");
        }
        let mut out = VisibleText::new(Vec::new());
        out.write_all(b"a\xffb\xe6").unwrap();
        out.flush().unwrap();
        assert_eq!(out.to, "a\u{fffd}b\u{fffd}".as_bytes());
    }
}
