//! Lines typed, read without taking more than a line: what follows may be for another program.

use std::ffi::OsString;
use std::io::{self, BufRead, Write as _};
use std::process::Command;

use crate::plain::{Asked, Next};
use crate::term::{LINES_WANTED, boxes_are_unwanted, while_another_reads, without_boxes};
use crate::words::ask::{Answered, Asking};
use crate::words::text::visible;

/// The most bytes of a typed line; what comes behind them up to its end is no word of ours.
const LONGEST_LINE: usize = 1 << 16;

/// Reads a line; nothing at the end of the input. What isn't UTF-8 is read as signs that stand for it.
pub(super) fn read_line() -> io::Result<Option<String>> {
    let mut line = Vec::new();
    while let Some(byte) = read_byte()? {
        if byte == b'\n' {
            return Ok(Some(text(&line)));
        }
        if line.len() < LONGEST_LINE {
            line.push(byte);
        }
    }
    Ok((!line.is_empty()).then(|| text(&line)))
}

/// The same from an input that nobody else reads.
pub(super) fn next_line(input: &mut dyn BufRead) -> io::Result<Option<String>> {
    let (mut line, mut any) = (Vec::new(), false);
    loop {
        let read = match input.fill_buf() {
            Ok(read) => read,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        let end = read.iter().position(|byte| *byte == b'\n');
        let room = LONGEST_LINE.saturating_sub(line.len());
        line.extend(read.iter().take(end.unwrap_or(read.len())).take(room));
        any |= !read.is_empty();
        let ended = end.is_some() || read.is_empty();
        let used = end.map_or(read.len(), |end| end + 1);
        input.consume(used);
        if ended {
            return Ok(any.then(|| text(&line)));
        }
    }
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

/// A console gives a line at a time, and only the standard library turns its letters into UTF-8. From anything else
/// that would read ahead, past what is for another program.
#[cfg(windows)]
fn read_byte() -> io::Result<Option<u8>> {
    use std::fs::File;
    use std::io::{IsTerminal as _, Read as _};
    use std::os::windows::io::AsHandle as _;
    let stdin = io::stdin();
    if stdin.is_terminal() {
        return stdin.lock().bytes().next().transpose();
    }
    let input = File::from(stdin.as_handle().try_clone_to_owned()?);
    input.bytes().next().transpose()
}

/// Says some lines.
pub(super) fn say(lines: &[String]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let no_boxes = boxes_are_unwanted();
    for line in lines {
        let line = visible(line);
        if no_boxes {
            writeln!(out, "{}", without_boxes(&line))?;
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

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(input: &[u8]) -> Vec<String> {
        let mut input = io::BufReader::with_capacity(7, input);
        std::iter::from_fn(|| next_line(&mut input).unwrap()).collect()
    }

    #[test]
    fn every_line_is_read_whatever_its_bytes_are() {
        assert_eq!(
            lines(b"a\n\xff\xfeb\n\nc"),
            ["a", "\u{fffd}\u{fffd}b", "", "c"]
        );
        assert_eq!(lines(b""), Vec::<String>::new());
        assert_eq!(lines(b"\n"), [""]);
        assert_eq!(lines("caf\u{e9}\r\n".as_bytes()), ["caf\u{e9}\r"]);
    }

    #[test]
    fn a_line_without_an_end_is_not_kept_whole() {
        let long = [vec![b'a'; 3 << 20], b"\nb\n".to_vec()].concat();
        let read = lines(&long);
        assert_eq!(read.len(), 2);
        assert!(read[0].len() == LONGEST_LINE && read[1] == "b");
    }
}
