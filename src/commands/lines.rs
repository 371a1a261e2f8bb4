//! Lines typed, read without taking more than a line: what follows may be for another program.

use std::ffi::OsString;
use std::io::{self, Write as _};
use std::process::Command;

use crate::plain::{Asked, Next};
use crate::term::{LINES_WANTED, boxes_are_unwanted, while_another_reads, without_boxes};
use crate::words::ask::{Answered, Asking};

/// Reads a line; nothing at the end of the input. What isn't UTF-8 is read as signs that stand for it.
pub(super) fn read_line() -> io::Result<Option<String>> {
    let mut line = Vec::new();
    while let Some(byte) = read_byte()? {
        if byte == b'\n' {
            return Ok(Some(text(&line)));
        }
        line.push(byte);
    }
    Ok((!line.is_empty()).then(|| text(&line)))
}

fn text(line: &[u8]) -> String {
    String::from_utf8_lossy(line).into_owned()
}

#[cfg(unix)]
fn read_byte() -> io::Result<Option<u8>> {
    let mut byte = [0];
    loop {
        match rustix::io::read(rustix::stdio::stdin(), &mut byte) {
            Ok(0) => return Ok(None),
            Ok(_) => return Ok(Some(byte[0])),
            Err(rustix::io::Errno::INTR) => {}
            Err(error) => return Err(error.into()),
        }
    }
}

#[cfg(not(unix))]
fn read_byte() -> io::Result<Option<u8>> {
    use std::io::Read as _;
    io::stdin().lock().bytes().next().transpose()
}

/// Says some lines.
pub(super) fn say(lines: &[String]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let no_boxes = boxes_are_unwanted();
    for line in lines {
        if no_boxes {
            writeln!(out, "{}", without_boxes(line))?;
        } else {
            writeln!(out, "{line}")?;
        }
    }
    out.flush()
}

/// Questions asked in lines; the rows of one are said once.
#[derive(Default)]
pub(super) struct LineByLine {
    said: Vec<(String, Vec<String>)>,
}

impl LineByLine {
    /// Asks until there is an answer; the end of the input, or of those who read, leaves.
    pub(super) fn ask(&mut self, ask: &Asking) -> io::Result<Answered> {
        match self.answer(ask) {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(Answered::Leave),
            answer => answer,
        }
    }

    fn answer(&mut self, ask: &Asking) -> io::Result<Answered> {
        let names = ask.rows.iter().map(|row| row.name.clone()).collect();
        let this = (ask.question.clone(), names);
        let (mut asked, lines) = if !ask.rows.is_empty() && self.said.contains(&this) {
            Asked::again(ask)
        } else {
            self.said.push(this);
            Asked::new(ask)
        };
        say(&lines)?;
        while let Some(typed) = read_line()? {
            match asked.line(&typed) {
                Next::Answered(answer) => return Ok(answer),
                Next::Say(lines) => say(&lines)?,
            }
        }
        Ok(Answered::Leave)
    }
}

/// Whether the program is to show pages or lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    /// As it would by itself.
    AsUsual,
    /// Lines.
    Lines,
}

/// Runs this very program with other words, on the same terminal; gives its exit code, if it has one.
pub(super) fn program(words: &[OsString], face: Face) -> io::Result<Option<i32>> {
    let mut program = Command::new(std::env::current_exe()?);
    program.args(words);
    if face == Face::Lines {
        program.env(LINES_WANTED, "1");
    }
    while_another_reads(|| program.status()).map(|status| status.code())
}
